//! Numbers for people come from one formatter, with the digits that they deserve.

use super::architecture::src;
use super::cli::{LINES, plain};
use regex::Regex;

/// Digits of a result without a band.
const OF_RESULT: usize = 3;

/// Where a number is written that no person reads: coordinates of drawings, a rig file, a rounding,
/// where a solver stood that failed.
const NOT_FOR_PEOPLE: [&str; 6] = [
    "quantity/",
    "numerics/",
    "report/plot/",
    "report/diagram",
    "report/template/",
    "input/edit.rs",
];

#[test]
fn nothing_formats_a_number_but_the_formatter() {
    let precise = Regex::new(r"\{[a-z_0-9.]*:[^}]*(\.[0-9*]|\.[a-z_]+\$|e)\}").expect("a pattern");
    let mut found = Vec::new();
    for (path, text) in src() {
        let path = path.to_string_lossy().replace('\\', "/");
        if NOT_FOR_PEOPLE.iter().any(|of| path.contains(of)) || path.ends_with("tests.rs") {
            continue;
        }
        let code = text.split("#[cfg(test)]").next().expect("one");
        let lines = code
            .lines()
            .enumerate()
            .filter(|(_, l)| !l.trim_start().starts_with("//"));
        found.extend(
            lines
                .filter(|(_, l)| precise.is_match(l))
                .map(|(i, l)| format!("{path}:{}: {}", i + 1, l.trim())),
        );
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
}

#[test]
fn a_result_without_a_band_has_three_digits() {
    // a number, and whether a band stands behind it or it is the end of one
    let number = Regex::new(r"(\d+\.\d+)(?: [^\s()]+)?(\s+\()?").expect("a pattern");
    let band = Regex::new(r"\([^()]* to [^()]*\)").expect("a pattern");
    let mut seen = 0;
    // the bands of a report stand in a table, over several lines; the times of a run tell its rows apart
    let others = |line: &&&str| !line.starts_with("report|") && !line.starts_with("tank|--fuel");
    let lines = LINES.iter().filter(others);
    for line in lines {
        let text = plain(line);
        let text = text.split("\nCautions").next().expect("one");
        let text = text.replace('\n', " ");
        let files = line.split('|').filter(|word| word.ends_with("toml"));
        let given: String = files
            .map(|file| std::fs::read_to_string(file).expect("a rig file"))
            .collect();
        let banded: Vec<_> = band.find_iter(&text).map(|m| m.range()).collect();
        for found in number.captures_iter(&text) {
            let whole = found.get(0).expect("a match");
            let figure = &found[1];
            let digits = figure.chars().filter(char::is_ascii_digit);
            let digits = digits.skip_while(|d| *d == '0').count();
            seen += 1;
            let in_band = banded.iter().any(|b| b.contains(&whole.start()));
            // a letter or a sign before it: a name, a date, a drill
            let before = text[..whole.start()].chars().next_back();
            let named = before.is_some_and(|c| c.is_alphanumeric() || "#./-".contains(c));
            let as_given = line.contains(figure) || given.contains(figure) || is_known(figure);
            assert!(
                digits <= OF_RESULT || found.get(2).is_some() || in_band || named || as_given,
                "{line}: {figure} in …{}…",
                &text[whole.start().saturating_sub(60)..whole.end()]
            );
        }
    }
    assert!(seen > 500, "{seen}");
}

/// Sizes of drills as they are sold.
fn is_known(figure: &str) -> bool {
    include_str!("../../src/injector/drills.csv").contains(figure)
}
