//! Real-gas, vapour and liquid flow through an ideal hole: mass flux, choking, throat state.
//!
//! "Ideal" means without the discharge coefficient, which belongs to the hole
//! ([`crate::flow::discharge`]). The fluid starts at rest in a [`Stagnation`] state and expands at
//! constant entropy, in equilibrium, to the place where the flux is greatest.
//!
//! ```no_run
//! use fuelwright::flow::orifice::{Stagnation, isentropic_flux};
//! use fuelwright::quantity::{kelvin, pascals_absolute};
//! # fn show(propane: &dyn fuelwright::eos::Backend) -> Result<(), fuelwright::flow::orifice::OrificeError> {
//! let supply = Stagnation::at(propane, pascals_absolute(3e5), kelvin(288.15))?;
//! let jet = isentropic_flux(&supply, pascals_absolute(101_325.0))?;
//! assert!(jet.choked);
//! # Ok(())
//! # }
//! ```

use crate::quantity::range::NotPositive;
use crate::quantity::sentence::{pressure, temperature};
use crate::quantity::told::errors;
mod critical;
mod flux;
mod frozen;
mod ideal;
mod isentrope;
mod liquid;
mod one_boundary;
mod pieces;

pub use critical::critical_flow_function;
pub(crate) use flux::flux_of;
pub use frozen::{FrozenFlux, frozen_flux};
pub use ideal::{ideal_critical_flow_function, ideal_critical_ratio, ideal_gas_flux};
pub use liquid::{Expansion, LiquidFlux, bernoulli_flux, flashing_share, liquid_flux};
pub(crate) use pieces::flux_alone;
pub use pieces::isentropic_flux;

use crate::eos::{Backend, EosError, Phase, State};
use crate::quantity::{
    AbsolutePressure, MassDensity, MassFlux, ThermodynamicTemperature, Velocity, kelvin,
    kilograms_per_cubic_metre, kilograms_per_square_metre_second, metres_per_second,
    pascals_absolute,
};

errors! {
    /// Why a flow could not be computed.
    pub enum OrificeError {
        Eos(EosError);
        BackAboveSupply { back_pa: f64, supply_pa: f64 } =>
            "the back pressure of {} is not below the supply pressure of {}: nothing flows",
            pressure(back_pa).close(), pressure(supply_pa).close();
        PressureNotPositive { p_pa: f64 } =>
            "an absolute pressure of {} is not possible: it must be above zero", pressure(p_pa);
        QualityOutOfRange { quality: f64 } =>
            "a quality of {} is not possible: 0 is saturated liquid, 1 is saturated vapour",
            quality;
        NotLiquid { fuel: String, phase: &'static str, t_k: f64, p_pa: f64 } =>
            "{} is {} at {} and {}: the liquid formulas do not apply",
            fuel, phase, temperature(t_k), pressure(p_pa);
        GammaOutOfRange { gamma: f64 } =>
            "a heat-capacity ratio of {} is outside the ideal-gas range, above 1 and up to 5/3",
            gamma;
        NotPositive(NotPositive);
        NoThroat { fuel: String, p0_pa: f64, t0_k: f64, p_pa: f64 } =>
            "no throat was found for {} from {}, {}; last tried {}",
            fuel, pressure(p0_pa).close(), temperature(t0_k), pressure(p_pa).close();
    }
}

/// A fluid at rest upstream of a hole.
#[derive(Debug, Clone)]
pub struct Stagnation<'a> {
    fluid: &'a dyn Backend,
    state: State,
}

impl<'a> Stagnation<'a> {
    /// The stable state at a pressure and a temperature.
    ///
    /// # Errors
    /// [`OrificeError::PressureNotPositive`], or what the backend says.
    pub fn at(
        fluid: &'a dyn Backend,
        pressure: AbsolutePressure,
        temperature: ThermodynamicTemperature,
    ) -> Result<Self, OrificeError> {
        let p_pa = positive(pressure)?;
        Ok(Self {
            fluid,
            state: fluid.state_pt(p_pa, temperature.value)?,
        })
    }

