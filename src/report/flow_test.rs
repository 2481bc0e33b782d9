//! Flow test of the holes for people and machines: what it says, what it does to the duties, how one is made.

use super::Report;
use super::record::{Row, record, table, table_of};
use crate::audit::Solution;
use crate::eos::Backend;
use crate::injector::flow_test::{Bench, FlowTest, ReadingErrors, TestFlow, TestRead, TestedFlow};
use crate::injector::plan::{DutyInjection, InjectorPlan};
use crate::quantity::show::{Units, banded, percent, show_digits};
use crate::quantity::{
    AbsolutePressure, Kind, MassRate, ThermodynamicTemperature, Time, Volume, cubic_metres,
    pascals_absolute, ratio,
};
use crate::train::rig::HoleTest;

/// Time that a stopwatch in the hand tells to 2 %, s. Our choice.
const WANTED_S: f64 = 30.0;
/// Largest volume that a shop has at hand, m³. Our choice: a gas cylinder.
const LARGEST_M3: f64 = 0.05;
/// Pressure at the end of a fall over that at its start, gauge, where none is asked for. Our choice.
const FALLS_TO: f64 = 0.6;
/// Share of the way from no heat of the walls to all of it that a plan counts with. Our choice.
const MIDWAY: f64 = 0.143;

/// What a plan may take.
#[derive(Debug, Clone, Copy)]
pub struct Wanted {
    /// Highest pressure before the holes.
    pub supply: Option<AbsolutePressure>,
    /// Volume that empties itself.
    pub volume: Option<Volume>,
    /// Pressure in it at the start.
    pub from: Option<AbsolutePressure>,
    /// Pressure in it at the end.
    pub to: Option<AbsolutePressure>,
    /// Pressure behind the holes.
    pub downstream: AbsolutePressure,
    /// Temperature of the gas.
    pub temperature: ThermodynamicTemperature,
}

record! {
    /// A flow test, judged.
    TestOf(of: &HoleTest, says: &TestedFlow, air: AbsolutePressure)
    with {
        model = says.passes.coefficient;
        c = says.factor * model;
        ends = says.passes.band;
        model_end = |flow: MassRate| model * (flow / says.passes.flow).value;
        (low, high) = (c * (1.0 - says.relative_band), c * (1.0 + says.relative_band));
        (model_low, model_high) = (model_end(ends.0), model_end(ends.1));
    }
    {
        /// Key of the rig file.
        at: Text = &of.at;
        discharge_coefficient: Number = c, "Discharge coefficient", note "at the diameter in the file", band (low, high);
        /// Lowest that it may be, 95 %.
        discharge_coefficient_low: Number = low;
        /// Highest that it may be.
        discharge_coefficient_high: Number = high;
        model_coefficient: Number = model, "By the model of the hole", band (model_low, model_high);
        factor: Ratio = says.factor, "Measured over model" => Text = percent(says.factor);
        (date): Text = of.date.to_string(), "Date";
        /// What was let through.
        gas: Text = &of.gas, "Gas";
        pressure_pa: AbsolutePressure = says.pressure, "Pressure before the holes"
            => GaugePressure = says.pressure.gauge(air), note says.exponent.map(|_| "halfway of the fall");
        mass_flow_kg_s: MassRate = says.flow, "Flow", note says.exponent.map(|_| "mean of the fall");
        choked: Flag = says.passes.choked, "Choked";
        reynolds: Number = says.passes.reynolds, "Reynolds number";
        exponent: Number = says.exponent, "Exponent of the fall", note "1 as warm as before, 1.4 without heat of the walls";
        /// How far each reading can move the result, relative.
        errors: Shares = says.errors.iter().map(|(name, e)| ((*name).to_owned(), *e)).collect::<Vec<_>>(),
            "Moved most by" => Text = worst(says);
    }

    /// Flow tests, judged.
    Judged(tests: Vec<Row>, factor: Option<f64>, band: Option<f64>, duties: Vec<Row>) {
        /// Tests of the holes that the injector has.
        flow_tests: Rows(TestOf) = tests;
        /// Measured over model, of all tests together; null: there is none of these holes.
        factor: Number = factor;
        /// Half-width of its 95 % band, relative.
        factor_band: Number = band;
        /// Duties by the model and by the tests.
        tested_duties: Rows(BandsOf) = duties;
    }

