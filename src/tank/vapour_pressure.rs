//! What a tank can deliver at its temperature, and how hot it may get.

use super::TankError;
use super::filling;
use crate::eos::{Backend, EosError, Equilibrium};
use crate::numerics::ode::{self, OdeError, Problem};
use crate::quantity::range::in_range;
use crate::quantity::{
    AbsolutePressure, MassDensity, PressureDifference, Ratio, ThermodynamicTemperature, kelvin,
    pascals_absolute, pascals_difference,
};
use std::sync::Arc;

/// Share of the liquid at which a tank counts as nearly empty where nothing else is said.
pub const NEARLY_EMPTY: f64 = 0.05;

/// Coldest tank that still gives a pressure, with liquid of the backend's composition: its bubble
/// temperature at that pressure.
///
/// `required` is what the whole train needs at the tank: burner pressure plus every loss on the way.
///
/// **Valid:** tank at rest; a tank in use is colder than the air round it ([`super::chilling`]).
/// **Errors:** what the backend says, e.g. a pressure above critical.
/// **Source:** the backend's equation of state.
///
/// # Errors
/// As above.
///
/// ```
/// use fuelwright::eos;
/// use fuelwright::fuel::{Composition, Library};
/// use fuelwright::quantity::pascals_absolute;
/// use fuelwright::tank::vapour_pressure::coldest_feeding_temperature;
/// let library = Library::embedded();
/// let propane = eos::backend(&library, &Composition::parse("propane", &library)?)?;
/// // 4.745 bar is the vapour pressure of propane at 0 °C
/// let t = coldest_feeding_temperature(propane.as_ref(), pascals_absolute(4.745e5))?;
/// assert!((t.value - 273.15).abs() < 0.05);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn coldest_feeding_temperature(
    backend: &dyn Backend,
    required: AbsolutePressure,
) -> Result<ThermodynamicTemperature, TankError> {
    Ok(kelvin(backend.bubble_p(required.pascals())?.temperature_k))
}

/// `dx_i/ds = x_i - y_i` with `s = -ln(n/n_0)`: what is left gets poorer in what boils off.
struct Boiling<'a> {
    backend: &'a dyn Backend,
    t_k: f64,
    /// The equilibrium looked at last.
    last: Option<Equilibrium>,
}

impl Boiling<'_> {
    /// Mole fractions from the variables; a solver's state may be a hair off the simplex.
    fn fractions(y: &[f64]) -> Vec<f64> {
        let sum: f64 = y.iter().map(|x| x.max(0.0)).sum();
        y.iter().map(|x| x.max(0.0) / sum).collect()
    }
}

impl Problem for Boiling<'_> {
    type Error = EosError;
    fn slope(&mut self, _s: f64, y: &[f64], dy: &mut [f64]) -> Result<(), EosError> {
        let x = Self::fractions(y);
        let liquid = self.backend.recomposed(&x)?;
        let e = match &self.last {
            Some(near) => liquid.bubble_t_near(self.t_k, near)?,
            None => liquid.bubble_t(self.t_k)?,
        };
        self.last = Some(e);
        for (k, dy) in dy.iter_mut().enumerate() {
            *dy = x[k] - e.vapour.mole_fractions[k];
        }
        Ok(())
    }
}

/// The liquid that is left after vapour has been drawn off slowly at a temperature until a share
/// `remaining` of the moles of liquid is left (Rayleigh's simple distillation; the vapour that stays in
/// the tank is left out).
///
/// **Valid:** vapour in equilibrium with the liquid as it leaves. A blend boiled down cold loses its light
/// end sooner.
/// **Errors:** [`TankError::OutOfRange`] for a share outside 0.001 to 1, or what the backend says.
/// **Source:** `rayleigh1902`.
///
/// # Errors
/// As above.
pub fn boiled_down(
    backend: &dyn Backend,
    remaining: Ratio,
    temperature: ThermodynamicTemperature,
) -> Result<Arc<dyn Backend>, TankError> {
    in_range(
        "share of the liquid that is left",
        remaining.value,
        1e-3..=1.0,
    )?;
    let x = backend.composition().mole_fractions();
    if x.len() == 1 {
        return Ok(backend.recomposed(&x)?);
    }
    let options = ode::Options {
        relative: 0.0,
        absolute: vec![1e-6; x.len()],
        first_step: Some(0.1),
        longest_step: 1.0,
        most_steps: 10_000,
        events: 0,
    };
    let mut boiling = Boiling {
        backend,
        t_k: temperature.value,
        last: None,
    };
    let end = -remaining.value.ln();
    let outcome = ode::integrate(&mut boiling, 0.0, &x, end, &options).map_err(|e| match e {
        OdeError::Slope { source, .. } => TankError::Eos(source),
        other => TankError::Integration {
            t_s: 0.0,
            why: other.to_string().into(),
        },
    })?;
    Ok(backend.recomposed(&Boiling::fractions(&outcome.y))?)
}

