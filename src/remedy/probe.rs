//! What a changed rig gives: as much of it solved as one rule asks for, until a step clears its finding; then all of it.

use super::ladder::Rung;
use super::{Search, changed_text};
use crate::audit::solution::{Solution, solve};
use crate::audit::usual::Usual;
use crate::audit::{Audit, Finding, Limit, Rule, Signal, audit};
use crate::input::{Loaded, parse};
use crate::quantity::AbsolutePressure;
use crate::quantity::parse::number_and_unit;
use crate::report::remedies::{Change, Named};
use crate::train::plan::INJECTOR;
use std::cell::Cell;

/// First step that is tried: where it moves nothing, the last is, and then the lever is left alone.
const FIRST: usize = 3;
/// Rigs that are tried for one finding.
const MOST_TRIES: usize = 90;
/// A figure that moves less than this has not moved.
const STILL: f64 = 1e-6;

/// A rig with what an audit says of it, and what a change of it may cost.
pub(super) struct Audited {
    pub(super) loaded: Loaded,
    pub(super) audit: Audit,
    pub(super) mass_kg: f64,
    /// Duties, each with the fuel that it gets, kg/s, and half the width of its band over that.
    pub(super) duties: Vec<(String, [f64; 2])>,
}

/// The worst of what a rule finds at some places.
pub(super) struct Standing {
    /// Logarithm of figure over limit, or of limit over figure, which falls as it gets better, below nought where a rule
    /// wants a margin; and whether the figure is too high. `None` where words are measured.
    off: Option<(f64, bool)>,
    pub(super) measured: String,
    pub(super) limit: String,
}

impl Standing {
    /// How far off it is.
    pub(super) fn far(&self) -> f64 {
        self.off.map_or(f64::INFINITY, |off| off.0)
    }
}

/// What a change is to clear.
pub(super) struct Goal<'a> {
    pub(super) rule: &'static Rule,
    places: &'a [String],
    /// How many things the rule could not check before.
    unchecked: usize,
    was: Option<Standing>,
    /// Rigs tried so far for the finding.
    tries: &'a Cell<usize>,
}

/// A change that a full audit agrees with.
pub(super) struct Confirmed {
    pub(super) after: Audited,
    pub(super) clears: Vec<Named>,
    pub(super) raises: Vec<Named>,
    /// Of what it raises: as grave as the finding, or graver. There is none of a remedy.
    pub(super) blocking: Vec<Named>,
    /// How many of what it raises no rule was blind to before.
    pub(super) caused: usize,
}

fn off(f: &Finding, air: AbsolutePressure) -> Option<(f64, bool)> {
    let (measured, _) = f.measured.si(air)?;
    let (limit, _) = f.limit.figure()?.si(air)?;
    let ratio = (measured / limit).ln();
    let (far, over) = match f.limit {
        Limit::AtMost(_) => (ratio, true),
        Limit::AtLeast(_) => (-ratio, false),
        Limit::Figure(_) | Limit::Should(_) => (ratio.abs(), ratio > 0.0),
    };
    far.is_finite().then_some((far, over))
}

/// Whether a finding stands at one of these places.
fn is_at(f: &Finding, places: &[String]) -> bool {
    f.places.iter().any(|at| places.contains(at))
}

/// Findings of one audit that another has not, or more mildly, or elsewhere.
pub(super) fn new_in<'a>(after: &'a Audit, before: &Audit) -> impl Iterator<Item = &'a Finding> {
    after.findings.iter().filter(move |f| {
        let same = |g: &&Finding| g.id == f.id && g.signal <= f.signal;
        let known = |at: &String| {
            before
                .findings
                .iter()
                .filter(same)
                .any(|g| g.places.contains(at))
        };
        !f.places.iter().all(known)
    })
}

/// Whether something must not be raised, whatever it is raised by.
pub(super) fn is_grave(f: &Finding) -> bool {
    f.signal <= Signal::Warning
}

