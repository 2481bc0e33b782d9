//! Commands with their output and exit code, one readable file each in `tests/cli/`.

use std::sync::OnceLock;

#[test]
fn commands_say_what_their_files_show() {
    let cases = trycmd::TestCases::new();
    cases.case("tests/cli/*.md").case("README.md");
    if cfg!(feature = "coolprop") {
        // what a program without the feature says
        cases.skip("tests/cli/second_opinion.md");
    }
}

#[test]
fn a_reader_that_goes_away_is_no_failure() {
    use std::process::{Command, Stdio};
    let mut child = Command::new(env!("CARGO_BIN_EXE_fuelwright"))
        .arg("fuels")
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    drop(child.stdout.take());
    let output = child.wait_with_output().expect("the program ends");
    assert_eq!(output.status.code(), Some(0));
    assert!(output.stderr.is_empty());
}

#[test]
fn a_failure_leaves_the_output_empty() {
    use fuelwright::{Outcome, run};
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let line = [
        "fuelwright",
        "state",
        "propan",
        "--temperature",
        "20 degC",
        "--pressure",
        "1 bara",
    ];
    assert_eq!(run(line, 80, &mut out, &mut err), Outcome::Failed);
    assert!(out.is_empty());
    assert!(String::from_utf8(err).expect("text").starts_with("error: "));
}

/// One line a command; a test below sees that none is missing.
pub(super) const LINES: &[&str] = &[
    "audit|examples/coupon-soak-rig.toml",
    "injector|examples/greenhouse-frost-guard.toml",
    "rules",
    "rules|INJ001",
    "lookup|parts|tube",
    "lookup|words|actuation",
    "lookup|keys",
    "sources",
    "sources|en161",
    "report|examples/kiln-pilot.toml",
    "fuels",
    "fuel|propane",
    "flame|--fuel|propane|--equivalence-ratio|0.6|--air-temperature|20 degC|--pressure|1 bara",
    "state|propane|--pressure|3 bara|--temperature|20 degC",
    "injector|--fuel|propane|--upstream|2 barg|--upstream-temperature|15 degC|--chamber|20 mbar(g)|--holes|8|--flow|0.8 g/s",
    "injector|examples/coupon-soak-rig.toml|--choose|--holes|8-12",
    "valve|--fuel|propane|--upstream|3 barg|--upstream-temperature|20 degC|--downstream|2 barg|--flow|1 g/s",
    "relief|--fuel|propane|--set-pressure|17.2 barg|--quality|1|--flow|0.2 kg/s",
    "orifice|--fuel|methane|--upstream|0.5 barg|--upstream-temperature|15 degC|--pipe-bore|80 mm|--flow|40 g/s|--differential|25 mbar",
    "pipe|--fuel|propane|--upstream|37 mbar(g)|--upstream-temperature|15 degC|--bore|8 mm|--length|3 m|--fittings|elbow:4|--flow|0.5 g/s",
    "pump|--fuel|kerosene|--temperature|20 degC|--flow|1.2 g/s|--discharge|7 barg",
    "spray|--fuel|kerosene|--temperature|20 degC|--upstream|7 barg|--flow|1.2 g/s|--gas-temperature|1200 degC",
    "regulator|--fuel|propane|--upstream|7 barg|--upstream-temperature|20 degC|--downstream|1 barg",
    "tank|--fuel|propane|--volume|27 L|--fill|11 kg|--tank-temperature|15 degC|--ambient|15 degC|--draw|0.4 g/s|--duration|1 h|--wall-mass|12 kg|--wall-specific-heat|480 J/(kg K)|--conductance|5 W/K",
    "tank|examples/greenhouse-frost-guard.toml|--coil-wall|80 degC",
    "leak|--fuel|propane|--pressure|2 barg|--temperature|15 degC|--hole-diameter|1 mm|--room|30 m3|--ventilation|60 m3/h|--volume|0.5 L",
    "leak|examples/greenhouse-frost-guard.toml",
    "mass|examples/coupon-soak-rig.toml",
    "tolerance|examples/coupon-soak-rig.toml|--samples|200",
    "sweep|examples/coupon-soak-rig.toml|--over|duties.soak.throttle|--from|60 %|--to|80 %|--steps|2",
    "compare-rigs|examples/coupon-soak-rig.toml|examples/kiln-pilot.toml",
    "train|examples/coupon-soak-rig.toml",
    "convert|examples/coupon-soak-rig.toml",
    "convert|examples/kiln-pilot.toml|--to|propane",
    "trapped|examples/greenhouse-frost-guard.toml",
    "checklist|examples/neglected-frost-guard.toml",
    "remedies|examples/neglected-frost-guard.toml|SIT002|SHU003|LEK019",
    "leak-test|examples/coupon-soak-rig.toml",
    "calibrate|tests/weighed/bench-ring.toml|--weighed|23.80 kg|23.27 kg|--time|10 min|--opening|70 %|--ring|104 mbar(g)|--chamber|18 mbar(g)",
    "flow-test|examples/greenhouse-frost-guard.toml|--upstream|32 mbar(g)|--free-flow|13 L/min|--pressure-error|0.5 mbar|--date|2026-03-21",
    "shutdown|examples/greenhouse-frost-guard.toml",
    "trapped|--fuel|propane|--pressure|12 bara|--temperature|20 degC|--rise|5 K",
];

