//! Reference tables: rows by column name, and one comparison that says which row failed.
#![allow(dead_code)]

use std::collections::BTreeMap;

/// One row of a reference table.
#[derive(Debug, Clone)]
pub(crate) struct Row {
    file: String,
    line: usize,
    cells: BTreeMap<String, String>,
}

impl Row {
    /// Text of a cell; panics with the place if the column is missing.
    pub(crate) fn text(&self, column: &str) -> &str {
        self.cells
            .get(column)
            .unwrap_or_else(|| panic!("{self}: no column {column}"))
    }
    /// Number in a cell; panics with the place if it is none.
    pub(crate) fn num(&self, column: &str) -> f64 {
        self.text(column)
            .parse()
            .unwrap_or_else(|_| panic!("{self}: {column} = {:?} is no number", self.text(column)))
    }
    /// Number in a cell, `None` if empty.
    pub(crate) fn opt(&self, column: &str) -> Option<f64> {
        if self.text(column).is_empty() {
            None
        } else {
            Some(self.num(column))
        }
    }
    /// `true` or `false`.
    pub(crate) fn flag(&self, column: &str) -> bool {
        self.text(column) == "true"
    }
}

impl std::fmt::Display for Row {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "tests/reference/{}:{}", self.file, self.line)
    }
}

/// All rows of `tests/reference/<file>`; lines that start with `#` are provenance.
pub(crate) fn rows(file: &str) -> Vec<Row> {
    let path = format!("{}/tests/reference/{file}", env!("CARGO_MANIFEST_DIR"));
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .flexible(false)
        .from_path(&path)
        .expect("reference table can be read");
    let head = reader
        .headers()
        .expect("reference table has a head")
        .clone();
    reader
        .records()
        .map(|r| {
            let r = r.expect("reference table has whole rows");
            let line = usize::try_from(r.position().expect("a read row has a place").line())
                .expect("small file");
            let cells = head
                .iter()
                .zip(r.iter())
                .map(|(k, v)| (k.to_owned(), v.to_owned()))
                .collect();
            Row {
                file: file.to_owned(),
                line,
                cells,
            }
        })
        .collect()
}

/// Fails unless `got` is within `limit` (absolute) of `want`; prints the row.
#[track_caller]
pub(crate) fn assert_within(got: f64, want: f64, limit: f64, what: &str, row: &Row) {
    assert!(
        (got - want).abs() <= limit,
        "{row}: {what}: got {got:e}, want {want:e}, off by {:e}, limit {limit:e}\n{row:?}",
        got - want
    );
}

/// Fails unless `got` is within `tolerance` (relative) of `want`; prints the row.
#[track_caller]
pub(crate) fn assert_relative(got: f64, want: f64, tolerance: f64, what: &str, row: &Row) {
    assert_within(got, want, tolerance * want.abs(), what, row);
}

/// Collects failures so that one run shows every row that is off.
#[derive(Default)]
pub(crate) struct Tally {
    checked: usize,
    failures: Vec<String>,
}

impl Tally {
    /// Checks one value, absolute limit.
    pub(crate) fn within(&mut self, got: f64, want: f64, limit: f64, what: &str, row: &Row) {
        self.checked += 1;
        // written so that a NaN fails
        if !((got - want).abs() <= limit) {
            self.failures.push(format!(
                "{row}: {what}: got {got:e}, want {want:e}, off by {:e}, limit {limit:e}",
                got - want
            ));
        }
    }
    /// Checks one value, relative tolerance.
    pub(crate) fn relative(&mut self, got: f64, want: f64, tolerance: f64, what: &str, row: &Row) {
        self.within(got, want, tolerance * want.abs(), what, row);
    }
    /// Records a failure that has no number.
    pub(crate) fn fail(&mut self, why: &str, row: &Row) {
        self.failures.push(format!("{row}: {why}"));
    }
    /// Panics with all failures; also if fewer values than `at_least` were checked.
    #[track_caller]
    pub(crate) fn finish(self, at_least: usize) {
        assert!(
            self.failures.is_empty(),
            "{} of {} values off:\n{}",
            self.failures.len(),
            self.checked,
            self.failures.join("\n")
        );
        assert!(
            self.checked >= at_least,
            "only {} values checked, expected at least {at_least}",
            self.checked
        );
    }
}
