//! What a rule is, and how one is declared.

use super::finding::{sentence, title};
use super::{Finding, Lever, Limit, Measured, NotChecked, Signal, Solution, Source};
use crate::convert::concern::ConcernKind;
use crate::train::rig::Setting;
use std::borrow::Cow;

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
    /// A switch to another fuel.
    Switch,
    /// A run of a tank, and its hottest day.
    Run,
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
            Self::Switch => "switch",
            Self::Run => "run",
        }
    }
}

/// A rule: whatever is wrong is a finding of one.
#[derive(Debug)]
pub struct Rule {
    /// Id: three letters and three digits, never used again for another.
    pub id: &'static str,
    /// Name: what is wrong when it finds something.
    pub name: &'static str,
    /// Group.
    pub group: Group,
    /// Its page: what it checks, why it matters, what to do.
    pub page: &'static str,
    /// Signal words of its findings, that of most of them first.
    pub signals: &'static [Signal],
    /// Who sets its limit, where a finding names nobody else.
    pub source: Source,
    /// Sizes and settings that can make its finding go.
    pub levers: &'static [Lever],
    /// What it judges.
    pub judges: Judges,
}

/// What a rule judges.
#[derive(Debug)]
pub enum Judges {
    /// A rig: asked in an audit.
    Rig(fn(&Solution<'_>, &mut Verdict)),
    /// A plan of a switch to another fuel, by what the plan remarks on.
    Switch(ConcernKind),
    /// A run of a tank, and its hottest day.
    Run,
    /// A flame by itself.
    Flame,
}

impl Rule {
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

    /// Its name in words.
    pub fn title(&self) -> String {
        title(self.name)
    }

    /// What its findings say, with places to fill.
    pub fn says(&self) -> String {
        self.paragraph("Finding")
    }

    /// What to do, as the advice of a finding that has none of its own.
    pub fn advice(&self) -> String {
        self.paragraph("What to do")
    }

    /// Signal words of its findings, in words.
    pub fn severity(&self) -> String {
        let words: Vec<&str> = self.signals.iter().map(|s| s.word()).collect();
        words.join(" or ")
    }

    /// What it finds in a rig; nothing if it judges something else.
    pub fn check(&'static self, solution: &Solution<'_>) -> Verdict {
        let mut verdict = Verdict::new(self);
        if let Judges::Rig(check) = self.judges {
            check(solution, &mut verdict);
        }
        verdict
    }
}

/// What one rule found, and what it could not check.
#[derive(Debug)]
pub struct Verdict {
    /// The rule.
    pub rule: &'static Rule,
    /// What it found, in the order of the rig.
    pub findings: Vec<Finding>,
    /// What it could not check.
    pub not_checked: Vec<NotChecked>,
}

impl Verdict {
    /// Nothing yet.
    pub fn new(rule: &'static Rule) -> Self {
        Self {
            rule,
            findings: Vec::new(),
            not_checked: Vec::new(),
        }
    }

    fn saying(&mut self) -> Saying<'_> {
        Saying {
            signal: self.rule.signals[0],
            source: self.rule.source.clone(),
            advice: None,
            says: None,
            verdict: self,
        }
    }

    /// Adds a finding with the signal word, source and advice of the rule's page.
    pub fn find(&mut self, at: impl Into<String>, measured: impl Into<Measured>, limit: Limit) {
        self.saying().find(at, measured, limit);
    }

    /// A finding with another signal word than the rule's first.
    pub fn signal(&mut self, signal: Signal) -> Saying<'_> {
        self.saying().signal(signal)
    }

    /// A finding whose limit somebody else sets than that of the rule's page.
    pub fn source(&mut self, source: Source) -> Saying<'_> {
        self.saying().source(source)
    }

    /// A finding that says something else than the rule's page.
    pub fn says(&mut self, template: impl Into<Cow<'static, str>>) -> Saying<'_> {
        self.saying().says(template)
    }

    /// A finding with advice of its own.
    pub fn advice(&mut self, advice: impl Into<String>) -> Saying<'_> {
        self.saying().advice(advice)
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
                id: self.rule.id,
                name: self.rule.name,
                because,
            });
        }
    }
}

/// A finding in the making: what it says in place of the rule's page.
#[derive(Debug)]
pub struct Saying<'v> {
    verdict: &'v mut Verdict,
    signal: Signal,
    source: Source,
    advice: Option<String>,
    says: Option<Cow<'static, str>>,
}

