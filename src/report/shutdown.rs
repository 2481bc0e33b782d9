//! What stops the fuel on failures, for people and machines.

use super::{Column, Report, Table, Value, json};
use crate::leak::{Answer, Failure, FailureRow, PairRow, failure_pairs};
use crate::quantity::Kind;
use serde_json::{Value as Json, json};

/// Adds the table of failures: every outlet, or in short the worst of each failure.
pub fn failures(report: &mut Report, rows: &[FailureRow], short: bool) {
    let many = rows.iter().any(|r| r.outlet != rows[0].outlet);
    let mut columns = vec![Column::new("when")];
    if many {
        columns.push(Column::new("holes"));
    }
    columns.extend([
        Column::new("the fuel"),
        Column::of("stops after", Kind::Time).digits(2),
        Column::of("fuel passed", Kind::Mass).digits(2),
        Column::of("its heat", Kind::Energy).digits(2).optional(),
        Column::new("runs on if it sticks"),
    ]);
    let mut table = Table::new(columns);
    for failure in Failure::ALL {
        let mut of: Vec<&FailureRow> = rows.iter().filter(|r| r.failure == failure).collect();
        if short {
            of.sort_by_key(|r| std::cmp::Reverse(gravity(r)));
            of.truncate(1);
        }
        for row in of {
            table.row(cells(row, many));
        }
    }
    report.table("What stops the fuel", table);
    report.table("Why it runs on, or is not known", reasons(rows));
    if !short {
        pairs(report, rows);
        let twos = failure_pairs(rows);
        two_at_once(report, rows, &twos);
        report.key("pairs", Json::Array(twos.iter().map(pair_json).collect()));
    }
    report.assume(
        "a shut command cuts the power of the shut-off valves; switches answer at once; metering and needle valves are no shut-off",
    );
    report.key("shutdown", Json::Array(rows.iter().map(row_json).collect()));
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

fn cells(row: &FailureRow, many: bool) -> Vec<Value> {
    let mut cells = vec![Value::from(row.failure.words())];
    if many {
        cells.push(Value::Text(row.outlet.clone()));
    }
    let (words, stop) = match &row.answer {
        Answer::Stops(stop) => ("stops", Some(stop)),
        Answer::RunsOn { .. } => ("RUNS ON", None),
        Answer::NotKnown { .. } => ("not known", None),
    };
    cells.extend([
        Value::from(words),
        Value::of(Kind::Time, stop.and_then(|s| s.time).map(|t| t.value)),
        Value::of(Kind::Mass, stop.and_then(|s| s.fuel).map(|m| m.value)),
        Value::of(Kind::Energy, stop.and_then(|s| s.energy).map(|e| e.value)),
        Value::Text(match (row.single_point(), row.stuck.is_empty()) {
            (Some(part), _) => part.to_owned(),
            (None, false) => "none does".to_owned(),
            (None, true) => String::new(),
        }),
    ]);
    cells
}

/// What leaves the fuel running, and what the rig file does not say, once each.
fn reasons(rows: &[FailureRow]) -> Table {
    let mut table = Table::new(vec![Column::new("when"), Column::new("because")]);
    for row in rows {
        let because = match &row.answer {
            Answer::RunsOn { because } | Answer::NotKnown { because } => *because,
            Answer::Stops(_) => continue,
        };
        let cells = vec![Value::from(row.failure.words()), Value::from(because)];
        if !table.rows.contains(&cells) {
            table.row(cells);
        }
    }
    table
}

/// Two failures at once that leave the fuel running, or of which that is not known; where there are none, what that
/// holds for.
fn two_at_once(report: &mut Report, rows: &[FailureRow], twos: &[PairRow]) {
    let mut table = Table::new(vec![
        Column::new("when"),
        Column::new("and"),
        Column::new("holes"),
        Column::new("the fuel"),
    ]);
    for two in twos {
        let words = match &two.answer {
            Answer::Stops(_) => continue,
            Answer::RunsOn { .. } => "RUNS ON",
            Answer::NotKnown { .. } => "not known",
        };
        let [a, b] = two.failures;
        table.row(vec![
            Value::from(a.words()),
            Value::from(b.words()),
            Value::from(two.outlet.as_str()),
            Value::from(words),
        ]);
    }
    if table.rows.is_empty() && !twos.is_empty() {
        let stops = |answer: &Answer| matches!(answer, Answer::Stops(_));
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
        report.table("Two failures at once that do not stop it", table);
    }
}

/// Every failure with every part that may stick and the device that may not answer; those alike in one row.
fn pairs(report: &mut Report, rows: &[FailureRow]) {
    let mut seen: Vec<(&str, &str, &Answer, Vec<&str>)> = Vec::new();
    for row in rows {
        let stuck = row
            .stuck
            .iter()
            .map(|(part, answer)| (part.as_str(), answer));
        let dead = row
            .unanswered
            .iter()
            .map(|(device, answer)| (*device, answer));
        for (part, answer) in stuck.chain(dead) {
            let same = seen
                .iter_mut()
                .find(|(p, o, a, _)| *p == part && *o == row.outlet && *a == answer);
            match same {
                Some((.., failures)) => failures.push(row.failure.words()),
                None => seen.push((part, &row.outlet, answer, vec![row.failure.words()])),
            }
        }
    }
    let any_stops = seen.iter().any(|s| matches!(s.2, Answer::Stops(_)));
    let mut columns = vec![
        Column::new("stuck or dead"),
        Column::new("and"),
        Column::new("holes"),
        Column::new("the fuel"),
    ];
    if any_stops {
        columns.push(Column::of("stops after", Kind::Time).digits(2));
        columns.push(Column::of("fuel passed", Kind::Mass).digits(2));
    }
    let mut table = Table::new(columns);
    for (part, outlet, answer, failures) in seen {
        let (words, stop) = match answer {
            Answer::Stops(stop) => ("stops", Some(stop)),
            Answer::RunsOn { .. } => ("RUNS ON", None),
            Answer::NotKnown { because } => (*because, None),
        };
        let mut cells = vec![
            Value::from(part),
            Value::Text(failures.join(", ")),
            Value::from(outlet),
            Value::from(words),
        ];
        if any_stops {
            cells.push(Value::of(
                Kind::Time,
                stop.and_then(|s| s.time).map(|t| t.value),
            ));
            cells.push(Value::of(
                Kind::Mass,
                stop.and_then(|s| s.fuel).map(|m| m.value),
            ));
        }
        table.row(cells);
    }
    report.table("Failures in pairs", table);
}

fn answer_json(answer: &Answer) -> Json {
    let number = |x: Option<f64>| x.map_or(Json::Null, json::number);
    match answer {
        Answer::Stops(s) => json!({
            "stops": true,
            "time_s": number(s.time.map(|t| t.value)),
            "fuel_kg": number(s.fuel.map(|m| m.value)),
            "energy_j": number(s.energy.map(|e| e.value)),
        }),
        Answer::RunsOn { because } => json!({ "stops": false, "because": because }),
        Answer::NotKnown { because } => json!({ "stops": Json::Null, "because": because }),
    }
}

fn row_json(row: &FailureRow) -> Json {
    let stuck: Vec<Json> = row
        .stuck
        .iter()
        .map(|(part, answer)| {
            let mut object = answer_json(answer);
            object["part"] = json!(part);
            object
        })
        .collect();
    let mut object = answer_json(&row.answer);
    object["failure"] = json!(row.failure.key());
    object["outlet"] = json!(row.outlet);
    object["closing"] = json!(row.closing);
    object["stuck"] = json!(stuck);
    object["single_point"] = json!(row.single_point());
    object["unanswered"] = row
        .unanswered
        .as_ref()
        .map_or(Json::Null, |(device, answer)| {
            let mut object = answer_json(answer);
            object["device"] = json!(device);
            object
        });
    object
}

fn pair_json(two: &PairRow) -> Json {
    let mut object = answer_json(&two.answer);
    object["failures"] = json!(two.failures.map(Failure::key));
    object["outlet"] = json!(two.outlet);
    object
}
