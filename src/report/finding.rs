//! What a rule found, ready to be shown.

use crate::audit::Rule;
pub use crate::audit::Signal;
use crate::audit::finding::{filled, first_of};

/// A finding, with every part as text.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// Number of the rule, never used twice.
    pub id: String,
    /// Name of the rule: what is wrong.
    pub name: String,
    /// Its name in words.
    pub title: String,
    /// What is wrong, in a sentence or two: subject, figure, limit, consequence.
    pub sentence: String,
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
        let at = at.into();
        let mut of_page = Self {
            id: rule.id.to_owned(),
            name: rule.name.to_owned(),
            title: rule.title(),
            sentence: String::new(),
            signal: rule.signals[0],
            measured,
            limit,
            source: rule.source.show(),
            advice: rule.advice(),
            at,
            line: None,
            data: FindingData::default(),
        };
        of_page.say(&rule.says());
        of_page
    }

    /// Says it anew by a sentence with places to fill, of what it has measured by now.
    pub fn say(&mut self, template: &str) {
        let limit = self.limit.trim_start_matches("at least ");
        let limit = limit.trim_start_matches("at most ");
        let subject = self.data.subject.as_deref().unwrap_or(&self.at);
        self.sentence = filled(template, subject, &self.measured, limit);
    }

    /// What stands beneath it, each with its name: its place, who sets the limit, what to do, what clears it.
    pub fn beneath(&self, at: String) -> Vec<(&'static str, String)> {
        let remedy = self.data.remedy.clone().unwrap_or_default();
        let all = [
            ("at", at),
            ("source", self.source.clone()),
            ("advice", self.advice.clone()),
            ("remedy", remedy),
        ];
        all.into_iter()
            .filter(|(_, text)| !text.is_empty())
            .collect()
    }

    /// Its first advice, as a sentence.
    pub fn first_advice(&self) -> &str {
        first_of(&self.advice)
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
    /// The smallest change that clears it, where one was searched for.
    pub remedy: Option<String>,
}
