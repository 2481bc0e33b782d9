//! Duties on the new fuel: flow at the same heat or mixture, flame, exit against material limits.

use super::error::ConvertError;
use super::input::{ConvertInput, DutyNow, Keep};
use crate::combustion::Stoichiometry;
use crate::combustion::flame::fuel_feed::usual_phase;
use crate::combustion::flame::{Burner, Flame, FlameError, FuelFeed};
use crate::injector::duty::{Burning, Demand, FuelTarget, demand};
use crate::quantity::sentence::Told;
use crate::quantity::{
    MassRate, TemperatureInterval, ThermodynamicTemperature, Time, kelvin_difference,
    kilograms_per_second, ratio, seconds,
};
use crate::train::rig::{HeatLimit, Sees};

/// A duty on the new fuel.
#[derive(Debug, Clone)]
pub struct DutyNext {
    /// As it is.
    pub now: DutyNow,
    /// Fuel at the same heat set free.
    pub same_heat: Result<Demand, String>,
    /// Fuel at the same equivalence ratio.
    pub same_mixture: Result<Demand, String>,
    /// What stays the same.
    pub keep: Keep,
    /// Gas that leaves, of all the fuel with all the air.
    pub exit: Result<Flame, String>,
    /// Flame of the primary zone; `None` where the burner gives no share of primary air.
    pub primary: Option<Result<Flame, String>>,
}

impl DutyNext {
    /// The demand that the plan goes by.
    pub fn demand(&self) -> Option<&Demand> {
        match self.keep {
            Keep::HeatRelease => self.same_heat.as_ref().ok(),
            Keep::EquivalenceRatio => self.same_mixture.as_ref().ok(),
        }
    }

    /// Why there is none.
    pub fn refusal(&self) -> Option<&str> {
        match self.keep {
            Keep::HeatRelease => self.same_heat.as_ref().err(),
            Keep::EquivalenceRatio => self.same_mixture.as_ref().err(),
        }
        .map(String::as_str)
    }
}

/// A duty with its fuel flow.
#[derive(Debug, Clone, Copy)]
pub struct Fed<'a> {
    /// The duty.
    pub duty: &'a DutyNext,
    /// What it needs.
    pub demand: &'a Demand,
}

/// Duties that have a fuel flow.
pub fn fed(duties: &[DutyNext]) -> Vec<Fed<'_>> {
    duties
        .iter()
        .filter_map(|duty| {
            let demand = duty.demand()?;
            Some(Fed { duty, demand })
        })
        .collect()
}

/// The duty with the largest fuel flow, and the one with the smallest.
pub(super) fn extremes<'a>(fed: &[Fed<'a>]) -> Option<(Fed<'a>, Fed<'a>)> {
    let by_flow = |a: &&Fed<'a>, b: &&Fed<'a>| a.demand.fuel.value.total_cmp(&b.demand.fuel.value);
    Some((*fed.iter().max_by(by_flow)?, *fed.iter().min_by(by_flow)?))
}

/// Exit temperature of a duty held against a limit of the rig.
#[derive(Debug, Clone, PartialEq)]
pub struct ExitAgainstLimits {
    /// Duty.
    pub duty: String,
    /// Limit.
    pub limit: HeatLimit,
    /// Exit temperature on the new fuel.
    pub exit: ThermodynamicTemperature,
    /// The hottest primary zone with its duty, of a place that sees it.
    pub zone: Option<(String, ThermodynamicTemperature)>,
    /// Limit less exit temperature.
    pub margin: TemperatureInterval,
}

/// Every duty on the new fuel.
///
/// # Errors
/// [`ConvertError`]: the fuel does not burn, or no duty can be run on it.
pub fn duties(input: &ConvertInput<'_>) -> Result<Vec<DutyNext>, ConvertError> {
    let composition = input.to.composition();
    let stoichiometry = Stoichiometry::of(composition)?;
    let burning = Burning {
        air_fuel_ratio: stoichiometry.air_fuel_ratio.value,
        lower_heating_value_j_kg: stoichiometry.lower_heating_value.value,
        efficiency: input.rig.burner.efficiency().value,
    };
    let all: Vec<DutyNext> = input
        .duties
        .iter()
        .map(|now| next(input, now, &burning))
        .collect();
    if all.iter().all(|d| d.demand().is_none()) {
        let why = all.iter().find_map(|d| d.refusal().map(str::to_owned));
        return Err(ConvertError::NoDuty {
            fuel: composition.label().to_owned(),
            why: why
                .unwrap_or_else(|| "no duty of the rig has a fuel flow now".to_owned())
                .into(),
        });
    }
    Ok(all)
}

fn next(input: &ConvertInput<'_>, now: &DutyNow, burning: &Burning) -> DutyNext {
    let solved = |target| {
        demand(now.air, now.dry_share, target, burning, |_| {
            unreachable!("the target is no exit temperature")
        })
        .map_err(|e| e.told().show(input.units))
    };
    let same_heat = solved(FuelTarget::HeatRelease(now.heat_release));
    let same_mixture = solved(FuelTarget::EquivalenceRatio(now.equivalence_ratio));
    let keep = input.wishes.keep;
    let kept = match keep {
        Keep::HeatRelease => &same_heat,
        Keep::EquivalenceRatio => &same_mixture,
    };
    let fire = fire(input, now);
    let burning = || {
        let phi = kept.as_ref().map_err(Clone::clone)?.equivalence_ratio;
        Ok((fire.as_ref().map_err(Clone::clone)?, phi))
    };
    let why = |e: FlameError| e.told().show(input.units);
    let exit = burning().and_then(|(fire, phi)| fire.flame(phi).map_err(why));
    let primary = input
        .rig
        .burner
        .primary_air_share
        .map(|share| burning().and_then(|(fire, phi)| fire.primary(phi, share).map_err(why)));
    DutyNext {
        now: now.clone(),
        keep,
        exit,
        primary,
        same_heat,
        same_mixture,
    }
}

