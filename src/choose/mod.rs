//! Holes found, not only judged: every number, drill and pressure is looked at by a table, and what comes first is then
//! solved in full.

pub mod demands;
pub mod flags;
pub mod rig;
mod rig_table;
mod told;

use crate::audit::Finding;
use crate::injector::drills::Drill;
use demands::{COUNT, DEMANDS, MET};
use rayon::prelude::*;
use std::cmp::Ordering;
use std::collections::BTreeSet;

pub use crate::report::choices::AtDuty;
pub use told::told;

/// Most choices that are told.
pub const MOST_CHOICES: usize = 10;
/// Steps that errors are told apart by: a tenth of a per cent is less than any drill holds.
const ERROR_STEP: f64 = 1e-3;
/// Steps that demands are missed by, as a logarithm: a fifth more or less is much the same.
const MISS_STEP: f64 = 0.2;
/// Candidates kept of each number of holes.
const KEPT: usize = 400;
/// Candidates solved in full at a time, and of each number of holes at first.
const AT_A_TIME: usize = 32;
const OF_EACH_COUNT: usize = 2;
/// Most candidates that are solved in full.
const MOST_SOLVED: usize = 160;
/// Smallest drill that is still drilled by hand, m. Our choice: thinner ones break, and their holes clog.
pub const SMALLEST_BY_HAND_M: f64 = 0.5e-3;

/// What is aimed at in a duty.
#[derive(Debug, Clone, PartialEq)]
pub struct Target {
    /// Name of the duty.
    pub name: String,
    /// Least and most equivalence ratio that will do; the same where one is aimed at. Where no air is known: of the fuel
    /// flow over the one wanted.
    pub least: f64,
    /// Most.
    pub most: f64,
    /// Pressure of the chamber, Pa.
    pub chamber_pa: f64,
    /// What that stands above the air, Pa.
    pub over_air_pa: f64,
}

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Asked {
    /// Duties.
    pub targets: Vec<Target>,
    /// Whether ratios are equivalence ratios.
    pub burns: bool,
    /// Smallest drill, m.
    pub smallest_drill_m: f64,
    /// Quenching distance of the fuel, m.
    pub quenching_m: Option<f64>,
    /// Spread between the holes at most.
    pub spread: f64,
    /// Radius of the can, m.
    pub can_radius_m: Option<f64>,
    /// Whether liquid is meant before the holes.
    pub liquid: bool,
    /// Whether the supply is too low for any drop that counts against the chamber: a low-pressure burner by design.
    pub low_pressure: bool,
    /// Demands that need not be met.
    pub given_up: [bool; COUNT],
}

/// A set of holes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Holes {
    /// Number.
    pub number: u32,
    /// Diameter, m.
    pub diameter_m: f64,
}

/// A number of holes, a drill and a pressure, by their places in the space.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Combination {
    /// Number of holes.
    pub holes: u32,
    /// Place of the pressure; 0 where supply and train give it.
    pub pressure: usize,
    /// Place of the drill.
    pub drill: usize,
}

/// What is searched.
#[derive(Debug, Clone, PartialEq)]
pub struct Space {
    /// Numbers of holes, rising.
    pub counts: Vec<u32>,
    /// Drills, rising.
    pub drills: Vec<Drill>,
    /// Pressures before the holes, rising, Pa; none where supply and train give it.
    pub pressures_pa: Vec<f64>,
}

impl Space {
    /// How many combinations there are.
    pub fn len(&self) -> usize {
        self.counts.len() * self.drills.len() * self.pressures_pa.len().max(1)
    }

    /// Whether there is nothing to search.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    fn of_count(&self, holes: u32) -> impl Iterator<Item = Combination> {
        let pressures = self.pressures_pa.len().max(1);
        (0..self.drills.len()).flat_map(move |drill| {
            (0..pressures).map(move |pressure| Combination {
                holes,
                pressure,
                drill,
            })
        })
    }

    /// The holes of a combination.
    pub fn holes(&self, c: Combination) -> Holes {
        Holes {
            number: c.holes,
            diameter_m: self.drills[c.drill].diameter.value,
        }
    }
}

/// Something that holes are chosen for.
pub trait Problem: Sync {
    /// What is asked.
    fn asked(&self) -> &Asked;
    /// What is searched.
    fn space(&self) -> &Space;
    /// Every duty by the table; `duties` is cleared first.
    fn by_table(&self, c: Combination, duties: &mut Vec<AtDuty>);
    /// How far ratios of the table may be off, as a share.
    fn table_error(&self) -> f64;
    /// How far a demand may be missed by the table, as a logarithm, and still be met in full.
    fn slack(&self) -> f64;
    /// Every duty solved in full; `None` where nothing can be solved.
    fn in_full(&self, c: Combination) -> Option<Vec<AtDuty>>;
    /// What rules find in it.
    fn findings(&self, c: Combination) -> Vec<Finding>;
}

