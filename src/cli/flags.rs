//! The flags that all commands take, words that several take, and readers of quantities.

use super::backend::Code;
use super::error::{CliError, FlagProblem};
use crate::quantity::parse::{FromText, parse};
use crate::quantity::show::Units;
use crate::quantity::{AbsolutePressure, QuantityError};
use crate::train::rig::Date;
use clap::ValueEnum;
use std::fmt;
use std::path::PathBuf;
use std::str::FromStr;

/// Flags that all commands take.
#[derive(Debug, clap::Args)]
#[command(next_help_heading = "For all commands")]
pub struct Global {
    /// How the answer is written: text, json, markdown or html.
    #[arg(long, global = true, value_enum, default_value_t = Format::Text, hide_possible_values = true)]
    pub format: Format,
    /// Units of the text: si or us; JSON is always SI.
    #[arg(long, global = true, value_enum, default_value_t = UnitSystem::Si, hide_possible_values = true)]
    pub units: UnitSystem,
    /// Print the text in full: every table, note, assumption and source; other formats always do.
    #[arg(long, global = true)]
    pub full: bool,
    /// Leave out models, assumptions and sources; JSON keeps everything.
    #[arg(short, long, global = true)]
    pub quiet: bool,
    /// Air pressure behind gauge pressures.
    #[arg(long, global = true, value_name = "P", default_value = "101325 Pa(a)", value_parser = quantity::<AbsolutePressure>)]
    pub ambient_pressure: AbsolutePressure,
    /// Which code gives fluid properties: embedded, or coolprop for a second opinion, if built in.
    #[arg(long, global = true, value_enum, value_name = "CODE", default_value_t = Code::Embedded, hide_possible_values = true)]
    pub backend: Code,
    /// Folder with fuel files of your own.
    #[arg(long, global = true, value_name = "DIR")]
    pub fuels_folder: Option<PathBuf>,
}

/// How an answer is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// Tables for people.
    Text,
    /// One JSON object for machines.
    Json,
    /// Headings, tables and lists in Markdown.
    Markdown,
    /// One page with figures, for a browser or paper.
    Html,
}

/// Units of the text.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum UnitSystem {
    /// Metric.
    Si,
    /// US customary.
    Us,
}

impl From<UnitSystem> for Units {
    fn from(units: UnitSystem) -> Self {
        match units {
            UnitSystem::Si => Self::Si,
            UnitSystem::Us => Self::Us,
        }
    }
}

/// A phase that a user counts on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum WantedPhase {
    /// Gas or vapour.
    Gas,
    /// Liquid.
    Liquid,
}

/// How a liquid expands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Expansion {
    /// In equilibrium with its vapour.
    Equilibrium,
    /// Without vapour.
    Bernoulli,
    /// Between the two.
    Blend,
}

impl From<Expansion> for crate::flow::orifice::Expansion {
    fn from(expansion: Expansion) -> Self {
        match expansion {
            Expansion::Equilibrium => Self::Equilibrium,
            Expansion::Bernoulli => Self::Bernoulli,
            Expansion::Blend => Self::Blend,
        }
    }
}

/// Reads a whole number for clap, and says which ones it takes.
///
/// # Errors
/// No whole number, one below `least`, or one too large to be kept.
pub fn whole<T: FromStr + PartialOrd + fmt::Display>(text: &str, least: &T) -> Result<T, String> {
    let text = text.trim();
    match text.parse::<T>() {
        Ok(n) if n >= *least => Ok(n),
        _ if text.parse::<u128>().is_ok_and(|n| n > u128::from(u32::MAX)) => {
            Err("that is more than is counted here".to_owned())
        }
        _ => Err(format!("write a whole number from {least} up")),
    }
}

/// A number of holes, or a range of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Counts {
    /// Least.
    pub least: u32,
    /// Most.
    pub most: u32,
}

impl Counts {
    /// Most that are searched.
    const MOST: u32 = 1000;

    /// Reads `8` or `4-24` for clap.
    ///
    /// # Errors
    /// No whole number, zero, or a range of too many.
    pub fn read(text: &str) -> Result<Self, String> {
        let one = |text: &str| whole::<u32>(text, &1);
        let range = ["to", "..", "–", "-"].iter().find_map(|mark| {
            let (from, to) = text.split_once(mark)?;
            Some((one(from).ok()?, one(to).ok()?))
        });
        match range {
            Some((from, to)) if from.max(to) > Self::MOST => {
                Err(format!("write a range of {} at most", Self::MOST))
            }
            Some((from, to)) => Ok(Self {
                least: from.min(to),
                most: from.max(to),
            }),
            None => match one(text) {
                Ok(n) => Ok(Self { least: n, most: n }),
                Err(_) if text.contains(['-', '.', '–']) => {
                    Err("write a whole number from 1 up, or a range such as 4-24".to_owned())
                }
                Err(why) => Err(why),
            },
        }
    }
}

/// Reads a quantity for clap, which names the flag in its message.
///
/// # Errors
/// As [`parse`].
pub fn quantity<T: FromText>(text: &str) -> Result<T, QuantityError> {
    parse(text)
}

/// Reads a day for clap.
///
/// # Errors
/// No day.
pub fn day(text: &str) -> Result<Date, String> {
    let mut words = text.trim().splitn(3, '-');
    let mut next = || words.next().unwrap_or_default();
    let (year, month, day) = (next(), next(), next());
    let date = (year.parse().ok())
        .zip(month.parse().ok())
        .zip(day.parse().ok())
        .and_then(|((y, m), d)| Date::new(y, m, d));
    date.ok_or_else(|| "write a day such as 2026-03-21".to_owned())
}

/// A quantity with the text it was given by.
#[derive(Debug, Clone)]
pub struct Typed<T> {
    /// The quantity.
    pub value: T,
    text: String,
}

impl<T> Typed<T> {
    /// The text of one that is given.
    pub fn text(given: Option<&Self>) -> Option<&str> {
        given.map(|typed| typed.text.as_str())
    }
}

/// Reads a quantity for clap and keeps its text, for a file.
///
/// # Errors
/// As [`parse`].
pub fn typed<T: FromText>(text: &str) -> Result<Typed<T>, QuantityError> {
    Ok(Typed {
        value: parse(text)?,
        text: text.trim().to_owned(),
    })
}

/// A value that must be above zero; a flag's own reader lets zero and less pass where a type does.
///
/// # Errors
/// [`CliError::Flag`].
pub fn positive(flag: &'static str, si: f64, shown: impl Into<String>) -> Result<f64, CliError> {
    if si > 0.0 {
        Ok(si)
    } else {
        Err(CliError::Flag {
            flag,
            problem: FlagProblem::NotPositive {
                given: shown.into(),
            },
        })
    }
}
