//! A relief valve behind a regulator that opens too early, too late, or too little.

use super::{solved, train_parts};
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::eos::EosError;
use crate::flow::regulator::Regulator;
use crate::flow::relief::{ReliefFactors, ReliefGas, relief_area};
use crate::quantity::{
    AbsolutePressure, GAS_CONSTANT_J_MOL_K, Kind, Length, MassRate, kelvin, kilograms_per_mole,
    kilograms_per_second, metres, pascals_difference,
};
use crate::train::{Part, PartKind, ways};
use std::f64::consts::PI;

rule! {
    /// ## What it checks
    /// Set pressure of every relief valve behind a regulator or pump: above the most that holds with the flow stopped,
    /// full supply or nearly spent; of one before the regulator: above the highest pressure of the supply;
    /// and no higher than the weakest part it protects, the next regulator among them; and its bore, for vapour, against
    /// what the regulator before it passes wide open.
    /// ## Why it matters
    /// One that opens at every stop vents fuel beside the fire until somebody plugs it. One that opens above the
    /// weakest part protects nothing: that part is the relief.
    /// ## What to do
    /// Set it between lock-up and the weakest rating, with a tenth to either side; vent it outdoors.
    ReliefBehindRegulator, "REG008", "relief-behind-regulator", Regulator
}

