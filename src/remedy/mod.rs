//! The smallest change of one size or setting, or of two together, that clears a finding, confirmed by a full audit.

mod ladder;
mod probe;
pub mod ranges;
mod set;

use crate::audit::{Finding, registry};
use crate::fuel::Library;
use crate::input::Loaded;
use crate::quantity::show::Units;
use crate::report::remedies::{
    Change, Named, Nearest, Remedies, Remedy, Unsolved, Work, cost, cost_of_mass,
};
use crate::train::rig::Date;
use ladder::Rung;
use probe::{Audited, Confirmed, Figures, Moved, Near};
use rayon::prelude::*;
use std::cell::Cell;
use std::sync::atomic::{AtomicUsize, Ordering};

/// How much farther a change of what a duty is for counts than one of the rig: as twice as much.
const TARGET: f64 = std::f64::consts::LN_2;
/// Single changes that a second is sought for.
const MOST_FIRST: usize = 4;

/// What a search works with.
pub struct Search<'a> {
    /// Fuels.
    pub library: &'a Library,
    /// Units of texts.
    pub units: Units,
    /// Day of the calendar.
    pub today: Option<Date>,
    /// Whether somebody wants it to end.
    pub stopped: &'a (dyn Fn() -> bool + Sync),
    /// Is told after each finding.
    pub done: &'a (dyn Fn() + Sync),
}

/// A change that clears a finding, with the changed rig and what as grave it raises.
type Raising = (Rung, Box<(Audited, Vec<Named>)>);

/// What a search for one finding came to.
enum Found {
    Remedy(Box<(Remedy, Audited)>),
    Unsolved(Unsolved),
    Work(Work),
}

/// The smallest change for each finding of a rig whose rule or place is named, or for all; then the set that clears all
/// that is grave.
pub fn remedies(search: &Search<'_>, loaded: Loaded, wanted: &[String]) -> Option<Remedies> {
    let before = search.audited(loaded)?;
    let named =
        |f: &&Finding| wanted.is_empty() || wanted.iter().any(|w| f.id.eq_ignore_ascii_case(w));
    let findings: Vec<&Finding> = before.audit.findings.iter().filter(named).collect();
    let searched = AtomicUsize::new(0);
    let found: Vec<Option<Found>> = findings
        .par_iter()
        .map(|f| {
            let found = (!(search.stopped)()).then(|| search.of(&before, f));
            // what was broken off in the middle is no answer
            let found = found.filter(|_| !(search.stopped)());
            searched.fetch_add(usize::from(found.is_some()), Ordering::Relaxed);
            (search.done)();
            found
        })
        .collect();
    let mut all = Remedies::default();
    for found in found.into_iter().flatten() {
        match found {
            Found::Remedy(remedy) => all.remedies.push(remedy.0),
            Found::Unsolved(unsolved) => all.unsolved.push(unsolved),
            Found::Work(work) => all.work.push(work),
        }
    }
    if wanted.is_empty() {
        set::of(search, &before, &mut all);
    }
    all.stopped_after = (search.stopped)().then(|| searched.into_inner());
    Some(all)
}

/// Text of a rig file with changes made, comments and order kept.
pub fn changed_text(loaded: &Loaded, changes: &[Change]) -> String {
    let values: Vec<(&str, String)> = changes
        .iter()
        .map(|c| (c.key.as_str(), c.value()))
        .collect();
    let values: Vec<(&str, &str)> = values
        .iter()
        .map(|(key, value)| (*key, value.as_str()))
        .collect();
    loaded.with(&values)
}

