//! What each command answers, in machine-readable form: a schema and a page, from the declarations that write it.

use super::json::Findings;
use super::record::{Line, Shape, Stands, Takes};
use super::{
    audit, audit_supply, calibration, checklist, choices, compare, convert, flame, flames,
    flow_test, fuel, fuels, injector, leak, leak_plan, leak_test, lookup, mass, orifice, pipe,
    plan, properties, pump, ranges, relief, remedies, rules, second_opinion, shutdown,
    side_by_side, sources, spray, sweep, tank, tolerance, train, trapped,
};
use serde_json::{Map, Value as Json, json};
use std::fmt::Write as _;

/// Dialect: the one of the rig file's schema.
const DIALECT: &str = "http://json-schema.org/draft-07/schema#";
/// What every answer ends with.
const ALWAYS: [(&str, &str); 3] = [
    ("notes", "What a reader must know about the figures."),
    ("assumptions", "What was taken for granted."),
    ("cautions", "Cautions of the topic; never empty."),
];

/// Answers by command: the records whose keys stand in it; those of the first are always there.
#[allow(clippy::too_many_lines, reason = "one list")]
fn answers() -> Vec<(&'static str, Vec<&'static Shape>)> {
    let model = properties::ModelOf::shape();
    let open = audit::Open::shape();
    let beside = audit::Beside::shape();
    let injector_of_rig = plan::InjectorOfRig::shape();
    vec![
        (
            "audit",
            vec![
                audit::VerdictOf::shape(),
                audit::Digest::shape(),
                open,
                audit::Duties::shape(),
                flames::Limits::shape(),
                injector_of_rig,
                audit_supply::TrainInShort::shape(),
                audit_supply::TankInShort::shape(),
                mass::Whole::shape(),
                trapped::Sections::shape(),
                shutdown::Shutdown::shape(),
                beside,
                model,
            ],
        ),
        ("calibrate", vec![calibration::Answer::shape(), model]),
        (
            "checklist",
            vec![
                checklist::TestDay::shape(),
                open,
                checklist::Found::shape(),
                beside,
            ],
        ),
        ("second-opinion", vec![second_opinion::Opinion::shape()]),
        ("compare-rigs", vec![compare::Compared::shape(), model]),
        (
            "convert, to a gas",
            vec![
                convert::SwitchOf::shape(),
                flames::Limits::shape(),
                convert::WorkOf::shape(),
                convert::Old::shape(),
                convert::ToGasOf::shape(),
                model,
            ],
        ),
        (
            "convert, to a liquid",
            vec![
                convert::SwitchOf::shape(),
                flames::Limits::shape(),
                convert::WorkOf::shape(),
                convert::Old::shape(),
                convert::ToLiquidOf::shape(),
                model,
            ],
        ),
        (
            "flame",
            vec![
                flame::Exit::shape(),
                flame::DutyOf::shape(),
                flame::PrimaryZone::shape(),
                flame::Feed::shape(),
            ],
        ),
        (
            "fuel",
            vec![
                fuel::Identity::shape(),
                fuel::Burning::shape(),
                fuel::AsGas::shape(),
                fuel::Limits::shape(),
                fuel::Saturation::shape(),
                model,
            ],
        ),
        (
            "flow-test",
            vec![
                flow_test::Judged::shape(),
                flow_test::Planned::shape(),
                beside,
                model,
            ],
        ),
        ("fuels", vec![fuels::Fuels::shape()]),
        (
            "injector, of holes",
            vec![
                injector::InjectorOf::shape(),
                injector::Written::shape(),
                model,
            ],
        ),
        (
            "injector, of a rig",
            vec![audit::Duties::shape(), injector_of_rig, beside, model],
        ),
        (
            "injector, of choices",
            vec![choices::Answer::shape(), injector::Written::shape(), model],
        ),
        ("leak, of a hole", vec![leak::keys::Single::shape(), model]),
        (
            "leak, of a rig",
            vec![leak_plan::keys::Plan::shape(), beside, model],
        ),
        (
            "leak-test",
            vec![
                leak_test::keys::OnRecord::shape(),
                leak_test::keys::Planned::shape(),
                leak_test::keys::Joints::shape(),
                beside,
            ],
        ),
        ("lookup, of parts", vec![lookup::Parts::shape()]),
        ("lookup, of words", vec![lookup::Words::shape()]),
        ("lookup, of keys", vec![lookup::Keys::shape()]),
        (
            "mass",
            vec![
                mass::Weighed::shape(),
                mass::LighterParts::shape(),
                side_by_side::BesideGas::shape(),
                model,
            ],
        ),
        ("orifice", vec![orifice::PlateOf::shape(), model]),
        ("pipe", vec![pipe::PipeOf::shape(), model]),
        ("pump", vec![pump::PumpOf::shape(), model]),
        ("regulator", vec![properties::LetDown::shape(), model]),
        ("relief", vec![relief::ReliefOf::shape(), model]),
        (
            "remedies",
            vec![
                remedies::Answer::shape(),
                injector::Written::shape(),
                audit::Digest::shape(),
                beside,
                model,
            ],
        ),
        ("rules", vec![rules::Rules::shape()]),
        ("rules, of one", vec![rules::PageOf::shape()]),
        ("shutdown", vec![shutdown::Shutdown::shape(), beside, model]),
        ("sources", vec![sources::Sources::shape()]),
        ("spray", vec![spray::SprayOf::shape(), model]),
        ("state", vec![properties::StateOf::shape(), model]),
        ("sweep", vec![sweep::Moved::shape(), model]),
        ("tank, of a cylinder", vec![tank::Run::shape(), model]),
        ("tank, of a rig", vec![tank::OfRig::shape(), beside, model]),
        ("tolerance", vec![tolerance::Bands::shape(), model]),
        (
            "train",
            vec![
                train::Walked::shape(),
                ranges::Ranges::shape(),
                beside,
                model,
            ],
        ),
        (
            "trapped, of a section",
            vec![trapped::Warmed::shape(), model],
        ),
        (
            "trapped, of a rig",
            vec![trapped::Sections::shape(), beside, model],
        ),
        ("valve", vec![properties::ThroughValve::shape(), model]),
    ]
}