/// Output of a line in a format, in full.
pub(super) fn output(line: &str, format: &str) -> String {
    use fuelwright::{Outcome, run};
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let all = ["fuelwright", "--full", "--format", format]
        .into_iter()
        .chain(line.split('|'));
    let outcome = run(all, 80, &mut out, &mut err);
    assert_ne!(
        outcome,
        Outcome::Failed,
        "{line}: {}",
        String::from_utf8_lossy(&err)
    );
    assert!(err.is_empty(), "{line}");
    String::from_utf8(out).expect("text")
}

const FORMATS: [&str; 4] = ["text", "json", "markdown", "html"];

/// Output of one of [`LINES`] in a format, made once for all tests.
pub(super) fn made(line: &str, format: &str) -> &'static str {
    static MADE: [[OnceLock<String>; FORMATS.len()]; LINES.len()] =
        [const { [const { OnceLock::new() }; FORMATS.len()] }; LINES.len()];
    let row = LINES.iter().position(|l| *l == line).expect("of LINES");
    let column = FORMATS.iter().position(|f| *f == format).expect("a format");
    MADE[row][column].get_or_init(|| output(line, format))
}

#[test]
fn every_command_has_a_line_here() {
    for command in fuelwright::inside::program().get_subcommands() {
        let name = command.get_name();
        // the first writes a file: tests/rigs/examples.rs runs it; the second no report: tests/program/generate.rs; the
        // third is in builds with its feature: tests/second_opinion.rs
        if ["start", "generate", "second-opinion"].contains(&name) {
            continue;
        }
        let tested = LINES.iter().any(|l| l.split('|').next() == Some(name));
        assert!(tested, "add a line for `{name}` to LINES");
    }
}

#[test]
fn json_is_one_object_with_cautions_for_every_command() {
    for line in LINES {
        let object: serde_json::Value =
            serde_json::from_str(made(line, "json")).expect("one object");
        let cautions = object["cautions"].as_array().expect("a list");
        assert!(cautions.len() >= 2, "{line}");
        let closing = cautions.last().and_then(|c| c.as_str()).expect("a text");
        assert!(closing.contains("licensed gas practice decide"), "{line}");
        assert!(
            object["sources"].is_object() && object["assumptions"].is_array(),
            "{line}"
        );
    }
}

#[test]
fn text_ends_with_cautions_and_explains_every_source_it_names() {
    for line in LINES {
        let out = made(line, "text");
        let (body, cautions) = out.split_once("\nCautions\n").expect("cautions at the end");
        assert!(cautions.contains("licensed gas practice"), "{out}");
        // a table of the rig file stands in backticks
        let body = body.replace("`[[", "`").replace("`[", "`");
        let lists = body
            .split('[')
            .skip(1)
            .filter_map(|rest| Some(rest.split_once(']')?.0));
        // an empty pair of brackets is a place to tick
        for key in lists
            .flat_map(|l| l.split(','))
            .map(str::trim)
            .filter(|k| !k.is_empty())
        {
            assert!(
                out.contains(&format!("  - [{key}] ")),
                "{key} is not explained: {out}"
            );
        }
    }
}

