//! A leak test that stressed a part beyond its rating.

use super::leak_test_plan;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Source, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## What it checks
    /// Pressure of each leak test on record against the lowest rating of the parts it was made of.
    /// ## Why it matters
    /// A diaphragm, gauge or seat that was over-pressed may have been damaged without showing it.
    /// ## What to do
    /// Check or change the part, and test again with it taken out or blanked off.
    "LEK003", "leak-test-above-rating", Leak, [Warning], given("max_pressure")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if s.rig.leak_tests.is_empty() {
        v.not_checked("there is no leak test on record");
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
            v.not_checked(format!("no part of {} gives its rating", record.label));
            continue;
        };
        let pressure = record.test.pressure.pascals();
        if pressure > rating.gauge(air).pascals() {
            v.source(Source::of_part(part, "max_pressure")).find(
                format!("{}.pressure", record.test.at),
                (Kind::GaugePressure, pressure),
                Limit::AtMost(s.gauged(*rating, |x| format!("{x}, the rating of {part}"))),
            );
        }
    }
}
