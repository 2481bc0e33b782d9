//! Liquid drawn and vaporised outside the tank: heat it takes, and a first length of coil.

use super::TankError;
use crate::eos::{Backend, Phase, State};
use crate::quantity::range::in_range_of;
use crate::quantity::{
    AbsolutePressure, AvailableEnergy, Length, MassRate, Power, Ratio, TemperatureInterval,
    ThermodynamicTemperature, kelvin, metres, ratio, watts,
};
use std::f64::consts::PI;

/// Heat transfer to fuel that boils in a small tube, W/(m² K): low, middle, high. Our choice from the
/// range usual for light hydrocarbons; dry-out at the end of the tube and deposits call for the low one.
///
/// **Source:** common practice, no source.
pub const BOILING_W_M2_K: [f64; 3] = [300.0, 800.0, 2000.0];

/// Band of the gas-side correlation, as a fraction.
///
/// **Source:** `dittus1930`, usual statement of 25 %.
pub const SUPERHEAT_BAND: f64 = 0.25;

/// Heat to vaporise and superheat what is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Vaporiser {
    /// Heat up to the last drop.
    pub boiling: Power,
    /// Heat from there to the outlet temperature.
    pub superheating: Power,
    /// Temperature at which the last drop goes (dew point at the pressure).
    pub dew_point: ThermodynamicTemperature,
    /// Temperature at which the fuel begins to boil at the pressure.
    pub bubble_point: ThermodynamicTemperature,
    /// Temperature at the outlet.
    pub outlet: ThermodynamicTemperature,
    /// All heat as a share of the burner's, if a heating value was given.
    pub share_of_burner: Option<Ratio>,
}

impl Vaporiser {
    /// All heat.
    pub fn heat(&self) -> Power {
        self.boiling + self.superheating
    }
}

/// Heat that liquid from the tank takes to become vapour, superheated by a given difference, at the
/// pressure of the vaporiser: `Q = w (h_out - h_L)`.
///
/// * `heating_value` — lower heating value of the fuel, for the share of the burner's heat
///
/// **Valid:** expansion from the tank without heat (constant enthalpy); pressure below critical.
/// **Errors:** [`TankError::Nothing`] for a draw of zero, [`TankError::OutOfRange`] for a superheat
/// outside 0 to 200 K, or what the backend says.
/// **Source:** energy balance; properties from the backend.
///
/// # Errors
/// As above.
pub fn vaporiser(
    backend: &dyn Backend,
    draw: MassRate,
    tank_temperature: ThermodynamicTemperature,
    pressure: AbsolutePressure,
    superheat: TemperatureInterval,
    heating_value: Option<AvailableEnergy>,
) -> Result<Vaporiser, TankError> {
    let w_kg_s = draw.value;
    if w_kg_s.is_nan() || w_kg_s <= 0.0 {
        return Err(TankError::Nothing {
            what: "nothing is drawn, so nothing is to be vaporised",
        });
    }
    in_range_of("superheat", superheat.value, 0.0..=200.0, "K")?;
    let p_pa = pressure.pascals();
    let inlet = backend.bubble_t(tank_temperature.value)?;
    let (bubble, dew) = (backend.bubble_p(p_pa)?, backend.dew_p(p_pa)?);
    let outlet_k = dew.temperature_k + superheat.value;
    let outlet_j_kg = if superheat.value > 0.0 {
        backend
            .state_pt_in(p_pa, outlet_k, Phase::Gas)?
            .enthalpy_j_kg
    } else {
        dew.vapour.enthalpy_j_kg
    };
    let boiling_w = w_kg_s * (dew.vapour.enthalpy_j_kg - inlet.liquid.enthalpy_j_kg);
    let superheating_w = w_kg_s * (outlet_j_kg - dew.vapour.enthalpy_j_kg);
    Ok(Vaporiser {
        boiling: watts(boiling_w),
        superheating: watts(superheating_w),
        dew_point: kelvin(dew.temperature_k),
        bubble_point: kelvin(bubble.temperature_k),
        outlet: kelvin(outlet_k),
        share_of_burner: heating_value
            .map(|lhv| ratio((boiling_w + superheating_w) / (w_kg_s * lhv.value))),
    })
}

