//! Smallest changes that clear findings, work that no figure stands for, and how near the rest came.

use super::Report;
use super::record::{Row, record, table_of};
use crate::audit::{Finding, Signal};
use crate::quantity::show::{percent, signed};

/// Heading of the changes.
pub const REMEDIES: &str = "Smallest change for each finding";
/// Heading of what a person has to do.
pub const WORK: &str = "Work to do, which no figure stands for";
/// Heading of what nothing clears.
pub const UNSOLVED: &str = "No change clears these";
/// Heading of the set.
pub const SET: &str = "All DANGER and WARNING that figures can clear, in this order";
/// Heading of what the set leaves.
pub const LEFT: &str = "What that leaves";

record! {
    /// Smallest changes that clear findings.
    Answer(r: &Remedies) {
        remedies: Rows(OneRemedy) = r.remedies.iter().enumerate().map(|(i, x)| OneRemedy::row(i + 1, x)).collect::<Vec<_>>();
        unsolved: Rows(OneUnsolved) = r.unsolved.iter().map(OneUnsolved::row).collect::<Vec<_>>();
        work: Rows(OneWork) = r.work.iter().map(OneWork::row).collect::<Vec<_>>();
        /// Changes that together clear every DANGER and WARNING that sizes and settings can clear, in the order of the work.
        set: Rows(OneChange) = steps(&r.set);
        /// DANGER and WARNING that are found with the whole set made.
        left: Rows(OneNamed) = r.left.iter().map(OneNamed::row).collect::<Vec<_>>();
        /// Findings that were searched, if the search was stopped before its end.
        stopped_after: Count = r.stopped_after;
    }

    /// A change of one key, or of two together, that clears a finding.
    OneRemedy(n: usize, r: &Remedy) {
        /// Number for --apply.
        number: Count = n, "N";
        /// Id of the rule.
        id: Text = &r.finding.id;
        (named): Text = r.finding.told(), "finding";
        /// Part or key of the rig file.
        at: Text = &r.finding.at, "at" [optional];
        signal: Text = r.finding.signal.word(), "signal word";
        (change): Text = told(&r.changes), "change";
        changes: Rows(OneChange) = steps(&r.changes);
        /// Ids of the rules whose findings it clears too.
        clears: Texts = ids(&r.clears);
        (clears_too): Text = some(&ids(&r.clears)), "clears too";
        /// Ids of the rules that find something milder with it.
        raises: Texts = ids(&r.raises);
        (raises_mild): Text = some(&ids(&r.raises)), "raises";
        /// What it moves: mass, fuel flow, band, draw.
        costs: Texts = r.costs.clone();
        (cost): Text = some(&r.costs), "costs";
        /// Whether a full audit of the changed rig agrees.
        confirmed: Flag = true;
    }

    /// A key that changes.
    OneChange(n: usize, c: &Change) {
        (step): Count = n, "step";
        /// Key of the rig file.
        key: Text = &c.key, "key";
        /// What is written.
        from: Text = &c.from, "from";
        /// What to write.
        to: Text = &c.to, "to";
    }

    /// A finding that no change of two keys clears.
    OneUnsolved(u: &Unsolved) {
        ..finding: Row(OneNamed) = OneNamed::row(&u.finding);
        nearest: Row(OneNearest) = u.nearest.as_ref().map(OneNearest::row);
        (came): Text = u.nearest.as_ref().map_or_else(|| "nothing tried moves it".to_owned(), Nearest::told), "nearest";
    }

    /// What came nearest.
    OneNearest(n: &Nearest) {
        changes: Rows(OneChange) = steps(&n.changes);
        /// What is measured with it.
        measured: Text = &n.measured;
        /// Limit.
        limit: Text = &n.limit;
        /// Ids of the rules that find something as grave with it.
        raises: Texts = ids(&n.raises);
    }

    /// A finding that is mended by hand: hardware, papers, answers.
    OneWork(w: &Work) {
        /// Id of the rule.
        id: Text = &w.finding.id;
        (named): Text = w.finding.told(), "finding";
        /// Part or key of the rig file.
        at: Text = &w.finding.at, "at" [optional];
        signal: Text = w.finding.signal.word(), "signal word";
        /// What to do.
        advice: Text = &w.advice, "work";
    }

    /// A finding by its rule and place.
    OneNamed(n: &Named) {
        /// Id of the rule.
        id: Text = &n.id;
        (named): Text = n.told(), "finding";
        /// Part or key of the rig file.
        at: Text = &n.at, "at";
        signal: Text = n.signal.word(), "signal word";
    }
}

/// A key with what is written and what to write, as it stands between the quotes.
#[derive(Debug, Clone, PartialEq)]
pub struct Change {
    /// Path of the key.
    pub key: String,
    /// What is written.
    pub from: String,
    /// What to write.
    pub to: String,
    /// Whether it stands in quotes.
    pub quoted: bool,
}

impl Change {
    /// The new value as TOML.
    pub fn value(&self) -> String {
        if self.quoted {
            format!("\"{}\"", self.to)
        } else {
            self.to.clone()
        }
    }
}

/// A finding by its rule and place.
#[derive(Debug, Clone, PartialEq)]
pub struct Named {
    /// Id.
    pub id: String,
    /// Place.
    pub at: String,
    /// Signal word.
    pub signal: Signal,
}

impl Named {
    fn told(&self) -> String {
        format!("{} {}", self.signal.word(), self.id)
    }
}

