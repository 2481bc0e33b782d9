//! A relief valve for people and machines: area, letter, flow, as air.

use super::Report;
use super::record::record;
use crate::eos::State;
use crate::flow::relief::{Letter, ReliefFactors, ReliefFlux};
use crate::quantity::show::number;
use crate::quantity::{AbsolutePressure, Area, MassRate, VolumeRate, pascals_absolute};

/// A relief valve as it blows.
#[derive(Debug, Clone, Copy)]
pub struct Valve<'a> {
    /// Fuel before it.
    pub up: &'a State,
    /// What an ideal nozzle passes.
    pub ideal: &'a ReliefFlux,
    /// Its factors.
    pub factors: &'a ReliefFactors,
    /// Flow.
    pub flow: MassRate,
    /// Area.
    pub area: Area,
    /// Orifice that is made: the next one, or the one given.
    pub made: Option<Letter>,
    /// What that passes.
    pub letter_passes: Option<MassRate>,
    /// Air that the area passes at the same pressures, of gas.
    pub as_air: Option<VolumeRate>,
    /// Whether the area was asked for.
    pub sized: bool,
    /// Pressure behind it.
    pub back: AbsolutePressure,
    /// Air, which gauges read from.
    pub air: AbsolutePressure,
}

record! {
    /// A relief valve.
    ReliefOf(v: &Valve<'_>)
    with {
        found = |this: bool| if this { Some("found") } else { None };
        relieving = pascals_absolute(v.up.pressure_pa);
        formula = v.ideal.by_formula;
        share = v.factors.discharge * v.factors.back_pressure * v.factors.combination;
        area_by = |flux: crate::quantity::MassFlux| v.flow.value / (share * flux.value);
        next = v.made.filter(|_| v.sized);
        regime = match (v.ideal.by_isentrope, v.ideal.choked) {
            (None, _) => "no: it goes by the root of the drop",
            (_, true) => "yes: a lower back pressure passes no more",
            (_, false) => "no: back pressure counts",
        };
    }
    {
        area_m2: Area = v.area, "Area" => Area = v.area, note found(v.sized);
        /// Orifice by API 526: the next one that is made, or the one given.
        letter: Text = v.made.map(|l| l.letter), "Next orifice" => Text = next.map(|l| l.letter),
            note next.map(|l| format!("{} mm2, {} in2", number(l.area().value * 1e6), number(l.square_inches)));
        /// Area of that orifice.
        letter_area_m2: Area = v.made.map(|l| l.area());
        letter_mass_flow_kg_s: MassRate = v.letter_passes, "It passes"
            => MassRate = v.letter_passes.filter(|_| v.sized);
        mass_flow_kg_s: MassRate = v.flow, "Mass flow", note found(!v.sized);
        air_flow_m3_s: VolumeRate = v.as_air, "The same valve passes of air",
            note "at 60 degF (15.6 degC) and 1 atm, as valves are rated";
        relieving_pressure_pa: AbsolutePressure = relieving, "Relieving pressure"
            => GaugePressure = relieving.gauge(v.air);
        back_pressure_pa: AbsolutePressure = v.back, "Back pressure" => GaugePressure = v.back.gauge(v.air);
        temperature_k: Temperature = v.up.temperature_k, "Temperature";
        law: Text = v.ideal.law.name(), "What blows";
        choked: Flag = v.ideal.choked, "Choked" => Text = regime;
        discharge_coefficient: Number = v.factors.discharge, "Discharge coefficient";
        /// Factor for a rupture disk before it.
        combination_factor: Number = v.factors.combination, "Factor for the rupture disk"
            => Number = (v.factors.combination < 1.0).then_some(v.factors.combination);
        mass_flux_kg_m2_s: MassFlux = v.ideal.flux, "Mass flux sized with", note "the lesser, before the factors";
        /// Area by the formula of the standard for gas; null where it does not hold.
        formula_area_m2: Area = formula.map(|(flux, _)| area_by(flux)), "Area by the gas formula", source "api520";
        /// Area by the isentrope of the real fluid; null for liquid that stays liquid.
        isentrope_area_m2: Area = v.ideal.by_isentrope.map(area_by), "Area by the real fluid",
            note "greatest flux down the isentrope";
        compressibility: Number = formula.map(|(_, gas)| gas.compressibility), "Compressibility factor";
        ideal_gamma: Number = formula.map(|(_, gas)| gas.gamma), "Ideal-gas heat-capacity ratio";
    }
}

/// Adds a relief valve.
pub fn relief(report: &mut Report, valve: &Valve<'_>) {
    let row = ReliefOf::row(valve);
    report.keys(&row);
    let first = if valve.sized {
        ["area_m2", "mass_flow_kg_s"]
    } else {
        ["mass_flow_kg_s", "area_m2"]
    };
    let facts = [
        first[0],
        "letter",
        "letter_mass_flow_kg_s",
        first[1],
        "air_flow_m3_s",
        "relieving_pressure_pa",
        "back_pressure_pa",
        "temperature_k",
        "law",
        "choked",
    ];
    report.facts("Result", row.facts_of(&facts));
    let sums = [
        "discharge_coefficient",
        "combination_factor",
        "mass_flux_kg_m2_s",
        "formula_area_m2",
        "isentrope_area_m2",
        "compressibility",
        "ideal_gamma",
    ];
    report.facts("How it is sized", row.facts_of(&sums));
}
