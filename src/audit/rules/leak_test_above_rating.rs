//! A leak test that stressed a part beyond its rating.

use super::leak_test_plan;
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::leak::test_result::tested_zone;
use crate::quantity::Kind;

rule! {
    /// ## What it checks
    /// Pressure of the leak test on record against the lowest rating of the parts behind the last
    /// regulator.
    /// ## Why it matters
    /// A diaphragm or seat that was over-pressed may have been damaged without showing it.
    /// ## What to do
    /// Check or change the part, and test again with it taken out or blanked off.
    LeakTestAboveRating, "LEK003", "leak-test-above-rating", Leak
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(test) = &s.rig.leak_test else {
        v.not_checked("there is no leak test on record");
        return;
    };
    let Some(zone) = leak_test_plan(s, v).and_then(tested_zone) else {
        return;
    };
    let Some((part, rating)) = &zone.zone.weakest else {
        v.not_checked("no part behind the last regulator gives its rating");
        return;
    };
    let air = s.rig.site.air_pressure;
    if test.pressure.pascals() > rating.gauge(air).pascals() {
        v.find(
            Signal::Warning,
            "leak_test.pressure",
            Measured::Quantity(Kind::GaugePressure, test.pressure.pascals()),
            Limit::AtMost(Measured::Worded(
                Kind::AbsolutePressure,
                (*rating).pascals(),
                format!("{}, the rating of {part}", s.gauge(*rating)),
            )),
            Source::Input(format!("train.{part}.max_pressure")),
            "check or change the part, and test again with it taken out or blanked off",
        );
    }
}
