//! A key of one table: how it is declared, and what stands there.

use super::field::Field;
use super::reader::{Entry, Reader, TableView};
use super::value::FieldValue;
use crate::quantity::AbsolutePressure;
use std::ops::Range;

/// A key of a table. Equal to another that says the same, wherever it stands.
#[derive(Debug, Clone)]
pub struct Key<T> {
    /// How it is declared.
    field: &'static Field,
    /// Header of its table.
    table: Range<usize>,
    /// What it says.
    pub entry: Option<Entry<T>>,
    /// Whether it is there and was refused: that is noted, and it is not missing.
    wrong: bool,
    /// Whether it says `"none"`.
    none: bool,
}

impl<T: PartialEq> PartialEq for Key<T> {
    fn eq(&self, other: &Self) -> bool {
        self.entry == other.entry
    }
}

impl<T> Key<T> {
    /// A key that is not there.
    pub fn absent(field: &'static Field, table: Range<usize>) -> Self {
        Self {
            field,
            table,
            entry: None,
            wrong: false,
            none: false,
        }
    }

    /// Whether it stands in the file, whatever it says.
    pub fn is_there(&self) -> bool {
        self.entry.is_some() || self.wrong || self.none
    }

    /// Says this where it is not there; whether that is so. For messages it stands at the header of its table.
    pub fn stand_in(&mut self, value: T) -> bool {
        let absent = !self.is_there();
        if absent {
            let span = self.table.clone();
            self.entry = Some(Entry { value, span });
        }
        absent
    }

    /// Whether it says something.
    pub fn is_given(&self) -> bool {
        self.entry.is_some()
    }
}

impl<T: Clone> Key<T> {
    /// What it says.
    pub fn value(&self) -> Option<T> {
        self.entry.as_ref().map(|e| e.value.clone())
    }

    /// Whether it says this.
    pub fn says(&self, value: &T) -> bool
    where
        T: PartialEq,
    {
        self.entry.as_ref().is_some_and(|e| e.value == *value)
    }

    /// As if it were not there, unless it says this.
    #[must_use]
    pub fn only(&self, value: &T) -> Self
    where
        T: PartialEq,
    {
        let entry = self.entry.clone().filter(|e| e.value == *value);
        Self {
            entry,
            ..self.clone()
        }
    }

    /// What it says; zero, where it says that there is none of what it counts.
    pub fn value_or_nothing(&self) -> Option<T>
    where
        T: Default,
    {
        self.value().or_else(|| self.none.then(T::default))
    }

    /// Takes what it leaves out and `wanted` asks for from another; the value taken stands, for messages,
    /// at `span`.
    pub fn fill(&mut self, other: &Self, span: &Range<usize>, wanted: &dyn Fn(&str) -> bool) {
        if !self.is_there() && wanted(self.field.key) {
            self.entry = other.value().map(|value| Entry {
                value,
                span: span.clone(),
            });
        }
    }
}

/// A key, whatever it holds.
pub trait AnyKey {
    /// How it is declared.
    fn field(&self) -> &'static Field;
    /// Header of its table.
    fn table(&self) -> &Range<usize>;
    /// Where its value stands, if it is given.
    fn span(&self) -> Option<&Range<usize>>;
    /// Whether it is there and was refused.
    fn wrong(&self) -> bool;
    /// Its value as TOML.
    fn written(&self) -> Option<String>;
    /// Its numbers in SI units, a pressure as a gauge in this air reads it.
    fn gauged(&self, air: AbsolutePressure) -> Vec<f64>;
}

impl<T: FieldValue> AnyKey for Key<T> {
    fn field(&self) -> &'static Field {
        self.field
    }
    fn table(&self) -> &Range<usize> {
        &self.table
    }
    fn span(&self) -> Option<&Range<usize>> {
        self.entry.as_ref().map(|e| &e.span)
    }
    fn wrong(&self) -> bool {
        self.wrong
    }
    fn written(&self) -> Option<String> {
        let none = self.none.then(|| "\"none\"".to_owned());
        none.or_else(|| self.entry.as_ref().map(|e| e.value.write()))
    }
    fn gauged(&self, air: AbsolutePressure) -> Vec<f64> {
        let entry = self.entry.as_ref();
        entry.map_or_else(Vec::new, |e| e.value.gauged(air))
    }
}

impl Reader {
    /// Reads one key of a table.
    pub fn key<T: FieldValue>(&mut self, view: TableView<'_>, field: &'static Field) -> Key<T> {
        let entry = self.field(view, field);
        let unread = entry.is_none() && view.table.contains_key(field.key);
        let none = unread && self.none.contains(&view.path_of(field.key));
        Key {
            wrong: unread && !none,
            none,
            entry,
            ..Key::absent(field, view.at.clone())
        }
    }
}
