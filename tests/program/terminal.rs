//! What a terminal, a browser or an editor must never be given by a stranger's file or argument: control
//! characters, characters that turn text round or hide in it, names without end, mistakes without end.

use super::folder::{Folder, said};
use fuelwright::Outcome;
use fuelwright::fuel::Library;
use fuelwright::input;
use fuelwright::input::{Diagnostic, Diagnostics};
use fuelwright::inside::Page;
use fuelwright::inside::run_on;
use fuelwright::inside::{Label, MOST_LINES};
use fuelwright::quantity::printable::{LONGEST_NAME, columns};
use proptest::prelude::*;
use std::path::Path;

const RIG: &str = include_str!("../../examples/coupon-soak-rig.toml");
const WRONG: &str = "examples/wrong";

/// What no output may hold, besides line feeds: by the Unicode character database of the `regex` crate.
fn raw(text: &str) -> Option<char> {
    let unseen = r"[\p{Cc}\p{Cf}\p{Zl}\p{Zp}\p{Default_Ignorable_Code_Point}--\n]";
    let unseen = regex::Regex::new(unseen).expect("classes of Unicode");
    unseen.find(text).and_then(|m| m.as_str().chars().next())
}

/// The same where colour is on: its codes are our own (ECMA-48, select graphic rendition).
fn raw_but_colour(text: &str) -> Option<char> {
    let colour = regex::Regex::new("\u{1b}\\[[0-9;]*m").expect("a pattern");
    raw(&colour.replace_all(text, ""))
}

fn assert_clean(what: &str, text: &str) {
    let found = raw(text);
    assert_eq!(found, None, "{what}: {:?}", found.map(|c| around(text, c)));
}

/// What stands around a character.
fn around(text: &str, c: char) -> String {
    let at = text.find(c).expect("it is there");
    let from = text.floor_char_boundary(at.saturating_sub(60));
    let to = text.ceil_char_boundary((at + 60).min(text.len()));
    text[from..to].to_owned()
}

/// A text of letters among characters of every class that is shown by its number.
fn hostile() -> impl Strategy<Value = String> {
    let class = |range: std::ops::RangeInclusive<u32>| {
        range.prop_filter_map("a character", char::from_u32).boxed()
    };
    let unseen = prop_oneof![
        class(0x01..=0x1f),
        class(0x7f..=0x9f),
        class(0x200b..=0x200f),
        class(0x2028..=0x202e),
        class(0x2060..=0x2069),
        class(0xe0020..=0xe007e),
        Just('\u{feff}').boxed(),
        Just('\u{ad}').boxed(),
        Just('\u{61c}').boxed(),
    ];
    let letter = prop_oneof!["[a-z ]", "[<>&\"'`|*\\\\\\[\\]é漢]"];
    prop::collection::vec((unseen, letter), 4..20).prop_map(|pairs| {
        let all = pairs.into_iter().map(|(c, letter)| format!("{c}{letter}"));
        // a sequence that clears the screen, and one that turns the rest of the line round
        format!("x\u{1b}[2J\u{202e}{}", all.collect::<String>())
    })
}

fn quoted(text: &str) -> String {
    toml::Value::String(text.to_owned()).to_string()
}

/// The rig with a text in every key that takes any.
fn with_texts(text: &str) -> String {
    let q = quoted(text);
    let reason = quoted(&format!("weighed again {text}"));
    let changed = [
        (
            "name = \"coupon soak rig\"".to_owned(),
            format!("name = {q}"),
        ),
        ("place = \"duct\"".to_owned(), format!("place = {q}")),
        (
            "material = \"321 stainless steel\"".to_owned(),
            format!("material = {q}"),
        ),
        (
            "leak_class = \"EN 161 class A\"".to_owned(),
            format!("leak_class = {q}"),
        ),
        (
            "notes = \"third build: ring moved 20 mm upstream, second shut-off valve added\""
                .to_owned(),
            format!("notes = {q}"),
        ),
        (
            "[schedule]".to_owned(),
            format!("[[suppress]]\nrule = \"MAS001\"\nreason = {reason}\n\n[schedule]"),
        ),
    ];
    changed.iter().fold(RIG.to_owned(), |rig, (old, new)| {
        assert!(rig.contains(old), "{old}");
        rig.replacen(old, new, 1)
    })
}

