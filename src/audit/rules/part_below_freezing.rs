//! A part other than a regulator that cools the fuel below the freezing point of water.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::train::CheckKind;

rule! {
    /// ## Finding
    /// The fuel leaves {it} at {measured} {when}, below {limit}: water in it freezes and sticks needles.
    /// ## What it checks
    /// Temperature of the fuel behind each part other than a regulator, where it first falls below 0 degC, today or
    /// on the coldest day.
    /// ## Why it matters
    /// Ice from wet fuel sticks needles and pilots. Frost outside is the first sign.
    /// ## What to do
    /// Warm the fuel before it, or use dry fuel.
    "TRN015", "part-below-freezing", Train, [Notice], Choice("freezing point of water; a dry fuel does no harm")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(plan) = solved::train(s, v) else {
        return;
    };
    for found in solved::remarked_when_cold(s, plan, CheckKind::BelowFreezing, v) {
        if !found.check.is_regulator(&s.rig.train) {
            found.find(s, v, "min_temperature", Limit::AtLeast(found.limit(s)));
        }
    }
}
