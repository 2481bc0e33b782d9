//! Liquid and vapour together in the train.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Signal, Solution, Verdict};
use crate::train::CheckKind;

rule! {
    /// ## What it checks
    /// Whether the fuel is part liquid and part vapour anywhere in the train at a duty.
    /// ## Why it matters
    /// Two phases flow in slugs: nothing meters them, and the figures here are bounds, not flows.
    /// ## What to do
    /// Vaporise all of it with a margin, or keep all of it liquid with more pressure.
    TwoPhaseLine, "TRN009", "two-phases-in-train", Train
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(plan) = solved::train(s, v) else {
        return;
    };
    for found in solved::remarked(plan, &[CheckKind::TwoPhase]) {
        v.find(
            Signal::Warning,
            found.at(),
            found.measured(s),
            found.limit_in_words("one phase"),
            found.source("bore", "no flow law holds for two phases"),
            "vaporise all of it with a margin, or keep all of it liquid",
        );
    }
}
