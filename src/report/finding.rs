//! What a rule found, ready to be shown.

use crate::audit::Rule;
pub use crate::audit::Signal;

/// A finding, with every part as text.
#[derive(Debug, Clone, PartialEq)]
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
    /// The same for machines.
    pub data: FindingData,
}

impl Finding {
    /// What a rule finds at a place: the signal word, source and advice are those of its page.
    pub fn of(rule: &Rule, at: impl Into<String>, measured: String, limit: String) -> Self {
        Self {
            id: rule.id.to_owned(),
            name: rule.name.to_owned(),
            signal: rule.signals[0],
            measured,
            limit,
            source: rule.source.show(),
            advice: rule.advice(),
            at: at.into(),
            line: None,
            data: FindingData::default(),
        }
    }
}

/// What machines read of a finding beside its texts.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FindingData {
    /// What it is about, in words.
    pub subject: Option<String>,
    /// The figure measured, SI, pressures absolute.
    pub measured_si: Option<f64>,
    /// The limit, in the same unit.
    pub limit_si: Option<f64>,
    /// That unit, empty for a ratio.
    pub unit: Option<&'static str>,
    /// Every place it is found at, with its line.
    pub places: Vec<(String, Option<usize>)>,
}
