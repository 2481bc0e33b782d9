//! `relief`: area of a relief valve for a flow, or the flow that an area passes, by API 520.

use super::context::Context;
use super::error::{CliError, FlagProblem};
use super::feed::{at_rest, some_flow};
use super::flags::{positive, quantity};
use crate::flow::relief::{
    LETTERS, Letter, ReliefFactors, ReliefLaw, air_by_volume, next_letter, relief_flux,
};
use crate::quantity::range::{in_range, in_range_of};
use crate::quantity::show::{number, percent};
use crate::quantity::suggest::nearest;
use crate::quantity::{
    Area, MassRate, PressureLevel, Ratio, ThermodynamicTemperature, kilograms_per_second,
    pascals_absolute, pascals_gauge, square_metres,
};
use crate::report::{Report, Topic, relief as write};

const EXAMPLES: &str = "\
Examples:
  The area that a vaporiser's relief valve needs:
    fuelwright relief --fuel propane --set-pressure \"17.2 barg\" --quality 1 --flow \"0.2 kg/s\"
  What an orifice passes:
    fuelwright relief --fuel propane --set-pressure \"17.2 barg\" --temperature \"70 degC\" \\
      --letter D
  A hydrostatic relief valve on liquid:
    fuelwright relief --fuel kerosene --set-pressure \"10 barg\" --temperature \"20 degC\" \\
      --flow \"20 g/s\"";

/// Overpressure at which a relief valve passes what it is rated for.
const OVERPRESSURE: f64 = 0.1;
/// Factor of a rupture disk before the valve whose combination nobody has tested.
const DISK: f64 = 0.9;
/// Back pressure that builds up, over the set pressure by gauge, from which a conventional valve is not steady.
const MOST_BACK: f64 = 0.1;

/// Flags of `relief`.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
#[command(group = clap::ArgGroup::new("wanted").required(true).args(["flow", "area", "letter"]))]
#[command(group = clap::ArgGroup::new("state").required(true).args(["temperature", "quality"]))]
pub struct ReliefArgs {
    /// Fuel or blend.
    #[arg(long, value_name = "F")]
    pub fuel: String,
    /// Pressure that the valve is set to open at, gauge or absolute.
    #[arg(long, value_name = "P", value_parser = quantity::<PressureLevel>)]
    pub set_pressure: PressureLevel,
    /// Rise above the set pressure, as a share of its gauge reading; 10 % if left out.
    #[arg(long, value_name = "X", value_parser = quantity::<Ratio>)]
    pub overpressure: Option<Ratio>,
    /// Temperature before the valve as it blows.
    #[arg(long, value_name = "T", value_parser = quantity::<ThermodynamicTemperature>)]
    pub temperature: Option<ThermodynamicTemperature>,
    /// Share of vapour by mass of a saturated fuel, instead of the temperature: 0 liquid, 1 vapour.
    #[arg(long, value_name = "Q", value_parser = quantity::<Ratio>)]
    pub quality: Option<Ratio>,
    /// Pressure behind the valve as it blows; that of the air if left out.
    #[arg(long, value_name = "P", value_parser = quantity::<PressureLevel>)]
    pub back_pressure: Option<PressureLevel>,
    /// Flow that it must pass, to find the area.
    #[arg(long, value_name = "M", value_parser = quantity::<MassRate>)]
    pub flow: Option<MassRate>,
    /// Area of its orifice, to find the flow.
    #[arg(long, value_name = "A", value_parser = quantity::<Area>)]
    pub area: Option<Area>,
    /// Letter of its orifice by API 526, D to T, to find the flow.
    #[arg(long, value_name = "L", value_parser = letter)]
    pub letter: Option<Letter>,
    /// Discharge coefficient; 0.975 for gas, 0.65 for liquid, 0.85 for liquid that flashes if left out.
    #[arg(long, value_name = "C", value_parser = quantity::<Ratio>)]
    pub discharge_coefficient: Option<Ratio>,
    /// A rupture disk stands before it: a tenth off.
    #[arg(long)]
    pub rupture_disk: bool,
}

/// Reads an orifice letter.
fn letter(text: &str) -> Result<Letter, String> {
    let wanted = text.trim().to_uppercase();
    let found = LETTERS.iter().find(|l| l.letter == wanted);
    found.copied().ok_or_else(|| {
        let all = LETTERS.map(|l| l.letter);
        let meant = nearest(&wanted, all).map_or(String::new(), |l| format!("; did you mean {l}?"));
        format!(
            "there is no such orifice; there are {}{meant}",
            all.join(", ")
        )
    })
}

