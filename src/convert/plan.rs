//! The whole plan: from what to what, and everything that follows.

use super::demand::{DutyNext, ExitAgainstLimits, duties, extremes, fed, limits};
use super::error::ConvertError;
use super::evaporation::{ASSUMED_PRIMARY_SHARE, DutyEvaporation, evaporation};
use super::fate::{MaterialAnswer, Need, PartFate, fates, materials};
use super::feed::{
    BatteryPlan, PumpPlan, TankPlan, ValvePlan, battery_for, pump, tank, valve, valve_drop,
};
use super::gas::{ToGas, to_gas};
use super::gas_holes::{AgainstIt, LiquidInGasHoles, against, through};
use super::hazards::{Hazard, hazards};
use super::input::ConvertInput;
use super::light_off::{LightOff, light_off};
use super::lines::{Lines, lines};
use super::liquid::{LiquidAt, liquid_at};
use super::nozzle::{Feed, NozzleOption, Nozzles, nozzles};
use super::suction::{SuctionPlan, suction};
use super::to_buy::{NozzlesToBuy, PumpToBuy, nozzles_to_buy, pump_to_buy};
use super::vaporiser::{VaporiserPlan, vaporiser};
use super::volatility::Boiling;
use crate::combustion::flame::fuel_feed::usual_phase;
use crate::fuel::FedAs;
use crate::quantity::sentence::Told;
use crate::quantity::show::{number, percent};
use crate::quantity::{AbsolutePressure, pascals_absolute};
use std::f64::consts::FRAC_PI_4;

/// Pressure before the nozzles above the air where none is wished: 7 bar is what small pressure-swirl nozzles
/// are rated at. Common practice, no source.
const USUAL_FEED_PA: f64 = 7e5;

/// A switch.
#[derive(Debug, Clone)]
pub enum Conversion {
    /// To a liquid.
    ToLiquid(Box<ToLiquid>),
    /// To a gas.
    ToGas(Box<ToGas>),
}

/// A switch to a liquid.
#[derive(Debug, Clone)]
pub struct ToLiquid {
    /// Whether the rig runs on gas now.
    pub from_gas: bool,
    /// Duties.
    pub duties: Vec<DutyNext>,
    /// Exit against the rig's limits.
    pub limits: Vec<ExitAgainstLimits>,
    /// The liquid on the test day.
    pub liquid: LiquidAt,
    /// Duty with the largest fuel flow.
    pub largest: String,
    /// Duty with the smallest.
    pub smallest: String,
    /// Pressure before the nozzles at the largest duty.
    pub feed_pressure: AbsolutePressure,
    /// Tank.
    pub tank: TankPlan,
    /// Lines.
    pub lines: Lines,
    /// Pump, or why none.
    pub pump: Result<PumpPlan, String>,
    /// Battery for the endurance, or why none.
    pub battery: Result<BatteryPlan, String>,
    /// Valve; `None` without a pump.
    pub valve: Option<ValvePlan>,
    /// Nozzles.
    pub nozzles: Nozzles,
    /// Nozzles as they are bought and lit, or why none.
    pub nozzles_to_buy: Result<NozzlesToBuy, String>,
    /// The pump as it is bought; `None` without one.
    pub pump_to_buy: Option<PumpToBuy>,
    /// Vaporiser tubes, or why none.
    pub vaporiser: Result<VaporiserPlan, String>,
    /// Drops of the proposed nozzles at every duty, or why not.
    pub evaporation: Vec<Result<DutyEvaporation, String>>,
    /// Light-off.
    pub light_off: LightOff,
    /// Suction side.
    pub suction: SuctionPlan,
    /// Liquid through the gas holes at every duty, or why not; empty without known holes.
    pub gas_holes: Vec<Result<LiquidInGasHoles, String>>,
    /// What stands against it.
    pub against: Option<AgainstIt>,
    /// Parts of the old train.
    pub fates: Vec<PartFate>,
    /// Hazards lost and gained; empty unless the rig runs on gas now.
    pub hazards: Vec<Hazard>,
    /// Materials in contact.
    pub materials: Vec<MaterialAnswer>,
    /// What was taken for granted.
    pub assumptions: Vec<String>,
}

