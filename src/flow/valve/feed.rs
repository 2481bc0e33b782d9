//! What is at the inlet of a valve: gas, or liquid.

use crate::eos::{Backend, EosError, Phase, State};
use crate::quantity::{
    AbsolutePressure, DynamicViscosity, MassDensity, MolarMass, kilograms_per_cubic_metre,
    kilograms_per_mole, pascal_seconds, pascals_absolute,
};

/// What is at the inlet of a valve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Feed {
    /// Gas.
    Gas(GasFeed),
    /// Liquid.
    Liquid(LiquidFeed),
}

impl From<GasFeed> for Feed {
    fn from(feed: GasFeed) -> Self {
        Self::Gas(feed)
    }
}

impl From<LiquidFeed> for Feed {
    fn from(feed: LiquidFeed) -> Self {
        Self::Liquid(feed)
    }
}

impl Feed {
    /// The fluid in a state of a backend.
    ///
    /// # Errors
    /// Two-phase state, no viscosity model, or a liquid without a bubble point at its temperature.
    pub fn of(backend: &dyn Backend, state: &State) -> Result<Self, EosError> {
        match state.phase {
            Phase::Liquid => LiquidFeed::of(backend, state).map(Self::Liquid),
            _ => GasFeed::of(backend, state).map(Self::Gas),
        }
    }
}

/// Gas at the inlet of a valve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GasFeed {
    /// Pressure.
    pub pressure: AbsolutePressure,
    /// Density, of the real gas.
    pub density: MassDensity,
    /// Heat-capacity ratio cp/cv, of the real gas.
    pub gamma: f64,
    /// Molar mass.
    pub molar_mass: MolarMass,
    /// Viscosity; used for small flows only.
    pub viscosity: DynamicViscosity,
}

impl GasFeed {
    /// The gas in a state of a backend.
    ///
    /// # Errors
    /// Two-phase state, or no viscosity model.
    pub fn of(backend: &dyn Backend, state: &State) -> Result<Self, EosError> {
        let r = state.response()?;
        Ok(Self {
            pressure: pascals_absolute(state.pressure_pa),
            density: kilograms_per_cubic_metre(state.density_kg_m3),
            gamma: r.cp_j_kg_k / r.cv_j_kg_k,
            molar_mass: kilograms_per_mole(backend.molar_mass_kg_mol()),
            viscosity: pascal_seconds(backend.viscosity_pa_s(state)?),
        })
    }
}

/// Liquid at the inlet of a valve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LiquidFeed {
    /// Pressure.
    pub pressure: AbsolutePressure,
    /// Density.
    pub density: MassDensity,
    /// Vapour pressure at the inlet temperature (of a blend: its bubble pressure).
    pub vapour_pressure: AbsolutePressure,
    /// Critical pressure.
    pub critical_pressure: AbsolutePressure,
    /// Viscosity; used for viscous flow only.
    pub viscosity: DynamicViscosity,
}

impl LiquidFeed {
    /// The liquid in a state of a backend.
    ///
    /// # Errors
    /// No bubble point at its temperature, or no viscosity model.
    pub fn of(backend: &dyn Backend, state: &State) -> Result<Self, EosError> {
        Ok(Self {
            pressure: pascals_absolute(state.pressure_pa),
            density: kilograms_per_cubic_metre(state.density_kg_m3),
            vapour_pressure: pascals_absolute(backend.bubble_t(state.temperature_k)?.pressure_pa),
            critical_pressure: pascals_absolute(backend.critical().1),
            viscosity: pascal_seconds(backend.viscosity_pa_s(state)?),
        })
    }
    /// `FF = 0.96 − 0.28 √(pv/pc)`.
    pub fn critical_ratio_factor(&self) -> f64 {
        0.96 - 0.28
            * (self.vapour_pressure.pascals() / self.critical_pressure.pascals())
                .clamp(0.0, 1.0)
                .sqrt()
    }
}
