//! A leak test that could not have seen the leak it should find.

use super::judged_leak_tests;
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Solution, Source, Verdict};
use crate::leak::LeakVerdict;
use crate::quantity::Kind;

rule! {
    /// ## What it checks
    /// Whether each leak test on record tells a leak of one burner shut-off valve's size from the errors of
    /// its gauge and thermometer, whether it says what those errors are, and whether its pressure rose by more. Without
    /// the step of the gauge, and outdoors without temperatures, only a gross fall tells.
    /// ## Why it matters
    /// A gauge that does not move in five minutes proves a coarse gauge and a short wait. One kelvin
    /// hides more than most leaks make. A pressure that rises says that gas came in, or that a reading is
    /// wrong: what leaked out meanwhile does not show.
    /// ## What to do
    /// Hold longer, read the temperature at both ends, use a finer gauge; `leak-test` plans it.
    "LEK002", "leak-test-cannot-tell", Leak, [Warning], Choice("gas that comes in hides gas that goes out")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let show =
        |p: crate::quantity::PressureDifference| s.show(Kind::PressureDifference, p.pascals());
    for judged in judged_leak_tests(s, v) {
        let record = &judged.record;
        let corrected = if record.temperatures_read() {
            "corrected "
        } else {
            ""
        };
        let because = judged.because.as_deref().unwrap_or_default();
        match (judged.verdict, &judged.sums) {
            (LeakVerdict::Rose, Some(sums)) => v.advice("take the hose of the test gas away, let gas and metal come to one temperature, and test again").find(format!("{}.drop", record.test.at), (
                    Kind::PressureDifference,
                    -sums.corrected.pascals(),
                    format!(
                        "{}: a {corrected}rise of {}, and the readings are good to {}",
                        record.label,
                        show(-sums.corrected),
                        show(sums.band)
                    )), Limit::of_words(
                    Kind::PressureDifference,
                    sums.band.pascals(),
                    "a pressure that rises by no more than the readings are off by",
                )),
            (LeakVerdict::CannotTell, Some(sums)) => v.source(Source::Unconfirmed("en161")).advice("hold longer, read the temperature at both ends, or use a finer gauge, and write down its step").find(record.test.at.clone(), (
                    Kind::PressureDifference,
                    sums.corrected.pascals() + sums.band.pascals(),
                    format!(
                        "{}: {corrected}fall {} plus or minus {}; {because}",
                        record.label,
                        show(sums.corrected),
                        show(sums.band)
                    )), Limit::AtMost(Measured::Worded(
                    Kind::PressureDifference,
                    sums.accepted.pascals(),
                    format!("{} with its band", show(sums.accepted)),
                ))),
            (LeakVerdict::CannotTell, None) if record.nowhere.is_some() => v.source(Source::Choice("common practice, no source: what was tested is not what will run")).advice("name the parts between which it was made, and test again what has been changed since").find(record.test.at.clone(), format!("{}: {because}", record.label), Limit::Should("parts of this train, the one nearer to the supply in `from`")),
            (LeakVerdict::CannotTell, None) => v.source(Source::Choice("common practice, no source")).advice("soap every joint again, and write `leak_found = false` or `true`").find(record.test.at.clone(), format!("{}: {because}", record.label), Limit::Should("what the soap showed")),
            _ => {}
        }
    }
}