/// Plans a switch.
///
/// **Valid:** as the models it rests on; what one of them cannot give says why, and the rest stands.
/// **Source:** those of the parts.
///
/// # Errors
/// [`ConvertError`]: the same fuel, a fuel that does not burn, no duty that it can run, no liquid state on the
/// test day, or a wish out of range.
pub fn plan(input: &ConvertInput<'_>) -> Result<Conversion, ConvertError> {
    input.wishes.check()?;
    let (from, to) = (input.from.composition(), input.to.composition());
    if same(from, to) {
        return Err(ConvertError::SameFuel {
            fuel: to.label().to_owned(),
        });
    }
    let from_gas = usual_phase(from) == FedAs::Gas;
    match usual_phase(to) {
        FedAs::Gas => Ok(Conversion::ToGas(Box::new(to_gas(input, from_gas)?))),
        FedAs::Liquid => Ok(Conversion::ToLiquid(Box::new(to_liquid(input, from_gas)?))),
    }
}

fn same(a: &crate::fuel::Composition, b: &crate::fuel::Composition) -> bool {
    a.parts().len() == b.parts().len()
        && a.parts().iter().all(|p| {
            let twin = b.parts().iter().find(|q| q.fuel.name == p.fuel.name);
            twin.is_some_and(|q| (q.mole_fraction - p.mole_fraction).abs() < 1e-6)
        })
}

fn to_liquid(input: &ConvertInput<'_>, from_gas: bool) -> Result<ToLiquid, ConvertError> {
    let duties = duties(input)?;
    let fed = fed(&duties);
    let (largest, smallest) = extremes(&fed).ok_or_else(|| ConvertError::NoDuty {
        fuel: input.to.composition().label().to_owned(),
        why: "none of its duties has a fuel flow".into(),
    })?;
    let mut assumptions = Vec::new();
    let site = input.rig.site.air_pressure;
    let liquid = liquid_at(input.to, site, input.day())?;
    let boiling = Boiling::of(input.library, input.to)?;
    let chamber = largest.duty.now.chamber;
    let pressure = feed_pressure(input, chamber, &mut assumptions)?;
    let feed = Feed {
        input,
        fed: &fed,
        largest,
        pressure,
        liquid,
    };
    let nozzles = nozzles(&feed);
    let before_valve = pascals_absolute(pressure.pascals() + valve_drop(feed.drop_pa()).pascals());
    let lines = lines(input, largest.demand.fuel, before_valve, feed.drop_pa())?;
    let pump = pump(&feed, lines.chosen()).map_err(|e| e.told().show(input.units));
    let tank = tank(input, &fed)?;
    let battery = match &pump {
        Ok(pump) => {
            battery_for(input, pump, tank.endurance).map_err(|e| e.told().show(input.units))
        }
        Err(e) => Err(e.clone()),
    };
    let valve = pump.as_ref().ok().map(|p| valve(&feed, p, lines.chosen()));
    let evaporated = nozzles.proposed().map_or_else(Vec::new, |nozzle| {
        evaporation(input, &fed, nozzle, &boiling, &liquid)
    });
    let nozzle_area_m2 = nozzles
        .proposed()
        .map(|n| f64::from(n.number) * FRAC_PI_4 * n.exit.value.powi(2));
    let (coldest, hottest) = input.extremes();
    let nozzles_to_buy = nozzles_to_buy(&feed);
    let bought = nozzles_to_buy.as_ref().ok().map(|n| n.mesh);
    let proposed = nozzles.proposed().map(NozzleOption::filter_mesh);
    let need = Need {
        liquid_now: !from_gas,
        liquid_next: true,
        pressure: pump.as_ref().map_or(pressure, |p| p.outlet),
        kv: valve.as_ref().and_then(ValvePlan::range),
        mesh: bought.or(proposed),
        smallest_flow: smallest.demand.fuel,
        density: liquid.density,
        coldest,
        hottest,
    };
    assume(input, &boiling, chamber, &mut assumptions);
    let gas_holes = fed
        .iter()
        .filter_map(|f| {
            through(input, f, &liquid)
                .map_err(|e| e.told().show(input.units))
                .transpose()
        })
        .collect();
    let fates = fates(input, &need, None);
    let hazards = if from_gas {
        let outlet = pump.as_ref().ok().map(|p| p.outlet);
        hazards(input, &smallest, &tank, outlet, &fates)
    } else {
        Vec::new()
    };
    Ok(ToLiquid {
        from_gas,
        hazards,
        limits: limits(input, &duties),
        largest: largest.duty.now.name.clone(),
        smallest: smallest.duty.now.name.clone(),
        feed_pressure: pressure,
        vaporiser: vaporiser(&feed, &boiling).map_err(|e| e.told().show(input.units)),
        evaporation: evaporated,
        nozzles_to_buy,
        pump_to_buy: pump.as_ref().ok().map(|p| pump_to_buy(input, p)),
        light_off: light_off(input, &smallest),
        suction: suction(input, &lines),
        gas_holes,
        against: against(input, &liquid, nozzle_area_m2),
        fates,
        materials: materials(input),
        liquid,
        tank,
        lines,
        pump,
        battery,
        valve,
        nozzles,
        assumptions,
        duties,
    })
}

