//! An excess-flow valve that would hardly ever close.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Verdict};
use crate::train::{Check, CheckKind};

rule! {
    /// ## Finding
    /// {It} closes at {measured} of the flow at duty {duty}; above {limit} it may stay open when the line breaks.
    /// ## What it checks
    /// Closing flow of each excess-flow valve, at the density in it, against 3 times the flow of the largest duty.
    /// ## Why it matters
    /// A broken line has a resistance of its own and may pass less than the closing flow. The valve then stays open.
    /// ## What to do
    /// Fit one with a smaller closing flow, still 1.3 times that of the largest duty.
    "TRN011", "excess-flow-valve-too-large", Train, [Caution, Notice], Choice("common practice, no source"),
    levers ["excess-flow-valve.closing_flow" Down]
}

/// Closing flow over the largest duty from which no break of an ordinary line closes it. Our choice.
const NEVER: f64 = 10.0;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(plan) = solved::train(s, v) else {
        return;
    };
    let solved_duties = || plan.duties.iter().filter(|d| d.solution.is_ok()).count();
    for found in solved::remarked(plan, &[CheckKind::ExcessFlowTooLarge]) {
        // at the largest duty too, or it is no fault of the valve
        if found.duties.len() == solved_duties() {
            let same = |c: &&Check| c.kind == found.check.kind && c.at == found.check.at;
            let least = plan
                .duties
                .iter()
                .filter_map(|d| Some((d.name.as_str(), d.checks.iter().find(same)?)))
                .min_by(|a, b| a.1.measured.total_cmp(&b.1.measured));
            let Some((duty, check)) = least else { continue };
            // where the train does not feed the largest duty, the valve is made for it all the same
            let wanted = s.duties.iter();
            let wanted =
                wanted.filter_map(|d| Some((d.name.as_str(), d.demand.as_ref().ok()?.fuel.value)));
            let wanted: Vec<(&str, f64)> = wanted.collect();
            let of_duty = wanted.iter().find(|w| w.0 == duty);
            let largest = wanted.iter().max_by(|a, b| a.1.total_cmp(&b.1));
            let (Some(of_duty), Some(largest)) = (of_duty, largest) else {
                continue;
            };
            let ratio = check.measured * of_duty.1 / largest.1;
            if ratio <= check.limit {
                continue;
            }
            let source = found.source("closing_flow", v);
            let says = v.rule.says().replace("{duty}", largest.0);
            v.says(says)
                .source(source)
                .signal(if ratio > NEVER {
                    Signal::Caution
                } else {
                    Signal::Notice
                })
                .find(
                    found.at(),
                    (check.kind.figure(), ratio),
                    Limit::AtMost(found.limit(s)),
                );
        }
    }
}
