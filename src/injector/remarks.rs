//! What a reader of an injector's figures must know: notes, assumptions, sources.

use super::drills::DrillCheck;
use super::hole::{ASSUMED_LENGTH_OVER_DIAMETER, InletEdge};
use super::size::{InjectorInput, InjectorResult};
use super::solve::Solved;
use crate::eos::Phase;
use crate::flow::orifice::Expansion;
use crate::fuel::FedAs;

/// Drop over chamber pressure below which feed and chamber can drive each other; the lower end of the
/// 15 to 25 % of rocket practice.
const SOFT: f64 = 0.15;
/// Superheat below which a cool ring may condense the fuel, K; our choice.
const LITTLE_SUPERHEAT_K: f64 = 5.0;
/// Ideal fluxes of wide liquid bounds differ by more than this factor.
const WIDE_BOUNDS: f64 = 1.1;

/// Adds notes, assumptions and sources to a result.
pub(super) fn add(input: &InjectorInput<'_>, solved: &Solved<'_>, result: &mut InjectorResult) {
    let mut notes = std::mem::take(&mut result.notes);
    phase_notes(input, solved, result, &mut notes);
    liquid_notes(input, solved, &mut notes);
    if result.stiffness.value < SOFT {
        notes.push(format!(
            "the drop over the holes is only {:.2} % of chamber pressure: feed and chamber can set each other swinging, and small changes of chamber pressure move the flow (15 to 25 % is rocket practice) [sutton-biblarz]",
            100.0 * result.stiffness.value
        ));
    }
    quenching_note(input, result, &mut notes);
    notes.extend(result.coefficient.notes.iter().cloned());
    result.notes = notes;
    result.assumptions = assumptions(input, result);
    result.sources = sources(input, result);
}

fn phase_notes(
    input: &InjectorInput<'_>,
    solved: &Solved<'_>,
    result: &InjectorResult,
    notes: &mut Vec<String>,
) {
    let fuel = input.fluid.composition().label();
    let up = &solved.ideal.up;
    let vapour_fuel = input
        .fluid
        .composition()
        .parts()
        .iter()
        .all(|p| p.fuel.fed_as == FedAs::Gas);
    if up.is_liquid() && vapour_fuel {
        notes.push(format!(
            "{fuel} is liquid before these holes; holes meant for vapour would pass many times the flow: check that liquid is intended"
        ));
    }
    if up.state().phase == Phase::TwoPhase && !up.is_liquid() && !up.is_gas() {
        notes.push(format!(
            "{fuel} is part liquid, part vapour before the holes: the share that reaches each hole is a matter of luck"
        ));
    }
    if let Some(superheat) = result.superheat
        && superheat.value < LITTLE_SUPERHEAT_K
    {
        notes.push(format!(
            "only {:.1} K above the dew point: a cooler ring or line will condense the fuel, and drops pass a hole as slugs of heat",
            superheat.value
        ));
    }
    if let Some(p) = result.crosses_saturation
        && up.is_gas()
    {
        notes.push(format!(
            "the expansion enters the two-phase region at {}, before the throat: the flux is that of equilibrium, a short hole may pass a few per cent more (delayed condensation)",
            super::error::bar(p.pascals())
        ));
    }
}

fn liquid_notes(input: &InjectorInput<'_>, solved: &Solved<'_>, notes: &mut Vec<String>) {
    let ideal = &solved.ideal;
    let Some(share) = ideal.flashing_share else {
        return;
    };
    if ideal.flux_high > WIDE_BOUNDS * ideal.flux_low {
        notes.push(format!(
            "the liquid flashes: without new vapour in the hole the ideal flux would be {:.0} kg/(m² s), in equilibrium {:.0} kg/(m² s); the blend takes {:.0} % of the second [dyer2007]",
            ideal.flux_high,
            ideal.flux_low,
            100.0 * share
        ));
        notes.push(
            "the blend was made for holes some ten diameters long; holes much shorter lie nearer to the first, holes longer than about 0.1 m nearer to the second (from memory)"
                .to_owned(),
        );
    }
    if ideal.choked && input.expansion == Expansion::Blend {
        notes.push(
            "only the equilibrium part of the flow is choked: the rest still answers to chamber pressure"
                .to_owned(),
        );
    }
}

