//! JSON schema of a rig file, for editors, made from the same declarations that read it.
//!
//! It knows keys, types, words and units. What several keys mean together is the reader's, so a file that
//! satisfies the schema may still be refused.

use super::field::{Bounds, Field, SectionAbout, Takes, spelled};
use super::raw::train::BY_KIND;
use super::raw::{FORMAT, MOST_TABLES, Mark, TABLES};
use super::reader::NONE;
use super::value::{LONGEST_LIST, LONGEST_TEXT};
use super::words::MOST_JOINTS;
use crate::quantity::Kind;
use crate::quantity::pattern::Writing;
use serde_json::{Map, Value, json};
use toml::de::{DeTable, DeValue};

/// Dialect: the one that editors of TOML know.
const DIALECT: &str = "http://json-schema.org/draft-07/schema#";

/// The schema.
pub fn schema() -> Value {
    let mut tables = Map::new();
    for about in &TABLES {
        let (own, kinds) = (about.own(), (about.kinds)());
        let one = if kinds.is_empty() {
            table(&own)
        } else {
            part(&own, &kinds)
        };
        let mut meanings = Vec::new();
        if about.is_list {
            meanings.push(json!({
                "description": own.meaning,
                "type": "array",
                "maxItems": MOST_TABLES,
                "items": one,
            }));
        }
        if !about.is_list || about.is(Mark::OrAlone) {
            meanings.push(one);
        }
        if about.is(Mark::OrNone) {
            meanings.push(json!({ "type": "string", "enum": [NONE] }));
        }
        let value = match meanings.len() {
            1 => meanings.remove(0),
            _ => json!({ "anyOf": meanings }),
        };
        tables.insert(about.name.to_owned(), value);
    }
    let required: Vec<&str> = TABLES
        .iter()
        .filter(|t| t.is(Mark::Required))
        .map(|t| t.name)
        .collect();
    tables.insert(
        "format".to_owned(),
        json!({ "description": "Form of this file.", "type": "integer", "enum": [FORMAT] }),
    );
    json!({
        "$schema": DIALECT,
        "title": "fuelwright rig",
        "description": "A burner and its fuel train. A file that fits this schema may still be refused: what keys mean together is not in it.",
        "$comment": "Engineering reference material, not permission to build or operate anything: local codes and licensed gas practice decide.",
        "type": "object",
        "properties": tables,
        "required": required,
        "additionalProperties": false,
    })
}

/// One table with all its keys.
fn table(section: &SectionAbout) -> Value {
    let fields = section.fields;
    let properties: Map<String, Value> = fields
        .iter()
        .map(|f| (f.key.to_owned(), documented(f)))
        .collect();
    json!({
        "description": section.meaning,
        "type": "object",
        "properties": properties,
        "required": required(fields),
        "additionalProperties": false,
    })
}

fn required(fields: &[Field]) -> Vec<&'static str> {
    fields
        .iter()
        .filter(|f| f.required)
        .map(|f| f.key)
        .collect()
}

/// A part: the keys of all parts, and by its kind those of the kind.
fn part(common: &SectionAbout, kinds: &[SectionAbout]) -> Value {
    let shared = common.fields;
    let groups: Vec<(Vec<&str>, &[Field])> = kinds
        .iter()
        .filter_map(|s| Some((s.heading.strip_prefix(BY_KIND)?, s.fields)))
        .map(|(kinds, fields)| (kinds.split(", ").collect(), fields))
        .collect();
    // every key once, for completion; where kinds differ about it, any of their meanings
    let mut properties: Map<String, Value> = shared
        .iter()
        .map(|f| (f.key.to_owned(), documented(f)))
        .collect();
    let mut by_kind = Vec::new();
    for (kinds, fields) in &groups {
        let mut own = Map::new();
        for field in *fields {
            let described = documented(field);
            match properties.get_mut(field.key) {
                None => {
                    properties.insert(field.key.to_owned(), described);
                }
                Some(there) if *there == described => {}
                Some(there) => {
                    own.insert(field.key.to_owned(), described.clone());
                    either(there, described);
                }
            }
        }
        let keys: Vec<&str> = shared.iter().chain(*fields).map(|f| f.key).collect();
        let mut then = json!({ "propertyNames": { "enum": keys } });
        if !own.is_empty() {
            then["properties"] = Value::Object(own);
        }
        by_kind.push(json!({
            "if": { "properties": { "kind": { "enum": kinds } }, "required": ["kind"] },
            "then": then,
        }));
    }
    // a key whose first kind differs from later ones is pinned there too
    for ((_, fields), rule) in groups.iter().zip(&mut by_kind) {
        for field in *fields {
            if properties[field.key].get("anyOf").is_some() {
                rule["then"]["properties"][field.key] = documented(field);
            }
        }
    }
    json!({
        "description": common.meaning,
        "type": "object",
        "properties": properties,
        "required": required(shared),
        "additionalProperties": false,
        "allOf": by_kind,
    })
}

