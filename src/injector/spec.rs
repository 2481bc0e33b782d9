//! The injector as a rig file tells it: holes, where they sit, what feeds them.

use super::drills::{Drill, HoleTolerance};
use super::hole::{HoleMake, InletEdge, Tested};
use crate::quantity::{
    AbsolutePressure, Angle, Length, Ratio, ThermodynamicTemperature, Velocity, Volume,
    cubic_metres,
};
use std::f64::consts::PI;

/// An injector: one set of equal holes for all duties.
#[derive(Debug, Clone, PartialEq)]
pub struct InjectorSpec {
    /// Number of holes.
    pub holes: u32,
    /// How large they are.
    pub size: HoleSize,
    /// Length of a hole: the wall it is drilled through.
    pub hole_length: Option<Length>,
    /// Edge the fuel enters over.
    pub edge: HoleEdge,
    /// Discharge coefficient measured by the user.
    pub discharge_coefficient: Option<Ratio>,
    /// What flow tests of these holes make of the model: it goes before the coefficient.
    pub tested: Option<Tested>,
    /// Pressure before the holes, where no train or duty gives it.
    pub pressure: Option<AbsolutePressure>,
    /// Temperature of the fuel before the holes; `None`: from the train, or that of the site.
    pub temperature: Option<ThermodynamicTemperature>,
    /// Tube that the holes are drilled in; `None`: not a ring or bar.
    pub manifold: Option<ManifoldSpec>,
    /// Spread between holes that is wanted at most.
    pub wanted_spread: Option<Ratio>,
    /// Velocity of the air the jets cross, at full throttle.
    pub cross_flow: Option<Velocity>,
    /// Drills that there are; none: not said.
    pub drills: Vec<Drill>,
    /// Distance downstream of the holes at which the reach of the jets is wanted.
    pub mixing_length: Option<Length>,
}

impl InjectorSpec {
    /// How the holes are made.
    ///
    /// * `discharge` — relative half-width of the band of the user's coefficient
    /// * `tolerance` — class of the finished holes; `None`: what their edge suggests
    pub fn make(&self, discharge: Option<f64>, tolerance: Option<HoleTolerance>) -> HoleMake {
        let given = self.discharge_coefficient.filter(|_| self.tested.is_none());
        let edge = match (given, self.edge) {
            (Some(c), _) => InletEdge::Measured {
                coefficient: c.value,
                relative_band: discharge,
            },
            (None, HoleEdge::Drilled) => InletEdge::Drilled,
            (None, HoleEdge::Sharp) => InletEdge::Sharp,
            (None, HoleEdge::Rounded(radius)) => InletEdge::Rounded(radius),
        };
        HoleMake {
            edge,
            length: self.hole_length,
            tolerance,
            tested: self.tested,
        }
    }
}

/// How large the holes are.
#[derive(Debug, Clone, PartialEq)]
pub enum HoleSize {
    /// Given.
    Diameter(Length),
    /// Such that the duty of this name gets its fuel.
    SizedAt(String),
}

/// Edge of a hole.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum HoleEdge {
    /// As a twist drill leaves it.
    Drilled,
    /// Square, reamed, free of burr.
    Sharp,
    /// Rounded with this radius.
    Rounded(Length),
}

/// A tube with holes along it.
#[derive(Debug, Clone, PartialEq)]
pub struct ManifoldSpec {
    /// Ring or bar, with its places.
    pub layout: ManifoldLayout,
    /// Bore of the tube.
    pub bore: Length,
    /// Height of its roughness.
    pub roughness: Option<Length>,
}

impl ManifoldSpec {
    /// What the tube holds: its bore times the centre line of the ring, or the length of the bar.
    pub fn volume(&self) -> Volume {
        let length_m = match &self.layout {
            ManifoldLayout::Ring { diameter, .. } => PI * diameter.value,
            ManifoldLayout::Bar { length, .. } => length.value,
        };
        cubic_metres(PI / 4.0 * self.bore.value.powi(2) * length_m)
    }
}

/// Ring or bar.
#[derive(Debug, Clone, PartialEq)]
pub enum ManifoldLayout {
    /// A ring.
    Ring {
        /// Diameter of its centre line.
        diameter: Length,
        /// Where it is fed.
        feeds: Vec<Angle>,
        /// Where the holes are; `None`: evenly spread, the first half a pitch after angle zero.
        holes: Option<Vec<Angle>>,
    },
    /// A straight bar with closed ends.
    Bar {
        /// Length between its ends.
        length: Length,
        /// Where it is fed, from one end.
        feeds: Vec<Length>,
        /// Where the holes are; `None`: evenly spread.
        holes: Option<Vec<Length>>,
    },
}
