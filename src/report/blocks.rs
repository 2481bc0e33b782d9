//! What a section of a report is made of: facts, tables, lines to copy.

use crate::fuel::SourceKey;
use crate::quantity::Kind;

/// A line of a list, with a box to tick before it.
#[derive(Debug, Clone, PartialEq)]
pub struct Tick {
    /// What to do.
    pub text: String,
    /// Why it is there: a rule that found something, a key of the rig, or practice. For whoever looks it up.
    pub because: String,
    /// What is read and written beside it.
    pub entry: Option<Entry>,
}

/// A place to write a reading.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// Where it is read: a gauge of the rig by its name, a scale, a stop-watch.
    pub at: String,
    /// Unit to write it in.
    pub unit: String,
    /// What is expected, in that unit; empty: nothing.
    pub expected: String,
}

impl Entry {
    /// With a line to write on.
    pub fn as_text(&self) -> String {
        let Self { at, unit, expected } = self;
        let expected = match expected.as_str() {
            "" => String::new(),
            expected => format!(" ({expected})"),
        };
        format!("{at}: ______ {unit}{expected}")
    }
}

/// One value with its name, and how sure it is.
#[derive(Debug, Clone, PartialEq)]
pub struct Fact {
    /// Name.
    pub name: String,
    /// Value.
    pub value: Value,
    /// Lowest and highest value it may have, in the unit of the value.
    pub band: Option<(f64, f64)>,
    /// Where it is from.
    pub source: Option<SourceKey>,
    /// A remark, such as the model or phase it was taken in.
    pub note: Option<String>,
}

impl Fact {
    /// A named value.
    pub fn new(name: impl Into<String>, value: Value) -> Self {
        Self {
            name: name.into(),
            value,
            band: None,
            source: None,
            note: None,
        }
    }
    /// A quantity in SI units.
    pub fn of(name: impl Into<String>, kind: Kind, si: f64) -> Self {
        Self::new(name, Value::Quantity { kind, si })
    }
    /// A text.
    pub fn text(name: impl Into<String>, text: impl Into<String>) -> Self {
        Self::new(name, Value::Text(text.into()))
    }
    /// With the band the value lies in.
    #[must_use]
    pub fn between(mut self, low: f64, high: f64) -> Self {
        self.band = Some((low, high));
        self
    }
    /// With a relative half-width of its band; none for zero.
    #[must_use]
    pub fn within(self, fraction: f64) -> Self {
        match self.value {
            Value::Quantity { si, .. } | Value::Number(si) if fraction > 0.0 => {
                self.between(si - si.abs() * fraction, si + si.abs() * fraction)
            }
            _ => self,
        }
    }
    /// With its source.
    #[must_use]
    pub fn sourced(mut self, key: impl Into<SourceKey>) -> Self {
        self.source = Some(key.into());
        self
    }
    /// With a remark.
    #[must_use]
    pub fn note(mut self, note: impl Into<String>) -> Self {
        self.note = Some(note.into());
        self
    }
}

/// A value of a fact or a cell of a table.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// A quantity in SI units.
    Quantity {
        /// What it is.
        kind: Kind,
        /// Its value in SI units.
        si: f64,
    },
    /// A number without unit.
    Number(f64),
    /// A count.
    Count(usize),
    /// A text.
    Text(String),
    /// Yes or no.
    Flag(bool),
    /// Nothing, because of a reason that the text gives.
    Absent,
}

impl Value {
    /// A quantity in SI units; nothing where there is none.
    pub fn of(kind: Kind, si: impl Into<Option<f64>>) -> Self {
        si.into()
            .map_or(Self::Absent, |si| Self::Quantity { kind, si })
    }
}

impl From<&str> for Value {
    fn from(s: &str) -> Self {
        Self::Text(s.to_owned())
    }
}

/// A table. Every row has as many cells as there are columns.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Table {
    /// Columns.
    pub columns: Vec<Column>,
    /// Rows of cells.
    pub rows: Vec<Vec<Value>>,
}

impl Table {
    /// A table with these columns.
    pub fn new(columns: Vec<Column>) -> Self {
        Self {
            columns,
            rows: Vec::new(),
        }
    }
    /// Adds a row.
    pub fn row(&mut self, cells: Vec<Value>) {
        debug_assert_eq!(cells.len(), self.columns.len(), "a cell for every column");
        self.rows.push(cells);
    }
    /// Puts columns in before the one at a place.
    pub(super) fn insert(
        &mut self,
        at: usize,
        columns: impl Iterator<Item = Column>,
        cells: impl Iterator<Item = Vec<Value>>,
    ) {
        self.columns.splice(at..at, columns);
        for (row, cells) in self.rows.iter_mut().zip(cells) {
            row.splice(at..at, cells);
        }
    }
}

/// A column of a table.
#[derive(Debug, Clone, PartialEq)]
pub struct Column {
    /// Heading, without unit.
    pub heading: String,
    /// What its quantities are; one unit is shown for all of them, in the heading.
    pub kind: Option<Kind>,
    /// Significant digits.
    pub digits: usize,
    /// May be left out where the page is too narrow.
    pub optional: bool,
}

impl Column {
    /// A column of texts, counts or plain numbers.
    pub fn new(heading: impl Into<String>) -> Self {
        Self {
            heading: heading.into(),
            kind: None,
            digits: crate::quantity::show::DIGITS,
            optional: false,
        }
    }
    /// A column of quantities.
    pub fn of(heading: impl Into<String>, kind: Kind) -> Self {
        Self {
            kind: Some(kind),
            ..Self::new(heading)
        }
    }
    /// With as many significant digits.
    #[must_use]
    pub fn digits(mut self, digits: usize) -> Self {
        self.digits = digits;
        self
    }
    /// May be left out where the page is narrow.
    #[must_use]
    pub fn optional(mut self) -> Self {
        self.optional = true;
        self
    }
}

/// Lines that a reader copies into a file: no writer breaks them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Lines {
    /// What stands above them.
    pub above: String,
    /// Each line, and a remark that stands behind it as a comment where there is room.
    pub lines: Vec<(String, String)>,
    /// How many more belong here and stand elsewhere.
    pub more: usize,
}

impl Lines {
    /// As lines of a file: what stands above them, and the remarks, as comments.
    pub(super) fn as_text(&self) -> String {
        let of = match self.more {
            0 => String::new(),
            more => format!(" ({} of {})", self.lines.len(), self.lines.len() + more),
        };
        let lines = self.lines.iter().map(|(line, remark)| {
            let gap = if remark.is_empty() { "" } else { "  # " };
            format!("{line}{gap}{remark}\n")
        });
        format!("# {}{of}\n{}", self.above, lines.collect::<String>())
    }
}
