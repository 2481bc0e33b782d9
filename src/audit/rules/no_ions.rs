//! A flame rod in a flame that has next to no ions.

use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::combustion::faint::{MUCH_HYDROGEN, hydrogen_share};
use crate::quantity::Kind;
use crate::train::rig::FlameDetection;

rule! {
    /// ## Finding
    /// A flame rod watches a fuel of {measured} hydrogen; from {limit} on few ions form, and the rod does not see the
    /// flame.
    /// ## What it checks
    /// Whether a fuel that is half hydrogen or more, by moles of what burns, is watched by a flame rod. Whether an
    /// optical cell sees ultraviolet is asked.
    /// ## Why it matters
    /// Ions come from carbon: a hydrogen flame carries next to no current, so the rod does not see it, and the next
    /// thing that happens to such a rod is that somebody bridges it. By day the eye does not see that flame either.
    /// ## What to do
    /// Fit an ultraviolet detector, listed for hydrogen, that shuts the fuel.
    "FLM004", "no-ions-to-sense", Flame, [Warning],
    Choice("without carbon few ions form: common knowledge of the trade, no source; half by moles is our choice")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let share = hydrogen_share(&s.rig.fuel.composition);
    if share < MUCH_HYDROGEN {
        return;
    }
    match s.rig.controls.flame_detection {
        Some(FlameDetection::Ionisation) => v.find(
            "controls.flame_detection",
            (Kind::Ratio, share),
            Limit::at_most(Kind::Ratio, MUCH_HYDROGEN),
        ),
        Some(FlameDetection::Optical) => v.not_checked(
            "the rig file does not say whether the optical cell sees ultraviolet: a hydrogen flame shows next to nothing else",
        ),
        None => v.not_checked("the rig file does not say how the flame is seen"),
        // what is not watched at all is another rule's
        Some(FlameDetection::Thermocouple | FlameDetection::None | FlameDetection::Eye) => {}
    }
}
