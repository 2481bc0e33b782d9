//! A regulator that sees more pressure than its maker allows.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::train::{CheckKind, PartKind};

rule! {
    /// ## What it checks
    /// Inlet pressure of each regulator at each duty, and the pressure of the tank on the hottest day
    /// at the first regulator, against the highest its maker allows.
    /// ## Why it matters
    /// Above it the diaphragm or seat may fail, and then the whole pressure of the tank stands on what
    /// follows.
    /// ## What to do
    /// A first-stage regulator made for the pressure of the tank on the hottest day.
    RegulatorInletHigh, "REG003", "regulator-inlet-high", Regulator
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(plan) = solved::train(s, v) else {
        return;
    };
    let advice = "a first-stage regulator made for the pressure of the tank on the hottest day";
    let running = solved::remarked(plan, &[CheckKind::RegulatorInletHigh]);
    for found in &running {
        v.find(
            Signal::Warning,
            found.at(),
            found.measured(s),
            Limit::AtMost(found.limit(s)),
            found.source("max_inlet", "given by the rig"),
            advice,
        );
    }
    let Some(hot) = solved::pressure_when_hot(s, v) else {
        return;
    };
    for part in solved::at_supply_pressure(s) {
        let PartKind::Regulator(r) = &part.kind else {
            continue;
        };
        let Some(most) = r.max_inlet else {
            v.not_checked(format!("{} gives no `max_inlet`", part.name));
            continue;
        };
        if hot.pascals() > most.pascals() && running.iter().all(|f| f.check.at != part.name) {
            v.find(
                Signal::Warning,
                solved::part_path(&part.name),
                Measured::Text(format!("{} on the hottest day", s.gauge(hot))),
                Limit::AtMost(Measured::Text(s.gauge(most))),
                Source::Input(format!("train.{}.max_inlet", part.name)),
                advice,
            );
        }
    }
}
