//! Answers stored to six digits, and one page of each writer: they prove only that nothing moved.

use super::lines::LINES;
use fuelwright::{Outcome, run};
use serde_json::{Map, Value};
use std::collections::BTreeMap;

/// Keys that change with the version or with a comment in a rig file.
const PASSING: [&str; 3] = ["line", "program_version", "rig_digest"];

/// What a command answers in a format.
fn answer(line: &str, format: &str) -> (Outcome, String) {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let all = ["fuelwright", "--full", "--format", format];
    let outcome = run(
        all.into_iter().chain(line.split('|')),
        100,
        &mut out,
        &mut err,
    );
    let [out, err] = [out, err].map(|bytes| String::from_utf8(bytes).expect("text"));
    assert_ne!(outcome, Outcome::Failed, "{line}: {err}");
    (outcome, out)
}

/// A number to six digits.
fn rounded(number: f64) -> Value {
    let six = format!("{number:.5e}").parse::<f64>().expect("a number");
    Value::from(six)
}

/// The figures, names and words of an answer; sentences and what is empty are left out.
fn figures(value: &Value) -> Option<Value> {
    match value {
        Value::Null => None,
        Value::Number(n) if n.is_f64() => n.as_f64().map(rounded),
        Value::String(text) if text.contains(char::is_whitespace) => None,
        Value::Array(list) => {
            let kept: Vec<Value> = list.iter().filter_map(figures).collect();
            (!kept.is_empty()).then(|| Value::from(kept))
        }
        Value::Object(map) => {
            let kept: Map<String, Value> = map
                .iter()
                .filter(|(key, _)| !PASSING.contains(&key.as_str()))
                .filter_map(|(key, inner)| Some((key.clone(), figures(inner)?)))
                .collect();
            (!kept.is_empty()).then(|| Value::from(kept))
        }
        other => Some(other.clone()),
    }
}

/// Columns of what is stored.
const WIDTH: usize = 118;

/// JSON in lines filled to [`WIDTH`].
fn laid_out(value: &Value, indent: usize) -> String {
    let short = value.to_string();
    if indent + short.len() <= WIDTH {
        return short;
    }
    let inner = indent + 1;
    let (open, pieces, close) = match value {
        Value::Array(list) => {
            let pieces: Vec<String> = list.iter().map(|v| laid_out(v, inner)).collect();
            ('[', pieces, ']')
        }
        Value::Object(map) => {
            let piece = |(key, v): (&String, &Value)| format!("{key:?}:{}", laid_out(v, inner));
            ('{', map.iter().map(piece).collect(), '}')
        }
        _ => return short,
    };
    let mut body = String::new();
    let mut column = WIDTH;
    for piece in pieces {
        if !body.is_empty() {
            body.push(',');
        }
        let is_whole = !piece.contains('\n');
        if !is_whole || column + piece.len() >= WIDTH {
            body = body + "\n" + &" ".repeat(inner);
            column = inner;
        }
        body += &piece;
        column = if is_whole {
            column + piece.len() + 1
        } else {
            WIDTH
        };
    }
    format!("{open}{body}\n{}{close}", " ".repeat(indent))
}

#[test]
fn figures_are_as_stored() {
    let mut stored: BTreeMap<&str, Map<String, Value>> = BTreeMap::new();
    for line in LINES {
        let (outcome, out) = answer(line, "json");
        let said: Value = serde_json::from_str(&out).expect("JSON");
        let mut kept = figures(&said).expect("figures");
        kept["outcome"] = Value::from(format!("{outcome:?}"));
        let command = line.split('|').next().expect("a command");
        let of_command = stored.entry(command).or_default();
        of_command.insert((*line).to_owned(), kept);
    }
    for (command, answers) in stored {
        insta::assert_snapshot!(command, laid_out(&Value::from(answers), 0));
    }
}

#[test]
fn a_page_of_each_writer_is_as_stored() {
    for format in ["text", "markdown", "html"] {
        let (_, page) = answer("audit|examples/tile-dryer.toml", format);
        insta::assert_snapshot!(format!("page-{format}"), page);
    }
}
