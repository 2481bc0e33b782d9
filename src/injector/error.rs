//! Why an injector could not be sized.

use super::drills::DrillError;
use super::jet::JetError;
use crate::eos::EosError;
use crate::flow::discharge::DischargeError;
use crate::flow::orifice::OrificeError;
use crate::quantity::sentence::{
    Sentence, Told, displayed, flow, length, pressure, sentence, temperature,
};

/// Why an injector could not be sized.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum InjectorError {
    /// The ideal flow could not be had.
    Orifice(OrificeError),
    /// A property could not be had.
    Eos(#[from] EosError),
    /// The discharge coefficient could not be had.
    Discharge(#[from] DischargeError),
    /// A drill or tolerance could not be had.
    Drill(#[from] DrillError),
    /// The free jet could not be had.
    Jet(#[from] JetError),
    /// Nothing drives the flow.
    ChamberAboveSupply {
        /// Chamber, Pa.
        chamber_pa: f64,
        /// Supply, Pa.
        supply_pa: f64,
    },
    /// A chamber at a pressure above any at which the fuel can be fed.
    ChamberAboveAll {
        /// Chamber, Pa.
        chamber_pa: f64,
        /// Highest supply pressure looked at, Pa.
        highest_pa: f64,
    },
    /// A chamber that is all but empty.
    ChamberNearVacuum {
        /// Chamber, Pa.
        chamber_pa: f64,
        /// Lowest, Pa.
        lowest_pa: f64,
    },
    /// A hole that no gas sees as a hole.
    HoleTooFine {
        /// Diameter, m.
        diameter_m: f64,
        /// Least, m.
        least_m: f64,
    },
    /// None of the four is left free.
    NothingToFind,
    /// More than one is left free.
    TooLittleGiven {
        /// How many.
        count: usize,
        /// Which, in words.
        missing: String,
    },
    /// An input that must be above zero.
    NotPositive {
        /// Which.
        name: &'static str,
        /// Its value, SI.
        value: f64,
    },
    /// Vapour was asked for, but the fuel is not all vapour.
    NotVapour {
        /// Fuel or blend.
        fuel: String,
        /// Its phase.
        phase: &'static str,
        /// Temperature, K.
        t_k: f64,
        /// Pressure, Pa.
        p_pa: f64,
        /// Where it would be vapour; begins with a semicolon, or is empty.
        way_out: Sentence,
    },
    /// Liquid was asked for, but the fuel is not all liquid.
    NotLiquid {
        /// Fuel or blend.
        fuel: String,
        /// Its phase.
        phase: &'static str,
        /// Temperature, K.
        t_k: f64,
        /// Pressure, Pa.
        p_pa: f64,
        /// Where it would be liquid; begins with a semicolon, or is empty.
        way_out: Sentence,
    },
    /// No supply pressure passes the flow.
    FlowOutOfReach {
        /// Wanted, kg/s.
        wanted_kg_s: f64,
        /// Lowest supply pressure looked at, Pa.
        lowest_pa: f64,
        /// Highest, Pa.
        highest_pa: f64,
        /// What ends the range of pressures.
        limit: &'static str,
        /// Flow at the lowest, kg/s.
        least_kg_s: f64,
        /// Flow at the highest, kg/s.
        most_kg_s: f64,
    },
    /// The search did not settle.
    NotConverged {
        /// Which unknown.
        what: &'static str,
        /// Last value, SI.
        last: f64,
    },
}

impl Told for InjectorError {
    fn told(&self) -> Sentence {
        match self {
            Self::Orifice(error) => error.told(),
            Self::Eos(error) => error.told(),
            Self::Discharge(error) => sentence!("{}", error),
            Self::Drill(error) => error.told(),
            Self::Jet(error) => sentence!("{}", error),
            Self::ChamberAboveSupply {
                chamber_pa,
                supply_pa,
            } => sentence!(
                "the chamber pressure of {} is not below the supply pressure of {}: no fuel flows, and chamber gas would flow back",
                pressure(*chamber_pa),
                pressure(*supply_pa)
            ),
            Self::ChamberNearVacuum {
                chamber_pa,
                lowest_pa,
            } => sentence!(
                "a chamber pressure of {} is outside what is looked at, from {} up: no burner breathes there",
                pressure(*chamber_pa),
                pressure(*lowest_pa)
            ),
            Self::HoleTooFine {
                diameter_m,
                least_m,
            } => sentence!(
                "a hole of {} is finer than what is looked at, from {} up",
                length(*diameter_m),
                length(*least_m)
            ),
            Self::NothingToFind => sentence!(
                "supply pressure, number of holes, diameter and flow are all given: leave out the one to be found"
            ),
            Self::TooLittleGiven { count, missing } => sentence!(
                "{} of supply pressure, number of holes, diameter and flow are missing ({}): give all but one",
                count,
                missing
            ),
            Self::NotPositive { name, value } => {
                sentence!("{} must be a finite number above zero, not {}", name, value)
            }
            Self::NotVapour {
                fuel,
                phase,
                t_k,
                p_pa,
                way_out,
            } => sentence!(
                "{} is {} at {} and {}: there is no vapour to meter{}",
                fuel,
                phase,
                temperature(*t_k),
                pressure(*p_pa),
                way_out.clone()
            ),
            Self::NotLiquid {
                fuel,
                phase,
                t_k,
                p_pa,
                way_out,
            } => sentence!(
                "{} is {} at {} and {}: there is no liquid to meter{}",
                fuel,
                phase,
                temperature(*t_k),
                pressure(*p_pa),
                way_out.clone()
            ),
            Self::ChamberAboveAll {
                chamber_pa,
                highest_pa,
            } => sentence!(
                "the chamber pressure of {} is above every supply pressure looked at, up to {}: no fuel flows",
                pressure(*chamber_pa),
                pressure(*highest_pa)
            ),
            Self::FlowOutOfReach {
                wanted_kg_s,
                lowest_pa,
                highest_pa,
                limit,
                least_kg_s,
                most_kg_s,
            } => sentence!(
                "a flow of {} is out of reach: between {} and {} ({}) these holes pass {} to {}",
                flow(*wanted_kg_s),
                pressure(*lowest_pa),
                pressure(*highest_pa),
                limit,
                flow(*least_kg_s),
                flow(*most_kg_s)
            ),
            Self::NotConverged { what, last } => {
                sentence!("the {} did not settle; last value {}", what, last)
            }
        }
    }
}

displayed!(InjectorError);

impl From<OrificeError> for InjectorError {
    fn from(error: OrificeError) -> Self {
        match error {
            OrificeError::BackAboveSupply { back_pa, supply_pa } => Self::ChamberAboveSupply {
                chamber_pa: back_pa,
                supply_pa,
            },
            OrificeError::Eos(eos) => Self::Eos(eos),
            other => Self::Orifice(other),
        }
    }
}

/// A value that must be above zero.
pub(super) fn positive(name: &'static str, value: f64) -> Result<f64, InjectorError> {
    if value > 0.0 && value.is_finite() {
        Ok(value)
    } else {
        Err(InjectorError::NotPositive { name, value })
    }
}
