//! A figure of an answer declared once: its key, what it is, where it comes from, how a table or a list of facts
//! heads it. JSON, tables, facts and the schema are made from the declaration.

mod declare;
mod value;

pub(crate) use crate::quantity::show::DIGITS;
pub(crate) use declare::{first, mark, record, stands, takes};
pub(crate) use value::{Raw, each_once, ends, number, or_why, or_words, wide, within, words};

use super::{Column, Fact, Table, Value};
use crate::quantity::Kind;
use serde_json::{Map, Value as Json};

/// What a line of a record takes.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Takes {
    /// A quantity, SI.
    Of(Kind),
    /// A number without unit.
    Number,
    /// A count.
    Count,
    /// Yes or no.
    Flag,
    /// A text.
    Text,
    /// A list of texts.
    Texts,
    /// Counts by name.
    Counts,
    /// A list of numbers.
    Numbers,
    /// Numbers by name.
    Shares,
    /// Records of a shape.
    Rows(fn() -> &'static Shape),
    /// One record of a shape, or none.
    Row(fn() -> &'static Shape),
}

/// How a line stands in the JSON object.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Stands {
    /// Under its key, `null` where there is nothing.
    Key,
    /// Under its key; the key is left out where there is nothing.
    KeyIfAny,
    /// The keys of another record in its place; none of them where there is nothing.
    Flat,
    /// Not at all: it is for people.
    Shown,
}

/// What a record is.
#[derive(Debug)]
pub(crate) struct Shape {
    /// What it is about.
    pub(crate) about: &'static str,
    /// Its lines, in the order of the keys.
    pub(crate) lines: Vec<Line>,
}

impl Shape {
    /// Its lines; those of a record that stands flat in it in its place.
    pub(crate) fn flat(&'static self) -> Vec<&'static Line> {
        let lines = self.lines.iter().flat_map(|line| match line.takes {
            Takes::Row(inner) if line.stands == Stands::Flat => inner().flat(),
            _ => vec![line],
        });
        lines.collect()
    }

    fn line(&self, key: &str) -> Option<&Line> {
        self.lines.iter().find_map(|line| match line.takes {
            Takes::Row(inner) if line.stands == Stands::Flat => inner().line(key),
            _ => (line.key == key).then_some(line),
        })
    }
}

/// What a line of a record is.
#[derive(Debug)]
pub(crate) struct Line {
    /// Its key.
    pub(crate) key: &'static str,
    /// How it stands in JSON.
    pub(crate) stands: Stands,
    /// What it takes.
    pub(crate) takes: Takes,
    /// What it is, where the heading does not say enough.
    pub(crate) about: &'static str,
    /// Heading of its column, name of its fact; `None`: not shown.
    pub(crate) heading: Option<&'static str>,
    /// What is shown, where that differs: a gauge pressure for an absolute one.
    pub(crate) shown: Takes,
    /// Digits in a table.
    pub(crate) digits: usize,
    /// Whether a narrow page may leave its column out.
    pub(crate) optional: bool,
    /// Whether its fact stands with a dash where there is nothing.
    pub(crate) dash: bool,
}

impl Line {
    /// Its heading, or its key where it has none.
    pub(crate) fn name(&self) -> &'static str {
        self.heading.unwrap_or(self.key)
    }

    /// What is shown of it; a plain number has none.
    pub(crate) fn kind(&self) -> Option<Kind> {
        match self.shown {
            Takes::Of(kind) => Some(kind),
            _ => None,
        }
    }
}

/// A value of a row.
#[derive(Debug, Clone)]
pub(crate) struct Cell {
    pub(crate) raw: Raw,
    pub(crate) shown: Option<Raw>,
    pub(crate) note: Option<String>,
    pub(crate) band: Option<(f64, f64)>,
    pub(crate) source: Option<String>,
}

/// A record with its values.
#[derive(Debug, Clone)]
pub(crate) struct Row {
    pub(crate) shape: &'static Shape,
    pub(crate) cells: Vec<Cell>,
}

impl Row {
    /// Its lines and values.
    pub(crate) fn lines(&self) -> impl Iterator<Item = (&'static Line, &Cell)> {
        self.shape.lines.iter().zip(&self.cells)
    }

    /// Its keys and values.
    pub(crate) fn json(&self) -> Map<String, Json> {
        let mut map = Map::new();
        for (line, cell) in self.lines() {
            match (line.stands, &cell.raw) {
                (Stands::Shown, _) | (Stands::KeyIfAny | Stands::Flat, Raw::None) => {}
                (Stands::Flat, Raw::Row(row)) => map.extend(row.json()),
                (_, raw) => {
                    map.insert(line.key.to_owned(), raw.json());
                }
            }
        }
        map
    }

    /// A number of it by its key, also among the keys that stand flat in it; `None` where there is none.
    pub(crate) fn number(&self, key: &str) -> Option<f64> {
        match self.at(key)?.1.raw {
            Raw::Number(x) => Some(x),
            _ => None,
        }
    }

