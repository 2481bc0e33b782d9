//! Tank, pump, battery and valve of the liquid system.

use super::demand::{Fed, mean_flow, old_endurance};
use super::error::ConvertError;
use super::input::ConvertInput;
use super::lines::LineOption;
use super::liquid::liquid_state;
use super::nozzle::Feed;
use crate::eos::EosError;
use crate::flow::pump::{PumpError, battery, pump_head, pump_power};
use crate::flow::valve::{LiquidFeed, Passage, Style, valve_coefficient};
use crate::quantity::sentence::Told;
use crate::quantity::{
    AbsolutePressure, Energy, Length, Mass, MassDensity, MassRate, Power, PressureDifference,
    Ratio, Time, Volume, VolumeRate, cubic_metres, cubic_metres_per_second, kilograms,
    kilograms_per_cubic_metre, metres, pascals_absolute, pascals_difference, ratio, seconds, watts,
};
use std::f64::consts::PI;

/// Share of a filling that can be burnt; the rest stays below the outlet. Our choice.
pub const USABLE_FILLING: f64 = 0.95;
/// Share of the tank that is liquid on the hottest day; the rest is room for it to swell. Our choice.
pub const FULL_ON_HOTTEST: f64 = 0.95;
/// Endurance where neither wish nor old tank gives one; our choice.
const ASSUMED_ENDURANCE_S: f64 = 3600.0;
/// Wall of a tank whose mass is estimated, and its steel; our choice: sheet of 1 mm.
const TANK_WALL_M: f64 = 1e-3;
const STEEL_KG_M3: f64 = 8000.0;
/// Cap, vent and outlet; our choice.
const TANK_FITTINGS_KG: f64 = 0.3;
/// Relative half-width of the band on an estimated mass; our choice, as the cautions say.
pub const MASS_BAND: f64 = 0.4;
/// Electric pump: base mass and power by mass; our choice, small gear pumps with their motor.
const PUMP_BASE_KG: f64 = 0.25;
const PUMP_W_KG: f64 = 80.0;
/// Hydraulic over electric power of small gear and vane pumps: least, taken, most. Common practice, no source.
pub const PUMP_EFFICIENCY: [f64; 3] = [0.1, 0.2, 0.4];
/// Energy of lithium packs by mass, J/kg: least, taken, most. Common practice, no source.
pub const BATTERY_J_KG: [f64; 3] = [0.4e6, 0.54e6, 0.7e6];
/// Share of a battery's energy that is counted on, with cold and age; our choice.
pub const BATTERY_USABLE: f64 = 0.8;
/// Drop over the valve at the largest duty over that of the nozzles; our choice for a valve
/// that still governs.
pub const VALVE_DROP_SHARE: f64 = 0.2;
/// Least drop over the valve at the largest duty; our choice.
pub const LEAST_VALVE_DROP_PA: f64 = 5e4;

/// A value with the band it lies in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Band<T> {
    /// Best estimate.
    pub value: T,
    /// Least.
    pub low: T,
    /// Most.
    pub high: T,
}

/// A mass estimated within [`MASS_BAND`].
pub(super) fn estimated(mass_kg: f64) -> Band<Mass> {
    Band {
        value: kilograms(mass_kg),
        low: kilograms(mass_kg * (1.0 - MASS_BAND)),
        high: kilograms(mass_kg * (1.0 + MASS_BAND)),
    }
}

/// How much fuel goes with the rig.
#[derive(Debug, Clone, PartialEq)]
pub struct TankPlan {
    /// Burning time on one filling.
    pub endurance: Time,
    /// Where that is from.
    pub endurance_from: &'static str,
    /// Mean flow while burning.
    pub mean_flow: MassRate,
    /// What it is the mean over.
    pub mean_from: &'static str,
    /// Density on the hottest day.
    pub hottest_density: MassDensity,
    /// Density on the test day.
    pub density: MassDensity,
}

