//! What a rule finds is a sentence that can be read aloud: over every finding of the examples, of all faults, and of the
//! rigs that trip a rule each. `sentences.txt` in the folder of the tests has them all, to be read.

use crate::{audit_rules, faults, places};
use fuelwright::audit::finding::{first_of, sentence};
use fuelwright::audit::{self, Audit, Finding, registry::RULES, solution};
use fuelwright::fuel::Library;
use fuelwright::input;
use fuelwright::quantity::show::Units;
use std::collections::BTreeMap;
use std::sync::LazyLock;

/// Lines of a finding on a page of 80 columns, at most, and the columns that it has there.
const LINES: usize = 3;
const COLUMNS: usize = 76;

/// The rig whose findings all keep their advice.
const SOAK: &str = "coupon-soak-rig";
const EXAMPLES: [&str; 6] = [
    SOAK,
    "greenhouse-frost-guard",
    "kiln-pilot",
    "neglected-frost-guard",
    "seed-dryer",
    "tile-dryer",
];

fn example(name: &str) -> Audit {
    let library = Library::embedded();
    let path = format!("{}/examples/{name}.toml", env!("CARGO_MANIFEST_DIR"));
    let loaded = input::load(path.as_ref(), &library).expect("it is read");
    let solved = solution::solve(&loaded.rig, &library, Units::Si).expect("it has a model");
    audit::audit(&solved)
}

/// Every finding by what it says.
static FOUND: LazyLock<BTreeMap<String, Finding>> = LazyLock::new(|| {
    let rigs = EXAMPLES.into_iter().map(example);
    let rigs = rigs.chain(places::audits()).chain(audit_rules::audits());
    let found = rigs.flat_map(|audit| audit.findings);
    let of_faults = faults::audits().flat_map(|audit| audit.findings.clone());
    let told = found.chain(of_faults);
    let told = told.map(|f| (format!("{} {}", f.id, f.sentence(Units::Si)), f));
    told.collect()
});

/// Lines of a text that breaks between words.
fn lines(text: &str) -> usize {
    let (mut lines, mut used) = (1, 0);
    for word in text.split_whitespace().map(|w| w.chars().count()) {
        if used > 0 && used + 1 + word > COLUMNS {
            (lines, used) = (lines + 1, 0);
        }
        used += word + usize::from(used > 0);
    }
    lines
}

fn short(f: &Finding, advice: &str) -> String {
    let said = f.sentence(Units::Si);
    format!("{} {said} {advice} {}", f.signal.word(), f.id)
}

/// Whether its first advice has to be left out.
fn loses_advice(f: &Finding) -> bool {
    lines(&short(f, first_of(&f.advice))) > LINES
}

/// The first sentence of an advice.
/// Figures of a text: words that begin with a digit, but for names.
fn figures(text: &str) -> Vec<&str> {
    let unquoted = text.split('`').step_by(2);
    let words = unquoted.flat_map(str::split_whitespace);
    let words = words.map(|w| w.trim_matches(['(', ')', ',', ';', ':', '.']));
    let figure = |w: &&str| {
        w.trim_start_matches(['-', '+'])
            .starts_with(|c: char| c.is_ascii_digit())
    };
    words.filter(figure).collect()
}

/// What is wrong with how a finding is said.
fn faults_of(f: &Finding) -> Vec<String> {
    let said = f.sentence(Units::Si);
    let mut wrong = Vec::new();
    let mut check = |holds: bool, why: &str| {
        if !holds {
            wrong.push(format!("{why}: {} {said} | {}", f.id, f.advice));
        }
    };
    check(!f.says.is_empty(), "no sentence of its own");
    // or a figure
    let begins = |c: char| c.is_uppercase() || c.is_ascii_digit();
    check(said.starts_with(begins), "no capital");
    check(said.ends_with('.'), "no full stop");
    check(!said.contains(['{', '}']), "a place is not filled");
    let doubled = ["  ", "..", " .", " ,", ",,", " the the ", ": :", "; ;"];
    check(doubled.iter().all(|d| !said.contains(d)), "doubled");
    let measured = f.measured.show(Units::Si);
    let limit = f.limit.bare(Units::Si);
    for figure in figures(&measured).into_iter().chain(figures(&limit)) {
        check(said.contains(figure), &format!("no {figure}"));
    }
    let mut steps = f.at.split('.');
    if let (Some("train" | "duties"), Some(name)) = (steps.next(), steps.next()) {
        let words = name.replace(['-', '_'], " ");
        let named = said.contains(name) || said.to_lowercase().contains(&words.to_lowercase());
        check(named, "no subject");
    }
    check(lines(&short(f, "")) <= LINES, "too long");
    check(
        !f.advice.is_empty() && f.advice == sentence(&f.advice),
        "advice is no sentence",
    );
    let all = format!("{said} {}", f.advice).to_lowercase();
    let promised = ["safe", "approved"].iter().any(|w| all.contains(w));
    check(!promised, "a promise");
    wrong
}

#[test]
fn each_finding_is_a_sentence_with_subject_figure_and_limit() {
    let read: Vec<String> = FOUND
        .values()
        .map(|f| {
            let dropped = if loses_advice(f) { "(left out) " } else { "" };
            let (at, said) = (&f.at, f.sentence(Units::Si));
            format!(
                "{} {} {at}\n  {said}\n  {dropped}{}\n",
                f.id,
                f.signal.word(),
                f.advice
            )
        })
        .collect();
    let file = concat!(env!("CARGO_TARGET_TMPDIR"), "/sentences.txt");
    std::fs::write(file, read.join("\n")).expect("the sentences are written");
    let wrong: Vec<String> = FOUND.values().flat_map(faults_of).collect();
    let report = wrong.join("\n");
    assert!(
        wrong.is_empty(),
        "{} of {}:\n{report}",
        wrong.len(),
        FOUND.len()
    );
}

#[test]
fn advice_finds_room_in_three_lines() {
    let soak = example(SOAK);
    let soak = soak.findings.iter();
    let dropped: Vec<String> = soak
        .filter(|f| loses_advice(f))
        .map(|f| short(f, first_of(&f.advice)))
        .collect();
    assert!(dropped.is_empty(), "{}", dropped.join("\n"));
    let lost = FOUND.values().filter(|f| loses_advice(f)).count();
    assert!(
        20 * lost <= FOUND.len(),
        "{lost} of {} lose it",
        FOUND.len()
    );
}

#[test]
fn each_rule_says_what_it_finds() {
    let silent = RULES.iter();
    let silent: Vec<&str> = silent
        .filter(|r| r.says().is_empty())
        .map(|r| r.id)
        .collect();
    assert!(silent.is_empty(), "no sentence: {}", silent.join(", "));
}
