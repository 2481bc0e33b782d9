//! What can be wrong with a quantity given as text.

/// Why a text is not the quantity asked for. Every message names the text and what is accepted.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum QuantityError {
    /// A gauge level lies below vacuum.
    #[error(
        "{gauge_pa} Pa gauge is below vacuum where the surroundings are at {ambient_pa} Pa absolute"
    )]
    GaugeBelowVacuum {
        /// Gauge level, Pa.
        gauge_pa: f64,
        /// Surroundings, Pa absolute.
        ambient_pa: f64,
    },
}