impl TankPlan {
    /// Fuel burnt in a time.
    pub fn burnt(&self, endurance: Time) -> Mass {
        kilograms(self.mean_flow.value * endurance.value)
    }
    /// Fuel filled in for a time, with what stays behind: `burnt/0.95`.
    pub fn filled(&self, endurance: Time) -> Mass {
        self.burnt(endurance) / USABLE_FILLING
    }
    /// Volume of the tank for a time: 95 % full on the hottest day.
    pub fn volume(&self, endurance: Time) -> Volume {
        cubic_metres(self.filled(endurance).value / (self.hottest_density.value * FULL_ON_HOTTEST))
    }
    /// Diameter and length of a closed cylinder twice as long as wide that holds it.
    pub fn size(&self, endurance: Time) -> (Length, Length) {
        let d_m = (2.0 * self.volume(endurance).value / PI).cbrt();
        (metres(d_m), metres(2.0 * d_m))
    }
    /// Mass of that tank empty, of steel sheet 1 mm thick: `2.5 π D² t ρ` and 0.3 kg of fittings, ±40 %.
    pub fn dry_mass(&self, endurance: Time) -> Band<Mass> {
        let (d, _) = self.size(endurance);
        estimated(2.5 * PI * d.value * d.value * TANK_WALL_M * STEEL_KG_M3 + TANK_FITTINGS_KG)
    }
}

/// The pump.
#[derive(Debug, Clone, PartialEq)]
pub struct PumpPlan {
    /// Flow at the largest duty.
    pub flow: VolumeRate,
    /// Pressure at its outlet.
    pub outlet: AbsolutePressure,
    /// Pressure it adds.
    pub rise: PressureDifference,
    /// The same as head.
    pub head: Length,
    /// Power in the liquid.
    pub hydraulic: Power,
    /// Hydraulic over electric power.
    pub efficiency: Band<Ratio>,
    /// Electric power.
    pub electric: Band<Power>,
    /// Mass with its motor.
    pub mass: Band<Mass>,
}

/// The battery.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BatteryPlan {
    /// Energy taken out.
    pub energy: Energy,
    /// Mass.
    pub mass: Band<Mass>,
}

/// The valve that meters the liquid.
#[derive(Debug, Clone, PartialEq)]
pub struct ValvePlan {
    /// Drop over it at the largest duty.
    pub drop: PressureDifference,
    /// Passage at every duty, or why not.
    pub duties: Vec<(String, Result<Passage, String>)>,
}

impl ValvePlan {
    /// Least and most flow coefficient, Kv.
    pub fn range(&self) -> Option<(f64, f64)> {
        let kv = || {
            let known = self.duties.iter().filter_map(|(_, p)| p.as_ref().ok());
            known.map(|p| p.kv.kv())
        };
        let least = kv().min_by(f64::total_cmp)?;
        Some((least, kv().max_by(f64::total_cmp)?))
    }
}

/// The tank.
///
/// # Errors
/// [`EosError`]: no liquid density on the hottest day, or no fuel flow.
pub(super) fn tank(input: &ConvertInput<'_>, fed: &[Fed<'_>]) -> Result<TankPlan, ConvertError> {
    let air = input.rig.site.air_pressure;
    let (_, hottest) = input.extremes();
    let flow_of = |name: &str| {
        let found = fed.iter().find(|f| f.duty.now.name == name)?;
        Some(found.demand.fuel.value)
    };
    let (mean_flow, mean_from) = mean_flow(input, flow_of).ok_or_else(|| ConvertError::NoDuty {
        fuel: input.to.composition().label().to_owned(),
        why: "none of its duties has a fuel flow".into(),
    })?;
    let (endurance, endurance_from) = match (input.wishes.endurance, old_endurance(input)) {
        (Some(t), _) => (t, "as given"),
        (None, Some(t)) => (t, "that of the old tank"),
        (None, None) => (seconds(ASSUMED_ENDURANCE_S), "assumed"),
    };
    let density = |t| -> Result<MassDensity, EosError> {
        let state = liquid_state(input.to, air, t)?;
        Ok(kilograms_per_cubic_metre(state.density_kg_m3))
    };
    Ok(TankPlan {
        endurance,
        endurance_from,
        mean_flow,
        mean_from,
        hottest_density: density(hottest)?,
        density: density(input.day())?,
    })
}

