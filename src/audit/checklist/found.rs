//! What the audit found, as lines of the list: the gravest first, and no more lines than there is room for.

use super::{Checklist, Line, When};
use crate::audit::{Audit, Finding, Signal, Solution, registry};

/// Lines of what was found, `most` at most where that can be: each by itself if there is room, else the warnings in
/// one line, else the dangers of each group in one, else all dangers in one.
pub(super) fn lines(s: &Solution<'_>, audit: &Audit, most: usize) -> Vec<Line> {
    let of = |signal: Signal| -> Vec<&Finding> {
        audit
            .findings
            .iter()
            .filter(|f| f.signal == signal)
            .collect()
    };
    let (dangers, warnings) = (of(Signal::Danger), of(Signal::Warning));
    let first = incomplete(audit);
    let last = set_aside(audit);
    let room = most.saturating_sub(first.iter().len() + last.iter().len());
    let each: Vec<Vec<&Finding>> = dangers.iter().map(|f| vec![*f]).collect();
    let warned: Vec<Vec<&Finding>> = warnings.iter().map(|f| vec![*f]).collect();
    let grouped = by_group(&dangers);
    let ways = [
        [each.clone(), warned],
        [each, together(&warnings)],
        [grouped, together(&warnings)],
        [together(&dangers), together(&warnings)],
    ];
    let fits = |way: &&[Vec<Vec<&Finding>>; 2]| way.iter().map(Vec::len).sum::<usize>() <= room;
    let told = ways
        .iter()
        .find(fits)
        .or(ways.last())
        .into_iter()
        .flatten()
        .flatten();
    let mut lines: Vec<Line> = first.into_iter().collect();
    lines.extend(told.map(|together| line(s, together)));
    lines.extend(last);
    lines
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
        when: When::Before,
        text,
        because: because.into(),
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
    let danger = together.iter().any(|f| f.signal == Signal::Danger);
    let word = match (danger, together.len()) {
        (true, 1) => "DO NOT LIGHT before this is put right",
        (true, _) => "DO NOT LIGHT before these are put right, as `audit` says",
        (false, 1) => "Put right, or write down why not",
        (false, _) => "Put each right as `audit` says, or write down why not",
    };
    let named = |f: &&Finding| format!("{} ({})", f.name, f.measured.show(s.units));
    let text = match together {
        [f] => {
            let text = format!("{word}: {}; {}", named(f), f.advice);
            return before(text, format!("{} at {}", f.id, f.places.join(", ")));
        }
        all => {
            let names: Vec<&str> = all.iter().map(|f| f.name).collect();
            format!("{word}: {}", names.join(", "))
        }
    };
    let ids: Vec<&str> = together.iter().map(|f| f.id).collect();
    before(text, ids.join(", "))
}

fn incomplete(audit: &Audit) -> Option<Line> {
    audit.is_incomplete().then(|| {
        before(
            "DO NOT LIGHT before the rig file says what it leaves out: `fuelwright audit` asks for it".to_owned(),
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
            format!("Does the reason still hold? {}", told.join("; ")),
            format!("{}, set aside", ids.join(", ")),
        )
    })
}

/// What nobody has judged: what it is stands in the audit, in words.
pub(super) fn not_checked(list: &mut Checklist, audit: &Audit) {
    let rules = audit.rules_not_checked();
    if rules > 0 {
        list.add(
            When::Before,
            format!(
                "What the audit could not check, {rules} of its rules: read it there, and look at each yourself"
            ),
            "audit",
        );
    }
}
