//! What a reader of an injector's figures must know: notes, assumptions, sources.

use super::drills::{DrillCheck, HoleTolerance, hole_diameters};
use super::hole::{ASSUMED_LENGTH_OVER_DIAMETER, InletEdge};
use super::input::InjectorInput;
use super::result::InjectorResult;
use super::solve::Solved;
use crate::eos::Phase;
use crate::flow::orifice::Expansion;
use crate::quantity::Length;
use crate::quantity::sentence::{Sentence, flux, length, pressure, sentence};
use crate::quantity::show::{percent, signed};

/// Unit of fluxes in notes.
const FLUX: &str = "kg/(m² s)";
/// Ideal fluxes of wide liquid bounds differ by more than this factor.
const WIDE_BOUNDS: f64 = 1.1;

/// Adds notes, assumptions and sources to a result.
pub(super) fn add(input: &InjectorInput<'_>, solved: &Solved<'_>, result: &mut InjectorResult) {
    let mut notes = std::mem::take(&mut result.notes);
    phase_notes(input, solved, result, &mut notes);
    liquid_notes(input, solved, &mut notes);
    quenching_note(input, result, &mut notes);
    notes.extend(result.coefficient.notes.iter().map(|n| n.as_str().into()));
    result.notes = notes;
    result.assumptions = assumptions(input, result);
    result.sources = sources(input, result);
}

fn phase_notes(
    input: &InjectorInput<'_>,
    solved: &Solved<'_>,
    result: &InjectorResult,
    notes: &mut Vec<Sentence>,
) {
    let up = &solved.ideal.up;
    if up.state().phase == Phase::TwoPhase && !up.is_liquid() && !up.is_gas() {
        notes.push(sentence!(
            "{} is part liquid, part vapour before the holes: the share that reaches each hole is a matter of luck",
            input.fluid.composition().label()
        ));
    }
    if let Some(p) = result.crosses_saturation
        && up.is_gas()
    {
        notes.push(sentence!(
            "the expansion enters the two-phase region at {}, before the throat: the flux is that of equilibrium, a short hole may pass a few per cent more (delayed condensation)",
            pressure(p.pascals())
        ));
    }
}

fn liquid_notes(input: &InjectorInput<'_>, solved: &Solved<'_>, notes: &mut Vec<Sentence>) {
    let ideal = &solved.ideal;
    let Some(share) = ideal.flashing_share else {
        return;
    };
    if ideal.flux_high > WIDE_BOUNDS * ideal.flux_low {
        notes.push(sentence!(
            "the liquid flashes: without new vapour in the hole the ideal flux would be {}, in equilibrium {}; the blend takes {} of the second [dyer2007]",
            flux(ideal.flux_high).fixed(FLUX, 1.0, 0),
            flux(ideal.flux_low).fixed(FLUX, 1.0, 0),
            &percent(share)
        ));
        notes.push(sentence!(
            "the blend was made for holes some ten diameters long; holes much shorter lie nearer to the first, holes longer than about {} nearer to the second (from memory)",
            length(0.1).fixed("m", 1.0, 1)
        ));
    }
    if ideal.choked && input.expansion == Expansion::Blend {
        notes.push(
            "only the equilibrium part of the flow is choked: the rest still answers to chamber pressure"
                .into(),
        );
    }
}

/// A hole is no flame arrester, whatever its size; the quenching distance only says how likely it is to pass a flame
/// back. Of a wider one the rule on it speaks.
fn quenching_note(input: &InjectorInput<'_>, result: &InjectorResult, notes: &mut Vec<Sentence>) {
    let parts = input.fluid.composition().parts().iter();
    let least = parts
        .filter_map(|p| p.fuel.safety.as_ref()?.quenching_distance_m.as_ref())
        .min_by(|a, b| a.value.total_cmp(&b.value));
    if let Some(least) = least.filter(|least| result.diameter.value < least.value) {
        notes.push(sentence!(
            "a hole of {} is below the quenching distance of about {} [{}]; either way it is no flame arrester: a hot wall, a long purge or air in the ring can let a flame through, and only a type-tested arrester counts as one",
            length(result.diameter.value).fixed("mm", 1e-3, 2),
            length(least.value).fixed("mm", 1e-3, 1),
            &least.source
        ));
    }
}

