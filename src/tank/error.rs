//! What can be wrong with a tank or its run.

use crate::eos::{Backend, EosError};
use crate::quantity::range::OutOfRange;
use crate::quantity::sentence::{
    Sentence, Told, in_kelvin, in_kelvin_2, mass, sentence, time, volume,
};
use crate::quantity::show::number;
use crate::quantity::told::errors;

errors! {
    /// Why a question about a tank has no answer.
    pub enum TankError {
        OutOfRange(OutOfRange);
        NoWallTemperature { t_k: f64, ambient_k: f64 } =>
            "no wall temperature balances contents at {} and surroundings at {}",
            in_kelvin_2(t_k), in_kelvin_2(ambient_k);
        Empty => "the tank is empty: a mass above zero is needed";
        LiquidFull { mass_kg: f64, most_kg: f64, t_k: f64 } =>
            "{} does not fit: at {} the tank is liquid-full with {}",
            mass(mass_kg).fixed("kg", 1.0, 3), in_kelvin_2(t_k), mass(most_kg).fixed("kg", 1.0, 3);
        LargerInside { volume_m3: f64, outside_m3: f64 } =>
            "a tank of this diameter and length holds less than {}, not {}",
            volume(outside_m3).fixed("L", 1e-3, 1), volume(volume_m3).fixed("L", 1e-3, 1);
        NoLiquid { step: String, t_k: f64 } =>
            "step `{}` draws liquid, but at {} the tank holds gas alone", step, in_kelvin_2(t_k);
        GasAlone {
            t_k: f64,
            /// Fuel and its critical temperature, K, if that is below.
            critical: Option<(String, f64)>,
        } => "at {} the tank holds gas alone: {}", in_kelvin_2(t_k), no_liquid(critical);
        NoSplit { why: Sentence } => "{}; {}", why, hard_to_tell();
        TooMany { what: &'static str, count: u64, limit: u64 } =>
            "{} would be {}, more than the limit of {}", what, count, limit;
        Nothing { what: &'static str } => "{}", what;
        Unsolved { what: &'static str, t_k: f64, residual: f64 } =>
            "{} did not converge: last at {} with a residual of {}",
            what, in_kelvin(t_k).fixed("K", 1.0, 3), number(residual);
        Spent {
            what: &'static str,
            steps: u64,
            /// Where it stood, and what to do.
            last: Option<Sentence>,
        } =>
            "{} was given up after {} steps of iteration{}",
            what, steps, last.map_or_else(Sentence::default, |last| sentence!(": {}", last));
        Integration { t_s: f64, why: Sentence } =>
            "the run stops at {}: {}", time(t_s).fixed("s", 1.0, 3), why;
        Eos(EosError);
    }
}

/// Why liquid and vapour of a blend may not be found, and what to do.
pub(super) fn hard_to_tell() -> Sentence {
    sentence!(
        "near the critical point, and with much of a light gas, liquid and vapour are hard to tell apart: take less of the light gas, or another charge or temperature"
    )
}

/// Why there is no liquid, of a fuel whose critical temperature is below the tank's.
fn no_liquid(critical: Option<(String, f64)>) -> Sentence {
    match critical {
        None => sentence!("there is no liquid to boil off"),
        Some((fuel, t_critical_k)) => sentence!(
            "{} is liquid only below its critical temperature, {}; reckon with a compressed gas, whose pressure falls with every gram drawn",
            fuel,
            in_kelvin_2(t_critical_k)
        ),
    }
}

impl TankError {
    /// [`TankError::GasAlone`] of a fluid.
    pub(super) fn gas_alone(backend: &dyn Backend, t_k: f64) -> Self {
        let (t_critical_k, _) = backend.critical();
        Self::GasAlone {
            t_k,
            critical: (t_k > t_critical_k)
                .then(|| (backend.composition().label().to_owned(), t_critical_k)),
        }
    }
    /// What the properties say of a charge, with what to do where it is a blend whose phases are not told apart.
    pub(super) fn of_charge(self) -> Self {
        match self {
            Self::Eos(e @ (EosError::AboveCritical { .. } | EosError::NotConverged { .. })) => {
                Self::NoSplit { why: e.told() }
            }
            other => other,
        }
    }
    /// Whether a model ends here: a range, or an equilibrium that does not exist or is not found.
    pub(crate) fn is_out_of_range(&self) -> bool {
        matches!(
            self,
            Self::OutOfRange { .. }
                | Self::Unsolved { .. }
                | Self::Spent { .. }
                | Self::NoSplit { .. }
                | Self::Eos(
                    EosError::TemperatureOutOfRange { .. }
                        | EosError::PressureOutOfRange { .. }
                        | EosError::AboveCritical { .. }
                        | EosError::NotConverged { .. }
                        | EosError::BoilsColder { .. }
                        | EosError::LiquidSplits { .. }
                        | EosError::NotAvailable { .. }
                )
        )
    }
}
