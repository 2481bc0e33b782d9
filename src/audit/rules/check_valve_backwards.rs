//! A check valve put in against the fuel.

use super::train_parts;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::train::Arrow;

rule! {
    /// ## Finding
    /// The arrow of {it} points to the supply: it stops the fuel and lets air or other fuel flow back.
    /// ## What it checks
    /// Whether the arrow of every check valve (`arrow`) points to the burner.
    /// ## Why it matters
    /// The wrong way round it stops the fuel, and lets air or the fuel of another cylinder flow back.
    /// ## What to do
    /// Turn it round, arrow with the fuel, and test its joints again.
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
                "arrow to the supply",
                Limit::Should("arrow with the fuel, to the burner"),
            );
        }
    }
}
