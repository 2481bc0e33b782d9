//! A regulator with too little pressure before it to regulate.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Source, Verdict};
use crate::flow::regulator::Regulator;
use crate::train::{CheckKind, PartKind};

rule! {
    /// ## What it checks
    /// Inlet pressure of each regulator at each duty against the least its maker asks for, and whether
    /// its seat stands wide open. The tank is as it starts; the run plan is looked at by SUP004. And, by the file alone,
    /// the set pressure of each against that of the regulator before it: WARNING.
    /// ## Why it matters
    /// A regulator that is wide open passes the ups and downs of the tank on to the flame, and a second one guards
    /// nothing if the first fails.
    /// ## What to do
    /// A warmer tank, a lower set pressure with larger holes, or a regulator for a lower inlet
    /// pressure. Set each regulator below the one before it.
    "REG001", "regulator-starved", Regulator, [Warning, Notice],
    Choice("a seat that stands wide open does not regulate")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let mut idle: Vec<&str> = Vec::new();
    for way in solved::ways(s) {
        let mut before: Option<(&str, &Regulator)> = None;
        for part in way {
            let PartKind::Regulator(r) = &part.kind else {
                continue;
            };
            if let Some((first, held)) = before
                && r.set_pressure >= held.set_pressure
                && !idle.contains(&part.name.as_str())
            {
                idle.push(&part.name);
                v.source(Source::of_part(first, "set_pressure")).advice("set it below the regulator before it: as it is, it stands open and guards nothing if that one fails").find(solved::part_path(&part.name), s.gauged(r.set_pressure, |x| format!("set to {x}")), Limit::AtMost(s.gauged(held.set_pressure, |x| format!("{x}, what `{first}` holds"))));
            }
            before = Some((&part.name, r));
        }
    }
    let Some(plan) = solved::train(s, v) else {
        return;
    };
    for found in solved::remarked(plan, &[CheckKind::RegulatorStarved]) {
        if idle.contains(&found.check.at.as_str()) {
            continue;
        }
        v.source(found.source("min_inlet", v))
            .signal(Signal::Notice)
            .find(
                found.at(),
                found.measured(s),
                Limit::AtLeast(found.limit(s)),
            );
    }
}
