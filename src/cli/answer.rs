//! What a command gives.

use crate::report::Report;
use std::path::PathBuf;

/// What a command gives.
#[derive(Debug)]
pub enum Answer {
    /// A report, written in the format asked for.
    Report(Box<Report>),
    /// A text for other programs, written as it is.
    Text(Vec<u8>),
    /// A rig file that is audited anew each time it is saved.
    Watch(PathBuf),
}

impl From<Report> for Answer {
    fn from(report: Report) -> Self {
        Self::Report(Box::new(report))
    }
}

impl From<Vec<u8>> for Answer {
    fn from(text: Vec<u8>) -> Self {
        Self::Text(text)
    }
}
