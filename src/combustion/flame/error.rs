//! What can be wrong with a flame that is asked for.

use crate::combustion::CombustionError;
use crate::combustion::equilibrium::EquilibriumError;
use crate::eos::EosError;
use crate::numerics::root::RootFailure;

/// Why there is no flame to report.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum FlameError {
    /// Equivalence ratio not above zero or beyond what is computed.
    #[error(
        "an equivalence ratio of {phi} is outside the range computed, above 0 and up to {upper}"
    )]
    EquivalenceRatioOutOfRange {
        /// Asked.
        phi: f64,
        /// Upper end.
        upper: f64,
    },
    /// The fuel's mass is not that of its carbon, hydrogen, oxygen and nitrogen.
    #[error(
        "{fuel} holds elements that the flame does not cover: carbon, hydrogen, oxygen and nitrogen make up {covered_kg_mol:.5} of its {molar_mass_kg_mol:.5} kg/mol"
    )]
    ElementsNotCovered {
        /// Fuel.
        fuel: String,
        /// Molar mass by the formula, kg/mol.
        covered_kg_mol: f64,
        /// Molar mass of the fuel, kg/mol.
        molar_mass_kg_mol: f64,
    },
    /// No enthalpy known for the fuel in that phase.
    #[error("there is no enthalpy of formation of {fuel} as {phase}")]
    NoEnthalpy {
        /// Fuel.
        fuel: String,
        /// Phase.
        phase: &'static str,
    },
    /// Fuel temperature that its data do not reach.
    #[error(
        "the enthalpy of {fuel} as {phase} at {t_k} K is not known; its data reach from {lower_k} K to {upper_k} K"
    )]
    FuelTemperatureOutOfRange {
        /// Fuel.
        fuel: String,
        /// Phase.
        phase: &'static str,
        /// Asked, K.
        t_k: f64,
        /// Lower end, K.
        lower_k: f64,
        /// Upper end, K.
        upper_k: f64,
    },
    /// A fuel asked as gas where it condenses.
    #[error(
        "{fuel} is not a gas at {t_k:.2} K and {p_pa:.0} Pa: there it condenses above {dew_pa:.0} Pa{}; feed it as liquid or heat it",
        or_temperature(*dew_k, "below")
    )]
    BelowDewPoint {
        /// Fuel.
        fuel: String,
        /// Asked, K.
        t_k: f64,
        /// Pressure, Pa.
        p_pa: f64,
        /// Dew pressure at that temperature, Pa.
        dew_pa: f64,
        /// Dew temperature at that pressure, K, where it is known.
        dew_k: Option<f64>,
    },
    /// A fuel asked as liquid where it boils.
    #[error(
        "{fuel} is not a liquid at {t_k:.2} K and {p_pa:.0} Pa: there it boils below {bubble_pa:.0} Pa{}; feed it as gas or at higher pressure",
        or_temperature(*bubble_k, "above")
    )]
    AboveBubblePoint {
        /// Fuel.
        fuel: String,
        /// Asked, K.
        t_k: f64,
        /// Pressure, Pa.
        p_pa: f64,
        /// Bubble pressure at that temperature, Pa.
        bubble_pa: f64,
        /// Bubble temperature at that pressure, K, where it is known.
        bubble_k: Option<f64>,
    },
    /// Air temperature outside the polynomials.
    #[error(
        "an air temperature of {t_k} K is outside the range computed, {lower_k} K to {upper_k} K"
    )]
    AirTemperatureOutOfRange {
        /// Asked, K.
        t_k: f64,
        /// Lower end, K.
        lower_k: f64,
        /// Upper end, K.
        upper_k: f64,
    },
    /// Humidity ratio that no air has.
    #[error(
        "a humidity ratio of {ratio} kg water a kg dry air is outside the range computed, from 0 to half the moles as water"
    )]
    HumidityOutOfRange {
        /// Asked.
        ratio: f64,
    },
    /// Pressure outside the ideal-gas range.
    #[error(
        "a pressure of {p_pa} Pa is outside the range computed, {lower_pa} Pa to {upper_pa} Pa"
    )]
    PressureOutOfRange {
        /// Asked, Pa.
        p_pa: f64,
        /// Lower end, Pa.
        lower_pa: f64,
        /// Upper end, Pa.
        upper_pa: f64,
    },
    /// Share of heat lost outside 0 to 1.
    #[error("a heat loss of {share} of the heat released is not at least 0 and below 1")]
    HeatLossOutOfRange {
        /// Asked.
        share: f64,
    },
    /// Share of air outside 0 to 1.
    #[error("a primary air share of {share} is not above 0 and up to 1")]
    AirShareOutOfRange {
        /// Asked.
        share: f64,
    },
    /// A flow or heat that is not above zero.
    #[error("{what} is {value}, but must be above zero")]
    NotPositive {
        /// Which input.
        what: &'static str,
        /// Its value in SI.
        value: f64,
    },
    /// The products would leave colder than the air enters.
    #[error(
        "the air at {t_air_k:.1} K is hotter than the flame would be at {t_flame_k:.1} K; nothing is gained by burning there"
    )]
    InletHotterThanFlame {
        /// Air, K.
        t_air_k: f64,
        /// Products, K.
        t_flame_k: f64,
    },
    /// No equivalence ratio gives that exit temperature.
    #[error(
        "no {branch} flame leaves at {t_k:.1} K: it reaches from {lowest_k:.1} K to {highest_k:.1} K, the hottest at an equivalence ratio of {phi_hottest:.3}"
    )]
    ExitTemperatureOutOfReach {
        /// Lean or rich.
        branch: &'static str,
        /// Asked, K.
        t_k: f64,
        /// Coldest on that branch, K.
        lowest_k: f64,
        /// Hottest, K.
        highest_k: f64,
        /// Where it is hottest.
        phi_hottest: f64,
    },
    /// The search for an equivalence ratio ended without one.
    #[error("no equivalence ratio was found: {failure}")]
    Search {
        /// Last state of the search.
        failure: RootFailure,
    },
    /// The equilibrium itself.
    #[error(transparent)]
    Equilibrium(#[from] EquilibriumError),
    /// Stoichiometry: nothing burns, or no heating value.
    #[error(transparent)]
    Combustion(#[from] CombustionError),
    /// The fuel's property backend.
    #[error(transparent)]
    Eos(#[from] EosError),
}

/// The same boundary as a temperature, for messages.
fn or_temperature(t_k: Option<f64>, side: &str) -> String {
    t_k.map_or(String::new(), |t_k| {
        format!(", and at that pressure {side} {t_k:.2} K")
    })
}