/// Sizes the valve, or finds what it passes.
///
/// # Errors
/// Set pressure not above the back pressure, unknown fuel, out of range.
pub fn run(args: &ReliefArgs, context: &Context) -> Result<Report, CliError> {
    let set = context.absolute("set-pressure", args.set_pressure)?;
    let air = pascals_gauge(0.0);
    let back_level = args.back_pressure.unwrap_or(air.into());
    let back = context.absolute("back-pressure", back_level)?;
    let set_gauge_pa = set.pascals() - context.ambient.pascals();
    if set <= back || set_gauge_pa <= 0.0 {
        return Err(CliError::Flag {
            flag: "set-pressure",
            problem: FlagProblem::Contradicts {
                given: context.pressure_text(args.set_pressure),
                relation: "is not above",
                other: "back-pressure",
                other_given: context.pressure_text(back_level),
            },
        });
    }
    some_flow(args.flow, context)?;
    if let Some(area) = args.area {
        let shown = format!("{} mm2", number(area.value * 1e6));
        positive("area", area.value, shown)?;
    }
    let over = args.overpressure.map_or(OVERPRESSURE, |x| x.value);
    let over = in_range("overpressure", over, 0.0..=1.0)?;
    let relieving = pascals_absolute(set.pascals() + over * set_gauge_pa);
    let fluid = context.fluid(&args.fuel)?;
    let up = at_rest(fluid.as_ref(), relieving, args.temperature, args.quality)?;
    let ideal = relief_flux(&up, back)?;
    let coefficient = args.discharge_coefficient;
    let factors = ReliefFactors {
        discharge: coefficient.map_or(ideal.law.first_coefficient(), |c| c.value),
        back_pressure: 1.0,
        combination: if args.rupture_disk { DISK } else { 1.0 },
    };
    if let Some(flow) = args.flow {
        in_range_of("flow", flow.value, 0.0..=1e6, "kg/s")?;
    }
    if let Some(area) = args.area {
        in_range_of("area", area.value, 0.0..=10.0, "m2")?;
    }
    let effective = factors.product()? * ideal.flux.value;
    let given = args.area.or(args.letter.map(|l| l.area()));
    let (flow, area) = match (args.flow, given) {
        (Some(flow), _) => (flow, square_metres(flow.value / effective)),
        (None, area) => {
            let area = area.unwrap_or_default();
            (kilograms_per_second(area.value * effective), area)
        }
    };
    let made = args
        .letter
        .or_else(|| next_letter(area).filter(|_| args.flow.is_some()));
    let title = format!(
        "relief valve for {}, set at {}",
        fluid.composition().label(),
        context.pressure_text(args.set_pressure)
    );
    let mut report = Report::new(Topic::Relief, title);
    let as_air = air_by_volume(area, relieving, back, &factors)?;
    let valve = write::Valve {
        up: up.state(),
        ideal: &ideal,
        factors: &factors,
        flow,
        area,
        made,
        letter_passes: made.map(|l| kilograms_per_second(l.area().value * effective)),
        as_air: (ideal.law == ReliefLaw::Gas).then_some(as_air),
        sized: args.flow.is_some(),
        back,
        air: context.ambient,
    };
    write::relief(&mut report, &valve);
    remarks(
        args,
        &mut report,
        &valve,
        (back.pascals() - context.ambient.pascals()) / set_gauge_pa,
    );
    if args.overpressure.is_none() {
        report.assume(format!(
            "it relieves {} above its set pressure by gauge; give --overpressure (fire: 21 %)",
            percent(OVERPRESSURE)
        ));
    }
    if args.back_pressure.is_none() {
        report.assume("the pressure behind it is that of the air; give --back-pressure");
    }
    if coefficient.is_none() {
        report.assume(format!(
            "discharge coefficient {}, for a first sizing of {} with the areas of the standard, and a small valve may pass a fifth less; give --discharge-coefficient",
            number(factors.discharge),
            ideal.law.name()
        ));
    }
    report.assume("a conventional valve: nothing is taken off for back pressure, nor for viscosities below 0.1 Pa s");
    Context::model(&mut report, fluid.as_ref());
    report.cite(&context.library, "api520");
    report.cite(&context.library, "api526");
    Ok(report)
}

fn remarks(args: &ReliefArgs, report: &mut Report, valve: &write::Valve<'_>, back_share: f64) {
    if valve.sized && valve.made.is_none() {
        report.remark("No single orifice is as large: take several valves, or a larger vent.");
    } else if valve.sized && valve.area < 0.5 * LETTERS[0].area() {
        report.remark("D is the smallest orifice of the standard. Valves of this trade are smaller: choose by the capacity that the maker certifies, at the same overpressure.");
    }
    if valve.ideal.law == ReliefLaw::Flashing {
        report.remark("The liquid flashes in the valve. This takes the least that it can pass, liquid and vapour in equilibrium: for an area that is on the large side, for a flow from a given area on the small one.");
    }
    if back_share > MOST_BACK {
        report.remark(format!(
            "The back pressure is {} of the set pressure by gauge: a conventional valve chatters or stays shut above {}. Widen its discharge line, or take a balanced valve and its maker's factor.",
            percent(back_share),
            percent(MOST_BACK)
        ));
    }
    if args.letter.is_some() && valve.ideal.law == ReliefLaw::Liquid && !valve.sized {
        report.remark("A valve for gas, blown with liquid, may need 25 % overpressure to open fully: ask for one certified for liquid.");
    }
}
