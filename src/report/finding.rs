//! What a rule found, ready to be shown.

pub use crate::audit::Signal;

/// A finding, with every part as text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finding {
    /// Number of the rule, never used twice.
    pub id: String,
    /// Name of the rule: what is wrong.
    pub name: String,
    /// How much it matters.
    pub signal: Signal,
    /// What was measured.
    pub measured: String,
    /// The limit it is held against.
    pub limit: String,
    /// Who sets the limit.
    pub source: String,
    /// What to do.
    pub advice: String,
    /// Where in the rig, or which flag.
    pub at: String,
    /// Line of the rig file.
    pub line: Option<usize>,
}
