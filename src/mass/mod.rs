//! What parts weigh, dry and with fuel; what lighter ones would save; two systems over their endurance.

pub mod density;
pub mod endurance;
pub mod group;
pub mod inventory;
pub mod lighter;
pub mod orientation;
pub mod side_by_side;
pub mod tube;
pub mod tube_sizes;

pub use endurance::{BreakEven, Store, System, break_even};
pub use group::PartGroup;
pub use inventory::{Basis, GroupMass, Inventory, Item};
pub use side_by_side::{SideBySide, SystemsAt, side_by_side};