#[test]
fn text_fits_every_terminal_and_has_no_colour_codes() {
    use fuelwright::{Outcome, run};
    for line in LINES {
        let at = |width: usize| {
            let (mut out, mut err) = (Vec::new(), Vec::new());
            let all = std::iter::once("fuelwright").chain(line.split('|'));
            assert_ne!(run(all, width, &mut out, &mut err), Outcome::Failed);
            String::from_utf8(out).expect("text")
        };
        let texts = [
            (40, at(40)),
            (57, at(57)),
            (80, made(line, "text").to_owned()),
            (120, at(120)),
        ];
        for (width, text) in texts {
            for shown in text.lines() {
                assert!(shown.chars().count() <= width, "{line}, {width}: {shown}");
                assert!(!shown.contains('\u{1b}'), "{line}: {shown}");
            }
        }
    }
}

#[test]
fn no_command_calls_anything_by_words_that_promise() {
    let promises = [
        ["sa", "fe"].concat(),
        ["sa", "fely"].concat(),
        ["appro", "ved"].concat(),
    ];
    let check = |what: &str, text: &str| {
        for word in text.to_lowercase().split(|c: char| !c.is_alphanumeric()) {
            assert!(promises.iter().all(|p| p != word), "{what}: {word}");
        }
    };
    for line in LINES {
        for format in FORMATS {
            check(&format!("{line} as {format}"), made(line, format));
        }
    }
    for (path, text) in super::docs::pages() {
        check(&path.display().to_string(), &text);
    }
    // pages of the manual, the completions and the schema, the files that answers leave behind
    for line in [
        "generate|man",
        "generate|schema",
        "generate|completions|bash",
    ] {
        check(line, &plain(line));
    }
    for command in subcommands() {
        check(&command, &plain(&format!("{command}|--help")));
    }
    check("--help", &plain("--help"));
    for rule in fuelwright::audit::registry::RULES {
        check(rule.id, rule.page);
    }
    check("starter", &fuelwright::inside::starter("bench"));
    let folder = std::env::temp_dir().join(format!("fuelwright-words-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("can be made");
    let file = |name: &str| folder.join(name).display().to_string();
    let rig = "examples/coupon-soak-rig.toml";
    let (csv, plot, template) = (file("s.csv"), file("s.svg"), file("t.svg"));
    let sweep = "--over|duties.soak.throttle|--from|60 %|--to|80 %|--steps|2";
    let files = [
        format!("sweep|{rig}|{sweep}|--csv|{csv}|--plot|{plot}"),
        format!("injector|{rig}|--template|{template}"),
        format!("train|{rig}|--diagram|{}", file("d.svg")),
        format!("report|{rig}|--out|{}", file("r.html")),
        format!("report|{rig}|--out|{}", file("r.md")),
    ];
    for line in &files {
        let out = plain(line);
        assert!(out.replace('\n', " ").contains("licensed gas"), "{line}");
    }
    for entry in std::fs::read_dir(&folder).expect("readable") {
        let path = entry.expect("readable").path();
        let text = std::fs::read_to_string(&path).expect("text");
        check(&path.display().to_string(), &text);
    }
    std::fs::remove_dir_all(&folder).expect("can be removed");
}

/// Letters and digits alone: a text as it is in every shape, wherever its lines break and its signs are escaped.
fn bare(text: &str) -> String {
    let text = text.replace("&#39;", "").replace("&quot;", "");
    let text = text.replace("&amp;", "").replace("&lt;", "");
    text.chars().filter(|c| c.is_alphanumeric()).collect()
}

/// The cautions of an answer, as its JSON lists them.
fn cautions(json: &str) -> Vec<String> {
    let object: serde_json::Value = serde_json::from_str(json).expect("one object");
    let list = object["cautions"].as_array().expect("a list");
    let text = |c: &serde_json::Value| c.as_str().expect("a text").to_owned();
    list.iter().map(text).collect()
}

#[test]
fn every_command_carries_all_its_cautions_in_every_format_and_quiet() {
    for line in LINES {
        let list = cautions(made(line, "json"));
        assert!(list.len() >= 2, "{line}");
        // --quiet shortens the text alone
        let quiet = format!("{line}|--quiet");
        let shapes = [
            (*line, "markdown", made(line, "markdown")),
            (*line, "html", made(line, "html")),
            (*line, "text", made(line, "text")),
            (quiet.as_str(), "text", &output(&quiet, "text")),
        ];
        for (line, format, out) in shapes {
            let out = bare(out);
            for caution in &list {
                assert!(
                    out.contains(&bare(caution)),
                    "{line} as {format}: {caution}"
                );
            }
        }
    }
}

#[test]
fn every_file_that_an_answer_leaves_behind_carries_its_caution() {
    use fuelwright::inside::{CLOSING, CLOSING_IN_FIGURE};
    let folder = std::env::temp_dir().join(format!("fuelwright-files-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("can be made");
    let file = |name: &str| folder.join(name).display().to_string();
    let rig = "examples/coupon-soak-rig.toml";
    let sweep = format!(
        "sweep|{rig}|--over|site.ambient_temperature|--from|-100 degC|--to|30 degC|--steps|5"
    );
    let mut lines = vec![
        format!(
            "{sweep}|--csv|{}|--plot|{}|--figure|heat",
            file("s.csv"),
            file("s.svg")
        ),
        format!("injector|{rig}|--template|{}", file("t.svg")),
        format!("train|{rig}|--diagram|{}", file("d.svg")),
    ];
    let pages = ["r.html", "r.md", "r.json", "r.txt"];
    lines.extend(pages.map(|page| format!("report|{rig}|--out|{}", file(page))));
    // it writes a file and never over one: a name for each format
    for format in ["text", "markdown", "html", "json"] {
        let path = file(&format!("{format}.toml"));
        lines.push(format!("start|a bench|--out|{path}|--format|{format}"));
    }
    for line in &lines {
        let out = bare(&plain(line));
        assert!(out.contains(&bare(CLOSING)), "{line}");
    }
    let read = |name: &str| std::fs::read_to_string(file(name)).expect("written");
    let of_report = cautions(&read("r.json"));
    for page in pages {
        let text = bare(&read(page));
        for caution in &of_report {
            assert!(text.contains(&bare(caution)), "{page}: {caution}");
        }
    }
    let short = bare(&CLOSING_IN_FIGURE.concat());
    let tags = regex::Regex::new("<[^>]*>").expect("a pattern");
    for name in ["s.svg", "t.svg", "d.svg"] {
        let text = read(name);
        let shown = bare(&tags.replace_all(&text, ""));
        assert!(shown.contains(&bare(CLOSING)), "{name}");
    }
    for name in ["text", "markdown", "html", "json"] {
        let path = format!("{name}.toml");
        assert!(bare(&read(&path)).contains(&short), "{path}");
    }
    // in every line of the table, those of refused steps too
    let mut table = csv::Reader::from_path(file("s.csv")).expect("a file");
    let columns = table.headers().expect("a head").clone();
    let at = columns.iter().position(|c| c == "cautions").expect("there");
    let refused = columns.iter().position(|c| c == "refused").expect("there");
    let rows: Vec<csv::StringRecord> = table.records().map(|r| r.expect("whole")).collect();
    assert!(rows.iter().any(|r| r[refused].is_empty()));
    assert!(rows.iter().any(|r| !r[refused].is_empty()));
    for row in &rows {
        assert_eq!(bare(&row[at]), short, "{row:?}");
    }
    std::fs::remove_dir_all(&folder).expect("can be removed");
}

/// Output of a line as it is, whatever its exit code.
pub(super) fn plain(line: &str) -> String {
    use fuelwright::run;
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let all = std::iter::once("fuelwright").chain(line.split('|'));
    run(all, 80, &mut out, &mut err);
    let text = String::from_utf8(out).expect("text");
    assert!(
        !text.is_empty(),
        "{line}: {}",
        String::from_utf8_lossy(&err)
    );
    text
}

/// Names of all commands.
fn subcommands() -> Vec<String> {
    let cli = fuelwright::inside::program();
    cli.get_subcommands()
        .map(|c| c.get_name().to_owned())
        .collect()
}

/// Every key of the answers about a rig stands between backticks in the page of keys or in the README.
#[test]
fn the_pages_name_every_key_of_the_answers_about_a_rig() {
    fn names(value: &serde_json::Value, into: &mut std::collections::BTreeSet<String>) {
        match value {
            serde_json::Value::Object(map) => {
                for (key, inner) in map {
                    // these hold names of sources and species as keys
                    if key == "sources" {
                        continue;
                    }
                    into.insert(key.clone());
                    names(inner, into);
                }
            }
            serde_json::Value::Array(list) => list.iter().for_each(|v| names(v, into)),
            _ => {}
        }
    }
    let page = |name: &str| {
        let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(name);
        std::fs::read_to_string(path).expect("there is one")
    };
    let pages = [page("README.md"), page("docs/json.md")];
    let quoted = pages.iter().flat_map(|p| p.split('`').skip(1).step_by(2));
    // the last of a path: `joints[].radiation[].level_w_m2`
    let said = quoted.filter_map(|path| path.rsplit('.').next());
    let said: std::collections::BTreeSet<&str> = said.collect();
    let mut missing = std::collections::BTreeSet::new();
    let commands = [
        "leak",
        "leak-test",
        "shutdown",
        "trapped",
        "checklist",
        "audit",
        "injector",
        "train",
        "tolerance|--samples|200",
        "sweep|--over|site.ambient_temperature|--from|5 degC|--to|15 degC|--steps|2",
        "compare-rigs|examples/kiln-pilot.toml",
    ];
    for command in commands {
        for rig in [
            "coupon-soak-rig",
            "greenhouse-frost-guard",
            "neglected-frost-guard",
        ] {
            let line = format!("{command}|examples/{rig}.toml");
            let answer = serde_json::from_str(&output(&line, "json")).expect("one object");
            let mut keys = std::collections::BTreeSet::new();
            names(&answer, &mut keys);
            let unsaid = keys.iter().filter(|k| !said.contains(k.as_str()));
            missing.extend(unsaid.map(|k| format!("{command}: {k}")));
        }
    }
    assert!(missing.is_empty(), "{missing:#?}");
}

#[test]
fn a_light_gas_has_no_note_of_a_dense_one() {
    let of = |fuel: &str| {
        let line = format!(
            "leak|--fuel|{fuel}|--pressure|3 barg|--temperature|15 degC|--hole-diameter|1 mm|--room|30 m3"
        );
        let out = output(&line, "text");
        let (body, _) = out.split_once("\nCautions\n").expect("cautions");
        body.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    for fuel in ["hydrogen", "methane"] {
        let body = of(fuel);
        assert!(body.contains("rises: it gathers under roofs"), "{body}");
        assert!(body.contains("light gas lies under the ceiling"), "{body}");
        for word in ["sinks", "heavy gas", "pits"] {
            assert!(!body.contains(word), "{fuel}: {word}");
        }
    }
    for fuel in ["propane", "n-butane:50,propane:50", "dimethyl-ether"] {
        let body = of(fuel);
        assert!(body.contains("sinks: it gathers in pits"), "{body}");
        assert!(body.contains("heavy gas lies on the floor"), "{body}");
        assert!(!body.contains("rises"), "{fuel}");
    }
    let inert = of("nitrogen");
    assert!(inert.contains("goes where the air goes"), "{inert}");
    assert!(
        !inert.contains("sinks") && !inert.contains("rises"),
        "{inert}"
    );
}

#[test]
fn the_same_line_gives_the_same_bytes() {
    for line in LINES {
        assert_eq!(made(line, "json"), output(line, "json"), "{line}");
    }
}

#[test]
fn quiet_leaves_out_what_an_answer_rests_on_and_never_its_cautions() {
    let rig = "examples/coupon-soak-rig.toml";
    for (format, heading, end) in [
        ("text", "\nSources\n", "\u{1}"),
        ("markdown", "# Sources\n", "\n#"),
        ("html", ">Sources</h", "</ul>"),
    ] {
        for command in ["audit", "report"] {
            let long = plain(&format!("{command}|{rig}|--full|--format|{format}"));
            let short = plain(&format!("{command}|{rig}|--full|--format|{format}|--quiet"));
            for part in ["Sources", "Assumptions", "Model"] {
                let heading = heading.replace("Sources", part);
                assert!(long.contains(&heading), "{command} as {format}: {part}");
                assert!(!short.contains(&heading), "{command} as {format}: {part}");
            }
            let cautions = heading.replace("Sources", "Cautions");
            let said = |page: &str| {
                let behind = page.split_once(&cautions).expect("cautions").1;
                behind.split(end).next().unwrap_or_default().to_owned()
            };
            assert_eq!(said(&long), said(&short), "{command} as {format}");
            assert!(bare(&said(&long)).contains(&bare(fuelwright::inside::CLOSING)));
        }
    }
}

#[test]
fn no_figure_is_minus_zero_or_no_number_or_next_to_nothing() {
    let odd =
        regex::Regex::new(r"(^|[\s(>:])-0(\.0*)?([\s,;)<%]|$)|\bNaN\b|\binf\b").expect("a pattern");
    let tiny = regex::Regex::new(r"[0-9]e-[1-9][0-9]").expect("a pattern");
    for line in LINES {
        for format in FORMATS {
            let out = made(line, format);
            let found = odd.find(out).map(|m| m.as_str());
            assert_eq!(found, None, "{line} as {format}");
            if format != "json" {
                let found = tiny.find(out).map(|m| m.as_str());
                assert_eq!(found, None, "{line} as {format}");
            }
        }
    }
    // nearly no carbon monoxide in a lean flame
    let line =
        "flame|--fuel|propane|--equivalence-ratio|0.2|--air-temperature|20 degC|--pressure|1 bara";
    let out = output(line, "text");
    assert!(out.contains("< 0.001 ppm"), "{out}");
}

#[test]
fn a_train_that_feeds_no_duty_has_no_opening_to_tell() {
    let path = std::env::temp_dir().join(format!("fuelwright-starved-{}.toml", std::process::id()));
    let rig = include_str!("../../examples/coupon-soak-rig.toml");
    let text = rig.replace(
        "set_pressure = \"2.0 bar(g)\"",
        "set_pressure = \"0.01 bar(g)\"",
    );
    assert_ne!(text, rig);
    std::fs::write(&path, text).expect("can be written");
    let out = output(&format!("train|{}", path.display()), "text");
    assert!(out.contains("not known: no duty is fed"), "{out}");
    assert!(!out.contains("generic valve"), "{out}");
    std::fs::remove_file(&path).expect("can be removed");
}

/// What a line says on the error stream; it must fail.
fn refusal(line: &str) -> String {
    use fuelwright::{Outcome, run};
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let all = std::iter::once("fuelwright").chain(line.split('|'));
    assert_eq!(run(all, 200, &mut out, &mut err), Outcome::Failed, "{line}");
    String::from_utf8(err).expect("text")
}

#[test]
fn refusals_say_what_to_write() {
    let rig = "examples/coupon-soak-rig.toml";
    let valve =
        "valve|--fuel|propane|--upstream|3 barg|--upstream-temperature|20 degC|--downstream|2 barg";
    let flame = "flame|--fuel|propane|--air-temperature|20 degC|--pressure|1 bara";
    for (line, words) in [
        (format!("tolerance|{rig}|--seed|-1"), "write a whole number from 0 up"),
        (format!("tolerance|{rig}|--samples|-5"), "write a whole number from 100 to 1000000"),
        ("injector|--fuel|propane|--upstream|2 barg|--upstream-temperature|15 degC|--chamber|20 mbar(g)|--holes|-8|--flow|1 g/s".to_owned(), "write a whole number from 1 up"),
        (format!("{valve}|--kv|-0.05"), "above zero"),
        (format!("{flame}|--equivalence-ratio|0.6|--relative-humidity|65"), "write `65 %` or 0.65"),
        (format!("{flame}|--heat-input|1000 kW|--air|5 g/s"), "an equivalence ratio of 67.68386 is"),
        (format!("sweep|{rig}|--over|site.ambient_temperature|--from|5 degC|--to|15 degC|--steps|2|--csv|examples"), "it is a folder: name a file in it"),
        (format!("audit|{rig}|--fuels-folder|README.md"), "is a file and no folder"),
        ("start|A rig|--out|examples/coupon-soak-rig.toml".to_owned(), "it is there already and is kept"),
        (format!("sweep|{rig}|--over|train.regulator.set_pressure|--from|1.6 bar|--to|2.4 bar"), "does not say whether it is gauge or absolute"),
    ] {
        let said = refusal(&line);
        assert!(said.contains(words), "{line}: {said}");
        for noise in ["os error", "tip: to pass", "E204"] {
            assert!(!said.contains(noise), "{line}: {said}");
        }
    }
    let page = refusal("audit|README.md");
    assert!(page.lines().count() < 40, "{page}");
    assert!(page.contains("is it a rig file?"), "{page}");
}

#[test]
fn kv_takes_its_unit() {
    let of = |kv: &str| {
        output(
            &format!(
                "valve|--fuel|propane|--upstream|3 barg|--upstream-temperature|20 degC|--downstream|2 barg|--kv|{kv}"
            ),
            "json",
        )
    };
    assert_eq!(of("0.06"), of("0.06 m3/h"));
    assert_eq!(of("0.06"), of("0.06 Kv"));
}

#[test]
fn a_sweep_writes_the_number_it_moves_in_si_and_ends_as_an_audit_would() {
    use fuelwright::{Outcome, run};
    let folder = std::env::temp_dir().join(format!("fuelwright-sweep-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("can be made");
    let csv = folder.join("s.csv").display().to_string();
    let rig = "examples/coupon-soak-rig.toml";
    let ends = |line: &str| {
        let (mut out, mut err) = (Vec::new(), Vec::new());
        run(
            std::iter::once("fuelwright").chain(line.split('|')),
            80,
            &mut out,
            &mut err,
        )
    };
    let calm = ends(&format!(
        "sweep|{rig}|--over|train.regulator.set_pressure|--from|1.6 barg|--to|2 barg|--steps|2|--csv|{csv}"
    ));
    assert_eq!(calm, ends(&format!("audit|{rig}")));
    let mut reader = csv::Reader::from_path(&csv).expect("written");
    let column = |name: &str, headings: &csv::StringRecord| {
        headings.iter().position(|h| h == name).expect("a column")
    };
    let headings = reader.headers().expect("headings").clone();
    let (si, unit) = (
        column("value_si", &headings),
        column("value_si_unit", &headings),
    );
    for (i, row) in reader.records().enumerate() {
        let row = row.expect("as many fields as headings");
        // four duties a step; 1 bar is 1e5 Pa
        let want = if i < 4 { 1.6e5 } else { 2.0e5 };
        let got: f64 = row[si].parse().expect("a number");
        assert!((got - want).abs() < 1e-6, "{got}");
        assert_eq!(&row[unit], "Pa(g)");
    }
    std::fs::remove_dir_all(&folder).expect("can be removed");
    // 60 kg do not fit into the tank
    let wild = ends(&format!(
        "sweep|{rig}|--over|tank.fuel_mass|--from|10 kg|--to|60 kg|--steps|3"
    ));
    assert_eq!(wild, Outcome::Alarms);
    assert_eq!(
        ends(
            "compare-rigs|examples/greenhouse-frost-guard.toml|examples/neglected-frost-guard.toml"
        ),
        Outcome::Alarms
    );
}

#[test]
fn the_end_of_every_help_page_wraps_by_itself_and_its_examples_can_be_pasted() {
    let cli = fuelwright::inside::program();
    for command in cli.get_subcommands() {
        let Some(after) = command.get_after_help() else {
            continue;
        };
        let after = after.to_string();
        let lines: Vec<&str> = after.lines().collect();
        for (i, line) in lines.iter().enumerate() {
            if line.starts_with(' ') {
                // help is at most 100 columns wide: a longer line would be broken in the middle of a command
                assert!(line.chars().count() <= 98, "{}: {line}", command.get_name());
            } else if let Some(next) = lines
                .get(i + 1)
                .filter(|_| !line.is_empty() && !line.ends_with(':'))
            {
                assert!(
                    next.is_empty() || next.starts_with(' '),
                    "{}: broken by hand: {line}",
                    command.get_name()
                );
            }
        }
    }
}
