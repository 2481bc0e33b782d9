//! Reports and drilling templates of the example rigs: what is written, where, and what is kept.

use super::folder::Folder;
use fuelwright::inside::Topic;
use fuelwright::{self as cli, Outcome};
use std::path::Path;

const RIGS: [&str; 3] = ["coupon-soak-rig", "greenhouse-frost-guard", "kiln-pilot"];
const ALL_RIGS: [&str; 4] = [RIGS[0], RIGS[1], RIGS[2], "neglected-frost-guard"];

fn run(arguments: &[&str]) -> (Outcome, String, String) {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let all = ["fuelwright", "--full"]
        .into_iter()
        .chain(arguments.iter().copied());
    let outcome = cli::run(all, 80, &mut out, &mut err);
    (
        outcome,
        String::from_utf8(out).expect("text"),
        String::from_utf8(err).expect("text"),
    )
}

fn rig(name: &str) -> String {
    format!("{}/examples/{name}.toml", env!("CARGO_MANIFEST_DIR"))
}

fn read(path: &str) -> String {
    std::fs::read_to_string(Path::new(path)).expect("written")
}

#[test]
fn every_example_has_a_page_that_stands_by_itself() {
    let folder = Folder::new("pages");
    for name in RIGS {
        let file = folder.path(&format!("{name}.html"));
        let (outcome, out, err) = run(&["report", &rig(name), "--out", &file]);
        assert_ne!(outcome, Outcome::Failed, "{err}");
        assert!(out.contains("Verdict") && out.contains("Findings"), "{out}");
        let page = read(&file);
        assert!(page.starts_with("<!DOCTYPE html>\n<html lang=\"en\">"));
        let plain = page.replace("http://www.w3.org/2000/svg", "");
        for outside in [
            "http:", "https:", "<script", "<link", "<img", "url(", "@import",
        ] {
            assert!(!plain.contains(outside), "{name}: {outside}");
        }
        assert!(!page.contains("NaN"), "{name}");
        // each figure has its words
        let figures = page.matches("<svg ").count();
        assert!(figures >= 5, "{name}: {figures}");
        assert_eq!(page.matches("<figcaption>").count(), figures);
        assert_eq!(page.matches("<desc id=").count(), figures);
        // sheets first, with all cautions on them, and the appendix behind
        let at = |text: &str| page.find(text).unwrap_or_else(|| panic!("{name}: {text}"));
        let order = [
            "Verdict</h2>",
            "Line diagram of the train",
            "Findings</h3>",
            "Duties</h3>",
            "Where to stand</h2>",
            "Cautions</h3>",
            "What stops the fuel</h3>",
            "Checklist</h2>",
            "Appendix</h2>",
            "Findings at length</h3>",
            "Injector</h3>",
            "Train</h3>",
            "Mass</h3>",
            "Inputs as given</h3>",
            "Sources</h3>",
        ]
        .map(at);
        assert!(order.is_sorted(), "{name}: {order:?}");
        let (sheets, appendix) = page.split_at(at("Appendix</h2>"));
        assert!(!sheets.contains("<details class"), "{name}");
        assert!(appendix.matches("<details class=\"chapter\">").count() > 8);
        for caution in Topic::Report.cautions() {
            assert!(sheets.contains(caution), "{caution}");
        }
        // every line of the rig file is there
        let lines = std::fs::read_to_string(rig(name))
            .expect("there")
            .lines()
            .count();
        assert!(page.contains(&format!("id=\"L{lines}\"")), "{name}");
        // every source that is named is explained
        for link in page.split("href=\"#").skip(1) {
            let id = link.split('"').next().expect("closed");
            assert!(page.contains(&format!("id=\"{id}\"")), "{name}: {id}");
        }
    }
}

