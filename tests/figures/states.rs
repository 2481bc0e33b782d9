//! Right states: what is found at pressure and temperature is found back otherwise, or refused with a reason; no
//! state has properties that no fluid has.

use fuelwright::eos::EosError;
use fuelwright::fuel::Library;
use fuelwright::numerics::effort;
use rayon::prelude::*;
use std::collections::BTreeMap;

mod named;
mod sound;
use crate::round_trip::{self, Draw, Leg, Miss};
use crate::times::times;

/// States of one blend: the first are asked without its phase lines, the later with them.
const STATES: usize = 20;
/// States of a usual run.
const COUNT: usize = 1200;
/// Share of legs that may be refused, beside those of a liquid that the model splits, which are refused by rule.
const MOST_REFUSED: f64 = 0.01;

/// Why a state was refused, in a word or two.
fn kind(why: &EosError) -> String {
    let all = format!("{why:?}");
    all.split([' ', '{', '('])
        .next()
        .unwrap_or_default()
        .to_owned()
}

/// The legs that went wrong of the states of one blend, each with how to ask for it again.
fn trips(library: &Library, k: usize) -> Vec<(String, Leg)> {
    let mut draw = Draw::seeded(k as u64);
    let blend = round_trip::random_blend(library, &mut draw);
    let mut missed = Vec::new();
    for _ in 0..STATES {
        let (p_pa, t_k) = round_trip::random_state(blend.as_ref(), &mut draw);
        let asked = format!(
            "blend {k}, {} at {p_pa} Pa, {t_k} K",
            blend.composition().label()
        );
        let legs = round_trip::round_trip(blend.as_ref(), p_pa, t_k);
        missed.extend(legs.into_iter().map(|leg| (asked.clone(), leg)));
    }
    missed
}

#[test]
#[expect(clippy::print_stdout, reason = "the figures of a long run")]
fn random_states_of_blends_are_found_back_or_refused_with_a_reason() {
    let count = times(COUNT);
    let library = Library::embedded();
    let blends = 0..count.div_ceil(STATES);
    let missed: Vec<_> = blends
        .into_par_iter()
        .flat_map_iter(|k| trips(&library, k))
        .collect();
    let mut refused: BTreeMap<String, (usize, String)> = BTreeMap::new();
    let mut wrong = Vec::new();
    for (asked, (leg, miss)) in missed {
        match miss {
            Miss::Wrong { there, back } => wrong.push(format!("{asked}: {leg} {there:?} {back:?}")),
            Miss::Refused(why) => {
                let first = refused.entry(format!("{leg} {}", kind(&why))).or_default();
                first.0 += 1;
                first.1 = format!("{asked}: {why}");
            }
        }
    }
    let by_chance = refused
        .iter()
        .filter(|(kind, _)| !kind.contains("LiquidSplits"));
    let all: usize = by_chance.map(|(_, r)| r.0).sum();
    println!("{count} states, {all} legs refused:");
    for (kind, (times, last)) in &refused {
        println!("{times:6} {kind}, e.g. {last}");
    }
    assert!(
        wrong.is_empty(),
        "{} wrong:\n{}",
        wrong.len(),
        wrong.join("\n")
    );
    assert!(
        all as f64 <= MOST_REFUSED * count as f64,
        "{all} of {count} refused: {refused:?}"
    );
}

// Steps take some two microseconds each, whatever the machine is doing: a clock would tell of that instead. The last
// look at a stable state near a critical point may go beyond the allowance of 500.
#[test]
fn a_state_of_given_density_and_energy_ends_within_milliseconds() {
    const MOST_STEPS: u64 = 3000;
    let library = Library::embedded();
    for k in 0..30 {
        let mut draw = Draw::seeded(k);
        let blend = round_trip::random_blend(&library, &mut draw);
        for _ in 0..10 {
            let (p_pa, t_k) = round_trip::random_state(blend.as_ref(), &mut draw);
            let Ok(there) = blend.state_pt(p_pa, t_k) else {
                continue;
            };
            let before = effort::done();
            let back = blend.state_rho_u(there.density_kg_m3, there.internal_energy_j_kg());
            let steps = effort::done() - before;
            assert!(
                steps <= MOST_STEPS,
                "blend {k} at {p_pa} Pa, {t_k} K: {steps} steps"
            );
            if let Err(why) = back {
                assert!(why.to_string().contains("did not"), "{why}");
            }
        }
    }
}
