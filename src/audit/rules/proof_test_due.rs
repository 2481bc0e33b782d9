//! A safety device that nobody has tried for long, or at all.

use super::{DAYS_PER_YEAR, SECONDS_PER_DAY, few};
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::quantity::Kind;
use crate::quantity::show::fixed;
use crate::train::rig::{Date, Device};

rule! {
    /// ## Finding
    /// The {device} last tried {measured} ago, over {limit}: a stuck or bridged one looks just the same.
    /// ## What it checks
    /// Date of the last proof test (`[[proof_tests]]`) of every device that the file says shuts the fuel, on the test
    /// day, against a year: a usual interval, common practice, no source. Devices without a date are one finding
    /// together; a date of a device that the file says is not there is another. Valves that are proved at every start
    /// need no date.
    /// ## Why it matters
    /// A switch that has stuck, or was bridged for a test and left so, looks like one that has nothing to do.
    /// ## What to do
    /// Trip each device, watch the shut-off valves drop out, and write the day down.
    "REC008", "proof-test-due", Records, [Caution, Notice],
    Choice("a record of what is not there is of another rig, or of another day")
}

const YEAR: Source = Source::Choice("once a year is usual; common practice, no source");
const ADVICE: &str =
    "Trip each device, watch the shut-off valves drop out, and write the day down.";

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let last = |device: Device| {
        let tests = s.rig.proof_tests.iter().filter(|t| t.device == device);
        tests.map(|t| t.date).max()
    };
    let relied_on = relied_on(s);
    let dated: Vec<(Device, Option<Date>)> = relied_on.iter().map(|d| (*d, last(*d))).collect();
    let without = dated.iter().filter(|(_, date)| date.is_none());
    let without: Vec<&str> = without.map(|(device, _)| device.words()).collect();
    if !without.is_empty() {
        let says = format!(
            "No proof test is dated for {}: a stuck or bridged one looks just the same.",
            few(&without)
        );
        v.says(says)
            .signal(Signal::Notice)
            .source(YEAR)
            .advice(ADVICE)
            .find(
                "proof_tests",
                format!("no date for {}", without.join(", ")),
                Limit::Should("a date for each, not older than a year"),
            );
    }
    let controls = &s.rig.controls;
    let denied = [
        (Device::AirSwitch, s.rig.air.proved),
        (Device::LowFuelCutoff, controls.low_fuel_cutoff),
        (Device::HighFuelCutoff, controls.high_fuel_cutoff),
        (Device::EmergencyStop, controls.emergency_stop),
        (
            Device::OverTemperatureCutoff,
            controls.over_temperature_cutoff,
        ),
    ];
    for (device, there) in denied {
        if there == Some(false) && last(device).is_some() {
            let device = device.words();
            v.says(format!(
                "A proof test of the {device} is on record, and the file says that there is none."
            ))
            .advice("Find out whether it is still fitted and works, and correct the file.")
            .find(
                "proof_tests",
                format!("{device} tried, and not there"),
                Limit::Should("records of the devices that there are"),
            );
        }
    }
    let Some(day) = s.rig.records.test_day else {
        v.not_checked("the rig file does not give `records.test_day`");
        return;
    };
    for (device, date) in dated {
        let Some(date) = date else { continue };
        let years = f64::from(day.days_since(date)) / DAYS_PER_YEAR;
        let worded = |years: f64, text| {
            Measured::Worded(Kind::Time, years * DAYS_PER_YEAR * SECONDS_PER_DAY, text)
        };
        if years > 1.0 {
            let verb = if device == Device::ShutOffValves {
                "were"
            } else {
                "was"
            };
            let says = v
                .rule
                .says()
                .replace("{device}", &format!("{} {verb}", device.words()));
            v.says(says).source(YEAR).advice(ADVICE).find(
                "proof_tests",
                worded(years, format!("{} years", fixed(years, 1))),
                Limit::AtMost(worded(1.0, "1 year".to_owned())),
            );
        }
    }
}

/// Devices that the rig relies on, as far as its file says.
fn relied_on(s: &Solution<'_>) -> Vec<Device> {
    let mut all = s.rig.devices();
    let proved = s.rig.controls.valve_proving == Some(true);
    let shuts = s.rig.train.parts().iter().any(|p| p.shuts_without_power());
    if shuts && !proved {
        all.push(Device::ShutOffValves);
    }
    all
}
