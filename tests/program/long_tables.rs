//! Long runs and long tables: what is kept and shown is bounded and says so, and the time to write grows with the rows.

use fuelwright::inside::{Column, Report, Table, Topic, Value, html, markdown, text};
use fuelwright::quantity::Kind;
use fuelwright::quantity::show::Units;
use fuelwright::{self as cli, Outcome};
use std::time::{Duration, Instant};

fn run(arguments: &[&str]) -> String {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let all = ["fuelwright", "--full"]
        .into_iter()
        .chain(arguments.iter().copied());
    let outcome = cli::run(all, 80, &mut out, &mut err);
    let err = String::from_utf8(err).expect("text");
    assert_ne!(outcome, Outcome::Failed, "{err}");
    String::from_utf8(out).expect("text")
}

/// A tank that is drawn from for so long, with a row every so often.
fn tank(draw: &str, duration: &str, every: &str, format: &str) -> String {
    run(&[
        "tank",
        "--fuel",
        "propane",
        "--volume",
        "27.2 L",
        "--fill",
        "11 kg",
        "--tank-temperature",
        "15 degC",
        "--ambient",
        "15 degC",
        "--wall-mass",
        "12 kg",
        "--wall-specific-heat",
        "480 J/(kg K)",
        "--conductance",
        "5 W/K",
        "--lowest-pressure",
        "4 bar(a)",
        "--draw",
        draw,
        "--duration",
        duration,
        "--every",
        every,
        "--format",
        format,
    ])
}

fn json(draw: &str, duration: &str, every: &str) -> serde_json::Value {
    serde_json::from_str(&tank(draw, duration, every, "json")).expect("one object")
}

fn times(json: &serde_json::Value) -> Vec<f64> {
    let rows = json["series"].as_array().expect("a list").iter();
    rows.map(|r| r["time_s"].as_f64().expect("a number"))
        .collect()
}

fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn an_interval_that_makes_ten_thousand_rows_is_kept_exactly() {
    // 3600 / 0.36 is a little more than 10000 in floating point
    let json = json("0.1 g/s", "1 h", "0.36 s");
    let times = times(&json);
    assert_eq!(times.len(), 10_001);
    for (i, t) in times.iter().enumerate() {
        assert!((t - 0.36 * i as f64).abs() < 1e-9, "{i}: {t}");
    }
    assert!(
        !json["notes"].to_string().contains("at most are kept"),
        "{}",
        json["notes"]
    );
}

#[test]
fn of_more_rows_one_in_so_many_is_kept_with_the_first_and_the_last_and_the_answer_says_so() {
    let json = json("0.1 g/s", "2 h", "0.1 s");
    // 72000 rows, so one in 8: every 0.8 s
    let times = times(&json);
    assert_eq!(times.len(), 9001);
    assert!(
        times[0].abs() < 1e-12 && (times[1] - 0.8).abs() < 1e-9,
        "{}",
        times[1]
    );
    assert!((times[9000] - 7200.0).abs() < 1e-6);
    let notes = json["notes"].to_string();
    assert!(
        notes.contains(
            "A row every 0.1 s makes 72000 of them, and 10000 at most are kept: one in 8, every 0.8 s."
        ),
        "{notes}"
    );
    // 32 years in steps of a microsecond
    let long = self::json("0 g/s", "1e9 s", "1 us");
    assert!(self::times(&long).len() <= 10_002);
    // ten rows a draw, as many a rest, and nobody asked for any
    let many = run(&[
        "tank",
        "--fuel",
        "propane",
        "--volume",
        "27.2 L",
        "--fill",
        "11 kg",
        "--tank-temperature",
        "15 degC",
        "--ambient",
        "15 degC",
        "--wall-mass",
        "12 kg",
        "--wall-specific-heat",
        "480 J/(kg K)",
        "--conductance",
        "5 W/K",
        "--draw",
        "0.1 g/s",
        "--duration",
        "1 s",
        "--rest",
        "1 s",
        "--repeats",
        "5001",
        "--format",
        "json",
    ]);
    let many: serde_json::Value = serde_json::from_str(&many).expect("one object");
    assert!(self::times(&many).len() <= 10_002);
    let notes = many["notes"].to_string();
    assert!(
        notes.contains("A row every 0.1 s makes 100020 of them"),
        "{notes}"
    );
}

