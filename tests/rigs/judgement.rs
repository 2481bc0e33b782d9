//! What an audit decides beside its findings: what the file leaves out, what is set aside, what machines read of it.

use fuelwright::audit::registry;
use fuelwright::inside::Page;
use fuelwright::inside::schema;
use fuelwright::train::rig::Date;
use fuelwright::{self as cli, Outcome};
use serde_json::Value as Json;
use sha2::{Digest, Sha256};
use std::collections::BTreeSet;
use std::path::PathBuf;
use toml::{Table, Value};

const INDOOR: &str = "tests/faults/rigs/indoor-blend-two-cylinders.toml";
const SOAK: &str = "examples/coupon-soak-rig.toml";

fn text(file: &str) -> String {
    let path = format!("{}/{file}", env!("CARGO_MANIFEST_DIR"));
    std::fs::read_to_string(path).expect("readable")
}

fn rig(file: &str) -> Table {
    text(file).parse().expect("TOML")
}

/// Runs a command on a rig that is written to a file of its own.
fn run(name: &str, rig: &str, arguments: &[&str]) -> (Outcome, String, String) {
    let path = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(format!("judgement-{name}.toml"));
    std::fs::write(&path, rig).expect("writable");
    let path = path.display().to_string();
    let mut all = vec!["fuelwright", "--full"];
    all.extend(
        arguments
            .iter()
            .map(|a| if *a == "RIG" { &path } else { *a }),
    );
    told(&all)
}

fn told(all: &[&str]) -> (Outcome, String, String) {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let outcome = cli::run(all.iter().copied(), 80, &mut out, &mut err);
    let [out, err] = [out, err].map(|bytes| String::from_utf8(bytes).expect("text"));
    (outcome, out, err)
}

fn json(name: &str, rig: &str) -> Json {
    let (_, out, err) = run(name, rig, &["audit", "RIG", "--format", "json"]);
    serde_json::from_str(&out).unwrap_or_else(|e| panic!("{e}: {err}"))
}

fn of<'j>(json: &'j Json, id: &str) -> Vec<&'j Json> {
    let findings = json["findings"].as_array().expect("a list");
    findings.iter().filter(|f| f["id"] == id).collect()
}

fn ids(json: &Json) -> BTreeSet<&str> {
    let findings = json["findings"].as_array().expect("a list");
    findings.iter().filter_map(|f| f["id"].as_str()).collect()
}

/// The good indoor rig without controls, ratings, room, distances, materials and records.
fn stripped() -> Table {
    let mut rig = rig(INDOOR);
    for table in ["controls", "records", "leak_test", "burner"] {
        rig.remove(table);
    }
    let keep = |table: &mut Table, keys: &[&str]| keys.iter().for_each(|k| _ = table.remove(*k));
    let site = [
        "room_volume",
        "ventilation",
        "low_points",
        "low_point_distance",
        "operator_distance",
        "people_distance",
        "tank_to_fire",
        "shutoff_distance",
        "extinguisher",
        "extinguisher_charge",
        "gas_detector",
        "carbon_monoxide_alarm",
        "hottest",
    ];
    let ratings = ["rating", "relief_pressure", "setting"];
    let marks = ["max_pressure", "max_inlet", "wetted", "closing_time"];
    for (name, keys) in [
        ("site", &site[..]),
        ("fuel", &["odorised"]),
        ("air", &["proved"]),
        ("tank", &ratings),
    ] {
        keep(rig[name].as_table_mut().expect("a table"), keys);
    }
    for part in rig["train"].as_array_mut().expect("parts") {
        keep(part.as_table_mut().expect("a part"), &marks);
    }
    rig
}

/// The lines of the verdict from the first question on.
fn questions(out: &str) -> Vec<&str> {
    let verdict = out.lines().skip_while(|l| *l != "Verdict");
    let verdict = verdict.take_while(|l| !l.is_empty());
    verdict.skip_while(|l| !l.contains('?')).collect()
}

/// Rigs of other kinds without the tables that essentials stand in.
fn stripped_of(file: &str) -> Table {
    let mut rig = rig(file);
    for table in ["controls", "records", "leak_test", "burner"] {
        rig.remove(table);
    }
    let site = rig["site"].as_table_mut().expect("a table");
    let keep = ["ambient_temperature", "setting", "altitude"];
    site.retain(|key, _| keep.contains(&key));
    for part in rig["train"].as_array_mut().expect("parts") {
        let part = part.as_table_mut().expect("a part");
        for key in ["max_pressure", "wetted", "closing_time"] {
            part.remove(key);
        }
    }
    rig
}

#[test]
fn a_rig_that_leaves_out_what_danger_hangs_on_is_incomplete() {
    let stripped = stripped().to_string();
    let (outcome, out, err) = run("stripped", &stripped, &["audit", "RIG"]);
    assert_eq!(outcome, Outcome::Alarms, "{err}");
    assert!(out.contains("INCOMPLETE: "), "{out}");
    let block = questions(&out);
    for asked in [
        "What shuts the fuel off?",
        "What lights and watches the fire?",
        "What holds and relieves pressure?",
        "Where do cylinder and fire stand?",
        "Who and what is near the fire?",
        "Is it tight, and how old is it?",
    ] {
        assert!(block.iter().any(|q| q.contains(asked)), "{asked}: {out}");
    }
    // no signal word is spent on what nobody has looked at
    let shouts = |l: &&str| l.contains("DANGER") || l.contains("WARNING");
    assert!(!block.iter().any(shouts), "{out}");
    let all = json("stripped", &stripped);
    assert_eq!(all["incomplete"], true);
    assert!(all["missing"].as_array().expect("a list").len() > 30);
}

