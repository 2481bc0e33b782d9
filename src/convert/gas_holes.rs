//! Why the gas holes cannot be kept: what drives the liquid through them, held against what would disturb it.

use super::demand::Fed;
use super::input::ConvertInput;
use super::liquid::LiquidAt;
use crate::flow::discharge::{DischargeError, HoleFlow, for_hole};
use crate::flow::pump::GRAVITY_M_S2;
use crate::injector::error::InjectorError;
use crate::injector::spec::ManifoldLayout;
use crate::quantity::{
    Length, PressureDifference, Ratio, Velocity, metres, metres_per_second, pascals_difference,
    ratio,
};
use std::f64::consts::FRAC_PI_4;

/// Reynolds number that the coefficient is held at below it: the models end there.
const LEAST_REYNOLDS: f64 = 100.0;
/// Weber number of a jet; below it liquid drips from a hole instead of leaving as a jet (from memory of
/// experiments with water; between 4 and 8).
pub const LEAST_WEBER: f64 = 8.0;
/// Drop over chamber pressure that a feed should have against surges.
pub const LEAST_STIFFNESS: f64 = 0.15;
/// Passes of the search for the coefficient, which hangs on its own velocity a little.
const PASSES: usize = 40;

/// Liquid through the gas holes at one duty.
#[derive(Debug, Clone, PartialEq)]
pub struct LiquidInGasHoles {
    /// Duty.
    pub duty: String,
    /// Drop over the holes.
    pub drop: PressureDifference,
    /// The same as a column of the fuel.
    pub column: Length,
    /// Drop over chamber pressure.
    pub stiffness: Ratio,
    /// Velocity of the jets.
    pub velocity: Velocity,
    /// Weber number `ρ u² d/σ` of a jet.
    pub weber: f64,
    /// Reynolds number of a hole.
    pub reynolds: f64,
    /// Discharge coefficient.
    pub discharge: f64,
}

/// What else acts on the liquid in the ring.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AgainstIt {
    /// Weight of the liquid from the lowest to the highest hole if the ring stands upright; `None`: no ring.
    pub across_ring: Option<PressureDifference>,
    /// Pressure that surface tension holds back at a hole, `4 σ/d`.
    pub capillary: PressureDifference,
    /// Area of all gas holes over that of the liquid's proposed nozzles; `None` without a proposal.
    pub area_over_nozzles: Option<Ratio>,
}

/// Drop of the liquid through the gas holes: `Δp = (ṁ/(n C_d A))²/(2 ρ)`.
///
/// **Valid:** below a Reynolds number of 100 the coefficient is held. **Source:** those of the coefficient.
///
/// # Errors
/// [`DischargeError`], or a hole that is none.
pub(super) fn through(
    input: &ConvertInput<'_>,
    fed: &Fed<'_>,
    liquid: &LiquidAt,
) -> Result<Option<LiquidInGasHoles>, InjectorError> {
    let Some(holes) = input.holes else {
        return Ok(None);
    };
    let d_m = holes.diameter.value;
    let shape = input.make().shape(holes.diameter)?;
    let flow = HoleFlow::Liquid {
        cavitation_number: None,
    };
    let (rho, mu) = (liquid.density.value, liquid.viscosity.value);
    let area_m2 = f64::from(holes.number) * FRAC_PI_4 * d_m * d_m;
    let mean_flux = fed.demand.fuel.value / area_m2;
    let mut discharge = 0.6;
    for _ in 0..PASSES {
        let re = (mean_flux / discharge * d_m / mu).max(LEAST_REYNOLDS);
        let c = coefficient(&shape, re, &flow)?;
        discharge = 0.5 * (discharge + c);
    }
    let ideal_m_s = mean_flux / (discharge * rho);
    let drop_pa = 0.5 * rho * ideal_m_s * ideal_m_s;
    Ok(Some(LiquidInGasHoles {
        duty: fed.duty.now.name.clone(),
        drop: pascals_difference(drop_pa),
        column: metres(drop_pa / (rho * GRAVITY_M_S2)),
        stiffness: ratio(drop_pa / fed.duty.now.chamber.pascals()),
        velocity: metres_per_second(ideal_m_s),
        weber: rho * ideal_m_s * ideal_m_s * d_m / liquid.surface_tension.value,
        reynolds: rho * ideal_m_s * d_m / mu,
        discharge,
    }))
}

fn coefficient(
    shape: &crate::flow::discharge::HoleShape,
    re: f64,
    flow: &HoleFlow,
) -> Result<f64, DischargeError> {
    for_hole(shape, re, flow).map(|c| c.value)
}

/// Weight and surface tension that the drop stands against.
pub(super) fn against(
    input: &ConvertInput<'_>,
    liquid: &LiquidAt,
    nozzle_area_m2: Option<f64>,
) -> Option<AgainstIt> {
    let holes = input.holes?;
    let d_m = holes.diameter.value;
    let ring = input
        .rig
        .injector
        .manifold
        .as_ref()
        .and_then(|m| match m.layout {
            ManifoldLayout::Ring { diameter, .. } => Some(diameter),
            ManifoldLayout::Bar { .. } => None,
        });
    let holes_m2 = f64::from(holes.number) * FRAC_PI_4 * d_m * d_m;
    Some(AgainstIt {
        across_ring: ring
            .map(|d| pascals_difference(liquid.density.value * GRAVITY_M_S2 * d.value)),
        capillary: pascals_difference(4.0 * liquid.surface_tension.value / d_m),
        area_over_nozzles: nozzle_area_m2.map(|a| ratio(holes_m2 / a)),
    })
}
