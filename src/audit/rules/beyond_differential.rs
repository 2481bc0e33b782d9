//! A valve that has to open or close against more than it can.

use super::{solved, train_parts};
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Source, Verdict};
use crate::flow::regulator::Regulator;
use crate::leak::pressures_at_rest;
use crate::quantity::{AbsolutePressure, Kind};
use crate::train::protection::{KeptBy, failed_open};

rule! {
    /// ## What it checks
    /// Greatest pressure difference that a valve opens or closes against (`max_differential`) against the pressure before
    /// it with the flow stopped, less the air: of the supply as it starts, on the hottest day, and with the regulator before
    /// it failed wide open, which is when it has to close.
    /// ## Why it matters
    /// A coil that is too weak does not lift the seat; a spring that is too weak does not put it down.
    /// ## What to do
    /// A valve that opens and closes against it, or a relief valve that keeps the pressure below it.
    "TRN017", "beyond-differential", Train, [Warning], given("max_differential")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(parts) = train_parts(s, v) else {
        return;
    };
    if parts
        .iter()
        .all(|p| p.protection.max_differential.is_none())
    {
        return;
    }
    let starts = [
        solved::pressure_at_start(s, v),
        solved::pressure_when_hot(s, v),
    ];
    let Some(supply) = solved::highest_supply(s, v) else {
        return;
    };
    let held = |r: &Regulator, inlet| r.lock_up_pressure(inlet);
    let failed = failed_open(&s.rig.train, supply, held, KeptBy::RELIEFS);
    let air = s.rig.site.air_pressure.pascals();
    for (i, part) in parts.into_iter().enumerate() {
        let Some(most) = part.protection.max_differential else {
            continue;
        };
        let at_rest = starts.iter().flatten();
        let at_rest =
            at_rest.filter_map(|p| Some(pressures_at_rest(&s.rig.train, *p).get(i)?.inlet));
        let at_rest = at_rest.map(AbsolutePressure::pascals).fold(0.0, f64::max) - air;
        let mut exposed = failed
            .iter()
            .flat_map(|f| f.parts.iter().map(move |e| (f.regulator, e)));
        let stuck = exposed.find(|(_, e)| e.part.name == part.name);
        let (against, when) = match stuck {
            _ if at_rest > most.pascals() => (at_rest, "with the flow stopped".to_owned()),
            Some((regulator, e)) => (
                e.pressure.pascals() - air,
                format!("if `{}` fails open", regulator.name),
            ),
            None => continue,
        };
        if against > most.pascals() * super::ROUNDING {
            v.source(Source::Input(
                format!("train.{}.max_differential", part.name).into(),
            ))
            .find(
                solved::part_path(&part.name),
                s.worded(Kind::PressureDifference, against, |x| {
                    format!("{x} stands against it {when}")
                }),
                Limit::at_most(Kind::PressureDifference, most.pascals()),
            );
        }
    }
}