#[test]
fn the_questions_are_twelve_lines_on_any_page_and_their_lines_are_toml() {
    let rigs = [
        stripped(),
        stripped_of("tests/faults/rigs/kiln-on-main.toml"),
        stripped_of("tests/faults/rigs/pumped-kerosene.toml"),
        stripped_of("tests/faults/rigs/outdoor-propane.toml"),
    ];
    for (i, rig) in rigs.iter().enumerate() {
        let name = format!("narrow-{i}");
        let path = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(format!("{name}.toml"));
        std::fs::write(&path, rig.to_string()).expect("writable");
        for width in [40, 41, 45, 50, 60, 70, 80, 100, 120] {
            let (mut out, mut err) = (Vec::new(), Vec::new());
            let path = path.display().to_string();
            let all = ["fuelwright", "audit", &path];
            cli::run(all, width, &mut out, &mut err);
            let out = String::from_utf8(out).expect("text");
            let block = questions(&out);
            assert!((2..=12).contains(&block.len()), "{width}: {block:?}");
            let asks = |l: &str| ["? (", "? +"].iter().any(|c| l.contains(c)) || l.ends_with('?');
            for line in block.iter().filter(|l| !asks(l)) {
                assert!(line.chars().count() <= width, "{width}: {line}");
                let toml: Result<Table, _> = line.parse();
                assert!(toml.is_ok_and(|t| t.len() == 1), "{width}: {line}");
                assert!(line.contains(" # "), "where it goes: {line}");
            }
        }
        // all of them, in full, each as it can be pasted
        let (_, out, _) = run(&name, &rig.to_string(), &["audit", "RIG"]);
        let listed = out.lines().skip_while(|l| *l != "Lines to write");
        let listed = listed.skip(1).take_while(|l| !l.is_empty());
        let lines = listed.filter(|l| l.contains("\"?") || l.contains("[leak_test]"));
        let mut keys = BTreeSet::new();
        for line in lines {
            let toml: Table = line.parse().unwrap_or_else(|e| panic!("{line}: {e}"));
            keys.extend(toml.into_iter().map(|(key, _)| key));
        }
        for m in json(&name, &rig.to_string())["missing"]
            .as_array()
            .expect("a list")
        {
            let key = m["key"]
                .as_str()
                .and_then(|k| k.rsplit('.').next())
                .expect("text");
            assert!(keys.contains(key), "{key}: {keys:?}");
        }
    }
}

#[test]
fn each_question_fits_the_rig_that_it_is_asked_of() {
    let asked = |name: &str, file: &str| {
        let all = json(name, &stripped_of(file).to_string());
        let missing = all["missing"].as_array().expect("a list").iter();
        let text = |m: &Json, key: &str| m[key].as_str().expect("text").to_owned();
        let asked = missing.map(|m| format!("{} {}", text(m, "question"), text(m, "key")));
        asked.collect::<Vec<_>>().join("\n")
    };
    let main = asked("of-main", "tests/faults/rigs/kiln-on-main.toml");
    for not in ["ylinder", "tank", "relieves", "hottest"] {
        assert!(!main.contains(not), "{not}: {main}");
    }
    assert!(main.contains("What room does the fire stand in? site.room_volume"));
    let pumped = asked("of-pump", "tests/faults/rigs/pumped-kerosene.toml");
    for not in ["ylinder", "gas_detector", "odorised", "relieves"] {
        assert!(!pumped.contains(not), "{not}: {pumped}");
    }
    let pressed = asked("of-pad", "tests/faults/rigs/pressure-fed-kerosene.toml");
    assert!(
        !pressed.contains("room") && !pressed.contains("odorised"),
        "{pressed}"
    );
    let gas = asked("of-propane", "tests/faults/rigs/outdoor-propane.toml");
    assert!(!gas.contains("room"), "{gas}");
}

#[test]
fn the_list_for_a_test_day_says_that_facts_are_missing() {
    let stripped = stripped().to_string();
    let (outcome, out, err) = run("list", &stripped, &["checklist", "RIG"]);
    assert_eq!(outcome, Outcome::Alarms, "{err}");
    let words = out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        words.contains("DO NOT LIGHT before the rig file says what it leaves out"),
        "{out}"
    );
    assert!(
        words.contains("INCOMPLETE: the file leaves out 54 facts"),
        "{out}"
    );
    assert!(words.contains("What shuts the fuel off?"), "{out}");
}

/// Writes a line that was asked for into its table.
fn write(rig: &mut Table, key: &str, example: &str) {
    let line: Table = example.parse().unwrap_or_else(|e| panic!("{example}: {e}"));
    let steps: Vec<&str> = key.split('.').collect();
    let at = match steps[..] {
        ["train", part, _] => {
            let parts = rig["train"].as_array_mut().expect("parts");
            let named = |p: &&mut Value| p["name"].as_str() == Some(part);
            let part = parts.iter_mut().find(named);
            part.and_then(Value::as_table_mut)
                .expect("the part is there")
        }
        [table, _] => {
            let new = || Value::Table(Table::new());
            let table = rig.entry(table).or_insert_with(new);
            table.as_table_mut().expect("a table")
        }
        _ => rig,
    };
    at.extend(line);
}

