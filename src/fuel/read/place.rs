//! A value of a file as serde reads it: what is wrong is noted, and a stand-in given.

use super::stop::{Stop, join, unknown_key, unknown_word};
use crate::fuel::error::{Mistake, Problem};
use crate::quantity::show;
use serde::de::value::StrDeserializer;
use serde::de::{DeserializeSeed, Deserializer, IntoDeserializer, MapAccess, SeqAccess, Visitor};
use std::cell::RefCell;
use std::collections::BTreeSet;
use toml::Value;

/// Most entries of one list; the longest of the program's own files has 17.
const MOST_ENTRIES: usize = 200;
/// Longest text, characters; the longest citation has some 250.
const MOST_LETTERS: usize = 1000;
/// Largest number, and the smallest that is not zero, by size: properties in SI units lie well inside.
const LARGEST: f64 = 1e25;
const SMALLEST: f64 = 1e-40;

/// What is wrong.
#[derive(Debug, Default)]
pub(super) struct Log {
    pub(super) mistakes: RefCell<Vec<Mistake>>,
    /// Every key that names a source, and the source.
    pub(super) sources: RefCell<Vec<(String, String)>>,
    /// What ended earlier passes: keys that are missing, entries that make no sense.
    pub(super) known: RefCell<BTreeSet<String>>,
}

/// One value of the file, or the place of one that is missing or wrong.
pub(super) struct Place<'a> {
    value: Option<&'a Value>,
    path: String,
    log: &'a Log,
}

/// A type of TOML as people say it.
fn type_name(value: &Value) -> &'static str {
    match value {
        Value::String(_) => "text",
        Value::Integer(_) | Value::Float(_) => "a number",
        Value::Boolean(_) => "true or false",
        Value::Datetime(_) => "a date or time",
        Value::Array(_) => "a list",
        Value::Table(_) => "a table",
    }
}

impl<'a> Place<'a> {
    pub(super) fn root(value: &'a Value, log: &'a Log) -> Self {
        Self {
            value: Some(value),
            path: String::new(),
            log,
        }
    }

    fn note(&self, problem: Problem) {
        let mistake = Mistake::new(self.path.clone(), problem);
        self.log.mistakes.borrow_mut().push(mistake);
    }

    /// Notes that the value is of another type; what is missing has been noted.
    fn not_a(&self, wanted: &'static str) {
        if let Some(value) = self.value {
            let found = type_name(value).to_owned();
            self.note(Problem::Type { found, wanted });
        }
    }

    fn is_known(&self, path: &str) -> bool {
        self.log.known.borrow().contains(path)
    }

    fn number(&self) -> f64 {
        let number = match self.value {
            Some(Value::Float(x)) => *x,
            Some(Value::Integer(i)) => *i as f64,
            _ => {
                self.not_a("a number");
                return f64::NAN;
            }
        };
        let size = number.abs();
        if size <= LARGEST && (number == 0.0 || size >= SMALLEST) {
            return number;
        }
        self.note(Problem::Type {
            found: match number {
                n if n.is_nan() => "not a number".to_owned(),
                n if n.is_infinite() => "infinite".to_owned(),
                n => show::number(n),
            },
            wanted: "zero or a number from 1e-40 to 1e25 in size, as properties in SI units are",
        });
        f64::NAN
    }

    fn text(&self) -> &'a str {
        let Some(Value::String(text)) = self.value else {
            self.not_a("text");
            return "";
        };
        let what = if text.chars().count() > MOST_LETTERS {
            "too long a text"
        } else if text.chars().any(char::is_control) {
            "a control character"
        } else {
            if self.path.ends_with("source") {
                let named = (self.path.clone(), text.to_owned());
                self.log.sources.borrow_mut().push(named);
            }
            return text;
        };
        self.note(Problem::BadText {
            what,
            most: MOST_LETTERS,
        });
        ""
    }

    fn entries(&self) -> Vec<Option<&'a Value>> {
        let Some(Value::Array(list)) = self.value else {
            self.not_a("a list");
            return Vec::new();
        };
        if list.len() > MOST_ENTRIES {
            self.note(Problem::TooMany {
                what: "entries",
                count: list.len(),
                most: MOST_ENTRIES,
            });
            return Vec::new();
        }
        list.iter().map(Some).collect()
    }

    fn keys(&self) -> Vec<(&'a str, Option<&'a Value>)> {
        let Some(Value::Table(table)) = self.value else {
            self.not_a("a table");
            return Vec::new();
        };
        table.iter().map(|(k, v)| (k.as_str(), Some(v))).collect()
    }

    fn inside(&self, path: String, value: Option<&'a Value>) -> Self {
        Self {
            value,
            path,
            log: self.log,
        }
    }

    fn list(&self, values: Vec<Option<&'a Value>>) -> Inside<'a> {
        let all = values.into_iter().enumerate();
        let all = all.map(|(i, value)| self.inside(format!("{}[{i}]", self.path), value));
        let of_sense = all.filter(|entry| !self.is_known(&entry.path));
        Inside::of(of_sense.map(|entry| ("", entry)).collect())
    }

    fn table(&self, keys: Vec<(&'a str, Option<&'a Value>)>) -> Inside<'a> {
        let all = keys.into_iter();
        Inside::of(
            all.map(|(key, value)| (key, self.inside(join(&self.path, key), value)))
                .collect(),
        )
    }
}