/// A hole is no flame arrester, whatever its size; the quenching distance only says how likely it is to
/// pass a flame back.
fn quenching_note(input: &InjectorInput<'_>, result: &InjectorResult, notes: &mut Vec<String>) {
    let least = input
        .fluid
        .composition()
        .parts()
        .iter()
        .filter_map(|p| p.fuel.safety.as_ref()?.quenching_distance_m.as_ref())
        .min_by(|a, b| a.value.total_cmp(&b.value));
    let Some(least) = least else { return };
    let d_m = result.diameter.value;
    let how = if d_m < least.value {
        "below"
    } else {
        "not below"
    };
    notes.push(format!(
        "a hole of {:.2} mm is {how} the quenching distance of about {:.1} mm [{}]; either way it is no flame arrester: a hot wall, a long purge or air in the ring can let a flame through, and only a type-tested arrester counts as one",
        d_m * 1e3,
        least.value * 1e3,
        least.source
    ));
}

fn assumptions(input: &InjectorInput<'_>, result: &InjectorResult) -> Vec<String> {
    let mut list = vec![
        "all holes are equal, round, far apart and see the same supply; how a ring or bar shares the flow between them is worked out apart from this".to_owned(),
        format!(
            "finished holes are {} (drill up to h8 under size); the band takes the smallest hole with the lowest coefficient and the largest with the highest [iso286]",
            input.make.tolerance().name()
        ),
    ];
    if input.make.length.is_none() && !matches!(input.make.edge, InletEdge::Measured { .. }) {
        list.push(format!(
            "hole length not given: {:.2} mm taken (1 mm of wall, or {ASSUMED_LENGTH_OVER_DIAMETER:.0} diameters if that is less)",
            result.length.value * 1e3
        ));
    }
    match input.make.edge {
        InletEdge::Sharp => list.push("inlet edges are square, reamed and free of burr".to_owned()),
        InletEdge::Drilled => {
            list.push("holes are as a twist drill leaves them: edges nominally square".to_owned());
        }
        InletEdge::Rounded(_) => {
            list.push("the inlet radius is smooth and the same at every hole".to_owned());
        }
        InletEdge::Measured {
            relative_band: None,
            ..
        } => list.push(
            "the discharge coefficient given is taken as 3 % uncertain, for want of its band"
                .to_owned(),
        ),
        InletEdge::Measured { .. } => {}
    }
    if result.superheat.is_none() && result.supply.phase != Phase::Gas {
        list.push(format!(
            "liquid expands by the `{}` model",
            input.expansion.name()
        ));
    }
    list.push("no pressure is lost between where the supply is measured and the holes".to_owned());
    if result
        .drills
        .iter()
        .any(|c| c.drill.check == DrillCheck::Memory)
    {
        list.push(
            "sizes of some drills in the table are from memory: measure the drill before it is used"
                .to_owned(),
        );
    }
    list.extend(input.fluid.assumptions().iter().cloned());
    list
}

fn sources(input: &InjectorInput<'_>, result: &InjectorResult) -> Vec<String> {
    let mut keys: Vec<String> = Vec::new();
    let bracketed = result
        .coefficient
        .models
        .iter()
        .copied()
        .chain(result.notes.iter().map(String::as_str))
        .filter_map(|text| text.rsplit_once('[')?.1.split_once(']'))
        .map(|(key, _)| key.to_owned());
    let always = ["iso286", "iso235"].map(str::to_owned);
    let liquid = (result.subcooling.is_some() && input.expansion == Expansion::Blend)
        .then(|| "dyer2007".to_owned());
    let jet = result.superheat.map(|_| "birch1987".to_owned());
    for key in bracketed.chain(always).chain(liquid).chain(jet) {
        if !keys.contains(&key) {
            keys.push(key);
        }
    }
    keys.sort();
    keys
}
