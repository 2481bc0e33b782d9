//! How the holes of an injector are made: inlet edge, length, tolerance.

use super::drills::{HoleTolerance, hole_diameters};
use super::error::InjectorError;
use crate::flow::discharge::{Edge, HoleShape};
use crate::quantity::range::{NotPositive, positive};
use crate::quantity::{Length, metres};

/// Hole length taken where none is given: the wall of a common small tube; our choice.
pub const ASSUMED_LENGTH_M: f64 = 1.0e-3;
/// The same in diameters, where that is less.
pub const ASSUMED_LENGTH_OVER_DIAMETER: f64 = 3.0;
/// Band of a coefficient whose user gave none; our choice, about what a careful bucket or rotameter test
/// resolves.
pub const ASSUMED_MEASURED_BAND: f64 = 0.03;

/// Share of what the model moves the coefficient by, from test to duty, that counts as doubt. Our choice.
const OF_TRANSFER: f64 = 0.5;

/// Inlet edge of a hole.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum InletEdge {
    /// Square, reamed, free of burr.
    Sharp,
    /// As a twist drill leaves it.
    Drilled,
    /// Rounded with a radius.
    Rounded(Length),
    /// Coefficient known from a flow test.
    Measured {
        /// The coefficient.
        coefficient: f64,
        /// Relative half-width of its band; `None` takes [`ASSUMED_MEASURED_BAND`].
        relative_band: Option<f64>,
    },
}

/// What flow tests make of the model of holes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tested {
    /// Measured over model.
    pub factor: f64,
    /// The model's coefficient at the conditions of the test.
    pub model: f64,
    /// Half-width of the band of the factor, relative.
    pub relative_band: f64,
}

impl Tested {
    /// Model and factor at a duty: coefficient and the half-width of its band, relative.
    pub(super) fn at(&self, model: f64) -> (f64, f64) {
        let transfer = OF_TRANSFER * (model / self.model).ln().abs();
        (self.factor * model, self.relative_band.hypot(transfer))
    }
}

/// How the holes are made.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HoleMake {
    /// Inlet edge.
    pub edge: InletEdge,
    /// Length of the hole; of a hole in a tube, its wall. `None` assumes 1 mm, or three diameters if
    /// that is less.
    pub length: Option<Length>,
    /// Tolerance of the finished diameter; `None` takes what the edge suggests.
    pub tolerance: Option<HoleTolerance>,
    /// What flow tests make of the model; with one the diameter is no doubt of its own.
    pub tested: Option<Tested>,
}

impl Default for HoleMake {
    fn default() -> Self {
        Self {
            edge: InletEdge::Drilled,
            length: None,
            tolerance: None,
            tested: None,
        }
    }
}

impl HoleMake {
    /// Tolerance of the finished diameter: H9 for a reamed hole, H12 for a drilled one, H11 for one drilled under
    /// 1 mm, where H12 would be a tenth of the diameter and more; common practice, no source, where none is given.
    pub fn tolerance(&self, diameter: Length) -> HoleTolerance {
        self.tolerance.unwrap_or(match self.edge {
            InletEdge::Sharp => HoleTolerance::H9,
            _ if diameter.value < 1e-3 => HoleTolerance::H11,
            InletEdge::Drilled | InletEdge::Rounded(_) | InletEdge::Measured { .. } => {
                HoleTolerance::H12
            }
        })
    }

    /// Least and most diameter of a finished hole of this one; the same where its area was found by its flow.
    ///
    /// # Errors
    /// [`InjectorError::Drill`].
    pub fn diameters(&self, diameter: Length) -> Result<(Length, Length), InjectorError> {
        match self.tested {
            Some(_) => Ok((diameter, diameter)),
            None => Ok(hole_diameters(diameter, self.tolerance(diameter))?),
        }
    }

    /// Length of a hole of this diameter.
    ///
    /// # Errors
    /// [`InjectorError::NotPositive`]; a length of zero is a thin plate and is allowed.
    pub fn length(&self, diameter: Length) -> Result<Length, InjectorError> {
        match self.length {
            Some(length) if length.value >= 0.0 && length.value.is_finite() => Ok(length),
            Some(length) => Err(NotPositive {
                name: "hole length",
                value: length.value,
            }
            .into()),
            None => Ok(metres(
                ASSUMED_LENGTH_M.min(ASSUMED_LENGTH_OVER_DIAMETER * diameter.value),
            )),
        }
    }

    /// The shape of a hole of this diameter, in its own measure.
    ///
    /// # Errors
    /// [`InjectorError::NotPositive`].
    pub fn shape(&self, diameter: Length) -> Result<HoleShape, InjectorError> {
        let d_m = positive("hole diameter", diameter.value)?;
        let edge = match self.edge {
            InletEdge::Sharp => Edge::Sharp,
            InletEdge::Drilled => Edge::Drilled,
            InletEdge::Rounded(radius) => Edge::Rounded {
                // more than a whole diameter changes nothing
                radius_over_diameter: (positive("inlet radius", radius.value)? / d_m).min(1.0),
            },
            InletEdge::Measured {
                coefficient,
                relative_band,
            } => Edge::Measured {
                coefficient,
                relative_band: relative_band.unwrap_or(ASSUMED_MEASURED_BAND),
            },
        };
        Ok(HoleShape {
            edge,
            length_over_diameter: self.length(diameter)?.value / d_m,
        })
    }
}
