//! What the audit found, as lines of the list: the gravest first, and no more lines than there is room for.

use super::{Checklist, Line, When};
use crate::audit::finding::first_of;
use crate::audit::{Audit, Finding, Signal, Solution, registry};

/// Lines of what was found, `most` at most where that can be: each by itself if there is room, else those of a group
/// of rules together, cautions first; then lines of one signal word are put together, the least grave first.
pub(super) fn lines(s: &Solution<'_>, audit: &Audit, most: usize) -> Vec<Line> {
    let of = |signal: Signal| -> Vec<&Finding> {
        let found = audit.findings.iter();
        found.filter(|f| f.signal == signal).collect()
    };
    let first = incomplete(audit);
    let last = set_aside(audit);
    let room = most.saturating_sub(first.iter().len() + last.iter().len());
    let mut told = SETTLED.map(|signal| of(signal).into_iter().map(|f| vec![f]).collect());
    let too_many = |told: &[Vec<Together<'_>>; 3]| told.iter().map(Vec::len).sum::<usize>() > room;
    for findings in (0..SETTLED.len()).rev() {
        if too_many(&told) {
            told[findings] = by_group(&of(SETTLED[findings]));
        }
    }
    while too_many(&told)
        && let Some(lines) = told.iter_mut().rev().find(|lines| lines.len() > 1)
    {
        put_together(lines);
    }
    let mut lines: Vec<Line> = first.into_iter().collect();
    lines.extend(told.iter().flatten().map(|together| line(s, together)));
    lines.extend(last);
    lines
}

/// Signal words that are settled before anything is lit.
const SETTLED: [Signal; 3] = [Signal::Danger, Signal::Warning, Signal::Caution];

/// Findings told in one line.
type Together<'f> = Vec<&'f Finding>;

/// Puts the two neighbours together that are fewest.
fn put_together(lines: &mut Vec<Together<'_>>) {
    let pairs = 0..lines.len().saturating_sub(1);
    if let Some(i) = pairs.min_by_key(|i| lines[*i].len() + lines[i + 1].len()) {
        let next = lines.remove(i + 1);
        lines[i].extend(next);
    }
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
fn by_group<'f>(findings: &[&'f Finding]) -> Vec<Together<'f>> {
    let group = |f: &Finding| registry::find(f.id).map(|r| r.group);
    let mut all: Vec<Together<'f>> = Vec::new();
    for f in findings {
        match all.iter_mut().find(|g| group(g[0]) == group(f)) {
            Some(together) => together.push(f),
            None => all.push(vec![f]),
        }
    }
    all
}

/// One finding with what to do, or what several ask for.
fn line(s: &Solution<'_>, together: &[&Finding]) -> Line {
    let gravest = together.iter().map(|f| f.signal).min();
    let word = match gravest {
        Some(Signal::Danger) => "DO NOT LIGHT",
        Some(Signal::Warning) => "WARNING",
        _ => "CAUTION",
    };
    if let [f] = together {
        let text = format!("{word}: {} {}.", f.sentence(s.units), act(f));
        return before(text, format!("{} at {}", f.id, f.places.join(", ")));
    }
    let mut acts: Vec<&str> = Vec::new();
    for act in together.iter().map(|f| act(f)) {
        if !acts.contains(&act) {
            acts.push(act);
        }
    }
    let ids: Vec<&str> = together.iter().map(|f| f.id).collect();
    before(format!("{word}: {}", acts.join(". ")), ids.join(", "))
}

/// What to do first, without its stop: others may follow.
fn act(f: &Finding) -> &str {
    first_of(&f.advice).trim_end_matches('.')
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
            format!("Look yourself at what `audit` names as not checked ({rules} rules)"),
            "audit",
        );
    }
}