impl Saying<'_> {
    /// Another signal word than the rule's first.
    #[must_use]
    pub fn signal(self, signal: Signal) -> Self {
        Self { signal, ..self }
    }

    /// Who sets the limit.
    #[must_use]
    pub fn source(self, source: Source) -> Self {
        Self { source, ..self }
    }

    /// What to do here.
    #[must_use]
    pub fn advice(self, advice: impl Into<String>) -> Self {
        let advice = Some(advice.into());
        Self { advice, ..self }
    }

    /// What it says, with places to fill.
    #[must_use]
    pub fn says(self, template: impl Into<Cow<'static, str>>) -> Self {
        let says = Some(template.into());
        Self { says, ..self }
    }

    /// Adds it.
    pub fn find(self, at: impl Into<String>, measured: impl Into<Measured>, limit: Limit) {
        let at = at.into();
        let rule = self.verdict.rule;
        self.verdict.findings.push(Finding {
            id: rule.id,
            name: rule.name,
            signal: self.signal,
            cause: None,
            subject: String::new(),
            says: self.says.unwrap_or_else(|| rule.says().into()),
            places: vec![at.clone()],
            at,
            measured: measured.into(),
            limit,
            source: self.source,
            advice: sentence(&self.advice.unwrap_or_else(|| rule.advice())),
        });
    }
}

/// One fact that a rule asks for, and finds where the file says that it is not so.
pub(crate) struct Fact {
    pub(crate) asks: fn(&Solution<'_>) -> Option<bool>,
    pub(crate) at: &'static str,
    pub(crate) no: &'static str,
    pub(crate) should: &'static str,
    /// Another signal word where the rig stands outdoors.
    pub(crate) outdoors: &'static [Signal],
    /// Why it is not checked where the file says neither.
    pub(crate) unknown: &'static str,
}

impl Fact {
    pub(crate) fn check(&self, s: &Solution<'_>, v: &mut Verdict) {
        match (self.asks)(s) {
            None => v.not_checked(self.unknown),
            Some(true) => {}
            Some(false) => {
                let outdoors = s.rig.site.setting == Setting::Outdoor;
                let words = if outdoors { self.outdoors } else { &[] };
                let signal = words.first().unwrap_or(&v.rule.signals[0]);
                let found = v.signal(*signal);
                found.find(self.at, self.no, Limit::Should(self.should));
            }
        }
    }
}

/// Declares a rule: its page as a doc comment, then id, name, group, signal words and source, and the sizes and settings
/// that are its `levers`; `check(solution, verdict)` stands beside it. In place of that a rule may say which fact it `asks`, or which checks of the solved train
/// it `reads`.
macro_rules! rule {
    (
        $(#[doc = $page:literal])+
        $id:literal, $name:literal, $group:ident, [$($signal:ident),+], $source:ident($by:expr)
        $(, levers [$($lever:literal $way:ident),+ $(,)?])?
    ) => {
        $crate::audit::rule::rule! {
            $(#[doc = $page])+
            RULE, $id, $name, $group, [$($signal),+], $source($by)
            $(, levers [$($lever $way),+])?;
            $crate::audit::rule::Judges::Rig(|s, v| _ = check(s, v))
        }
    };
    (
        $(#[doc = $page:literal])+
        $id:literal, $name:literal, $group:ident, [$($signal:ident),+], $source:ident($by:expr);
        asks: $asks:expr,
        at: $at:literal,
        no: $no:literal,
        should: $should:literal,
        $(outdoors: $outdoors:ident,)?
        unknown: $unknown:literal
    ) => {
        $crate::audit::rule::rule! {
            $(#[doc = $page])+
            RULE, $id, $name, $group, [$($signal),+], $source($by);
            $crate::audit::rule::Judges::Rig(|s, v| $crate::audit::rule::Fact {
                asks: $asks,
                at: $at,
                no: $no,
                should: $should,
                outdoors: &[$($crate::audit::Signal::$outdoors)?],
                unknown: $unknown,
            }.check(s, v))
        }
    };
    (
        $(#[doc = $page:literal])+
        $id:literal, $name:literal, $group:ident, [$($signal:ident),+], $source:ident($by:expr)
        $(, levers [$($lever:literal $way:ident),+ $(,)?])?;
        reads: [$($kind:ident),+],
        given: $key:literal,
        limit: $limit:expr
    ) => {
        $crate::audit::rule::rule! {
            $(#[doc = $page])+
            RULE, $id, $name, $group, [$($signal),+], $source($by)
            $(, levers [$($lever $way),+])?;
            $crate::audit::rule::Judges::Rig(|s, v| {
                let kinds = [$($crate::train::CheckKind::$kind),+];
                super::solved::find_checks(s, v, &kinds, $key, $limit);
            })
        }
    };
    (
        $(#[doc = $page:literal])+
        $static:ident, $id:literal, $name:literal, $group:ident, [$($signal:ident),+], $source:ident($by:expr)
        $(, levers [$($lever:literal $way:ident),+ $(,)?])?;
        $judges:expr
    ) => {
        $(#[doc = $page])+
        pub(crate) static $static: $crate::audit::Rule = $crate::audit::Rule {
            id: $id,
            name: $name,
            group: $crate::audit::Group::$group,
            page: concat!($($page, "\n"),+),
            signals: &[$($crate::audit::Signal::$signal),+],
            source: $crate::audit::Source::$source($by),
            levers: &[$($($crate::audit::Lever {
                path: $lever,
                way: $crate::audit::lever::Way::$way,
            }),+)?],
            judges: $judges,
        };
    };
}

pub(crate) use rule;