#[test]
fn tables_for_people_show_some_hundred_rows_and_keep_those_at_which_something_happens() {
    // falls below 4 bar within the time
    let (draw, duration, every) = ("1 g/s", "2000 s", "1 s");
    let json = json(draw, duration, every);
    let all = times(&json);
    assert_eq!(all.len(), 2001);
    let events = json["events"].as_array().expect("a list");
    let event_s = events[0]["time_s"].as_f64().expect("a number");
    for format in ["text", "markdown", "html"] {
        let out = tank(draw, duration, every, format);
        assert!(
            flat(&out).contains("shows one row in 6 of 2001, with the last and those at which something happens; JSON has all of them"),
            "{format}: {out}"
        );
        if format == "html" {
            let rows = out.matches("<th scope=\"row\"").count();
            assert!((335..360).contains(&rows), "{rows}");
            continue;
        }
        // first numbers of the lines of the table, in minutes
        let cells = out.lines().map(|l| l.trim_start_matches("| ").trim_start());
        let numbers = cells.filter_map(|l| l.split([' ', '|']).next()?.parse::<f64>().ok());
        let minutes: Vec<f64> = numbers.collect();
        assert!(
            (335..345).contains(&minutes.len()),
            "{format}: {}",
            minutes.len()
        );
        // the last row before it happens: a whole second
        let row = event_s.floor() / 60.0;
        let shown = minutes.iter().any(|m| (m - row).abs() < 0.006);
        assert!(shown, "{format}: {row} of {minutes:?}");
        let last = minutes.iter().any(|m| (m - 2000.0 / 60.0).abs() < 0.006);
        assert!(last, "{format}: {minutes:?}");
    }
}

/// A report with a table of so many rows: numbers, counts, and two columns of texts of which one is empty but for
/// its last row.
fn table(rows: usize) -> Report {
    let mut table = Table::new(vec![
        Column::of("time", Kind::Time),
        Column::new("step"),
        Column::new("remark"),
        Column::of("pressure", Kind::AbsolutePressure).optional(),
        Column::new("number"),
    ]);
    for i in 0..rows {
        let last = if i + 1 == rows { "the end" } else { "" };
        table.row(vec![
            Value::of(Kind::Time, i as f64),
            "full".into(),
            last.into(),
            if i + 1 == rows {
                Value::of(Kind::AbsolutePressure, 2e5)
            } else {
                Value::Absent
            },
            Value::Number(i as f64 + 0.5),
        ]);
    }
    let mut report = Report::new(Topic::Tank, "A long run");
    report.table("Run", table);
    report
}

#[test]
fn the_time_to_write_a_table_grows_with_its_rows_and_not_with_their_square() {
    type Writer = fn(&Report) -> String;
    let (few, many) = (table(1_000), table(16_000));
    // both take as long where the time grows with the rows, so that other work on the machine weighs on both alike
    let least = |write: Writer, report: &Report, times: usize| {
        let time = |_| {
            let begun = Instant::now();
            for _ in 0..times {
                assert!(write(report).contains("the end"));
            }
            begun.elapsed()
        };
        (0..5).map(time).min().unwrap_or(Duration::MAX)
    };
    let writers: [(&str, Writer); 3] = [
        ("Markdown", |r| markdown::render(r, Units::Si)),
        ("HTML", |r| html::render(r, Units::Si)),
        ("text", |r| text::render(r, Units::Si, 100)),
    ];
    for (name, write) in writers {
        let (parts, whole) = (least(write, &few, 16), least(write, &many, 1));
        // 1 where it grows with the rows, 16 with their square
        let ratio = whole.as_secs_f64() / parts.as_secs_f64();
        assert!(
            ratio < 4.0,
            "{name}: {parts:?} in parts, {whole:?} as a whole"
        );
    }
}
