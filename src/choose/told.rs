//! What a search found, in words and figures.

use super::demands::DEMANDS;
use super::{AtDuty, Combination, Found, Judged, Problem, Solved};
use crate::quantity::Kind;
use crate::quantity::show::{Units, fixed, show_digits};
use crate::report::choices::{Choice, Choices, RuledOut};

/// Drills whose line is drawn.
const MOST_LINES: usize = 5;
/// What counts as more: of the error, and of the pressure as a share.
const MORE_ERROR: f64 = 5e-3;
const MORE_PRESSURE: f64 = 0.05;
/// Things that a choice is said to give up; every demand is.
const MOST_SAID: usize = 2;

/// What was found, told.
pub fn told(problem: &dyn Problem, found: &Found, units: Units) -> Choices {
    let asked = problem.asked();
    let choices = found
        .choices
        .iter()
        .map(|s| choice(problem, s, &found.choices, units));
    let ruled_out = DEMANDS.iter().enumerate().map(|(i, demand)| RuledOut {
        demand: demand.word,
        limit: (demand.limit)(asked, units),
        rule: demand.rule.map(|r| r.id),
        asked: !asked.given_up[i],
        must: demand.must,
        rules_out: found.rules_out[i],
        alone: found.alone[i],
    });
    Choices {
        choices: choices.collect(),
        nearest: found
            .nearest
            .as_ref()
            .map(|s| choice(problem, s, &[], units)),
        looked_at: found.looked_at,
        ruled_out: ruled_out.collect(),
        stopped: found.stopped,
        burns: asked.burns,
        liquid: asked.liquid,
        lines: lines(problem, &found.choices),
    }
}

/// Pressure before the holes at the duty with the largest flow, Pa.
fn pressure_pa(duties: &[AtDuty]) -> f64 {
    let largest = duties
        .iter()
        .max_by(|a, b| a.flow_kg_s.total_cmp(&b.flow_kg_s));
    largest.map_or(f64::NAN, |d| d.pressure_pa)
}

fn choice(problem: &dyn Problem, s: &Solved, all: &[Solved], units: Units) -> Choice {
    let (asked, space) = (problem.asked(), problem.space());
    let drill = &space.drills[s.combination.drill];
    let names = asked.targets.iter().map(|target| target.name.clone());
    Choice {
        holes: s.combination.holes,
        drill: drill.name.clone(),
        series: drill.series.name(),
        diameter_m: drill.diameter.value,
        pressure_pa: pressure_pa(&s.duties),
        error: s.error,
        duties: names.zip(s.duties.iter().copied()).collect(),
        misses: DEMANDS
            .iter()
            .zip(&s.missed)
            .filter(|(_, m)| **m)
            .map(|(d, _)| d.word)
            .collect(),
        gives_up: gives_up(problem, s, all, units),
    }
}

/// What a choice gives up: demands that it misses, and what others have better.
fn gives_up(problem: &dyn Problem, s: &Solved, all: &[Solved], units: Units) -> String {
    let (asked, holes) = (problem.asked(), problem.space().holes(s.combination));
    let missed = DEMANDS.iter().zip(&s.missed).filter(|(_, missed)| **missed);
    let mut said: Vec<String> = missed
        .map(|(demand, _)| (demand.found)(asked, holes, &s.duties, units))
        .collect();
    let least =
        |figure: &dyn Fn(&Solved) -> f64| all.iter().map(figure).fold(f64::INFINITY, f64::min);
    let mut more = Vec::new();
    let error = s.error - least(&|o| o.error);
    if error > MORE_ERROR {
        let decimals = usize::from(error < 0.01);
        more.push(format!("+{} % error", fixed(100.0 * error, decimals)));
    }
    let number = f64::from(s.combination.holes) - least(&|o| f64::from(o.combination.holes));
    if number > 0.0 {
        more.push(format!(
            "+{number} hole{}",
            if number > 1.0 { "s" } else { "" }
        ));
    }
    let own_pa = pressure_pa(&s.duties);
    let over_pa = own_pa - least(&|o| pressure_pa(&o.duties));
    if over_pa > MORE_PRESSURE * own_pa {
        let over = show_digits(Kind::PressureDifference, over_pa, units, 2);
        more.push(format!("+{over}"));
    }
    more.truncate(MOST_SAID.saturating_sub(said.len()));
    said.extend(more);
    if said.is_empty() {
        "nothing".to_owned()
    } else {
        said.join(", ")
    }
}

/// Pressure before the holes over their number, a line for each drill of the choices, by the table.
fn lines(problem: &dyn Problem, choices: &[Solved]) -> Vec<(String, Vec<(f64, f64)>)> {
    let space = problem.space();
    let mut drills: Vec<usize> = Vec::new();
    for s in choices {
        if drills.len() < MOST_LINES && !drills.contains(&s.combination.drill) {
            drills.push(s.combination.drill);
        }
    }
    drills.sort_unstable();
    let slack = problem.slack();
    let mut duties = Vec::new();
    let mut of = |drill: usize, holes: u32| {
        let mut best: Option<(Judged, f64)> = None;
        for pressure in 0..space.pressures_pa.len().max(1) {
            let c = Combination {
                holes,
                pressure,
                drill,
            };
            problem.by_table(c, &mut duties);
            let judged = Judged::of(problem, c, &duties, slack);
            let better = |b: &(Judged, f64)| judged.rank.cmp(&b.0.rank).is_lt();
            if judged.is_choice() && best.as_ref().is_none_or(better) {
                best = Some((judged, pressure_pa(&duties)));
            }
        }
        (f64::from(holes), best.map_or(f64::NAN, |b| b.1))
    };
    let line = |drill: usize| {
        let points = space.counts.iter().map(|n| of(drill, *n)).collect();
        (space.drills[drill].name.clone(), points)
    };
    drills.into_iter().map(line).collect()
}