/// Lines that were asked for, each `"?"` filled in with the example of the table of keys.
fn filled(schema: &Json, key: &str, lines: &str) -> String {
    let table = key.split('.').next().expect("a step");
    let own = &schema["properties"][table];
    let own = own["anyOf"].get(0).unwrap_or(own);
    let own = own.get("items").unwrap_or(own);
    let fill = |line: &str| {
        let Some((key, _)) = line.split_once(" = ") else {
            return line.to_owned();
        };
        let about = &own["properties"][key];
        let about = about["anyOf"]
            .get(0)
            .filter(|a| a["examples"].is_array())
            .unwrap_or(about);
        let example = &about["examples"][0];
        match example.as_str() {
            Some(day) if about["format"] == "date" || is_date(day) => format!("{key} = {day}"),
            _ => format!("{key} = {example}"),
        }
    };
    lines.lines().map(fill).collect::<Vec<_>>().join("\n")
}

fn is_date(text: &str) -> bool {
    text.len() == 10 && text.chars().all(|c| c.is_ascii_digit() || c == '-')
}

#[test]
fn writing_every_line_that_is_asked_for_completes_the_rig() {
    let schema = schema();
    let mut rig = stripped();
    for round in 0.. {
        let all = json("completed", &rig.to_string());
        let missing = all["missing"].as_array().expect("a list");
        if missing.is_empty() {
            assert_eq!(all["incomplete"], false);
            let verdict = all["verdict"].as_str().expect("text");
            assert!(!verdict.contains("INCOMPLETE"));
            return;
        }
        // an answer may bring one more question: how much air a purge has
        assert!(round < 3, "still asked: {missing:?}");
        for m in missing {
            let [key, example] = ["key", "example"].map(|k| m[k].as_str().expect("text"));
            assert!(!m["rules"].as_array().expect("a list").is_empty(), "{key}");
            write(&mut rig, key, &filled(&schema, key, example));
        }
    }
}

#[test]
fn a_line_pasted_without_its_answer_is_refused_and_says_what_goes_there() {
    let stripped = stripped();
    let all = json("unfilled", &stripped.to_string());
    let missing = all["missing"].as_array().expect("a list");
    for m in missing {
        let [key, example] = ["key", "example"].map(|k| m[k].as_str().expect("text"));
        let mut rig = stripped.clone();
        write(&mut rig, key, example);
        let (outcome, _, err) = run("unfilled", &rig.to_string(), &["audit", "RIG"]);
        assert_eq!(outcome, Outcome::Failed, "{key}");
        let last = key.rsplit('.').next().expect("a step");
        let open = example.lines().filter(|l| l.contains("\"?")).count();
        assert_eq!(err.matches("error[E209]").count(), open, "{key}: {err}");
        assert!(err.contains("is still to be filled in"), "{key}: {err}");
        assert!(
            err.contains("fill in what is true of your rig: "),
            "{key}: {err}"
        );
        assert!(
            open > 1 || err.contains(&format!("`{last}`")),
            "{key}: {err}"
        );
    }
}

#[test]
fn none_is_offered_where_it_is_an_answer_and_refused_with_a_reason_where_it_is_none() {
    let takes = takes_none();
    let mut of_all = BTreeSet::new();
    for (i, rig) in [
        stripped(),
        stripped_of("tests/faults/rigs/pumped-kerosene.toml"),
    ]
    .iter()
    .enumerate()
    {
        let all = json(&format!("offered-{i}"), &rig.to_string());
        for m in all["missing"].as_array().expect("a list") {
            let key = m["key"].as_str().expect("text");
            let mut steps = key.split('.');
            let table = steps.next().expect("a step");
            let general = steps
                .next_back()
                .map_or(table.to_owned(), |last| format!("{table}.{last}"));
            assert_eq!(m["none"], takes.contains(&general), "{key}");
            if m["none"] == false && of_all.insert(general) {
                let last = key.rsplit('.').next().expect("a step");
                let mut rig = rig.clone();
                write(&mut rig, key, &format!("{last} = \"none\""));
                let (outcome, _, err) = run("refused", &rig.to_string(), &["audit", "RIG"]);
                assert_eq!(outcome, Outcome::Failed, "{key}");
                assert!(err.contains("none"), "{key}: {err}");
                let says = ["does not answer", "is not a word for", "takes a list"];
                assert!(says.iter().any(|s| err.contains(s)), "{key}: {err}");
            }
        }
    }
    assert!(of_all.contains("site.room_volume"), "{of_all:?}");
}

/// Keys and tables that take `"none"`, and the rule that then speaks; or why none does.
const NONE: &[(&str, Result<&str, &str>)] = &[
    ("air.proved", Ok("SHU011")),
    ("controls.emergency_stop", Ok("SHU010")),
    ("controls.flame_detection", Ok("SHU003")),
    ("controls.flame_failure_time", Ok("SHU003")),
    ("controls.high_fuel_cutoff", Ok("SHU012")),
    ("controls.ignition", Ok("SHU005")),
    ("controls.ignition_time", Ok("SHU015")),
    ("controls.lockout", Ok("SHU009")),
    ("controls.low_fuel_cutoff", Ok("SHU012")),
    ("controls.purge_time", Ok("SHU004")),
    ("fuel.odorised", Ok("SIT004")),
    ("leak_test", Ok("REC001")),
    ("records.cylinder_inspected", Ok("REC006")),
    ("records.extinguisher_inspected", Ok("REC007")),
    ("records.hose_made", Ok("REC003")),
    ("records.regulator_made", Ok("REC005")),
    ("site.carbon_monoxide_alarm", Ok("SIT003")),
    ("site.extinguisher", Ok("SIT001")),
    ("site.gas_detector", Ok("SIT004")),
    (
        "site.low_points",
        Err("no pit or drain is near: nothing to find"),
    ),
    (
        "site.people_distance",
        Err("nobody else is near: nothing to find"),
    ),
    ("site.shutoff_distance", Ok("SIT008")),
    ("site.ventilation", Ok("LEK011")),
    ("tank.rating", Ok("TNK004")),
    ("tank.relief_pressure", Ok("TNK006")),
    ("train", Ok("SHU001")),
    ("train.max_inlet", Ok("REG003")),
    ("train.max_pressure", Ok("TRN005")),
];

