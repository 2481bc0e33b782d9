//! What the calculators of parts have in common: the fuel before the part, and the one flag that is left out.

use super::context::Context;
use super::error::CliError;
use super::flags::quantity;
use crate::eos::{Backend, Phase, State};
use crate::flow::orifice::{OrificeError, Stagnation};
use crate::injector::error::InjectorError;
use crate::quantity::show::Show;
use crate::quantity::{
    AbsolutePressure, Length, MassRate, PressureLevel, Ratio, ThermodynamicTemperature,
};

/// The fuel before a part.
#[derive(Debug, clap::Args)]
#[command(group = clap::ArgGroup::new("supply").required(true).args(["upstream_temperature", "upstream_quality"]))]
pub struct FeedArgs {
    /// Fuel or blend.
    #[arg(long, value_name = "F")]
    pub fuel: String,
    /// Pressure upstream, gauge or absolute.
    #[arg(long, value_name = "P", value_parser = quantity::<PressureLevel>)]
    pub upstream: PressureLevel,
    /// Temperature upstream.
    #[arg(long, value_name = "T", value_parser = quantity::<ThermodynamicTemperature>)]
    pub upstream_temperature: Option<ThermodynamicTemperature>,
    /// Share of vapour by mass of a saturated fuel, instead of the temperature: 0 liquid, 1 vapour.
    #[arg(long, value_name = "Q", value_parser = quantity::<Ratio>)]
    pub upstream_quality: Option<Ratio>,
}

impl FeedArgs {
    /// The fuel at its pressure, and at its temperature or quality.
    ///
    /// # Errors
    /// Out of range.
    pub fn at<'a>(
        &self,
        fluid: &'a dyn Backend,
        p: AbsolutePressure,
    ) -> Result<Stagnation<'a>, CliError> {
        at_rest(fluid, p, self.upstream_temperature, self.upstream_quality)
    }

    /// The same as a state of one phase where all of it is saturated liquid or vapour.
    ///
    /// # Errors
    /// Out of range.
    pub fn state(&self, fluid: &dyn Backend, p: AbsolutePressure) -> Result<State, CliError> {
        let up = self.at(fluid, p)?;
        let state = *up.state();
        let phase = match state.phase {
            Phase::TwoPhase if up.is_gas() => Phase::Gas,
            Phase::TwoPhase if up.is_liquid() => Phase::Liquid,
            _ => return Ok(state),
        };
        Ok(fluid.state_pt_in(p.pascals(), state.temperature_k, phase)?)
    }
}

/// A fuel at rest at a pressure, by temperature or by quality.
///
/// # Errors
/// Out of range.
pub fn at_rest(
    fluid: &dyn Backend,
    p: AbsolutePressure,
    temperature: Option<ThermodynamicTemperature>,
    quality: Option<Ratio>,
) -> Result<Stagnation<'_>, CliError> {
    let up: Result<_, OrificeError> = match (temperature, quality) {
        (Some(t), _) => Stagnation::at(fluid, p, t),
        (None, q) => Stagnation::saturated(fluid, p, q.map_or(f64::NAN, |q| q.value)),
    };
    Ok(up.map_err(InjectorError::from)?)
}

/// The flag that is left out, of some of which one is to be found.
///
/// # Errors
/// None is left out, or more than one.
pub fn left_out<const N: usize>(
    flags: [(&'static str, bool); N],
) -> Result<&'static str, CliError> {
    let list = |names: Vec<&str>| {
        let names: Vec<String> = names.iter().map(|n| format!("--{n}")).collect();
        match names.split_last() {
            Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
            _ => names.concat(),
        }
    };
    let out = flags
        .iter()
        .filter(|(_, given)| !given)
        .map(|(name, _)| *name);
    match *out.collect::<Vec<_>>() {
        [one] => Ok(one),
        [] => Err(CliError::NothingToFind {
            flags: list(flags.map(|(name, _)| name).to_vec()),
        }),
        ref several => Err(CliError::TooLittleGiven {
            flags: list(flags.map(|(name, _)| name).to_vec()),
            missing: list(several.to_vec()),
        }),
    }
}

/// A flow that is above zero, if one is given.
///
/// # Errors
/// It is not.
pub fn some_flow(flow: Option<MassRate>, context: &Context) -> Result<(), CliError> {
    above_zero("flow", flow.map(|f| (f.value, f.show(context.units))))
}

/// A length that is above zero, if one is given.
///
/// # Errors
/// It is not.
pub fn some_length(
    flag: &'static str,
    length: Option<Length>,
    context: &Context,
) -> Result<(), CliError> {
    above_zero(flag, length.map(|l| (l.value, l.show(context.units))))
}

fn above_zero(flag: &'static str, given: Option<(f64, String)>) -> Result<(), CliError> {
    given.map_or(Ok(()), |(si, shown)| {
        super::flags::positive(flag, si, shown).map(|_| ())
    })
}
