//! `calibrate`: what a weighed run says of holes, regulator and throttle.

use super::context::Context;
use super::error::{CliError, FlagProblem};
use super::flags::{Typed, day, positive, quantity, typed};
use super::flow_test::tested_on;
use super::rig;
use super::save::{free, write_new};
use crate::audit::Solution;
use crate::input::{Loaded, parse};
use crate::quantity::show::{show, significant};
use crate::quantity::{
    AbsolutePressure, Kind, Mass, PressureDifference, PressureLevel, Ratio,
    ThermodynamicTemperature, Time, kilograms_per_second,
};
use crate::report::calibration::calibration;
use crate::report::{Report, Topic};
use crate::tolerance::calibration::{CalibrationError, READ_K, RING_K, Run, calibrated};
use crate::train::rig::Date;
use std::path::PathBuf;

const EXAMPLES: &str = "\
Examples:
  fuelwright calibrate my-rig.toml --weighed \"24.31 kg\" \"23.12 kg\" --time \"15 min\" \\
    --opening \"62 %\" --ring \"0.85 barg\"
  fuelwright calibrate my-rig.toml --weighed \"24.31 kg\" \"23.12 kg\" --time \"15 min\" \\
    --ring \"0.85 barg\" --write tested.toml
  fuelwright calibrate my-kerosene-rig.toml --collected \"0.42 kg\" --time \"2 min\" --ring \"3 barg\"

Weigh the cylinder before and after a run that stands as it is, long enough to lose a hundred steps of the scale. The more is \
read, the more it tells: the pressure before the holes parts the holes from regulator and throttle. --write puts the run into a \
copy of the rig file as a [[flow_test]] of the holes.";

/// What readings may be off by where nothing is said, half-widths. Our choice: a hanging scale, a watch, a dial gauge of
/// class 1.6, a mark on a knob.
const WEIGHT_KG: f64 = 0.01;
const TIME_S: f64 = 2.0;
const GAUGE: f64 = 0.016;
const OPENING: f64 = 0.02;

/// Flags of `calibrate`.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub struct CalibrateArgs {
    /// Rig file.
    #[arg(value_name = "RIG")]
    pub rig: PathBuf,
    /// Weight of the cylinder before and after the run.
    #[arg(long, num_args = 2, value_names = ["BEFORE", "AFTER"], value_parser = quantity::<Mass>, required_unless_present = "collected", conflicts_with = "collected")]
    pub weighed: Vec<Mass>,
    /// Liquid caught in the open from the holes or the nozzle, in place of a cylinder that was weighed.
    #[arg(long, value_name = "M", value_parser = quantity::<Mass>, requires = "ring")]
    pub collected: Option<Mass>,
    /// Time between the weighings.
    #[arg(long, value_name = "t", value_parser = quantity::<Time>)]
    pub time: Time,
    /// Opening of the throttle; as the duty has it if left out.
    #[arg(long, value_name = "X", value_parser = quantity::<Ratio>)]
    pub opening: Option<Ratio>,
    /// Pressure before the holes.
    #[arg(long, value_name = "P", value_parser = typed::<PressureLevel>)]
    pub ring: Option<Typed<PressureLevel>>,
    /// Pressure behind the holes; that of the duty if left out, of the air for what is caught.
    #[arg(long, value_name = "P", value_parser = quantity::<PressureLevel>)]
    pub chamber: Option<PressureLevel>,
    /// Temperature of the fuel before the holes; as the train brings it to the duty if left out.
    #[arg(long, value_name = "T", value_parser = quantity::<ThermodynamicTemperature>, requires = "ring")]
    pub ring_temperature: Option<ThermodynamicTemperature>,
    /// Duty that the run was of; the nearest if left out.
    #[arg(long, value_name = "NAME")]
    pub duty: Option<String>,
    /// How far each weight may be off; 10 g if left out.
    #[arg(long, value_name = "M", value_parser = quantity::<Mass>)]
    pub weight_error: Option<Mass>,
    /// How far the time may be off; 2 s if left out.
    #[arg(long, value_name = "t", value_parser = quantity::<Time>)]
    pub time_error: Option<Time>,
    /// How far the pressure may be off; 1.6 % of it if left out.
    #[arg(long, value_name = "dP", value_parser = typed::<PressureDifference>, requires = "ring")]
    pub pressure_error: Option<Typed<PressureDifference>>,
    /// How far the opening may be off; 2 % of the travel if left out.
    #[arg(long, value_name = "X", value_parser = quantity::<Ratio>, requires = "opening")]
    pub opening_error: Option<Ratio>,
    /// Day of the run; today if left out.
    #[arg(long, value_name = "DATE", value_parser = day)]
    pub date: Option<Date>,
    /// Copy of the rig file to write with the run in it; one that is there stays.
    #[arg(long, value_name = "NEW.toml", requires = "ring")]
    pub write: Option<PathBuf>,
}

impl CalibrateArgs {
    /// Mass that flowed and its standard uncertainty, kg.
    fn mass(&self, context: &Context) -> Result<(f64, f64), CliError> {
        let units = context.units;
        let half = self.weight_error.map_or(WEIGHT_KG, |m| m.value);
        let u_kg = half / 3.0_f64.sqrt();
        match (self.collected, &self.weighed[..]) {
            (Some(m), _) => Ok((
                positive("collected", m.value, show(Kind::Mass, m.value, units))?,
                u_kg,
            )),
            (None, [before, after]) if after < before => {
                Ok((before.value - after.value, 2.0_f64.sqrt() * u_kg))
            }
            (None, weighed) => {
                let shown = |i: usize| weighed.get(i).map(|m| show(Kind::Mass, m.value, units));
                Err(CliError::Flag {
                    flag: "weighed",
                    problem: FlagProblem::NotLighter {
                        before: shown(0).unwrap_or_default(),
                        after: shown(1).unwrap_or_default(),
                    },
                })
            }
        }
    }

