//! What a changed rig gives: as much of it solved as one rule asks for, until a step clears its finding; then all of it.

use super::ladder::{Rung, rungs, side_by_side};
use super::{Search, changed_text};
use crate::audit::solution::solve;
use crate::audit::usual::Usual;
use crate::audit::{Audit, Finding, Lever, Limit, Rule, Signal, audit};
use crate::input::{Loaded, parse};
use crate::quantity::AbsolutePressure;
use crate::quantity::parse::number_and_unit;
use crate::report::remedies::{Change, Named};
use crate::train::plan::INJECTOR;
use std::cell::Cell;

/// First step that is tried: where it moves nothing, the last is, and then the lever is left alone.
const FIRST: usize = 3;
/// Further steps that are tried where the smallest that clears the finding raises another.
const FARTHER: [usize; 4] = [0, 1, 2, 5];
/// Rigs that are tried for one finding.
const MOST_TRIES: usize = 90;
/// A figure that moves less than this has not moved.
const STILL: f64 = 1e-6;

/// A rig with what an audit says of it.
pub(super) struct Audited {
    pub(super) loaded: Loaded,
    pub(super) audit: Audit,
    pub(super) figures: Figures,
}

/// What a change may cost.
pub(super) struct Figures {
    pub(super) mass_kg: f64,
    /// Duty with the fuel that it gets, half the width of its band, and the draw of all of the supply.
    pub(super) duties: Vec<(String, f64, f64)>,
}

/// What a change is to clear.
pub(super) struct Goal<'a> {
    pub(super) rule: &'static Rule,
    pub(super) places: &'a [String],
    /// How many things the rule could not check before.
    pub(super) unchecked: usize,
    /// How far off it is; `None` where words are measured.
    pub(super) off: Option<Off>,
    /// What is measured, in words.
    pub(super) measured: String,
    /// Rigs tried so far for the finding.
    pub(super) tries: &'a Cell<usize>,
}

/// What a changed rig gives.
pub(super) enum Tried {
    /// The finding is gone.
    Clear,
    /// It is there, so far off, as measured and limit.
    There(Option<Off>, String, String),
    /// The rig is refused, or the rule cannot tell any more.
    Refused,
}

/// The step of a lever that came nearest.
pub(super) struct Near {
    pub(super) rung: usize,
    pub(super) off: f64,
    pub(super) measured: String,
    pub(super) limit: String,
}

/// What moving one lever came to.
pub(super) enum Moved {
    Found(Rung, Box<Confirmed>),
    /// It clears the finding and raises others as grave.
    Raises(Rung, Box<(Audited, Vec<Named>)>),
    Missed(Rung, Near),
    Nothing,
}

/// What keeps a change from being a remedy: the changed rig and what as grave it raises; `None` where the finding stays or
/// a rule can no longer tell.
pub(super) type Blocked = Option<Box<(Audited, Vec<Named>)>>;

/// A change that a full audit agrees with.
pub(super) struct Confirmed {
    pub(super) after: Audited,
    pub(super) clears: Vec<Named>,
    pub(super) raises: Vec<Named>,
    /// How many of these no rule was blind to before.
    pub(super) caused: usize,
}

/// How far off a finding is.
#[derive(Debug, Clone, Copy)]
pub(super) struct Off {
    /// Logarithm of figure over limit, or of limit over figure, which falls as it gets better. Below nought where a rule
    /// wants a margin.
    pub(super) far: f64,
    /// Whether the figure is too high.
    pub(super) over: bool,
}

fn off(f: &Finding, air: AbsolutePressure) -> Option<Off> {
    let (measured, _) = f.measured.si(air)?;
    let (limit, _) = f.limit.figure()?.si(air)?;
    let ratio = (measured / limit).ln();
    let (far, over) = match f.limit {
        Limit::AtMost(_) => (ratio, true),
        Limit::AtLeast(_) => (-ratio, false),
        Limit::Figure(_) | Limit::Should(_) => (ratio.abs(), ratio > 0.0),
    };
    far.is_finite().then_some(Off { far, over })
}

/// The worst of what a rule finds at some places.
fn worst<'f>(
    found: &'f [Finding],
    places: &[String],
    air: AbsolutePressure,
) -> Option<&'f Finding> {
    let there = found
        .iter()
        .filter(|f| f.places.iter().any(|at| places.contains(at)));
    let far = |f: &&Finding| off(f, air).map_or(f64::INFINITY, |o| o.far);
    there.max_by(|a, b| far(a).total_cmp(&far(b)))
}

/// Findings of one audit that another has not, or more mildly, or elsewhere.
pub(super) fn new_in<'a>(after: &'a Audit, before: &Audit) -> impl Iterator<Item = &'a Finding> {
    after.findings.iter().filter(move |f| {
        let known = |at: &String| {
            before
                .findings
                .iter()
                .any(|g| g.id == f.id && g.signal <= f.signal && g.places.contains(at))
        };
        !f.places.iter().all(known)
    })
}

