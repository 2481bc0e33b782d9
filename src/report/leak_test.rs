//! Joints and leak test of a rig for people and machines: what to pressurise, how long, what it shows.

use super::{Column, Fact, Report, Table, Value, json};
use crate::leak::joints::by_kind;
use crate::leak::test_plan::{NOT_PROVED, STEPS_OF_TEST};
use crate::leak::{JointRow, LeakJudgement, LeakVerdict, TestPlan, ZoneTest};
use crate::quantity::show::{Units, show_digits};
use crate::quantity::{AbsolutePressure, Kind, VolumeRate};
use crate::train::rig::{Rig, TestMethod};
use serde_json::{Value as Json, json};

/// Adds the joints in the order to soap them.
pub fn joints(report: &mut Report, rig: &Rig, rows: &[JointRow]) {
    let ambient_pa = rig.site.air_pressure.pascals();
    let total: u32 = rows.iter().map(|r| r.count).sum();
    let kinds: Vec<String> = by_kind(rows)
        .iter()
        .map(|(kind, n)| format!("{n} {}", kind.name()))
        .collect();
    let parts = rig.train.parts();
    let bare: Vec<&str> = parts
        .iter()
        .filter(|p| p.joints.is_empty())
        .map(|p| p.name.as_str())
        .collect();
    let count = Fact::new("Joints", Value::Count(total as usize));
    let mut facts = vec![
        if kinds.is_empty() {
            count
        } else {
            count.note(kinds.join(", "))
        },
        Fact::plain(
            "Joints per part of the train",
            f64::from(total) / parts.len().max(1) as f64,
        ),
    ];
    if !bare.is_empty() {
        facts.push(Fact::text("Parts that list none", bare.join(", ")));
    }
    report.facts("Joints", facts);
    let mut table = Table::new(vec![
        Column::new("order"),
        Column::new("part"),
        Column::new("joint"),
        Column::new("number"),
        Column::of("pressure", Kind::GaugePressure).digits(3),
        Column::new("leaks readily, 1 to 5"),
        Column::new("seat").optional(),
    ]);
    for (i, row) in rows.iter().enumerate() {
        table.row(vec![
            Value::Count(i + 1),
            Value::Text(row.part.clone()),
            Value::from(row.kind.name()),
            Value::Count(row.count as usize),
            Value::of(Kind::GaugePressure, row.pressure.pascals() - ambient_pa),
            Value::Count(usize::from(row.readiness)),
            Value::Text(row.leak_class.clone().unwrap_or_default()),
        ]);
    }
    report.table("Order for soap", table);
    report.assume(
        "how readily a kind of joint leaks is our choice, by what loosens it; no count of leaks is behind it",
    );
    report.key("joint_count", total);
    let list = rows
        .iter()
        .map(|r| {
            json!({
                "part": r.part, "kind": r.kind.name(), "count": r.count,
                "pressure_pa": json::number(r.pressure.pascals()), "readiness": r.readiness,
                "leak_class": r.leak_class,
            })
        })
        .collect();
    report.key("joints", Json::Array(list));
}

