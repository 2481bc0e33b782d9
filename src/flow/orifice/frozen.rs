//! Liquid and vapour that reach a hole together, as if no more of the liquid could boil inside it.

use super::{OrificeError, Stagnation};
use crate::numerics::maximum::maximum;
use crate::quantity::{
    AbsolutePressure, MassFlux, Velocity, kilograms_per_square_metre_second, metres_per_second,
};
use std::convert::Infallible;

/// Isentropic exponent of the vapour among the drops; it moves the flux by a few per cent only.
const VAPOUR_EXPONENT: f64 = 1.1;

/// Flux at frozen quality with the velocity of the jet it makes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FrozenFlux {
    /// Mass flux, before the discharge coefficient.
    pub flux: MassFlux,
    /// Velocity once the jet has expanded to the back pressure.
    pub jet: Velocity,
}

/// Flux of a wet supply whose quality stays what it was.
///
/// Homogeneous frozen flow: `G = √(2 ∫ v dp) / v` at its greatest, with
/// `v = q v_g (p0/p)^(1/γ) + (1−q) v_l`, `γ` 1.1 for the vapour. At `q = 0` this is Bernoulli's equation.
/// With the equilibrium flux it brackets a short hole.
///
/// **Valid:** a supply on the saturation line or between its ends; a hole too short for boiling.
/// **Source:** momentum balance; the two bounds as in `dyer2007`.
///
/// # Errors
/// [`OrificeError`]: nothing to drive the flow, or a supply that is not liquid and vapour together.
pub fn frozen_flux(
    up: &Stagnation<'_>,
    back: AbsolutePressure,
) -> Result<FrozenFlux, OrificeError> {
    let state = up.state();
    let Some(sides) = state.equilibrium else {
        return Err(OrificeError::NotLiquid {
            fuel: up.fluid().composition().label().to_owned(),
            phase: state.phase.name(),
            t_k: state.temperature_k,
            p_pa: state.pressure_pa,
        });
    };
    let (p0_pa, back_pa) = (state.pressure_pa, up.back_pa(back)?);
    let q = state.vapour_mass_fraction;
    let vapour = q / sides.vapour.density_kg_m3;
    let liquid = (1.0 - q) / sides.liquid.density_kg_m3;
    let g = VAPOUR_EXPONENT;
    let velocity = |p_pa: f64| {
        let r = p_pa / p0_pa;
        let work = vapour * p0_pa * g / (g - 1.0) * (1.0 - r.powf((g - 1.0) / g))
            + liquid * (p0_pa - p_pa);
        (2.0 * work).sqrt()
    };
    let flux = |p_pa: f64| velocity(p_pa) / (vapour * (p0_pa / p_pa).powf(1.0 / g) + liquid);
    let found = maximum(
        |p| Ok::<_, Infallible>(flux(p)),
        back_pa,
        p0_pa,
        1e-6 * p0_pa,
    );
    let (mut p_pa, mut best) = (back_pa, flux(back_pa));
    if let Ok((p, value)) = found
        && value > best
    {
        (p_pa, best) = (p, value);
    }
    Ok(FrozenFlux {
        flux: kilograms_per_square_metre_second(best),
        jet: metres_per_second(velocity(p_pa) + (p_pa - back_pa) / best),
    })
}
