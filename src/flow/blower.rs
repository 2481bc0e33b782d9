//! Air flow of a blower or compressor from its shaft power, pressure ratio and efficiency.

use crate::flow::air::MoistAir;
use crate::quantity::told::errors;
use crate::quantity::{
    MassRate, Power, Ratio, ThermodynamicTemperature, kelvin, kilograms_per_second, watts,
};

/// Highest pressure ratio the constant heat capacity is used for.
const MAX_PRESSURE_RATIO: f64 = 4.0;

errors! {
    /// What can be wrong with a blower's figures.
    pub enum BlowerError {
        PressureRatioOutOfRange { pressure_ratio: f64, upper: f64 } =>
            "a pressure ratio of {pressure_ratio} is outside this blower model, above 1 and up to {upper}";
        EfficiencyOutOfRange { efficiency: f64 } =>
            "a blower efficiency of {efficiency} is not above 0 and up to 1";
        NoPower { power_w: f64 } => "a shaft power of {power_w} W moves no air";
    }
}

/// A blower: what it does to each kilogram of air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Blower {
    /// Outlet over inlet pressure, both absolute.
    pub pressure_ratio: Ratio,
    /// Isentropic efficiency of the whole machine from shaft to air.
    pub efficiency: Ratio,
}

impl Blower {
    /// Checks the figures.
    ///
    /// # Errors
    /// [`BlowerError`] if one of them is out of range.
    pub fn new(pressure_ratio: Ratio, efficiency: Ratio) -> Result<Self, BlowerError> {
        let (pr, eta) = (pressure_ratio.value, efficiency.value);
        if !(pr > 1.0 && pr <= MAX_PRESSURE_RATIO) {
            return Err(BlowerError::PressureRatioOutOfRange {
                pressure_ratio: pr,
                upper: MAX_PRESSURE_RATIO,
            });
        }
        if !(eta > 0.0 && eta <= 1.0) {
            return Err(BlowerError::EfficiencyOutOfRange { efficiency: eta });
        }
        Ok(Self {
            pressure_ratio,
            efficiency,
        })
    }

    /// Work on each kilogram of air, J/kg: `cp T1 (Π^(R/cp) − 1) / η`.
    fn work_j_kg(&self, inlet: &MoistAir) -> f64 {
        let cp_j_kg_k = inlet.heat_capacity().value;
        let exponent = inlet.gas_constant_j_kg_k() / cp_j_kg_k;
        let rise = self.pressure_ratio.value.powf(exponent) - 1.0;
        cp_j_kg_k * inlet.t.value * rise / self.efficiency.value
    }

    /// Air flow, moist, that a shaft power drives.
    ///
    /// `ṁ = η P / (cp T1 (Π^(R/cp) − 1))`
    ///
    /// **Valid:** pressure ratio up to 4, no heat lost, inlet at rest; constant heat capacity (0.2 % on
    /// the work against the real gas).
    /// **Source:** `naca1135` (isentropic relation of a perfect gas).
    ///
    /// # Errors
    /// [`BlowerError::NoPower`].
    ///
    /// ```
    /// use fuelwright::flow::{air::MoistAir, blower::Blower};
    /// use fuelwright::quantity::{kelvin, pascals_absolute, ratio, watts};
    ///
    /// let inlet = MoistAir::new(pascals_absolute(101_325.0), kelvin(288.15), ratio(0.0))?;
    /// let blower = Blower::new(ratio(1.05), ratio(0.5))?;
    /// let flow = blower.air_flow(watts(500.0), &inlet)?;
    /// assert!((flow.value - 0.0615).abs() < 0.0002);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn air_flow(&self, shaft: Power, inlet: &MoistAir) -> Result<MassRate, BlowerError> {
        let power_w = shaft.value;
        if !(power_w > 0.0 && power_w.is_finite()) {
            return Err(BlowerError::NoPower { power_w });
        }
        Ok(kilograms_per_second(power_w / self.work_j_kg(inlet)))
    }

    /// Shaft power that an air flow takes; the inverse of [`Blower::air_flow`].
    pub fn shaft_power(&self, air: MassRate, inlet: &MoistAir) -> Power {
        watts(air.value * self.work_j_kg(inlet))
    }

    /// Temperature of the air leaving, `T1 + w / cp`.
    ///
    /// **Valid:** as [`Blower::air_flow`]. **Source:** `naca1135`.
    pub fn outlet_temperature(&self, inlet: &MoistAir) -> ThermodynamicTemperature {
        kelvin(inlet.t.value + self.work_j_kg(inlet) / inlet.heat_capacity().value)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{pascals_absolute, ratio};

    fn dry(p_pa: f64, t_k: f64) -> MoistAir {
        MoistAir::new(pascals_absolute(p_pa), kelvin(t_k), ratio(0.0)).expect("in range")
    }

    #[test]
    fn isentropic_work_matches_the_real_gas() {
        // Code to code: CoolProp 8.0.0 Air, h(p2, s1) − h1 and T(p2, s1).
        for (p_pa, t_k, pr, work_j_kg, t2_k) in [
            (101_325.0, 288.15, 1.05, 4_062.194_8, 292.199_787),
            (101_325.0, 288.15, 1.5, 35_547.415_7, 323.559_704),
            (84_000.0, 303.15, 2.0, 66_694.029_8, 369.420_929),
            (101_325.0, 263.15, 3.0, 97_471.808_0, 360.228_457),
        ] {
            let inlet = dry(p_pa, t_k);
            let ideal = Blower::new(ratio(pr), ratio(1.0)).expect("in range");
            assert!(
                (ideal.work_j_kg(&inlet) / work_j_kg - 1.0).abs() < 2e-3,
                "{pr}"
            );
            assert!(
                (ideal.outlet_temperature(&inlet).value - t2_k).abs() < 0.2,
                "{pr}"
            );
        }
    }

    #[test]
    fn flow_and_power_are_inverse() {
        let inlet = dry(95_000.0, 280.0);
        let blower = Blower::new(ratio(1.2), ratio(0.62)).expect("in range");
        let flow = blower.air_flow(watts(750.0), &inlet).expect("some power");
        assert!((blower.shaft_power(flow, &inlet).value - 750.0).abs() < 1e-9);
    }

    #[test]
    fn a_blower_that_cannot_be_is_refused() {
        assert!(Blower::new(ratio(1.0), ratio(0.5)).is_err());
        assert!(Blower::new(ratio(9.0), ratio(0.5)).is_err());
        assert!(Blower::new(ratio(1.1), ratio(0.0)).is_err());
        assert!(Blower::new(ratio(1.1), ratio(1.2)).is_err());
        assert!(Blower::new(ratio(f64::NAN), ratio(0.5)).is_err());
        let blower = Blower::new(ratio(1.1), ratio(0.5)).expect("in range");
        assert!(blower.air_flow(watts(0.0), &dry(1e5, 290.0)).is_err());
    }
}
