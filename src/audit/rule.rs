//! What a rule is, and how one is declared.

use super::{Finding, Limit, Measured, NotChecked, Signal, Solution, Source};

/// Groups of rules, in the order of the manual.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Group {
    /// What the supply can give.
    Supply,
    /// The tank.
    Tank,
    /// Regulators.
    Regulator,
    /// The train as a whole.
    Train,
    /// Valves.
    Valve,
    /// The injector's holes.
    Injector,
    /// The flame.
    Flame,
    /// Liquid fuel.
    Liquid,
    /// Materials.
    Materials,
    /// Leaks.
    Leak,
    /// Liquid between two closures.
    Trapped,
    /// What stops the fuel.
    Shutdown,
    /// Where the rig stands.
    Site,
    /// Papers.
    Records,
    /// What the parts weigh.
    Mass,
    /// Figures of the file that cannot be, or not together.
    Values,
}

impl Group {
    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Self::Supply => "supply",
            Self::Tank => "tank",
            Self::Regulator => "regulator",
            Self::Train => "train",
            Self::Valve => "valve",
            Self::Injector => "injector",
            Self::Flame => "flame",
            Self::Liquid => "liquid",
            Self::Materials => "materials",
            Self::Leak => "leak",
            Self::Trapped => "trapped",
            Self::Shutdown => "shutdown",
            Self::Site => "site",
            Self::Records => "records",
            Self::Mass => "mass",
            Self::Values => "values",
        }
    }
}

/// What a rule says of itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RuleAbout {
    /// Id: three letters and three digits, never used again for another.
    pub id: &'static str,
    /// Name: what is wrong when it finds something.
    pub name: &'static str,
    /// Group.
    pub group: Group,
    /// Its page: what it checks, why it matters, what to do.
    pub page: &'static str,
}

impl RuleAbout {
    /// The paragraph of the page under a heading, in one line.
    pub fn paragraph(&self, heading: &str) -> String {
        let mut words = Vec::new();
        let mut inside = false;
        for line in self.page.lines() {
            if let Some(title) = line.trim().strip_prefix("## ") {
                inside = title.trim() == heading;
            } else if inside {
                words.extend(line.split_whitespace());
            }
        }
        words.join(" ")
    }
}

/// A rule.
pub trait Rule: Sync {
    /// What it is.
    fn about(&self) -> RuleAbout;
    /// What it finds.
    fn check(&self, solution: &Solution<'_>) -> Verdict;
}

/// What one rule found, and what it could not check.
#[derive(Debug, Clone, PartialEq)]
pub struct Verdict {
    about: RuleAbout,
    /// What it found, in the order of the rig.
    pub findings: Vec<Finding>,
    /// What it could not check.
    pub not_checked: Vec<NotChecked>,
}

impl Verdict {
    /// Nothing yet.
    pub fn new(about: RuleAbout) -> Self {
        Self {
            about,
            findings: Vec::new(),
            not_checked: Vec::new(),
        }
    }

    /// Adds a finding.
    pub fn find(
        &mut self,
        signal: Signal,
        at: impl Into<String>,
        measured: impl Into<Measured>,
        limit: Limit,
        source: Source,
        advice: impl Into<String>,
    ) {
        let at = at.into();
        self.findings.push(Finding {
            id: self.about.id,
            name: self.about.name,
            signal,
            cause: None,
            subject: String::new(),
            places: vec![at.clone()],
            at,
            measured: measured.into(),
            limit,
            source,
            advice: advice.into(),
        });
    }

    /// Says what the last finding comes from: others of the same rule that come from it are its places.
    pub fn because(&mut self, cause: &'static str) {
        if let Some(last) = self.findings.last_mut() {
            last.cause = Some(cause);
        }
    }

    /// Says why it could not check; the same reason once only.
    pub fn not_checked(&mut self, because: impl Into<String>) {
        let because = because.into();
        if self.not_checked.iter().all(|n| n.because != because) {
            self.not_checked.push(NotChecked {
                id: self.about.id,
                name: self.about.name,
                because,
            });
        }
    }
}

/// Declares a rule: its page as a doc comment, its type, id, name and group; `check(solution, verdict)`
/// stands beside it.
macro_rules! rule {
    ($(#[doc = $page:literal])+ $type:ident, $id:literal, $name:literal, $group:ident) => {
        $(#[doc = $page])+
        pub struct $type;

        impl $crate::audit::Rule for $type {
            fn about(&self) -> $crate::audit::RuleAbout {
                $crate::audit::RuleAbout {
                    id: $id,
                    name: $name,
                    group: $crate::audit::Group::$group,
                    page: concat!($($page, "\n"),+),
                }
            }
            fn check(&self, solution: &$crate::audit::Solution<'_>) -> $crate::audit::Verdict {
                let mut verdict = $crate::audit::Verdict::new(self.about());
                check(solution, &mut verdict);
                verdict
            }
        }
    };
}

pub(crate) use rule;
