//! An excess-flow valve that would hardly ever close.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Verdict};
use crate::train::{Check, CheckKind};

rule! {
    /// ## What it checks
    /// Closing flow of each excess-flow valve, at the density in it, over the flow of the duty with the
    /// most, against 3.
    /// ## Why it matters
    /// A broken line, with its own resistance, may pass less than the closing flow: the valve then
    /// stays open.
    /// ## What to do
    /// One with a smaller closing flow, still 1.3 times that of the largest duty.
    ExcessFlowIdle, "TRN011", "excess-flow-valve-too-large", Train
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
                .min_by(|a, b| a.1.measured.si.total_cmp(&b.1.measured.si));
            let Some((duty, check)) = least else { continue };
            v.find(
                if check.measured.si > NEVER {
                    Signal::Caution
                } else {
                    Signal::Notice
                },
                found.at(),
                format!("{} in {duty}", solved::shown(s, &check.measured)),
                Limit::AtMost(found.limit(s)),
                found.source("closing_flow", "common practice, no source"),
                "one with a smaller closing flow, still 1.3 times that of the largest duty",
            );
        }
    }
}
