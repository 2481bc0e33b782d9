//! What a relief valve passes against what its regulator lets through wide open.

use crate::eos::Backend;
use crate::flow::orifice::{Stagnation, isentropic_flux};
use crate::flow::regulator::Regulator;
use crate::quantity::{
    AbsolutePressure, Length, MassRate, ThermodynamicTemperature, kilograms_per_second, metres,
    pascals_absolute, pascals_difference,
};
use std::f64::consts::PI;

/// Discharge coefficient of a small relief valve whose maker states none. Our choice.
const DISCHARGE: f64 = 0.8;
/// Pressure above set, of the gauge reading, at which a relief valve stands wide open [api520].
const OVERPRESSURE: f64 = 0.1;

/// A relief valve wide open behind a regulator that is stuck wide open.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReliefDuty {
    /// Pressure before it: a tenth above set, by gauge.
    pub relieving: AbsolutePressure,
    /// What the regulator lets through to that pressure.
    pub arrives: MassRate,
    /// What the relief valve passes then.
    pub passes: MassRate,
    /// Bore that would pass all of it.
    pub bore_needed: Length,
}

/// What a relief valve passes, and what the regulator before it lets through, for gas.
///
/// The regulator passes what its seat does wide open, from its inlet to the relieving pressure; the gas stays as it is
/// let down (isenthalpic). The valve is a nozzle of its bore: `W = Kd A G`, with `G` the isentropic flux of the real gas
/// to the air, choked or not.
///
/// * `inlet` — pressure before the regulator
/// * `ambient`, `air` — of the site
/// * `set`, `bore` — of the relief valve
///
/// **Valid:** gas. **Errors:** why there is no state, in words. **Source:** `iec60534-2-1` for the seat, `api520` for
/// the overpressure; the discharge coefficient is our choice.
///
/// # Errors
/// As above.
pub fn relief_duty(
    fuel: &dyn Backend,
    regulator: &Regulator,
    inlet: AbsolutePressure,
    (ambient, air): (ThermodynamicTemperature, AbsolutePressure),
    (set, bore): (AbsolutePressure, Length),
) -> Result<ReliefDuty, String> {
    let relieving =
        pascals_absolute(set.pascals() + OVERPRESSURE * set.gauge(air).pascals().max(0.0));
    // vapour a hair above its dew point, or as warm as the site
    let t_k = fuel.dew_p(inlet.pascals()).map_or(ambient.value, |dew| {
        (dew.temperature_k + 1.0).max(ambient.value)
    });
    let state = fuel
        .state_pt(inlet.pascals(), t_k)
        .map_err(|e| e.to_string())?;
    let stuck = Regulator {
        set_pressure: relieving,
        rated_flow: kilograms_per_second(f64::MAX.sqrt()),
        droop: pascals_difference(0.0),
        nominal_inlet: None,
        ..*regulator
    };
    let arrives = stuck.capacity(fuel, &state).map_err(|e| e.to_string())?;
    let before = fuel
        .state_ph(relieving.pascals(), state.enthalpy_j_kg)
        .map_err(|e| e.to_string())?;
    let up = Stagnation::of(fuel, before);
    let flux = isentropic_flux(&up, air).map_err(|e| e.to_string())?.flux;
    let passed = |d_m: f64| DISCHARGE * PI / 4.0 * d_m * d_m * flux.value;
    Ok(ReliefDuty {
        relieving,
        arrives,
        passes: kilograms_per_second(passed(bore.value)),
        bore_needed: metres((arrives.value / passed(1.0)).sqrt()),
    })
}