/// Adds the plan of the test.
pub fn plan(report: &mut Report, rig: &Rig, plan: &TestPlan) {
    let ambient_pa = rig.site.air_pressure.pascals();
    let gauge = |p: AbsolutePressure| Value::of(Kind::GaugePressure, p.pascals() - ambient_pa);
    let mut pressures = Table::new(vec![
        Column::new("zone"),
        Column::of("at rest", Kind::GaugePressure).digits(3),
        Column::of("at most", Kind::GaugePressure).digits(3),
        Column::of("test at", Kind::GaugePressure).digits(3),
        Column::new("weakest part"),
        Column::of("its rating", Kind::GaugePressure).digits(3),
    ]);
    let mut holds = Table::new(vec![
        Column::new("zone"),
        Column::of("volume", Kind::Volume).digits(2),
        Column::of("hold", Kind::Time).digits(3),
        Column::of("fall accepted", Kind::PressureDifference).digits(2),
        Column::of("band of readings", Kind::PressureDifference).digits(2),
        Column::of("leak accepted", Kind::VolumeRate).digits(2),
        Column::of("smallest seen", Kind::VolumeRate).digits(2),
        Column::of("fuel then", Kind::MassRate).digits(2).optional(),
    ]);
    for test in &plan.zones {
        let weakest = test.zone.weakest.as_ref();
        pressures.row(vec![
            Value::Text(test.zone.label()),
            gauge(test.zone.at_rest),
            gauge(test.working),
            test.pressure.map_or(Value::Absent, gauge),
            Value::Text(weakest_part(test).unwrap_or_else(|| "no rating given".to_owned())),
            weakest.map_or(Value::Absent, |w| gauge(w.1)),
        ]);
        remarks(report, test);
        let Some(hold) = &test.hold else { continue };
        holds.row(vec![
            Value::Text(test.zone.label()),
            Value::of(Kind::Volume, hold.volume.value),
            Value::of(Kind::Time, hold.time.value),
            Value::of(Kind::PressureDifference, hold.drop.pascals()),
            Value::of(Kind::PressureDifference, hold.band.pascals()),
            Value::of(Kind::VolumeRate, hold.accepted.value),
            Value::of(Kind::VolumeRate, hold.smallest.value),
            hold.fuel
                .map_or(Value::Absent, |m| Value::of(Kind::MassRate, m.value)),
        ]);
    }
    report.table("Test pressure, nitrogen", pressures);
    report.table("Hold, and what it shows", holds);
    let mut first = Table::new(vec![Column::new("zone"), Column::new("first")]);
    for test in &plan.zones {
        for step in &test.first {
            first.row(vec![
                Value::Text(test.zone.label()),
                Value::Text(step.clone()),
            ]);
        }
    }
    report.table("Before each zone is pressed", first);
    report.paragraph(
        "Never left plugged",
        format!(
            "{}: free again before any fuel.",
            plan.never_plugged.join(", ")
        ),
    );
    let mut steps = Table::new(vec![Column::new("step"), Column::new("what")]);
    for (i, step) in STEPS_OF_TEST.iter().enumerate() {
        steps.row(vec![Value::Count(i + 1), Value::from(*step)]);
    }
    report.table("How it is made", steps);
    for sentence in &plan.assumptions {
        report.assume(sentence.as_str());
    }
    report.assume("falls are corrected for temperature: start less end times start over end temperature, all absolute [cfr1065]");
    for sentence in NOT_PROVED {
        report.remark(format!("A pass does not prove {sentence}."));
    }
    report.key(
        "test_zones",
        Json::Array(plan.zones.iter().map(zone).collect()),
    );
    report.key("never_plugged", json!(plan.never_plugged));
    report.key("not_proved", json!(NOT_PROVED));
    report.key("test_steps", json!(STEPS_OF_TEST));
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

fn zone(test: &ZoneTest) -> Json {
    let number = |x: Option<f64>| x.map_or(Json::Null, json::number);
    let hold = test.hold.as_ref();
    json!({
        "zone": test.zone.label(),
        "parts": test.zone.parts,
        "joints": test.zone.joints,
        "at_rest_pa": json::number(test.zone.at_rest.pascals()),
        "working_pa": json::number(test.working.pascals()),
        "test_pressure_pa": number(test.pressure.map(AbsolutePressure::pascals)),
        "weakest": test.zone.weakest.as_ref().map(|w| w.0.clone()),
        "weakest_joint": test.zone.weakest_joint.map(crate::train::JointKind::name),
        "weakest_rating_pa": number(test.zone.weakest.as_ref().map(|w| w.1.pascals())),
        "unrated": test.zone.unrated,
        "behind": test.zone.behind,
        "first": test.first,
        "volume_m3": number(hold.map(|h| h.volume.value)),
        "hold_s": number(hold.map(|h| h.time.value)),
        "accepted_drop_pa": number(hold.map(|h| h.drop.pascals())),
        "band_pa": number(hold.map(|h| h.band.pascals())),
        "accepted_leak_m3_s": number(hold.map(|h| h.accepted.value)),
        "smallest_leak_m3_s": number(hold.map(|h| h.smallest.value)),
        "fuel_of_accepted_leak_kg_s": number(hold.and_then(|h| h.fuel).map(|m| m.value)),
    })
}

/// Adds the tests on record, judged.
pub fn records(
    report: &mut Report,
    rig: &Rig,
    judged: &Result<Vec<LeakJudgement>, String>,
    units: Units,
) {
    if rig.leak_tests.is_empty() {
        report.paragraph("Test on record", "None.");
        report.key("leak_test", Json::Null);
        report.key("leak_tests", json!([]));
        return;
    }
    let judged = match judged {
        Ok(judged) => judged,
        Err(why) => {
            report.paragraph("Test on record", format!("It says nothing: {why}."));
            report.key(
                "leak_test",
                json!({ "verdict": Json::Null, "because": why }),
            );
            report.key("leak_tests", json!([]));
            return;
        }
    };
    let alone = judged.len() == 1;
    for test in judged {
        let title = if alone {
            "Test on record".to_owned()
        } else {
            format!("Test on record, {}", test.record.label)
        };
        report.facts(&title, facts(rig, test, units));
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
    let all: Vec<Json> = judged.iter().map(|j| keys(rig, j)).collect();
    // one record, as older readers know it: the first
    report.key("leak_test", all.first().cloned().unwrap_or(Json::Null));
    report.key("leak_tests", Json::Array(all));
}

fn facts(rig: &Rig, judged: &LeakJudgement, units: Units) -> Vec<Fact> {
    let record = &judged.record;
    let test = &record.test;
    let gauge = |p: AbsolutePressure| p.pascals() - rig.site.air_pressure.pascals();
    let mut facts = vec![
        Fact::text("Of", record.label.clone()),
        Fact::text("Date", test.date.to_string()),
        Fact::of("Pressure", Kind::GaugePressure, test.pressure.pascals()),
    ];
    // a record of parts that are not there has no pressure to be held against
    if record.nowhere.is_none() {
        let working = gauge(record.working);
        facts.push(Fact::of("It works at", Kind::GaugePressure, working).note("at most"));
    }
    match test.method {
        TestMethod::Soap { .. } => facts.push(Fact::text("Method", "soap on the joints")),
        TestMethod::Decay { hold_time, drop } => facts.extend([
            Fact::of("Hold", Kind::Time, hold_time.value),
            Fact::of(
                "Fall by the gauge",
                Kind::PressureDifference,
                drop.pascals(),
            ),
        ]),
    }
    if let Some(sums) = &judged.sums {
        let (corrected, band) = (sums.corrected.pascals(), sums.band.pascals());
        facts.extend([
            Fact::of(
                if record.temperatures_read() {
                    "Fall corrected for temperature"
                } else {
                    "Fall, no temperatures read"
                },
                Kind::PressureDifference,
                corrected,
            )
            .between(corrected - band, corrected + band),
            Fact::of(
                "Fall accepted in that time",
                Kind::PressureDifference,
                sums.accepted.pascals(),
            ),
        ]);
        if let Some(volume) = sums.volume {
            let volume = Fact::of("Volume counted with", Kind::Volume, volume.value);
            facts.push(if judged.volume_off {
                volume.note("of the parts: the stated one is not theirs")
            } else {
                volume
            });
        }
        if let (Some(leak), Some(smallest)) = (sums.leak, sums.smallest) {
            facts.extend([
                leak_fact(leak),
                Fact::of("Smallest it could see", Kind::VolumeRate, smallest.value),
            ]);
        }
    }
    facts.push(Fact::text("It says", told(rig, judged, units)));
    facts
}

/// A leak with its ends; where the readings fell by nothing, what it is at most.
fn leak_fact((least, leak, most): (VolumeRate, VolumeRate, VolumeRate)) -> Fact {
    const GAS: &str = "of the test gas, at 15 degC and one atmosphere";
    if leak.value > 0.0 {
        let fact = Fact::of("Leak", Kind::VolumeRate, leak.value);
        fact.between(least.value, most.value).note(GAS)
    } else if most.value > 0.0 {
        Fact::of("Leak at most", Kind::VolumeRate, most.value).note(GAS)
    } else {
        Fact::text("Leak", "none by the readings")
    }
}

/// What a record says, in words.
fn told(rig: &Rig, judged: &LeakJudgement, units: Units) -> String {
    let record = &judged.record;
    let gauge = |p: AbsolutePressure| {
        let gauge_pa = p.gauge(rig.site.air_pressure).pascals();
        show_digits(Kind::GaugePressure, gauge_pa, units, 3)
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

/// One record for machines.
fn keys(rig: &Rig, judged: &LeakJudgement) -> Json {
    let (record, sums) = (&judged.record, judged.sums.as_ref());
    let number = |x: Option<f64>| x.map_or(Json::Null, json::number);
    let leak = sums.and_then(|s| s.leak);
    let air = rig.site.air_pressure.pascals();
    json!({
        "at": record.test.at,
        "zone": record.label,
        "parts": record.parts,
        "zone_is_assumed": record.guessed,
        "method": if record.soaped() { "soap" } else { "decay" },
        "pressure_pa": json::number(air + record.test.pressure.pascals()),
        "working_pa": json::number(record.working.pascals()),
        "least_pa": json::number(record.least.pascals()),
        "test_pressure_pa": number(record.planned.map(AbsolutePressure::pascals)),
        "weakest_rating_pa": number(record.weakest.as_ref().map(|w| w.1.pascals())),
        "verdict": judged.verdict.word(),
        "because": judged.because,
        "corrected_drop_pa": number(sums.map(|s| s.corrected.pascals())),
        "band_pa": number(sums.map(|s| s.band.pascals())),
        "accepted_drop_pa": number(sums.map(|s| s.accepted.pascals())),
        "volume_m3": number(sums.and_then(|s| s.volume).map(|v| v.value)),
        "volume_of_parts_m3": json::number(record.volumes.known.value),
        "leak_m3_s": number(leak.map(|l| l.1.value)),
        "leak_low_m3_s": number(leak.map(|l| l.0.value)),
        "leak_high_m3_s": number(leak.map(|l| l.2.value)),
        "smallest_leak_m3_s": number(sums.and_then(|s| s.smallest).map(|q| q.value)),
        "opened_below_test": record.plugged(rig),
    })
}
