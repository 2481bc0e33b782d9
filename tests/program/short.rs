//! The short text: the answer first, what is wrong in a sentence each, what it rests on, and all cautions.

use super::cli::{LINES, made, plain};
use serde_json::Value;

/// Most lines of an answer, title and all, and of a finding.
const OF_ANSWER: usize = 40;
const OF_FINDING: usize = 3;

const SIGNALS: [&str; 4] = ["DANGER", "WARNING", "CAUTION", "NOTICE"];

/// Every line of commands with its JSON and its short text.
fn answers() -> impl Iterator<Item = (&'static str, Value, String)> {
    LINES.iter().map(|line| {
        let json = serde_json::from_str(made(line, "json")).expect("one object");
        (*line, json, plain(line))
    })
}

/// Lines of a text from one that begins a block to its end.
fn block<'a>(text: &'a str, heading: &str) -> Vec<&'a str> {
    let lines = text.lines().skip_while(|l| *l != heading).skip(1);
    lines.take_while(|l| !l.is_empty()).collect()
}

#[test]
fn every_command_opens_with_its_answer() {
    for (line, _, text) in answers() {
        // a list to go through, or to work by, is never cut
        if line.starts_with("checklist") || line.starts_with("convert") {
            continue;
        }
        let ends = ["Findings", "Notes", "Cautions"];
        let answer = text
            .lines()
            .take_while(|l| !ends.contains(l) && !l.ends_with(": --full"));
        let long = answer.collect::<Vec<_>>().join("\n");
        let long = long.trim_end().lines().count();
        assert!(long <= OF_ANSWER, "{line}: {long} lines: {text}");
        assert!(long > 1 || line.starts_with("rules|"), "{line}: {text}");
    }
}

#[test]
fn a_short_text_fits_and_keeps_all_cautions() {
    for (line, json, text) in answers() {
        for shown in text.lines() {
            assert!(shown.chars().count() <= 80, "{line}: {shown}");
        }
        let cautions = block(&text, "Cautions").join(" ");
        let words = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
        let cautions = words(&cautions);
        for caution in json["cautions"].as_array().expect("a list") {
            let caution = words(caution.as_str().expect("a text"));
            assert!(cautions.contains(&caution), "{line}: {caution}");
        }
        let full = made(line, "text");
        assert_eq!(block(&text, "Cautions"), block(full, "Cautions"), "{line}");
    }
}

#[test]
fn every_finding_is_its_sentence_and_the_heaviest_comes_first() {
    let mut seen = 0;
    for (line, json, text) in answers() {
        // what a checklist has to settle are its own first lines; remedies stand beside their findings
        if line.starts_with("checklist") || line.starts_with("remedies") {
            continue;
        }
        let Some(findings) = json["findings"].as_array() else {
            continue;
        };
        let mut told: Vec<Vec<&str>> = Vec::new();
        for shown in block(&text, "Findings") {
            let begins = shown
                .strip_prefix("  ")
                .is_some_and(|l| !l.starts_with(' '));
            match told.last_mut() {
                Some(last) if !begins => last.push(shown),
                _ => told.push(vec![shown]),
            }
        }
        if findings.is_empty() {
            assert_eq!(told, [["  none"]], "{line}");
            continue;
        }
        assert_eq!(told.len(), findings.len(), "{line}: {text}");
        let weight = |told: &Vec<&str>| {
            let word = told[0].split_whitespace().next().expect("a word");
            SIGNALS.iter().position(|s| *s == word).expect(word)
        };
        assert!(told.iter().map(weight).is_sorted(), "{line}: {text}");
        for lines in &told {
            assert!(lines.len() <= OF_FINDING, "{line}: {lines:?}");
        }
        let sentences: Vec<String> = told
            .iter()
            .map(|lines| {
                let lines: Vec<&str> = lines.iter().map(|l| l.trim()).collect();
                lines.join(" ")
            })
            .collect();
        for f in findings {
            let of = |key: &str| f[key].as_str().expect("a text");
            let begins = format!("{} {}", of("signal"), of("sentence"));
            let ends = format!(" {}", of("id"));
            let said = |s: &&String| s.starts_with(&begins) && s.ends_with(&ends);
            assert!(sentences.iter().any(|s| said(&s)), "{line}: {f} in {text}");
            seen += 1;
        }
    }
    assert!(seen > 40, "{seen}");
}

#[test]
fn the_full_text_has_what_the_short_one_counts() {
    for (line, json, text) in answers() {
        let full = made(line, "text");
        let quiet = plain(&format!("{line}|--quiet"));
        for (key, heading, word) in [
            ("assumptions", "Assumptions", "assumption"),
            ("sources", "Sources", "source"),
        ] {
            let many = json[key]
                .as_array()
                .map(Vec::len)
                .or_else(|| json[key].as_object().map(serde_json::Map::len))
                .expect("a list");
            let told = block(full, heading)
                .iter()
                .filter(|l| l.starts_with("  - "))
                .count();
            assert_eq!(told, many, "{line}: {heading}");
            let plural = if many == 1 { "" } else { "s" };
            let counted = format!("{many} {word}{plural}");
            let rests = |text: &str| {
                let end = text
                    .split("\nCautions\n")
                    .next()
                    .expect("a part")
                    .to_owned();
                end.trim_end()
                    .rsplit("\n\n")
                    .next()
                    .expect("a part")
                    .replace('\n', " ")
            };
            if many > 0 {
                assert!(rests(&text).contains(&counted), "{line}: {counted}: {text}");
            }
            assert!(
                !rests(&quiet).contains(&format!(" {word}{plural}")) || many == 0,
                "{line}"
            );
        }
    }
}

#[test]
fn an_audit_is_read_on_a_few_screens() {
    let names = regex::Regex::new(r"[A-Z]{3}[0-9]{3} [a-z]+-").expect("a pattern");
    // three lines for each of 48 findings, and what stands round them
    for (rig, most) in [("coupon-soak-rig", 100), ("neglected-frost-guard", 200)] {
        let text = plain(&format!("audit|examples/{rig}.toml"));
        let long = text.lines().count();
        assert!(long <= most, "{rig}: {long} lines");
        let heading = |name: &str| text.find(&format!("\n{name}\n")).expect(name);
        let order = ["Verdict", "Findings", "Duties", "Not checked", "Cautions"].map(heading);
        assert!(order.is_sorted(), "{rig}: {order:?}");
        assert!(!names.is_match(&text), "{rig}: {text}");
    }
}

#[test]
fn only_text_is_short() {
    let line = "audit|examples/tile-dryer.toml";
    for format in ["markdown", "html", "json"] {
        let of = |flag: &str| plain(&format!("{line}|--format|{format}{flag}"));
        assert_eq!(of(""), of("|--full"), "{format}");
    }
}
