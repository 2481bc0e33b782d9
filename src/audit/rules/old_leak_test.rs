//! A leak test that is too old, or was made at too low a pressure.

use super::SECONDS_PER_DAY;
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::quantity::AbsolutePressure;
use crate::quantity::Kind;
use crate::train::PartKind;
use crate::train::rig::Supply;

rule! {
    /// ## What it checks
    /// Age of the leak test on the test day, against 30 days; and its pressure against the set pressure
    /// of the last regulator, or that of the pump, the main or the gas over a liquid.
    /// ## Why it matters
    /// Joints work loose with heat and handling, and a test below working pressure does not stretch
    /// what the work will stretch.
    /// ## What to do
    /// Test again, above working pressure, after the last spanner was on the rig.
    OldLeakTest, "REC002", "leak-test-old-or-low", Records
}

const MOST_DAYS: i32 = 30;

/// Pressure behind the last pump.
fn pumped(s: &Solution<'_>) -> Option<AbsolutePressure> {
    s.main_parts()
        .into_iter()
        .rev()
        .find_map(|p| match &p.kind {
            PartKind::Pump(pump) => Some(pump.against_closed(s.rig.site.air_pressure)),
            _ => None,
        })
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(test) = &s.rig.leak_test else {
        v.not_checked("there is no leak test on record");
        return;
    };
    match s.rig.records.test_day {
        None => v.not_checked("the rig file gives no test day"),
        Some(day) => {
            let age = day.days_since(test.date);
            if age > MOST_DAYS {
                v.find(
                    Signal::Warning,
                    "leak_test.date",
                    Measured::Worded(
                        Kind::Time,
                        SECONDS_PER_DAY * f64::from(age),
                        format!("{age} days before the test day"),
                    ),
                    Limit::AtMost(Measured::Worded(
                        Kind::Time,
                        SECONDS_PER_DAY * f64::from(MOST_DAYS),
                        format!("{MOST_DAYS} days"),
                    )),
                    Source::Choice("a month of handling is enough to loosen a joint"),
                    "test again after the last spanner was on the rig",
                );
            }
        }
    }
    let working = s
        .last_set_pressure()
        .map(|(_, p)| p)
        .or_else(|| pumped(s))
        .or(match &s.rig.supply {
            Supply::Mains(mains) => Some(mains.pressure),
            Supply::Tank(tank) => tank.pressure,
        });
    let Some(working) = working else {
        v.not_checked("there is no regulator to compare the test pressure with");
        return;
    };
    let working_gauge = working.gauge(s.rig.site.air_pressure);
    if test.pressure.pascals() < working_gauge.pascals() {
        v.find(
            Signal::Warning,
            "leak_test.pressure",
            Measured::Quantity(Kind::GaugePressure, test.pressure.pascals()),
            Limit::AtLeast(Measured::Quantity(
                Kind::GaugePressure,
                working_gauge.pascals(),
            )),
            Source::Choice("working pressure; codes ask for more"),
            "test again above working pressure, within the ratings of the parts",
        );
    }
}
