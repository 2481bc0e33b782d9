//! The fuel train: parts, how they stand together, and what flows through them.

pub mod components;
pub mod joints;
pub mod layout;
pub mod materials;

pub use components::{
    Actuation, Characteristic, CheckValve, Closure, ExcessFlowValve, Fitting, FittingLoss, OnLoss,
    OrificePlate, Part, PartKind, Pump, PumpCurve, Rating, ReliefValve, Restriction, Tapping,
    Valve, Vaporiser, VaporiserHeat,
};
pub use joints::{JointKind, Joints};
pub use layout::{Draw, End, Outlet, OutletLaw, Run, Source, Train};
pub use materials::Material;
