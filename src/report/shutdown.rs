//! What stops the fuel on failures, for people and machines.

use super::Report;
use super::record::{Row, each_once, record, table, table_of};
use crate::leak::shutdown::Stop;
use crate::leak::{Answer, Failure, FailureRow, PairRow, failure_pairs};

record! {
    /// What the fuel does.
    Outcome(answer: &Answer)
    with {
        (stops, says, stop, because) = match answer {
            Answer::Stops(stop) => (Some(true), "stops", Some(stop), None),
            Answer::RunsOn { because } => (Some(false), "RUNS ON", None, Some(*because)),
            Answer::NotKnown { because } => (None, "not known", None, Some(*because)),
        };
    }
    {
        /// Whether the fuel stops; null: not known.
        stops: Flag = stops, "the fuel" => Text = says;
        ..stop: Row(Stopped) = stop.map(Stopped::row);
        /// Why it runs on, or what the rig file does not say.
        [because]: Text = because;
    }

    /// A stop.
    Stopped(stop: &Stop) {
        /// From the failure to a closed valve; null: a time is not given.
        time_s: Time = stop.time, "stops after" 2;
        /// Fuel that leaves the holes from the failure on, at most.
        fuel_kg: Mass = stop.fuel, "fuel passed" 2;
        /// Heat of that fuel.
        energy_j: Energy = stop.energy, "its heat" 2 [optional];
    }

    /// Failures, one row a failure and outlet.
    OneFailure(row: &FailureRow)
    with {
        single = row.single_point();
        says = match single {
            Some(part) => part,
            None if row.stuck.is_empty() => "",
            None => "none does",
        };
        dead = row.unanswered.as_ref();
    }
    {
        ..answer: Row(Outcome) = Outcome::row(&row.answer);
        /// What fails.
        failure: Text = row.failure.key(), "when" => Text = row.failure.words();
        /// Outlet.
        outlet: Text = &row.outlet, "holes";
        /// Parts that stop it, from the supply on.
        closing: Texts = &row.closing;
        stuck: Rows(StuckPart) = row.stuck.iter().map(StuckPart::row).collect::<Vec<_>>();
        /// Part whose sticking alone lets the fuel run on.
        single_point: Text = single, "runs on if it sticks" => Text = says;
        unanswered: Row(DeadDevice) = dead.map(|(device, answer)| DeadDevice::row(device, answer));
    }

    /// The same if one of them sticks open as well.
    StuckPart(stuck: &(String, Answer)) {
        ..answer: Row(Outcome) = Outcome::row(&stuck.1);
        /// The part.
        part: Text = &stuck.0;
    }

    /// The same if the device that should answer does not.
    DeadDevice(device: &str, answer: &Answer) {
        ..answer: Row(Outcome) = Outcome::row(answer);
        /// The device.
        device: Text = device;
    }

    /// Two failures at once.
    TwoFailures(two: &PairRow)
    with { [a, b] = two.failures; }
    {
        ..answer: Row(Outcome) = Outcome::row(&two.answer);
        /// What fails.
        failures: Texts = vec![a.key(), b.key()], "when" => Text = a.words();
        (second): Text = b.words(), "and";
        /// Outlet.
        outlet: Text = &two.outlet, "holes";
    }

    /// A stuck part or dead device with the failures that end alike.
    Alike(a: &Together<'_>)
    with { says = match a.answer {
        Answer::Stops(_) => "stops",
        Answer::RunsOn { .. } => "RUNS ON",
        Answer::NotKnown { because } => because,
    }; }
    {
        (part): Text = a.part, "stuck or dead";
        (failures): Text = a.failures.join(", "), "and";
        (outlet): Text = a.outlet, "holes";
        (fuel): Text = says, "the fuel";
        ..answer: Row(Outcome) = Outcome::row(a.answer);
    }

    /// Why the fuel runs on, or is not known to stop.
    Reason(when: &str, because: &str) {
        (when): Text = when, "when";
        (because): Text = because, "because";
    }

    /// What stops the fuel.
    Shutdown(rows: &[FailureRow], pairs: Option<&[PairRow]>) {
        [pairs]: Rows(TwoFailures) = pairs.map(|p| p.iter().map(TwoFailures::row).collect::<Vec<_>>());
        shutdown: Rows(OneFailure) = rows.iter().map(OneFailure::row).collect::<Vec<_>>();
    }
}

pub(crate) struct Together<'a> {
    part: &'a str,
    outlet: &'a str,
    answer: &'a Answer,
    failures: Vec<&'static str>,
}

/// Columns of the table of failures.
const FAILURES: [&str; 7] = [
    "failure",
    "outlet",
    "stops",
    "time_s",
    "fuel_kg",
    "energy_j",
    "single_point",
];