/// Area of a hole of a grade against the one asked for.
fn area_band(diameter: Length, grade: HoleTolerance) -> Option<String> {
    let (least, most) = hole_diameters(diameter, grade).ok()?;
    let off = |d: Length| signed(100.0 * ((d.value / diameter.value).powi(2) - 1.0));
    Some(format!("{} to {} %", off(least), off(most)))
}

fn assumptions(input: &InjectorInput<'_>, result: &InjectorResult) -> Vec<Sentence> {
    let grade = input.make.tolerance(result.diameter);
    let mut list: Vec<Sentence> = vec![
        "all holes are equal, round, far apart and see the same supply; how a ring or bar shares the flow between them is computed apart from this".into(),
    ];
    if input.make.tested.is_some() {
        list.push("the holes are as their flow test found them, coefficient and area together: their diameter has no band of its own".into());
    } else {
        list.push(sentence!(
            "finished holes are {} (drill up to h8 under size); the band takes the smallest hole with the lowest coefficient and the largest with the highest [iso286]",
            grade.name()
        ));
    }
    if let (Some(drilled), Some(reamed)) = (
        area_band(result.diameter, grade),
        area_band(result.diameter, HoleTolerance::H9),
    ) && grade != HoleTolerance::H9
        && input.make.tested.is_none()
    {
        list.push(sentence!(
            "{} leaves the area of such a hole at {}; reamed to H9 it would be {}; a hole whose diameter is measured, or that is flow-tested, is known better still",
            grade.name(),
            drilled.as_str(),
            reamed.as_str()
        ));
    }
    if input.make.length.is_none() && !matches!(input.make.edge, InletEdge::Measured { .. }) {
        list.push(sentence!(
            "hole length not given: {} taken ({} of wall, or {} diameters if that is less)",
            length(result.length.value).fixed("mm", 1e-3, 2),
            length(1e-3).digits(2),
            &ASSUMED_LENGTH_OVER_DIAMETER
        ));
    }
    match input.make.edge {
        InletEdge::Sharp => list.push("inlet edges are square, reamed and free of burr".into()),
        InletEdge::Drilled => {
            list.push("holes are as a twist drill leaves them: edges nominally square".into());
        }
        InletEdge::Rounded(_) => {
            list.push("the inlet radius is smooth and the same at every hole".into());
        }
        InletEdge::Measured {
            relative_band: None,
            ..
        } => list.push(
            "the discharge coefficient given is taken as 3 % uncertain, for want of its band"
                .into(),
        ),
        InletEdge::Measured { .. } => {}
    }
    if result.superheat.is_none() && result.supply.phase != Phase::Gas {
        list.push(sentence!(
            "liquid expands by the `{}` model",
            input.expansion.name()
        ));
    }
    list.push("no pressure is lost between where the supply is measured and the holes".into());
    if result
        .drills
        .iter()
        .any(|c| c.drill.check == DrillCheck::Memory)
    {
        list.push(
            "sizes of some drills in the table are from memory: measure the drill before it is used"
                .into(),
        );
    }
    list.extend(input.fluid.assumptions().iter().map(|a| a.as_str().into()));
    list
}

fn sources(input: &InjectorInput<'_>, result: &InjectorResult) -> Vec<String> {
    let mut keys: Vec<String> = Vec::new();
    let bracketed = result
        .coefficient
        .models
        .iter()
        .map(|model| (*model).to_owned())
        .chain(result.notes.iter().map(ToString::to_string))
        .filter_map(|text| Some(text.rsplit_once('[')?.1.split_once(']')?.0.to_owned()));
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