/// Every key and table that takes the word.
fn takes_none() -> BTreeSet<String> {
    let schema = schema();
    let mut takes = BTreeSet::new();
    for (table, about) in schema["properties"].as_object().expect("tables") {
        let says = |v: &Json| {
            v["enum"]
                .as_array()
                .is_some_and(|e| e.iter().any(|w| w == "none"))
        };
        let none =
            |v: &Json| says(v) || v["anyOf"].as_array().is_some_and(|of| of.iter().any(says));
        if none(about) {
            takes.insert(table.clone());
        }
        let own = about["anyOf"].get(0).unwrap_or(about);
        let own = own.get("items").unwrap_or(own);
        for (key, value) in own["properties"].as_object().into_iter().flatten() {
            if none(value) {
                takes.insert(format!("{table}.{key}"));
            }
        }
    }
    takes
}

#[test]
fn none_is_an_answer_and_brings_its_rule() {
    let listed: BTreeSet<String> = NONE.iter().map(|n| n.0.to_owned()).collect();
    assert_eq!(takes_none(), listed);

    let good = rig(SOAK);
    let before = json("none", &good.to_string());
    let before = ids(&before);
    for (path, rule) in NONE {
        let mut rig = good.clone();
        let none = Value::String("none".to_owned());
        match path.split_once('.') {
            None => _ = rig.insert((*path).to_owned(), none),
            Some(("train", key)) => {
                let parts = rig["train"].as_array_mut().expect("parts");
                let part = parts
                    .iter_mut()
                    .find(|p| p["kind"].as_str() == Some("regulator"));
                part.expect("there")[key] = none;
            }
            Some((table, key)) => {
                let table = rig[table].as_table_mut().expect("a table");
                table.insert(key.to_owned(), none);
                match key {
                    "flame_detection" => _ = table.remove("flame_failure_time"),
                    "extinguisher" => _ = table.remove("extinguisher_charge"),
                    "low_points" => _ = table.remove("low_point_distance"),
                    _ => {}
                }
            }
        }
        let after = json("none", &rig.to_string());
        assert_eq!(after["incomplete"], false, "{path}: {}", after["missing"]);
        let new: Vec<&str> = ids(&after).difference(&before).copied().collect();
        match rule {
            Ok(rule) => assert!(new.contains(rule), "{path}: {new:?}"),
            Err(why) => assert!(new.is_empty() && why.len() > 20, "{path}: {new:?}"),
        }
    }
}

#[test]
fn without_a_train_only_holes_and_tank_are_judged() {
    let mut rig = rig(SOAK);
    rig.remove("train");
    let (outcome, out, err) = run("no-train", &rig.to_string(), &["audit", "RIG"]);
    assert_eq!(outcome, Outcome::Alarms, "{err}");
    let words = out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("only holes and tank were judged"), "{out}");
    let whole = run("train", &text(SOAK), &["audit", "RIG"]).1;
    assert!(!whole.contains("were judged"));
}

#[test]
fn commands_that_judge_no_rig_ask_for_no_more_than_is_theirs() {
    let stripped = stripped().to_string();
    let flags = "injector --fuel propane --upstream-temperature 15degC --chamber 0barg --holes 8 --flow 0.8g/s --upstream 1barg";
    let flags: Vec<&str> = flags.split(' ').collect();
    for arguments in [&flags[..], &["injector", "RIG"], &["tank", "RIG"]] {
        let (outcome, out, err) = run("asked", &stripped, arguments);
        assert_ne!(outcome, Outcome::Failed, "{arguments:?}: {err}");
        let said = format!("{out} {err}");
        let words: Vec<&str> = said
            .split(|c: char| !c.is_alphanumeric() && c != '_')
            .collect();
        for word in ["INCOMPLETE", "hose", "hoses", "leak_test", "emergency_stop"] {
            assert!(!words.contains(&word), "{arguments:?}: {word}\n{out}");
        }
    }
}

/// The soak rig with one DANGER, and what sets it aside.
fn aside(rule: &str, rest: &str) -> String {
    let good = text(SOAK).replace("people_distance = \"12 m\"", "people_distance = \"6 m\"");
    let broken = good.replace(
        "max_pressure = \"20 bar(g)\"",
        "max_pressure = \"6 bar(g)\"",
    );
    format!("{broken}\n[[suppress]]\nrule = \"{rule}\"\n{rest}\n")
}

const REASON: &str = "reason = \"the stamp was read wrongly; the hose is due on Monday\"";

