//! Reads a file of a known shape and goes on after a mistake, so that all of them can be told at once.
//!
//! The shapes are serde's, and serde stops at the first mistake. So what is wrong is noted and something of the right
//! type is put in its place ([`place::Place`]): no number, no text, an empty list. A key that is missing, or an entry
//! of a list that makes no sense, ends one pass over the file; the next pass knows of it.

mod place;
mod stop;

use super::error::{Mistake, Problem};
use place::{Log, Place};
use serde::de::DeserializeOwned;
use toml::Value;
use toml::de::{DeTable, DeValue};

/// Longest file that is read, bytes; the longest of the program's own has 42 000.
const MOST_BYTES: usize = 200_000;
/// Passes over one file.
const MOST_PASSES: usize = 200;

/// What was read of a file.
pub(super) struct Read<T> {
    /// The file's content, with stand-ins where it is wrong; `None` if even that was not possible.
    pub(super) value: Option<T>,
    /// What is wrong with its shape.
    pub(super) mistakes: Vec<Mistake>,
    /// Every key that names a source, and the source.
    pub(super) sources: Vec<(String, String)>,
}

/// Reads a file.
pub(super) fn read<T: DeserializeOwned>(text: &str) -> Read<T> {
    let unread = |key: &str, problem| Read {
        value: None,
        mistakes: vec![Mistake::new(key, problem)],
        sources: Vec::new(),
    };
    if text.len() > MOST_BYTES {
        let problem = Problem::TooMany {
            what: "bytes",
            count: text.len(),
            most: MOST_BYTES,
        };
        return unread("the file", problem);
    }
    let root = match text.parse() {
        Ok(table) => Value::Table(table),
        Err(e) => {
            let message = e.message().replace('\n', ", ");
            return unread("", Problem::Syntax { message });
        }
    };
    let log = Log::default();
    let mut ended_passes = Vec::new();
    let mut value = None;
    for _ in 0..MOST_PASSES {
        log.mistakes.borrow_mut().clear();
        log.sources.borrow_mut().clear();
        match T::deserialize(Place::root(&root, &log)) {
            Ok(read) => {
                value = Some(read);
                break;
            }
            Err(stop) => {
                let path = stop.path.unwrap_or_default();
                let known = stop.without.unwrap_or_else(|| path.clone());
                if !log.known.borrow_mut().insert(known) {
                    break;
                }
                ended_passes.push(Mistake::new(path, stop.problem));
            }
        }
    }
    ended_passes.append(&mut log.mistakes.borrow_mut());
    Read {
        value,
        mistakes: ended_passes,
        sources: log.sources.into_inner(),
    }
}

/// Line of a key, by its path, or of the nearest table around it; of a mistake in the syntax, if there is one.
pub(super) fn line(text: &str, path: &str) -> Option<usize> {
    let start = match DeTable::parse(text) {
        Ok(table) => start(table.get_ref(), path)?,
        Err(e) => e.span()?.start,
    };
    Some(text.get(..start)?.matches('\n').count() + 1)
}

/// Where a key begins, or the nearest table around it.
fn start(table: &DeTable<'_>, path: &str) -> Option<usize> {
    let mut at = None;
    let mut around: Option<&DeValue<'_>> = None;
    for step in path.split(['.', '[']) {
        let next = match (around, step.strip_suffix(']')) {
            (None, None) => table.get(step),
            (Some(DeValue::Table(inner)), None) => inner.get(step),
            (Some(DeValue::Array(list)), Some(index)) => list.get(index.parse::<usize>().ok()?),
            _ => None,
        };
        let Some(next) = next else { break };
        at = Some(next.span().start);
        around = Some(next.get_ref());
    }
    at
}
