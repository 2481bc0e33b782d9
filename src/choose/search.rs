//! The search itself: every combination by the table, then what comes first of them in full.

use super::demands::{COUNT, DEMANDS, Demand, MET, error};
use super::{AtDuty, Combination, Problem};
use rayon::prelude::*;
use std::collections::{BTreeMap, BTreeSet};

/// Most choices that are told.
const MOST_CHOICES: usize = 10;
/// Steps that errors are told apart by: a tenth of a per cent is less than any drill holds.
const ERROR_STEP: f64 = 1e-3;
/// Steps that demands are missed by, as a logarithm: a fifth more or less is much the same.
const MISS_STEP: f64 = 0.2;
/// Candidates kept of each number of holes.
const KEPT: usize = 400;
/// Candidates of each number of holes that are solved in full first; then how many at a time, and how often at most.
const OF_EACH_COUNT: usize = 2;
const AT_A_TIME: usize = 32;
const MOST_TIMES: usize = 4;

/// Pressure before the holes at the duty with the largest flow, Pa.
pub(super) fn pressure_pa(duties: &[AtDuty]) -> f64 {
    let largest = duties
        .iter()
        .max_by(|a, b| a.flow_kg_s.total_cmp(&b.flow_kg_s));
    largest.map_or(f64::INFINITY, |d| d.pressure_pa)
}

/// Whole steps of a size.
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "what is too small or large for it ends where it does"
)]
fn steps(x: f64, size: f64) -> u64 {
    (x / size).round() as u64
}

/// What decides which holes come first: where nothing meets all demands, how many it gives up and by how much; then worst
/// error, number, pressure, diameter.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Rank {
    given_up: usize,
    /// Steps that demands are missed by together.
    miss_steps: u64,
    error_steps: u64,
    holes: u32,
    pressure_pa: u64,
    drill: usize,
}

/// A combination judged.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Judged {
    /// Which.
    pub combination: Combination,
    /// Whether it misses each demand.
    pub missed: [bool; COUNT],
    /// The worst error of any duty, its band counted.
    pub error: f64,
    /// Sum of what demands are missed by.
    miss: f64,
    pub(super) rank: Rank,
}

impl Judged {
    /// `slack`: what counts as met, as a logarithm.
    pub(super) fn of(problem: &Problem<'_>, c: Combination, duties: &[AtDuty], slack: f64) -> Self {
        let (asked, d_m) = (&problem.asked, problem.space.diameter(c).value);
        let by: [f64; COUNT] = std::array::from_fn(|i| {
            if asked.options.given_up[i] {
                return 0.0;
            }
            (DEMANDS[i].held)(asked, d_m, duties).miss
        });
        let missed = by.map(|by| by > slack);
        let missed_by = by.iter().filter(|by| **by > slack).sum();
        let error = error(asked, duties, true);
        Self {
            combination: c,
            missed,
            error,
            miss: by.iter().sum(),
            rank: Rank {
                given_up: missed.iter().filter(|missed| **missed).count(),
                miss_steps: steps(missed_by, MISS_STEP),
                error_steps: steps(error, ERROR_STEP),
                holes: c.holes,
                pressure_pa: steps(pressure_pa(duties), 1.0),
                drill: c.drill,
            },
        }
    }

    /// Demands that it misses.
    pub(super) fn misses(&self) -> impl Iterator<Item = &'static Demand> {
        let all = DEMANDS.iter().zip(self.missed);
        all.filter(|(_, missed)| *missed).map(|(demand, _)| demand)
    }

    /// Whether it misses nothing that must be met.
    pub(super) fn is_choice(&self) -> bool {
        !self.misses().any(|demand| demand.must)
    }

    /// The best that may become of it with the table off to its good side.
    fn at_best(&self, table_error: f64) -> Rank {
        Rank {
            error_steps: steps(self.error - table_error, ERROR_STEP),
            miss_steps: self.rank.miss_steps.saturating_sub(1),
            ..self.rank
        }
    }
}

/// What a search says of the combinations of one number of holes, or of all.
#[derive(Debug, Clone, Default)]
pub struct Tally {
    /// How many were looked at.
    pub looked_at: usize,
    /// How many each demand rules out.
    pub rules_out: [usize; COUNT],
    /// How many it rules out that meet every other.
    pub alone: [usize; COUNT],
    best: Vec<Judged>,
    nearest: Option<Judged>,
}

impl Tally {
    fn look(&mut self, judged: Judged) {
        self.looked_at += 1;
        for (i, missed) in judged.missed.into_iter().enumerate() {
            self.rules_out[i] += usize::from(missed);
            self.alone[i] += usize::from(missed && judged.rank.given_up == 1);
        }
        if judged.is_choice() {
            self.best.push(judged);
            if self.best.len() >= 2 * KEPT {
                self.keep_best();
            }
        }
        self.come_near(judged);
    }

    fn keep_best(&mut self) {
        self.best.sort_by_key(|judged| judged.rank);
        self.best.truncate(KEPT);
    }