/// Drop over the valve at the largest duty.
pub(super) fn valve_drop(nozzle_drop_pa: f64) -> PressureDifference {
    pascals_difference((VALVE_DROP_SHARE * nozzle_drop_pa).max(LEAST_VALVE_DROP_PA))
}

/// The pump: from the site's air to nozzle, valve and line together.
///
/// # Errors
/// [`PumpError`].
pub(super) fn pump(feed: &Feed<'_>, line: Option<&LineOption>) -> Result<PumpPlan, PumpError> {
    let input = feed.input;
    let loss_pa = line.map_or(0.0, |l| l.loss.pascals());
    let outlet_pa = feed.pressure.pascals() + valve_drop(feed.drop_pa()).pascals() + loss_pa;
    let rise = pascals_difference(outlet_pa - input.rig.site.air_pressure.pascals());
    let density = feed.liquid.density;
    let flow = cubic_metres_per_second(feed.largest.demand.fuel.value / density.value);
    let [least, usual, most] = PUMP_EFFICIENCY;
    let taken = input.wishes.pump_efficiency.map_or(usual, |e| e.value);
    let efficiency = Band {
        value: ratio(taken),
        low: ratio(least.min(taken)),
        high: ratio(most.max(taken)),
    };
    let power = |e: Ratio| pump_power(flow, rise, e);
    let electric = Band {
        value: power(efficiency.value)?,
        low: power(efficiency.high)?,
        high: power(efficiency.low)?,
    };
    Ok(PumpPlan {
        flow,
        outlet: pascals_absolute(outlet_pa),
        rise,
        head: pump_head(rise, density)?,
        hydraulic: watts(flow.value * rise.pascals()),
        efficiency,
        mass: estimated(PUMP_BASE_KG + electric.value.value / PUMP_W_KG),
        electric,
    })
}

/// The battery for a time: the pump runs at its full flow, what the burner does not take goes back to the tank.
///
/// # Errors
/// [`PumpError`].
pub(super) fn battery_for(
    input: &ConvertInput<'_>,
    pump: &PumpPlan,
    endurance: Time,
) -> Result<BatteryPlan, PumpError> {
    let [least, usual, most] = BATTERY_J_KG;
    let taken = input.wishes.battery_energy.map_or(usual, |e| e.value);
    let of = |load: Power, specific: f64| battery(load, endurance, specific, ratio(BATTERY_USABLE));
    let value = of(pump.electric.value, taken)?;
    // a given energy is known: its band is the pump's alone
    let (worst, best) = match input.wishes.battery_energy {
        Some(_) => (taken, taken),
        None => (least, most),
    };
    Ok(BatteryPlan {
        energy: value.energy,
        mass: Band {
            value: value.mass,
            low: of(pump.electric.low, best)?.mass,
            high: of(pump.electric.high, worst)?.mass,
        },
    })
}

/// The valve: pump pressure before it, at every duty what the nozzles need behind it.
pub(super) fn valve(feed: &Feed<'_>, pump: &PumpPlan, line: Option<&LineOption>) -> ValvePlan {
    let input = feed.input;
    let before = pascals_absolute(pump.outlet.pascals() - line.map_or(0.0, |l| l.loss.pascals()));
    let passage = |fed: &Fed<'_>| -> Result<Passage, String> {
        let state = liquid_state(input.to, before, feed.liquid.temperature);
        let state = state.map_err(|e| e.told().show(input.units))?;
        let at_inlet = LiquidFeed::of(input.to, &state).map_err(|e| e.told().show(input.units))?;
        let behind_pa = fed.duty.now.chamber.pascals() + feed.drop_at(fed).pascals();
        valve_coefficient(
            at_inlet,
            pascals_absolute(behind_pa),
            fed.demand.fuel,
            &Style::NEEDLE,
            None,
        )
        .map_err(|e| e.told().show(input.units))
    };
    ValvePlan {
        drop: valve_drop(feed.drop_pa()),
        duties: feed
            .fed
            .iter()
            .map(|f| (f.duty.now.name.clone(), passage(f)))
            .collect(),
    }
}