/// Vapour pressure at one temperature, fresh and boiled down.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct VapourPressure {
    /// Temperature.
    pub temperature: ThermodynamicTemperature,
    /// Pressure over liquid of the named composition.
    pub full: AbsolutePressure,
    /// Pressure over what is left when nearly empty; that of the full tank for a pure fluid.
    pub nearly_empty: AbsolutePressure,
}

/// Vapour pressures over a list of temperatures, for the liquid as filled and for the rest of it
/// ([`boiled_down`] beforehand).
///
/// # Errors
/// What the backend says.
pub fn table(
    full: &dyn Backend,
    nearly_empty: &dyn Backend,
    temperatures: &[ThermodynamicTemperature],
) -> Result<Vec<VapourPressure>, TankError> {
    temperatures
        .iter()
        .map(|&temperature| {
            let p = |b: &dyn Backend| {
                b.bubble_t(temperature.value)
                    .map(|e| pascals_absolute(e.pressure_pa))
            };
            Ok(VapourPressure {
                temperature,
                full: p(full)?,
                nearly_empty: p(nearly_empty)?,
            })
        })
        .collect()
}

/// A tank on the hottest day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HottestDay {
    /// Pressure inside; of a tank that is liquid-full no higher than its relief opens at.
    pub pressure: AbsolutePressure,
    /// Set pressure of the relief less that; not above 0: the relief opens.
    pub to_relief: Option<PressureDifference>,
    /// Rated pressure less that; negative: over its rating.
    pub to_rating: Option<PressureDifference>,
    /// Temperature at which the charge fills the tank with liquid, if a charge was given and it ever does.
    pub liquid_full: Option<ThermodynamicTemperature>,
}

impl HottestDay {
    /// Whether the relief opens.
    pub fn relief_opens(&self) -> bool {
        self.to_relief.is_some_and(|margin| margin.pascals() <= 0.0)
    }
}

