//! From nothing to a first audit: ten keys, the starter, the questions, a rig file of flags, and the watch.

use super::folder::{Folder, said};
use fuelwright::Outcome;
use fuelwright::fuel::Library;
use fuelwright::input;
use serde_json::Value;
use std::io::{BufRead, BufReader, Read, Write};
use std::process::{Child, Command, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::time::Duration;

fn audited(path: &str) -> Value {
    let (outcome, out, err) = said(&["audit", path, "--format", "json"]);
    assert_ne!(outcome, Outcome::Failed, "{err}");
    serde_json::from_str(&out).expect("JSON")
}

/// Ids of what the rules found.
fn found(audit: &Value) -> Vec<&str> {
    let findings = audit["findings"].as_array().expect("a list");
    findings
        .iter()
        .map(|f| f["id"].as_str().expect("a text"))
        .collect()
}

/// The keys that every rig of ten keys has; the supply comes behind.
const COMMON: &str = r#"
[fuel]
composition = "FUEL"
[air]
flow = "AIR"
[[duties]]
equivalence_ratio = 0.6
chamber_pressure = "5 mbar(g)"
[injector]
holes = 6
pressure = "PRESSURE"
[site]
setting = "SETTING"
"#;

fn ten(fuel: &str, air: &str, pressure: &str, setting: &str, supply: &str) -> String {
    let keys = [
        ("FUEL", fuel),
        ("AIR", air),
        ("PRESSURE", pressure),
        ("SETTING", setting),
    ];
    let file = keys.iter().fold(COMMON.to_owned(), |text, (word, value)| {
        text.replace(word, value)
    });
    file + supply
}

#[test]
fn a_file_of_ten_keys_is_a_rig_and_says_what_it_takes_for_granted() {
    let tank = "[tank]\nvolume = \"26.2 L\"\nfuel_mass = \"9 kg\"\n";
    let small = "[tank]\nvolume = \"1.1 L\"\nfuel_mass = \"0.4 kg\"\n";
    let main = "[mains]\npressure = \"50 mbar(g)\"\n";
    let butane = "propane:30,n-butane:70";
    let folder = Folder::new("ten");
    for (name, text) in [
        (
            "outdoor",
            ten("propane", "6 g/s", "1 bar(g)", "outdoor", tank),
        ),
        (
            "indoor",
            ten(butane, "6 g/s", "300 mbar(g)", "indoor", tank),
        ),
        (
            "small",
            ten("propane", "1 g/s", "1 bar(g)", "outdoor", small),
        ),
        (
            "main",
            ten("natural-gas", "6 g/s", "20 mbar(g)", "indoor", main),
        ),
        (
            "liquid",
            ten(
                "kerosene",
                "6 g/s",
                "6 bar(g)",
                "outdoor",
                "[tank]\nvolume = \"10 L\"\nfuel_mass = \"6 kg\"\n",
            ),
        ),
    ] {
        let keys = text.matches(" = ").count();
        assert!(keys <= 10, "{keys}");
        let path = folder.file(&format!("{name}.toml"), &text);
        let audit = audited(&path);
        assert_eq!(audit["incomplete"], true, "{name}");
        let duties = audit["duties"].as_array().expect("a list");
        assert_eq!(
            (duties.len(), &duties[0]["name"]),
            (1, &Value::from("full"))
        );
        assert!(duties[0]["fuel_flow_kg_s"].is_number(), "{name}: {audit:#}");
        let taken = audit["assumptions"].to_string();
        for told in [
            "called as its file",
            "15 degC",
            "full throttle",
            "sized for duty",
            "fed alike",
        ] {
            assert!(taken.contains(told), "{name}: {told}: {taken}");
        }
        // a key that decides whether anybody gets hurt is asked for, and never made up
        let missing = audit["missing"].to_string();
        for asked in ["\"train\"", "controls.ignition", "site.people_distance"] {
            assert!(missing.contains(asked), "{name}: {asked}");
        }
    }
    let nine = ten("propane", "6 g/s", "1 bar(g)", "outdoor", tank)
        .replace("chamber_pressure = \"5 mbar(g)\"\n", "");
    let audit = audited(&folder.file("nine.toml", &nine));
    assert!(
        audit["assumptions"]
            .to_string()
            .contains("taken at 5 mbar(g)"),
        "{audit:#}"
    );
}

/// What only the owner knows: when devices were proved.
const OWNERS: [&str; 1] = ["REC008"];

#[test]
fn the_starter_has_no_finding_but_what_only_its_owner_knows() {
    let folder = Folder::new("starter");
    let file = folder.path("bench.toml");
    let (outcome, out, err) = said(&["start", &file]);
    assert_eq!(outcome, Outcome::Done, "{err}");
    assert!(out.contains("fuelwright audit"), "{out}");
    let audit = audited(&file);
    let found = found(&audit);
    assert!(
        found.iter().all(|id| OWNERS.contains(id)),
        "{found:?}: {:#}",
        audit["findings"]
    );
    assert_eq!(audit["incomplete"], true);
}

#[test]
fn the_file_names_every_word_that_a_key_takes() {
    let text = fuelwright::inside::starter("bench");
    let comments: String = text
        .lines()
        .map(|l| l.split_once('#').map_or("", |(_, c)| c))
        .collect::<Vec<_>>()
        .join(" ");
    let words: Vec<&str> = comments
        .split(|c: char| !(c.is_alphanumeric() || c == '-'))
        .collect();
    for (table, key) in [
        ("train", "kind"),
        ("train", "wetted"),
        ("tank", "position"),
        ("site", "extinguisher"),
        ("controls", "ignition"),
    ] {
        let (_, out, _) = said(&[
            "lookup",
            "words",
            &format!("{table}.{key}"),
            "--format",
            "json",
        ]);
        let json: Value = serde_json::from_str(&out).expect("JSON");
        let listed = json["words"].as_array().expect("a list");
        assert!(listed.len() > 2, "{key}");
        for word in listed {
            let word = word["word"].as_str().expect("a text");
            assert!(words.contains(&word), "{key}: {word}");
        }
    }
    assert!(text.lines().all(|l| l.chars().count() <= 118), "{text}");
}

#[test]
fn flags_that_were_tried_become_a_rig_file() {
    let folder = Folder::new("flags");
    let file = folder.path("tried.toml");
    let line = |more: &[&str]| {
        let flags = [
            "injector",
            "--fuel",
            "propane",
            "--upstream",
            "2 barg",
            "--upstream-temperature",
            "15 degC",
            "--chamber",
            "20 mbar(g)",
            "--holes",
            "8",
            "--write",
            &file,
            "--format",
            "json",
        ];
        said(&[&flags[..], more].concat())
    };
    let (outcome, out, err) = line(&["--air", "18 g/s", "--equivalence-ratio", "0.7"]);
    assert_eq!(outcome, Outcome::Done, "{err}");
    let tried: Value = serde_json::from_str(&out).expect("JSON");
    assert_eq!(tried["path"], file.as_str());
    // what the flags do not say is still to be filled in, and nothing else is wrong
    let text = std::fs::read_to_string(&file).expect("written");
    let mistakes =
        input::parse("tried.toml", &text, &Library::embedded()).expect_err("not filled in");
    let codes: Vec<&str> = mistakes.list.iter().map(|d| d.code).collect();
    assert_eq!(codes, ["E209"; 3], "{mistakes}");
    let filled = text
        .replace("\"? L\"", "\"26.2 L\"")
        .replace("\"? kg\"", "\"9 kg\"")
        .replacen("\"?\"", "\"outdoor\"", 1);
    let audit = audited(&folder.file("filled.toml", &filled));
    let close = |a: &Value, b: &Value| {
        (a.as_f64().expect("a number") / b.as_f64().expect("a number") - 1.0).abs() < 1e-3
    };
    assert!(
        close(
            &audit["duties"][0]["fuel_flow_kg_s"],
            &tried["mass_flow_kg_s"]
        ),
        "{audit:#}"
    );
    let (_, out, _) = said(&["injector", &folder.path("filled.toml"), "--format", "json"]);
    let again: Value = serde_json::from_str(&out).expect("JSON");
    assert!(
        close(
            &again["injector"]["hole_diameter_m"],
            &tried["hole_diameter_m"]
        ),
        "{again:#}"
    );
    let (outcome, out, err) = line(&["--air", "18 g/s", "--equivalence-ratio", "0.7"]);
    assert_eq!((outcome, out.as_str()), (Outcome::Failed, ""));
    assert!(err.contains("tried.toml"), "{err}");
    assert_eq!(std::fs::read_to_string(&file).expect("kept"), text);
}

/// The program on a terminal of its own, as `script` makes one, with what is typed; its exit code and all it showed.
#[cfg(target_os = "linux")]
fn on_terminal(columns: usize, line: &str, typed: &[&str]) -> Option<(i32, String)> {
    let command = format!(
        "stty cols {columns}; {} {line}",
        env!("CARGO_BIN_EXE_fuelwright")
    );
    let started = Command::new("script")
        .args(["--quiet", "--return", "--command", &command, "/dev/null"])
        .env("TERM", "xterm")
        .env("NO_COLOR", "1")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn();
    // a system without `script` has no terminal for it
    let mut child = started.ok()?;
    let mut input = child.stdin.take().expect("piped");
    let mut shown = child.stdout.take().expect("piped");
    let (send, seen) = channel();
    std::thread::spawn(move || {
        let mut all = Vec::new();
        let mut some = [0; 4096];
        while let Ok(n @ 1..) = shown.read(&mut some) {
            all.extend_from_slice(&some[..n]);
            let _ = send.send(String::from_utf8_lossy(&all).into_owned());
        }
    });
    let mut all = String::new();
    let wait = |all: &mut String, until: &dyn Fn(&str) -> bool| {
        while !until(all) {
            match seen.recv_timeout(Duration::from_secs(30)) {
                Ok(more) => *all = more,
                Err(_) => break,
            }
        }
    };
    for (i, keys) in typed.iter().enumerate() {
        let question = format!(" {}", &keys[..keys.find('|').expect("question|answer")]);
        wait(&mut all, &|all| all.matches(question.as_str()).count() > 0);
        assert!(all.contains(&question), "{i}: {question}: {all}");
        let answer = keys.split_once('|').expect("question|answer").1;
        input.write_all(answer.as_bytes()).expect("it listens");
        input.flush().expect("it listens");
        std::thread::sleep(Duration::from_millis(200));
    }
    let mut ended = None;
    for _ in 0..300 {
        ended = child.try_wait().expect("it can be asked");
        if ended.is_some() {
            break;
        }
        std::thread::sleep(Duration::from_millis(100));
    }
    if ended.is_none() {
        let _ = child.kill();
    }
    wait(&mut all, &|_| false);
    let code = ended.and_then(|status| status.code());
    Some((
        code.unwrap_or_else(|| panic!("it does not end: {all}")),
        all,
    ))
}

#[cfg(target_os = "linux")]
#[test]
fn start_asks_ten_questions_on_a_terminal_and_says_at_once_what_is_wrong() {
    let folder = Folder::new("asked");
    let file = folder.path("asked.toml");
    let typed = [
        "Fuel?|propan\r",
        "did you mean|e\r",
        "Indoor or outdoor?|\r",
        "Air flow|20\r",
        "has no unit| g/s\r",
        "Equivalence ratio|\r",
        "Number of fuel holes?|12\r",
        "Pressure before the holes?|\r",
        "Pressure of the chamber|\r",
        "Diameter of a hole?|\r",
        "Water capacity|\r",
        "Fuel in the tank?|\r",
    ];
    for columns in [80, 60] {
        let _ = std::fs::remove_file(&file);
        let Some((code, shown)) = on_terminal(columns, &format!("start {file}"), &typed) else {
            return;
        };
        assert_eq!(code, 0, "{shown}");
        let text = std::fs::read_to_string(&file).expect("written");
        for line in [
            "composition = \"propane\"",
            "flow = \"20 g/s\"",
            "holes = 12",
            "volume = \"26.2 L\"",
        ] {
            assert!(text.lines().any(|l| l.starts_with(line)), "{line}: {text}");
        }
        assert_eq!(audited(&file)["incomplete"], true);
    }
}

#[cfg(target_os = "linux")]
#[test]
fn questions_that_are_broken_off_write_nothing() {
    let folder = Folder::new("broken-off");
    let file = folder.path("asked.toml");
    let Some((code, shown)) = on_terminal(80, &format!("start {file}"), &["Fuel?|\u{3}"]) else {
        return;
    };
    assert_eq!(code, 2, "{shown}");
    assert!(shown.contains("nothing is written"), "{shown}");
    assert!(!std::path::Path::new(&file).exists());
}

/// Lines of a stream as they come.
fn lines(stream: impl Read + Send + 'static) -> Receiver<String> {
    let (send, seen) = channel();
    std::thread::spawn(move || {
        for line in BufReader::new(stream).lines().map_while(Result::ok) {
            if send.send(line).is_err() {
                break;
            }
        }
    });
    seen
}

/// Ends with its test.
struct Watching(Child);

impl Drop for Watching {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

#[cfg(unix)]
#[test]
fn a_watch_tells_at_each_save_what_was_cleared_and_raised() {
    let folder = Folder::new("watch");
    let starter = fuelwright::inside::starter("bench");
    let rig = folder.file("rig.toml", &starter);
    let mut child = Command::new(env!("CARGO_BIN_EXE_fuelwright"))
        .args(["audit", &rig, "--watch"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    let out = lines(child.stdout.take().expect("piped"));
    let err = lines(child.stderr.take().expect("piped"));
    let mut child = Watching(child);
    let until = |stream: &Receiver<String>, text: &str| {
        let mut seen = Vec::new();
        loop {
            let line = stream.recv_timeout(Duration::from_secs(30));
            let line = line.unwrap_or_else(|_| panic!("`{text}` does not come: {seen:#?}"));
            let found = line.contains(text);
            seen.push(line);
            if found {
                return seen.join("\n");
            }
        }
    };
    until(&out, "Watching");
    let part = |name: &str| {
        let from = starter
            .find(&format!("[[train]]\nname = \"{name}\""))
            .expect("there");
        let end = starter[from..].find("\n\n").expect("an end") + from + 2;
        (from, end)
    };
    let (from, end) = part("shut-off-2");
    let one_valve = format!("{}{}", &starter[..from], &starter[end..]);
    // as editors save: another file, renamed
    let save = |text: &str| {
        let beside = folder.file("beside.tmp", text);
        std::fs::rename(beside, &rig).expect("can be renamed");
    };
    save(&one_valve);
    let told = until(&out, "SHU002");
    assert!(
        told.contains("0 cleared, 1 raised") && told.contains("Raised"),
        "{told}"
    );
    save(&one_valve.replace("flow = \"6 g/s\"", "flow = \"6\""));
    let told = until(&err, "help:");
    assert!(told.contains("error[E201]"), "{told}");
    // as others save: in place
    std::fs::write(
        &rig,
        starter.replace("# people_distance = \"10 m\"", "people_distance = \"10 m\""),
    )
    .expect("can be written");
    let told = until(&out, "Filled in");
    assert!(
        told.contains("1 cleared, 0 raised") && told.contains("site.people_distance"),
        "{told}"
    );
    let pid = child.0.id().to_string();
    let sent = Command::new("kill")
        .args(["-INT", &pid])
        .status()
        .expect("kill is there");
    assert!(sent.success());
    for _ in 0..100 {
        if let Some(status) = child.0.try_wait().expect("it can be asked") {
            assert_eq!(status.code(), Some(0));
            return;
        }
        std::thread::sleep(Duration::from_millis(100));
    }
    panic!("Ctrl-C does not end it");
}
