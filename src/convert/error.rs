//! Why a switch could not be planned.

use crate::combustion::CombustionError;
use crate::eos::EosError;
use crate::quantity::range::OutOfRange;
use crate::quantity::sentence::{Sentence, pressure};
use crate::quantity::told::errors;

errors! {
    /// Why a switch could not be planned.
    pub enum ConvertError {
        Combustion(CombustionError);
        Eos(EosError);
        NoDuty { fuel: String, why: Sentence } => "no duty can be run on {}: {}", fuel, why;
        SameFuel { fuel: String } => "the rig runs on {} already", fuel;
        FeedBelowChamber { feed_pa: f64, chamber_pa: f64 } =>
            "a feed pressure of {} is not above the chamber pressure of {}",
            pressure(feed_pa).close(), pressure(chamber_pa).close();
        OutOfRange(OutOfRange);
    }
}
