//! What can be wrong with a flame that is asked for.

use crate::combustion::CombustionError;
use crate::combustion::equilibrium::EquilibriumError;
use crate::eos::EosError;
use crate::numerics::root::RootFailure;
use crate::quantity::sentence::{
    Sentence, Told, displayed, in_kelvin, in_kelvin_2, pressure, sentence,
};
use crate::quantity::show::short;

/// Why there is no flame to report.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum FlameError {
    /// Equivalence ratio not above zero or beyond what is computed.
    EquivalenceRatioOutOfRange {
        /// Asked.
        phi: f64,
        /// Upper end.
        upper: f64,
    },
    /// The fuel's mass is not that of its carbon, hydrogen, oxygen and nitrogen.
    ElementsNotCovered {
        /// Fuel.
        fuel: String,
        /// Molar mass by the formula, kg/mol.
        covered_kg_mol: f64,
        /// Molar mass of the fuel, kg/mol.
        molar_mass_kg_mol: f64,
    },
    /// No enthalpy known for the fuel in that phase.
    NoEnthalpy {
        /// Fuel.
        fuel: String,
        /// Phase.
        phase: &'static str,
    },
    /// Fuel temperature that its data do not reach.
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
    AirTemperatureOutOfRange {
        /// Asked, K.
        t_k: f64,
        /// Lower end, K.
        lower_k: f64,
        /// Upper end, K.
        upper_k: f64,
    },
    /// Humidity ratio that no air has.
    HumidityOutOfRange {
        /// Asked.
        ratio: f64,
    },
    /// Pressure outside the ideal-gas range.
    PressureOutOfRange {
        /// Asked, Pa.
        p_pa: f64,
        /// Lower end, Pa.
        lower_pa: f64,
        /// Upper end, Pa.
        upper_pa: f64,
    },
    /// Share of heat lost outside 0 to 1.
    HeatLossOutOfRange {
        /// Asked.
        share: f64,
    },
    /// Combustion efficiency outside 0 to 1.
    EfficiencyOutOfRange {
        /// Asked.
        share: f64,
    },
    /// Share of air outside 0 to 1.
    AirShareOutOfRange {
        /// Asked.
        share: f64,
    },
    /// A flow or heat that is not above zero.
    NotPositive {
        /// Which input.
        what: &'static str,
        /// Its value in SI.
        value: f64,
    },
    /// The products would leave colder than the air enters.
    InletHotterThanFlame {
        /// Air, K.
        t_air_k: f64,
        /// Products, K.
        t_flame_k: f64,
    },
    /// No equivalence ratio gives that exit temperature.
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
    Search {
        /// Last state of the search.
        failure: RootFailure,
    },
    /// The equilibrium itself.
    Equilibrium(#[from] EquilibriumError),
    /// Stoichiometry: nothing burns, or no heating value.
    Combustion(#[from] CombustionError),
    /// The fuel's property backend.
    Eos(#[from] EosError),
}

impl Told for FlameError {
    #[allow(clippy::too_many_lines, reason = "one message a variant")]
    fn told(&self) -> Sentence {
        match self {
            Self::EquivalenceRatioOutOfRange { phi, upper } => sentence!(
                "an equivalence ratio of {} is outside the range computed, above 0 and up to {}",
                &short(*phi),
                upper
            ),
            Self::ElementsNotCovered {
                fuel,
                covered_kg_mol,
                molar_mass_kg_mol,
            } => sentence!(
                "{} holds elements that the flame does not cover: carbon, hydrogen, oxygen and nitrogen make up {} of its {} kg/mol",
                fuel,
                &format!("{covered_kg_mol:.5}"),
                &format!("{molar_mass_kg_mol:.5}")
            ),
            Self::NoEnthalpy { fuel, phase } => {
                sentence!("there is no enthalpy of formation of {} as {}", fuel, phase)
            }
            Self::FuelTemperatureOutOfRange {
                fuel,
                phase,
                t_k,
                lower_k,
                upper_k,
            } => sentence!(
                "the enthalpy of {} as {} at {} is not known; its data reach from {} to {}",
                fuel,
                phase,
                in_kelvin(*t_k),
                in_kelvin(*lower_k),
                in_kelvin(*upper_k)
            ),
            Self::BelowDewPoint {
                fuel,
                t_k,
                p_pa,
                dew_pa,
                dew_k,
            } => sentence!(
                "{} is not a gas at {} and {}: there it condenses above {}{}; feed it as liquid or heat it",
                fuel,
                in_kelvin_2(*t_k),
                pressure(*p_pa).close(),
                pressure(*dew_pa).close(),
                or_temperature(*dew_k, "below")
            ),
            Self::AboveBubblePoint {
                fuel,
                t_k,
                p_pa,
                bubble_pa,
                bubble_k,
            } => sentence!(
                "{} is not a liquid at {} and {}: there it boils below {}{}; feed it as gas or at higher pressure",
                fuel,
                in_kelvin_2(*t_k),
                pressure(*p_pa).close(),
                pressure(*bubble_pa).close(),
                or_temperature(*bubble_k, "above")
            ),
            Self::AirTemperatureOutOfRange {
                t_k,
                lower_k,
                upper_k,
            } => sentence!(
                "an air temperature of {} is outside the range computed, {} to {}",
                in_kelvin(*t_k),
                in_kelvin(*lower_k),
                in_kelvin(*upper_k)
            ),
            Self::HumidityOutOfRange { ratio } => sentence!(
                "a humidity ratio of {} kg water a kg dry air is outside the range computed, from 0 to half the moles as water",
                ratio
            ),
            Self::PressureOutOfRange {
                p_pa,
                lower_pa,
                upper_pa,
            } => sentence!(
                "a pressure of {} is outside the range computed, {} to {}",
                pressure(*p_pa).close(),
                pressure(*lower_pa).close(),
                pressure(*upper_pa).close()
            ),
            Self::HeatLossOutOfRange { share } => sentence!(
                "a heat loss of {} of the heat released is not at least 0 and below 1",
                share
            ),
            Self::EfficiencyOutOfRange { share } => sentence!(
                "a combustion efficiency of {} is not above 0 and up to 1",
                share
            ),
            Self::AirShareOutOfRange { share } => sentence!(
                "a primary air share of {} is not above 0 and up to 1",
                share
            ),
            Self::NotPositive { what, value } => {
                sentence!("{} is {}, but must be above zero", what, value)
            }
            Self::InletHotterThanFlame { t_air_k, t_flame_k } => sentence!(
                "the air at {} is hotter than the flame would be at {}; nothing is gained by burning there",
                in_kelvin(*t_air_k).fixed("K", 1.0, 1),
                in_kelvin(*t_flame_k).fixed("K", 1.0, 1)
            ),
            Self::ExitTemperatureOutOfReach {
                branch,
                t_k,
                lowest_k,
                highest_k,
                phi_hottest,
            } => sentence!(
                "no {} flame leaves at {}: it reaches from {} to {}, the hottest at an equivalence ratio of {}",
                branch,
                in_kelvin(*t_k).fixed("K", 1.0, 1),
                in_kelvin(*lowest_k).fixed("K", 1.0, 1),
                in_kelvin(*highest_k).fixed("K", 1.0, 1),
                &format!("{phi_hottest:.3}")
            ),
            Self::Search { failure } => sentence!("no equivalence ratio was found: {}", failure),
            Self::Equilibrium(error) => sentence!("{}", error),
            Self::Combustion(error) => error.told(),
            Self::Eos(error) => error.told(),
        }
    }
}

displayed!(FlameError);

/// The same boundary as a temperature, for messages.
fn or_temperature(t_k: Option<f64>, side: &str) -> Sentence {
    t_k.map_or_else(Sentence::default, |t_k| {
        sentence!(", and at that pressure {} {}", side, in_kelvin_2(t_k))
    })
}