/// Adds the table of failures: every outlet, or in short the worst of each failure.
pub fn failures(report: &mut Report, rows: &[FailureRow], short: bool) {
    let many = rows.iter().any(|r| r.outlet != rows[0].outlet);
    let twos = (!short).then(|| failure_pairs(rows));
    let row = Shutdown::row(rows, twos.as_deref());
    let mut columns = FAILURES.to_vec();
    columns.retain(|key| many || *key != "outlet");
    let mut shown: Vec<Row> = Vec::new();
    for failure in Failure::ALL {
        let told = rows.iter().zip(row.rows("shutdown"));
        let mut of: Vec<_> = told.filter(|(r, _)| r.failure == failure).collect();
        if short {
            of.sort_by_key(|(r, _)| std::cmp::Reverse(gravity(r)));
            of.truncate(1);
        }
        shown.extend(of.into_iter().map(|(_, row)| row.clone()));
    }
    report.table("What stops the fuel", table_of(&shown, &columns));
    let why = each_once(rows.iter().filter_map(reason));
    let why = why
        .into_iter()
        .map(|(when, because)| Reason::row(when, because));
    report.table(
        "Why it runs on, or is not known",
        table(&why.collect::<Vec<_>>()),
    );
    if let Some(twos) = &twos {
        pairs(report, rows);
        two_at_once(report, rows, twos, row.rows("pairs"));
    }
    report.assume(
        "a shut command cuts the power of the shut-off valves; switches answer at once; metering and needle valves do not count as shut-offs",
    );
    report.keys(&row);
}

/// How bad a row is, for the choice of one.
fn gravity(row: &FailureRow) -> u8 {
    match (&row.answer, row.single_point()) {
        (Answer::RunsOn { .. }, _) => 3,
        (_, Some(_)) => 2,
        (Answer::NotKnown { .. }, _) => 1,
        (Answer::Stops(_), None) => 0,
    }
}

/// What leaves the fuel running, and what the rig file does not say.
fn reason(row: &FailureRow) -> Option<(&'static str, &'static str)> {
    match &row.answer {
        Answer::RunsOn { because } | Answer::NotKnown { because } => {
            Some((row.failure.words(), because))
        }
        Answer::Stops(_) => None,
    }
}

/// Two failures at once that leave the fuel running, or of which that is not known; where there are none, what that
/// holds for.
fn two_at_once(report: &mut Report, rows: &[FailureRow], twos: &[PairRow], told: &[Row]) {
    let stops = |answer: &Answer| matches!(answer, Answer::Stops(_));
    let on = twos.iter().zip(told).filter(|(two, _)| !stops(&two.answer));
    let on: Vec<Row> = on.map(|(_, row)| row.clone()).collect();
    if on.is_empty() && !twos.is_empty() {
        let mut text =
            "Of every two failures of the first table at once, what answers one of them stops the fuel."
                .to_owned();
        if rows
            .iter()
            .any(|r| matches!(r.answer, Answer::RunsOn { .. }))
        {
            text.push_str(
                " One that RUNS ON is stopped only if another comes with it that is answered.",
            );
        }
        if rows
            .iter()
            .any(|r| matches!(r.answer, Answer::NotKnown { .. }))
        {
            text.push_str(" Of one that is not known nobody can say that it stops by itself.");
        }
        let stuck = rows.iter().flat_map(|r| &r.stuck).map(|(_, answer)| answer);
        let dead = rows.iter().filter_map(|r| r.unanswered.as_ref());
        if !stuck.chain(dead.map(|(_, answer)| answer)).all(stops) {
            text.push_str(" That counts no part that sticks and no device that is dead: the pairs above have those.");
        }
        report.remark(text);
    } else {
        report.table(
            "Two failures at once that do not stop it",
            table_of(&on, &["failures", "second", "outlet", "stops"]),
        );
    }
}

/// Every failure with every part that may stick and the device that may not answer; those alike in one row.
fn pairs(report: &mut Report, rows: &[FailureRow]) {
    let mut seen: Vec<Together<'_>> = Vec::new();
    for row in rows {
        let stuck = row
            .stuck
            .iter()
            .map(|(part, answer)| (part.as_str(), answer));
        let dead = row
            .unanswered
            .iter()
            .map(|(device, answer)| (*device, answer));
        let words = row.failure.words();
        for (part, answer) in stuck.chain(dead) {
            let alike = |s: &&mut Together<'_>| {
                s.part == part && s.outlet == row.outlet && s.answer == answer
            };
            match seen.iter_mut().find(alike) {
                Some(same) => same.failures.push(words),
                None => seen.push(Together {
                    part,
                    outlet: &row.outlet,
                    answer,
                    failures: vec![words],
                }),
            }
        }
    }
    let mut columns = vec!["part", "failures", "outlet", "fuel"];
    if seen.iter().any(|s| matches!(s.answer, Answer::Stops(_))) {
        columns.extend(["time_s", "fuel_kg"]);
    }
    let rows: Vec<Row> = seen.iter().map(Alike::row).collect();
    report.table("Failures in pairs", table_of(&rows, &columns));
}
