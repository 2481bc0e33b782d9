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
use ladder::{Rung, ladders};
use probe::{Audited, Confirmed, Goal, Standing};
use rayon::prelude::*;
use std::cell::Cell;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Single changes that a second is sought for.
const MOST_FIRST: usize = 4;
/// Further steps that are tried where the smallest that clears the finding raises another.
const FARTHER: [usize; 4] = [0, 1, 2, 5];

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
    let one = |f: &&Finding| {
        let found = (!(search.stopped)()).then(|| search.of(&before, f));
        // what was broken off in the middle is no answer
        let found = found.filter(|_| !(search.stopped)());
        searched.fetch_add(usize::from(found.is_some()), Ordering::Relaxed);
        (search.done)();
        found
    };
    let found: Vec<Option<Found>> = findings.par_iter().map(one).collect();
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
    let values: Vec<String> = changes.iter().map(Change::value).collect();
    let keys = changes.iter().map(|c| c.key.as_str());
    let all: Vec<(&str, &str)> = keys.zip(values.iter().map(String::as_str)).collect();
    loaded.with(&all)
}

/// What moving levers came to.
#[derive(Default)]
struct Came {
    /// The smallest change that clears the finding and raises nothing as grave.
    best: Option<(Rung, Confirmed)>,
    /// Changes that clear it and raise others as grave.
    raising: Vec<(Rung, Confirmed)>,
    /// Steps that came nearer, with what then stands.
    missed: Vec<(Rung, Standing)>,
}

impl Came {
    fn take(&mut self, rung: Rung, found: Confirmed) {
        let better = self
            .best
            .as_ref()
            .is_none_or(|(r, best)| (found.caused, rung.size()) < (best.caused, r.size()));
        if better {
            self.best = Some((rung, found));
        }
    }

    /// The steps of a ladder that are smaller than what does already.
    fn nearer<'l>(&self, ladder: &'l [Rung]) -> &'l [Rung] {
        let best = self.best.as_ref().filter(|(_, best)| best.caused == 0);
        let nearer = |r: &&Rung| best.is_none_or(|(best, _)| r.size() < best.size());
        &ladder[..ladder.iter().take_while(nearer).count()]
    }

    fn told(self, before: &Audited, finding: Named) -> Found {
        if let Some((rung, found)) = self.best {
            let remedy = Remedy {
                finding,
                changes: rung.changes,
                clears: found.clears,
                raises: found.raises,
                costs: costs(before, &found.after),
            };
            return Found::Remedy(Box::new((remedy, found.after)));
        }
        let raised = self
            .raising
            .into_iter()
            .next()
            .map(|(rung, found)| Nearest {
                changes: rung.changes,
                raises: found.blocking,
                ..Nearest::default()
            });
        let missed = self
            .missed
            .into_iter()
            .next()
            .map(|(rung, stands)| Nearest {
                changes: rung.changes,
                measured: stands.measured,
                limit: stands.limit,
                raises: Vec::new(),
            });
        Found::Unsolved(Unsolved {
            finding,
            nearest: raised.or(missed),
        })
    }
}