/// Box of a text of a figure, from its element as written. A letter of a sans-serif face is half its size
/// wide on the mean (common practice, no source); the browser test takes the true boxes.
fn text_box(element: &str) -> ([f64; 4], String) {
    let attribute = |name: &str| {
        let behind = element.split_once(&format!(" {name}=\""))?.1;
        Some(behind.split_once('"')?.0)
    };
    let number = |name: &str| -> f64 {
        attribute(name)
            .and_then(|a| a.parse().ok())
            .expect("a number")
    };
    let text = element.split_once('>').expect("a tag").1;
    let text = text.split("</text>").next().expect("closed").to_owned();
    let size = match attribute("class").expect("a class") {
        c if c.contains("small") => 9.0,
        c if c.contains("caption") => 12.0,
        _ => 11.0,
    };
    let wide = text.chars().count() as f64 * 0.5 * size;
    let (x, y) = (number("x"), number("y"));
    let left = match attribute("text-anchor") {
        Some("middle") => x - wide / 2.0,
        Some("end") => x - wide,
        _ => x,
    };
    ([left, y - 0.72 * size, left + wide, y + 0.2 * size], text)
}

#[test]
fn an_appendix_that_is_asked_for_stands_open() {
    let page = |more: &[&str]| {
        let rig = rig("kiln-pilot");
        run(&[&["report", &rig, "--format", "html"], more].concat()).1
    };
    let (folded, open) = (page(&[]), page(&["--appendix"]));
    let chapters = |page: &str, tag: &str| page.matches(tag).count();
    let all = chapters(&folded, "<details class=\"chapter\">");
    assert!(all > 8 && folded.contains("class=\"appendix folds\""));
    assert_eq!(chapters(&open, "<details class=\"chapter\" open>"), all);
    assert!(open.contains("class=\"appendix\""));
}

#[test]
fn duties_on_the_first_sheet_have_their_bands() {
    let soak = rig("coupon-soak-rig");
    let (_, page, _) = run(&["report", &soak, "--format", "markdown"]);
    let (_, found, _) = run(&["tolerance", &soak, "--format", "json"]);
    let found: serde_json::Value = serde_json::from_str(&found).expect("one object");
    let rows = page.split("### Duties").nth(1).expect("a table");
    for duty in found["duties"].as_array().expect("a list") {
        let name = duty["name"].as_str().expect("a name");
        let row = rows
            .lines()
            .find(|l| l.starts_with(&format!("| {name} |")))
            .expect("a row");
        let cell = row.split('|').nth(3).expect("fuel");
        let words: Vec<f64> = cell
            .split(|c: char| !(c.is_ascii_digit() || c == '.'))
            .filter_map(|word| word.parse().ok())
            .collect();
        let flow = &duty["fuel_flow_kg_s"];
        for (shown, key) in words.iter().zip(["nominal", "p05", "p95"]) {
            let g_s = 1e3 * flow[key].as_f64().expect("a number");
            // two digits of half the band
            assert!(
                (shown - g_s).abs() < 0.005 * g_s,
                "{name} {key}: {cell}, {g_s}"
            );
        }
        assert_eq!(words.len(), 3, "{cell}");
    }
}

#[test]
fn no_two_labels_of_a_figure_stand_on_one_another() {
    let mut texts = 0;
    for name in ALL_RIGS {
        let (_, page, err) = run(&["report", &rig(name), "--format", "html"]);
        assert!(err.is_empty(), "{err}");
        for figure in page.split("<svg ").skip(1) {
            let figure = figure.split("</svg>").next().expect("closed");
            let boxes: Vec<_> = figure
                .split("<text ")
                .skip(1)
                .map(|e| text_box(&format!(" {e}")))
                .collect();
            texts += boxes.len();
            for (i, (a, one)) in boxes.iter().enumerate() {
                for (b, two) in &boxes[..i] {
                    let meets = a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3];
                    assert!(!meets, "{name}: `{one}` {a:?} on `{two}` {b:?}");
                }
            }
        }
    }
    assert!(texts > 500, "{texts}");
}