    fn come_near(&mut self, judged: Judged) {
        if self
            .nearest
            .is_none_or(|nearest| judged.miss < nearest.miss)
        {
            self.nearest = Some(judged);
        }
    }

    fn and(mut self, other: Self) -> Self {
        self.looked_at += other.looked_at;
        for i in 0..COUNT {
            self.rules_out[i] += other.rules_out[i];
            self.alone[i] += other.alone[i];
        }
        self.best.extend(other.best);
        if let Some(nearest) = other.nearest {
            self.come_near(nearest);
        }
        self
    }
}

/// A combination solved in full.
#[derive(Debug, Clone)]
pub struct Solved {
    /// It as it is judged.
    pub judged: Judged,
    /// Every duty.
    pub duties: Vec<AtDuty>,
}

/// What was found.
#[derive(Debug, Clone)]
pub struct Found {
    /// Choices, best first.
    pub choices: Vec<Solved>,
    /// What comes nearest, where there is no choice.
    pub nearest: Option<Solved>,
    /// What was looked at.
    pub tally: Tally,
    /// Whether the search was stopped before its end.
    pub stopped: bool,
}

/// Searches; `stopped` says whether somebody wants it to end, and `done` is told after each number of holes.
pub fn search(
    problem: &Problem<'_>,
    stopped: &(dyn Fn() -> bool + Sync),
    done: &(dyn Fn() + Sync),
) -> Found {
    let slack = problem.slack + MET;
    let of_count = |holes: &u32| {
        let (mut tally, mut duties) = (Tally::default(), Vec::new());
        for c in problem.space.of_count(*holes) {
            if stopped() {
                return None;
            }
            problem.by_table(c, &mut duties);
            tally.look(Judged::of(problem, c, &duties, slack));
        }
        tally.keep_best();
        done();
        Some(tally)
    };
    let counts = problem.space.counts.par_iter();
    let tallies: Vec<Option<Tally>> = counts.map(of_count).collect();
    let ended_early = tallies.iter().any(Option::is_none);
    let mut tally = tallies
        .into_iter()
        .flatten()
        .fold(Tally::default(), Tally::and);
    tally.best.sort_by_key(|judged| judged.rank);
    let choices = choices(problem, &tally.best);
    let nearest = tally.nearest.filter(|_| choices.is_empty());
    Found {
        nearest: nearest.and_then(|judged| solved(problem, &judged)),
        choices,
        tally,
        stopped: ended_early,
    }
}

fn solved(problem: &Problem<'_>, by_table: &Judged) -> Option<Solved> {
    let duties = problem.in_full(by_table.combination)?;
    let judged = Judged::of(problem, by_table.combination, &duties, MET);
    Some(Solved { judged, duties })
}

/// The choices among the candidates, which are in the order of the table: first those that may be best of their number of
/// holes, then as many as it takes until no other can come before the last that is told.
fn choices(problem: &Problem<'_>, candidates: &[Judged]) -> Vec<Solved> {
    let mut of_count: BTreeMap<u32, (usize, usize)> = BTreeMap::new();
    let (first, rest): (Vec<&Judged>, Vec<&Judged>) = candidates.iter().partition(|judged| {
        let counts = of_count.len();
        let (place, so_far) = of_count.entry(judged.rank.holes).or_insert((counts, 0));
        *so_far += 1;
        *place < MOST_CHOICES + 2 && *so_far <= OF_EACH_COUNT
    });
    let mut found: Vec<Solved> = Vec::new();
    let try_all = |these: &[&Judged], found: &mut Vec<Solved>| {
        let all: Vec<Option<Solved>> = these.par_iter().map(|c| solved(problem, c)).collect();
        found.extend(all.into_iter().flatten().filter(|s| s.judged.is_choice()));
        found.sort_by_key(|s| s.judged.rank);
    };
    try_all(&first, &mut found);
    for next in rest.chunks(AT_A_TIME).take(MOST_TIMES) {
        let last = found.get(MOST_CHOICES - 1).map(|s| s.judged.rank);
        let may_come = |c: &&Judged| last.is_none_or(|last| c.at_best(problem.table_error) < last);
        let next: Vec<&Judged> = next.iter().copied().filter(may_come).collect();
        if next.is_empty() {
            break;
        }
        try_all(&next, &mut found);
    }
    listed(found)
}

/// The choices to tell: those that give up the fewest demands; of every number of holes the best, then what follows.
fn listed(mut found: Vec<Solved>) -> Vec<Solved> {
    let least = found.first().map_or(0, |s| s.judged.rank.given_up);
    found.retain(|s| s.judged.rank.given_up == least);
    let mut counts = BTreeSet::new();
    let best = |s: &Solved| counts.insert(s.judged.rank.holes);
    let (mut first, second): (Vec<Solved>, Vec<Solved>) = found.into_iter().partition(best);
    first.extend(second);
    first.truncate(MOST_CHOICES);
    first.sort_by_key(|s| s.judged.rank);
    first
}