    /// A duty by the model and by the test, with hole, coefficient and supply at their ends.
    BandsOf(name: &str, before: &DutyInjection, after: &DutyInjection, units: Units)
    with {
        flow = |i: &DutyInjection| {
            let show = |m: MassRate| show_digits(Kind::MassRate, m.value, units, 3);
            format!("{} to {}", show(i.flow_low), show(i.flow_high))
        };
        mixture = |i: &DutyInjection| {
            let (low, high) = (i.equivalence_ratio_low.value, i.equivalence_ratio_high.value);
            let [_, low, high] = banded(0.5 * (low + high), low, high);
            format!("{low} to {high}")
        };
    }
    {
        name: Text = name, "duty";
        (fuel_before): Text = flow(before), "fuel, by model";
        (fuel_after): Text = flow(after), "by test";
        (mixture_before): Text = mixture(before), "equivalence ratio, by model";
        (mixture_after): Text = mixture(after), "ratio by test";
        /// Least fuel flow before.
        fuel_flow_low_before_kg_s: MassRate = before.flow_low;
        /// Most fuel flow before.
        fuel_flow_high_before_kg_s: MassRate = before.flow_high;
        /// Least fuel flow after.
        fuel_flow_low_kg_s: MassRate = after.flow_low;
        /// Most fuel flow after.
        fuel_flow_high_kg_s: MassRate = after.flow_high;
        /// Equivalence ratio at the least fuel, before.
        equivalence_ratio_low_before: Number = before.equivalence_ratio_low;
        /// Equivalence ratio at the most fuel, before.
        equivalence_ratio_high_before: Number = before.equivalence_ratio_high;
        /// Equivalence ratio at the least fuel, after.
        equivalence_ratio_low: Number = after.equivalence_ratio_low;
        /// Equivalence ratio at the most fuel, after.
        equivalence_ratio_high: Number = after.equivalence_ratio_high;
        /// Discharge coefficient at the duty.
        discharge_coefficient: Number = after.at_need.coefficient.value;
        /// Whether the holes are choked.
        choked: Flag = after.at_need.choked;
        /// Reynolds number at the duty.
        reynolds: Number = after.at_need.reynolds;
    }

    /// A steady flow that is to be read.
    Steady(like: &str, p: AbsolutePressure, passes: &crate::injector::flow_test::Passes, of_duty: Option<f64>, free: f64, air: AbsolutePressure)
    with { free_of = |m: MassRate| m.value / free; }
    {
        like: Text = like, "like duty";
        pressure_pa: AbsolutePressure = p, "before the holes" => GaugePressure = p.gauge(air);
        mass_flow_kg_s: MassRate = passes.flow, "flow";
        /// Free gas at 15 °C and one standard atmosphere.
        free_flow_m3_s: VolumeRate = free_of(passes.flow), "free gas";
        free_flow_low_m3_s: VolumeRate = free_of(passes.band.0), "least";
        free_flow_high_m3_s: VolumeRate = free_of(passes.band.1), "most";
        choked: Flag = passes.choked, "choked";
        reynolds: Number = passes.reynolds, "Reynolds" 2;
        /// Reynolds number of the duty.
        reynolds_of_duty: Number = of_duty, "of the duty" 2;
    }

    /// A volume that empties itself.
    Fall(volume: Volume, from: AbsolutePressure, to: AbsolutePressure, time: (f64, f64, f64), band: f64, air: AbsolutePressure) {
        volume_m3: Volume = volume, "Volume", note "with all that is open to it";
        from_pa: AbsolutePressure = from, "From" => GaugePressure = from.gauge(air);
        to_pa: AbsolutePressure = to, "To" => GaugePressure = to.gauge(air);
        time_s: Time = time.0, "Time", band (time.1, time.2);
        /// Shortest time by the band of the model.
        time_low_s: Time = time.1;
        /// Longest time.
        time_high_s: Time = time.2;
        /// Half-width of the band that it leaves the coefficient, relative, with readings as they usually are.
        fall_band: Number = band, "It would tell the holes to" => Text = format!("± {}", percent(ratio2(band)));
    }

    /// Plan of a flow test.
    Planned(steady: Vec<Row>, band: Option<f64>, fall: Option<Row>) {
        /// Steady flows to read.
        steady: Rows(Steady) = steady;
        /// Half-width of the band that a steady flow leaves the coefficient, relative, with readings as they usually are.
        steady_band: Number = band;
        /// A fall of pressure to read.
        fall: Row(Fall) = fall;
        /// How it is made.
        test_steps: Texts = STEPS.to_vec();
    }

    /// A step.
    Step(number: usize, what: &str) {
        (step): Count = number, "step";
        (what): Text = what, "what";
    }
}

/// How a test is made, in order.
const STEPS: [&str; 7] = [
    "Test the finished holes with ring or bar as they are fed in work, burner cold, fuel shut off and vented, outdoors or in a room that is open.",
    "Put a gauge at the inlet of the ring, behind every valve; a thermometer on the pipe beside it.",
    "Steady flow: set the pressure, wait until flow and gauge stand, write down pressure, flow, temperature.",
    "Fall: fill the volume, shut its supply, wait until it is as warm as the room, write down `from`; open at once and wide, shut at `to`, stop the watch.",
    "Wait until the gauge stands again and write down `settled`: it tells how cold the fall made the gas.",
    "Do it three times, and at two pressures: one reading that differs is a reading to look at.",
    "Write each into the rig file as a table of its own under `flow_test`, or let `--write` do it.",
];

