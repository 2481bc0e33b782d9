//! `flow-test`: plan a flow test of the finished holes with nitrogen or air, and judge what was read.

use super::context::Context;
use super::error::{CliError, FlagProblem};
use super::flags::{Typed, day, typed};
use super::rig;
use super::save::{free, write_new};
use crate::audit::audit_of_and;
use crate::input::{Loaded, parse};
use crate::quantity::{
    MassRate, PressureDifference, PressureLevel, Ratio, TemperatureInterval,
    ThermodynamicTemperature, Time, Volume, VolumeRate,
};
use crate::report::flow_test::{Wanted, judged, plan};
use crate::report::{Report, Topic};
use crate::train::rig::Date;
use clap::ValueEnum;
use std::fmt::Write as _;
use std::path::PathBuf;

/// The rule on tests of other holes.
const VOID: [&str; 1] = ["INJ013"];

const EXAMPLES: &str = "\
Examples:
  fuelwright flow-test my-rig.toml
  fuelwright flow-test my-rig.toml --supply \"2 barg\" --volume \"10 L\"
  fuelwright flow-test my-rig.toml --upstream \"1.2 barg\" --free-flow \"86 L/min\" \\
    --write tested.toml
  fuelwright flow-test my-rig.toml --volume \"10 L\" --from \"5 barg\" --to \"3 barg\" \\
    --settled \"3.3 barg\" --time \"9.4 s\" --pressure-error \"10 mbar\"

Without readings it plans the test. Readings are judged with those that the rig file has as [[flow_test]], and --write puts \
them into a copy of it. A test holds until the number or the diameter of the holes changes.";

/// Gas of the test.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Gas {
    /// Dry nitrogen.
    Nitrogen,
    /// Dry compressed air.
    Air,
}

impl Gas {
    fn name(self) -> &'static str {
        match self {
            Self::Nitrogen => "nitrogen",
            Self::Air => "air",
        }
    }
}

/// Flags of `flow-test`.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub struct FlowTestArgs {
    /// Rig file.
    #[arg(value_name = "RIG")]
    pub rig: PathBuf,
    /// Gas of the test: nitrogen or air.
    #[arg(long, value_enum, default_value_t = Gas::Nitrogen, hide_possible_values = true)]
    pub gas: Gas,
    /// Highest pressure before the holes that the plan may take.
    #[arg(long, value_name = "P", value_parser = typed::<PressureLevel>)]
    pub supply: Option<Typed<PressureLevel>>,
    /// Read: pressure before the holes while the flow was steady.
    #[arg(long, value_name = "P", value_parser = typed::<PressureLevel>)]
    pub upstream: Option<Typed<PressureLevel>>,
    /// Read: steady flow by mass.
    #[arg(long, value_name = "M", value_parser = typed::<MassRate>, requires = "upstream", conflicts_with = "free_flow")]
    pub flow: Option<Typed<MassRate>>,
    /// Read: steady flow as free gas, at 15 degC and one standard atmosphere.
    #[arg(long, value_name = "Q", value_parser = typed::<VolumeRate>, requires = "upstream")]
    pub free_flow: Option<Typed<VolumeRate>>,
    /// Volume that empties itself through the holes, with all that is open to it.
    #[arg(long, value_name = "V", value_parser = typed::<Volume>, conflicts_with = "upstream")]
    pub volume: Option<Typed<Volume>>,
    /// Pressure in it at the start.
    #[arg(long, value_name = "P", value_parser = typed::<PressureLevel>, requires = "volume")]
    pub from: Option<Typed<PressureLevel>>,
    /// Pressure in it when it is shut again.
    #[arg(long, value_name = "P", value_parser = typed::<PressureLevel>, requires = "from")]
    pub to: Option<Typed<PressureLevel>>,
    /// Read: time from the one to the other.
    #[arg(long, value_name = "t", value_parser = typed::<Time>, requires = "to")]
    pub time: Option<Typed<Time>>,
    /// Read: pressure that it rose to, shut, once it was as warm as before.
    #[arg(long, value_name = "P", value_parser = typed::<PressureLevel>, requires = "time")]
    pub settled: Option<Typed<PressureLevel>>,
    /// Pressure behind the holes; the air of the site if left out.
    #[arg(long, value_name = "P", value_parser = typed::<PressureLevel>)]
    pub downstream: Option<Typed<PressureLevel>>,
    /// Temperature of the gas, of a volume at the start; that of the site if left out.
    #[arg(long, value_name = "T", value_parser = typed::<ThermodynamicTemperature>)]
    pub temperature: Option<Typed<ThermodynamicTemperature>>,
    /// How far each pressure may be off; 1.6 % of the highest if left out.
    #[arg(long, value_name = "dP", value_parser = typed::<PressureDifference>)]
    pub pressure_error: Option<Typed<PressureDifference>>,
    /// How far the temperature may be off; 2 K if left out.
    #[arg(long, value_name = "dT", value_parser = typed::<TemperatureInterval>)]
    pub temperature_error: Option<Typed<TemperatureInterval>>,
    /// How far the flow may be off; 3 % if left out.
    #[arg(long, value_name = "X", value_parser = typed::<Ratio>)]
    pub flow_error: Option<Typed<Ratio>>,
    /// How far the volume may be off; 2 % if left out.
    #[arg(long, value_name = "X", value_parser = typed::<Ratio>)]
    pub volume_error: Option<Typed<Ratio>>,
    /// How far the time may be off; 0.5 s if left out.
    #[arg(long, value_name = "t", value_parser = typed::<Time>)]
    pub time_error: Option<Typed<Time>>,
    /// Day of the test; today if left out.
    #[arg(long, value_name = "DATE", value_parser = day)]
    pub date: Option<Date>,
    /// Copy of the rig file to write with the readings in it; one that is there stays.
    #[arg(long, value_name = "NEW.toml")]
    pub write: Option<PathBuf>,
}