#[test]
fn a_danger_that_is_set_aside_keeps_the_exit_code() {
    let signed = format!("{REASON}\nby = \"the owner\"\nuntil = 2026-12-31");
    // the only grave finding is the one set aside
    let good = text(SOAK).replace(
        "max_pressure = \"20 bar(g)\"",
        "max_pressure = \"6 bar(g)\"",
    );
    let rig = format!(
        "{good}\n[[suppress]]\nrule = \"TRN005\"\n{signed}\n\n[[suppress]]\nrule = \"LEK003\"\n{signed}\n"
    );
    let (outcome, out, err) = run("danger", &rig, &["audit", "RIG"]);
    let words = out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("0 DANGER, 0 WARNING, "), "{out}");
    assert!(words.contains("set aside: 2 DANGER;"), "{out}");
    assert_eq!(outcome, Outcome::Alarms, "{err}");
    for said in [
        "Set aside by the owner until 2026-12-31: DANGER TRN005",
        "the stamp was read wrongly; the hose is due on Monday; a DANGER keeps the exit code at 1 all the same",
    ] {
        assert!(words.contains(said), "{said}\n{out}");
    }
    let all = json("danger", &rig);
    let first = &all["suppressed"][0];
    for (key, value) in [
        ("by", "the owner"),
        ("until", "2026-12-31"),
        ("signal", "DANGER"),
    ] {
        assert_eq!(first[key], value, "{first}");
    }
}

#[test]
fn a_warning_is_set_aside_by_a_sentence_a_name_and_a_day() {
    let set = |rest: &str| {
        let far = text(SOAK).replace("shutoff_distance = \"1.5 m\"", "shutoff_distance = \"9 m\"");
        let rig = format!("{far}\n[[suppress]]\nrule = \"SIT008\"\n{rest}\n");
        run("warning", &rig, &["audit", "RIG"])
    };
    // the test day is 2026-04-11
    let (outcome, out, err) = set(&format!("{REASON}\nby = \"the owner\"\nuntil = 2026-04-11"));
    assert_eq!(outcome, Outcome::Done, "{out}{err}");
    for (rest, why) in [
        (REASON.to_owned(), "`by` and `until` do not say"),
        (
            format!("{REASON}\nby = \"the owner\""),
            "`by` and `until` do not say",
        ),
        (
            format!("{REASON}\nby = \"the owner\"\nuntil = 2026-04-10"),
            "that held until 2026-04-10 only, and the test day is 2026-04-11",
        ),
    ] {
        let (outcome, out, err) = set(&rest);
        assert_eq!(outcome, Outcome::Alarms, "{err}");
        let words = out.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(
            words.contains("SIT008 is not set aside") && words.contains(why),
            "{why}\n{out}"
        );
    }
    for none in [
        "fine",
        "aaaaaaaaaaaa",
        "aaaa aaaa aaaa aaaa",
        "a b c d e f g h i j k",
        "checked it",
    ] {
        let (outcome, _, err) = set(&format!(
            "reason = \"{none}\"\nby = \"the owner\"\nuntil = 2026-12-31"
        ));
        assert_eq!(outcome, Outcome::Failed, "{none}");
        assert!(err.contains("a reason is a sentence"), "{err}");
    }
}

