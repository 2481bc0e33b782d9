//! The new fuel as a liquid at a temperature: density, viscosity, surface tension, vapour pressure.

use crate::eos::{Backend, EosError, Phase, State};
use crate::flow::atomize::Liquid;
use crate::flow::pump::Pumped;
use crate::quantity::{
    AbsolutePressure, DynamicViscosity, KinematicViscosity, MassDensity, SurfaceTension,
    ThermodynamicTemperature, kilograms_per_cubic_metre, newtons_per_metre, pascal_seconds,
    pascals_absolute, square_metres_per_second,
};

/// A liquid at one temperature, at the air pressure of the site.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LiquidAt {
    /// Temperature.
    pub temperature: ThermodynamicTemperature,
    /// Density.
    pub density: MassDensity,
    /// Dynamic viscosity.
    pub viscosity: DynamicViscosity,
    /// Relative half-width of its band; `None`: not known.
    pub viscosity_band: Option<f64>,
    /// Surface tension.
    pub surface_tension: SurfaceTension,
    /// Vapour pressure (of a blend: its bubble pressure).
    pub vapour_pressure: AbsolutePressure,
}

impl LiquidAt {
    /// Kinematic viscosity.
    pub fn kinematic_viscosity(&self) -> KinematicViscosity {
        square_metres_per_second(self.viscosity.value / self.density.value)
    }

    /// What decides its drops.
    pub fn for_drops(&self) -> Liquid {
        Liquid {
            density: self.density,
            viscosity: self.viscosity,
            surface_tension: self.surface_tension,
        }
    }
}

impl From<LiquidAt> for Pumped {
    fn from(liquid: LiquidAt) -> Self {
        Self {
            density: liquid.density,
            viscosity: liquid.viscosity,
            vapour_pressure: liquid.vapour_pressure,
        }
    }
}

/// The liquid state at a temperature, at the pressure given or a little above its boiling pressure.
pub(super) fn liquid_state(
    fuel: &dyn Backend,
    p: AbsolutePressure,
    t: ThermodynamicTemperature,
) -> Result<State, EosError> {
    let boiling_pa = fuel.bubble_t(t.value)?.pressure_pa;
    fuel.state_pt_in(p.pascals().max(1.01 * boiling_pa), t.value, Phase::Liquid)
}

/// Properties of the liquid.
///
/// # Errors
/// [`EosError`]: out of range, or no model.
pub fn liquid_at(
    fuel: &dyn Backend,
    p: AbsolutePressure,
    t: ThermodynamicTemperature,
) -> Result<LiquidAt, EosError> {
    let state = liquid_state(fuel, p, t)?;
    Ok(LiquidAt {
        temperature: t,
        density: kilograms_per_cubic_metre(state.density_kg_m3),
        viscosity: pascal_seconds(fuel.viscosity_pa_s(&state)?),
        viscosity_band: fuel.viscosity_uncertainty(&state),
        surface_tension: newtons_per_metre(fuel.surface_tension_n_m(t.value)?),
        vapour_pressure: pascals_absolute(fuel.bubble_t(t.value)?.pressure_pa),
    })
}
