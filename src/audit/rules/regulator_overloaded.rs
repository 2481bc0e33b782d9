//! A regulator asked for more than it is made for.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Verdict};
use crate::train::CheckKind;

rule! {
    /// ## What it checks
    /// Flow through each regulator at each duty against its rated flow, and against nine tenths of what
    /// its open seat passes.
    /// ## Why it matters
    /// Past its rated flow a regulator droops further than its data say, chatters and wears; near its
    /// capacity it has nothing left to correct with.
    /// ## What to do
    /// A regulator of larger rated flow, or two stages.
    RegulatorOverloaded, "REG002", "regulator-overloaded", Regulator
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(plan) = solved::train(s, v) else {
        return;
    };
    for found in solved::remarked(plan, &[CheckKind::RegulatorOverloaded]) {
        v.find(
            Signal::Notice,
            found.at(),
            found.measured(s),
            Limit::AtMost(found.limit(s)),
            found.source("rated_flow", "nine tenths of the open capacity leaves something to regulate with; common practice, no source"),
            "a regulator of larger rated flow",
        );
    }
}