#[test]
fn a_report_holds_the_checklist_once() {
    for format in ["html", "markdown", "text"] {
        let (_, page, _) = run(&["report", &rig("coupon-soak-rig"), "--format", format]);
        let (_, list, _) = run(&["checklist", &rig("coupon-soak-rig"), "--format", "json"]);
        let list: serde_json::Value = serde_json::from_str(&list).expect("JSON");
        let first = list["checklist"][1]["lines"][0]["text"]
            .as_str()
            .expect("a line");
        // words enough to know the line by, before anything that is escaped or wrapped
        let start: String = first
            .chars()
            .take(30)
            .take_while(|c| c.is_alphanumeric() || " ,;".contains(*c))
            .collect();
        assert!(start.len() > 10, "{first}");
        assert_eq!(page.matches(start.as_str()).count(), 1, "{format}: {start}");
    }
}

#[test]
fn pages_make_no_promise() {
    let promises = [["sa", "fe"].concat(), ["appro", "ved"].concat()];
    for name in RIGS {
        for format in ["html", "markdown", "text", "json"] {
            let (_, out, _) = run(&["report", &rig(name), "--format", format]);
            let out = out.to_lowercase();
            for word in out.split(|c: char| !c.is_alphanumeric()) {
                assert!(promises.iter().all(|p| p != word), "{name}: {word}");
            }
        }
    }
}

#[test]
fn the_same_rig_gives_the_same_bytes_in_every_form() {
    for format in ["html", "markdown", "text", "json"] {
        let one = || run(&["report", &rig("coupon-soak-rig"), "--format", format]).1;
        assert_eq!(one(), one(), "{format}");
    }
}

#[test]
fn markdown_has_every_chapter_and_every_table_is_whole() {
    let (outcome, out, err) = run(&["report", &rig("coupon-soak-rig"), "--format", "markdown"]);
    assert_ne!(outcome, Outcome::Failed, "{err}");
    let chapters = [
        "Verdict",
        "Where to stand",
        "Checklist",
        "Findings at length",
        "Injector",
        "Train",
        "Tank",
        "Mass",
        "Sources",
    ]
    .map(|chapter| out.find(&format!("\n## {chapter}\n")));
    assert!(chapters.iter().all(Option::is_some), "{chapters:?}");
    assert!(chapters.is_sorted(), "{chapters:?}");
    let cautions = Topic::Report.cautions();
    assert_eq!(out.matches(cautions[0]).count(), 1);
    assert!(out.find(cautions[0]) < chapters[2], "before the checklist");
    let mut columns = None;
    for line in out.lines() {
        let cells = line.replace("\\|", "").matches('|').count();
        if line.starts_with('|') {
            assert_eq!(*columns.get_or_insert(cells), cells, "{line}");
        } else {
            columns = None;
        }
    }
}

#[test]
fn a_report_is_written_over_and_nothing_else_is() {
    let folder = Folder::new("over");
    let own = folder.path("rig.toml");
    std::fs::copy(rig("kiln-pilot"), &own).expect("copied");
    for (file, form) in [
        ("r.html", "html"),
        ("r.md", "markdown"),
        ("r.json", "json"),
        ("r.txt", "text"),
    ] {
        let file = folder.path(file);
        for _ in 0..2 {
            let (outcome, _, err) = run(&["report", &own, "--out", &file]);
            assert_ne!(outcome, Outcome::Failed, "{form}: {err}");
        }
        std::fs::write(&file, "my notes\n").expect("written");
        let (outcome, out, err) = run(&["report", &own, "--out", &file]);
        assert_eq!(outcome, Outcome::Failed, "{form}");
        assert!(
            out.is_empty() && err.contains("nothing is written over it"),
            "{err}"
        );
        assert_eq!(read(&file), "my notes\n");
    }
    let before = read(&own);
    let (outcome, _, err) = run(&["report", &own, "--out", &own, "--format", "markdown"]);
    assert_eq!(outcome, Outcome::Failed, "{err}");
    assert_eq!(before, read(&own));
}

