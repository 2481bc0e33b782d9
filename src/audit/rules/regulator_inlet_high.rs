//! A regulator that sees more pressure than its maker allows.

use super::{solved, train_parts};
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Source, Verdict};
use crate::leak::pressures_at_rest;
use crate::quantity::Kind;
use crate::train::PartKind;

rule! {
    /// ## What it checks
    /// Pressure before each regulator with the flow stopped, as the supply starts and on the hottest day, against
    /// the highest its maker allows.
    /// ## Why it matters
    /// Above it the diaphragm or seat may fail, and then the whole pressure of the tank stands on what
    /// follows.
    /// ## What to do
    /// A regulator made for the highest pressure before it.
    "REG003", "regulator-inlet-high", Regulator, [Warning], given("max_inlet")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if train_parts(s, v).is_none() {
        return;
    }
    // by the file alone: with the flow stopped the inlet is at its highest
    let starts = [
        (solved::pressure_at_start(s, v), "with the flow stopped"),
        (solved::pressure_when_hot(s, v), "on the hottest day"),
    ];
    for (i, part) in s.rig.train.parts().into_iter().enumerate() {
        let PartKind::Regulator(r) = &part.kind else {
            continue;
        };
        let Some(most) = r.max_inlet else {
            let path = format!("train.{}.max_inlet", part.name);
            if s.rig.says_none(&path) {
                v.source(Source::Input(path.into())).find(
                    solved::part_path(&part.name),
                    "no highest inlet pressure is marked on it",
                    Limit::Should("a regulator whose highest inlet pressure is known"),
                );
            } else {
                v.not_checked(format!("{} gives no `max_inlet`", part.name));
            }
            continue;
        };
        let inlets = starts.iter().filter_map(|(supply, when)| {
            let rest = pressures_at_rest(&s.rig.train, (*supply)?);
            Some((rest.get(i)?.inlet, *when))
        });
        let Some((inlet, when)) = inlets.max_by(|a, b| a.0.pascals().total_cmp(&b.0.pascals()))
        else {
            continue;
        };
        // above its pressure rating as well: that rule says it, with the lower of the two
        let rated = part
            .rating
            .max_pressure
            .is_none_or(|rating| inlet <= rating);
        if inlet > most && rated {
            v.source(Source::Input(
                format!("train.{}.max_inlet", part.name).into(),
            ))
            .find(
                solved::part_path(&part.name),
                (
                    Kind::AbsolutePressure,
                    inlet.pascals(),
                    format!("{} {when}", s.gauge(inlet)),
                ),
                Limit::AtMost(s.pressure(most)),
            );
        }
    }
}