/// Schema of the answers: a definition a command.
pub(crate) fn schema() -> Json {
    let of = |(command, shapes): (&str, Vec<&'static Shape>)| {
        let mut object = object(&shapes);
        let properties = &mut object["properties"];
        for (key, about) in ALWAYS {
            properties[key] =
                json!({ "description": about, "type": "array", "items": { "type": "string" } });
        }
        properties["sources"] = json!({
            "description": "Citations by key.", "type": "object", "additionalProperties": { "type": "string" },
        });
        properties["findings"] =
            json!({ "type": "array", "items": self::object(&[Findings::shape()]) });
        (command.to_owned(), object)
    };
    let definitions: Map<String, Json> = answers().into_iter().map(of).collect();
    json!({ "$schema": DIALECT, "title": "Answers of fuelwright, by command", "definitions": definitions })
}

fn object(shapes: &[&'static Shape]) -> Json {
    let mut properties = Map::new();
    let mut required = Vec::new();
    for (i, shape) in shapes.iter().enumerate() {
        add(shape, i == 0, &mut properties, &mut required);
    }
    json!({
        "description": shapes[0].about, "type": "object", "properties": properties,
        "required": required, "additionalProperties": false,
    })
}

fn add(
    shape: &'static Shape,
    always: bool,
    properties: &mut Map<String, Json>,
    required: &mut Vec<&str>,
) {
    for line in &shape.lines {
        match (line.stands, line.takes) {
            (Stands::Shown, _) => {}
            (Stands::Flat, Takes::Row(inner)) => add(inner(), false, properties, required),
            (stands, takes) => {
                properties.insert(line.key.to_owned(), value(line, takes));
                if always && stands == Stands::Key {
                    required.push(line.key);
                }
            }
        }
    }
}

fn value(line: &Line, takes: Takes) -> Json {
    let mut value = match takes {
        Takes::Of(_) | Takes::Number => json!({ "type": ["number", "null"] }),
        Takes::Count => json!({ "type": ["integer", "null"] }),
        Takes::Flag => json!({ "type": ["boolean", "null"] }),
        Takes::Text => json!({ "type": ["string", "null"] }),
        Takes::Texts => json!({ "type": ["array", "null"], "items": { "type": "string" } }),
        Takes::Counts => json!({ "type": "object", "additionalProperties": { "type": "integer" } }),
        Takes::Numbers => {
            json!({ "type": ["array", "null"], "items": { "type": ["number", "null"] } })
        }
        Takes::Shares => {
            json!({ "type": ["object", "null"], "additionalProperties": { "type": ["number", "null"] } })
        }
        Takes::Rows(shape) => json!({ "type": ["array", "null"], "items": object(&[shape()]) }),
        Takes::Row(shape) => {
            let mut object = object(&[shape()]);
            object["type"] = json!(["object", "null"]);
            object
        }
    };
    value["description"] = json!(meaning(line));
    value
}

/// What a line is, with its unit.
fn meaning(line: &Line) -> String {
    let about = match (line.about, line.takes, line.heading) {
        ("", Takes::Rows(shape) | Takes::Row(shape), None) => shape().about,
        ("", _, heading) => heading.unwrap_or_default(),
        (about, ..) => about,
    };
    let mut about = about.trim_end_matches('.').to_owned();
    if let Some(first) = about.get_mut(..1) {
        first.make_ascii_uppercase();
    }
    match line.takes {
        Takes::Of(kind) if !kind.si_unit().is_empty() => format!("{about}, {}", kind.si_unit()),
        _ => about,
    }
}

/// The page of keys.
pub(crate) fn page() -> String {
    let mut page = String::from(
        "# Keys of the JSON answers\n\nWritten from the declarations that write the answers. Numbers are SI, pressures absolute unless their name says otherwise, `null` where there is none. Every answer also has `notes`, `assumptions`, `sources`, `cautions`, and where rules were asked `findings`, of which each has the keys under findings. `fuelwright generate schema --output` writes the same as a JSON schema.\n",
    );
    let findings = std::iter::once(("findings", vec![Findings::shape()]));
    for (command, shapes) in answers().into_iter().chain(findings) {
        let _ = writeln!(
            page,
            "\n## {command}\n\n| key | what it is |\n| --- | --- |"
        );
        for shape in shapes {
            rows(shape, "", &mut page);
        }
    }
    page
}

fn rows(shape: &'static Shape, before: &str, page: &mut String) {
    for line in &shape.lines {
        if line.stands == Stands::Shown {
            continue;
        }
        if line.stands != Stands::Flat {
            let _ = writeln!(page, "| `{before}{}` | {} |", line.key, meaning(line));
        }
        match line.takes {
            Takes::Row(inner) if line.stands == Stands::Flat => rows(inner(), before, page),
            Takes::Row(inner) => rows(inner(), &format!("{before}{}.", line.key), page),
            Takes::Rows(inner) => rows(inner(), &format!("{before}{}[].", line.key), page),
            _ => {}
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_key_says_what_it_is() {
        fn look(at: &str, shape: &'static Shape) {
            for line in &shape.lines {
                let inner = match line.takes {
                    Takes::Row(inner) | Takes::Rows(inner) => Some(inner()),
                    _ => None,
                };
                let said = line.stands == Stands::Shown
                    || line.stands == Stands::Flat
                    || !meaning(line).is_empty();
                assert!(said, "{at}.{} says nothing", line.key);
                if let Some(inner) = inner {
                    look(&format!("{at}.{}", line.key), inner);
                }
            }
        }
        for (command, shapes) in answers() {
            for shape in shapes {
                look(command, shape);
            }
        }
    }
}
