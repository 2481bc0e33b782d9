//! What can be wrong with a flame that is asked for.

use crate::combustion::CombustionError;
use crate::combustion::equilibrium::EquilibriumError;
use crate::eos::EosError;
use crate::numerics::root::RootFailure;
use crate::quantity::range::NotPositive;
use crate::quantity::sentence::{Sentence, in_kelvin, in_kelvin_2, pressure, sentence};
use crate::quantity::show::{number, short};
use crate::quantity::told::errors;

errors! {
    /// Why there is no flame to report.
    pub enum FlameError {
        EquivalenceRatioOutOfRange { phi: f64, upper: f64 } =>
            "an equivalence ratio of {} is outside the range computed, above 0 and up to {}",
            short(phi), upper;
        ElementsNotCovered { fuel: String, covered_kg_mol: f64, molar_mass_kg_mol: f64 } =>
            "{} holds elements that the flame does not cover: carbon, hydrogen, oxygen and nitrogen make up {} of its {} kg/mol",
            fuel, number(covered_kg_mol), number(molar_mass_kg_mol);
        NoEnthalpy { fuel: String, phase: &'static str } =>
            "there is no enthalpy of formation of {} as {}", fuel, phase;
        FuelTemperatureOutOfRange {
            fuel: String,
            phase: &'static str,
            t_k: f64,
            lower_k: f64,
            upper_k: f64,
        } =>
            "the enthalpy of {} as {} at {} is not known; its data reach from {} to {}",
            fuel, phase, in_kelvin(t_k), in_kelvin(lower_k), in_kelvin(upper_k);
        BelowDewPoint {
            fuel: String,
            t_k: f64,
            p_pa: f64,
            dew_pa: f64,
            /// Dew temperature at that pressure, K, where it is known.
            dew_k: Option<f64>,
        } =>
            "{} is not a gas at {} and {}: there it condenses above {}{}; feed it as liquid or heat it",
            fuel, in_kelvin_2(t_k), pressure(p_pa).close(), pressure(dew_pa).close(),
            or_temperature(dew_k, "below");
        AboveBubblePoint {
            fuel: String,
            t_k: f64,
            p_pa: f64,
            bubble_pa: f64,
            /// Bubble temperature at that pressure, K, where it is known.
            bubble_k: Option<f64>,
        } =>
            "{} is not a liquid at {} and {}: there it boils below {}{}; feed it as gas or at higher pressure",
            fuel, in_kelvin_2(t_k), pressure(p_pa).close(), pressure(bubble_pa).close(),
            or_temperature(bubble_k, "above");
        AirTemperatureOutOfRange { t_k: f64, lower_k: f64, upper_k: f64 } =>
            "an air temperature of {} is outside the range computed, {} to {}",
            in_kelvin(t_k), in_kelvin(lower_k), in_kelvin(upper_k);
        HumidityOutOfRange { ratio: f64 } =>
            "a humidity ratio of {} kg water a kg dry air is outside the range computed, from 0 to half the moles as water",
            ratio;
        PressureOutOfRange { p_pa: f64, lower_pa: f64, upper_pa: f64 } =>
            "a pressure of {} is outside the range computed, {} to {}",
            pressure(p_pa).close(), pressure(lower_pa).close(), pressure(upper_pa).close();
        HeatLossOutOfRange { share: f64 } =>
            "a heat loss of {} of the heat released is not at least 0 and below 1", share;
        EfficiencyOutOfRange { share: f64 } =>
            "a combustion efficiency of {} is not above 0 and up to 1", share;
        AirShareOutOfRange { share: f64 } =>
            "a primary air share of {} is not above 0 and up to 1", share;
        NotPositive(NotPositive);
        InletHotterThanFlame { t_air_k: f64, t_flame_k: f64 } =>
            "the air at {} is hotter than the flame would be at {}; nothing is gained by burning there",
            in_kelvin(t_air_k).fixed("K", 1.0, 1), in_kelvin(t_flame_k).fixed("K", 1.0, 1);
        ExitTemperatureOutOfReach {
            branch: &'static str,
            t_k: f64,
            lowest_k: f64,
            highest_k: f64,
            phi_hottest: f64,
        } =>
            "no {} flame leaves at {}: it reaches from {} to {}, the hottest at an equivalence ratio of {}",
            branch, in_kelvin(t_k).fixed("K", 1.0, 1), in_kelvin(lowest_k).fixed("K", 1.0, 1),
            in_kelvin(highest_k).fixed("K", 1.0, 1), number(phi_hottest);
        Search { failure: RootFailure } => "no equivalence ratio was found: {failure}";
        Equilibrium(EquilibriumError);
        Combustion(CombustionError);
        Eos(EosError);
    }
}

/// The same boundary as a temperature, for messages.
fn or_temperature(t_k: Option<f64>, side: &str) -> Sentence {
    t_k.map_or_else(Sentence::default, |t_k| {
        sentence!(", and at that pressure {} {}", side, in_kelvin_2(t_k))
    })
}
