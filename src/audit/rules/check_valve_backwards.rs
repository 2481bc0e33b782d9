//! A check valve put in against the fuel.

use super::train_parts;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::train::Arrow;

rule! {
    /// ## What it checks
    /// Way that the arrow of every check valve points (`arrow`): to the burner.
    /// ## Why it matters
    /// Put in the wrong way round it stops the fuel and lets air, or the fuel of the other cylinder, flow back.
    /// ## What to do
    /// Turn it round, its arrow with the fuel, and test the joints again.
    "TRN018", "check-valve-backwards", Train, [Warning],
    Choice("a check valve passes what its arrow shows; common practice, no source")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(parts) = train_parts(s, v) else {
        return;
    };
    for part in parts {
        if part.protection.arrow == Some(Arrow::ToSupply) {
            v.find(
                format!("train.{}", part.name),
                "its arrow points to the supply",
                Limit::Should("its arrow with the fuel, to the burner"),
            );
        }
    }
}