#[test]
fn the_name_of_the_file_says_what_is_written() {
    let folder = Folder::new("names");
    let refused = |arguments: &[&str]| {
        let (outcome, out, err) = run(arguments);
        assert_eq!(outcome, Outcome::Failed, "{out}");
        err
    };
    let rig = rig("kiln-pilot");
    let err = refused(&["report", &rig, "--out", &folder.path("r.pdf")]);
    assert!(err.contains(".html, .md, .json or .txt"), "{err}");
    let err = refused(&[
        "report",
        &rig,
        "--out",
        &folder.path("r.html"),
        "--format",
        "markdown",
    ]);
    assert!(err.contains("--format"), "{err}");
    let json = folder.path("r.json");
    run(&["report", &rig, "--out", &json]);
    let object: serde_json::Value = serde_json::from_str(&read(&json)).expect("one object");
    for key in ["findings", "duties", "train", "mass", "mass_kg", "cautions"] {
        assert!(object.get(key).is_some(), "{key}");
    }
    let (_, out, _) = run(&[
        "report",
        &rig,
        "--out",
        &folder.path("p.html"),
        "--format",
        "json",
    ]);
    let object: serde_json::Value = serde_json::from_str(&out).expect("one object");
    assert!(object["path"].as_str().expect("a text").ends_with("p.html"));
    assert!(object["train"]["duties"].is_array());
}

const FLAGS: [&str; 13] = [
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
    "--flow",
    "0.8 g/s",
];

#[test]
fn a_template_is_written_for_a_ring_a_bar_and_a_rig() {
    let folder = Folder::new("template");
    let file = folder.path("t.svg");
    let of = |more: &[&str]| {
        let all = [&FLAGS[..], &["--template", &file], more].concat();
        let (outcome, out, err) = run(&all);
        assert_eq!(outcome, Outcome::Done, "{err}");
        assert!(out.contains("measure its bar first"), "{out}");
        read(&file)
    };
    let ring = of(&["--tube-diameter", "8 mm", "--ring-diameter", "60 mm"]);
    assert!(
        ring.starts_with("<svg ") && ring.contains("22.5 deg"),
        "{ring}"
    );
    let bar = of(&[
        "--tube-diameter",
        "8 mm",
        "--bar-length",
        "160 mm",
        "--paper",
        "letter",
    ]);
    assert!(bar.contains("10 mm") && bar.contains("279.4mm\""), "{bar}");
    let (outcome, _, err) = run(&["injector", &rig("coupon-soak-rig"), "--template", &file]);
    assert_ne!(outcome, Outcome::Failed, "{err}");
    let svg = read(&file);
    // bore 6 mm and a wall of 1 mm: 8 mm outside
    assert!(svg.contains("Tube of 8 mm outside"), "{svg}");
    assert!(
        svg.contains("feed here") && svg.contains("licensed gas"),
        "{svg}"
    );
}

#[test]
fn a_template_that_cannot_be_is_refused() {
    let folder = Folder::new("no-template");
    let file = folder.path("t.svg");
    for (more, word) in [
        (vec![], "--tube-diameter"),
        (
            vec!["--tube-diameter", "8 mm"],
            "--ring-diameter or --bar-length",
        ),
        (
            vec!["--tube-diameter", "8 mm", "--ring-diameter", "3 m"],
            "the sheet holds",
        ),
        (
            vec!["--tube-diameter", "8 mm", "--bar-length", "4 mm"],
            "too close",
        ),
        (
            vec!["--tube-diameter", "0.8 mm", "--bar-length", "90 mm"],
            "more than half",
        ),
        (
            vec!["--tube-diameter", "70 mm", "--ring-diameter", "60 mm"],
            "cannot be bent",
        ),
        (
            vec!["--tube-diameter", "-8 mm", "--ring-diameter", "60 mm"],
            "cannot be",
        ),
    ] {
        let all = [&FLAGS[..], &["--template", &file], &more].concat();
        let (outcome, out, err) = run(&all);
        assert_eq!(outcome, Outcome::Failed, "{out}");
        assert!(err.contains(word), "{more:?}: {err}");
        assert!(!Path::new(&file).exists());
    }
    std::fs::write(&file, "<svg>mine</svg>").expect("written");
    let all = [
        &FLAGS[..],
        &[
            "--template",
            &file,
            "--tube-diameter",
            "8 mm",
            "--bar-length",
            "90 mm",
        ],
    ]
    .concat();
    let (outcome, _, err) = run(&all);
    assert_eq!(outcome, Outcome::Failed);
    assert!(err.contains("nothing is written over it"), "{err}");
}

