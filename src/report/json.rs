//! A report as one JSON object.

use super::mark::FileKind;
use super::record::record;
use super::words::told;
use super::{Finding, Report};
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

record! {
    /// A finding of a rule.
    Findings(f: &Finding) {
        /// Id of the rule.
        id: Text = &f.id;
        /// Name of the rule.
        name: Text = &f.name;
        /// Name of the rule in words.
        title: Text = &f.title;
        /// What is wrong, in a sentence: subject, figure, limit, consequence.
        sentence: Text = &f.sentence;
        /// Signal word: DANGER, WARNING, CAUTION or NOTICE.
        signal: Text = f.signal.word();
        /// Figure that was held against the limit, in words.
        measured: Text = &f.measured;
        /// Limit, in words.
        limit: Text = &f.limit;
        /// Who says so.
        source: Text = &f.source;
        /// What to do.
        advice: Text = &f.advice;
        /// Part or key of the rig file.
        at: Text = &f.at;
        /// Line of the rig file.
        line: Count = f.line;
        /// What the figure is of.
        subject: Text = f.data.subject.as_deref();
        /// The figure.
        measured_si: Number = f.data.measured_si;
        /// The limit.
        limit_si: Number = f.data.limit_si;
        /// Unit of both.
        si_unit: Text = f.data.unit;
        /// The smallest change that clears it, where one was searched for.
        [remedy]: Text = f.data.remedy.as_deref();
        places: Rows(Place) = f.data.places.iter().map(Place::row).collect::<Vec<_>>();
    }

    /// A place that a finding is about.
    Place(place: &(String, Option<usize>)) {
        /// Part or key of the rig file.
        at: Text = &place.0;
        /// Line of the rig file.
        line: Count = place.1;
    }
}

/// Findings as a list of objects.
pub(super) fn findings(found: &[Finding]) -> Value {
    found
        .iter()
        .map(|f| Value::Object(Findings::row(f).json()))
        .collect()
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