impl Search<'_> {
    /// The smallest change for one finding of a rig.
    fn of(&self, before: &Audited, f: &Finding) -> Found {
        let finding = Named::from(f);
        let rule = registry::find(f.id).filter(|r| !r.levers.is_empty());
        let base = &before.loaded;
        let ladders =
            rule.map_or_else(Vec::new, |rule| Self::ladders(base, rule.levers, &f.places));
        let (Some(rule), false) = (rule, ladders.is_empty()) else {
            return Found::Work(Work {
                finding,
                advice: f.advice.clone(),
            });
        };
        let tries = Cell::new(0);
        let Some(goal) = self.goal(base, rule, &f.places, &tries) else {
            return Found::Unsolved(Unsolved {
                finding,
                nearest: None,
            });
        };
        let mut best: Option<(Rung, Box<Confirmed>)> = None;
        let size = |rung: &Rung| rung.size + if rung.target { TARGET } else { 0.0 };
        let rank = |rung: &Rung, c: &Confirmed| (c.caused, size(rung));
        let take = |best: &mut Option<(Rung, Box<Confirmed>)>, rung: Rung, c: Box<Confirmed>| {
            let better = best.as_ref().is_none_or(|(r, b)| {
                rank(&rung, &c)
                    .partial_cmp(&rank(r, b))
                    .is_some_and(std::cmp::Ordering::is_lt)
            });
            if better {
                *best = Some((rung, c));
            }
        };
        let (mut raising, mut missed) = (Vec::new(), Vec::new());
        for ladder in &ladders {
            // what is farther than what does already is not tried
            let least = best
                .as_ref()
                .filter(|(_, c)| c.caused == 0)
                .map(|(r, _)| size(r));
            let nearer = |r: &&Rung| least.is_none_or(|least| size(r) < least);
            let ladder: Vec<Rung> = ladder.iter().take_while(nearer).cloned().collect();
            if ladder.is_empty() {
                continue;
            }
            match self.moved(base, &ladder, &goal, &|rung| {
                self.confirm(base, &rung.changes, before, f)
            }) {
                Moved::Found(rung, confirmed) => take(&mut best, rung, confirmed),
                Moved::Raises(rung, raised) => raising.push((rung, raised)),
                Moved::Missed(rung, near) => missed.push((rung, near)),
                Moved::Nothing => {}
            }
        }
        raising.sort_by(|a: &Raising, b| {
            let few = a.1.1.len().cmp(&b.1.1.len());
            few.then(a.0.size.total_cmp(&b.0.size))
        });
        missed.sort_by(|a, b| a.1.off.total_cmp(&b.1.off));
        if best.is_none() {
            self.two(before, f, (&raising, &missed), &tries, &mut |rung, c| {
                take(&mut best, rung, c);
            });
        }
        if let Some((rung, confirmed)) = best {
            let costs = costs(&before.figures, &confirmed.after.figures);
            let changes = rung.changes;
            let Confirmed {
                after,
                clears,
                raises,
                ..
            } = *confirmed;
            let remedy = Remedy {
                finding,
                changes,
                clears,
                raises,
                costs,
                confirmed: true,
            };
            return Found::Remedy(Box::new((remedy, after)));
        }
        let nearest = |rung: &Rung, measured: &str, limit: &str, raises: &[Named]| Nearest {
            changes: rung.changes.clone(),
            measured: measured.to_owned(),
            limit: limit.to_owned(),
            raises: raises.to_vec(),
        };
        let raised = raising
            .first()
            .map(|(rung, raised)| nearest(rung, "", "", &raised.1));
        let missed = missed
            .first()
            .map(|(rung, near)| nearest(rung, &near.measured, &near.limit, &[]));
        Found::Unsolved(Unsolved {
            finding,
            nearest: raised.or(missed),
        })
    }

    /// Two changes together: one that clears the finding and one that clears what it raises; or two that both come nearer.
    fn two(
        &self,
        before: &Audited,
        f: &Finding,
        (raising, missed): (&[Raising], &[(Rung, Near)]),
        tries: &Cell<usize>,
        take: &mut dyn FnMut(Rung, Box<Confirmed>),
    ) {
        let base = &before.loaded;
        let mut firsts: Vec<(&Rung, Loaded, &Finding)> = Vec::new();
        for (first, found) in raising.iter().filter(|r| r.1.1.len() == 1 && !r.0.two) {
            let (after, blocking) = &**found;
            let raised = |g: &&Finding| g.id == blocking[0].id && g.at == blocking[0].at;
            let raised = after.audit.findings.iter().find(raised);
            firsts.extend(raised.map(|g| (first, after.loaded.clone(), g)));
        }
        if raising.is_empty() {
            for (first, _) in missed.iter().filter(|m| !m.0.two).take(2) {
                let changed = self.changed(base, &first.changes);
                firsts.extend(changed.map(|changed| (first, changed, f)));
            }
        }
        for (first, changed, to_clear) in firsts.into_iter().take(MOST_FIRST) {
            let Some(rule) = registry::find(to_clear.id) else {
                continue;
            };
            let Some(goal) = self.goal(&changed, rule, &to_clear.places, tries) else {
                continue;
            };
            for ladder in Self::ladders(&changed, rule.levers, &to_clear.places) {
                if ladder[0].two {
                    continue;
                }
                let confirm = |rung: &Rung| self.confirm(base, &first.and(rung).changes, before, f);
                if let Moved::Found(rung, confirmed) =
                    self.moved(&changed, &ladder, &goal, &confirm)
                {
                    take(first.and(&rung), confirmed);
                }
            }
        }
    }
}

/// What a change moves.
fn costs(before: &Figures, after: &Figures) -> Vec<String> {
    let mut costs: Vec<String> = cost_of_mass(before.mass_kg, after.mass_kg)
        .into_iter()
        .collect();
    let most = |figure: fn(&(String, f64, f64)) -> f64, what: &str| {
        let pairs = before
            .duties
            .iter()
            .filter_map(|b| Some((b, after.duties.iter().find(|a| a.0 == b.0)?)));
        let change = |(b, a): (&(String, f64, f64), &(String, f64, f64))| {
            (figure(b), figure(a), format!("{what} at {}", b.0))
        };
        let moved = pairs
            .map(change)
            .max_by(|x, y| (x.1 / x.0).ln().abs().total_cmp(&(y.1 / y.0).ln().abs()));
        moved.and_then(|(b, a, what)| cost(&what, b, a))
    };
    costs.extend(most(|d| d.1, "fuel"));
    costs.extend(most(|d| d.2, "band of the flow"));
    costs
}