#[test]
fn what_was_set_aside_until_a_day_is_past_lapses_by_the_calendar_too() {
    let far = text(SOAK).replace("shutoff_distance = \"1.5 m\"", "shutoff_distance = \"9 m\"");
    let signed = format!("{REASON}\nby = \"the owner\"\nuntil = 2026-06-30");
    let rig = format!("{far}\n[[suppress]]\nrule = \"SIT008\"\n{signed}\n");
    let undated = rig.replace("test_day = 2026-04-11\n", "");
    assert_ne!(rig, undated);
    let path = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("judgement-calendar.toml");
    let on = |rig: &str, today: Option<(u8, u8)>| {
        std::fs::write(&path, rig).expect("writable");
        let today = today.and_then(|(month, day)| Date::new(2026, month, day));
        let page = Page {
            today,
            ..Page::plain(80)
        };
        let (mut out, mut err) = (Vec::new(), Vec::new());
        let all = ["fuelwright".into(), "audit".into(), path.clone()];
        fuelwright::inside::run_on(all, page, &mut out, &mut err);
        let out = String::from_utf8(out).expect("text");
        out.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let lapsed = "SIT008 is not set aside: that held until 2026-06-30 only, and it is 2026-07-01";
    for rig in [&rig, &undated] {
        assert!(on(rig, Some((6, 30))).contains("set aside: 1 WARNING"));
        assert!(on(rig, Some((7, 1))).contains(lapsed));
    }
    // the test day is past its end, whatever the calendar says
    let late = rig.replace("until = 2026-06-30", "until = 2026-04-10");
    assert!(on(&late, Some((1, 1))).contains("and the test day is 2026-04-11"));
    assert!(on(&undated, None).contains("nobody can tell whether `until` is past"));
}

#[test]
fn a_rule_that_could_not_look_counts_once() {
    let all = json("counted", &stripped().to_string());
    let not_checked = all["not_checked"].as_array().expect("a list");
    let rules: BTreeSet<&str> = not_checked
        .iter()
        .filter_map(|n| n["id"].as_str())
        .collect();
    assert!(rules.len() < not_checked.len());
    let verdict = all["verdict"].as_str().expect("text");
    let said = format!("not checked: {} rules;", rules.len());
    assert!(verdict.contains(&said), "{verdict}");
    let (_, out, _) = run("counted", &stripped().to_string(), &["audit", "RIG"]);
    let table: String = out
        .split("Not checked\n")
        .nth(1)
        .expect("a table")
        .to_owned();
    let table = table.split("\n\n").next().expect("a table");
    let rows = table.lines().filter(|l| l.starts_with("  TRN005 pressure"));
    assert_eq!(rows.count(), 1, "{table}");
}

#[test]
fn machines_read_subject_number_limit_and_unit() {
    let rig = aside(
        "INJ003",
        &format!("{REASON}\nby = \"the owner\"\nuntil = 2026-12-31"),
    );
    let all = json("data", &rig);
    assert_eq!(all["program_version"], env!("CARGO_PKG_VERSION"));
    let findings = all["findings"].as_array().expect("a list");
    let rated = findings
        .iter()
        .find(|f| f["id"] == "TRN005")
        .expect("found");
    assert_eq!(rated["subject"], "hose `pigtail`");
    assert_eq!(rated["si_unit"], "Pa");
    // 6 bar by gauge at 340 m: 6e5 Pa over 97 309 Pa, the standard atmosphere there (ISO 2533)
    let limit = rated["limit_si"].as_f64().expect("a number");
    assert!((limit - 697_309.0).abs() < 20.0, "{limit}");
    assert!(rated["measured_si"].as_f64().expect("a number") > limit);
    assert_eq!(rated["places"][0]["at"], "train.pigtail");
    assert_eq!(rated["places"][0]["line"], rated["line"]);
    for f in findings {
        for key in ["subject", "measured_si", "limit_si", "si_unit", "places"] {
            assert!(f.get(key).is_some(), "{key}: {f}");
        }
        let number = f["measured_si"].is_number() || f["limit_si"].is_number();
        assert_eq!(number, f["si_unit"].is_string(), "{f}");
        assert!(!f["places"].as_array().expect("a list").is_empty(), "{f}");
    }
}

#[test]
fn the_digest_is_that_of_the_file() {
    let good = text(SOAK);
    let digest = |rig: &str| {
        json("digest", rig)["rig_digest"]
            .as_str()
            .expect("text")
            .to_owned()
    };
    let first = digest(&good);
    assert!(
        first.len() == 64 && first.chars().all(|c| c.is_ascii_hexdigit()),
        "{first}"
    );
    assert_eq!(first, digest(&good));
    assert_eq!(first, digest(&good.replace('\n', "\r\n")));
    assert_ne!(first, digest(&good.replace("12 degC", "13 degC")));
    // SHA-256 of `abc` begins so: FIPS 180-2, appendix B.1
    assert_eq!(Sha256::digest(b"abc")[..4], [0xba, 0x78, 0x16, 0xbf]);
    let bytes = Sha256::digest(good.as_bytes());
    assert!(first.starts_with(&format!("{:02x}{:02x}", bytes[0], bytes[1])));
}

#[test]
fn the_form_of_the_file_may_be_stated_and_another_is_refused() {
    let good = text(SOAK);
    let (outcome, _, err) = run("format", &format!("format = 1\n{good}"), &["audit", "RIG"]);
    assert_eq!(outcome, Outcome::Done, "{err}");
    for other in ["2", "0", "\"1\"", "1.0"] {
        let (outcome, out, err) = run(
            "format",
            &format!("format = {other}\n{good}"),
            &["audit", "RIG"],
        );
        assert_eq!(outcome, Outcome::Failed, "{out}");
        assert!(err.contains("format = 1") && err.contains(":1:"), "{err}");
    }
}

#[test]
fn one_cause_is_told_once_with_all_its_places() {
    // 53 kg in 108 L are liquid-full below 33 degC, behind a relief valve that opens at 26 bar(g)
    let full = text(SOAK).replace("fuel_mass = \"38 kg\"", "fuel_mass = \"53 kg\"");
    let all = json("full", &full);
    let [found] = of(&all, "TNK002")[..] else {
        panic!("{}", all["findings"]);
    };
    assert_eq!(found["signal"], "DANGER");
    let sentence = found["sentence"].as_str().expect("text");
    for said in ["53 kg", "it is liquid-full", "throws liquid at 26 bar(g)"] {
        assert!(sentence.contains(said), "{sentence}");
    }
    for id in ["TNK003", "TNK004", "TNK005", "TNK007"] {
        assert!(of(&all, id).is_empty(), "{id}");
    }
    // no output gives a pressure that the relief valve keeps the tank from
    for command in ["audit", "tank", "report"] {
        let (_, out, err) = run("full", &full, &[command, "RIG"]);
        assert!(!out.is_empty(), "{err}");
        let pressures = out.match_indices(" bar(g)").filter_map(|(at, _)| {
            let number = out[..at].rsplit(char::is_whitespace).next()?;
            number.trim_start_matches('(').parse::<f64>().ok()
        });
        let most = pressures.fold(0.0, f64::max);
        assert!(most <= 30.0, "{command}: {most} bar(g)\n{out}");
    }
    // a relief valve that would open with the limit in it too is another fault, and stays one
    let low = full.replace(
        "relief_pressure = \"26 bar(g)\"",
        "relief_pressure = \"9 bar(g)\"",
    );
    assert_eq!(of(&json("low", &low), "TNK005").len(), 1);
    // a lying cylinder brings liquid into every section: one finding, the one that bursts first in front
    let lying = text(SOAK).replace("position = \"upright\"", "position = \"lying\"");
    let lying = json("lying", &lying);
    let [trapped] = of(&lying, "TRP001")[..] else {
        panic!("{}", lying["findings"]);
    };
    assert!(trapped["places"].as_array().expect("a list").len() > 2);
    let sentence = trapped["sentence"].as_str().expect("text");
    assert!(
        sentence.contains("the rating of regulator-gauge"),
        "{sentence}"
    );
    // a duty that is off like another is one finding with two places
    let soft = json("soft", &text(SOAK));
    let soft = soft["findings"].as_array().expect("a list");
    let soft: Vec<&Json> = soft.iter().filter(|f| f["id"] == "INJ001").collect();
    assert_eq!(soft.len(), 1);
    let places = soft[0]["places"].as_array().expect("a list");
    assert_eq!(places.len(), 2);
    assert_eq!(places[0]["at"], "duties.light-up");
}

#[test]
fn a_place_of_one_cause_is_set_aside_alone() {
    let lying = text(SOAK).replace("position = \"upright\"", "position = \"lying\"");
    let places = |rig: &str| {
        let all = json("place", rig);
        let found = of(&all, "TRP001")[0]["places"].clone();
        let list = found.as_array().expect("a list").iter();
        let at = list.map(|p| p["at"].as_str().expect("text").to_owned());
        at.collect::<Vec<_>>()
    };
    let all = places(&lying);
    let aside = format!(
        "{lying}\n[[suppress]]\nrule = \"TRP001\"\nat = \"{}\"\n{REASON}\nby = \"the owner\"\nuntil = 2026-12-31\n",
        all[1]
    );
    let left = places(&aside);
    assert_eq!(left.len(), all.len() - 1);
    assert!(!left.contains(&all[1]));
}

#[test]
fn the_cause_is_named_and_not_what_follows_from_it() {
    // a main of 300 mbar(g) with nothing that regulates it, behind a relief valve for 80 mbar(g)
    let kiln = "tests/faults/rigs/kiln-on-main.toml";
    let mut rig = rig(kiln);
    let parts = rig["train"].as_array_mut().expect("parts");
    parts.retain(|p| p["kind"].as_str() != Some("regulator"));
    let all = json("main", &rig.to_string());
    let [found] = of(&all, "REG007")[..] else {
        panic!("{}", all["findings"]);
    };
    let sentence = found["sentence"].as_str().expect("text");
    for said in ["No regulator", "sees 0.3 bar(g)"] {
        assert!(sentence.contains(said), "{sentence}");
    }
    assert!(of(&all, "TRP003").is_empty());
    // a liquid has no vapour to draw: nothing else is said of its supply
    for kerosene in ["pumped-kerosene", "pressure-fed-kerosene"] {
        let file = format!("tests/faults/rigs/{kerosene}.toml");
        let good = text(&file);
        let before = json("liquid", &good);
        let all = json(
            "vapour",
            &good.replace("draw = \"liquid\"", "draw = \"vapour\""),
        );
        let [found] = of(&all, "TRN001")[..] else {
            panic!("{}", all["findings"]);
        };
        assert_eq!(found["at"], "tank.draw");
        let verdict = all["verdict"].as_str().expect("text");
        assert!(
            verdict.contains("The train feeds no fuel to any duty."),
            "{verdict}"
        );
        let new: Vec<&str> = ids(&all).difference(&ids(&before)).copied().collect();
        assert_eq!(new, ["TRN001"], "{kerosene}");
    }
    // liquid gas in parts for vapour: no warmer tank is asked for, and no other one
    let liquid = text("tests/faults/rigs/two-stage-propane.toml")
        .replace("draw = \"vapour\"", "draw = \"liquid\"");
    let all = json("two-phase", &liquid);
    assert_eq!(of(&all, "TRN001")[0]["signal"], "DANGER");
    for id in ["SUP002", "SUP004", "SUP005"] {
        assert!(of(&all, id).is_empty(), "{id}: {}", of(&all, id)[0]);
    }
    // an operator too near the fire is one finding, whatever else reaches him there
    let near = text(SOAK).replace(
        "operator_distance = \"",
        "operator_distance = \"0.5 m\" # \"",
    );
    assert_eq!(of(&json("near", &near), "LEK013").len(), 1);
}

#[test]
fn the_verdict_says_which_duty_the_train_does_not_feed() {
    let narrow = text("tests/faults/rigs/kiln-on-main.toml").replace(
        "bore = \"16 mm\"\noutside_diameter = \"24 mm\"\nlength = \"0.8 m\"",
        "bore = \"16 mm\"\noutside_diameter = \"24 mm\"\nlength = \"80 m\"",
    );
    let (_, out, err) = run("narrow", &narrow, &["audit", "RIG"]);
    let words = out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        words.contains("The train does not give the duty firing its fuel."),
        "{out}{err}"
    );
}

