//! The tables of a file of the program one by one: a run needs a few of them, and reading the rest takes longer than its sums.

use std::sync::OnceLock;

/// A table that is read when it is first asked for.
#[derive(Debug, Clone)]
pub(super) struct Lazily<T> {
    text: &'static str,
    read: OnceLock<T>,
}

impl<T> Lazily<T> {
    pub(super) fn new(text: &'static str) -> Self {
        Self {
            text,
            read: OnceLock::new(),
        }
    }

    pub(super) fn get(&self, read: impl FnOnce(&str) -> T) -> &T {
        self.read.get_or_init(|| read(self.text))
    }
}

/// The text of each table, its parts (`[[pair.parts]]`) with it. A file begins with a comment.
pub(super) fn tables(text: &'static str) -> impl Iterator<Item = &'static str> {
    let mut rest = text;
    std::iter::from_fn(move || {
        rest = &rest[next(rest, 0)?..];
        let mut end = next(rest, 0);
        while end.is_some_and(|at| is_part(&rest[at..])) {
            end = end.and_then(|at| next(rest, at));
        }
        // the line end before the next table stays with what is left
        let (table, left) = rest.split_at(end.map_or(rest.len(), |at| at - 1));
        rest = left;
        Some(table)
    })
}

/// Where the next line that begins with `[` does, after the first of the text.
fn next(text: &str, from: usize) -> Option<usize> {
    text[from..].find("\n[").map(|at| from + at + 1)
}

/// Whether the table that begins here is part of another.
fn is_part(text: &str) -> bool {
    let head = text.lines().next().unwrap_or_default();
    head.contains('.')
}

/// The first text in quotation marks.
pub(super) fn quoted(text: &str) -> &str {
    text.split('"').nth(1).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tables_come_with_their_parts_and_without_what_stands_before() {
        let text = "# a file\n\n[[pair]]\nname = \"a\"\nd = [1, 2]\n\n[[pair.parts]]\nn = 1\n\n[[pair]]\nname = \"b\"\n";
        let all: Vec<&str> = tables(text).collect();
        assert_eq!(
            all.iter().map(|t| quoted(t)).collect::<Vec<_>>(),
            ["a", "b"]
        );
        assert!(all[0].ends_with("n = 1\n") && all[1].starts_with("[[pair]]"));
        assert_eq!(tables("# nothing\n").count(), 0);
    }
}