/// Pressure of a tank at the hottest temperature it may reach, against relief and rating.
///
/// * `charge` — mass over inner volume; `None` takes the vapour pressure, as if there were room for vapour
///
/// **Valid:** rigid tank at one temperature. In the sun a tank gets hotter than the air: give its own
/// temperature.
/// **Errors:** what the backend says.
///
/// # Errors
/// As above.
pub fn hottest_day(
    backend: &dyn Backend,
    charge: Option<MassDensity>,
    hottest: ThermodynamicTemperature,
    relief: Option<AbsolutePressure>,
    rating: Option<AbsolutePressure>,
) -> Result<HottestDay, TankError> {
    let (pressure, liquid_full) = match charge {
        None => (
            pascals_absolute(backend.bubble_t(hottest.value)?.pressure_pa),
            None,
        ),
        Some(density) => (
            filling::pressure_when_warmed(backend, density, hottest)?,
            match filling::liquid_full_temperature(backend, density) {
                Ok(t) => Some(t),
                Err(TankError::Nothing { .. }) => None,
                Err(other) => return Err(other),
            },
        ),
    };
    // a tank full of liquid gains several bar with every kelvin, until its relief lets liquid out
    let full = liquid_full.is_some_and(|t| t.value <= hottest.value);
    let pressure = match relief {
        Some(opens) if full && opens < pressure => opens,
        _ => pressure,
    };
    let margin = |p: AbsolutePressure| pascals_difference(p.pascals() - pressure.pascals());
    Ok(HottestDay {
        pressure,
        to_relief: relief.map(margin),
        to_rating: rating.map(margin),
        liquid_full,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::eos::fluid;
    use crate::quantity::{kilograms_per_cubic_metre, ratio};

    // a tank full of liquid is no higher than its relief valve lets it be, one with room for vapour not lower either
    #[test]
    fn a_relief_valve_bounds_the_liquid_full_tank_alone() {
        let b = fluid("propane");
        let relief = pascals_absolute(27e5);
        let day = |kg_m3: f64, hottest_k: f64| {
            let charge = Some(kilograms_per_cubic_metre(kg_m3));
            hottest_day(b.as_ref(), charge, kelvin(hottest_k), Some(relief), None).expect("a state")
        };
        // saturated liquid has 490 kg/m3 at 27 degC
        let full = day(490.0, 313.15);
        assert_eq!(full.pressure, relief);
        assert!(full.relief_opens());
        // vapour pressure at 40 degC: 13.7 bar, in any table
        let room = day(400.0, 313.15);
        assert!((room.pressure.pascals() - 13.7e5).abs() < 0.05e5);
        assert!(!room.relief_opens());
        // and above the relief valve at 77 degC
        let hot = day(250.0, 350.0);
        assert!(hot.pressure > relief && hot.relief_opens());
    }

    // Analytic: Rayleigh, ln(n/n0) = ∫ dx / (y - x) for a binary, by Simpson's rule over x
    #[test]
    fn boiling_down_follows_rayleigh() {
        let b = fluid("propane:60,n-butane:40");
        let rest = boiled_down(b.as_ref(), ratio(0.2), kelvin(283.15)).expect("two phases");
        let x_end = rest.composition().mole_fractions()[0];
        let f = |x: f64| {
            let e = b
                .recomposed(&[x, 1.0 - x])
                .and_then(|b| b.bubble_t(283.15))
                .expect("boils");
            1.0 / (e.vapour.mole_fractions[0] - x)
        };
        let n = 200;
        let h = (x_end - 0.6) / f64::from(n);
        let sum: f64 = (0..=n)
            .map(|i| {
                let weight = if i == 0 || i == n {
                    1.0
                } else if i % 2 == 1 {
                    4.0
                } else {
                    2.0
                };
                weight * f(0.6 + h * f64::from(i))
            })
            .sum();
        let ln_left = sum * h / 3.0;
        assert!((ln_left - 0.2_f64.ln()).abs() < 1e-5, "{ln_left}");
    }

    #[test]
    fn a_blend_nearly_empty_feeds_less() {
        let full = fluid("propane:60,n-butane:40");
        let share = ratio(NEARLY_EMPTY);
        let rest = boiled_down(full.as_ref(), share, kelvin(288.15)).expect("two phases");
        let rows = table(
            full.as_ref(),
            rest.as_ref(),
            &[kelvin(268.15), kelvin(288.15)],
        )
        .expect("boils");
        for row in &rows {
            assert!(
                row.nearly_empty.pascals() < 0.6 * row.full.pascals(),
                "{row:?}"
            );
        }
        // a pure fuel does not change
        let pure = fluid("propane");
        let same = boiled_down(pure.as_ref(), share, kelvin(288.15)).expect("pure");
        assert_eq!(same.composition().mole_fractions(), [1.0]);
        assert!(boiled_down(full.as_ref(), ratio(0.0), kelvin(288.15)).is_err());
    }

    #[test]
    fn the_hottest_day_is_held_against_relief_and_rating() {
        let b = fluid("propane");
        let relief = Some(pascals_absolute(18e5));
        let rating = Some(pascals_absolute(30e5));
        // 17.13 bar at 50 °C (SOURCES section 4.1)
        let room = hottest_day(b.as_ref(), None, kelvin(323.15), relief, rating).expect("boils");
        assert!((room.pressure.pascals() / 17.133e5 - 1.0).abs() < 2e-3);
        assert!(room.to_relief.expect("given").pascals() > 0.0);
        // 91 % full at 15 °C: liquid-full before 50 °C, held by the relief, over the rating without one
        let over = Some(kilograms_per_cubic_metre(0.91 * 507.5));
        let full = hottest_day(b.as_ref(), over, kelvin(323.15), relief, rating).expect("in range");
        assert!(full.liquid_full.expect("fills").value < 323.15);
        assert!(full.relief_opens());
        assert!(full.to_rating.expect("given").pascals() > 0.0);
        let shut = hottest_day(b.as_ref(), over, kelvin(323.15), None, rating).expect("in range");
        assert!(shut.to_rating.expect("given").pascals() < 0.0);
    }
}