impl Search<'_> {
    /// A rig with changes made; `None` where it is refused or a value is none of the trade.
    pub(super) fn changed(&self, base: &Loaded, changes: &[Change]) -> Option<Loaded> {
        let mut loaded = parse(&base.path, &changed_text(base, changes), self.library).ok()?;
        loaded.rig.today = self.today;
        let unusual = |c: &Change| {
            let given = loaded.rig.given.iter().find(|g| g.path == c.key);
            let usual = given.and_then(|g| Some((Usual::of(g)?, &g.values)));
            usual.is_some_and(|(usual, values)| values.iter().any(|x| usual.is_outside(*x)))
        };
        (!changes.iter().any(unusual)).then_some(loaded)
    }

    fn solved<'l>(&self, loaded: &'l Loaded) -> Option<Solution<'l>> {
        solve(&loaded.rig, self.library, self.units).ok()
    }

    pub(super) fn audited(&self, loaded: Loaded) -> Option<Audited> {
        let solution = self.solved(&loaded)?;
        let audit = audit(&solution);
        let injector = solution.injector.as_ref().ok();
        let train = solution.train().as_ref().ok();
        let duties = solution.duties.iter().filter_map(|d| {
            let planned = injector?.duties.iter().find(|p| p.name == d.name)?;
            let planned = planned.injection.as_ref().ok()?;
            let solved = train.and_then(|t| t.duties.iter().find(|t| t.name == d.name));
            let outlet = solved.and_then(|t| t.solution.as_ref().ok()?.outlet(INJECTOR));
            let need = d.demand.as_ref().ok()?.fuel.value;
            let band = (planned.flow_high.value - planned.flow_low.value) / 2.0 / need;
            Some((
                d.name.clone(),
                [outlet.map_or(need, |o| o.flow.value), band],
            ))
        });
        let (duties, mass_kg) = (duties.collect(), solution.inventory().whole().value);
        drop(solution);
        Some(Audited {
            loaded,
            audit,
            mass_kg,
            duties,
        })
    }

    /// What a rule finds of a rig at some places, and how many things it could not check.
    fn standing(
        &self,
        loaded: &Loaded,
        rule: &'static Rule,
        places: &[String],
    ) -> Option<(Option<Standing>, usize)> {
        let solution = self.solved(loaded)?;
        let (verdict, air) = (rule.check(&solution), loaded.rig.site.air_pressure);
        let there = verdict.findings.iter().filter(|f| is_at(f, places));
        let stands = there.map(|f| Standing {
            off: off(f, air),
            measured: f.measured.show(self.units),
            limit: f.limit.show(self.units),
        });
        let worst = stands.max_by(|a, b| a.far().total_cmp(&b.far()));
        Some((worst, verdict.not_checked.len()))
    }

    pub(super) fn goal<'f>(
        &self,
        loaded: &Loaded,
        rule: &'static Rule,
        places: &'f [String],
        tries: &'f Cell<usize>,
    ) -> Option<Goal<'f>> {
        let (was, unchecked) = self.standing(loaded, rule, places)?;
        Some(Goal {
            rule,
            places,
            unchecked,
            was,
            tries,
        })
    }

    /// Solves as much of a changed rig as the rule asks for: what stands of the finding, if anything; an error where the rig
    /// is refused or the rule cannot tell any more.
    fn tried(
        &self,
        base: &Loaded,
        changes: &[Change],
        goal: &Goal<'_>,
    ) -> Result<Option<Standing>, ()> {
        goal.tries.set(goal.tries.get() + 1);
        let changed = (goal.tries.get() <= MOST_TRIES).then(|| self.changed(base, changes));
        let (stands, unchecked) = (changed.flatten())
            .and_then(|l| self.standing(&l, goal.rule, goal.places))
            .ok_or(())?;
        (unchecked <= goal.unchecked).then_some(stands).ok_or(())
    }

    /// The first step of a ladder that clears the finding, at its figure and back towards what was there by its band; else
    /// the nearest.
    pub(super) fn first_clear(
        &self,
        base: &Loaded,
        ladder: &[Rung],
        goal: &Goal<'_>,
    ) -> Result<usize, Option<(usize, Standing)>> {
        let last = ladder.len().checked_sub(1).ok_or(None)?;
        let mut nearest: Option<(usize, Standing)> = None;
        // steps below `low` do not clear it; `high` does, or lies beyond
        let (mut low, mut high, mut clear) = (0, None, None);
        let (mut next, mut jumped) = (FIRST.min(last), false);
        // nothing may be refused where what it begins with is not
        let mut valid = number_and_unit(&ladder[0].changes[0].from).is_none_or(|(x, _)| x != 0.0);
        while !(self.stopped)() {
            let rung = &ladder[next];
            let tried = match (self.tried(base, &rung.changes, goal), &rung.back) {
                (Ok(None), Some(back)) => self.tried(base, back, goal),
                (tried, _) => tried,
            };
            let mut still = false;
            match tried {
                Ok(None) => (clear, high) = (Some(next), Some(next)),
                Err(()) if valid && !jumped => high = Some(next),
                Err(()) => low = next + 1,
                Ok(Some(now)) => {
                    valid = true;
                    let was = goal.was.as_ref();
                    match (now.off, was.and_then(|was| was.off)) {
                        (Some((_, over)), Some((_, was))) if over != was => high = Some(next),
                        (Some((far, _)), Some((was, _))) => {
                            if high.is_none() && far > was + STILL {
                                return Err(None);
                            }
                            still = (far - was).abs() <= STILL;
                            low = next + 1;
                        }
                        _ => {
                            still = was.is_some_and(|was| was.measured == now.measured);
                            low = next + 1;
                        }
                    }
                    let before = was.and_then(|was| was.off);
                    let nearer = before.is_none_or(|(far, _)| now.far() < far - STILL);
                    if nearer && nearest.as_ref().is_none_or(|n| now.far() < n.1.far()) {
                        nearest = Some((next, now));
                    }
                }
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

    /// Audits a changed rig whole; `None` where the finding stays or a rule can no longer tell.
    pub(super) fn confirm(
        &self,
        changes: &[Change],
        before: &Audited,
        f: &Finding,
    ) -> Option<Confirmed> {
        let after = self.audited(self.changed(&before.loaded, changes)?)?;
        let (was, now) = (&before.audit, &after.audit);
        let there = |f: &Finding| {
            now.findings
                .iter()
                .any(|g| g.id == f.id && is_at(g, &f.places))
        };
        let unseen = |id: &str| was.not_checked.iter().any(|n| n.id == id);
        let silent = now.not_checked.iter().any(|n| !unseen(n.id));
        if there(f) || silent || now.missing.len() > was.missing.len() {
            return None;
        }
        let raised: Vec<&Finding> = new_in(now, was).collect();
        // what its rule could not check before is not raised by the change; what is grave is refused all the same
        let blocks = |r: &&&Finding| is_grave(r) || r.signal <= f.signal && !unseen(r.id);
        let named = |f: &&Finding| Named::from(*f);
        let gone = was.findings.iter().filter(|g| g.id != f.id && !there(g));
        Some(Confirmed {
            clears: gone.map(Named::from).collect(),
            caused: raised.iter().filter(|r| !unseen(r.id)).count(),
            blocking: raised.iter().filter(blocks).map(named).collect(),
            raises: raised.iter().map(named).collect(),
            after,
        })
    }
}
