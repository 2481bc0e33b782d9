//! Real-gas critical-flow function.

use super::{OrificeError, Stagnation, isentropic_flux};
use crate::quantity::{GAS_CONSTANT_J_MOL_K, pascals_absolute};

/// Back pressure over supply pressure low enough that any gas is choked.
const DEEP: f64 = 1e-3;

/// Critical-flow function of a real gas: `C* = G* √(R T0/M) / p0`, with the choked flux `G*`.
///
/// **Valid:** gas upstream; if the gas condenses on the way the flux is that of equilibrium.
/// **Source:** `iso9300` for the definition; the flux by [`isentropic_flux`].
///
/// # Errors
/// As [`isentropic_flux`].
pub fn critical_flow_function(up: &Stagnation<'_>) -> Result<f64, OrificeError> {
    let state = up.state();
    let flux = isentropic_flux(up, pascals_absolute(DEEP * state.pressure_pa))?;
    let specific = GAS_CONSTANT_J_MOL_K / up.fluid().molar_mass_kg_mol();
    Ok(flux.flux.value * (specific * state.temperature_k).sqrt() / state.pressure_pa)
}