/// Widens a description to one more meaning.
fn either(there: &mut Value, other: Value) {
    match there.get_mut("anyOf").and_then(Value::as_array_mut) {
        Some(meanings) => {
            if !meanings.contains(&other) {
                meanings.push(other);
            }
        }
        None => *there = json!({ "anyOf": [there.take(), other] }),
    }
}

/// What a key takes, with its meaning and an example.
fn documented(field: &Field) -> Value {
    let mut value = takes(&field.takes, field.bounds);
    if field.takes_none
        && !matches!(&field.takes, Takes::Word(words) if spelled(words).contains(&NONE))
    {
        value = json!({ "anyOf": [value, { "type": "string", "enum": [NONE] }] });
    }
    let range = match field.bounds {
        Bounds::Any => String::new(),
        _ => format!(" It must be {}.", field.range()),
    };
    value["description"] = json!(format!("{}{range}", field.meaning.trim()));
    if let Some(example) = example(field) {
        value["examples"] = json!([example]);
    }
    value
}

fn takes(takes: &Takes, bounds: Bounds) -> Value {
    match takes {
        Takes::Quantity(_, writing) => json!({ "type": "string", "pattern": writing.pattern() }),
        Takes::Ratio | Takes::RatioRange => {
            let percent = Writing {
                kind: Kind::Ratio,
                level: crate::quantity::pattern::Level::None,
            };
            let pattern = match takes {
                Takes::RatioRange => percent.range_pattern(),
                _ => percent.pattern(),
            };
            json!({ "anyOf": [
                bounded(json!({ "type": "number" }), bounds),
                { "type": "string", "pattern": pattern },
            ]})
        }
        Takes::Number => bounded(json!({ "type": "number" }), bounds),
        Takes::Count => bounded(json!({ "type": "integer", "minimum": 0 }), bounds),
        Takes::Text => json!({ "type": "string", "maxLength": LONGEST_TEXT, "pattern": "\\S" }),
        Takes::Flag => json!({ "type": "boolean" }),
        Takes::Date => json!({ "type": "string", "format": "date" }),
        Takes::Word(words) => json!({ "type": "string", "enum": spelled(words) }),
        Takes::List(of) => json!({
            "type": "array", "items": self::takes(of, bounds), "minItems": 1, "maxItems": LONGEST_LIST,
        }),
        Takes::Pairs(a, b) => json!({
            "type": "array",
            "items": [self::takes(a, bounds), self::takes(b, bounds)],
            "minItems": 2,
            "maxItems": 2,
        }),
        Takes::Counts(words) => json!({
            "type": "object",
            "propertyNames": { "enum": spelled(words) },
            "additionalProperties": { "type": "integer", "minimum": 1, "maximum": MOST_JOINTS },
        }),
    }
}

fn bounded(mut value: Value, bounds: Bounds) -> Value {
    let mut set = |key: &str, x: f64| value[key] = json!(x);
    match bounds {
        Bounds::Any => {}
        Bounds::Positive => set("exclusiveMinimum", 0.0),
        Bounds::NotNegative => set("minimum", 0.0),
        Bounds::Share => {
            set("minimum", 0.0);
            set("maximum", 1.0);
        }
        Bounds::PositiveShare => {
            set("exclusiveMinimum", 0.0);
            set("maximum", 1.0);
        }
        Bounds::Between(low, high) => {
            set("minimum", low);
            set("maximum", high);
        }
    }
    value
}

/// The example of a field as JSON.
fn example(field: &Field) -> Option<Value> {
    let line = format!("x = {}", field.example);
    let table = DeTable::parse(&line).ok()?;
    Some(as_json(table.get_ref().get("x")?.get_ref()))
}

/// A value of TOML as JSON, dates as text.
pub fn as_json(value: &DeValue<'_>) -> Value {
    let plain = |s: &str| s.replace('_', "");
    match value {
        DeValue::String(s) => json!(s.as_ref()),
        DeValue::Integer(i) => {
            i64::from_str_radix(&plain(i.as_str()), i.radix()).map_or(Value::Null, |i| json!(i))
        }
        DeValue::Float(f) => plain(f.as_str())
            .parse::<f64>()
            .map_or(Value::Null, |x| json!(x)),
        DeValue::Boolean(b) => json!(b),
        DeValue::Datetime(d) => json!(d.to_string()),
        DeValue::Array(items) => Value::Array(items.iter().map(|i| as_json(i.get_ref())).collect()),
        DeValue::Table(table) => Value::Object(
            table
                .iter()
                .map(|(k, v)| (k.get_ref().to_string(), as_json(v.get_ref())))
                .collect(),
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dates_are_text() {
        let table = DeTable::parse("a = [1, 2.5]\nb = 2026-01-02").expect("TOML");
        let json = as_json(&DeValue::Table(table.into_inner()));
        assert_eq!(json, json!({ "a": [1, 2.5], "b": "2026-01-02" }));
    }
}