impl Search<'_> {
    /// The smallest change for one finding of a rig.
    fn of(&self, before: &Audited, f: &Finding) -> Found {
        let (base, finding) = (&before.loaded, Named::from(f));
        let rule = registry::find(f.id);
        let ladders = rule.map_or_else(Vec::new, |r| ladders(base, r.levers, &f.places));
        let (Some(rule), false) = (rule, ladders.is_empty()) else {
            return Found::Work(Work {
                finding,
                advice: f.advice.clone(),
            });
        };
        let (tries, mut came) = (Cell::new(0), Came::default());
        if let Some(goal) = self.goal(base, rule, &f.places, &tries) {
            for ladder in &ladders {
                self.moved((before, f), (base, ladder), &goal, None, &mut came);
            }
            came.raising.sort_by(|a, b| {
                let few = a.1.blocking.len().cmp(&b.1.blocking.len());
                few.then(a.0.size.total_cmp(&b.0.size))
            });
            came.missed.sort_by(|a, b| a.1.far().total_cmp(&b.1.far()));
            if came.best.is_none() {
                came.best = self.two((before, f), &came, &tries);
            }
        }
        came.told(before, finding)
    }

    /// Moves one lever of a rig, from changes that may have been made first; the finding and what must not be raised are
    /// those of the rig before.
    fn moved(
        &self,
        (before, f): (&Audited, &Finding),
        (base, ladder): (&Loaded, &[Rung]),
        goal: &Goal<'_>,
        first: Option<&Rung>,
        came: &mut Came,
    ) {
        let ladder = came.nearer(ladder);
        let place = match self.first_clear(base, ladder, goal) {
            Ok(place) => place,
            Err(near) => {
                let near = near.map(|(place, stands)| (ladder[place].clone(), stands));
                return came.missed.extend(near);
            }
        };
        let mut raising = None;
        for rung in FARTHER.iter().filter_map(|i| ladder.get(place + i)) {
            let rung = first.map_or_else(|| rung.clone(), |first| first.and(rung));
            let Some(found) = self.confirm(&rung.changes, before, f) else {
                continue;
            };
            if found.blocking.is_empty() {
                return came.take(rung, found);
            }
            raising = raising.or(Some((rung, found)));
        }
        came.raising.extend(raising);
    }

    /// Two changes together: one that clears the finding and one that clears what it raises; or two that both come nearer.
    fn two(
        &self,
        (before, f): (&Audited, &Finding),
        came: &Came,
        tries: &Cell<usize>,
    ) -> Option<(Rung, Confirmed)> {
        let mut firsts: Vec<(&Rung, Loaded, &Finding)> = Vec::new();
        let alone = came
            .raising
            .iter()
            .filter(|(r, c)| c.blocking.len() == 1 && !r.two);
        for (first, found) in alone {
            let raised = |g: &&Finding| Named::from(*g) == found.blocking[0];
            let raised = found.after.audit.findings.iter().find(raised);
            firsts.extend(raised.map(|g| (first, found.after.loaded.clone(), g)));
        }
        if came.raising.is_empty() {
            for (first, _) in came.missed.iter().filter(|m| !m.0.two).take(2) {
                let changed = self.changed(&before.loaded, &first.changes);
                firsts.extend(changed.map(|changed| (first, changed, f)));
            }
        }
        let mut second = Came::default();
        for (first, changed, to_clear) in firsts.into_iter().take(MOST_FIRST) {
            let rule = registry::find(to_clear.id);
            let goal = rule.and_then(|r| self.goal(&changed, r, &to_clear.places, tries));
            let Some(goal) = goal else { continue };
            let ladders = ladders(&changed, goal.rule.levers, &to_clear.places);
            for ladder in ladders.iter().filter(|ladder| !ladder[0].two) {
                self.moved(
                    (before, f),
                    (&changed, ladder),
                    &goal,
                    Some(first),
                    &mut second,
                );
            }
        }
        second.best
    }
}

/// What a change moves.
fn costs(before: &Audited, after: &Audited) -> Vec<String> {
    let mut costs: Vec<String> = Vec::new();
    costs.extend(cost_of_mass(before.mass_kg, after.mass_kg));
    for (figure, what) in [(0, "fuel"), (1, "band of the flow")] {
        let change = |(name, was): &(String, [f64; 2])| {
            let now = after.duties.iter().find(|d| d.0 == *name)?.1;
            Some((was[figure], now[figure], format!("{what} at {name}")))
        };
        let changes = before.duties.iter().filter_map(change);
        let far = |c: &(f64, f64, String)| (c.1 / c.0).ln().abs();
        let most = changes.max_by(|a, b| far(a).total_cmp(&far(b)));
        costs.extend(most.and_then(|(was, now, what)| cost(&what, was, now)));
    }
    costs
}
