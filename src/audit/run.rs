//! All rules over one solved rig.

use super::essential::{self, Missing};
use super::registry::RULES;
use super::{Finding, Group, Limit, Measured, NotChecked, Rule, Signal, Solution};
use crate::numerics::beside::beside;
use crate::train::rig::{Date, Rig, Suppression};

/// What all rules say.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Audit {
    /// What they found, the gravest first.
    pub findings: Vec<Finding>,
    /// What they found and the rig file sets aside.
    pub suppressed: Vec<Suppressed>,
    /// What the file wants to set aside and may not, one sentence each.
    pub not_set_aside: Vec<String>,
    /// What they could not check.
    pub not_checked: Vec<NotChecked>,
    /// Facts that danger hangs on and the file does not state.
    pub missing: Vec<Missing>,
}

impl Audit {
    /// Whether facts are missing without which the findings decide nothing.
    pub fn is_incomplete(&self) -> bool {
        !self.missing.is_empty()
    }

    /// How many rules could not look at all that they look at; each once, whatever the places.
    pub fn rules_not_checked(&self) -> usize {
        let ids: std::collections::BTreeSet<&str> = self.not_checked.iter().map(|n| n.id).collect();
        ids.len()
    }

    /// Whether something asks for action before anything else: a finding of DANGER or WARNING, or a DANGER
    /// that the file sets aside.
    pub fn has_alarms(&self) -> bool {
        let grave = |f: &Finding| matches!(f.signal, Signal::Danger | Signal::Warning);
        self.findings.iter().any(grave)
            || self
                .suppressed
                .iter()
                .any(|s| s.finding.signal == Signal::Danger)
    }
}

/// A finding that the rig file sets aside.
#[derive(Debug, Clone, PartialEq)]
pub struct Suppressed {
    /// The finding.
    pub finding: Finding,
    /// Why.
    pub reason: String,
    /// Who says so.
    pub by: String,
    /// Last day on which it holds.
    pub until: Date,
}

/// Asks every rule. Findings are ordered by signal word, then by id, then by place in the rig.
pub fn audit(solution: &Solution<'_>) -> Audit {
    // tank and releases rest on the train, and the rules ask for both: side by side, whatever is done first
    let _ = solution.train();
    beside(|| _ = solution.leaks(), || _ = solution.tank());
    let mut all = audit_by(solution, |_| true);
    all.missing = essential::missing(solution);
    all
}

/// Asks the rules of some groups only.
pub fn audit_of(solution: &Solution<'_>, groups: &[Group]) -> Audit {
    audit_of_and(solution, groups, &[])
}

/// Asks the rules of some groups, and some others by their ids.
pub fn audit_of_and(solution: &Solution<'_>, groups: &[Group], ids: &[&str]) -> Audit {
    audit_by(solution, |rule| {
        groups.contains(&rule.group) || ids.contains(&rule.id)
    })
}

/// Whether a path is another, or a key inside it.
fn lies_in(path: &str, of: &str) -> bool {
    path.strip_prefix(of)
        .is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
}

/// Who sets a finding aside and until when.
///
/// # Errors
/// Why it is not set aside although the file wants it so.
fn held<'w>(wanted: &'w Suppression, rig: &Rig) -> Result<(&'w str, Date), String> {
    let (Some(by), Some(until)) = (&wanted.by, wanted.until) else {
        return Err("`by` and `until` do not say who sets it aside, and until when".to_owned());
    };
    // the later of test day and today: an old test day keeps nothing alive
    match rig.records.test_day.max(rig.today) {
        None => {
            Err("without `records.test_day` nobody can tell whether `until` is past".to_owned())
        }
        Some(day) if day > until => {
            let day = if rig.today == Some(day) {
                format!("it is {day}")
            } else {
                format!("the test day is {day}")
            };
            Err(format!("that held until {until} only, and {day}"))
        }
        Some(_) => Ok((by, until)),
    }
}

fn audit_by(solution: &Solution<'_>, wanted: impl Fn(&Rule) -> bool) -> Audit {
    let mut all = Audit::default();
    for rule in RULES.iter().filter(|r| wanted(r)) {
        let verdict = rule.check(solution);
        all.not_checked.extend(verdict.not_checked);
        for mut finding in verdict.findings {
            finding.subject = solution.subject(&finding.at);
            let aside = solution.rig.suppressed.iter().find(|s| {
                s.rule.eq_ignore_ascii_case(finding.id)
                    && s.at.as_ref().is_none_or(|at| lies_in(&finding.at, at))
            });
            match aside.map(|s| (&s.reason, held(s, solution.rig))) {
                Some((reason, Ok((by, until)))) => all.suppressed.push(Suppressed {
                    finding,
                    reason: reason.clone(),
                    by: by.to_owned(),
                    until,
                }),
                Some((_, Err(why))) => {
                    let sentence = format!("{} is not set aside: {why}.", finding.id);
                    if !all.not_set_aside.contains(&sentence) {
                        all.not_set_aside.push(sentence);
                    }
                    add(&mut all.findings, finding);
                }
                None => add(&mut all.findings, finding),
            }
        }
    }
    // stable: the rules give their findings in the order of the rig
    all.findings.sort_by_key(|f| (f.signal, f.id));
    all.suppressed
        .sort_by_key(|s| (s.finding.signal, s.finding.id));
    all
}

/// Adds a finding. Where its rule has said the same of another place, or has found several duties or several places
/// of one cause, that finding gets one more place: one cause is told once, at its worst.
fn add(findings: &mut Vec<Finding>, new: Finding) {
    let duty = |f: &Finding| f.at.starts_with("duties.");
    let same = |old: &&mut Finding| {
        let alike = old.measured == new.measured && old.limit == new.limit && old.says == new.says;
        let one_cause = old.cause.is_some() && old.cause == new.cause;
        let together = alike || one_cause || duty(old) && duty(&new);
        old.id == new.id && old.advice == new.advice && together
    };
    let Some(old) = findings.iter_mut().find(same) else {
        findings.push(new);
        return;
    };
    let mut places = old.places.clone();
    if is_worse(&new, old) {
        places.splice(0..0, new.places.iter().cloned());
        *old = new;
    } else {
        places.extend(new.places);
    }
    let mut said = std::collections::BTreeSet::new();
    places.retain(|p| said.insert(p.clone()));
    old.places = places;
}

/// Whether a finding is graver than another of the same rule, or of the same signal word and farther over its
/// limit.
fn is_worse(new: &Finding, old: &Finding) -> bool {
    let share = |f: &Finding| {
        let figure = |m: &Measured| match m {
            Measured::Quantity(_, si) | Measured::Worded(_, si, _) | Measured::Number(si) => {
                Some(*si)
            }
            Measured::Text(_) => None,
        };
        let (found, limit) = (figure(&f.measured)?, figure(f.limit.figure()?)?);
        Some(match f.limit {
            Limit::AtLeast(_) => limit - found,
            Limit::AtMost(_) | Limit::Should(_) => found - limit,
            Limit::Figure(_) => (found - limit).abs(),
        })
    };
    match new.signal.cmp(&old.signal) {
        std::cmp::Ordering::Less => true,
        std::cmp::Ordering::Greater => false,
        std::cmp::Ordering::Equal => share(new) > share(old),
    }
}
