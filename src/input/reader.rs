//! What reading a file gathers: mistakes, and where each value stands.

use super::diagnostic::{Diagnostic, Label};
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// A value that was read, and where it stands. Equality looks at the value only.
#[derive(Debug, Clone)]
pub struct Entry<T> {
    /// The value.
    pub value: T,
    /// Bytes of the file.
    pub span: Range<usize>,
}

impl<T: PartialEq> PartialEq for Entry<T> {
    fn eq(&self, other: &Self) -> bool {
        self.value == other.value
    }
}

/// Reads, and gathers mistakes and places.
#[derive(Debug, Default)]
pub struct Reader {
    /// Mistakes so far.
    pub mistakes: Vec<Diagnostic>,
    /// Where each value stands, by path.
    pub places: BTreeMap<String, Range<usize>>,
    /// Paths of keys that say `"none"`.
    pub none: BTreeSet<String>,
}

/// The word that says that there is none.
pub const NONE: &str = "none";

/// One table of the file, with its path and place.
#[derive(Debug, Clone, Copy)]
pub struct TableView<'a> {
    /// The table.
    pub table: &'a DeTable<'a>,
    /// Path from the top, empty at the top.
    pub path: &'a str,
    /// Where it stands: its header or its braces.
    pub at: &'a Range<usize>,
}

impl TableView<'_> {
    /// Path of a key of this table.
    pub fn path_of(&self, key: &str) -> String {
        if self.path.is_empty() {
            key.to_owned()
        } else {
            format!("{}.{key}", self.path)
        }
    }

    /// How messages name this table.
    pub(super) fn name(&self) -> String {
        if self.path.is_empty() {
            "the rig file".to_owned()
        } else {
            format!("`{}`", self.path)
        }
    }
}

impl Reader {
    /// Notes a mistake at one place.
    pub fn mistake(
        &mut self,
        code: &'static str,
        message: impl Into<String>,
        span: Range<usize>,
        label: impl Into<String>,
        help: Option<String>,
    ) {
        self.mistakes.push(Diagnostic {
            code,
            message: message.into(),
            labels: vec![Label::new(span, label)],
            help,
        });
    }

    /// Notes a value of the wrong type.
    pub fn wrong_type(
        &mut self,
        key: &str,
        value: &Spanned<DeValue<'_>>,
        want: &str,
        example: &str,
    ) {
        let given = match value.get_ref() {
            // a list is taken, but not as one of its own values
            DeValue::Array(_) if want.starts_with("a list") => "a list in a list",
            given => type_name(given),
        };
        self.mistake(
            "E202",
            format!("`{key}` takes {want}, not {given}"),
            value.span(),
            format!("this is {given}"),
            Some(format!("write `{example}`")),
        );
    }
}

/// A type of TOML as people say it.
fn type_name(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "text",
        DeValue::Integer(_) => "a whole number",
        DeValue::Float(_) => "a number",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date or time",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}

/// Whether a text may name a duty, part or branch: letters, digits, dashes and underscores.
pub fn is_name(text: &str) -> bool {
    const LONGEST: usize = 60;
    !text.is_empty()
        && text.len() <= LONGEST
        && text
            .chars()
            .all(|c| c.is_alphanumeric() || c == '-' || c == '_')
}
