//! Why an injector could not be sized.

use super::drills::DrillError;
use super::jet::JetError;
use crate::eos::EosError;
use crate::flow::discharge::DischargeError;
use crate::flow::orifice::OrificeError;
use crate::quantity::range::NotPositive;
use crate::quantity::sentence::{Sentence, flow, length, pressure, temperature};
use crate::quantity::told::errors;

errors! {
    /// Why an injector could not be sized.
    pub enum InjectorError {
        Orifice { why: OrificeError } => "{}", why.told();
        Eos(EosError);
        Discharge(DischargeError);
        Drill(DrillError);
        Jet(JetError);
        ChamberAboveSupply { chamber_pa: f64, supply_pa: f64 } =>
            "the chamber pressure of {} is not below the supply pressure of {}: no fuel flows, and chamber gas would flow back",
            pressure(chamber_pa), pressure(supply_pa);
        ChamberAboveAll { chamber_pa: f64, highest_pa: f64 } =>
            "the chamber pressure of {} is above every supply pressure looked at, up to {}: no fuel flows",
            pressure(chamber_pa), pressure(highest_pa);
        ChamberNearVacuum { chamber_pa: f64, lowest_pa: f64 } =>
            "a chamber pressure of {} is outside what is looked at, from {} up: no burner breathes there",
            pressure(chamber_pa), pressure(lowest_pa);
        HoleTooFine { diameter_m: f64, least_m: f64 } =>
            "a hole of {} is finer than what is looked at, from {} up",
            length(diameter_m), length(least_m);
        NothingToFind =>
            "supply pressure, number of holes, diameter and flow are all given: leave out the one to be found";
        TooLittleGiven { count: usize, missing: String } =>
            "{} of supply pressure, number of holes, diameter and flow are missing ({}): give all but one",
            count, missing;
        NotPositive(NotPositive);
        OtherPhase {
            fuel: String,
            phase: &'static str,
            t_k: f64,
            p_pa: f64,
            /// The phase that was asked for.
            wanted: &'static str,
            /// Where it would be that; begins with a semicolon, or is empty.
            way_out: Sentence,
        } =>
            "{} is {} at {} and {}: there is no {} to meter{}",
            fuel, phase, temperature(t_k), pressure(p_pa), wanted, way_out;
        FlowOutOfReach {
            wanted_kg_s: f64,
            lowest_pa: f64,
            highest_pa: f64,
            limit: &'static str,
            least_kg_s: f64,
            most_kg_s: f64,
        } =>
            "a flow of {} is out of reach: between {} and {} ({}) these holes pass {} to {}",
            flow(wanted_kg_s), pressure(lowest_pa), pressure(highest_pa), limit, flow(least_kg_s),
            flow(most_kg_s);
        NotConverged {
            what: &'static str,
            /// Last value, SI.
            last: f64,
        } => "the {} did not settle; last value {}", what, last;
    }
}

impl From<OrificeError> for InjectorError {
    fn from(error: OrificeError) -> Self {
        match error {
            OrificeError::BackAboveSupply { back_pa, supply_pa } => Self::ChamberAboveSupply {
                chamber_pa: back_pa,
                supply_pa,
            },
            OrificeError::Eos(eos) => Self::Eos(eos),
            why => Self::Orifice { why },
        }
    }
}
