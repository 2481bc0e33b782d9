//! A leak test that stressed a part beyond its rating.

use super::{leak_test_plan, zoned};
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Source, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## Finding
    /// The leak test put {measured} on a part, above its rating of {limit}: it may be damaged without showing it.
    /// ## What it checks
    /// Pressure of each leak test on record against the lowest rating of the parts it was made of.
    /// ## Why it matters
    /// A diaphragm, gauge or seat pressed beyond its rating may be damaged without showing it.
    /// ## What to do
    /// Check or change that part. Test again with it taken out or blanked off.
    "LEK003", "leak-test-above-rating", Leak, [Warning], given("max_pressure")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if s.rig.leak_tests.is_empty() {
        v.not_checked("no leak test is on record");
        return;
    }
    let Some(plan) = leak_test_plan(s, v) else {
        return;
    };
    let air = s.rig.site.air_pressure;
    for record in &plan.records {
        let Some((part, rating)) = &record.weakest else {
            if record.nowhere.is_some() {
                continue;
            }
            v.not_checked(format!(
                "no part {} has a `max_pressure`",
                zoned(&record.label)
            ));
            continue;
        };
        let pressure = record.test.pressure.pascals();
        if pressure > rating.gauge(air).pascals() {
            let says = format!(
                "The leak test put {{measured}} on {part}, above its rating of {{limit}}: it may be damaged without showing it."
            );
            v.says(says)
                .source(Source::of_part(part, "max_pressure"))
                .find(
                    format!("{}.pressure", record.test.at),
                    (Kind::GaugePressure, pressure),
                    Limit::AtMost(s.pressure(*rating)),
                );
        }
    }
}
