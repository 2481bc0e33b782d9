//! Liquid that boils in a part made for liquid.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Signal, Solution, Verdict};
use crate::train::CheckKind;

rule! {
    /// ## What it checks
    /// Whether the liquid boils on its way through a part at any duty.
    /// ## Why it matters
    /// What flashes takes up to a hundred times the room: the flow falls, and what comes out is neither
    /// liquid nor gas.
    /// ## What to do
    /// More pressure behind it, colder fuel, less loss; or vaporise all of it on purpose.
    Flashing, "LIQ001", "liquid-flashes", Liquid
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(plan) = solved::train(s, v) else {
        return;
    };
    for found in solved::remarked(plan, &[CheckKind::Flashing]) {
        v.find(
            Signal::Warning,
            found.at(),
            found.measured(s),
            found.limit_in_words("liquid all the way through"),
            found.source("flow_coefficient", "vapour pressure of the fuel"),
            "more pressure behind it, colder fuel or less loss; or vaporise all of it on purpose",
        );
    }
}
