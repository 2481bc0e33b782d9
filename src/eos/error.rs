//! Why a property could not be had.

use crate::fuel::SourceKey;
use crate::quantity::sentence::{Sentence, in_kelvin, in_kelvin_2, pressure};
use crate::quantity::show::number;
use crate::quantity::told::errors;

errors! {
    /// Why a property could not be had.
    pub enum EosError {
        TemperatureOutOfRange {
            fuel: String,
            t_k: f64,
            lower_k: f64,
            upper_k: f64,
            source_key: SourceKey,
        } =>
            "{} is outside the range of the {} equation of state, {} to {} [{}]",
            in_kelvin(t_k), fuel, in_kelvin(lower_k), in_kelvin(upper_k), source_key;
        PressureOutOfRange { fuel: String, p_pa: f64, upper_pa: f64, source_key: SourceKey } =>
            "{} is outside the range of the {} equation of state, above 0 and up to {} [{}]",
            pressure(p_pa).close(), fuel, pressure(upper_pa).close(), source_key;
        AboveCritical {
            fuel: String,
            /// What was asked, with unit.
            at: Sentence,
            t_critical_k: f64,
            p_critical_pa: f64,
        } =>
            "{} has no boiling point at {}: its critical point is {}, {}",
            fuel, at, in_kelvin_2(t_critical_k), pressure(p_critical_pa);
        NotFinite { name: &'static str } => "{} is not a finite number", name;
        TwoPhase { t_k: f64, p_pa: f64 } =>
            "heat capacity and speed of sound are not defined for liquid and vapour together ({}, {})",
            in_kelvin_2(t_k), pressure(p_pa);
        NotConverged { what: &'static str, fuel: String, at: Sentence } =>
            "{} of {} did not converge at {}", what, fuel, at;
        BoilsColder { fuel: String, p_pa: f64, lower_k: f64 } =>
            "{} begins to boil below {} at {}, and its equations of state end there",
            fuel, in_kelvin(lower_k), pressure(p_pa);
        LiquidSplits { fuel: String, t_k: f64 } =>
            "no liquid of {} is computed at {}: its mixture model splits the liquid in two, and only one is dealt with. Take it as gas above its dew point, or give its liquid measured values in a fuel file of your own (`kind = \"correlation\"`). Gasoline, kerosene or diesel with an alcohol goes by blending rules: `gasoline:90,ethanol:10@volume`",
            fuel, in_kelvin(t_k);
        Unsound {
            fuel: String,
            what: &'static str,
            value: f64,
            unit: &'static str,
            t_k: f64,
            p_pa: f64,
        } =>
            "the equation of state of {} does not hold at {}, {}: its {} there is {} {}, and must be above 0; stay farther from the ends of its range",
            fuel, in_kelvin_2(t_k), pressure(p_pa), what, number(value), unit;
        NotAvailable { what: &'static str, fuel: String, why: Sentence } =>
            "there is no {} for {}: {}", what, fuel, why;
    }
}
