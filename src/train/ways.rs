//! Ways through a train, and which pressure stands on which part with the flow stopped.

use super::{End, Part, Run, Train};
use crate::quantity::{AbsolutePressure, pascals_absolute};

/// Parts on every way from a supply to an outlet, each way in order.
pub fn ways(train: &Train) -> Vec<Vec<&Part>> {
    let mut ways = Vec::new();
    for source in &train.sources {
        let mut way: Vec<&Part> = source.parts.iter().collect();
        follow(&train.run, &mut way, &mut ways);
    }
    ways
}

fn follow<'t>(run: &'t Run, way: &mut Vec<&'t Part>, ways: &mut Vec<Vec<&'t Part>>) {
    let before = way.len();
    way.extend(&run.parts);
    match &run.end {
        End::Outlet(_) => ways.push(way.clone()),
        End::Split(runs) => runs.iter().for_each(|r| follow(r, way, ways)),
    }
    way.truncate(before);
}

/// Parts up to the first regulator of each way, which still sees the supply, and all of a way without one;
/// each part once.
pub fn at_supply_pressure(train: &Train) -> Vec<&Part> {
    let mut parts: Vec<&Part> = Vec::new();
    for way in ways(train) {
        for part in up_to(&way, Part::is_regulator) {
            if !parts.iter().any(|p| p.name == part.name) {
                parts.push(part);
            }
        }
    }
    parts
}

/// The first of some parts in a row, up to one at which a zone ends and with it; all of them where it ends nowhere.
pub fn up_to<'w, 't>(parts: &'w [&'t Part], ends: impl Fn(&Part) -> bool) -> &'w [&'t Part] {
    let end = parts.iter().position(|p| ends(p));
    &parts[..end.map_or(parts.len(), |i| i + 1)]
}

/// Pressure before each part of a way with the flow stopped, where `behind` says what a part holds at its inlet pressure.
pub fn held_along(
    way: &[&Part],
    supply: AbsolutePressure,
    behind: impl Fn(&Part, AbsolutePressure) -> AbsolutePressure,
) -> Vec<AbsolutePressure> {
    let mut held = supply;
    let before = |part: &&Part| {
        let before = held;
        held = behind(part, before);
        before
    };
    way.iter().map(before).collect()
}

/// A part with the flow stopped.
#[derive(Debug, Clone, PartialEq)]
pub struct RestPressure<'t> {
    /// Part.
    pub part: &'t Part,
    /// How many of it there are: one for each of several tanks alike.
    pub copies: u32,
    /// Pressure before it.
    pub inlet: AbsolutePressure,
    /// Pressure behind it.
    pub outlet: AbsolutePressure,
}

/// Pressure before and behind every part with the flow stopped and every seat tight, in the order of
/// [`Train::parts`]: the supply's, then what `behind` says that a part holds at its inlet pressure, as [`Part::holds`];
/// where several sources meet, the highest.
///
/// * `supply` — pressure of tank or main
///
/// **Valid:** all valves open but the last, pumps running against it, no liquid column, regulators that lock up as their data say.
/// **Source:** definitions of the regulator's data; no published formula.
pub fn at_rest(
    train: &Train,
    supply: AbsolutePressure,
    behind: impl Fn(&Part, AbsolutePressure) -> AbsolutePressure,
) -> Vec<RestPressure<'_>> {
    let mut walk = Walk {
        behind,
        rows: Vec::new(),
    };
    let sources = train.sources.iter();
    let joined_pa = sources
        .map(|source| walk.along(&source.parts, source.count, supply).pascals())
        .reduce(f64::max);
    walk.run(&train.run, joined_pa.map_or(supply, pascals_absolute));
    walk.rows
}

struct Walk<'t, F> {
    behind: F,
    rows: Vec<RestPressure<'t>>,
}

impl<'t, F: Fn(&Part, AbsolutePressure) -> AbsolutePressure> Walk<'t, F> {
    fn run(&mut self, run: &'t Run, before: AbsolutePressure) {
        let rest = self.along(&run.parts, 1, before);
        if let End::Split(runs) = &run.end {
            for branch in runs {
                self.run(branch, rest);
            }
        }
    }

    /// Adds parts in series and gives the pressure behind the last.
    fn along(
        &mut self,
        parts: &'t [Part],
        copies: u32,
        mut inlet: AbsolutePressure,
    ) -> AbsolutePressure {
        for part in parts {
            let outlet = (self.behind)(part, inlet);
            self.rows.push(RestPressure {
                part,
                copies,
                inlet,
                outlet,
            });
            inlet = outlet;
        }
        inlet
    }
}