/// The fire of a duty on the new fuel.
fn fire(input: &ConvertInput<'_>, now: &DutyNow) -> Result<Burner, String> {
    let composition = input.to.composition();
    let phase = usual_phase(composition);
    let feed = FuelFeed::from_state(input.to, now.chamber, input.day(), phase)
        .or_else(|_| FuelFeed::usual(composition))
        .map_err(|e| e.told().show(input.units))?;
    let humidity = ratio((1.0 / now.dry_share.value - 1.0).max(0.0));
    let burner = &input.rig.burner;
    burner
        .fire(feed, now.air_temperature, humidity, now.chamber)
        .map_err(|e| e.told().show(input.units))
}

/// Every limit of the rig against the duty that comes nearest to it.
pub(super) fn limits(input: &ConvertInput<'_>, duties: &[DutyNext]) -> Vec<ExitAgainstLimits> {
    let zone = |d: &DutyNext| {
        let zone = d.primary.as_ref()?.as_ref().ok()?;
        Some((d.now.name.clone(), zone.temperature))
    };
    let zones = duties.iter().filter_map(zone);
    let zone = zones.max_by(|a, b| a.1.value.total_cmp(&b.1.value));
    input
        .rig
        .limits
        .iter()
        .filter_map(|limit| {
            let hottest = duties
                .iter()
                .filter_map(|d| Some((&d.now.name, d.exit.as_ref().ok()?.temperature)))
                .max_by(|a, b| a.1.value.total_cmp(&b.1.value))?;
            Some(ExitAgainstLimits {
                duty: hottest.0.clone(),
                exit: hottest.1,
                zone: zone
                    .clone()
                    .filter(|_| limit.sees == Some(Sees::PrimaryZone)),
                margin: kelvin_difference(limit.max_temperature.value - hottest.1.value),
                limit: limit.clone(),
            })
        })
        .collect()
}

/// Mean fuel flow while burning, over the run plan, else over the duties' own durations, else that of the
/// largest duty; and which of them it was.
pub(super) fn mean_flow(
    input: &ConvertInput<'_>,
    flow_of: impl Fn(&str) -> Option<f64>,
) -> Option<(MassRate, &'static str)> {
    let weighted = |steps: &[(String, Time)]| {
        let mut sums = (0.0, 0.0);
        for (name, time) in steps {
            let flow = flow_of(name)?;
            sums = (sums.0 + flow * time.value, sums.1 + time.value);
        }
        (sums.1 > 0.0).then(|| kilograms_per_second(sums.0 / sums.1))
    };
    let steps: Option<Vec<(String, Time)>> = input.rig.timetable.as_ref().map(|t| {
        let burning = t.steps.iter();
        burning
            .filter_map(|s| Some((s.duty.clone()?, s.duration)))
            .collect()
    });
    if let Some(mean) = steps.and_then(|s| weighted(&s)) {
        return Some((mean, "the run plan of the rig file, rests left out"));
    }
    let own: Vec<(String, Time)> = input
        .rig
        .duties
        .iter()
        .filter_map(|d| Some((d.name.clone(), d.duration?)))
        .collect();
    if own.len() == input.rig.duties.len()
        && let Some(mean) = weighted(&own)
    {
        return Some((mean, "the durations of the duties"));
    }
    let largest = input
        .rig
        .duties
        .iter()
        .filter_map(|d| flow_of(&d.name))
        .max_by(f64::total_cmp)?;
    Some((kilograms_per_second(largest), "the largest duty"))
}

/// Mean flow of the old fuel while burning, and what it is the mean over; by the rule of the new one's.
pub fn mean_flow_now(input: &ConvertInput<'_>) -> Option<(MassRate, &'static str)> {
    mean_flow(input, |name| {
        let duty = input.duties.iter().find(|d| d.name == name)?;
        Some(duty.fuel.value)
    })
}

/// How long the old supply lasts at its mean flow; `None` for a main.
pub(super) fn old_endurance(input: &ConvertInput<'_>) -> Option<Time> {
    let tank = input.rig.supply.tank()?;
    let t = tank.temperature.unwrap_or(input.rig.site.ambient);
    let mass_kg = f64::from(tank.number) * charge_kg(input, tank, t)?;
    let (mean, _) = mean_flow_now(input)?;
    Some(seconds(mass_kg / mean.value))
}

/// Fuel in one tank of the old supply.
pub(super) fn charge_kg(
    input: &ConvertInput<'_>,
    tank: &crate::train::rig::TankSpec,
    t: ThermodynamicTemperature,
) -> Option<f64> {
    use crate::train::rig::supply::Charge;
    match tank.charge {
        Charge::Mass(mass) => Some(mass.value),
        Charge::LiquidShare(share) => {
            let bubble = input.from.bubble_t(t.value).ok()?;
            let (liquid, vapour) = (share.value, 1.0 - share.value);
            let density =
                liquid * bubble.liquid.density_kg_m3 + vapour * bubble.vapour.density_kg_m3;
            Some(tank.volume.value * density)
        }
    }
}
