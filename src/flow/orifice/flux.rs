//! The flux of an ideal hole and nothing else, for searches that ask it many times.

use super::frozen::frozen_flux;
use super::liquid::{Expansion, liquid_flux};
use super::pieces::flux_alone;
use super::{OrificeError, Stagnation};
use crate::eos::Phase;
use crate::quantity::AbsolutePressure;

/// Flux, kg/(m² s), and whether it is choked: of gas along the isentrope, of liquid and of liquid with vapour by the
/// expansion.
///
/// # Errors
/// [`OrificeError`].
pub(crate) fn flux_of(
    up: &Stagnation<'_>,
    back: AbsolutePressure,
    expansion: Expansion,
) -> Result<(f64, bool), OrificeError> {
    match up.state().phase {
        Phase::Liquid => liquid_flux(up, back, expansion).map(|f| (f.flux.value, f.choked)),
        Phase::TwoPhase if expansion == Expansion::Bernoulli => most_flux(up, back),
        _ => flux_alone(up, back),
    }
}

/// Most that liquid and vapour together may pass, as the ideal hole of an injector has it.
fn most_flux(up: &Stagnation<'_>, back: AbsolutePressure) -> Result<(f64, bool), OrificeError> {
    let (equilibrium, choked) = flux_alone(up, back)?;
    let without = frozen_flux(up, back)?.flux.value;
    let share = 1.0 - up.state().vapour_mass_fraction;
    Ok((equilibrium + share * (without - equilibrium), choked))
}