impl From<&Finding> for Named {
    fn from(f: &Finding) -> Self {
        Self {
            id: f.id.to_owned(),
            at: f.at.clone(),
            signal: f.signal,
        }
    }
}

/// A change that clears a finding.
#[derive(Debug, Clone, PartialEq)]
pub struct Remedy {
    /// The finding.
    pub finding: Named,
    /// What changes.
    pub changes: Vec<Change>,
    /// What it clears besides.
    pub clears: Vec<Named>,
    /// What it raises, all milder.
    pub raises: Vec<Named>,
    /// What it moves, in words.
    pub costs: Vec<String>,
}

/// What came nearest to clearing a finding.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Nearest {
    /// What changes.
    pub changes: Vec<Change>,
    /// What is measured then.
    pub measured: String,
    /// Against what.
    pub limit: String,
    /// What as grave it raises.
    pub raises: Vec<Named>,
}

impl Nearest {
    fn told(&self) -> String {
        let (change, raises) = (told(&self.changes), ids(&self.raises).join(" "));
        if raises.is_empty() {
            return format!("{change} gives {}, limit {}", self.measured, self.limit);
        }
        format!("{change} clears it and raises {raises}")
    }
}

/// A finding that nothing clears.
#[derive(Debug, Clone, PartialEq)]
pub struct Unsolved {
    /// The finding.
    pub finding: Named,
    /// How near something came; `None` where none of its levers stands in the file.
    pub nearest: Option<Nearest>,
}

/// A finding that is mended by hand.
#[derive(Debug, Clone, PartialEq)]
pub struct Work {
    /// The finding.
    pub finding: Named,
    /// What to do.
    pub advice: String,
}

/// What was found for a rig.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Remedies {
    /// Changes that clear a finding, in the order of the audit.
    pub remedies: Vec<Remedy>,
    /// Findings that nothing clears.
    pub unsolved: Vec<Unsolved>,
    /// Findings that are mended by hand.
    pub work: Vec<Work>,
    /// Changes that together clear all that is grave, in the order of the work.
    pub set: Vec<Change>,
    /// What grave they leave.
    pub left: Vec<Named>,
    /// Findings that were searched before it was stopped.
    pub stopped_after: Option<usize>,
}

impl Remedies {
    /// What a finding's remedy is, in a sentence.
    pub fn sentence(&self, id: &str, at: &str) -> Option<String> {
        let of = |n: &Named| n.id == id && n.at == at;
        if let Some(r) = self.remedies.iter().find(|r| of(&r.finding)) {
            let also = match ids(&r.clears).join(" ") {
                none if none.is_empty() => none,
                ids => format!(", which clears {ids} too"),
            };
            return Some(format!("Change {}{also}.", told(&r.changes)));
        }
        let u = self.unsolved.iter().find(|u| of(&u.finding))?;
        Some(match &u.nearest {
            Some(n) => format!("No change of two keys clears it; {}.", n.told()),
            None => "No size or setting of the file clears it.".to_owned(),
        })
    }
}

fn told(changes: &[Change]) -> String {
    let change = |c: &Change| format!("`{}` from {} to {}", c.key, c.from, c.to);
    changes.iter().map(change).collect::<Vec<_>>().join(" and ")
}

fn steps(changes: &[Change]) -> Vec<Row> {
    let rows = changes.iter().enumerate();
    rows.map(|(i, c)| OneChange::row(i + 1, c)).collect()
}

fn ids(named: &[Named]) -> Vec<String> {
    let mut ids: Vec<String> = named.iter().map(|n| n.id.clone()).collect();
    ids.dedup();
    ids
}

fn some(words: &[String]) -> Option<String> {
    (!words.is_empty()).then(|| words.join("; "))
}

/// A change of a figure in words, where it is worth a word.
pub fn cost(what: &str, before: f64, after: f64) -> Option<String> {
    let change = after / before - 1.0;
    (change.is_finite() && change.abs() >= 0.01).then(|| {
        let sign = if change > 0.0 { "+" } else { "-" };
        format!("{what} {sign}{}", percent(change.abs()))
    })
}

/// A change of mass in words.
pub fn cost_of_mass(before_kg: f64, after_kg: f64) -> Option<String> {
    let change = after_kg - before_kg;
    (change.abs() >= 0.01).then(|| format!("mass {} kg", signed(change)))
}

/// Puts what was found beneath the findings of a report.
pub fn beneath(report: &mut Report, found: &Remedies) {
    for f in report.findings.iter_mut().flatten() {
        f.data.remedy = found.sentence(&f.id, &f.at);
    }
    report.keys(&Answer::row(found));
}

/// Adds what was found.
pub fn remedies(report: &mut Report, found: &Remedies) {
    let answer = Answer::row(found);
    let table = |key: &str, columns: &[&str]| table_of(answer.rows(key), columns);
    let columns = [
        "number",
        "named",
        "at",
        "change",
        "clears_too",
        "raises_mild",
        "cost",
    ];
    report.table(REMEDIES, table("remedies", &columns));
    report.table(SET, table("set", &["step", "key", "from", "to"]));
    report.table(LEFT, table("left", &["named", "at"]));
    report.table(UNSOLVED, table("unsolved", &["named", "at", "came"]));
    report.table(WORK, table("work", &["named", "at", "advice"]));
    if found.stopped_after.is_some() {
        report
            .remark("The search was stopped: a finding without remedy may not have been searched.");
    }
    report.remark("Every change was made in a copy of the rig file and the whole audited again. Confirm each on the rig: a figure in a file changes no part.");
    report.keys(&answer);
}