/// Pressure before the nozzles: wished, else usual.
fn feed_pressure(
    input: &ConvertInput<'_>,
    chamber: AbsolutePressure,
    assumptions: &mut Vec<String>,
) -> Result<AbsolutePressure, ConvertError> {
    let site = input.rig.site.air_pressure;
    let pressure = input.wishes.feed_pressure.unwrap_or_else(|| {
        assumptions.push(
            "7 bar above the air before the nozzles: what small pressure-swirl nozzles are rated at"
                .to_owned(),
        );
        pascals_absolute(site.pascals() + USUAL_FEED_PA)
    });
    if pressure.pascals() <= chamber.pascals() {
        return Err(ConvertError::FeedBelowChamber {
            feed_pa: pressure.pascals(),
            chamber_pa: chamber.pascals(),
        });
    }
    Ok(pressure)
}

/// Sentences on what the sums rest on.
fn assume(
    input: &ConvertInput<'_>,
    boiling: &Boiling,
    chamber: AbsolutePressure,
    assumptions: &mut Vec<String>,
) {
    if let Some((_, Some(name))) = boiling.vapour(chamber) {
        let own = input.to.validity().temperature_k.end();
        assumptions.push(format!(
            "{} boils as {name} does: its own data end at {} K, below its boiling point. A refinery fuel boils over a range of 100 K and more, and its last tenth outlives the surrogate",
            input.to.composition().label(),
            number(*own)
        ));
    }
    let burner = &input.rig.burner;
    if burner.primary_volume.is_none()
        && burner.primary_air_share.is_some()
        && burner.can_volume.is_some()
    {
        assumptions.push(format!(
            "the primary zone takes {} of the can: the rig file gives no volume of it",
            percent(ASSUMED_PRIMARY_SHARE)
        ));
    }
    assumptions.push("drops fly with the gas, apart from each other, at full gas temperature from the start: a dense or cold spray lives longer, one that is fast against the gas shorter".to_owned());
    assumptions.push(
        "drop sizes spread as Rosin and Rammler have it, exponent 3 [rosin-rammler-1933]"
            .to_owned(),
    );
    assumptions.push("film properties by Law and Williams: vapour heat capacity, and 0.4 of the vapour's with 0.6 of the air's conductivity, at the mean of boiling and gas temperature [law-williams-1972]".to_owned());
    assumptions.push("the swirl chamber is four exits wide, with two ports of 0.4 times chamber times exit diameter together".to_owned());
}
