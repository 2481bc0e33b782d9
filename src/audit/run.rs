//! All rules over one solved rig.

use super::registry::RULES;
use super::{Finding, Group, NotChecked, Solution};
use crate::numerics::beside::beside;

/// What all rules say.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Audit {
    /// What they found, the gravest first.
    pub findings: Vec<Finding>,
    /// What they found and the rig file sets aside.
    pub suppressed: Vec<Suppressed>,
    /// What they could not check.
    pub not_checked: Vec<NotChecked>,
}

/// A finding that the rig file sets aside.
#[derive(Debug, Clone, PartialEq)]
pub struct Suppressed {
    /// The finding.
    pub finding: Finding,
    /// Why.
    pub reason: String,
}

/// Asks every rule. Findings are ordered by signal word, then by id, then by place in the rig.
pub fn audit(solution: &Solution<'_>) -> Audit {
    // tank and releases rest on the train, and the rules ask for both: side by side, whatever is done first
    let _ = solution.train();
    beside(|| _ = solution.leaks(), || _ = solution.tank());
    audit_by(solution, |_| true)
}

/// Asks the rules of some groups only.
pub fn audit_of(solution: &Solution<'_>, groups: &[Group]) -> Audit {
    audit_by(solution, |group| groups.contains(&group))
}

/// Whether a path is another, or a key inside it.
fn lies_in(path: &str, of: &str) -> bool {
    path.strip_prefix(of)
        .is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
}

fn audit_by(solution: &Solution<'_>, wanted: impl Fn(Group) -> bool) -> Audit {
    let mut all = Audit::default();
    for rule in RULES.iter().filter(|r| wanted(r.about().group)) {
        let verdict = rule.check(solution);
        all.not_checked.extend(verdict.not_checked);
        for finding in verdict.findings {
            let aside = solution.rig.suppressed.iter().find(|s| {
                s.rule.eq_ignore_ascii_case(finding.id)
                    && s.at.as_ref().is_none_or(|at| lies_in(&finding.at, at))
            });
            match aside {
                Some(s) => all.suppressed.push(Suppressed {
                    finding,
                    reason: s.reason.clone(),
                }),
                None => all.findings.push(finding),
            }
        }
    }
    // stable: the rules give their findings in the order of the rig
    all.findings.sort_by_key(|f| (f.signal, f.id));
    all.suppressed
        .sort_by_key(|s| (s.finding.signal, s.finding.id));
    all
}