/// A relief valve with what it stands behind and what it protects.
struct Relieved<'s> {
    valve: &'s Part,
    set: AbsolutePressure,
    held: AbsolutePressure,
    /// The regulator before it, and the pressure before that.
    fed_by: Option<(&'s Regulator, AbsolutePressure)>,
    weakest: Option<(&'s Part, AbsolutePressure)>,
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if train_parts(s, v).is_none() {
        return;
    }
    let Some(supply) = solved::highest_supply(s, v) else {
        return;
    };
    before_regulator(s, v, supply);
    for relief in relieved(s, supply) {
        if relief.set <= relief.held {
            v.find(
                Signal::Warning,
                solved::part_path(&relief.valve.name),
                s.pressure(relief.set),
                Limit::AtLeast(Measured::Worded(
                    Kind::AbsolutePressure,
                    relief.held.pascals(),
                    format!("above {}, with the flow stopped", s.gauge(relief.held)),
                )),
                Source::Choice("a relief valve stays shut in ordinary work; common practice, no source"),
                match relief.weakest {
                    Some((_, rating)) if rating <= relief.held => {
                        "no setting lies above the pressure with the flow stopped and below the weakest part: bring that pressure \
                         down, or change that part"
                    }
                    _ if relief.fed_by.is_none() => {
                        "set it above the pressure with the flow stopped and below the weakest part"
                    }
                    _ => "set it above the pressure with the flow stopped and below the weakest part, or mend the regulator's lock-up",
                },
            );
        }
        passes_too_little(s, v, &relief);
        if let Some((weakest, rating)) = relief.weakest
            && relief.set > rating
        {
            v.find(
                Signal::Warning,
                solved::part_path(&relief.valve.name),
                s.pressure(relief.set),
                Limit::AtMost(Measured::Worded(
                    Kind::AbsolutePressure,
                    rating.pascals(),
                    format!("{}, the rating of {}", s.gauge(rating), weakest.name),
                )),
                Source::Input(format!("train.{}.max_pressure", weakest.name)),
                "set the relief valve below the weakest part, or change that part",
            );
        }
    }
}

/// Holds relief valves that see the supply against it.
fn before_regulator(s: &Solution<'_>, v: &mut Verdict, supply: AbsolutePressure) {
    // without a regulator it is that which is missing; liquid in a section is another rule's
    if s.is_unregulated() || !s.wants_vapour() {
        return;
    }
    for part in ways::at_supply_pressure(&s.rig.train) {
        if let PartKind::ReliefValve(relief) = &part.kind
            && relief.set_pressure <= supply
        {
            v.find(
                Signal::Warning,
                solved::part_path(&part.name),
                s.pressure(relief.set_pressure),
                Limit::AtLeast(Measured::Worded(
                    Kind::AbsolutePressure,
                    supply.pascals(),
                    format!("above {}, the highest pressure of the supply", s.gauge(supply)),
                )),
                Source::Choice("a relief valve stays shut in ordinary work; common practice, no source"),
                "it blows at the pressure of the supply: put it behind the regulator that it protects against",
            );
        }
    }
}

/// Discharge coefficient of a small relief valve whose maker states none. Our choice.
const DISCHARGE: f64 = 0.8;

/// Holds the bore of a relief valve against what its regulator passes wide open.
fn passes_too_little(s: &Solution<'_>, v: &mut Verdict, relief: &Relieved<'_>) {
    let PartKind::ReliefValve(law) = &relief.valve.kind else {
        return;
    };
    let (Some((regulator, inlet)), Some(bore)) = (relief.fed_by, law.bore) else {
        return;
    };
    if !s.wants_vapour() {
        return;
    }
    match bore_needed(s, regulator, inlet, relief.set) {
        Ok((flow, needed)) if bore < needed => v.find(
            Signal::Warning,
            solved::part_path(&relief.valve.name),
            Measured::Worded(
                Kind::Length,
                bore.value,
                format!(
                    "bore {}, where the regulator wide open passes {}",
                    s.show(Kind::Length, bore.value),
                    s.show(Kind::MassRate, flow.value)
                ),
            ),
            Limit::AtLeast(Measured::Quantity(Kind::Length, needed.value)),
            Source::Published("api520"),
            "a relief valve that passes what the regulator does wide open",
        ),
        Ok(_) => {}
        Err(why) => v.not_checked(format!("what {} has to pass: {why}", relief.valve.name)),
    }
}

/// Flow of a regulator wide open at the pressure at which its relief valve opens, and the bore that passes it.
fn bore_needed(
    s: &Solution<'_>,
    regulator: &Regulator,
    inlet: AbsolutePressure,
    set: AbsolutePressure,
) -> Result<(MassRate, Length), String> {
    let why = |e: EosError| s.why(&e);
    let p_pa = inlet.pascals();
    // vapour a hair above its dew point, or as warm as the site
    let t_k = s.fluid.dew_p(p_pa).map_or(s.rig.site.ambient.value, |dew| {
        (dew.temperature_k + 1.0).max(s.rig.site.ambient.value)
    });
    let state = s.fluid.state_pt(p_pa, t_k).map_err(why)?;
    let stuck = Regulator {
        set_pressure: set,
        rated_flow: kilograms_per_second(f64::MAX.sqrt()),
        droop: pascals_difference(0.0),
        nominal_inlet: None,
        ..*regulator
    };
    let flow = stuck
        .capacity(s.fluid.as_ref(), &state)
        .map_err(|e| e.to_string())?;
    let relieving = s
        .fluid
        .state_ph(set.pascals(), state.enthalpy_j_kg)
        .map_err(why)?;
    let response = relieving.response.ok_or("the fuel is wet there")?;
    let m = s.fluid.molar_mass_kg_mol();
    let z = set.pascals() * m
        / (relieving.density_kg_m3 * GAS_CONSTANT_J_MOL_K * relieving.temperature_k);
    let gas = ReliefGas {
        pressure: set,
        temperature: kelvin(relieving.temperature_k),
        compressibility: z,
        molar_mass: kilograms_per_mole(m),
        gamma: response.cp_j_kg_k / response.cv_j_kg_k,
    };
    let factors = ReliefFactors {
        discharge: DISCHARGE,
        back_pressure: 1.0,
        combination: 1.0,
    };
    let area =
        relief_area(&gas, flow, s.rig.site.air_pressure, &factors).map_err(|e| e.to_string())?;
    Ok((flow, metres((4.0 * area.value / PI).sqrt())))
}

/// Every relief valve behind a regulator or pump, once.
fn relieved<'s>(s: &'s Solution<'_>, supply: AbsolutePressure) -> Vec<Relieved<'s>> {
    let mut found: Vec<Relieved<'_>> = Vec::new();
    for way in ways::ways(&s.rig.train) {
        let sections = way.split(|p| holds(p).is_some());
        let holders = way.iter().filter(|p| holds(p).is_some());
        let mut held = supply;
        // what stands before the first regulator is protected by the tank's own relief
        let next = holders
            .clone()
            .skip(1)
            .map(Some)
            .chain(std::iter::once(None));
        for ((section, holder), next) in sections.skip(1).zip(holders).zip(next) {
            let before = held;
            held = match holds(holder) {
                Some(Holds::Regulator(r)) => r.highest_lock_up(held),
                Some(Holds::Pump(p)) => p.against_closed(held),
                None => held,
            };
            let rated = section
                .iter()
                .chain(next)
                .filter_map(|p| Some((*p, p.rating.max_pressure?)));
            let weakest = rated.min_by(|a, b| a.1.pascals().total_cmp(&b.1.pascals()));
            for part in section {
                if let PartKind::ReliefValve(relief) = &part.kind
                    && found.iter().all(|f| f.valve.name != part.name)
                {
                    found.push(Relieved {
                        valve: part,
                        set: relief.set_pressure,
                        held,
                        fed_by: match holds(holder) {
                            Some(Holds::Regulator(r)) => Some((r, before)),
                            _ => None,
                        },
                        weakest,
                    });
                }
            }
        }
    }
    found
}

/// What sets the pressure behind it.
enum Holds<'p> {
    Regulator(&'p Regulator),
    Pump(&'p crate::train::Pump),
}

fn holds(part: &Part) -> Option<Holds<'_>> {
    match &part.kind {
        PartKind::Regulator(r) => Some(Holds::Regulator(r)),
        PartKind::Pump(p) => Some(Holds::Pump(p)),
        _ => None,
    }
}
