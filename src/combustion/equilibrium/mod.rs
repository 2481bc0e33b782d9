//! Chemical equilibrium of combustion products at constant pressure.
//!
//! Ideal-gas mixture of the species in `fuels/species.toml`. Plain SI `f64` inside; the typed door is
//! [`super::flame`].

mod newton;
pub mod polynomial;
pub mod reactants;
pub mod solver;
pub mod species;
pub mod state;

pub use reactants::{EquilibriumError, Reactants};
pub use species::{ELEMENTS, Element, MAX_SPECIES, Products};
pub use state::{Start, State};
