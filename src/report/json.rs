//! A report as one JSON object.

use super::mark::FileKind;
use super::words::told;
use super::{Finding, FindingData, Report};
use crate::quantity::printable::in_json;
use crate::quantity::show::Units;
use serde_json::{Map, Value, json};

/// The object: the command's own keys, then `notes`, `assumptions`, `sources`, `findings` where rules were
/// asked, and `cautions`, which are always there.
pub fn object(report: &Report) -> Map<String, Value> {
    let mut object = report.json.clone();
    object.insert("notes".into(), json!(told(&report.notes, Units::Si)));
    object.insert(
        "assumptions".into(),
        json!(told(&report.assumptions, Units::Si)),
    );
    object.insert("sources".into(), json!(report.sources));
    if let Some(findings) = &report.findings {
        object.insert("findings".into(), self::findings(findings));
    }
    object.insert("cautions".into(), json!(report.cautions()));
    object
}

/// The object as text, with a line feed at its end.
pub fn render(report: &Report) -> String {
    text(object(report))
}

/// The same for a file, with a last key `written_by`.
pub fn for_file(report: &Report, kind: FileKind) -> String {
    let mut object = object(report);
    object.insert("written_by".into(), json!(kind.blank()));
    text(object)
}

fn text(object: Map<String, Value>) -> String {
    in_json(&format!("{:#}\n", Value::Object(object)))
}

/// A number with all its digits. JSON has no word for a number that is not finite: `null` stands for it.
pub fn number(x: f64) -> Value {
    // minus zero is zero
    serde_json::Number::from_f64(x + 0.0).map_or(Value::Null, Value::Number)
}

/// Findings as a list of objects.
pub(super) fn findings(found: &[Finding]) -> Value {
    Value::Array(found.iter().map(finding).collect())
}

fn finding(f: &Finding) -> Value {
    let FindingData {
        subject,
        measured_si,
        limit_si,
        unit,
        places,
    } = &f.data;
    let place = |(at, line): &(String, Option<usize>)| json!({ "at": at, "line": line });
    json!({
        "id": f.id, "name": f.name, "signal": f.signal.word(), "measured": f.measured,
        "limit": f.limit, "source": f.source, "advice": f.advice, "at": f.at, "line": f.line,
        "subject": subject, "measured_si": measured_si.map(number), "limit_si": limit_si.map(number),
        "si_unit": unit, "places": places.iter().map(place).collect::<Vec<_>>(),
    })
}

#[cfg(test)]
mod tests {
    use super::super::{Report, Topic};
    use super::*;

    #[test]
    fn every_object_has_cautions_and_full_digits() {
        for topic in Topic::ALL {
            let mut report = Report::new(topic, "a title");
            report.number("pressure_pa", 0.1 + 0.2);
            report.number("nothing", f64::NAN);
            let text = render(&report);
            let read: Value = serde_json::from_str(&text).expect("what we write is JSON");
            assert!(!read["cautions"].as_array().expect("a list").is_empty());
            assert!(text.contains("0.30000000000000004"));
            assert!(read["nothing"].is_null());
        }
    }
}
