//! Discharge coefficients of holes, each model inside its range, and the choice between them.
//!
//! `C_d` is the flow that passes divided by the ideal (isentropic, or for a liquid Bernoulli) flow
//! through the whole area of the hole. The models are dimensionless: `L/d`, `r/d`, Reynolds number,
//! pressure ratio. [`for_hole`] joins them; the rest of the module is one file a model.

use crate::quantity::told::errors;

mod bragg;
mod cavitation;
mod choked_hole;
mod hole;
mod long;
mod plate;
mod radius;
mod thin;
mod venturi;

pub use bragg::bragg_coefficient;
pub use cavitation::{
    SHARP_CONTRACTION, cavitating_coefficient, cavitation_number, critical_cavitation_number,
};
pub use choked_hole::choked_thick_hole;
pub use hole::{Edge, HoleFlow, HoleShape, for_hole};
pub use long::long_hole;
pub(crate) use plate::reader_harris_gallagher;
pub use plate::{Taps, orifice_plate, plate_expansibility};
pub use radius::{attachment, length_factor, radius_and_length, radius_factor};
pub use thin::{compressible_thin_hole, thin_hole, thin_hole_at_low_speed};
pub use venturi::{CriticalNozzle, critical_nozzle};

errors! {
    /// Why a discharge coefficient could not be given.
    pub enum DischargeError {
        OutOfRange {
            model: &'static str,
            quantity: &'static str,
            value: f64,
            lower: f64,
            upper: f64,
            source_key: &'static str,
        } =>
            "{} of {} is outside the range of the {} model, {} {} [{}]",
            quantity, crate::quantity::show::number(value), model, lower, up_to(upper),
            source_key;
    }
}

/// The upper end of a range in words; some ranges have none.
fn up_to(upper: f64) -> String {
    if upper < f64::MAX {
        format!("to {upper}")
    } else {
        "and up".to_owned()
    }
}

/// A discharge coefficient with its band and what it rests on.
#[derive(Debug, Clone, PartialEq)]
pub struct DischargeCoefficient {
    /// Best estimate.
    pub value: f64,
    /// Lower end of the band.
    pub low: f64,
    /// Upper end of the band.
    pub high: f64,
    /// Models that took part, with source keys, in the order of their weight.
    pub models: Vec<&'static str>,
    /// What a reader must know about this value; one sentence each.
    pub notes: Vec<String>,
}

/// A model's name and the key of its paper, for range checks.
#[derive(Clone, Copy)]
struct Model {
    name: &'static str,
    source_key: &'static str,
}

impl Model {
    /// The value itself, if it is in `lower..=upper`; a NaN is not.
    fn inside(
        self,
        quantity: &'static str,
        value: f64,
        lower: f64,
        upper: f64,
    ) -> Result<f64, DischargeError> {
        if value >= lower && value <= upper {
            Ok(value)
        } else {
            Err(DischargeError::OutOfRange {
                model: self.name,
                quantity,
                value,
                lower,
                upper,
                source_key: self.source_key,
            })
        }
    }
}
