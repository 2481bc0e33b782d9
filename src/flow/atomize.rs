//! Drop size of liquid sprays by published correlations, each with its band, and their spread.
//!
//! All give the Sauter mean diameter (volume over surface of the whole spray). Correlations of one
//! nozzle type disagree by tens of percent; quote two and their spread. One file a nozzle type.

mod airblast;
mod plain_orifice;
mod pressure_swirl;
mod swirl_discharge;

pub use airblast::{AirStream, plain_jet_airblast, prefilming_airblast};
pub use plain_orifice::{plain_orifice, plain_orifice_elkotb, plain_orifice_harmon};
pub use pressure_swirl::{
    pressure_swirl, pressure_swirl_jasuja, pressure_swirl_lefebvre, pressure_swirl_radcliffe,
};
pub use swirl_discharge::{SwirlChamber, SwirlDischarge, swirl_discharge};

use crate::quantity::show::number;
use crate::quantity::told::errors;
use crate::quantity::{DynamicViscosity, Length, MassDensity, SurfaceTension, metres};

errors! {
    /// Why a drop size could not be given.
    #[derive(Copy)]
    pub enum AtomizeError {
        OutOfRange {
            correlation: &'static str,
            quantity: &'static str,
            /// Its value, SI.
            value: f64,
            unit: &'static str,
            lower: f64,
            upper: f64,
            source_key: &'static str,
        } =>
            "{} of {} {} is outside the range used for the {} correlation, {} to {} [{}]",
            quantity, number(value), unit, correlation, number(lower), number(upper), source_key;
    }
}

/// What of a liquid decides its drops.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Liquid {
    /// Density.
    pub density: MassDensity,
    /// Dynamic viscosity.
    pub viscosity: DynamicViscosity,
    /// Surface tension.
    pub surface_tension: SurfaceTension,
}

/// A Sauter mean diameter with its band and where it is from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DropSize {
    /// Best estimate.
    pub mean: Length,
    /// Lower end of the band.
    pub low: Length,
    /// Upper end of the band.
    pub high: Length,
    /// Name of the correlation.
    pub correlation: &'static str,
    /// Key of its source.
    pub source_key: &'static str,
}

/// Several correlations for one spray, and all of them together.
#[derive(Debug, Clone, PartialEq)]
pub struct DropSizes {
    /// Each correlation.
    pub each: Vec<DropSize>,
    /// Geometric mean of their best estimates.
    pub mean: Length,
    /// Smallest of their lower ends.
    pub low: Length,
    /// Largest of their upper ends.
    pub high: Length,
}

impl DropSizes {
    /// Of at least one correlation.
    ///
    /// # Panics
    /// For more correlations than `u32` counts.
    pub fn of(each: Vec<DropSize>) -> Self {
        let ln_sum: f64 = each.iter().map(|d| d.mean.value.ln()).sum();
        let count = f64::from(u32::try_from(each.len()).expect("a handful"));
        let smallest = each
            .iter()
            .map(|d| d.low.value)
            .fold(f64::INFINITY, f64::min);
        let largest = each.iter().map(|d| d.high.value).fold(0.0, f64::max);
        Self {
            mean: metres((ln_sum / count).exp()),
            low: metres(smallest),
            high: metres(largest),
            each,
        }
    }
}

/// A correlation's name, source and scatter, for range checks and bands.
#[derive(Clone, Copy)]
struct Correlation {
    name: &'static str,
    source_key: &'static str,
    /// Relative half-width of the band.
    scatter: f64,
}

impl Correlation {
    /// The value itself if it lies in the range; a NaN does not.
    fn inside(
        self,
        quantity: &'static str,
        unit: &'static str,
        value: f64,
        [lower, upper]: [f64; 2],
    ) -> Result<f64, AtomizeError> {
        if (lower..=upper).contains(&value) {
            return Ok(value);
        }
        Err(AtomizeError::OutOfRange {
            correlation: self.name,
            quantity,
            value,
            unit,
            lower,
            upper,
            source_key: self.source_key,
        })
    }

    /// Density, dynamic viscosity and surface tension, checked: light fuels to water and light oils.
    fn liquid(self, liquid: &Liquid) -> Result<(f64, f64, f64), AtomizeError> {
        let density = liquid.density.value;
        let viscosity = liquid.viscosity.value;
        let tension = liquid.surface_tension.value;
        Ok((
            self.inside("liquid density", "kg/m3", density, [400.0, 1200.0])?,
            self.inside("viscosity", "Pa s", viscosity, [1e-4, 0.05])?,
            self.inside("surface tension", "N/m", tension, [2e-3, 0.08])?,
        ))
    }

    fn air_density(self, density: MassDensity) -> Result<f64, AtomizeError> {
        self.inside("air density", "kg/m3", density.value, [0.1, 30.0])
    }

    fn drop(self, mean_m: f64) -> DropSize {
        DropSize {
            mean: metres(mean_m),
            low: metres(mean_m * (1.0 - self.scatter)),
            high: metres(mean_m * (1.0 + self.scatter)),
            correlation: self.name,
            source_key: self.source_key,
        }
    }
}