    fn run(&self, loaded: &Loaded, context: &Context) -> Result<Run, CliError> {
        let air = loaded.rig.site.air_pressure;
        let (kg, u_kg) = self.mass(context)?;
        let s = positive(
            "time",
            self.time.value,
            show(Kind::Time, self.time.value, context.units),
        )?;
        let u_s = self.time_error.map_or(TIME_S, |t| t.value) / 3.0_f64.sqrt();
        let level = |flag, p: PressureLevel| {
            p.absolute(air).map_err(|e| CliError::Flag {
                flag,
                problem: e.into(),
            })
        };
        let chamber = self.chamber.map(|p| level("chamber", p)).transpose()?;
        let ring = match &self.ring {
            Some(typed) => {
                let p = level("ring", typed.value)?;
                let usual = GAUGE * (p.pascals() - air.pascals()).abs();
                let half = self
                    .pressure_error
                    .as_ref()
                    .map_or(usual, |e| e.value.pascals());
                Some((p, half.max(1.0) / 3.0_f64.sqrt()))
            }
            None => None,
        };
        let off = self.opening_error.map_or(OPENING, |x| x.value);
        Ok(Run {
            flow: kilograms_per_second(kg / s),
            flow_error: (u_kg / kg).hypot(u_s / s),
            ring,
            ring_temperature: self.ring_temperature,
            opening: self.opening.map(|x| (x.value, off)),
            chamber: chamber.or(self.collected.map(|_| air)),
            caught: self.collected.is_some(),
        })
    }

    /// The run as a flow test of the holes, a table of the rig file.
    fn entry(
        &self,
        loaded: &Loaded,
        solution: &Solution<'_>,
        (run, duty): (&Run, &str),
        context: &Context,
    ) -> Result<String, CliError> {
        let (diameter, date) = tested_on(loaded, self.date, context)?;
        let of_duty = solution.hole_needs().into_iter().find(|n| n.name == duty);
        let (chamber, t_k) = of_duty.map_or((loaded.rig.site.air_pressure, f64::NAN), |n| {
            (n.chamber, n.temperature.value)
        });
        let downstream: AbsolutePressure = run.chamber.unwrap_or(chamber);
        let gas = toml::Value::String(loaded.rig.fuel.written.clone());
        let ring = toml::Value::String(
            Typed::text(self.ring.as_ref())
                .unwrap_or_default()
                .to_owned(),
        );
        let off = Typed::text(self.pressure_error.as_ref());
        let off = off.map_or(String::new(), |text| {
            format!(
                "pressure_error = {}\n",
                toml::Value::String(text.to_owned())
            )
        });
        let ring_t = run
            .ring_temperature
            .map_or((t_k, RING_K), |t| (t.value, READ_K));
        Ok(format!(
            "\n# a run that was weighed, by duty `{duty}`\n[[flow_test]]\ndate = {date}\ngas = {gas}\nholes = {}\nhole_diameter = {diameter}\n\
             upstream = {ring}\nflow = \"{} g/s\"\ntemperature = \"{} K\"\ndownstream = \"{} Pa(a)\"\n{off}flow_error = \"{} %\"\ntemperature_error = \"{} K\"\n",
            loaded.rig.injector.holes,
            significant(1e3 * run.flow.value, 5),
            significant(ring_t.0, 5),
            significant(downstream.pascals(), 7),
            significant(100.0 * 3.0_f64.sqrt() * run.flow_error, 3),
            ring_t.1,
        ))
    }
}

/// Holds a run against the rig.
///
/// # Errors
/// A rig file with mistakes, weights that are none, a duty that is not there, a file that is.
pub fn run(args: &CalibrateArgs, context: &Context) -> Result<Report, CliError> {
    if let Some(path) = &args.write {
        free(path)?;
    }
    let loaded = rig::load(&args.rig, context)?;
    let run = args.run(&loaded, context)?;
    let solution = rig::solve(&loaded, context)?;
    let found = calibrated(&solution, &run, args.duty.as_deref())?;
    let title = format!("Weighed run of {}", loaded.rig.name);
    let mut report = Report::new(Topic::Calibrate, title);
    report.burns(&loaded.rig.fuel.composition);
    let air_pa = loaded.rig.site.air_pressure.pascals();
    calibration(&mut report, &found, air_pa, context.units);
    if let Some(path) = &args.write {
        if !found.narrows() {
            return Err(CalibrationError::Contradicts.into());
        }
        let entry = args.entry(&loaded, &solution, (&run, &found.duty), context)?;
        let text = format!("{}\n{entry}", loaded.text.trim_end());
        parse(&loaded.path, &text, &context.library)?;
        write_new(path, &text)?;
        report.remark(format!(
            "Wrote {}: from now on the holes are as this run found them, until their number or diameter changes.",
            path.display()
        ));
        report.key("path", path.display().to_string());
    }
    for sentence in &solution.assumptions {
        report.assume(sentence.as_str());
    }
    Context::model(&mut report, solution.fluid.as_ref());
    Ok(report)
}
