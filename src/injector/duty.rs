//! What a burner is to do: air, chamber, and one fuel target from which the rest follows.

use crate::quantity::range::{NotPositive, positive};
use crate::quantity::sentence::{Sentence, flow, power};
use crate::quantity::told::errors;
use crate::quantity::{
    AbsolutePressure, MassRate, Power, Ratio, ThermodynamicTemperature, Time, kilograms_per_second,
    ratio, watts,
};

/// One duty: light-up, idle, full...
#[derive(Debug, Clone, PartialEq)]
pub struct Duty {
    /// Name, unique in the rig.
    pub name: String,
    /// Air flow, moist.
    pub air: DutyAir,
    /// Temperature of the air at the fire; `None`: as the blower leaves it, or that of the site.
    pub air_temperature: Option<ThermodynamicTemperature>,
    /// Pressure of the chamber the holes blow into.
    pub chamber: AbsolutePressure,
    /// What fixes the fuel.
    pub target: FuelTarget,
    /// Least and most equivalence ratio that will do, where the file gives a range; the target is its middle.
    pub ratio_range: Option<(Ratio, Ratio)>,
    /// How long it lasts.
    pub duration: Option<Time>,
    /// Pressure before the injector's holes, where the user has set or measured it.
    pub injector_pressure: Option<AbsolutePressure>,
}

/// Air of a duty.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum DutyAir {
    /// Given.
    Flow(MassRate),
    /// Share of the flow at full throttle.
    Throttle(Ratio),
}

/// What fixes the fuel of a duty.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FuelTarget {
    /// Fuel over the fuel that the air could just burn.
    EquivalenceRatio(Ratio),
    /// Fuel flow.
    FuelFlow(MassRate),
    /// Heat set free.
    HeatRelease(Power),
    /// Temperature of the gas that leaves.
    ExitTemperature(ThermodynamicTemperature),
}

/// What the sums need to know of a fuel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Burning {
    /// Mass of dry air that just burns a mass of fuel.
    pub air_fuel_ratio: f64,
    /// Heat of a mass of fuel, water leaving as vapour, J/kg.
    pub lower_heating_value_j_kg: f64,
    /// Share of the heat that is set free.
    pub efficiency: f64,
}

/// Fuel and air of a duty.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Demand {
    /// Air flow, moist.
    pub air: MassRate,
    /// Fuel flow.
    pub fuel: MassRate,
    /// Fuel over the fuel that the dry part of the air could just burn.
    pub equivalence_ratio: Ratio,
    /// Heat of the fuel as fed, lower value: what it could give with enough air.
    pub fuel_heat: Power,
    /// Heat set free: of the fuel that finds air, times the combustion efficiency.
    pub heat_release: Power,
}

errors! {
    /// Why a duty has no answer.
    pub enum DutyError {
        NoAir { air_kg_s: f64 } => "an air flow of {} burns nothing", flow(air_kg_s);
        Inert { fuel: String } => "{} does not burn, so there is no fuel flow to find", fuel;
        MoreHeatThanAir { asked_w: f64, most_w: f64, air_kg_s: f64 } =>
            "{} is more than the {} that {} of air can set free",
            power(asked_w).close(), power(most_w).close(), flow(air_kg_s);
        NotPositive(NotPositive);
        Flame { why: Sentence } => "{}", why;
    }
}

