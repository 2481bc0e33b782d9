//! What a rule found, ready to be shown.

/// How much a finding matters, in the sense ANSI Z535 gives the words.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Signal {
    /// Will kill or seriously injure if not avoided.
    Danger,
    /// Could kill or seriously injure.
    Warning,
    /// Could injure or damage.
    Caution,
    /// Worth knowing; nobody is hurt by it.
    Notice,
}

impl Signal {
    /// The word.
    pub fn word(self) -> &'static str {
        match self {
            Self::Danger => "DANGER",
            Self::Warning => "WARNING",
            Self::Caution => "CAUTION",
            Self::Notice => "NOTICE",
        }
    }
}

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
}