/// What two figures of a percentage are.
fn ratio2(x: f64) -> f64 {
    ratio((1000.0 * x).round() / 1000.0).value
}

/// The reading that moves the result most.
fn worst(says: &TestedFlow) -> String {
    let worst = says.errors.iter().max_by(|a, b| a.1.total_cmp(&b.1));
    worst.map_or(String::new(), |(name, e)| {
        format!("{name}: {} for what it may be off", percent(ratio2(*e)))
    })
}

fn injections(plan: &InjectorPlan) -> impl Iterator<Item = (&str, &DutyInjection)> {
    let duties = plan.duties.iter();
    duties.filter_map(|d| Some((d.name.as_str(), d.injection.as_ref().ok()?)))
}

/// Adds what the tests of a rig say, and its duties by the model and by them.
pub fn judged(report: &mut Report, tested: &Solution<'_>, before: &Solution<'_>) {
    let rig = tested.rig;
    let air = rig.site.air_pressure;
    let said = rig.flow_tests.iter();
    let said: Vec<(&HoleTest, &TestedFlow)> =
        said.filter_map(|t| Some((t, t.says.as_ref()?))).collect();
    let rows = said.iter().map(|(of, says)| TestOf::row(of, says, air));
    let rows: Vec<Row> = rows.collect();
    let mut duties = Vec::new();
    if let (Ok(after), Ok(before), false) = (&tested.injector, &before.injector, rows.is_empty()) {
        for (name, after) in injections(after) {
            let by_model = injections(before).find(|(n, _)| *n == name);
            duties.extend(by_model.map(|(_, b)| BandsOf::row(name, b, after, tested.units)));
        }
        unlike(report, &said, after);
    }
    if rows.len() == 1 {
        report.facts("Flow test", rows[0].facts());
    } else {
        let columns = [
            "at",
            "pressure_pa",
            "mass_flow_kg_s",
            "discharge_coefficient",
            "discharge_coefficient_low",
            "discharge_coefficient_high",
            "factor",
        ];
        report.table("Flow tests", table_of(&rows, &columns));
    }
    report.table("Duties by model and by test", table(&duties));
    let together = rig.injector.tested;
    let row = Judged::row(
        rows,
        together.map(|t| t.factor),
        together.map(|t| t.relative_band),
        duties,
    );
    report.keys(&row);
    for (test, says) in &said {
        let (low, high) = says.passes.band;
        let flow = says.passes.flow * says.factor;
        let holes = test.test.bench.holes;
        if flow < low {
            report.remark(format!(
                "The holes pass less than the band of their model: look for a blocked or burred hole, or one drilled small; one blocked hole of {holes} is {}.",
                percent(ratio2(1.0 / f64::from(holes)))
            ));
        } else if flow > high {
            report.remark("The holes pass more than the band of their model: look for a hole drilled large, a leak between gauge and holes, or a volume larger than it was taken for.");
        }
    }
    if rows_differ(&said) {
        report.remark("The tests differ by more than their bands allow: the band was widened; find the reading that is wrong.");
    }
}

/// Whether tests contradict one another.
fn rows_differ(said: &[(&HoleTest, &TestedFlow)]) -> bool {
    let ends = |t: &TestedFlow| {
        (
            t.factor * (1.0 - t.relative_band),
            t.factor * (1.0 + t.relative_band),
        )
    };
    let apart = |a: &TestedFlow, b: &TestedFlow| ends(a).1 < ends(b).0 || ends(b).1 < ends(a).0;
    said.iter()
        .any(|(_, a)| said.iter().any(|(_, b)| apart(a, b)))
}

/// Says where a duty is choked and no test was, or the other way round.
fn unlike(report: &mut Report, said: &[(&HoleTest, &TestedFlow)], plan: &InjectorPlan) {
    let other = injections(plan).filter(|(_, i)| {
        said.iter()
            .all(|(_, t)| t.passes.choked != i.at_need.choked)
    });
    let names: Vec<String> = other.map(|(name, _)| format!("`{name}`")).collect();
    if names.is_empty() {
        return;
    }
    let (is, not) = if said.iter().any(|(_, t)| t.passes.choked) {
        ("choked", "not")
    } else {
        ("not choked", "so")
    };
    report.remark(format!(
        "The holes were {is} in every test and are {not} at {}: the model carries the coefficient over, and half of what it moves it by counts in the band.",
        names.join(", ")
    ));
}