    /// The same without the values of these keys.
    #[must_use]
    pub(crate) fn without(&self, keys: &[&str]) -> Self {
        let mut row = self.clone();
        for (line, cell) in self.shape.lines.iter().zip(&mut row.cells) {
            if keys.contains(&line.key) {
                (cell.raw, cell.shown) = (Raw::None, None);
            }
        }
        row
    }

    /// Whether there is a number in it.
    pub(crate) fn has_numbers(&self) -> bool {
        let mut cells = self.cells.iter();
        cells.any(|cell| matches!(cell.raw, Raw::Number(_)))
    }

    /// The rows of a list by its key.
    pub(crate) fn rows(&self, key: &str) -> &[Self] {
        match self.at(key).map(|(_, cell)| &cell.raw) {
            Some(Raw::Rows(rows)) => rows,
            _ => &[],
        }
    }

    /// The record that stands under a key.
    pub(crate) fn row(&self, key: &str) -> Option<&Self> {
        match &self.at(key)?.1.raw {
            Raw::Row(row) => Some(row),
            _ => None,
        }
    }

    fn at(&self, key: &str) -> Option<(&'static Line, &Cell)> {
        self.lines().find_map(|(line, cell)| match &cell.raw {
            Raw::Row(row) if line.stands == Stands::Flat => row.at(key),
            _ => (line.key == key).then_some((line, cell)),
        })
    }

    /// What of it is shown, one below the other; what has no value is left out.
    pub(crate) fn facts(&self) -> Vec<Fact> {
        let mut facts = Vec::new();
        for (line, cell) in self.lines() {
            match &cell.raw {
                Raw::Row(row) if line.stands == Stands::Flat => facts.extend(row.facts()),
                _ => facts.extend(fact((line, cell))),
            }
        }
        facts
    }

    /// Cells for a file of one line a row, in the order of [`Shape::flat`].
    pub(crate) fn texts(&self) -> Vec<Option<String>> {
        let lines = self.shape.flat().into_iter();
        let text = |line: &Line| match &self.at(line.key)?.1.raw {
            // minus zero is zero
            Raw::Number(x) => Some((x + 0.0).to_string()),
            Raw::Count(n) => Some(n.to_string()),
            Raw::Text(text) => Some(text.clone()),
            _ => None,
        };
        lines.map(text).collect()
    }

    /// What of these keys is shown, in this order.
    pub(crate) fn facts_of(&self, keys: &[&str]) -> Vec<Fact> {
        let found = keys.iter().filter_map(|key| self.at(key));
        found.filter_map(fact).collect()
    }
}

fn fact((line, cell): (&Line, &Cell)) -> Option<Fact> {
    let fact = Fact {
        band: cell.band,
        note: cell.note.clone(),
        source: cell.source.clone(),
        ..Fact::new(line.heading?, shown(line, cell))
    };
    (line.dash || fact.value != Value::Absent).then_some(fact)
}

/// Rows as a list of JSON objects.
pub(crate) fn list(rows: &[Row]) -> Json {
    rows.iter().map(|r| Json::Object(r.json())).collect()
}

/// A table of rows of one shape: a column for each line that is shown.
pub(crate) fn table(rows: &[Row]) -> Table {
    let Some(first) = rows.first() else {
        return Table::default();
    };
    let heads = first.shape.lines.iter().filter(|l| l.heading.is_some());
    let keys: Vec<&str> = heads.map(|l| l.key).collect();
    table_of(rows, &keys)
}

/// A table of rows of one shape with the columns of these keys, in this order; also of keys that stand flat in it.
pub(crate) fn table_of(rows: &[Row], keys: &[&str]) -> Table {
    let Some(first) = rows.first() else {
        return Table::default();
    };
    let lines = keys.iter().filter_map(|key| first.shape.line(key));
    let lines: Vec<&Line> = lines.collect();
    debug_assert_eq!(lines.len(), keys.len(), "one of {keys:?} is no key");
    let column = |line: &&Line| Column {
        heading: line.name().to_owned(),
        kind: line.kind(),
        digits: line.digits,
        optional: line.optional,
    };
    let mut table = Table::new(lines.iter().map(column).collect());
    for row in rows {
        let cell = |key: &&str| row.at(key).map_or(Value::Absent, |(l, c)| shown(l, c));
        table.row(keys.iter().map(cell).collect());
    }
    table
}

fn shown(line: &Line, cell: &Cell) -> Value {
    match (line.shown, cell.shown.as_ref().unwrap_or(&cell.raw)) {
        (_, Raw::None) => Value::Absent,
        (Takes::Of(kind), Raw::Number(si)) => Value::Quantity { kind, si: *si },
        (_, Raw::Of(kind, si)) => Value::of(*kind, *si),
        (_, Raw::Number(x)) => Value::Number(*x),
        (_, Raw::Count(n)) => Value::Count(usize::try_from(*n).unwrap_or(usize::MAX)),
        (_, Raw::Flag(yes)) => Value::Flag(*yes),
        (_, Raw::Text(text)) => Value::Text(text.clone()),
        (_, Raw::Row(_) | Raw::Rows(_) | Raw::Counts(_) | Raw::Any(_)) => {
            unreachable!("`{}` has no words for people", line.key)
        }
    }
}