/// A first length of tube.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Coil {
    /// Shortest, likely and longest length, by the band of the coefficients.
    pub length: [Length; 3],
    /// Likely length of the boiling part.
    pub boiling: Length,
    /// Likely length of the superheating part.
    pub superheating: Length,
    /// Reynolds number of the vapour in the middle of the superheating part.
    pub reynolds: f64,
}

/// First length of a coil of one tube whose wall is held at a temperature.
///
/// Boiling part: `L = Q / (h π d ΔT)` with the wall's excess over the mean of bubble and dew point and a
/// coefficient from [`BOILING_W_M2_K`]. Superheating part: the same with the log-mean excess and
/// `Nu = 0.023 Re^0.8 Pr^0.4`, `Pr = 4γ/(9γ - 5)` (Eucken), or 3.66 in laminar flow. Expect a factor of two:
/// cut long, measure, shorten.
///
/// **Valid:** wall hotter than the outlet; pressure drop small.
/// **Errors:** [`TankError::OutOfRange`] for a wall that is not hotter than the outlet or a tube outside
/// 1 mm to 100 mm, or what the backend says.
/// **Source:** `dittus1930`, `eucken1913`; boiling coefficient: common practice, no source.
///
/// # Errors
/// As above.
pub fn first_coil(
    backend: &dyn Backend,
    duty: &Vaporiser,
    draw: MassRate,
    pressure: AbsolutePressure,
    wall: ThermodynamicTemperature,
    inner_diameter: Length,
) -> Result<Coil, TankError> {
    let d_m = inner_diameter.value;
    in_range_of("inner diameter of the coil", d_m, 1e-3..=0.1, "m")?;
    let (wall_k, outlet_k, dew_k) = (wall.value, duty.outlet.value, duty.dew_point.value);
    in_range_of(
        "wall temperature of the coil",
        wall_k,
        outlet_k + 1.0..=1500.0,
        "K",
    )?;
    let boil_k = 0.5 * (duty.bubble_point.value + dew_k);
    let boiling = BOILING_W_M2_K.map(|h| duty.boiling.value / (h * PI * d_m * (wall_k - boil_k)));
    let (mut superheating_m, mut reynolds) = (0.0, 0.0);
    if duty.superheating.value > 0.0 {
        let middle_k = 0.5 * (dew_k + outlet_k);
        let gas = backend.state_pt_in(pressure.pascals(), middle_k, Phase::Gas)?;
        let (re, h_w_m2_k) = gas_side(backend, &gas, draw.value, d_m)?;
        let (hot, cold) = (wall_k - dew_k, wall_k - outlet_k);
        let mean_k = (hot - cold) / (hot / cold).ln();
        superheating_m = duty.superheating.value / (h_w_m2_k * PI * d_m * mean_k);
        reynolds = re;
    }
    let total = |boil: f64, factor: f64| metres(boil + superheating_m * factor);
    Ok(Coil {
        length: [
            total(boiling[2], 1.0 / (1.0 + SUPERHEAT_BAND)),
            total(boiling[1], 1.0),
            total(boiling[0], 1.0 / (1.0 - SUPERHEAT_BAND)),
        ],
        boiling: metres(boiling[1]),
        superheating: metres(superheating_m),
        reynolds,
    })
}