#[test]
fn the_list_counts_what_the_audit_found() {
    let soak = rig("coupon-soak-rig");
    let (_, audit, _) = run(&["audit", &soak, "--format", "json"]);
    let audit: serde_json::Value = serde_json::from_str(&audit).expect("one object");
    let found = audit["findings"].as_array().expect("a list");
    let (_, list, _) = run(&["checklist", &soak]);
    let list = list.split_whitespace().collect::<Vec<_>>().join(" ");
    let (_, json, _) = run(&["checklist", &soak, "--format", "json"]);
    let json: serde_json::Value = serde_json::from_str(&json).expect("one object");
    for word in ["DANGER", "WARNING", "CAUTION", "NOTICE"] {
        let n = found.iter().filter(|f| f["signal"] == word).count();
        assert!(list.contains(&format!("{n} {word}")), "{n} {word}");
        assert_eq!(json["finding_counts"][word.to_lowercase()], n, "{word}");
    }
}

#[test]
fn a_limit_inside_the_band_is_said() {
    let folder = Folder::new("limit");
    let soak = folder.path("soak.toml");
    let text = read(&rig("coupon-soak-rig"));
    // 782 degC at `full` as it is, and up to 863 degC with the bands of the rig
    let limit = "max_temperature = \"870 degC\"";
    assert!(text.contains(limit));
    let text = text.replace(limit, "max_temperature = \"855 degC\"");
    std::fs::write(&soak, text).expect("written");
    let (_, out, _) = run(&["tolerance", &soak, "--format", "json"]);
    let found: serde_json::Value = serde_json::from_str(&out).expect("one object");
    let duties = found["duties"].as_array().expect("a list");
    let notes = found["notes"].as_array().expect("a list");
    let said = |duty: &str, place: &str| {
        let words = format!("{duty}: the limit of the {place} (");
        notes
            .iter()
            .any(|n| n.as_str().is_some_and(|n| n.starts_with(&words)))
    };
    for duty in duties {
        let name = duty["name"].as_str().expect("a name");
        let p95_c = duty["exit_temperature_k"]["p95"]
            .as_f64()
            .expect("a number")
            - 273.15;
        for (place, limit_c) in [
            ("liner", 1050.0),
            ("duct", 855.0),
            ("coupon holder", 1500.0),
        ] {
            assert_eq!(said(name, place), limit_c < p95_c, "{name} {place} {p95_c}");
        }
    }
    assert!(said("full", "duct"));
    let (_, page, _) = run(&["report", &soak, "--format", "text"]);
    let page = page.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(page.contains("full: the limit of the duct ("));
}

#[test]
fn a_duty_without_a_valve_burns_the_same_in_report_and_audit() {
    let folder = Folder::new("burns");
    let file = folder.path("r.txt");
    let rig = rig("neglected-frost-guard");
    let (outcome, _, err) = run(&["report", &rig, "--out", &file]);
    assert_ne!(outcome, Outcome::Failed, "{err}");
    let page = read(&file);
    let (_, out, _) = run(&["audit", &rig, "--format", "json"]);
    let audit: serde_json::Value = serde_json::from_str(&out).expect("one object");
    for duty in audit["duties"].as_array().expect("a list") {
        let fed = &duty["as_fed"];
        let figure = |key: &str| fed[key].as_f64().expect("a number");
        let burns = [
            format!("{:.3} (", figure("fuel_flow_kg_s") * 1e3),
            format!("{:.3} (", figure("equivalence_ratio")),
            format!("{:.0} (", figure("exit_temperature_k") - 273.15),
        ];
        let name = duty["name"].as_str().expect("a text");
        let mut rows = page.lines().filter(|l| l.trim().starts_with(name));
        let all = |row: &str| burns.iter().all(|figure| row.contains(figure.as_str()));
        assert!(rows.any(all), "{name}: {burns:?}");
    }
}