/// Every key of the rig whose value stands in quotes, with a hostile text for it.
fn broken_at_every_text(text: &str) -> Vec<String> {
    let value = regex::Regex::new("= (\"[^\"]*\")").expect("a pattern");
    let places = value
        .captures_iter(RIG)
        .map(|c| c.get(1).expect("a group").range());
    places
        .map(|at| format!("{}{}{}", &RIG[..at.start], quoted(text), &RIG[at.end..]))
        .collect()
}

proptest! {
    // each case asks some forty answers
    #![proptest_config(ProptestConfig { cases: 3, failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn no_answer_about_a_rig_holds_a_raw_control_character(text in hostile()) {
        let folder = Folder::new("answers");
        // a file name cannot hold a slash or nothing at all
        let name: String = text.chars().filter(|c| !"/\0\\".contains(*c)).take(40).collect();
        let rig = folder.file(&format!("{name}.toml"), &with_texts(&text));
        let page = folder.path(&format!("{name}.html"));
        let sheet = folder.path(&format!("{name}.svg"));
        let diagram = folder.path(&format!("{name}-d.svg"));
        let table = folder.path(&format!("{name}.csv"));
        let lines: Vec<Vec<&str>> = vec![
            vec!["audit", &rig],
            vec!["train", &rig],
            vec!["tank", &rig],
            vec!["checklist", &rig],
            vec!["report", &rig],
            vec!["leak-test", &rig],
            vec!["tolerance", &rig, "--samples", "100", "--quiet"],
            vec!["compare-rigs", &rig, "examples/coupon-soak-rig.toml"],
        ];
        for line in &lines {
            for format in ["text", "markdown", "html", "json"] {
                let whole = [line.as_slice(), &["--format", format]].concat();
                let (outcome, out, err) = said(&whole);
                prop_assert_ne!(outcome, Outcome::Failed, "{}: {}", line[0], err);
                assert_clean(&format!("{} as {format}", line[0]), &out);
                assert_clean(line[0], &err);
            }
        }
        // the JSON of it is the text as the file has it
        let (_, out, _) = said(&["audit", &rig, "--format", "json"]);
        serde_json::from_str::<serde_json::Value>(&out).expect("one object");
        // with colour there are no codes but our own
        let (mut out, mut err) = (Vec::new(), Vec::new());
        let colour = Page { colour: true, colour_of_messages: true, ..Page::plain(80) };
        run_on(["fuelwright", "audit", &rig], colour, &mut out, &mut err);
        let out = String::from_utf8(out).expect("text");
        let bold = "\u{1b}[1m";
        prop_assert!(out.contains(bold));
        prop_assert_eq!(raw_but_colour(&out), None);
        // files left behind
        said(&["report", &rig, "--out", &page]);
        said(&["injector", &rig, "--template", &sheet]);
        said(&["train", &rig, "--diagram", &diagram]);
        said(&["sweep", &rig, "--over", "duties.soak.throttle", "--from", "60 %", "--to", "80 %", "--steps", "2", "--csv", &table]);
        for file in [&page, &sheet, &diagram, &table] {
            let text = std::fs::read_to_string(file).expect("written");
            assert_clean("a file", &text);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn no_message_holds_a_raw_control_character(text in hostile()) {
        let library = Library::embedded();
        let mut files = broken_at_every_text(&text);
        // as it is, in a place where TOML takes no such thing, and as a key
        files.push(format!("{RIG}\n{text}\n"));
        files.push(format!("# {text}\n{RIG}"));
        files.push(RIG.replacen("[site]", &format!("[site]\n{} = 1", quoted(&text)), 1));
        files.push(RIG.replacen("= \"12 degC\"", &format!("= \"{text}\""), 1));
        for file in files {
            if let Err(mistakes) = input::parse(&text, &file, &library) {
                assert_clean("mistakes", &mistakes.to_string());
                prop_assert_eq!(raw_but_colour(&mistakes.render(true)), None);
            }
        }
        let path = format!("/nowhere/{}", text.replace('\0', ""));
        for line in [
            vec![text.as_str()],
            vec!["audit", &path],
            vec!["fuel", &text],
            vec!["fuel", "propane", "--temperature", &text],
            vec!["fuel", "propane", "--format", &text],
            vec!["rules", &text],
            vec!["generate", "man", &text],
            vec!["sweep", "examples/kiln-pilot.toml", "--over", &text, "--from", "1 K", "--to", "2 K"],
            vec!["fuels", "--fuels-folder", &path],
            vec!["tolerance", "examples/kiln-pilot.toml", "--samples", &text],
            vec!["fuel", "propane", &format!("--{text}")],
        ] {
            let (_, out, err) = said(&line);
            assert_clean(&format!("{line:?}"), &out);
            assert_clean(&format!("{line:?}"), &err);
        }
    }
}

#[test]
fn a_fuels_folder_has_no_say_over_the_terminal_and_no_end_of_mistakes() {
    let folder = Folder::new("fuels");
    let bad = "name = \"x\u{9b}\u{202e}\"\nno_such_\u{200b} = 1\n";
    for i in 0..100 {
        folder.file(&format!("{i:03}\u{1b}[2J\u{202e}.toml"), bad);
    }
    let (outcome, _, err) = said(&[
        "fuels",
        "--fuels-folder",
        &folder.whole().display().to_string(),
    ]);
    assert_eq!(outcome, Outcome::Failed);
    assert_clean("fuel files", &err);
    let lines: Vec<&str> = err.lines().collect();
    assert!(lines.len() <= MOST_LINES, "{}", lines.len());
    assert!(
        lines[0].contains("000\\u{1b}[2J\\u{202e}.toml`, line 2: it is not TOML"),
        "{err}"
    );
    let shown = lines.iter().filter(|l| l.starts_with("error: ")).count();
    let last = *lines.last().expect("some");
    assert_eq!(
        last,
        format!("and {} more mistakes in the fuel files", 100 - shown)
    );
}

#[test]
fn columns_point_right_where_characters_are_shown_by_their_number() {
    // three characters that are shown by their number stand before the place, a tab too
    let text = "first = 1\nkey\t= \"\u{202e}a\u{9b}\u{200b}\" wrong\n";
    let start = text.find("wrong").expect("there");
    let mistakes = Diagnostics {
        path: "rig\u{7}.toml".to_owned(),
        text: text.to_owned(),
        list: vec![Diagnostic {
            code: "E110",
            message: "bell \u{7}".to_owned(),
            labels: vec![Label::new(start..start + 5, "label \u{1b}")],
            help: Some("help \u{85}".to_owned()),
        }],
    };
    let shown = mistakes.to_string();
    assert_clean("a mistake", &shown);
    // line 2, and the column in the file, by counting: k is 1, the tab 4, w 14
    assert!(shown.contains(r"--> rig\u{7}.toml:2:14"), "{shown}");
    let lines: Vec<&str> = shown.lines().collect();
    let at = lines
        .iter()
        .position(|l| l.contains("wrong"))
        .expect("the line");
    assert!(
        lines[at].contains(r#"key    = "\u{202e}a\u{9b}\u{200b}" wrong"#),
        "{shown}"
    );
    assert_eq!(
        lines[at + 1].find("^^^^^"),
        lines[at].find("wrong"),
        "{shown}"
    );
    assert!(
        shown.contains(r"label \u{1b}") && shown.contains(r"help \u{85}"),
        "{shown}"
    );
}

#[test]
fn line_ends_of_another_editor_leave_no_trace() {
    let library = Library::embedded();
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(WRONG);
    for entry in std::fs::read_dir(folder).expect("a folder") {
        let path = entry.expect("an entry").path();
        let text = std::fs::read_to_string(&path).expect("text");
        let as_it_is = input::parse("rig.toml", &text, &library).expect_err("it is wrong");
        let other = format!("\u{feff}{}", text.replace('\n', "\r\n"));
        let as_other = input::parse("rig.toml", &other, &library).expect_err("it is wrong");
        assert_eq!(
            as_it_is.to_string(),
            as_other.to_string(),
            "{}",
            path.display()
        );
    }
    let notes = "\"\"\"\nthird build\nring moved\n\"\"\"";
    let first = RIG.lines().find(|l| l.starts_with("notes")).expect("there");
    let text = RIG.replace(first, &format!("notes = {notes}"));
    let loaded = input::parse("rig.toml", &text.replace('\n', "\r\n"), &library).expect("a rig");
    assert_eq!(
        loaded.rig.notes.as_deref(),
        Some("third build\nring moved\n")
    );
    assert_eq!(
        loaded,
        input::parse("rig.toml", &text, &library).expect("a rig")
    );
}

#[test]
fn a_name_without_end_is_cut() {
    let folder = Folder::new("names");
    let long = "frost ".repeat(660);
    let rig = folder.file("rig.toml", &with_texts(&long));
    for command in [
        "audit",
        "train",
        "tank",
        "checklist",
        "mass",
        "shutdown",
        "leak-test",
    ] {
        for format in ["text", "markdown", "html"] {
            let (_, out, err) = said(&[command, &rig, "--format", format]);
            assert!(err.is_empty(), "{command}: {err}");
            let flat = out.split_whitespace().collect::<Vec<_>>().join(" ");
            // notes and reasons are no names
            let notes = if command == "audit" { 2 } else { 1 };
            assert!(
                flat.matches(&long[..300]).count() <= notes,
                "{command} as {format}"
            );
        }
    }
    let (_, out, _) = said(&["audit", &rig]);
    let title = out
        .split("\n\n")
        .next()
        .expect("a title")
        .replace('\n', " ");
    assert!(
        title.ends_with('…') && columns(&title) <= LONGEST_NAME + 10,
        "{title}"
    );
    // and what is repeated in messages
    let wide = "漢".repeat(4000);
    for line in [
        vec!["fuel", &wide],
        vec!["audit", &wide],
        vec![&wide],
        vec!["fuel", "propane", "--temperature", &wide],
        vec!["rules", &long],
    ] {
        let (outcome, _, err) = said(&line);
        assert_eq!(outcome, Outcome::Failed);
        assert!(err.contains('…'), "{err}");
        assert!(err.lines().all(|l| columns(l) < 600), "{err}");
    }
}

#[test]
fn forty_mistakes_take_one_screen_and_the_rest_is_counted() {
    let library = Library::embedded();
    for mistakes in [1, 2, 8, 9, 40, 400] {
        let keys: Vec<String> = (0..mistakes).map(|i| format!("zzz{i} = 1\n")).collect();
        let text = RIG.replacen("[fuel]", &format!("{}\n[fuel]", keys.concat()), 1);
        let wrong = input::parse("rig.toml", &text, &library).expect_err("unknown keys");
        assert_eq!(wrong.list.len(), mistakes);
        let shown = wrong.to_string();
        assert!(shown.lines().count() <= MOST_LINES, "{mistakes}: {shown}");
        let whole = shown.matches("error[E203]").count();
        assert!(whole >= mistakes.min(7), "{mistakes}: {shown}");
        // each shown has its place and its help
        assert_eq!(shown.matches("= help:").count(), whole, "{shown}");
        let last = shown.lines().last().expect("some");
        let more = match mistakes - whole {
            0 => continue,
            1 => "and 1 more mistake in rig.toml".to_owned(),
            n => format!("and {n} more mistakes in rig.toml"),
        };
        assert_eq!(last, more);
    }
}

/// What a mistake says of a value.
fn of_value(key: &str, old: &str, new: &str) -> String {
    let old = format!("{key} = {old}");
    assert!(RIG.contains(&old), "{old}");
    let text = RIG.replacen(&old, &format!("{key} = {new}"), 1);
    let wrong = input::parse("rig.toml", &text, &Library::embedded()).expect_err("a mistake");
    wrong.to_string()
}

#[test]
fn a_number_of_the_wrong_kind_is_repeated_as_it_was_given() {
    for (given, meant) in [
        ("3.0", "holes = 3`"),
        ("1e3", "holes = 1000`"),
        ("0x10", "holes = 16`"),
        ("2.5", "holes = 24`"),
        ("-3", "holes = 24`"),
        ("99999999999", "holes = 24`"),
        ("nan", "holes = 24`"),
    ] {
        let said = of_value("holes", "16", given);
        let want = format!(
            "`holes` takes whole numbers of 0 to 4294967295 in plain digits, not `{given}`"
        );
        assert!(said.contains(&want), "{said}");
        assert!(said.contains(meant), "{said}");
    }
    let said = of_value("equivalence_ratio", "0.29", "nan");
    assert!(
        said.contains("takes finite numbers in plain digits, not `nan`"),
        "{said}"
    );
    let said = of_value("date", "2026-03-28", "07:32:00");
    assert!(
        said.contains("`date` takes a date, not `07:32:00`"),
        "{said}"
    );
    let said = of_value(
        "joints",
        "{ cylinder = 1, stem-seal = 1 }",
        "{ cylinder = 1.0 }",
    );
    assert!(said.contains("not `1.0`"), "{said}");
}

/// Every key of the examples with a value of every type: what is wanted is never what was given.
#[test]
fn no_mistake_says_that_a_thing_is_not_itself() {
    let library = Library::embedded();
    let line = regex::Regex::new(r"(?m)^[a-z_]+ = (.+)$").expect("a pattern");
    let takes = regex::Regex::new("` takes (.+), not (.+)$").expect("a pattern");
    let values = [
        "3",
        "3.0",
        "-3",
        "1e400",
        "0x10",
        "inf",
        "true",
        "\"text\"",
        "\"\"",
        "2026-01-01",
        "07:32:00",
        "2026-01-01T07:32:00Z",
        "[]",
        "[3]",
        "[[1, 2, 3]]",
        "[\"text\"]",
        "{}",
        "{ a = 1 }",
        "{ compression = 0 }",
    ];
    let mut told = 0;
    for rig in [
        RIG,
        include_str!("../../examples/greenhouse-frost-guard.toml"),
    ] {
        for found in line.captures_iter(rig) {
            let at = found.get(1).expect("a group").range();
            for value in values {
                let text = format!("{}{value}{}", &rig[..at.start], &rig[at.end..]);
                let Err(wrong) = input::parse("rig.toml", &text, &library) else {
                    continue;
                };
                for mistake in &wrong.list {
                    assert!(!mistake.message.contains("NaN"), "{}", mistake.message);
                    let Some(said) = takes.captures(&mistake.message) else {
                        continue;
                    };
                    told += 1;
                    let (want, given) = (&said[1], &said[2]);
                    assert!(
                        !want.starts_with(given) && given != want,
                        "{}",
                        mistake.message
                    );
                }
            }
        }
    }
    assert!(told > 1000, "{told}");
}

/// Progress is drawn from the threads that search: none of them may wait for an error stream that another holds.
#[test]
#[cfg(target_os = "linux")]
fn a_search_answers_on_a_terminal() {
    use std::process::{Command, Stdio};
    use std::time::{Duration, Instant};
    let program = env!("CARGO_BIN_EXE_fuelwright");
    for arguments in [
        "injector examples/kiln-pilot.toml --choose",
        "train examples/kiln-pilot.toml --ranges",
        "remedies examples/kiln-pilot.toml",
        "tolerance examples/kiln-pilot.toml",
    ] {
        // `script` of util-linux runs a command on a terminal of its own
        let mut child = Command::new("script")
            .args(["-qec", &format!("{program} {arguments}"), "/dev/null"])
            .current_dir(env!("CARGO_MANIFEST_DIR"))
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .spawn()
            .expect("util-linux is there");
        let begun = Instant::now();
        let ended = loop {
            if let Some(status) = child.try_wait().expect("it can be waited for") {
                break Some(status);
            }
            if begun.elapsed() > Duration::from_mins(2) {
                break None;
            }
            std::thread::sleep(Duration::from_millis(20));
        };
        if ended.is_none() {
            child.kill().expect("it can be ended");
        }
        let code = ended.and_then(|status| status.code());
        assert!(code.is_some_and(|c| c < 2), "{arguments}: {code:?}");
    }
}