#[test]
fn a_relief_valve_stays_shut_on_a_supply_that_is_full_and_on_one_nearly_spent() {
    // by hand: 37 + 7 mbar at 3 bar before the regulator; at its least, 0.3 bar, 0.0005 times 2.7 bar more: 45.35 mbar
    let blend = text("tests/faults/rigs/indoor-blend-two-cylinders.toml");
    let set = |to: &str| {
        let with = blend.replace(
            "set_pressure = \"150 mbar(g)\"",
            &format!("set_pressure = \"{to}\""),
        );
        json("spent", &with)
    };
    let low = set("45 mbar(g)");
    let [found] = of(&low, "REG008")[..] else {
        panic!("{}", low["findings"]);
    };
    let limit = found["limit"].as_str().expect("text");
    assert!(limit.contains("45.4"), "{limit}");
    assert!(of(&set("46 mbar(g)"), "REG008").is_empty());

    // before the regulator the same valve for 3 bar blows at the pressure of the cylinder
    let mut rig = rig("tests/faults/rigs/outdoor-propane.toml");
    let parts = rig["train"].as_array_mut().expect("parts");
    let place = |parts: &Vec<Value>, name: &str| {
        let found = parts.iter().position(|p| p["name"].as_str() == Some(name));
        found.expect("there")
    };
    let relief = parts.remove(place(parts, "relief"));
    parts.insert(place(parts, "regulator"), relief);
    let all = json("before", &rig.to_string());
    let found = of(&all, "REG008");
    let advice = found[0]["advice"].as_str().expect("text");
    assert!(advice.contains("Put it behind the regulator"), "{advice}");
}

