//! A duty of the burner: an air flow and one fuel target; equivalence ratio, heat, fuel flow and exit
//! temperature follow from each other.

use super::burner::Burner;
use super::error::FlameError;
use super::products::Flame;
use crate::combustion::equilibrium::{EquilibriumError, Start};
use crate::numerics::maximum::maximum;
use crate::numerics::root::brent;
use crate::quantity::range::positive;
use crate::quantity::{
    MassRate, Power, Ratio, ThermodynamicTemperature, kilograms_per_second, ratio, watts,
};

/// Where the rich branch of an exit temperature ends: beyond it the temperature falls no further.
pub const RICH_END: f64 = 4.0;
/// Equivalence ratios between which the hottest flame is looked for.
const HOTTEST_BETWEEN: [f64; 2] = [0.6, 2.0];
/// Equivalence ratios are found to this.
const PHI_TOLERANCE: f64 = 1e-10;
/// The hottest flame's equivalence ratio is found to this; its temperature is flat there.
const PEAK_TOLERANCE: f64 = 1e-4;
/// Leanest flame tried for an exit temperature.
const LEANEST: f64 = 1e-5;

/// Side of the hottest flame.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Branch {
    /// Less fuel than the hottest flame has.
    Lean,
    /// More fuel.
    Rich,
}

impl Branch {
    /// Word for messages and tables.
    pub fn name(self) -> &'static str {
        match self {
            Self::Lean => "lean",
            Self::Rich => "rich",
        }
    }
}

/// What the fuel is to achieve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FuelTarget {
    /// Equivalence ratio.
    EquivalenceRatio(Ratio),
    /// Fuel flow times lower heating value, burnt or not.
    HeatInput(Power),
    /// Temperature of the products, on one branch.
    ExitTemperature(ThermodynamicTemperature, Branch),
    /// Fuel flow.
    FuelFlow(MassRate),
}

/// A duty worked out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Duty {
    /// Air flow, with its humidity.
    pub air_flow: MassRate,
    /// Fuel flow.
    pub fuel_flow: MassRate,
    /// Fuel flow times lower heating value at 25 °C in the phase fed.
    pub heat_input: Power,
    /// Heat released: the input as far as the oxygen reaches, times the combustion efficiency.
    pub heat_released: Power,
    /// The flame at exit.
    pub flame: Flame,
}

impl Burner {
    /// Works out a duty from an air flow and a fuel target.
    ///
    /// `φ = AFR_st · ṁ_fuel/ṁ_air`, `Q = ṁ_fuel · LHV`
    ///
    /// **Valid:** as [`Burner::flame`].
    ///
    /// # Errors
    /// [`FlameError::NotPositive`], [`FlameError::ExitTemperatureOutOfReach`], and as [`Burner::flame`].
    ///
    /// ```
    /// use fuelwright::combustion::flame::{Branch, Burner, AirFeed, FuelFeed, FuelTarget};
    /// use fuelwright::fuel::{Composition, Library};
    /// use fuelwright::quantity::{kelvin, kilograms_per_second, pascals_absolute};
    /// let fuel = FuelFeed::usual(&Composition::parse("propane", &Library::embedded())?)?;
    /// let burner = Burner::new(fuel, AirFeed::dry(kelvin(288.0))?, pascals_absolute(1.1e5))?;
    /// let target = FuelTarget::ExitTemperature(kelvin(1200.0), Branch::Lean);
    /// let duty = burner.duty(kilograms_per_second(0.02), target)?;
    /// assert!((duty.flame.temperature.value - 1200.0).abs() < 1e-3);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn duty(&self, air_flow: MassRate, target: FuelTarget) -> Result<Duty, FlameError> {
        let air_kg_s = positive("air flow", air_flow.value)?;
        let afr = self.stoichiometric_air_fuel_ratio().value;
        let lhv_j_kg = self.fuel.lower_heating_value().value;
        let flame = match target {
            FuelTarget::EquivalenceRatio(phi) => self.flame(phi)?,
            FuelTarget::HeatInput(heat) => {
                let fuel_kg_s = positive("heat input", heat.value)? / lhv_j_kg;
                self.flame(ratio(afr * fuel_kg_s / air_kg_s))?
            }
            FuelTarget::FuelFlow(fuel) => {
                let fuel_kg_s = positive("fuel flow", fuel.value)?;
                self.flame(ratio(afr * fuel_kg_s / air_kg_s))?
            }
            FuelTarget::ExitTemperature(t, branch) => self.flame_at_exit_temperature(t, branch)?,
        };
        let phi = flame.equivalence_ratio.value;
        let fuel_kg_s = phi * air_kg_s / afr;
        let heat_w = fuel_kg_s * lhv_j_kg;
        Ok(Duty {
            air_flow,
            fuel_flow: kilograms_per_second(fuel_kg_s),
            heat_input: watts(heat_w),
            heat_released: watts(self.efficiency * heat_w / phi.max(1.0)),
            flame,
        })
    }

    /// The hottest flame of this fuel and air; a little richer than an equivalence ratio of one.
    ///
    /// **Valid:** as [`Burner::flame`]; looked for between 0.6 and 2.
    ///
    /// # Errors
    /// As [`Burner::flame`].
    pub fn hottest_flame(&self) -> Result<Flame, FlameError> {
        let [lean, rich] = HOTTEST_BETWEEN;
        let start = self.flame_from(1.0, &Start::default())?.state().as_start();
        let at = |phi| Ok(self.flame_from(phi, &start)?.temperature.value);
        let (phi, _) = maximum(at, lean, rich, PEAK_TOLERANCE)
            .map_err(|e| e.or_from(|failure| FlameError::Search { failure }))?;
        self.flame_from(phi, &start)
    }

    /// The flame that leaves at a given temperature, on one side of the hottest flame.
    ///
    /// **Valid:** lean, from the air temperature (and 300 K) up to the hottest flame; rich, down to the
    /// flame at an equivalence ratio of 4.
    ///
    /// # Errors
    /// [`FlameError::ExitTemperatureOutOfReach`], and as [`Burner::flame`].
    pub fn flame_at_exit_temperature(
        &self,
        t: ThermodynamicTemperature,
        branch: Branch,
    ) -> Result<Flame, FlameError> {
        let t_k = t.value;
        let hottest = self.hottest_flame()?;
        let (peak, start) = (hottest.equivalence_ratio.value, hottest.state().as_start());
        let excess = |phi: f64| match self.flame_from(phi, &start) {
            Ok(flame) => Ok(flame.temperature.value - t_k),
            Err(
                FlameError::InletHotterThanFlame { t_flame_k: t, .. }
                | FlameError::Equilibrium(EquilibriumError::TooCold { limit_k: t }),
            ) => Ok(t - t_k),
            Err(e) => Err(e),
        };
        let out_of_reach = |lowest_k| FlameError::ExitTemperatureOutOfReach {
            branch: branch.name(),
            t_k,
            lowest_k,
            highest_k: hottest.temperature.value,
            phi_hottest: peak,
        };
        let far = match branch {
            Branch::Lean => LEANEST,
            Branch::Rich => RICH_END,
        };
        let excess_far = excess(far)?;
        if !(excess_far <= 0.0 && t_k <= hottest.temperature.value) {
            return Err(out_of_reach(excess_far + t_k));
        }
        let phi = brent(excess, peak, far, PHI_TOLERANCE)
            .map_err(|e| e.or_from(|failure| FlameError::Search { failure }))?;
        self.flame_from(phi, &start)
    }
}
