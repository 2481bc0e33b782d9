//! Why an injector could not be sized.

use super::drills::DrillError;
use super::jet::JetError;
use crate::eos::EosError;
use crate::flow::discharge::DischargeError;
use crate::flow::orifice::OrificeError;
use crate::quantity::Kind;
use crate::quantity::show::{Units, show};

/// A pressure in messages.
pub(super) fn bar(p_pa: f64) -> String {
    show(Kind::AbsolutePressure, p_pa, Units::Si)
}

/// A temperature in messages.
pub(super) fn celsius(t_k: f64) -> String {
    show(Kind::Temperature, t_k, Units::Si)
}

fn length(m: f64) -> String {
    show(Kind::Length, m, Units::Si)
}

fn rate(kg_s: f64) -> String {
    show(Kind::MassRate, kg_s, Units::Si)
}

/// Why an injector could not be sized.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum InjectorError {
    /// The ideal flow could not be had.
    #[error(transparent)]
    Orifice(OrificeError),
    /// A property could not be had.
    #[error(transparent)]
    Eos(#[from] EosError),
    /// The discharge coefficient could not be had.
    #[error(transparent)]
    Discharge(#[from] DischargeError),
    /// A drill or tolerance could not be had.
    #[error(transparent)]
    Drill(#[from] DrillError),
    /// The free jet could not be had.
    #[error(transparent)]
    Jet(#[from] JetError),
    /// Nothing drives the flow.
    #[error(
        "the chamber pressure of {} is not below the supply pressure of {}: no fuel flows, and chamber gas would flow back",
        bar(*chamber_pa),
        bar(*supply_pa)
    )]
    ChamberAboveSupply {
        /// Chamber, Pa.
        chamber_pa: f64,
        /// Supply, Pa.
        supply_pa: f64,
    },
    /// A chamber that is all but empty.
    #[error(
        "a chamber pressure of {} is outside what is looked at, from {} up: no burner breathes there",
        bar(*chamber_pa),
        bar(*lowest_pa)
    )]
    ChamberNearVacuum {
        /// Chamber, Pa.
        chamber_pa: f64,
        /// Lowest, Pa.
        lowest_pa: f64,
    },
    /// A hole that no gas sees as a hole.
    #[error("a hole of {} is finer than what is looked at, from {} up", length(*diameter_m), length(*least_m))]
    HoleTooFine {
        /// Diameter, m.
        diameter_m: f64,
        /// Least, m.
        least_m: f64,
    },
    /// None of the four is left free.
    #[error(
        "supply pressure, number of holes, diameter and flow are all given: leave out the one to be found"
    )]
    NothingToFind,
    /// More than one is left free.
    #[error(
        "{count} of supply pressure, number of holes, diameter and flow are missing ({missing}): give all but one"
    )]
    TooLittleGiven {
        /// How many.
        count: usize,
        /// Which, in words.
        missing: String,
    },
    /// An input that must be above zero.
    #[error("{name} must be a finite number above zero, not {value}")]
    NotPositive {
        /// Which.
        name: &'static str,
        /// Its value, SI.
        value: f64,
    },
    /// Vapour was asked for, but the fuel is not all vapour.
    #[error(
        "{fuel} is {phase} at {} and {}: there is no vapour to meter{way_out}",
        celsius(*t_k),
        bar(*p_pa)
    )]
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
        way_out: String,
    },
    /// Liquid was asked for, but the fuel is not all liquid.
    #[error(
        "{fuel} is {phase} at {} and {}: there is no liquid to meter{way_out}",
        celsius(*t_k),
        bar(*p_pa)
    )]
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
        way_out: String,
    },
    /// No supply pressure passes the flow.
    #[error(
        "a flow of {} is out of reach: between {} and {} ({limit}) these holes pass {} to {}",
        rate(*wanted_kg_s),
        bar(*lowest_pa),
        bar(*highest_pa),
        rate(*least_kg_s),
        rate(*most_kg_s)
    )]
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
    #[error("the {what} did not settle; last value {last}")]
    NotConverged {
        /// Which unknown.
        what: &'static str,
        /// Last value, SI.
        last: f64,
    },
}

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