/// Adds the plan of a test.
///
/// # Errors
/// Why there is none.
pub fn plan(
    report: &mut Report,
    solution: &Solution<'_>,
    gas: &dyn Backend,
    wanted: &Wanted,
) -> Result<(), String> {
    let plan = solution.injector.as_ref().map_err(Clone::clone)?;
    let rig = solution.rig;
    let air = rig.site.air_pressure;
    let bench = Bench {
        temperature: wanted.temperature,
        downstream: wanted.downstream,
        holes: plan.holes,
        diameter: plan.diameter,
        make: solution.hole_bands().make(&rig.injector),
    };
    let free = bench.free_density(gas).map_err(|e| e.to_string())?;
    let (mut rows, mut highest): (Vec<Row>, Option<AbsolutePressure>) = (Vec::new(), None);
    let mut band = None;
    for (name, injection) in injections(plan) {
        let need_pa = injection.at_need.supply.pressure_pa;
        let p = pascals_absolute(
            wanted
                .supply
                .map_or(need_pa, |most| most.pascals().min(need_pa)),
        );
        let Ok(passes) = bench.passes(gas, p, wanted.temperature) else {
            continue;
        };
        let of_duty = injection.at_need.reynolds;
        rows.push(Steady::row(name, p, &passes, of_duty, free, air));
        if highest.is_none_or(|h| p > h) {
            highest = Some(p);
            let read = TestRead::Steady {
                upstream: p,
                flow: TestFlow::Mass(passes.flow),
            };
            band = expected(gas, bench, read);
        }
    }
    let highest = highest.ok_or("no duty has a pressure at which the holes pass gas")?;
    report.table("Steady flow to read", table(&rows));
    if let Some(band) = band {
        report.paragraph(
            "Steady flow to read",
            format!(
                "Read with a dial gauge of class 1.6 and a flowmeter good to 3 %, the highest tells the holes to ± {}.",
                percent(ratio2(band))
            ),
        );
    }
    let fall = fall(gas, &bench, wanted, highest, air).map_err(|e| e.to_string())?;
    report.facts("Or a fall of pressure", fall.facts());
    if wanted.volume.is_none() && fall.number("volume_m3").is_some_and(|v| v > LARGEST_M3) {
        report.remark("No cylinder in a shop holds a volume that empties itself through these holes in half a minute: read a steady flow, or blank off all but a few of them and enter their number.");
    }
    let steps = STEPS.iter().enumerate();
    let steps: Vec<Row> = steps.map(|(i, step)| Step::row(i + 1, step)).collect();
    report.table("How it is made", table(&steps));
    report.keys(&Planned::row(rows, band, Some(fall)));
    report.assume("Free gas is counted at 15 degC and one standard atmosphere.");
    report.assume("A fall is planned halfway between walls that keep the gas as warm as it was and walls that give it no heat; its time hangs on that by some 15 %.");
    Ok(())
}

/// Half-width of the band that readings as they usually are would leave, relative.
fn expected(gas: &dyn Backend, bench: Bench, read: TestRead) -> Option<f64> {
    let test = FlowTest {
        bench,
        read,
        errors: ReadingErrors::default(),
    };
    Some(test.judged(gas).ok()?.relative_band)
}

fn fall(
    gas: &dyn Backend,
    bench: &Bench,
    wanted: &Wanted,
    highest: AbsolutePressure,
    air: AbsolutePressure,
) -> Result<Row, crate::injector::flow_test::FlowTestError> {
    let over = |share: f64, p: AbsolutePressure| {
        let down = wanted.downstream.pascals();
        pascals_absolute(down + share * (p.pascals() - down))
    };
    let from = wanted.from.unwrap_or(over(1.0 / FALLS_TO, highest));
    let to = wanted.to.unwrap_or(over(FALLS_TO, from));
    let litre = cubic_metres(1e-3);
    let time = |volume| bench.fall(gas, volume, (from, to), MIDWAY);
    let volume = match wanted.volume {
        Some(volume) => volume,
        None => cubic_metres(one_digit(litre.value * WANTED_S / time(litre)?.0.value)),
    };
    let seconds: Time = time(volume)?.0;
    let passes = bench.passes(gas, from, wanted.temperature)?;
    let end = |flow: MassRate| seconds.value / (flow / passes.flow).value;
    let settled = pascals_absolute(to.pascals() * (from.pascals() / to.pascals()).powf(MIDWAY));
    let read = TestRead::Fall {
        volume,
        from,
        to,
        settled: Some(settled),
        time: seconds,
    };
    let band = expected(gas, *bench, read).unwrap_or(f64::NAN);
    let time = (seconds.value, end(passes.band.1), end(passes.band.0));
    Ok(Fall::row(volume, from, to, time, band, air))
}

/// A number to one digit.
fn one_digit(x: f64) -> f64 {
    let place = 10_f64.powf(x.log10().floor());
    (x / place).round() * place
}
