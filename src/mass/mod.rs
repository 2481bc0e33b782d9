//! What parts weigh, dry and with fuel; what lighter ones would save; two systems over their endurance.

pub mod density;
pub mod endurance;
pub mod group;
pub mod inventory;
pub mod lighter;
pub mod orientation;
pub mod tube;
pub mod tube_sizes;

pub use endurance::{Store, System, break_even};
pub use group::PartGroup;
pub use inventory::{Basis, Inventory, Item};