/// What stands in a list or table and is still to be read.
struct Inside<'a> {
    rest: std::vec::IntoIter<(&'a str, Place<'a>)>,
    /// The value whose key was read.
    next: Option<Place<'a>>,
}

impl<'a> Inside<'a> {
    fn of(all: Vec<(&'a str, Place<'a>)>) -> Self {
        Self {
            rest: all.into_iter(),
            next: None,
        }
    }
}

impl<'de> SeqAccess<'de> for Inside<'_> {
    type Error = Stop;
    fn next_element_seed<S: DeserializeSeed<'de>>(
        &mut self,
        seed: S,
    ) -> Result<Option<S::Value>, Stop> {
        let Some((_, entry)) = self.rest.next() else {
            return Ok(None);
        };
        let path = entry.path.clone();
        let read = seed.deserialize(entry);
        read.map(Some).map_err(|stop| stop.in_entry(&path))
    }
}

impl<'de> MapAccess<'de> for Inside<'_> {
    type Error = Stop;
    fn next_key_seed<S: DeserializeSeed<'de>>(
        &mut self,
        seed: S,
    ) -> Result<Option<S::Value>, Stop> {
        let Some((key, value)) = self.rest.next() else {
            return Ok(None);
        };
        self.next = Some(value);
        let key: StrDeserializer<'_, Stop> = key.into_deserializer();
        seed.deserialize(key).map(Some)
    }
    fn next_value_seed<S: DeserializeSeed<'de>>(&mut self, seed: S) -> Result<S::Value, Stop> {
        let value = self
            .next
            .take()
            .expect("serde asks for a value after its key");
        let path = value.path.clone();
        seed.deserialize(value).map_err(|stop| stop.at(&path))
    }
}

impl<'de> Deserializer<'de> for Place<'_> {
    type Error = Stop;

    /// Asked for where the shape depends on a value: tables that have a `type`.
    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Stop> {
        match self.value {
            None => Err(Stop::missing_at(&self.path)),
            Some(Value::String(_)) => visitor.visit_str(self.text()),
            Some(Value::Integer(_) | Value::Float(_)) => visitor.visit_f64(self.number()),
            Some(Value::Boolean(b)) => visitor.visit_bool(*b),
            Some(Value::Datetime(d)) => visitor.visit_string(d.to_string()),
            Some(Value::Array(_)) => visitor.visit_seq(self.list(self.entries())),
            Some(Value::Table(_)) => visitor.visit_map(self.table(self.keys())),
        }
    }
    fn deserialize_f64<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Stop> {
        visitor.visit_f64(self.number())
    }
    fn deserialize_string<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Stop> {
        visitor.visit_str(self.text())
    }
    fn deserialize_bool<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Stop> {
        let found = self.value.and_then(Value::as_bool);
        if found.is_none() {
            self.not_a("true or false");
        }
        visitor.visit_bool(found.unwrap_or_default())
    }
    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Stop> {
        match self.value {
            None => visitor.visit_none(),
            Some(_) => visitor.visit_some(self),
        }
    }
    fn deserialize_seq<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Stop> {
        visitor.visit_seq(self.list(self.entries()))
    }
    /// Lists of a fixed length.
    fn deserialize_tuple<V: Visitor<'de>>(self, n: usize, visitor: V) -> Result<V::Value, Stop> {
        let mut entries = self.entries();
        if entries.len() != n && matches!(self.value, Some(Value::Array(_))) {
            self.note(Problem::Type {
                found: format!("a list of {}", entries.len()),
                wanted: match n {
                    2 => "a list of 2 numbers",
                    3 => "a list of 3 numbers",
                    _ => "a list of 7 numbers",
                },
            });
        }
        entries.resize(n, None);
        visitor.visit_seq(self.list(entries))
    }
    fn deserialize_map<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Stop> {
        visitor.visit_map(self.table(self.keys()))
    }
    fn deserialize_struct<V: Visitor<'de>>(
        self,
        _name: &'static str,
        fields: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Stop> {
        let mut keys = self.keys();
        keys.retain(|(key, value)| {
            let known = fields.contains(key);
            if !known {
                let path = join(&self.path, &key.escape_debug().to_string());
                self.inside(path, *value).note(unknown_key(key, fields));
            }
            known
        });
        // of a table that is none, every key is missing and none is told
        let no_table = !matches!(self.value, Some(Value::Table(_)));
        for &field in fields {
            let absent = no_table || self.is_known(&join(&self.path, field));
            if absent && keys.iter().all(|(key, _)| *key != field) {
                keys.push((field, None));
            }
        }
        let table = self.table(keys);
        visitor.visit_map(table).map_err(|stop| stop.at(&self.path))
    }
    fn deserialize_enum<V: Visitor<'de>>(
        self,
        _name: &'static str,
        words: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Stop> {
        let text = self.text();
        let found = words.iter().find(|w| **w == text);
        if found.is_none() && matches!(self.value, Some(Value::String(_))) {
            self.note(unknown_word(text, words));
        }
        let word: StrDeserializer<'_, Stop> = found.unwrap_or(&words[0]).into_deserializer();
        visitor.visit_enum(word)
    }

    serde::forward_to_deserialize_any! {
        i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 char str bytes byte_buf unit unit_struct
        newtype_struct tuple_struct identifier ignored_any
    }
}
