//! `train`: pressure and temperature from tank to injector at every duty, the throttle, and a shut-off.

use super::error::CliError;
use super::{Context, rig};
use crate::audit::Solution;
use crate::report::{Report, Topic, train as write};
use crate::train::plan::{InjectorHoles, TrainFire, TrainNeed, plan};
use std::path::PathBuf;

const EXAMPLES: &str = "\
Example:
  fuelwright train examples/coupon-soak-rig.toml

`fuelwright audit RIG` holds the whole rig against rules; this shows the sums behind its train.";

/// Flags of `train`.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub struct TrainArgs {
    /// Rig file.
    #[arg(value_name = "RIG")]
    pub rig: PathBuf,
}

/// Walks the train of a rig.
///
/// # Errors
/// A rig file with mistakes, holes that are not known, or no state of the fuel in the tank.
pub fn run(args: &TrainArgs, context: &Context) -> Result<Report, CliError> {
    let loaded = rig::load(&args.rig, context)?;
    let solution = rig::solve(&loaded, context)?;
    let injector = match &solution.injector {
        Ok(plan) => plan,
        Err(why) => return Err(CliError::NoInjector { why: why.clone() }),
    };
    let holes = InjectorHoles {
        number: injector.holes,
        diameter: injector.diameter,
    };
    let needs = needs(&solution);
    let fire = solution.stoichiometry.as_ref().ok().map(|s| TrainFire {
        air_fuel_ratio: s.air_fuel_ratio.value,
        heating_value: s.lower_heating_value,
    });
    let planned = plan(&loaded.rig, solution.fluid.as_ref(), holes, &needs, fire)?;
    let title = format!("Train of {}", loaded.rig.name);
    let mut report = Report::new(Topic::Train, title);
    write::plan(&mut report, &context.library, &solution, &planned);
    for sentence in &solution.assumptions {
        report.assume(sentence.as_str());
    }
    context.model(&mut report, solution.fluid.as_ref());
    Ok(report)
}

/// What the duties want, with the discharge coefficient of the holes at each.
fn needs(solution: &Solution<'_>) -> Vec<TrainNeed> {
    let injector = solution.injector.as_ref().ok();
    let coefficient = |name: &str| {
        injector
            .and_then(|p| p.duties.iter().find(|d| d.name == name))
            .and_then(|d| d.injection.as_ref().ok())
            .map(|i| i.at_need.coefficient.value)
    };
    solution
        .duties
        .iter()
        .filter_map(|d| {
            let demand = d.demand.as_ref().ok()?;
            Some(TrainNeed {
                name: d.name.clone(),
                fuel: demand.fuel,
                air: d.air.map(|a| a * d.dry_share.value),
                chamber: d.chamber,
                discharge_coefficient: coefficient(&d.name)?,
            })
        })
        .collect()
}