    /// Liquid and vapour in equilibrium at a pressure.
    ///
    /// * `quality` — vapour share of the mass: 0 saturated liquid, 1 saturated vapour
    ///
    /// # Errors
    /// [`OrificeError::QualityOutOfRange`], [`OrificeError::PressureNotPositive`], or what the
    /// backend says.
    pub fn saturated(
        fluid: &'a dyn Backend,
        pressure: AbsolutePressure,
        quality: f64,
    ) -> Result<Self, OrificeError> {
        let p_pa = positive(pressure)?;
        if !(0.0..=1.0).contains(&quality) {
            return Err(OrificeError::QualityOutOfRange { quality });
        }
        // the backend counts moles; vapour and liquid of a blend differ in molar mass
        let mut share = quality;
        let mut state = fluid.state_pq(p_pa, share)?;
        for _ in 0..MAX_QUALITY_STEPS {
            let off = quality - state.vapour_mass_fraction;
            if off.abs() < QUALITY_TOLERANCE || share <= 0.0 || share >= 1.0 {
                break;
            }
            share = (share + off).clamp(0.0, 1.0);
            state = fluid.state_pq(p_pa, share)?;
        }
        Ok(Self { fluid, state })
    }

    /// A state of the same backend that is known already.
    pub fn of(fluid: &'a dyn Backend, state: State) -> Self {
        Self { fluid, state }
    }

    /// The fluid.
    pub fn fluid(&self) -> &'a dyn Backend {
        self.fluid
    }

    /// The state.
    pub fn state(&self) -> &State {
        &self.state
    }

    /// Whether it is all liquid, at or below its bubble point.
    pub fn is_liquid(&self) -> bool {
        match self.state.phase {
            Phase::Liquid => true,
            Phase::TwoPhase => self.state.vapour_mass_fraction <= 0.0,
            Phase::Gas | Phase::Supercritical => false,
        }
    }

    /// Whether it is all gas or vapour, at or above its dew point.
    pub fn is_gas(&self) -> bool {
        match self.state.phase {
            Phase::Gas | Phase::Supercritical => true,
            Phase::TwoPhase => self.state.vapour_mass_fraction >= 1.0,
            Phase::Liquid => false,
        }
    }

    /// Checks a back pressure against this supply; in Pa.
    fn back_pa(&self, back: AbsolutePressure) -> Result<f64, OrificeError> {
        let back_pa = positive(back)?;
        let supply_pa = self.state.pressure_pa;
        if back_pa >= supply_pa {
            return Err(OrificeError::BackAboveSupply { back_pa, supply_pa });
        }
        Ok(back_pa)
    }
}

/// Steps of the search for the mole share that has a given mass share.
const MAX_QUALITY_STEPS: usize = 50;
/// How closely the mass share is met.
const QUALITY_TOLERANCE: f64 = 1e-12;

fn positive(pressure: AbsolutePressure) -> Result<f64, OrificeError> {
    let p_pa = pressure.pascals();
    if p_pa > 0.0 && p_pa.is_finite() {
        Ok(p_pa)
    } else {
        Err(OrificeError::PressureNotPositive { p_pa })
    }
}

/// State of the fluid where the flux is greatest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Throat {
    /// Pressure.
    pub pressure: AbsolutePressure,
    /// Temperature.
    pub temperature: ThermodynamicTemperature,
    /// Density.
    pub density: MassDensity,
    /// Velocity.
    pub velocity: Velocity,
    /// Phase.
    pub phase: Phase,
    /// Share of the mass that is vapour.
    pub vapour_mass_fraction: f64,
    /// Velocity over the speed of sound; `None` where liquid and vapour are mixed.
    pub mach: Option<f64>,
}

impl Throat {
    fn of(state: &State, velocity_m_s: f64) -> Self {
        Self {
            pressure: pascals_absolute(state.pressure_pa),
            temperature: kelvin(state.temperature_k),
            density: kilograms_per_cubic_metre(state.density_kg_m3),
            velocity: metres_per_second(velocity_m_s),
            phase: state.phase,
            vapour_mass_fraction: state.vapour_mass_fraction,
            mach: state.response.map(|r| velocity_m_s / r.speed_of_sound_m_s),
        }
    }
}

/// Ideal flux through a hole, with the state at its throat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct IsentropicFlux {
    /// Mass flux before the discharge coefficient.
    pub flux: MassFlux,
    /// Whether the throat pressure is above the back pressure.
    pub choked: bool,
    /// The throat.
    pub throat: Throat,
    /// Pressure at which the expansion enters the two-phase region at or above the throat.
    pub crosses_saturation: Option<AbsolutePressure>,
}

impl IsentropicFlux {
    fn new(state: &State, velocity_m_s: f64, choked: bool, crossing_pa: Option<f64>) -> Self {
        Self {
            flux: kilograms_per_square_metre_second(state.density_kg_m3 * velocity_m_s),
            choked,
            throat: Throat::of(state, velocity_m_s),
            crosses_saturation: crossing_pa
                .filter(|&p| p >= state.pressure_pa * (1.0 - 1e-9))
                .map(pascals_absolute),
        }
    }
}
