//! What is known of one set of holes.

use super::hole::HoleMake;
use super::supply::Supply;
use crate::eos::Backend;
use crate::flow::orifice::Expansion;
use crate::fuel::FedAs;
use crate::quantity::{AbsolutePressure, Length, MassRate};

/// What is known of an injector. Of `supply_pressure`, `holes`, `diameter` and `flow` exactly one is
/// left out: it is found.
#[derive(Debug, Clone, Copy)]
pub struct InjectorInput<'a> {
    /// The fuel.
    pub fluid: &'a dyn Backend,
    /// Pressure before the holes.
    pub supply_pressure: Option<AbsolutePressure>,
    /// Temperature or quality before the holes.
    pub supply: Supply,
    /// Pressure behind the holes.
    pub chamber: AbsolutePressure,
    /// Number of holes.
    pub holes: Option<u32>,
    /// Diameter of each.
    pub diameter: Option<Length>,
    /// Fuel flow of all together.
    pub flow: Option<MassRate>,
    /// How the holes are made.
    pub make: HoleMake,
    /// How a liquid expands through them.
    pub expansion: Expansion,
    /// The phase the fuel must be in before the holes; `None` takes what it is.
    pub phase: Option<FedAs>,
}
