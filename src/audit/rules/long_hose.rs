//! A hose longer than it need be.

use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::quantity::Kind;
use crate::train::PartKind;

rule! {
    /// ## Finding
    /// {It} is {measured} long, over {limit}: a hose ages, kinks, is walked on and burns through.
    /// ## What it checks
    /// Length of each hose against 1.5 m.
    /// ## Why it matters
    /// A hose is the weakest part of a train: it ages, kinks, is walked on and burns through. A long one lies in the
    /// way.
    /// ## What to do
    /// Run rigid tube for the length, with a hose only where something moves.
    "TRN014", "long-hose", Train, [Caution],
    Choice("what several codes allow for appliances, from memory: the code in force decides"),
    levers ["hose.length" Down]
}

/// Longest, m.
const MOST_M: f64 = 1.5;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let mut any = false;
    for part in s.rig.train.parts() {
        let PartKind::Hose(line) = &part.kind else {
            continue;
        };
        any = true;
        if line.length.value > MOST_M {
            v.find(
                format!("train.{}", part.name),
                (Kind::Length, line.length.value),
                Limit::at_most(Kind::Length, MOST_M),
            );
        }
    }
    if !any {
        v.not_checked("the train has no hose");
    }
}
