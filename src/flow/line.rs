//! A line: tube, hose or pipe of one bore.

use crate::quantity::{HeatTransfer, Length, ThermalConductivity};

/// How the wall rubs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Friction {
    /// Darcy factor from Reynolds number and the height of the roughness.
    Roughness(Length),
    /// A Darcy factor measured by the user, the same at every flow.
    DarcyFactor(f64),
}

/// How heat reaches the fluid through the wall.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum WallHeat {
    /// None: an insulated line.
    Insulated,
    /// Conductance per length between surroundings and fluid.
    PerLength(ThermalConductivity),
    /// Coefficient on the outer surface, the wall and the inside taken as no resistance.
    OuterSurface(HeatTransfer),
    /// The wall keeps the fluid at its inlet temperature.
    Isothermal,
}

/// A line of one bore.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    /// Inside diameter.
    pub bore: Length,
    /// Outside diameter; `None` where unknown (then no mass and no surface is computed).
    pub outside_diameter: Option<Length>,
    /// Length along the axis.
    pub length: Length,
    /// Friction.
    pub friction: Friction,
    /// Sum of loss coefficients on the bore's velocity, spread along the line.
    pub loss_coefficient: f64,
    /// Height of the outlet above the inlet (negative: below).
    pub rise: Length,
    /// Heat from the surroundings.
    pub heat: WallHeat,
}
