//! A new gas from the old supply through the old train.

use super::demand::Fed;
use super::input::ConvertInput;
use crate::flow::orifice::Expansion;
use crate::fuel::FedAs;
use crate::injector::size::{InjectorInput, InjectorResult, Supply, size};
use crate::quantity::sentence::Told;
use crate::quantity::show::Show;
use crate::quantity::{
    AbsolutePressure, Length, Ratio, TemperatureInterval, ThermodynamicTemperature, kelvin,
    pascals_absolute,
};
use crate::train::plan::plan;
use crate::train::{InjectorHoles, TrainDuty, TrainError, TrainNeed};

/// The new gas through holes at one duty.
#[derive(Debug, Clone, PartialEq)]
pub struct HolesOnGas {
    /// Pressure before the holes.
    pub pressure: AbsolutePressure,
    /// Drop over chamber pressure.
    pub stiffness: Ratio,
    /// Whether they are choked.
    pub choked: bool,
    /// Distance above the dew point; `None` above the critical pressure.
    pub superheat: Option<TemperatureInterval>,
    /// Discharge coefficient.
    pub coefficient: f64,
}

impl HolesOnGas {
    fn of(r: &InjectorResult) -> Self {
        Self {
            pressure: pascals_absolute(r.supply.pressure_pa),
            stiffness: r.stiffness,
            choked: r.choked,
            superheat: r.superheat,
            coefficient: r.coefficient.value,
        }
    }
}

/// Temperature of the gas before the holes.
pub(super) fn before_holes(input: &ConvertInput<'_>) -> ThermodynamicTemperature {
    input.rig.injector.temperature.unwrap_or(input.day())
}

/// The new gas through holes at one duty.
pub(super) fn on_holes(
    input: &ConvertInput<'_>,
    fed: &Fed<'_>,
    number: u32,
    diameter: Length,
) -> Result<HolesOnGas, String> {
    let found = size(&InjectorInput {
        fluid: input.to,
        supply_pressure: None,
        supply: Supply::Temperature(before_holes(input)),
        chamber: fed.duty.now.chamber,
        holes: Some(number),
        diameter: Some(diameter),
        flow: Some(fed.demand.fuel),
        make: input.make_of(number, diameter),
        expansion: Expansion::Blend,
        phase: Some(FedAs::Gas),
    });
    found
        .map(|r| HolesOnGas::of(&r))
        .map_err(|e| e.told().show(input.units))
}

/// The new gas from the old supply through the old train at one duty.
#[derive(Debug, Clone, PartialEq)]
pub struct ThroughTrain {
    /// Why the duty is not fed as the supply starts; `None`: it is.
    pub why_not: Option<String>,
    /// Lowest pressure of the tank that feeds it with the throttle wide open, and the part that gives out below it;
    /// `None` where the supply is no saturated tank.
    pub least: Option<(AbsolutePressure, String)>,
    /// Coldest full tank that has that pressure.
    pub coldest: Option<ThermodynamicTemperature>,
}

/// The new gas from the old supply through the old train; `None` where the rig lists no train, and for duties whose
/// holes have no coefficient.
pub(super) fn through_train(
    input: &ConvertInput<'_>,
    fed: &[Fed<'_>],
    number: u32,
    diameter: Length,
) -> Option<Vec<(String, Result<ThroughTrain, String>)>> {
    if input.rig.train.parts().is_empty() {
        return None;
    }
    let mut rig = input.rig.clone();
    rig.fuel.composition = input.to.composition().clone();
    let needs: Vec<TrainNeed> = fed
        .iter()
        .filter_map(|f| {
            let holes = on_holes(input, f, number, diameter).ok();
            let given = rig.injector.discharge_coefficient.map(|c| c.value);
            Some(TrainNeed {
                name: f.duty.now.name.clone(),
                fuel: f.demand.fuel,
                air: None,
                chamber: f.duty.now.chamber,
                discharge_coefficient: holes.map(|h| h.coefficient).or(given)?,
            })
        })
        .collect();
    let holes = InjectorHoles { number, diameter };
    let why = |e: TrainError| e.told().show(input.units);
    let planned = plan(&rig, input.to, holes, &needs, None, 0);
    let planned = match planned {
        Ok(planned) => planned,
        Err(e) => {
            let why = why(e);
            let all = needs.into_iter().map(|n| (n.name, Err(why.clone())));
            return Some(all.collect());
        }
    };
    let of_duty = |duty: TrainDuty| {
        let least = duty.lowest.and_then(Result::ok);
        let bubble = |p: AbsolutePressure| input.to.bubble_p(p.pascals()).ok();
        let coldest = least.as_ref().and_then(|l| bubble(l.pressure));
        let coldest = coldest.map(|e| kelvin(e.temperature_k));
        let too_cold = || {
            let (needed, part) = (coldest?, &least.as_ref()?.limited_by);
            let starts = rig.supply.tank()?.temperature.unwrap_or(rig.site.ambient);
            (starts.value < needed.value).then(|| {
                format!(
                    "the tank starts at {}, and `{part}` gives out below {}",
                    starts.show(input.units),
                    needed.show(input.units)
                )
            })
        };
        let through = ThroughTrain {
            why_not: duty.solution.err().map(why).or_else(too_cold),
            coldest,
            least: least.map(|l| (l.pressure, l.limited_by)),
        };
        (duty.name, Ok(through))
    };
    Some(planned.duties.into_iter().map(of_duty).collect())
}
