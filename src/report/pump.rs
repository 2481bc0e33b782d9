//! A pump for people and machines: power, head, suction head and where vapour locks it.

use super::record::record;
use super::{Finding, Report};
use crate::audit::rules::{deep_suction, vapour_lock};
use crate::convert::liquid::LiquidAt;
use crate::flow::pump::{
    DEEPEST_SUCTION_PA, Draw, GRAVITY_M_S2, PumpWork, SUCTION_MARGIN, pump_head,
};
use crate::flow::suction::SuctionLimit;
use crate::quantity::show::{Units, number, show};
use crate::quantity::{AbsolutePressure, Kind, Length, Ratio};

/// A pump with its suction side.
#[derive(Debug, Clone, Copy)]
pub struct Told<'a> {
    /// What it does.
    pub work: &'a PumpWork,
    /// The liquid.
    pub liquid: &'a LiquidAt,
    /// What it draws from.
    pub draw: &'a Draw,
    /// Efficiency of pump and motor.
    pub efficiency: Ratio,
    /// Suction head that it needs.
    pub required: Length,
    /// Fuel temperature at which that is used up.
    pub limit: SuctionLimit,
    /// Flag that was left out.
    pub found: &'static str,
    /// Air.
    pub air: AbsolutePressure,
    /// Units of the findings.
    pub units: Units,
}

impl Told<'_> {
    fn margin_m(&self) -> f64 {
        self.work.head_available.value - SUCTION_MARGIN * self.required.value
    }
}

record! {
    /// A pump.
    PumpOf(p: &Told<'_>)
    with {
        w = p.work;
        found = |name: &str| if name == p.found { Some("found") } else { None };
        (at, not_below) = match p.limit {
            SuctionLimit::At(t) => (Some(t), None),
            SuctionLimit::NotBelow(t) => (None, Some(t)),
            _ => (None, None),
        };
        already = matches!(p.limit, SuctionLimit::Already).then_some("used up as it is");
        // by its own suction head, or by the air that comes out of fuel under suction
        by_head = p.draw.lift.value + p.margin_m();
        deepest_pa = p.work.inlet.pascals() - (p.air.pascals() - DEEPEST_SUCTION_PA);
        by_air = p.draw.lift.value + deepest_pa / (p.liquid.density.value * GRAVITY_M_S2);
        highest = by_head.min(by_air);
        why = if highest < 0.0 { "the pump has to stand below the level" } else if by_air < by_head { "air comes out of fuel that is drawn harder" } else { "by the suction head" };
    }
    {
        /// What was asked for: `flow`, `discharge` or `power`.
        found: Text = p.found;
        power_w: Power = w.power, "Power", note found("power").or(Some("of the motor"));
        hydraulic_power_w: Power = w.hydraulic, "Of it into the liquid";
        mass_flow_kg_s: MassRate = w.flow, "Mass flow", note found("flow");
        volume_flow_m3_s: VolumeRate = w.volume_flow, "Volume flow";
        discharge_pressure_pa: AbsolutePressure = w.discharge, "Pressure behind it"
            => GaugePressure = w.discharge.gauge(p.air), note found("discharge");
        pressure_rise_pa: PressureDifference = w.rise, "Pressure rise";
        head_m: Length = pump_head(w.rise, p.liquid.density).ok(), "Head";
        suction_head_available_m: Length = w.head_available, "Suction head available (NPSH)";
        suction_head_needed_m: Length = SUCTION_MARGIN * p.required, "Suction head needed",
            note format!("{} times what the pump needs", number(SUCTION_MARGIN)), source "tp410";
        suction_margin_m: Length = p.margin_m(), "Suction margin";
        highest_lift_m: Length = highest, "Highest lift", note why;
        /// Fuel temperature that uses the margin up at this pressure in the tank.
        lock_temperature_k: Temperature = at, "Margin used up at a fuel temperature of", note at.map(|_| "at this pressure in the tank");
        (not_below): Temperature = not_below, "Margin left up to", note "where the data of the fuel end";
        (already): Text = already, "Margin";
        inlet_pressure_pa: AbsolutePressure = w.inlet, "Pressure at its inlet" => GaugePressure = w.inlet.gauge(p.air);
        suction_friction_m: Length = w.friction_head, "Head lost in the suction line";
        /// Pressure on the liquid in the tank.
        tank_pressure_pa: AbsolutePressure = p.draw.tank_pressure, "Pressure in the tank"
            => GaugePressure = p.draw.tank_pressure.gauge(p.air);
        vapour_pressure_pa: AbsolutePressure = p.liquid.vapour_pressure, "Vapour pressure";
        temperature_k: Temperature = p.liquid.temperature, "Temperature of the liquid";
        density_kg_m3: Density = p.liquid.density, "Density";
        viscosity_pa_s: DynamicViscosity = p.liquid.viscosity, "Viscosity";
        efficiency: Ratio = p.efficiency, "Efficiency of pump and motor";
    }
}

/// Adds a pump, with what the rules on pumps say.
pub fn pump(report: &mut Report, told: &Told<'_>) {
    let row = PumpOf::row(told);
    report.keys(&row);
    let mut first = ["power_w", "mass_flow_kg_s", "discharge_pressure_pa"];
    match told.found {
        "flow" => first.swap(0, 1),
        "discharge" => first.swap(0, 2),
        _ => {}
    }
    let rest = [
        "volume_flow_m3_s",
        "pressure_rise_pa",
        "suction_head_available_m",
        "suction_head_needed_m",
        "suction_margin_m",
        "highest_lift_m",
        "lock_temperature_k",
        "not_below",
        "already",
    ];
    report.facts("Result", row.facts_of(&[&first[..], &rest].concat()));
    let rests_on = [
        "hydraulic_power_w",
        "head_m",
        "efficiency",
        "inlet_pressure_pa",
        "suction_friction_m",
        "tank_pressure_pa",
        "vapour_pressure_pa",
        "temperature_k",
        "density_kg_m3",
        "viscosity_pa_s",
    ];
    report.facts("Liquid and suction line", row.facts_of(&rests_on));
    let found = locks(told).into_iter().chain(deep(told));
    report.findings = Some(found.collect());
}

fn locks(told: &Told<'_>) -> Option<Finding> {
    let shown = |m: f64| show(Kind::Length, m, told.units);
    let needed = SUCTION_MARGIN * told.required.value;
    let mut found = Finding::of(
        &vapour_lock::RULE,
        "pump",
        shown(told.work.head_available.value),
        format!("at least {}", shown(needed)),
    );
    found.say("{It} gets {measured} of suction head and needs {limit}: vapour locks it, and the flame goes out.");
    (told.margin_m() < 0.0).then_some(found)
}

fn deep(told: &Told<'_>) -> Option<Finding> {
    let below_pa = told.air.pascals() - told.work.inlet.pascals();
    let shown = |pa: f64| show(Kind::PressureDifference, pa, told.units);
    let limit = format!("at most {}", shown(DEEPEST_SUCTION_PA));
    let found = Finding::of(&deep_suction::RULE, "pump", shown(below_pa), limit);
    (below_pa > DEEPEST_SUCTION_PA).then_some(found)
}
