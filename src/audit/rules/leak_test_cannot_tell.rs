//! A leak test that could not have seen the leak it should find.

use super::{judged_leak_tests, tested};
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Source, Verdict};
use crate::leak::LeakVerdict;
use crate::quantity::Kind;

rule! {
    /// ## Finding
    /// {Test} lost {measured} and cannot tell a leak of {limit}: {because}.
    /// ## What it checks
    /// Whether each leak test on record can tell a leak of one burner shut-off valve's size from the errors of its
    /// gauge and thermometer, whether it states those errors, and whether its pressure rose by more than them.
    /// Without the step of the gauge, and outdoors without temperatures, only a gross drop tells.
    /// ## Why it matters
    /// A gauge that does not move in five minutes proves a coarse gauge and a short wait. One kelvin hides more than
    /// most leaks make. A rise in pressure means that gas came in or that a reading is wrong; what leaked out
    /// meanwhile does not show.
    /// ## What to do
    /// Hold it longer, with both temperatures read. Use a finer gauge and note its step. `leak-test` plans it.
    "LEK002", "leak-test-cannot-tell", Leak, [Warning], Choice("gas that comes in hides gas that goes out")
}

const FINER: &str =
    "Hold it longer, with both temperatures read. Use a finer gauge and note its step.";

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let show =
        |p: crate::quantity::PressureDifference| s.show(Kind::PressureDifference, p.pascals());
    for judged in judged_leak_tests(s, v) {
        let record = &judged.record;
        let because = judged.because.as_deref().unwrap_or_default();
        let test = tested("leak test", &record.label);
        let cannot = v
            .rule
            .says()
            .replace("{Test}", &test)
            .replace("{because}", because);
        match (judged.verdict, &judged.sums) {
            (LeakVerdict::Rose, Some(sums)) => v
                .says(format!("{test} rose by {{measured}}, and its readings are good to {{limit}}: gas came in, or a reading is wrong."))
                .advice("Take the test-gas hose off, let gas and metal come to one temperature, and test again.")
                .find(
                    format!("{}.drop", record.test.at),
                    (Kind::PressureDifference, -sums.corrected.pascals()),
                    Limit::at_most(Kind::PressureDifference, sums.band.pascals()),
                ),
            (LeakVerdict::CannotTell, Some(sums)) => v
                .says(cannot)
                .source(Source::Unconfirmed("en161"))
                .advice(FINER)
                .find(
                    record.test.at.clone(),
                    (
                        Kind::PressureDifference,
                        sums.corrected.pascals() + sums.band.pascals(),
                        format!("{} ±{}", show(sums.corrected), show(sums.band)),
                    ),
                    Limit::at_most(Kind::PressureDifference, sums.accepted.pascals()),
                ),
            (LeakVerdict::CannotTell, None) if record.nowhere.is_some() => v
                .says("A leak test on record proves nothing of this train: {measured}.")
                .source(Source::Choice(
                    "common practice, no source: what was tested is not what will run",
                ))
                .advice("Name the parts it was made between, and test again what has been changed since.")
                .find(
                    record.test.at.clone(),
                    because,
                    Limit::Should("parts of this train, the one nearer to the supply in `from`"),
                ),
            (LeakVerdict::CannotTell, None) => v
                .says(format!("{} proves nothing: {{measured}}.", tested("soap test", &record.label)))
                .source(Source::Choice("common practice, no source"))
                .advice("Soap every joint again, and write `leak_found = false` or `true`.")
                .find(
                    record.test.at.clone(),
                    because,
                    Limit::Should("what the soap showed"),
                ),
            _ => {}
        }
    }
}