/// What a calculator warns of without a rig, it says as the rule on it does; what nobody stated is no more than a
/// caution.
#[test]
fn holes_without_a_rig_are_judged_by_the_rules_on_holes() {
    for (holes, wanted) in [
        ("propane 15degC 2barg 0.02barg 8 0.42mm", ""),
        ("propane 15degC 50mbarg 20mbarg 8 0.5mm", "INJ001"),
        ("n-butane 6degC 0.2barg 0.02barg 4 0.5mm", "INJ003"),
        ("propane 10degC 8barg 0.2barg 4 0.5mm", "INJ003"),
        ("propane 15degC 2barg 0.02barg 1 2.5mm", "INJ006"),
    ] {
        let keys = "fuel upstream-temperature upstream chamber holes diameter".split(' ');
        let flags = keys
            .zip(holes.split(' '))
            .map(|(k, v)| format!("--{k}={v}"));
        let flags: Vec<String> = flags.collect();
        let mut line = vec!["fuelwright", "injector", "--format", "json"];
        line.extend(flags.iter().map(String::as_str));
        let (outcome, out, err) = told(&line);
        assert_eq!(outcome, Outcome::Done, "{err}");
        let said: Json = serde_json::from_str(&out).expect("JSON");
        let found: Vec<&str> = ids(&said).into_iter().collect();
        assert_eq!(found.join(" "), wanted, "{holes}");
        for finding in said["findings"].as_array().expect("findings") {
            let rule = registry::find(wanted).expect("listed");
            assert_eq!(finding["name"], rule.name);
            assert!(
                ["NOTICE", "CAUTION"]
                    .iter()
                    .any(|w| finding["signal"] == *w)
            );
        }
    }
}

/// What a command's tables show as wrong stands in its own findings too.
#[test]
fn a_command_lists_the_rules_that_its_tables_are_about() {
    let told_by = |name: &str, rig: &Table, command: &str| -> Json {
        let (_, out, err) = run(
            name,
            &rig.to_string(),
            &[command, "RIG", "--format", "json"],
        );
        serde_json::from_str(&out).unwrap_or_else(|e| panic!("{e}: {err}"))
    };
    // regulators stuck open with nothing behind them, and with relief valves too small
    let two_stage = rig("tests/faults/rigs/two-stage-propane.toml");
    let relief = |p: &Value| p["kind"].as_str() == Some("relief-valve");
    let (mut bare, mut small) = (two_stage.clone(), two_stage);
    let parts = |rig: &Table| rig["train"].as_array().expect("parts").clone();
    let kept: Vec<Value> = parts(&bare).into_iter().filter(|p| !relief(p)).collect();
    bare.insert("train".to_owned(), Value::Array(kept));
    let mut all = parts(&small);
    for part in all.iter_mut().filter(|p| relief(p)) {
        let part = part.as_table_mut().expect("a part");
        part.insert("bore".to_owned(), Value::from("1 mm"));
    }
    small.insert("train".to_owned(), Value::Array(all));
    assert!(ids(&told_by("bare", &bare, "leak")).contains("REG006"));
    assert!(ids(&told_by("bare", &bare, "train")).contains("REG006"));
    let soak = rig(SOAK);
    assert!(ids(&told_by("soak", &soak, "train")).contains("VLV002"));
    assert!(ids(&told_by("soak", &soak, "injector")).contains("INJ001"));
    assert!(ids(&told_by("small", &small, "leak")).contains("REG008"));
    // a test at a thirtieth of what the zone works at
    let mut low = rig("tests/faults/rigs/pressure-fed-kerosene.toml");
    let record = low["leak_test"][0].as_table_mut().expect("a record");
    record.insert("pressure".to_owned(), Value::from("0.3 bar(g)"));
    record.insert("drop".to_owned(), Value::from("0 mbar"));
    let told = told_by("low", &low, "leak-test");
    assert_eq!(told["leak_tests"][0]["verdict"], "too low", "{told}");
    assert!(ids(&told).contains("REC002"));
    let (_, out, _) = run("low", &low.to_string(), &["leak-test", "RIG"]);
    let words = out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        words.contains("It says too low: 0.3 bar(g) on a zone that works at 9 bar(g)"),
        "{out}"
    );
    assert!(
        words.contains("Leak at most") && !words.contains("(0 to 0)"),
        "{out}"
    );
    assert!(
        !words.contains("throttle-relief, and plug where it was"),
        "{out}"
    );
    // a record that begins at a part that is not there
    let mut lost = rig("tests/faults/rigs/outdoor-propane.toml");
    let record = lost["leak_test"][0].as_table_mut().expect("a record");
    record.insert("from".to_owned(), Value::from("regulatr"));
    lost.insert(
        "leak_test".to_owned(),
        Value::Array(vec![lost["leak_test"][0].clone()]),
    );
    let (_, out, _) = run("lost", &lost.to_string(), &["leak-test", "RIG"]);
    assert!(out.contains("cannot tell: the train has no part `regulatr`"));
    assert!(!out.contains("It works at"), "{out}");
}