/// Diameter of the finished holes as it is written, and the day of a test of them: today where none is given.
///
/// # Errors
/// Holes that are still to be sized, no day at all.
pub fn tested_on<'a>(
    loaded: &'a Loaded,
    date: Option<Date>,
    context: &Context,
) -> Result<(&'a str, Date), CliError> {
    let diameter = loaded.written("injector.hole_diameter");
    let date = date.or(context.today).ok_or(CliError::Flag {
        flag: "date",
        problem: FlagProblem::NoDay,
    });
    Ok((diameter.ok_or(CliError::NoFinishedHoles)?, date?))
}

impl FlowTestArgs {
    /// Whether something was read.
    fn was_read(&self) -> bool {
        self.flow.is_some() || self.free_flow.is_some() || self.time.is_some()
    }

    /// The readings as a table of the rig file.
    fn entry(&self, loaded: &Loaded, context: &Context) -> Result<String, CliError> {
        let (diameter, date) = tested_on(loaded, self.date, context)?;
        let gas = self.gas.name();
        let holes = loaded.rig.injector.holes;
        let mut out = format!(
            "\n[[flow_test]]\ndate = {date}\ngas = \"{gas}\"\nholes = {holes}\nhole_diameter = {diameter}\n"
        );
        let mut line = |key: &str, written: Option<&str>| {
            if let Some(text) = written {
                let _ = writeln!(out, "{key} = {}", toml::Value::String(text.to_owned()));
            }
        };
        line("upstream", Typed::text(self.upstream.as_ref()));
        line("flow", Typed::text(self.flow.as_ref()));
        line("free_flow", Typed::text(self.free_flow.as_ref()));
        line("volume", Typed::text(self.volume.as_ref()));
        line("from", Typed::text(self.from.as_ref()));
        line("to", Typed::text(self.to.as_ref()));
        line("settled", Typed::text(self.settled.as_ref()));
        line("time", Typed::text(self.time.as_ref()));
        line("downstream", Typed::text(self.downstream.as_ref()));
        line("temperature", Typed::text(self.temperature.as_ref()));
        line("pressure_error", Typed::text(self.pressure_error.as_ref()));
        line(
            "temperature_error",
            Typed::text(self.temperature_error.as_ref()),
        );
        line("flow_error", Typed::text(self.flow_error.as_ref()));
        line("volume_error", Typed::text(self.volume_error.as_ref()));
        line("time_error", Typed::text(self.time_error.as_ref()));
        Ok(out)
    }

    /// What the plan may take.
    fn wanted(&self, loaded: &Loaded) -> Result<Wanted, CliError> {
        let air = loaded.rig.site.air_pressure;
        let level = |flag, p: &Option<Typed<PressureLevel>>| {
            let absolute = |p: &Typed<PressureLevel>| {
                let problem = |e: crate::quantity::QuantityError| CliError::Flag {
                    flag,
                    problem: e.into(),
                };
                p.value.absolute(air).map_err(problem)
            };
            p.as_ref().map(absolute).transpose()
        };
        let temperature = self.temperature.as_ref().map(|t| t.value);
        Ok(Wanted {
            supply: level("supply", &self.supply)?,
            volume: self.volume.as_ref().map(|v| v.value),
            from: level("from", &self.from)?,
            to: level("to", &self.to)?,
            downstream: level("downstream", &self.downstream)?.unwrap_or(air),
            temperature: temperature.unwrap_or(loaded.rig.site.ambient),
        })
    }
}

/// Plans the test, or judges what was read.
///
/// # Errors
/// A rig file with mistakes, holes that are still to be sized, readings that cannot be, a file that is there.
pub fn run(args: &FlowTestArgs, context: &Context) -> Result<Report, CliError> {
    if let Some(path) = &args.write {
        free(path)?;
        if !args.was_read() {
            return Err(CliError::Flag {
                flag: "write",
                problem: FlagProblem::Needs { other: "flow" },
            });
        }
    }
    let mut loaded = rig::load(&args.rig, context)?;
    if args.was_read() {
        let text = format!(
            "{}\n{}",
            loaded.text.trim_end(),
            args.entry(&loaded, context)?
        );
        loaded = parse(&loaded.path, &text, &context.library)?;
    }
    let title = format!("Flow test of {}", loaded.rig.name);
    let mut report = Report::new(Topic::FlowTest, title);
    report.burns(&loaded.rig.fuel.composition);
    let tested = rig::solve(&loaded, context)?;
    let mut bare = loaded.clone();
    bare.rig.injector.tested = None;
    let before = rig::solve(&bare, context)?;
    judged(&mut report, &tested, &before);
    if let Some(path) = &args.write {
        write_new(path, &loaded.text)?;
        report.remark(format!(
            "Wrote {}: from now on the holes are as tested there, until their number or diameter changes.",
            path.display()
        ));
        report.key("path", path.display().to_string());
    }
    if !args.was_read() {
        let wanted = args.wanted(&loaded)?;
        let gas = context.fluid(args.gas.name())?;
        let planned = plan(&mut report, &before, gas.as_ref(), &wanted);
        planned.map_err(|why| CliError::NoFlowTest { why })?;
    }
    let found = audit_of_and(&tested, &[], &VOID);
    rig::findings(&mut report, &loaded, &tested, &found);
    for sentence in &tested.assumptions {
        report.assume(sentence.as_str());
    }
    Context::model(&mut report, tested.fluid.as_ref());
    Ok(report)
}