impl Search<'_> {
    pub(super) fn changed(&self, base: &Loaded, changes: &[Change]) -> Option<Loaded> {
        let mut loaded = parse(&base.path, &changed_text(base, changes), self.library).ok()?;
        loaded.rig.today = self.today;
        Some(loaded)
    }

    pub(super) fn audited(&self, loaded: Loaded) -> Option<Audited> {
        let solution = solve(&loaded.rig, self.library, self.units).ok()?;
        let audit = audit(&solution);
        let injector = solution.injector.as_ref().ok();
        let train = solution.train().as_ref().ok();
        let duties = solution.duties.iter().filter_map(|d| {
            let planned = injector?
                .duties
                .iter()
                .find(|p| p.name == d.name)?
                .injection
                .as_ref()
                .ok()?;
            let solved = train.and_then(|t| t.duties.iter().find(|t| t.name == d.name));
            let fed =
                solved.and_then(|t| Some(t.solution.as_ref().ok()?.outlet(INJECTOR)?.flow.value));
            let need = d.demand.as_ref().ok()?.fuel.value;
            let band = (planned.flow_high.value - planned.flow_low.value) / 2.0 / need;
            Some((d.name.clone(), fed.unwrap_or(need), band))
        });
        let figures = Figures {
            mass_kg: solution.inventory().whole().value,
            duties: duties.collect(),
        };
        drop(solution);
        Some(Audited {
            loaded,
            audit,
            figures,
        })
    }

    /// Solves as much of a changed rig as the rule asks for.
    pub(super) fn tried(&self, base: &Loaded, changes: &[Change], goal: &Goal<'_>) -> Tried {
        goal.tries.set(goal.tries.get() + 1);
        let changed = (goal.tries.get() <= MOST_TRIES).then(|| self.changed(base, changes));
        let Some(loaded) = changed.flatten() else {
            return Tried::Refused;
        };
        let unusual = |c: &Change| {
            let given = loaded.rig.given.iter().find(|g| g.path == c.key);
            given.is_some_and(|g| {
                let usual = Usual::of(g);
                usual.is_some_and(|u| g.values.iter().any(|x| u.is_outside(*x)))
            })
        };
        if changes.iter().any(unusual) {
            return Tried::Refused;
        }
        let Ok(solution) = solve(&loaded.rig, self.library, self.units) else {
            return Tried::Refused;
        };
        let verdict = goal.rule.check(&solution);
        if verdict.not_checked.len() > goal.unchecked {
            return Tried::Refused;
        }
        let air = loaded.rig.site.air_pressure;
        match worst(&verdict.findings, goal.places, air) {
            None => Tried::Clear,
            Some(f) => Tried::There(
                off(f, air),
                f.measured.show(self.units),
                f.limit.show(self.units),
            ),
        }
    }

    /// Whether a step clears the finding, at its figure and back towards what was there by its band.
    pub(super) fn step(&self, base: &Loaded, rung: &Rung, goal: &Goal<'_>) -> Tried {
        match (self.tried(base, &rung.changes, goal), &rung.back) {
            (Tried::Clear, Some(back)) => self.tried(base, back, goal),
            (tried, _) => tried,
        }
    }

    /// The first step that clears the finding; else the nearest.
    fn first_clear(
        &self,
        base: &Loaded,
        ladder: &[Rung],
        goal: &Goal<'_>,
    ) -> Result<usize, Option<Near>> {
        let last = ladder.len() - 1;
        let mut nearest: Option<Near> = None;
        // steps below `low` do not clear it; `high` does, or lies beyond
        let (mut low, mut high, mut clear) = (0, None, None);
        let (mut next, mut jumped) = (FIRST.min(last), false);
        // nothing may be refused where what it begins with is not
        let mut valid = number_and_unit(&ladder[0].changes[0].from).is_none_or(|(x, _)| x != 0.0);
        while !(self.stopped)() {
            let mut still = false;
            match self.step(base, &ladder[next], goal) {
                Tried::Clear => (clear, high) = (Some(next), Some(next)),
                Tried::There(now, measured, limit) => {
                    valid = true;
                    let unmoved = measured == goal.measured;
                    let was = goal.off;
                    let far = now.map_or(f64::INFINITY, |o| o.far);
                    let nearer = was.is_none_or(|was| far < was.far - STILL);
                    if nearer && nearest.as_ref().is_none_or(|n| far < n.off) {
                        nearest = Some(Near {
                            rung: next,
                            off: far,
                            measured,
                            limit,
                        });
                    }
                    match now.zip(was) {
                        Some((now, was)) if now.over != was.over => high = Some(next),
                        Some((now, was)) => {
                            if high.is_none() && now.far > was.far + STILL {
                                return Err(None);
                            }
                            still = (now.far - was.far).abs() <= STILL;
                            low = next + 1;
                        }
                        None => {
                            still = unmoved;
                            low = next + 1;
                        }
                    }
                }
                Tried::Refused if valid && !jumped => high = Some(next),
                Tried::Refused => low = next + 1,
            }
            next = match high {
                Some(high) if low >= high => break,
                Some(high) => low.midpoint(high),
                None if next == last => return Err(nearest),
                // what does not move at the first step may move at the last
                None if still => {
                    jumped = true;
                    last
                }
                None => (2 * next + 1).min(last),
            };
        }
        clear.ok_or(nearest)
    }

    /// Audits a changed rig whole.
    pub(super) fn confirm(
        &self,
        base: &Loaded,
        changes: &[Change],
        before: &Audited,
        f: &Finding,
    ) -> Result<Confirmed, Blocked> {
        let after = self
            .changed(base, changes)
            .and_then(|l| self.audited(l))
            .ok_or(None)?;
        let there = |f: &Finding| {
            after
                .audit
                .findings
                .iter()
                .any(|g| g.id == f.id && g.places.iter().any(|at| f.places.contains(at)))
        };
        let silent = after
            .audit
            .not_checked
            .iter()
            .any(|n| before.audit.not_checked.iter().all(|m| m.id != n.id));
        if there(f) || silent || after.audit.missing.len() > before.audit.missing.len() {
            return Err(None);
        }
        let raised: Vec<Named> = new_in(&after.audit, &before.audit)
            .map(Named::from)
            .collect();
        // what its rule could not check before is not raised by the change; what is grave is refused all the same
        let unseen = |id: &str| before.audit.not_checked.iter().any(|n| n.id == id);
        let blocks =
            |r: &&Named| r.signal <= Signal::Warning || r.signal <= f.signal && !unseen(&r.id);
        let caused = raised.iter().filter(|r| !unseen(&r.id)).count();
        let blocking: Vec<Named> = raised.iter().filter(blocks).cloned().collect();
        if !blocking.is_empty() {
            return Err(Some(Box::new((after, blocking))));
        }
        let gone = before
            .audit
            .findings
            .iter()
            .filter(|g| g.id != f.id && !there(g));
        let clears = gone.map(Named::from).collect();
        Ok(Confirmed {
            after,
            clears,
            raises: raised,
            caused,
        })
    }

    /// Moves one lever from a rig that has changes already; the finding and what must not be raised are those of `before`.
    pub(super) fn moved(
        &self,
        base: &Loaded,
        ladder: &[Rung],
        goal: &Goal<'_>,
        confirm: &dyn Fn(&Rung) -> Result<Confirmed, Blocked>,
    ) -> Moved {
        let first = match self.first_clear(base, ladder, goal) {
            Ok(first) => first,
            Err(Some(near)) => return Moved::Missed(ladder[near.rung].clone(), near),
            Err(None) => return Moved::Nothing,
        };
        let mut raises = None;
        for rung in FARTHER.iter().filter_map(|i| ladder.get(first + i)) {
            match confirm(rung) {
                Ok(confirmed) => return Moved::Found(rung.clone(), Box::new(confirmed)),
                Err(Some(raised)) if raises.is_none() => raises = Some((rung, raised)),
                Err(_) => {}
            }
        }
        raises.map_or(Moved::Nothing, |(rung, raised)| {
            Moved::Raises(rung.clone(), raised)
        })
    }

    pub(super) fn goal<'f>(
        &self,
        loaded: &Loaded,
        rule: &'static Rule,
        places: &'f [String],
        tries: &'f Cell<usize>,
    ) -> Option<Goal<'f>> {
        let solution = solve(&loaded.rig, self.library, self.units).ok()?;
        let verdict = rule.check(&solution);
        let air = loaded.rig.site.air_pressure;
        let worst = worst(&verdict.findings, places, air);
        let off = worst.and_then(|f| off(f, air));
        let measured = worst.map_or_else(String::new, |f| f.measured.show(self.units));
        let unchecked = verdict.not_checked.len();
        Some(Goal {
            rule,
            places,
            unchecked,
            off,
            measured,
            tries,
        })
    }

    /// The steps of every key that a lever stands for, each way; and of two keys together where it stands for two.
    pub(super) fn ladders(loaded: &Loaded, levers: &[Lever], places: &[String]) -> Vec<Vec<Rung>> {
        let mut all = Vec::new();
        for lever in levers {
            let keys = lever.keys(&loaded.rig, places);
            for upward in lever.way.upward() {
                let ladders: Vec<Vec<Rung>> = keys
                    .iter()
                    .map(|given| rungs(loaded, given, *upward))
                    .collect();
                if let [a, b] = &ladders[..] {
                    all.push(side_by_side(a, b));
                }
                all.extend(ladders);
            }
        }
        all.retain(|ladder| !ladder.is_empty());
        all
    }
}
