//! Liquid through a short hole: Bernoulli, equilibrium, and the blend of the two.

use super::{IsentropicFlux, OrificeError, Stagnation, Throat, isentropic_flux};
use crate::eos::Phase;
use crate::quantity::{
    AbsolutePressure, MassFlux, kelvin, kilograms_per_cubic_metre,
    kilograms_per_square_metre_second, metres_per_second, pascals_absolute,
};

/// How a liquid is taken to expand through a hole.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Expansion {
    /// Liquid and vapour in equilibrium at one velocity: the lower bound.
    Equilibrium,
    /// No vapour forms inside the hole: the upper bound.
    Bernoulli,
    /// Between the two, by how far the back pressure is below the vapour pressure.
    #[default]
    Blend,
}

impl Expansion {
    /// Word used on the command line and in results.
    pub fn name(self) -> &'static str {
        match self {
            Self::Equilibrium => "equilibrium",
            Self::Bernoulli => "bernoulli",
            Self::Blend => "blend",
        }
    }
}

/// Ideal flux of a liquid with both bounds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LiquidFlux {
    /// Flux by the expansion asked for, before the discharge coefficient.
    pub flux: MassFlux,
    /// Flux without vapour, the upper bound.
    pub bernoulli: MassFlux,
    /// Flux in equilibrium, the lower bound, with its throat; `None` where it has no share in `flux`.
    pub equilibrium: Option<IsentropicFlux>,
    /// Share of the equilibrium flux in `flux`.
    pub flashing_share: f64,
    /// Vapour pressure at the upstream temperature; `None` above the critical temperature.
    pub vapour_pressure: Option<AbsolutePressure>,
    /// Throat by the expansion asked for; that of the equilibrium flux for a blend.
    pub throat: Throat,
    /// Whether the flow no longer answers to the back pressure (of a blend: its equilibrium part).
    pub choked: bool,
}

fn liquid_state(up: &Stagnation<'_>) -> Result<(f64, f64), OrificeError> {
    let state = up.state();
    if !up.is_liquid() {
        return Err(OrificeError::NotLiquid {
            fuel: up.fluid().composition().label().to_owned(),
            phase: state.phase.name(),
            t_k: state.temperature_k,
            p_pa: state.pressure_pa,
        });
    }
    Ok((state.density_kg_m3, state.pressure_pa))
}

/// Flux of a liquid that does not boil in the hole: `G = √(2 ρ0 (p0 − p))`.
///
/// **Valid:** liquid upstream, incompressible, no vapour in the hole.
/// **Source:** Bernoulli's equation; textbook knowledge.
///
/// # Errors
/// [`OrificeError::NotLiquid`], [`OrificeError::BackAboveSupply`].
pub fn bernoulli_flux(
    up: &Stagnation<'_>,
    back: AbsolutePressure,
) -> Result<MassFlux, OrificeError> {
    let (rho_kg_m3, p0_pa) = liquid_state(up)?;
    let back_pa = up.back_pa(back)?;
    Ok(kilograms_per_square_metre_second(
        (2.0 * rho_kg_m3 * (p0_pa - back_pa)).sqrt(),
    ))
}

/// Share of the equilibrium flux in the non-equilibrium blend: `1/(1 + κ)`,
/// `κ = √((p0 − p)/(pv − p))`.
///
/// 0 while the back pressure is above the vapour pressure; one half for a saturated liquid, whatever
/// the back pressure.
/// * `p0_pa`, `back_pa`, `vapour_pa` — Pa
///
/// **Valid:** `back < p0`.
/// **Source:** `dyer2007`.
/// ```
/// use fuelwright::flow::orifice::flashing_share;
/// assert!((flashing_share(8e5, 1e5, 8e5) - 0.5).abs() < 1e-12);
/// assert!(flashing_share(8e5, 7e5, 6e5).abs() < 1e-12);
/// ```
pub fn flashing_share(p0_pa: f64, back_pa: f64, vapour_pa: f64) -> f64 {
    if vapour_pa <= back_pa {
        return 0.0;
    }
    let kappa = ((p0_pa - back_pa) / (vapour_pa - back_pa)).sqrt();
    1.0 / (1.0 + kappa)
}

/// Ideal flux of a liquid through a hole.
///
/// `G = κ/(1+κ) G_Bernoulli + 1/(1+κ) G_equilibrium` for [`Expansion::Blend`], with
/// [`flashing_share`]; one of the two bounds for the others. A liquid above its critical temperature
/// has no vapour pressure: the blend is then the equilibrium flux.
///
/// **Valid:** liquid upstream, subcooled or saturated. The blend was made for holes with `L/d` of some
/// ten and a few millimetres wide; holes longer than about 0.1 m reach equilibrium (from memory).
/// **Source:** `dyer2007`.
///
/// # Errors
/// [`OrificeError::NotLiquid`], [`OrificeError::BackAboveSupply`], or what the backend says.
pub fn liquid_flux(
    up: &Stagnation<'_>,
    back: AbsolutePressure,
    expansion: Expansion,
) -> Result<LiquidFlux, OrificeError> {
    let (rho_kg_m3, p0_pa) = liquid_state(up)?;
    let back_pa = up.back_pa(back)?;
    let bernoulli = bernoulli_flux(up, back)?;
    let vapour_pa = vapour_pressure(up)?;
    let share = match expansion {
        Expansion::Equilibrium => 1.0,
        Expansion::Bernoulli => 0.0,
        Expansion::Blend => vapour_pa.map_or(1.0, |pv| flashing_share(p0_pa, back_pa, pv)),
    };
    let equilibrium = if share > 0.0 {
        Some(isentropic_flux(up, back)?)
    } else {
        None
    };
    let flux = equilibrium.map_or(bernoulli, |e| bernoulli + (e.flux - bernoulli) * share);
    let throat = equilibrium.map_or_else(
        // the liquid, metastable where it should boil
        || Throat {
            pressure: pascals_absolute(back_pa),
            temperature: kelvin(up.state().temperature_k),
            density: kilograms_per_cubic_metre(rho_kg_m3),
            velocity: metres_per_second(bernoulli.value / rho_kg_m3),
            phase: Phase::Liquid,
            vapour_mass_fraction: 0.0,
            mach: None,
        },
        |e| e.throat,
    );
    Ok(LiquidFlux {
        flux,
        bernoulli,
        equilibrium,
        flashing_share: share,
        vapour_pressure: vapour_pa.map(pascals_absolute),
        throat,
        choked: equilibrium.is_some_and(|e| e.choked),
    })
}

/// Bubble pressure at the upstream temperature, Pa; none above the critical temperature.
fn vapour_pressure(up: &Stagnation<'_>) -> Result<Option<f64>, OrificeError> {
    let state = up.state();
    if state.phase == Phase::TwoPhase {
        return Ok(Some(state.pressure_pa));
    }
    if state.temperature_k >= up.fluid().critical().0 {
        return Ok(None);
    }
    Ok(Some(up.fluid().bubble_t(state.temperature_k)?.pressure_pa))
}
