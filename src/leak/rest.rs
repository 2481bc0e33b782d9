//! Pressure at every part with the flow stopped: the supply's up to a regulator or pump, what that holds behind it.

use crate::quantity::AbsolutePressure;
use crate::train::{End, Part, PartKind, Run, Train};

/// Pressure at a part with the flow stopped.
#[derive(Debug, Clone, PartialEq)]
pub struct RestPressure {
    /// Part.
    pub part: String,
    /// How many of it there are: one for each of several tanks alike.
    pub copies: u32,
    /// Before it.
    pub inlet: AbsolutePressure,
    /// Behind it.
    pub outlet: AbsolutePressure,
}

/// Pressure before and behind every part with the flow stopped and every seat tight, in the order of
/// [`Train::parts`].
///
/// * `supply` — pressure of tank or main
///
/// **Valid:** all valves open but the last, pumps running against it, no liquid column, regulators that lock up as their data say.
/// **Source:** definitions of the regulator's data; no published formula.
pub fn pressures_at_rest(train: &Train, supply: AbsolutePressure) -> Vec<RestPressure> {
    let mut rows = Vec::new();
    let mut joined = supply;
    for source in &train.sources {
        let mut p = supply;
        for part in &source.parts {
            p = behind(part, p, source.count, &mut rows);
        }
        joined = p;
    }
    walk(&train.run, joined, &mut rows);
    rows
}

fn walk(run: &Run, mut p: AbsolutePressure, rows: &mut Vec<RestPressure>) {
    for part in &run.parts {
        p = behind(part, p, 1, rows);
    }
    if let End::Split(runs) = &run.end {
        for branch in runs {
            walk(branch, p, rows);
        }
    }
}

/// Records a part and gives the pressure behind it.
fn behind(
    part: &Part,
    inlet: AbsolutePressure,
    copies: u32,
    rows: &mut Vec<RestPressure>,
) -> AbsolutePressure {
    let outlet = match &part.kind {
        PartKind::Regulator(r) => r.lock_up_pressure(inlet),
        PartKind::Pump(pump) => pump.against_closed(inlet),
        _ => inlet,
    };
    rows.push(RestPressure {
        part: part.name.clone(),
        copies,
        inlet,
        outlet,
    });
    outlet
}
