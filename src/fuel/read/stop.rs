//! Why one pass over a file ended.

use crate::fuel::error::Problem;
use crate::quantity::suggest::nearest;
use serde::de;
use std::fmt::Display;

/// Path of a key of a table.
pub(super) fn join(path: &str, key: &str) -> String {
    if path.is_empty() {
        key.to_owned()
    } else {
        format!("{path}.{key}")
    }
}

/// Why one pass over a file ended.
#[derive(Debug, thiserror::Error)]
#[error("{problem}")]
pub(super) struct Stop {
    /// Where; not yet known below the value that is being read.
    pub(super) path: Option<String>,
    /// Key of that value that is meant.
    key: Option<String>,
    /// Entry of a list that the next pass is to leave out.
    pub(super) without: Option<String>,
    pub(super) problem: Problem,
}

impl Stop {
    fn of(key: Option<&str>, problem: Problem) -> Self {
        Self {
            path: None,
            key: key.map(str::to_owned),
            without: None,
            problem,
        }
    }

    pub(super) fn missing_at(path: &str) -> Self {
        Self::of(None, Problem::Missing { needed_by: None }).at(path)
    }

    /// In the table at a path, if it does not say where.
    pub(super) fn at(mut self, path: &str) -> Self {
        if self.path.is_none() {
            let key = self.key.take();
            self.path = Some(key.map_or(path.to_owned(), |key| join(path, &key)));
        }
        self
    }

    /// In an entry of a list. A key that is missing from a table can be made up for; of anything else the next pass
    /// leaves the innermost entry out.
    pub(super) fn in_entry(self, path: &str) -> Self {
        if self.path.is_some() && matches!(self.problem, Problem::Missing { .. }) {
            return self;
        }
        Self {
            without: self.without.clone().or_else(|| Some(path.to_owned())),
            ..self.at(path)
        }
    }
}

impl de::Error for Stop {
    fn custom<T: Display>(message: T) -> Self {
        let message = message.to_string();
        Self::of(None, Problem::Shape { message })
    }
    fn missing_field(field: &'static str) -> Self {
        Self::of(Some(field), Problem::Missing { needed_by: None })
    }
    fn unknown_field(field: &str, known: &'static [&'static str]) -> Self {
        Self::of(Some(field), unknown_key(field, known))
    }
    fn unknown_variant(word: &str, accepted: &'static [&'static str]) -> Self {
        Self::of(None, unknown_word(word, accepted))
    }
}

pub(super) fn unknown_key(key: &str, known: &[&str]) -> Problem {
    Problem::UnknownKey {
        suggestion: nearest(key, known.iter().copied()).map(str::to_owned),
    }
}

pub(super) fn unknown_word(word: &str, accepted: &[&str]) -> Problem {
    Problem::Word {
        word: word.chars().take(60).flat_map(char::escape_debug).collect(),
        accepted: accepted.iter().map(ToString::to_string).collect(),
    }
}