/// The worst error of any duty: how far its ratio lies outside its target; with its band, half the width of that more to
/// either side.
pub fn error(asked: &Asked, duties: &[AtDuty], with_band: bool) -> f64 {
    let errors = asked.targets.iter().zip(duties).map(|(target, d)| {
        let half = if with_band {
            0.5 * (d.ratio_high - d.ratio_low)
        } else {
            0.0
        };
        ((d.ratio + half) / target.most - 1.0).max(1.0 - (d.ratio - half) / target.least)
    });
    errors.fold(0.0, |a, b| if b.is_nan() { 1.0 } else { a.max(b) })
}

/// What decides which holes come first: where nothing meets all demands, how many it gives up and by how much; then worst
/// error, number, pressure, diameter.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Rank {
    given_up: usize,
    /// Steps that demands are missed by together.
    miss_steps: f64,
    error_steps: f64,
    holes: u32,
    pressure_pa: f64,
    drill: usize,
}

impl Rank {
    fn cmp(&self, other: &Self) -> Ordering {
        (self.given_up.cmp(&other.given_up))
            .then(self.miss_steps.total_cmp(&other.miss_steps))
            .then(self.error_steps.total_cmp(&other.error_steps))
            .then(self.holes.cmp(&other.holes))
            .then(self.pressure_pa.total_cmp(&other.pressure_pa))
            .then(self.drill.cmp(&other.drill))
    }
}

/// A combination judged.
#[derive(Debug, Clone, PartialEq)]
struct Judged {
    missed: [bool; COUNT],
    /// Sum of what is missed.
    miss: f64,
    error: f64,
    rank: Rank,
}

impl Judged {
    /// `slack`: what counts as met, as a logarithm.
    fn of(problem: &dyn Problem, c: Combination, duties: &[AtDuty], slack: f64) -> Self {
        let (asked, holes) = (problem.asked(), problem.space().holes(c));
        let mut missed = [false; COUNT];
        let (mut miss, mut missed_by, mut given_up) = (0.0, 0.0, 0);
        for (i, demand) in DEMANDS.iter().enumerate() {
            if asked.given_up[i] {
                continue;
            }
            let by = (demand.miss)(asked, holes, duties);
            missed[i] = by > slack;
            miss += by;
            if missed[i] {
                missed_by += by;
                given_up += 1;
            }
        }
        let error = error(asked, duties, true);
        let largest = duties
            .iter()
            .max_by(|a, b| a.flow_kg_s.total_cmp(&b.flow_kg_s));
        Self {
            missed,
            miss,
            error,
            rank: Rank {
                given_up,
                miss_steps: (missed_by / MISS_STEP).round(),
                error_steps: (error / ERROR_STEP).round(),
                holes: c.holes,
                pressure_pa: largest.map_or(f64::INFINITY, |d| d.pressure_pa.round()),
                drill: c.drill,
            },
        }
    }

    fn is_choice(&self) -> bool {
        let musts = DEMANDS.iter().zip(&self.missed).filter(|(d, _)| d.must);
        musts.into_iter().all(|(_, missed)| !missed)
    }
}

/// What a search says of the combinations of one number of holes, or of all.
#[derive(Debug, Clone, Default)]
struct Tally {
    /// How many were looked at.
    looked_at: usize,
    /// How many each demand rules out.
    rules_out: [usize; COUNT],
    /// How many it rules out that meet every other.
    alone: [usize; COUNT],
    best: Vec<(Rank, f64, Combination)>,
    nearest: Option<(f64, Combination)>,
}

impl Tally {
    fn look(&mut self, c: Combination, judged: &Judged) {
        self.looked_at += 1;
        let all = judged.missed.iter().filter(|m| **m).count();
        for (i, missed) in judged.missed.iter().enumerate() {
            self.rules_out[i] += usize::from(*missed);
            self.alone[i] += usize::from(*missed && all == 1);
        }
        if judged.is_choice() {
            self.best.push((judged.rank, judged.error, c));
            if self.best.len() >= 2 * KEPT {
                self.keep_best();
            }
        }
        if self.nearest.is_none_or(|(miss, _)| judged.miss < miss) {
            self.nearest = Some((judged.miss, c));
        }
    }

    fn keep_best(&mut self) {
        self.best.sort_by(|a, b| a.0.cmp(&b.0));
        self.best.truncate(KEPT);
    }

    fn add(&mut self, other: Self) {
        self.looked_at += other.looked_at;
        for i in 0..COUNT {
            self.rules_out[i] += other.rules_out[i];
            self.alone[i] += other.alone[i];
        }
        self.best.extend(other.best);
        let nearer = |n: &(f64, Combination)| self.nearest.is_none_or(|own| n.0 < own.0);
        if let Some(nearest) = other.nearest.filter(nearer) {
            self.nearest = Some(nearest);
        }
    }
}

/// A combination solved in full.
#[derive(Debug, Clone)]
pub struct Solved {
    /// Which.
    pub combination: Combination,
    /// Every duty.
    pub duties: Vec<AtDuty>,
    /// Demands that it misses.
    pub missed: [bool; COUNT],
    /// The worst error of any duty, its band counted.
    pub error: f64,
    rank: Rank,
    is_choice: bool,
}

