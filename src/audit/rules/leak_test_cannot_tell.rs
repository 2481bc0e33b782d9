//! A leak test that could not have seen the leak it should find.

use super::judged_leak_test;
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::leak::LeakVerdict;
use crate::quantity::Kind;

rule! {
    /// ## What it checks
    /// Whether the leak test on record tells a leak of one burner shut-off valve's size from the errors of
    /// its gauge and thermometer; and whether its pressure rose by more than those.
    /// ## Why it matters
    /// A gauge that does not move in five minutes proves a coarse gauge and a short wait. One kelvin
    /// hides more than most leaks make. A pressure that rises says that gas came in, or that a reading is
    /// wrong: what leaked out meanwhile does not show.
    /// ## What to do
    /// Hold longer, read the temperature at both ends, use a finer gauge; `leak-test` plans it.
    LeakTestCannotTell, "LEK002", "leak-test-cannot-tell", Leak
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(judged) = judged_leak_test(s, v) else {
        return;
    };
    let show =
        |p: crate::quantity::PressureDifference| s.show(Kind::PressureDifference, p.pascals());
    if judged.verdict == LeakVerdict::Rose {
        v.find(
            Signal::Warning,
            "leak_test.drop",
            Measured::Worded(
                Kind::PressureDifference,
                -judged.corrected.pascals(),
                format!(
                    "a corrected rise of {}, and the readings are good to {}",
                    show(-judged.corrected),
                    show(judged.band)
                ),
            ),
            Limit::of_words(
                Kind::PressureDifference,
                judged.band.pascals(),
                "a pressure that rises by no more than the readings are off by",
            ),
            Source::Choice("gas that comes in hides gas that goes out"),
            "take the hose of the test gas away, let gas and metal come to one temperature, and test again",
        );
    }
    if judged.verdict == LeakVerdict::CannotTell {
        v.find(
            Signal::Warning,
            "leak_test",
            Measured::Worded(
                Kind::PressureDifference,
                judged.corrected.pascals() + judged.band.pascals(),
                format!(
                    "corrected fall {} plus or minus {}",
                    show(judged.corrected),
                    show(judged.band)
                ),
            ),
            Limit::AtMost(Measured::Worded(
                Kind::PressureDifference,
                judged.accepted.pascals(),
                format!("{} with its band", show(judged.accepted)),
            )),
            Source::Unconfirmed("en161"),
            "hold longer, read the temperature at both ends, or use a finer gauge",
        );
    }
}
