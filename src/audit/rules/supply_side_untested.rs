//! Joints before the regulator that no test has stressed.

use super::leak_test_plan;
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## What it checks
    /// Pressure of the leak test on record against the pressure before the first regulator, where there
    /// are joints.
    /// ## Why it matters
    /// Those joints see the tank's whole pressure, and leak the most.
    /// ## What to do
    /// Test the supply side by itself, or soap each of its joints at full pressure on the test day.
    SupplySideUntested, "LEK004", "supply-side-untested", Leak
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(test) = &s.rig.leak_test else {
        v.not_checked("there is no leak test on record");
        return;
    };
    let Some(plan) = leak_test_plan(s, v) else {
        return;
    };
    let [first, _, ..] = &plan.zones[..] else {
        return;
    };
    let rest = first.zone.at_rest.gauge(s.rig.site.air_pressure);
    if first.zone.joints > 0 && test.pressure.pascals() < rest.pascals() {
        v.find(
            Signal::Caution,
            "leak_test.pressure",
            Measured::Quantity(Kind::GaugePressure, test.pressure.pascals()),
            Limit::AtLeast(Measured::Worded(
                Kind::AbsolutePressure,
                first.zone.at_rest.pascals(),
                format!(
                    "{} for the {} joints of {}",
                    s.gauge(first.zone.at_rest),
                    first.zone.joints,
                    first.zone.label()
                ),
            )),
            Source::Choice("a joint is tested at what it works at"),
            "test the supply side by itself, or soap its joints at full pressure on the test day",
        );
    }
}
