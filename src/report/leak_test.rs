//! Joints and leak test of a rig for people and machines: what to pressurise, how long, what it shows.

pub(super) mod keys;

use self::keys::{First, Joints, OnRecord, Planned, Step, TestRecord};
use super::Report;
use super::record::{Row, table, table_of};
use crate::leak::test_plan::{NOT_PROVED, STEPS_OF_TEST};
use crate::leak::{JointRow, LeakJudgement, LeakVerdict, TestPlan, ZoneTest};
use crate::quantity::show::{Units, show, show_digits};
use crate::quantity::{AbsolutePressure, Kind};
use crate::train::rig::Rig;

/// What of a zone stands in which table.
const PRESSURES: [&str; 6] = [
    "zone",
    "at_rest_pa",
    "working_pa",
    "test_pressure_pa",
    "weakest",
    "weakest_rating_pa",
];
const HOLDS: [&str; 8] = [
    "zone",
    "volume_m3",
    "hold_s",
    "accepted_drop_pa",
    "band_pa",
    "accepted_leak_m3_s",
    "smallest_leak_m3_s",
    "fuel_of_accepted_leak_kg_s",
];

/// Adds the joints in the order to soap them.
pub fn joints(report: &mut Report, rig: &Rig, rows: &[JointRow]) {
    let row = Joints::row(rig, rows);
    report.facts("Joints", row.facts());
    report.table("Order for soap", table(row.rows("joints")));
    report.keys(&row);
    report.assume(
        "how readily a kind of joint leaks is our choice, by what loosens it; no count of leaks is behind it",
    );
}

/// Adds the plan of the test.
pub fn plan(report: &mut Report, rig: &Rig, plan: &TestPlan) {
    let row = Planned::row(plan, rig.site.air_pressure);
    for test in &plan.zones {
        remarks(report, test);
    }
    let zones = row.rows("test_zones");
    report.table("Test pressure, nitrogen", table_of(zones, &PRESSURES));
    let held = zones
        .iter()
        .zip(&plan.zones)
        .filter(|(_, z)| z.hold.is_some());
    let held: Vec<Row> = held.map(|(row, _)| row.clone()).collect();
    report.table("Hold, and what it shows", table_of(&held, &HOLDS));
    let first = plan.zones.iter().flat_map(|zone| {
        let label = zone.zone.label();
        zone.first.iter().map(move |step| First::row(&label, step))
    });
    report.table(
        "Before each zone is pressed",
        table(&first.collect::<Vec<_>>()),
    );
    report.paragraph(
        "Never left plugged",
        format!(
            "{}: free again before any fuel.",
            plan.never_plugged.join(", ")
        ),
    );
    let steps = STEPS_OF_TEST.iter().enumerate();
    let steps: Vec<Row> = steps.map(|(i, step)| Step::row(i + 1, step)).collect();
    report.table("How it is made", table(&steps));
    for sentence in &plan.assumptions {
        report.assume(sentence.as_str());
    }
    report.assume("falls are corrected for temperature: start less end times start over end temperature, all absolute [cfr1065]");
    for sentence in NOT_PROVED {
        report.remark(format!("A pass does not prove {sentence}."));
    }
    report.keys(&row);
}

/// The weakest part of a zone, with the joints that make it so.
fn weakest_part(test: &ZoneTest) -> Option<String> {
    let (part, _) = test.zone.weakest.as_ref()?;
    Some(match test.zone.weakest_joint {
        Some(joint) => format!("{part} ({})", joint.name()),
        None => part.clone(),
    })
}

fn remarks(report: &mut Report, test: &ZoneTest) {
    let label = test.zone.label();
    let weakest = weakest_part(test).unwrap_or_default();
    match test.pressure {
        None => report.remark(format!(
            "{label}: {weakest} is not made for the pressure there: no test before it is changed."
        )),
        Some(_) if test.limited => report.remark(format!(
            "{label}: {weakest} keeps the test pressure down; take it out or blank it off, and the rest can be tested higher."
        )),
        Some(_) => {}
    }
    if !test.zone.unrated.is_empty() {
        report.remark(format!(
            "{label}: no rating is given for {}: find it before the test.",
            test.zone.unrated.join(", ")
        ));
    }
    if test.pressure.is_some() && test.hold.is_none() {
        report.remark(format!(
            "{label}: no part gives a volume there: no hold can be planned; soap every joint, and measure the volume."
        ));
    }
    if test.hold.is_some_and(|h| h.too_long) {
        report.remark(format!(
            "{label}: even the longest hold does not tell the accepted leak from the readings: use a finer gauge, a better thermometer, or test less volume at a time."
        ));
    }
}

/// Adds the tests on record, judged.
pub fn records(
    report: &mut Report,
    rig: &Rig,
    judged: &Result<Vec<LeakJudgement>, String>,
    units: Units,
) {
    let mut silent = None;
    let judged: &[LeakJudgement] = match judged {
        _ if rig.leak_tests.is_empty() => {
            report.paragraph("Test on record", "None.");
            &[]
        }
        Ok(judged) => judged,
        Err(why) => {
            report.paragraph("Test on record", format!("It says nothing: {why}."));
            silent = Some(why);
            &[]
        }
    };
    let rows = judged.iter().map(|j| TestRecord::row(rig, j, units));
    let rows: Vec<Row> = rows.collect();
    report.keys(&OnRecord::row(&rows, silent));
    let alone = judged.len() == 1;
    for (test, row) in judged.iter().zip(&rows) {
        let title = if alone {
            "Test on record".to_owned()
        } else {
            format!("Test on record, {}", test.record.label)
        };
        report.facts(&title, row.facts());
        for sentence in &test.assumptions {
            report.assume(sentence.as_str());
        }
        for part in test.record.plugged(rig) {
            report.remark(format!(
                "{}: {part} opens below the pressure of the test: it was out or plugged then, and has to be in and free again.",
                test.record.label
            ));
        }
    }
}

/// What a record says, in words.
fn told(rig: &Rig, judged: &LeakJudgement, units: Units) -> String {
    let record = &judged.record;
    let gauge = |p: AbsolutePressure| {
        let gauge_pa = p.gauge(rig.site.air_pressure).pascals();
        show(Kind::GaugePressure, gauge_pa, units)
    };
    let word = match judged.verdict {
        LeakVerdict::Within if record.soaped() => "no leak seen",
        verdict => verdict.word(),
    };
    if judged.verdict == LeakVerdict::TooLow {
        let pressure = show_digits(
            Kind::GaugePressure,
            record.test.pressure.pascals(),
            units,
            3,
        );
        let on = if record.soaped() {
            format!("where soap wants {} at least", gauge(record.least))
        } else {
            format!("on a zone that works at {}", gauge(record.working))
        };
        return format!("{word}: {pressure} {on}");
    }
    match &judged.because {
        Some(why) => format!("{word}: {why}"),
        None => word.to_owned(),
    }
}
