//! What the audit found, as lines of the list: the gravest first, and no more lines than there is room for.

use super::{Checklist, Line, When};
use crate::audit::{Audit, Finding, Signal, Solution, registry};

/// Lines of what was found, `most` at most where that can be: each by itself if there is room, else the warnings in
/// one line, else the dangers of each group in one, else all dangers in one.
pub(super) fn lines(s: &Solution<'_>, audit: &Audit, most: usize) -> Vec<Line> {
    let of = |signal: Signal| -> Vec<&Finding> {
        let found = audit.findings.iter();
        found.filter(|f| f.signal == signal).collect()
    };
    let all = SETTLED.map(of);
    let first = incomplete(audit);
    let last = set_aside(audit);
    let room = most.saturating_sub(first.iter().len() + last.iter().len());
    let told = |ways: [Together; 3]| -> Vec<Vec<&Finding>> {
        let signals = all.iter().zip(ways);
        signals.flat_map(|(found, way)| way.of(found)).collect()
    };
    let fits = WAYS.into_iter().find(|ways| told(*ways).len() <= room);
    let told = told(fits.unwrap_or([Together::All; 3]));
    let mut lines: Vec<Line> = first.into_iter().collect();
    lines.extend(told.iter().map(|together| line(s, together)));
    lines.extend(last);
    lines
}

/// Signal words that are settled before anything is lit.
const SETTLED: [Signal; 3] = [Signal::Danger, Signal::Warning, Signal::Caution];

/// How findings of one signal word are told.
#[derive(Debug, Clone, Copy)]
enum Together {
    /// Each by itself.
    Each,
    /// Those of each group of rules in one line.
    Group,
    /// All in one line.
    All,
}

/// Ways of telling dangers, warnings and cautions, the longest first.
const WAYS: [[Together; 3]; 8] = {
    use Together::{All, Each, Group};
    [
        [Each, Each, Each],
        [Each, Each, Group],
        [Each, Each, All],
        [Each, Group, Group],
        [Each, Group, All],
        [Group, Group, All],
        [Each, All, All],
        [Group, All, All],
    ]
};

impl Together {
    fn of<'f>(self, findings: &[&'f Finding]) -> Vec<Vec<&'f Finding>> {
        match self {
            Self::Each => findings.iter().map(|f| vec![*f]).collect(),
            Self::Group => by_group(findings),
            Self::All => together(findings),
        }
    }
}

/// All in one line, if there are any.
fn together<'f>(all: &[&'f Finding]) -> Vec<Vec<&'f Finding>> {
    Some(all.to_vec())
        .filter(|all| !all.is_empty())
        .into_iter()
        .collect()
}

fn before(text: String, because: impl Into<String>) -> Line {
    Line {
        when: When::Settle,
        text,
        because: because.into(),
        reading: None,
    }
}

/// Findings of each group of rules, in the order in which the first of each stands.
fn by_group<'f>(findings: &[&'f Finding]) -> Vec<Vec<&'f Finding>> {
    let group = |f: &Finding| registry::find(f.id).map(|r| r.group);
    let mut all: Vec<Vec<&Finding>> = Vec::new();
    for f in findings {
        match all.iter_mut().find(|g| group(g[0]) == group(f)) {
            Some(together) => together.push(f),
            None => all.push(vec![f]),
        }
    }
    all
}

/// One finding with what to do, or several by name.
fn line(s: &Solution<'_>, together: &[&Finding]) -> Line {
    let gravest = together.iter().map(|f| f.signal).min();
    let word = match gravest {
        Some(Signal::Danger) => "DO NOT LIGHT before this is settled",
        Some(Signal::Warning) => "WARNING, settle or write down why not",
        _ => "CAUTION, settle or write down why not",
    };
    let named = |f: &Finding| f.name.replace('-', " ");
    if let [f] = together {
        let measured = f.measured.show(s.units);
        let measured = measured.split("; also at ").next().unwrap_or_default();
        let text = format!(
            "{word}: {} ({measured}). {}.",
            named(f),
            imperative(&f.advice)
        );
        return before(text, format!("{} at {}", f.id, f.places.join(", ")));
    }
    let names: Vec<String> = together.iter().map(|f| named(f)).collect();
    let ids: Vec<&str> = together.iter().map(|f| f.id).collect();
    before(
        format!("{word}, as `audit` says: {}", names.join("; ")),
        ids.join(", "),
    )
}

/// What to do first, as a sentence without its stop.
fn imperative(advice: &str) -> String {
    let first = advice.split_once(". ").map_or(advice, |(first, _)| first);
    let mut letters = first.trim_end_matches('.').chars();
    let capital = letters.next().map(|c| c.to_uppercase().to_string());
    capital.unwrap_or_default() + letters.as_str()
}

fn incomplete(audit: &Audit) -> Option<Line> {
    audit.is_incomplete().then(|| {
        before(
            "DO NOT LIGHT before the rig file says what it leaves out: `audit` asks for it"
                .to_owned(),
            "INCOMPLETE",
        )
    })
}

fn set_aside(audit: &Audit) -> Option<Line> {
    let told: Vec<String> = audit
        .suppressed
        .iter()
        .map(|s| format!("{}: {}", s.finding.name, s.reason))
        .collect();
    let ids: Vec<&str> = audit.suppressed.iter().map(|s| s.finding.id).collect();
    (!told.is_empty()).then(|| {
        before(
            format!("Ask whether the reason still holds: {}", told.join("; ")),
            format!("{}, set aside", ids.join(", ")),
        )
    })
}

/// What nobody has judged: what it is stands in the audit, in words.
pub(super) fn not_checked(list: &mut Checklist, audit: &Audit) {
    let rules = audit.rules_not_checked();
    if rules > 0 {
        list.add(
            When::Settle,
            format!(
                "Look yourself at what `audit` could not check: {rules} of its rules, named there"
            ),
            "audit",
        );
    }
}