/// Fuel and air of a duty from one fuel target.
///
/// `ṁ_f = φ ṁ_a,dry / AFR`; `Q = η LHV ṁ_f min(1, 1/φ)`: fuel beyond what the air can burn sets free
/// no heat.
///
/// * `dry_share` — share of the air that is dry air
/// * `ratio_for_exit` — equivalence ratio at which the gas leaves at a temperature; asked only for
///   [`FuelTarget::ExitTemperature`]
///
/// **Valid:** overall balance; the local mixture is another matter. Rich flames give less heat than
/// their air would allow, because CO and H2 leave unburnt: the heat release is an upper bound there.
/// **Source:** definition; common practice, no source.
///
/// # Errors
/// [`DutyError`].
///
/// ```
/// use fuelwright::injector::duty::{Burning, FuelTarget, demand};
/// use fuelwright::quantity::{kilograms_per_second, ratio};
///
/// let propane = Burning { air_fuel_ratio: 15.68, lower_heating_value_j_kg: 46.34e6, efficiency: 1.0 };
/// let air = kilograms_per_second(0.06);
/// let d = demand(air, ratio(1.0), FuelTarget::EquivalenceRatio(ratio(0.5)), &propane, |_| unreachable!())?;
/// assert!((d.fuel.value - 0.5 * 0.06 / 15.68).abs() < 1e-12);
/// assert!((d.fuel_heat.value / 88.7e3 - 1.0).abs() < 1e-3);
/// # Ok::<(), fuelwright::injector::duty::DutyError>(())
/// ```
pub fn demand(
    air: MassRate,
    dry_share: Ratio,
    target: FuelTarget,
    fuel: &Burning,
    ratio_for_exit: impl FnOnce(ThermodynamicTemperature) -> Result<Ratio, DutyError>,
) -> Result<Demand, DutyError> {
    let air_kg_s = air.value;
    if !(air_kg_s > 0.0 && air_kg_s.is_finite()) {
        return Err(DutyError::NoAir { air_kg_s });
    }
    // fuel that the air can just burn, and its heat
    let just_kg_s = air_kg_s * dry_share.value / fuel.air_fuel_ratio;
    let most_w = just_kg_s * fuel.lower_heating_value_j_kg * fuel.efficiency;
    let phi = match target {
        FuelTarget::EquivalenceRatio(phi) => positive("equivalence ratio", phi.value)?,
        FuelTarget::FuelFlow(flow) => positive("fuel flow", flow.value)? / just_kg_s,
        FuelTarget::HeatRelease(heat) => {
            let asked_w = positive("heat release", heat.value)?;
            if asked_w > most_w {
                return Err(DutyError::MoreHeatThanAir {
                    asked_w,
                    most_w,
                    air_kg_s,
                });
            }
            asked_w / most_w
        }
        FuelTarget::ExitTemperature(t) => ratio_for_exit(t)?.value,
    };
    Ok(Demand {
        air,
        fuel: kilograms_per_second(phi * just_kg_s),
        equivalence_ratio: ratio(phi),
        fuel_heat: watts(phi * just_kg_s * fuel.lower_heating_value_j_kg),
        heat_release: watts(most_w * phi.min(1.0)),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::kelvin;

    const PROPANE: Burning = Burning {
        air_fuel_ratio: 15.68,
        lower_heating_value_j_kg: 46.34e6,
        efficiency: 0.98,
    };

    fn solved(target: FuelTarget) -> Demand {
        let air = kilograms_per_second(0.05);
        demand(air, ratio(0.99), target, &PROPANE, |_| Ok(ratio(0.3))).expect("solvable")
    }

    #[test]
    fn each_target_gives_back_the_others() {
        let first = solved(FuelTarget::EquivalenceRatio(ratio(0.62)));
        for target in [
            FuelTarget::FuelFlow(first.fuel),
            FuelTarget::HeatRelease(first.heat_release),
        ] {
            let again = solved(target);
            assert!((again.equivalence_ratio.value - 0.62).abs() < 1e-12);
            assert!((again.fuel.value / first.fuel.value - 1.0).abs() < 1e-12);
        }
        let exit = solved(FuelTarget::ExitTemperature(kelvin(1100.0)));
        assert!((exit.equivalence_ratio.value - 0.3).abs() < 1e-12);
    }

    #[test]
    fn fuel_that_finds_no_air_sets_free_no_heat() {
        let just = solved(FuelTarget::EquivalenceRatio(ratio(1.0)));
        let rich = solved(FuelTarget::EquivalenceRatio(ratio(1.5)));
        assert!((rich.heat_release.value / just.heat_release.value - 1.0).abs() < 1e-12);
        assert!((rich.fuel_heat.value / just.fuel_heat.value - 1.5).abs() < 1e-12);
    }

    #[test]
    fn more_heat_than_the_air_can_give_is_refused() {
        let air = kilograms_per_second(0.01);
        let target = FuelTarget::HeatRelease(watts(1e6));
        let e = demand(air, ratio(1.0), target, &PROPANE, |_| Ok(ratio(0.3)));
        assert!(matches!(e, Err(DutyError::MoreHeatThanAir { .. })));
    }

    #[test]
    fn nothing_burns_without_air_or_fuel() {
        let target = FuelTarget::EquivalenceRatio(ratio(0.5));
        for air in [0.0, -1.0, f64::NAN] {
            let air = kilograms_per_second(air);
            let e = demand(air, ratio(1.0), target, &PROPANE, |_| Ok(ratio(0.3)));
            assert!(matches!(e, Err(DutyError::NoAir { .. })));
        }
        let air = kilograms_per_second(0.05);
        for phi in [0.0, -0.5, f64::NAN, f64::INFINITY] {
            let target = FuelTarget::EquivalenceRatio(ratio(phi));
            let e = demand(air, ratio(1.0), target, &PROPANE, |_| Ok(ratio(0.3)));
            assert!(matches!(e, Err(DutyError::NotPositive { .. })));
        }
    }
}