/// Reynolds number and coefficient of vapour in a tube.
fn gas_side(
    backend: &dyn Backend,
    gas: &State,
    w_kg_s: f64,
    d_m: f64,
) -> Result<(f64, f64), TankError> {
    let mu = backend.viscosity_pa_s(gas)?;
    let response = gas.response()?;
    let gamma = response.cp_j_kg_k / response.cv_j_kg_k;
    let pr = 4.0 * gamma / (9.0 * gamma - 5.0);
    let conductivity = mu * response.cp_j_kg_k / pr;
    let re = 4.0 * w_kg_s / (PI * d_m * mu);
    let nu = (0.023 * re.powf(0.8) * pr.powf(0.4)).max(3.66);
    Ok((re, nu * conductivity / d_m))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::eos::fluid;
    use crate::quantity::{
        joules_per_kilogram, kelvin_difference, kilograms_per_second, pascals_absolute,
    };

    fn duty(b: &dyn Backend, superheat_k: f64) -> Vaporiser {
        let p = pascals_absolute(b.bubble_t(288.15).expect("boils").pressure_pa);
        vaporiser(
            b,
            kilograms_per_second(1e-3),
            kelvin(288.15),
            p,
            kelvin_difference(superheat_k),
            Some(joules_per_kilogram(46.34e6)),
        )
        .expect("below critical")
    }

    // SOURCES section 4.2: h_fg of propane 352.5 kJ/kg, of n-butane 371.4 kJ/kg at 15 °C; boiled at the
    // tank's own pressure without superheat that is all there is to it. Printed to four digits.
    #[test]
    fn saturated_liquid_takes_its_latent_heat() {
        for (name, h_fg) in [("propane", 352.5e3), ("n-butane", 371.4e3)] {
            let v = duty(fluid(name).as_ref(), 0.0);
            assert!(
                (v.heat().value / (1e-3 * h_fg) - 1.0).abs() < 2e-4,
                "{name} {v:?}"
            );
            assert!(v.superheating.value.abs() < 1e-9);
            let share = v.share_of_burner.expect("a heating value").value;
            assert!((share - h_fg / 46.34e6).abs() < 1e-5);
        }
    }

    #[test]
    fn a_blend_boils_between_bubble_and_dew_point() {
        let b = fluid("propane:60,n-butane:40");
        let v = duty(b.as_ref(), 20.0);
        assert!((v.bubble_point.value - 288.15).abs() < 1e-6);
        assert!(v.dew_point.value > v.bubble_point.value + 5.0);
        assert!((v.outlet.value - v.dew_point.value - 20.0).abs() < 1e-9);
        assert!(
            v.superheating.value > 20.0 * 1e-3 * 1500.0
                && v.superheating.value < 20.0 * 1e-3 * 2500.0
        );
    }

    #[test]
    fn a_coil_is_as_long_as_its_heat_needs() {
        let b = fluid("propane");
        let v = duty(b.as_ref(), 20.0);
        let p = pascals_absolute(b.bubble_t(288.15).expect("boils").pressure_pa);
        let coil = |wall_k: f64, d_m: f64| {
            first_coil(
                b.as_ref(),
                &v,
                kilograms_per_second(1e-3),
                p,
                kelvin(wall_k),
                metres(d_m),
            )
        };
        let c = coil(353.15, 4e-3).expect("a hot wall");
        // by hand: 352.5 W / (800 W/(m² K) π 4 mm 65 K) = 0.5395 m
        assert!((c.boiling.value - 0.5395).abs() < 1e-3, "{c:?}");
        assert!(c.reynolds > 2e4 && c.reynolds < 6e4, "{c:?}");
        assert!(c.length[0] < c.length[1] && c.length[1] < c.length[2]);
        assert!((c.length[1].value - c.boiling.value - c.superheating.value).abs() < 1e-12);
        let hotter = coil(453.15, 4e-3).expect("a hotter wall");
        assert!(hotter.length[1] < c.length[1]);
        assert!(
            coil(300.0, 4e-3).is_err(),
            "the wall must be hotter than the outlet"
        );
        assert!(coil(353.15, 0.5).is_err());
    }

    #[test]
    fn nothing_drawn_nothing_vaporised() {
        let b = fluid("propane");
        let none = vaporiser(
            b.as_ref(),
            kilograms_per_second(0.0),
            kelvin(288.15),
            pascals_absolute(2e5),
            kelvin_difference(10.0),
            None,
        );
        assert!(matches!(none, Err(TankError::Nothing { .. })));
    }
}
