//! What a search found, in words and figures.

use super::demands::{DEMANDS, Demand};
use super::search::{Found, Judged, Solved, pressure_pa};
use super::{AtDuty, Combination, Problem};
use crate::quantity::show::{Units, fixed, number, show_digits};
use crate::quantity::{AbsolutePressure, Kind};
use crate::report::choices::{Choice, Choices, OnDemand, hole_words};

/// Drills whose line is drawn.
const MOST_LINES: usize = 5;
/// What counts as more: of the error, and of the pressure as a share.
const MORE_ERROR: f64 = 5e-3;
const MORE_PRESSURE: f64 = 0.05;
/// Things that a choice is said to give up; every demand is.
const MOST_SAID: usize = 2;

/// What was found, told.
pub fn told(problem: &Problem<'_>, found: &Found, units: Units) -> Choices {
    let asked = &problem.asked;
    let demands = DEMANDS.iter().enumerate().map(|(i, demand)| OnDemand {
        demand: demand.word,
        limit: demand.limit(asked, units),
        rule: demand.rule.map(|r| r.id),
        asked: !asked.options.given_up[i],
        must: demand.must,
        rules_out: found.tally.rules_out[i],
        alone: found.tally.alone[i],
    });
    let choices = found.choices.iter();
    Choices {
        choices: choices
            .map(|s| choice(problem, s, &found.choices, units))
            .collect(),
        looked_at: found.tally.looked_at,
        demands: demands.collect(),
        stopped: found.stopped,
        burns: asked.burns,
        liquid: asked.liquid,
        lines: lines(problem, &found.choices),
    }
}

/// Why there is no choice: what rules out most, and what comes nearest.
pub fn none(problem: &Problem<'_>, found: &Found, units: Units, air: AbsolutePressure) -> String {
    let (told, n) = (told(problem, found, units), found.tally.looked_at);
    let stopped = if found.stopped {
        " before the search was stopped"
    } else {
        ""
    };
    let mut why = vec![format!(
        "of {n} combinations looked at{stopped} none will do"
    )];
    let musts = told.demands.iter().filter(|d| d.must && d.rules_out > 0);
    let most = musts.max_by_key(|d| (d.alone, d.rules_out));
    why.extend(most.map(|d| {
        let (demand, limit, alone, all) = (d.demand, &d.limit, d.alone, d.rules_out);
        format!(
            "`{demand}` ({limit}) rules out most by itself: {alone}, and with other demands {all}"
        )
    }));
    why.extend(found.nearest.as_ref().map(|near| {
        let near = choice(problem, near, &[], units);
        let ratio = |(name, d): &(String, AtDuty)| format!("{name} {}", number(d.ratio));
        let ratios: Vec<String> = near.duties.iter().map(ratio).collect();
        let (holes, off) = (hole_words(&near, units, air), &near.gives_up);
        format!("Nearest: {holes}, {off}; ratio at {}", ratios.join(", "))
    }));
    why.join(". ")
}

fn choice(problem: &Problem<'_>, s: &Solved, all: &[Solved], units: Units) -> Choice {
    let combination = s.judged.combination;
    let names = problem.asked.targets.iter().map(|t| t.name.clone());
    Choice {
        holes: combination.holes,
        drill: problem.space.drills[combination.drill].clone(),
        pressure_pa: pressure_pa(&s.duties),
        error: s.judged.error,
        duties: names.zip(s.duties.iter().copied()).collect(),
        misses: s.judged.misses().map(|demand| demand.word).collect(),
        gives_up: gives_up(problem, s, all, units),
    }
}

/// What a choice gives up: demands that it misses, and what others have better.
fn gives_up(problem: &Problem<'_>, s: &Solved, all: &[Solved], units: Units) -> String {
    let d_m = problem.space.diameter(s.judged.combination).value;
    let found = |demand: &Demand| demand.found(&problem.asked, d_m, &s.duties, units);
    let mut said: Vec<String> = s.judged.misses().map(found).collect();
    let over_least = |figure: &dyn Fn(&Solved) -> f64| {
        figure(s) - all.iter().map(figure).fold(figure(s), f64::min)
    };
    let error = over_least(&|o| o.judged.error);
    let holes = over_least(&|o| f64::from(o.judged.combination.holes));
    let over_pa = over_least(&|o| pressure_pa(&o.duties));
    let mut more = Vec::new();
    if error > MORE_ERROR {
        let decimals = usize::from(error < 0.01);
        more.push(format!("+{} % error", fixed(100.0 * error, decimals)));
    }
    if holes > 0.0 {
        let plural = if holes > 1.0 { "s" } else { "" };
        more.push(format!("+{holes} hole{plural}"));
    }
    if over_pa > MORE_PRESSURE * pressure_pa(&s.duties) {
        let over = show_digits(Kind::PressureDifference, over_pa, units, 2);
        more.push(format!("+{over}"));
    }
    more.truncate(MOST_SAID.saturating_sub(said.len()));
    said.extend(more);
    if said.is_empty() {
        return "nothing".to_owned();
    }
    said.join(", ")
}

/// Pressure before the holes over their number, a line for each drill of the choices, by the table.
fn lines(problem: &Problem<'_>, choices: &[Solved]) -> Vec<(String, Vec<(f64, f64)>)> {
    let mut drills: Vec<usize> = Vec::new();
    for s in choices {
        let drill = s.judged.combination.drill;
        if drills.len() < MOST_LINES && !drills.contains(&drill) {
            drills.push(drill);
        }
    }
    drills.sort_unstable();
    let mut duties = Vec::new();
    let mut judged = |c: Combination| {
        problem.by_table(c, &mut duties);
        (
            Judged::of(problem, c, &duties, problem.slack),
            pressure_pa(&duties),
        )
    };
    let mut at = |holes: u32, drill: usize| {
        let all = problem.space.at(holes, drill).map(&mut judged);
        let best = all
            .filter(|(j, _)| j.is_choice())
            .min_by_key(|(j, _)| j.rank);
        (
            f64::from(holes),
            best.map_or(f64::NAN, |(_, pressure_pa)| pressure_pa),
        )
    };
    let mut line = |drill: usize| {
        let points = problem.space.counts.iter().map(|n| at(*n, drill)).collect();
        (problem.space.drills[drill].name.clone(), points)
    };
    drills.into_iter().map(&mut line).collect()
}