/// What was found.
#[derive(Debug, Clone)]
pub struct Found {
    /// Choices, best first.
    pub choices: Vec<Solved>,
    /// What comes nearest, where there is no choice.
    pub nearest: Option<Solved>,
    /// How many combinations were looked at.
    pub looked_at: usize,
    /// How many each demand rules out.
    pub rules_out: [usize; COUNT],
    /// How many it rules out that meet every other.
    pub alone: [usize; COUNT],
    /// Whether the search was stopped before its end.
    pub stopped: bool,
}

/// Searches; `stopped` says whether somebody wants it to end, and `done` is told after each number of holes.
pub fn search(
    problem: &dyn Problem,
    stopped: &(dyn Fn() -> bool + Sync),
    done: &(dyn Fn() + Sync),
) -> Found {
    let space = problem.space();
    let slack = problem.slack() + MET;
    let tallies: Vec<Option<Tally>> = space
        .counts
        .par_iter()
        .map(|&holes| {
            let mut tally = Tally::default();
            let mut duties = Vec::new();
            for c in space.of_count(holes) {
                if stopped() {
                    return None;
                }
                problem.by_table(c, &mut duties);
                tally.look(c, &Judged::of(problem, c, &duties, slack));
            }
            tally.keep_best();
            done();
            Some(tally)
        })
        .collect();
    let ended_early = tallies.iter().any(Option::is_none);
    let mut all = Tally::default();
    for tally in tallies.into_iter().flatten() {
        all.add(tally);
    }
    all.best.sort_by(|a, b| a.0.cmp(&b.0));
    let choices = choices(problem, &all.best);
    let nearest = all.nearest.filter(|_| choices.is_empty());
    Found {
        nearest: nearest.and_then(|(_, c)| solved(problem, c)),
        choices,
        looked_at: all.looked_at,
        rules_out: all.rules_out,
        alone: all.alone,
        stopped: ended_early,
    }
}

/// A combination in full.
fn solved(problem: &dyn Problem, combination: Combination) -> Option<Solved> {
    let duties = problem.in_full(combination)?;
    let judged = Judged::of(problem, combination, &duties, MET);
    Some(Solved {
        is_choice: judged.is_choice(),
        missed: judged.missed,
        error: judged.error,
        rank: judged.rank,
        combination,
        duties,
    })
}

/// The choices among the candidates, which are in the order of the table: first those that may be best of their number of
/// holes, then as many as it takes until no other can come before the last that is told.
fn choices(problem: &dyn Problem, candidates: &[(Rank, f64, Combination)]) -> Vec<Solved> {
    let mut tried: BTreeSet<Combination> = BTreeSet::new();
    let mut found: Vec<Solved> = Vec::new();
    let try_all = |these: Vec<Combination>, found: &mut Vec<Solved>| {
        let all: Vec<Option<Solved>> = these.par_iter().map(|c| solved(problem, *c)).collect();
        found.extend(all.into_iter().flatten().filter(|s| s.is_choice));
        found.sort_by(|a, b| a.rank.cmp(&b.rank));
    };
    let mut by_count: Vec<(u32, usize)> = Vec::new();
    let mut first = Vec::new();
    for (_, _, c) in candidates {
        let place = by_count.iter().position(|(n, _)| *n == c.holes);
        let place = place.unwrap_or_else(|| {
            by_count.push((c.holes, 0));
            by_count.len() - 1
        });
        if place < MOST_CHOICES + 2 && by_count[place].1 < OF_EACH_COUNT {
            by_count[place].1 += 1;
            first.push(*c);
        }
    }
    tried.extend(&first);
    try_all(first, &mut found);
    let mut rest = candidates.iter().filter(|(_, _, c)| !tried.contains(c));
    let mut solved = tried.len();
    while solved < MOST_SOLVED {
        let last = found.get(MOST_CHOICES - 1);
        // what is behind the last choice even with the table off to its good side cannot come before it
        let may_come = |(rank, error, _): &&&(Rank, f64, Combination)| {
            let at_best = Rank {
                error_steps: ((error - problem.table_error()) / ERROR_STEP)
                    .round()
                    .max(0.0),
                miss_steps: (rank.miss_steps - 1.0).max(0.0),
                ..*rank
            };
            last.is_none_or(|s| at_best.cmp(&s.rank).is_lt())
        };
        let next: Vec<Combination> = rest
            .by_ref()
            .take_while(|c| may_come(&c))
            .take(AT_A_TIME)
            .map(|c| c.2)
            .collect();
        if next.is_empty() {
            break;
        }
        solved += next.len();
        try_all(next, &mut found);
    }
    listed(found)
}

/// The choices to tell: those that give up the fewest demands; of every number of holes the best, then what follows.
fn listed(mut found: Vec<Solved>) -> Vec<Solved> {
    let least = found.first().map_or(0, |s| s.rank.given_up);
    found.retain(|s| s.rank.given_up == least);
    let mut counts = BTreeSet::new();
    let (mut first, second): (Vec<Solved>, Vec<Solved>) = found
        .into_iter()
        .partition(|s| counts.insert(s.combination.holes));
    first.extend(second);
    first.truncate(MOST_CHOICES);
    first.sort_by(|a, b| a.rank.cmp(&b.rank));
    first
}
