//! A figure of an answer declared once: its key, what it is, where it comes from, how a table or a list of facts
//! heads it. JSON, tables, facts and the schema are made from the declaration.

#![allow(dead_code, reason = "not every answer is declared yet")]

use super::{Column, Fact, Table, Value, json};
use crate::quantity::show::DIGITS;
use crate::quantity::{AbsolutePressure, FlowCoefficient, GaugePressure, Kind, PressureDifference};
use serde_json::{Map, Value as Json, json};
use uom::si::{Dimension, Quantity, Units};

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
    /// Records of a shape.
    Rows(fn() -> &'static Shape),
    /// One record of a shape, or none.
    Row(fn() -> &'static Shape),
    /// Anything: what it is stands in its words.
    Any,
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
}

/// A value on its way to a cell and to JSON.
#[derive(Debug, Clone)]
pub(crate) enum Raw {
    None,
    Number(f64),
    Count(u64),
    Flag(bool),
    Text(String),
    Row(Row),
    Rows(Vec<Row>),
    Counts(Vec<(&'static str, u32)>),
    Any(Json),
}

/// A value of a row.
#[derive(Debug, Clone)]
pub(crate) struct Cell {
    pub(crate) raw: Raw,
    pub(crate) shown: Option<Raw>,
    pub(crate) note: Option<String>,
    pub(crate) band: Option<(f64, f64)>,
}

/// A record with its values.
#[derive(Debug, Clone)]
pub(crate) struct Row {
    pub(crate) shape: &'static Shape,
    pub(crate) cells: Vec<Cell>,
}

impl Row {
    fn lines(&self) -> impl Iterator<Item = (&'static Line, &Cell)> {
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
        match self.cell(key) {
            Some(Raw::Number(x)) => Some(*x),
            _ => None,
        }
    }

    /// The rows of a list by its key.
    pub(crate) fn rows(&self, key: &str) -> &[Self] {
        match self.cell(key) {
            Some(Raw::Rows(rows)) => rows,
            _ => &[],
        }
    }

    /// The record that stands under a key.
    pub(crate) fn row(&self, key: &str) -> Option<&Self> {
        match self.cell(key) {
            Some(Raw::Row(row)) => Some(row),
            _ => None,
        }
    }

    fn cell(&self, key: &str) -> Option<&Raw> {
        self.lines().find_map(|(line, cell)| match &cell.raw {
            Raw::Row(row) if line.stands == Stands::Flat => row.cell(key),
            raw => (line.key == key).then_some(raw),
        })
    }

    /// What of it is shown, one below the other; what has no value is left out.
    pub(crate) fn facts(&self) -> Vec<Fact> {
        let mut facts = Vec::new();
        for (line, cell) in self.lines() {
            match (line.heading, &cell.raw) {
                (_, Raw::Row(row)) if line.stands == Stands::Flat => facts.extend(row.facts()),
                (Some(heading), _) => facts.push(Fact {
                    band: cell.band,
                    note: cell.note.clone(),
                    ..Fact::new(heading, shown(line, cell))
                }),
                _ => {}
            }
        }
        facts.retain(|f| f.value != Value::Absent);
        facts
    }
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

/// A table of rows of one shape with the columns of these keys, in this order.
pub(crate) fn table_of(rows: &[Row], keys: &[&str]) -> Table {
    let Some(first) = rows.first() else {
        return Table::default();
    };
    let place = |key: &&str| first.shape.lines.iter().position(|l| l.key == *key);
    let places: Vec<usize> = keys.iter().filter_map(place).collect();
    debug_assert_eq!(places.len(), keys.len(), "one of {keys:?} is no key");
    let column = |&i: &usize| {
        let line = &first.shape.lines[i];
        Column {
            heading: line.heading.unwrap_or(line.key).to_owned(),
            kind: match line.shown {
                Takes::Of(kind) => Some(kind),
                _ => None,
            },
            digits: line.digits,
            optional: line.optional,
        }
    };
    let mut table = Table::new(places.iter().map(column).collect());
    for row in rows {
        let cell = |&i: &usize| shown(&row.shape.lines[i], &row.cells[i]);
        table.row(places.iter().map(cell).collect());
    }
    table
}

fn shown(line: &Line, cell: &Cell) -> Value {
    match (line.shown, cell.shown.as_ref().unwrap_or(&cell.raw)) {
        (_, Raw::None) => Value::Absent,
        (Takes::Of(kind), Raw::Number(si)) => Value::Quantity { kind, si: *si },
        (_, Raw::Number(x)) => Value::Number(*x),
        (_, Raw::Count(n)) => Value::Count(usize::try_from(*n).unwrap_or(usize::MAX)),
        (_, Raw::Flag(yes)) => Value::Flag(*yes),
        (_, Raw::Text(text)) => Value::Text(text.clone()),
        (_, Raw::Row(_) | Raw::Rows(_) | Raw::Counts(_) | Raw::Any(_)) => {
            unreachable!("`{}` has no words for people", line.key)
        }
    }
}

impl Raw {
    fn json(&self) -> Json {
        match self {
            Self::None => Json::Null,
            Self::Number(x) => json::number(*x),
            Self::Count(n) => json!(n),
            Self::Flag(yes) => json!(yes),
            Self::Text(text) => json!(text),
            Self::Row(row) => Json::Object(row.json()),
            Self::Rows(rows) => list(rows),
            Self::Counts(by) => by.iter().map(|(name, n)| (*name, *n)).collect(),
            Self::Any(any) => any.clone(),
        }
    }
}

macro_rules! raw {
    ($($from:ty, |$x:ident| $raw:expr;)+) => {$(
        impl From<$from> for Raw {
            fn from($x: $from) -> Self {
                $raw
            }
        }
    )+};
}

raw! {
    f64, |x| Self::Number(x);
    AbsolutePressure, |p| Self::Number(p.pascals());
    GaugePressure, |p| Self::Number(p.pascals());
    PressureDifference, |p| Self::Number(p.pascals());
    FlowCoefficient, |k| Self::Number(k.kv());
    usize, |n| Self::Count(n as u64);
    u64, |n| Self::Count(n);
    u32, |n| Self::Count(u64::from(n));
    bool, |yes| Self::Flag(yes);
    String, |text| Self::Text(text);
    &str, |text| Self::Text(text.to_owned());
    &String, |text| Self::Text(text.clone());
    Row, |row| Self::Row(row);
    Vec<Row>, |rows| Self::Rows(rows);
    Vec<(&'static str, u32)>, |by| Self::Counts(by);
    Json, |any| Self::Any(any);
    Vec<String>, |texts| Self::Any(json!(texts));
    Vec<&str>, |texts| Self::Any(json!(texts));
    &[String], |texts| Self::Any(json!(texts));
    &Vec<String>, |texts| Self::Any(json!(texts));
}

impl<D: Dimension + ?Sized, U: Units<f64> + ?Sized> From<Quantity<D, U, f64>> for Raw {
    fn from(x: Quantity<D, U, f64>) -> Self {
        Self::Number(x.value)
    }
}

impl<T: Into<Self>> From<Option<T>> for Raw {
    fn from(x: Option<T>) -> Self {
        x.map_or(Self::None, Into::into)
    }
}

/// A remark behind a fact, if there is one.
pub(crate) fn words(note: impl Into<Raw>) -> Option<String> {
    match note.into() {
        Raw::Text(text) => Some(text),
        _ => None,
    }
}

/// Ends of a band, SI, if it has both.
pub(crate) fn ends<T: Into<Raw>>((low, high): (T, T)) -> Option<(f64, f64)> {
    match (low.into(), high.into()) {
        (Raw::Number(low), Raw::Number(high)) => Some((low, high)),
        _ => None,
    }
}

/// Digits of a column that names none.
pub(crate) const USUAL: usize = DIGITS;

/// Declares a record: its lines, and from which values it is filled. A line is `key: Kind = value`, in the order of
/// the JSON object; `(key)` is for people only, `[key]` is left out where there is nothing, `..key` takes the keys
/// of another record in its place. With a heading it is shown, in a table with so many digits; `=> Kind = value` where
/// what is shown differs; `note` and `band` (of numbers, SI) stand behind a fact. `with` names values.
///
/// ```text
/// record! {
///     /// A part by itself.
///     Part(item: &Item, whole: Mass)
///     with { known = item.dry.map(|_| item.fuelled()); }
///     {
///         name: Text = &item.name, "part";
///         /// Whether it belongs to the train, the tank or the burner.
///         group: Text = item.group.name();
///         fuelled_kg: Mass = known, "with fuel" 3;
///         mass_per_joint_kg: Mass = item.mass_per_joint(), "for a joint" 2 [optional];
///     }
/// }
/// ```
macro_rules! record {
    ($(
        $(#[doc = $about:literal])+
        $name:ident($($arg:ident: $of:ty),* $(,)?)
        $(with { $($pat:pat_param = $init:expr;)+ })?
        {$(
            $(#[doc = $doc:literal])*
            $($key:ident)? $(($people:ident))? $([$any:ident])? $(..$flat:ident)?:
                $kind:ident $(($shape:ty))? = $value:expr
            $(, $heading:literal $($digits:literal)? $([$mark:ident])?
                $(=> $as:ident = $shown:expr)? $(, note $note:expr)? $(, band $band:expr)?)?;
        )+}
    )+) => {$(
        $(#[doc = $about])+
        #[derive(Debug, Clone, Copy)]
        pub(crate) struct $name;

        impl $name {
            /// Its lines.
            pub(crate) fn shape() -> &'static $crate::report::record::Shape {
                use $crate::report::record::{self, Line, Shape};
                static SHAPE: std::sync::LazyLock<Shape> = std::sync::LazyLock::new(|| Shape {
                    about: concat!($($about),+).trim_ascii_start(),
                    lines: vec![$(Line {
                        key: record::stands!(name $($key)? $($people)? $($any)? $($flat)?),
                        stands: record::stands!($($key)? $(($people))? $([$any])? $(..$flat)?),
                        takes: record::takes!($kind $(($shape))?),
                        about: concat!("", $($doc),*).trim_ascii_start(),
                        heading: record::first!($(Some($heading),)? None),
                        shown: record::first!($($(record::takes!($as),)?)? record::takes!($kind $(($shape))?)),
                        digits: record::first!($($($digits,)?)? record::USUAL),
                        optional: record::first!($($(record::optional!($mark),)?)? false),
                    }),+],
                });
                &SHAPE
            }

            /// Filled with values.
            #[allow(clippy::too_many_arguments, reason = "as many as its lines are made from")]
            pub(crate) fn row($($arg: $of),*) -> $crate::report::record::Row {
                use $crate::report::record::{self, Cell, Row};
                $($(let $pat = $init;)+)?
                Row {
                    shape: Self::shape(),
                    cells: vec![$(Cell {
                        raw: ($value).into(),
                        shown: record::first!($($(Some(($shown).into()),)?)? None),
                        note: record::first!($($(record::words($note),)?)? None),
                        band: record::first!($($(record::ends($band),)?)? None),
                    }),+],
                }
            }
        }
    )+};
}

macro_rules! first {
    ($first:expr $(, $($rest:tt)*)?) => {
        $first
    };
}

macro_rules! optional {
    (optional) => {
        true
    };
}

macro_rules! stands {
    (name $key:ident) => {
        stringify!($key)
    };
    (($key:ident)) => {
        $crate::report::record::Stands::Shown
    };
    ([$key:ident]) => {
        $crate::report::record::Stands::KeyIfAny
    };
    (..$key:ident) => {
        $crate::report::record::Stands::Flat
    };
    ($key:ident) => {
        $crate::report::record::Stands::Key
    };
}

macro_rules! takes {
    (Rows($shape:ty)) => {
        $crate::report::record::Takes::Rows(<$shape>::shape)
    };
    (Row($shape:ty)) => {
        $crate::report::record::Takes::Row(<$shape>::shape)
    };
    (Number) => {
        $crate::report::record::Takes::Number
    };
    (Count) => {
        $crate::report::record::Takes::Count
    };
    (Flag) => {
        $crate::report::record::Takes::Flag
    };
    (Text) => {
        $crate::report::record::Takes::Text
    };
    (Texts) => {
        $crate::report::record::Takes::Texts
    };
    (Counts) => {
        $crate::report::record::Takes::Counts
    };
    (Any) => {
        $crate::report::record::Takes::Any
    };
    ($kind:ident) => {
        $crate::report::record::Takes::Of($crate::quantity::Kind::$kind)
    };
}

pub(crate) use {first, optional, record, stands, takes};
