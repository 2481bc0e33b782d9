//! Hazards that a switch to a liquid takes away and brings, with the figures at hand.

use super::demand::{Fed, charge_kg};
use super::fate::PartFate;
use super::feed::TankPlan;
use super::input::ConvertInput;
use super::liquid::liquid_state;
use crate::combustion::Stoichiometry;
use crate::quantity::show::{number, show};
use crate::quantity::{AbsolutePressure, Kind};
use crate::train::compatibility::Chemistry;

/// One hazard.
#[derive(Debug, Clone, PartialEq)]
pub struct Hazard {
    /// Whether the switch brings it; else it takes it away.
    pub gained: bool,
    /// What it is, with its figure.
    pub what: String,
}

/// Hazards lost and gained by a switch from a gas to a liquid.
pub(super) fn hazards(
    input: &ConvertInput<'_>,
    smallest: &Fed<'_>,
    tank: &TankPlan,
    pump_outlet: Option<AbsolutePressure>,
    fates: &[PartFate],
) -> Vec<Hazard> {
    let mut found = Vec::new();
    let mut add = |gained: bool, what: String| found.push(Hazard { gained, what });
    lost(input, fates, &mut add);
    let units = input.units;
    let (_, hottest) = input.extremes();
    if let Some(outlet) = pump_outlet
        && let Ok(state) = liquid_state(input.to, outlet, hottest)
        && let Some(response) = state.response
    {
        add(
            true,
            format!(
                "liquid shut in between two closed valves rises by {} as it warms: each such section needs a hydrostatic relief",
                show(Kind::PressurePerTemperature, response.dp_dt_pa_k, units)
            ),
        );
    }
    let lhv = Stoichiometry::of(input.to.composition())
        .ok()
        .map(|s| s.lower_heating_value.value);
    if let (Some(time), Some(lhv)) = (input.rig.controls.ignition_time, lhv) {
        let kg = smallest.demand.fuel.value * time.value;
        add(
            true,
            format!(
                "a failed start leaves {} of liquid in the can, {} of heat that no purge of air blows out: drain it before the next try",
                show(Kind::Mass, kg, units),
                show(Kind::Energy, kg * lhv, units)
            ),
        );
    }
    if let Some(lhv) = lhv {
        let kg = tank.filled(tank.endurance).value;
        let then = show(Kind::Energy, kg * lhv, units);
        let now = energy_now(input).map(|e| show(Kind::Energy, e, units));
        add(
            true,
            match now {
                Some(now) => format!(
                    "{then} of fuel that can run out and burn as a pool, where the old tank held {now}"
                ),
                None => format!("{then} of fuel at the rig that can run out and burn as a pool"),
            },
        );
    }
    add(
        true,
        "a leak on the pressure side sprays a mist that lights below the flash point".to_owned(),
    );
    add(
        true,
        "a pump and a battery near the fuel: sparks, and a pump that runs on after a flame-out unless it is interlocked"
            .to_owned(),
    );
    let chemistries = Chemistry::all(input.to.composition());
    if chemistries
        .iter()
        .any(|c| matches!(c, Chemistry::Alcohol | Chemistry::Methanol))
    {
        add(true, "a flame that may not be seen in daylight".to_owned());
    }
    if chemistries.contains(&Chemistry::Methanol) {
        add(
            true,
            "methanol poisons through skin, lungs and stomach".to_owned(),
        );
    }
    found
}

fn lost(input: &ConvertInput<'_>, fates: &[PartFate], add: &mut impl FnMut(bool, String)) {
    let units = input.units;
    let (_, hottest) = input.extremes();
    if input.rig.supply.tank().is_none() {
        return;
    }
    if let Ok(boiling) = input.from.bubble_t(hottest.value) {
        add(
            false,
            format!(
                "a cylinder at {} on the hottest day",
                show(
                    Kind::GaugePressure,
                    boiling.pressure_pa - input.rig.site.air_pressure.pascals(),
                    units
                )
            ),
        );
        let liquid = boiling.liquid.density_kg_m3;
        if let Ok(gas) = input
            .from
            .state_pt(input.rig.site.air_pressure.pascals(), hottest.value)
            && liquid > 20.0 * gas.density_kg_m3
        {
            add(
                false,
                format!(
                    "a leak of liquid gas that fills {} times its volume at once",
                    number(liquid / gas.density_kg_m3)
                ),
            );
        }
    }
    if fates.iter().any(|f| f.kind == "regulator") {
        add(
            false,
            "a regulator that may ice, creep or fail wide open".to_owned(),
        );
    }
    add(
        false,
        "pressure that sags as the cylinder chills".to_owned(),
    );
}

/// Heat of the fuel in the old tanks.
fn energy_now(input: &ConvertInput<'_>) -> Option<f64> {
    let tank = input.rig.supply.tank()?;
    let t = tank.temperature.unwrap_or(input.rig.site.ambient);
    let kg = f64::from(tank.number) * charge_kg(input, tank, t)?;
    let s = Stoichiometry::of(input.from.composition()).ok()?;
    Some(kg * s.lower_heating_value.value)
}
