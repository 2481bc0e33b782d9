//! A leak test that is too old, or was made at too low a pressure.

use super::{SECONDS_PER_DAY, leak_test_plan, tested};
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::leak::Placed;
use crate::quantity::{AbsolutePressure, Kind};

rule! {
    /// ## Finding
    /// {Test} stood at {measured}, under {limit}: it did not stretch what the work stretches.
    /// ## What it checks
    /// Age of each leak test on the test day, against 30 days; its pressure against the highest working pressure of
    /// its zone, on the hottest day too, and against 1.5 times that, 207 mbar at least; and whether hose or regulator
    /// are younger than every test. Soap has to be at working pressure.
    /// ## Why it matters
    /// Joints work loose with heat and handling, and a test below working pressure does not stretch what the work
    /// stretches.
    /// ## What to do
    /// Test again, above working pressure, after the last spanner was on the rig.
    "REC002", "leak-test-old-or-low", Records, [Warning, Caution],
    Choice("a month of handling is enough to loosen a joint")
}

const MOST_DAYS: i32 = 30;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if s.rig.leak_tests.is_empty() {
        v.not_checked("no leak test is on record");
        return;
    }
    if s.rig.records.test_day.is_none() {
        v.not_checked("the rig file does not give `records.test_day`");
    }
    changed_since(s, v);
    let Some(plan) = leak_test_plan(s, v) else {
        return;
    };
    for record in &plan.records {
        // what was tested again later is not old
        let later = |r: &&Placed| r.test.date.days_since(record.test.date) > 0;
        let again = |part: &String| {
            plan.records
                .iter()
                .filter(later)
                .any(|r| r.parts.contains(part))
        };
        if !record.parts.iter().all(again) {
            old(s, v, record);
            low(s, v, record);
        }
    }
}

/// A record by its method.
fn method(record: &Placed) -> &'static str {
    if record.soaped() {
        "soap test"
    } else {
        "leak test"
    }
}

fn old(s: &Solution<'_>, v: &mut Verdict, record: &Placed) {
    let Some(day) = s.rig.records.test_day else {
        return;
    };
    let age = day.days_since(record.test.date);
    if age > MOST_DAYS {
        let test = tested(method(record), &record.label);
        v.says(format!(
            "{test} was made {{measured}} before the test day, over {{limit}}: joints work loose in that time."
        ))
            .advice("Test again after the last spanner was on the rig.")
            .find(
                format!("{}.date", record.test.at),
                (
                    Kind::Time,
                    SECONDS_PER_DAY * f64::from(age),
                    format!("{age} days"),
                ),
                Limit::AtMost(Measured::Worded(
                    Kind::Time,
                    SECONDS_PER_DAY * f64::from(MOST_DAYS),
                    format!("{MOST_DAYS} days"),
                )),
            );
    }
}

/// Pressure of a record against what its zone works at, and what codes ask.
fn low(s: &Solution<'_>, v: &mut Verdict, record: &Placed) {
    let pressure = record.test.pressure.pascals();
    let short = |p: AbsolutePressure| record.short_of(p, s.rig);
    let planned = record.planned.filter(|_| !record.soaped());
    let (signal, least, source, advice, says) = if short(record.least) {
        (
            Signal::Warning,
            record.least,
            Source::Choice("its working pressure; codes ask for more"),
            "Test again above working pressure, within the ratings of the parts.",
            v.rule.says(),
        )
    } else if let Some(planned) = planned.filter(|p| short(*p)) {
        (
            Signal::Caution,
            planned,
            Source::Choice(
                "1.5 times its working pressure and 207 mbar at least: what fuel-gas codes ask of new piping, from memory",
            ),
            "Test at that pressure the next time.",
            "{Test} stood at {measured}, and codes ask for {limit}, 1.5 times its working pressure or 207 mbar.".to_owned(),
        )
    } else {
        return;
    };
    let test = tested(method(record), &record.label);
    v.says(says.replace("{Test}", &test))
        .signal(signal)
        .source(source)
        .advice(advice)
        .find(
            format!("{}.pressure", record.test.at),
            (Kind::GaugePressure, pressure),
            Limit::AtLeast(s.pressure(least)),
        );
}

/// Hose and regulator that were made after every test.
fn changed_since(s: &Solution<'_>, v: &mut Verdict) {
    let Some(last) = s.rig.leak_tests.iter().max_by_key(|t| t.date) else {
        return;
    };
    let records = &s.rig.records;
    let made = [
        ("hose", "records.hose_made", records.hose_made),
        (
            "regulator",
            "records.regulator_made",
            records.regulator_made,
        ),
    ];
    for (what, at, date) in made {
        if let Some(date) = date.filter(|d| *d > last.date) {
            v.source(Source::Choice(
                "common practice, no source: what was tested is not what will run",
            ))
            .says(format!("The oldest {what} was made on {date}, after the last leak test, of {}: it has not been tested.", last.date))
            .advice("Test again what it was fitted to.")
            .find(
                at,
                format!("made on {date}, last leak test on {}", last.date),
                Limit::Should("a leak test after the last part was changed"),
            );
        }
    }
}
