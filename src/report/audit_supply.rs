//! Tank and train of an audited rig, in short: what `tank` and `train` show at length.

use super::record::{Row, record, table_of};
use super::{Fact, Report};
use crate::audit::Solution;
use crate::audit::solution::{RunOutcome, TankDuty, TankSolution};
use crate::fuel::Library;
use crate::quantity::show::percent;
use crate::quantity::{AbsolutePressure, Kind};
use crate::tank::record::Row as Moment;
use crate::train::plan::INJECTOR;
use crate::train::{PartFlow, ShutOff, TrainDuty, TrainPlan};

record! {
    /// A duty fed through the train.
    FedThrough(duty: &TrainDuty, air: AbsolutePressure)
    with {
        solution = duty.solution.as_ref().ok();
        holes = solution.and_then(|s| s.outlet(INJECTOR));
        parts = solution.map_or(&[][..], |s| &s.parts).iter();
        speeds = parts.clone().flat_map(|p: &PartFlow| [p.inlet.velocity.value, p.outlet.velocity.value]);
    }
    {
        name: Text = &duty.name, "duty";
        /// Flow wanted at the injector.
        wanted_kg_s: MassRate = duty.wanted;
        /// Flow drawn, of all outlets.
        mass_flow_kg_s: MassRate = solution.map(|s| s.flow);
        injector_flow_kg_s: MassRate = holes.map(|o| o.flow), "flow at holes";
        /// Pressure before the holes.
        injector_pressure_pa: AbsolutePressure = holes.map(|o| o.inlet.pressure), "before holes"
            => GaugePressure = holes.map(|o| o.inlet.pressure.gauge(air));
        /// Temperature before the holes.
        injector_temperature_k: Temperature = holes.map(|o| o.inlet.temperature), "before holes";
        /// Opening of the throttle.
        throttle_opening: Ratio = duty.setting.as_ref().map(|s| s.opening), "throttle";
        /// Coldest fuel anywhere.
        coldest_k: Temperature = parts.map(|p| p.outlet.temperature.value).reduce(f64::min), "coldest";
        /// Fastest flow in any line.
        fastest_m_s: Velocity = speeds.reduce(f64::max), "fastest" 2;
        /// Why it is not fed.
        error: Text = duty.solution.as_ref().err().map(ToString::to_string);
    }

    /// What is left behind a valve that has closed.
    LeftBehind(s: &ShutOff) {
        /// The valve.
        valve: Text = &s.valve;
        /// Fuel between it and the outlets.
        fuel_kg: Mass = s.fuel;
        /// Heat of that fuel.
        energy_j: Energy = s.energy;
        /// From closed until the flame goes out; null where liquid keeps dripping.
        flame_life_s: Time = s.flame_life;
    }

    /// The train, solved.
    Solved(plan: &TrainPlan, duties: Vec<Row>)
    with {
        study = plan.study.as_ref().and_then(|s| s.as_ref().ok());
        throttle = plan.throttle.as_deref();
        authority = study.and_then(|s| s.authority);
        known = authority.map_or_else(|| "not known".to_owned(), percent);
        shut_offs = plan.shut_offs.iter().flatten().map(LeftBehind::row);
    }
    {
        /// Valve that sets the flow of the injector.
        throttle: Text = throttle, "Throttle"
            => Text = throttle.zip(study).map(|(name, _)| format!("{name}, authority {known}")),
            note "drop over the open valve over the drop from the last regulator to the chamber";
        /// Drop over the open throttle over the drop from the last regulator to the chamber.
        authority: Ratio = authority;
        duties: Rows(FedThrough) = duties;
        shut_offs: Rows(LeftBehind) = shut_offs.collect::<Vec<_>>();
    }

    /// The train; where it is not solved, `error` alone.
    TrainOf(solved: Option<Row>, why: Option<&str>) {
        ..solved: Row(Solved) = solved;
        /// Why it is not solved.
        [error]: Text = why;
    }

    /// The train of a rig in short.
    TrainInShort(solved: Option<Row>, why: Option<&str>) {
        train: Row(TrainOf) = TrainOf::row(solved, why);
    }

    /// A duty that the tank feeds; figures of one cylinder.
    DutyOfTank(d: &TankDuty, air: AbsolutePressure)
    with { lowest = d.lowest.as_ref().ok(); }
    {
        name: Text = &d.name, "duty";
        draw_kg_s: MassRate = d.draw, "draw of one";
        /// Lowest tank pressure that still feeds it.
        lowest_pressure_pa: AbsolutePressure = lowest.map(|l| l.pressure), "least pressure"
            => GaugePressure = lowest.map(|l| l.pressure.gauge(air));
        /// Part or outlet that gives out first.
        limited_by: Text = lowest.map(|l| &l.limited_by), "for" => Text = lowest.map_or("", |l| l.limited_by.as_str());
        /// Coldest full tank that has that pressure.
        coldest_tank_k: Temperature = d.coldest.as_ref().ok().copied(), "coldest tank";
        /// The same of a nearly empty tank.
        coldest_tank_nearly_empty_k: Temperature = d.coldest_nearly_empty.as_ref().ok().copied(), "nearly empty";
        /// Sustainable draw at that pressure.
        sustainable_draw_kg_s: MassRate = d.sustainable.as_ref().ok().map(|s| s.draw), "sustainable";
        /// Why nothing feeds it.
        error: Text = d.lowest.as_ref().err();
    }

    /// A moment of the run.
    MomentOf(r: &Moment) {
        /// Since the start.
        time_s: Time = r.time;
        /// Temperature of fuel and wall.
        temperature_k: Temperature = r.contents.temperature;
        /// Pressure in the cylinder.
        pressure_pa: AbsolutePressure = r.contents.pressure;
        /// Fuel in the cylinder.
        total_mass_kg: Mass = r.contents.mass();
    }

    /// The run, done.
    Ran(o: &RunOutcome)
    with {
        last = &o.run.last().contents;
        failure = o.run.first_failure();
    }
    {
        /// Whether every step was fed to its end.
        fed: Flag = o.is_fed();
        /// When it ended.
        end_s: Time = o.run.end;
        /// Temperature at the end.
        end_temperature_k: Temperature = last.temperature;
        /// Pressure at the end.
        end_pressure_pa: AbsolutePressure = last.pressure;
        /// Fuel left at the end.
        end_mass_kg: Mass = last.mass();
        /// Coldest contents on the way.
        coldest_k: Temperature = o.coldest.temperature;
        /// Wall then.
        coldest_wall_k: Temperature = o.wall.as_ref().map(|w| w.wall);
        /// When a step is first not fed.
        fails_after_s: Time = failure.map(|e| e.time);
        /// By what.
        fails_by: Text = failure.map(|e| e.what.text());
        /// Number of such cylinders that feeds it; null where it is fed as it is or none does.
        cylinders_needed: Count = o.cylinders.as_ref().ok().copied().flatten();
        series: Rows(MomentOf) = o.run.rows.iter().map(MomentOf::row).collect::<Vec<_>>();
    }

    /// The run; where it was not run, `error` alone.
    RunOf(run: &Result<RunOutcome, String>) {
        ..ran: Row(Ran) = run.as_ref().ok().map(Ran::row);
        /// Why it was not run.
        [error]: Text = run.as_ref().err();
    }

    /// A tank at the start and on the hottest day; masses of one cylinder.
    TankAtStart(tank: &TankSolution)
    with {
        start = tank.start.as_ref().ok();
        hot = tank.hottest.as_ref().ok();
        filling = &tank.filling;
    }
    {
        /// Cylinders alike, drawn together.
        number: Count = tank.number;
        /// Pressure at the start.
        start_pressure_pa: AbsolutePressure = start.map(|c| c.pressure);
        /// Temperature at the start.
        start_temperature_k: Temperature = tank.cylinder.charge.temperature;
        /// Fuel at the start.
        start_mass_kg: Mass = filling.mass;
        /// Share of the volume that is liquid at the start.
        liquid_volume_fraction: Ratio = start.map(|c| c.liquid_volume);
        /// Most fuel with the usual share of liquid at the reference temperature.
        filling_limit_by_volume_kg: Mass = filling.limit_by_volume.as_ref().ok().copied();
        /// Most fuel by the table of filling densities.
        filling_limit_by_weight_kg: Mass = filling.limit_by_weight.as_ref().ok().copied();
        /// Temperature at which the charge fills the cylinder; null: it never does.
        liquid_full_temperature_k: Temperature = filling.liquid_full;
        /// Pressure on the hottest day.
        hottest_pressure_pa: AbsolutePressure = hot.map(|h| h.pressure);
        /// Set pressure of the relief less that.
        hottest_to_relief_pa: PressureDifference = hot.and_then(|h| h.to_relief);
        /// Rated pressure less that.
        hottest_to_rating_pa: PressureDifference = hot.and_then(|h| h.to_rating);
    }

    /// The tank, solved.
    SolvedTank(tank: &TankSolution, duties: Vec<Row>) {
        ..start: Row(TankAtStart) = TankAtStart::row(tank);
        duties: Rows(DutyOfTank) = duties;
        run: Row(RunOf) = RunOf::row(&tank.run);
    }

    /// The tank; where it is not solved, `error` alone.
    TankOf(solved: Option<Row>, why: Option<&str>) {
        ..solved: Row(SolvedTank) = solved;
        /// Why it is not solved.
        [error]: Text = why;
    }

    /// The tank of a rig in short.
    TankInShort(solved: Option<Row>, why: Option<&str>) {
        tank: Row(TankOf) = TankOf::row(solved, why);
    }
}

/// Adds the train.
pub fn train(report: &mut Report, library: &Library, solution: &Solution<'_>) {
    let plan = match solution.train() {
        Ok(plan) => plan,
        Err(why) => {
            report.remark(format!("The train is not solved: {why}."));
            report.keys(&TrainInShort::row(None, Some(why)));
            return;
        }
    };
    let air = solution.rig.site.air_pressure;
    let duties: Vec<Row> = plan
        .duties
        .iter()
        .map(|d| FedThrough::row(d, air))
        .collect();
    let columns = [
        "name",
        "injector_flow_kg_s",
        "throttle_opening",
        "injector_pressure_pa",
        "injector_temperature_k",
        "coldest_k",
        "fastest_m_s",
    ];
    report.table("Train", table_of(&duties, &columns));
    let row = Solved::row(plan, duties);
    let mut facts = row.facts();
    facts.extend(
        plan.shut_offs
            .iter()
            .flatten()
            .map(|s| left_behind(solution, s)),
    );
    report.facts("Train", facts);
    for sentence in &plan.assumptions {
        report.assume(sentence.as_str());
    }
    for key in ["iec60534-2-1", "colebrook1939", "shapiro1953"] {
        report.cite(library, key);
    }
    report.keys(&TrainInShort::row(Some(row), None));
}

fn left_behind(solution: &Solution<'_>, s: &ShutOff) -> Fact {
    let life = s.flame_life.map_or_else(
        || "drips for as long as liquid hangs in the line".to_owned(),
        |t| format!("feeds the flame for {}", solution.show(Kind::Time, t.value)),
    );
    let left = if s.fuel.value > 0.0 {
        let out = s.runs_out().value;
        format!(
            "{} of the {} behind it, {}, {life}",
            solution.show(Kind::Mass, out),
            solution.show(Kind::Mass, s.fuel.value),
            solution.show(Kind::Energy, s.energy.value * out / s.fuel.value),
        )
    } else {
        "what is left behind it is not known: no part there gives a volume".to_owned()
    };
    Fact::text(format!("After {} has closed", s.valve), left)
}

// ---- tank ----

/// What is assumed of the run where the rig has no plan for it.
pub(super) const NO_PLAN: &str = "the tank is drawn through the duties once, in the order of the file: the file has no run plan (`[[steps]]`)";

/// What is assumed of the cylinders.
pub(super) fn cylinders(report: &mut Report, tank: &TankSolution) {
    for sentence in &tank.cylinder.assumptions {
        report.assume(sentence.as_str());
    }
    if tank.number > 1 {
        report.assume(format!(
            "the {} cylinders share the draw alike",
            tank.number
        ));
    }
}

/// Adds the tank; nothing where the fuel comes from a main.
pub fn tank(report: &mut Report, library: &Library, solution: &Solution<'_>) {
    if solution.rig.supply.tank().is_none() {
        return;
    }
    let tank = match solution.tank() {
        Ok(tank) => tank,
        Err(why) => {
            report.remark(format!("The tank is not solved: {why}."));
            report.keys(&TankInShort::row(None, Some(why)));
            return;
        }
    };
    report.facts("Tank", tank_facts(solution, tank));
    let air = solution.rig.site.air_pressure;
    let duties: Vec<Row> = tank
        .duties
        .iter()
        .map(|d| DutyOfTank::row(d, air))
        .collect();
    let blend = solution.fluid.composition().parts().len() > 1;
    let mut columns = vec![
        "name",
        "draw_kg_s",
        "lowest_pressure_pa",
        "limited_by",
        "coldest_tank_k",
        "coldest_tank_nearly_empty_k",
        "sustainable_draw_kg_s",
    ];
    columns.retain(|c| blend || *c != "coldest_tank_nearly_empty_k");
    report.table("Tank", table_of(&duties, &columns));
    for duty in &tank.duties {
        if let Err(why) = &duty.lowest {
            report.remark(format!(
                "No tank temperature is given for the duty {}: {why}.",
                duty.name
            ));
        }
    }
    match &tank.run {
        Err(why) => report.remark(format!("The tank is not run: {why}.")),
        Ok(outcome) => {
            if !outcome.from_plan {
                report.assume(NO_PLAN);
            }
            report.assume("the tank stays at one temperature, wall and contents; a real one is coldest at the surface of its liquid and sags a little faster");
        }
    }
    cylinders(report, tank);
    for key in ["churchill1975a", "churchill1975b", "wac296307"] {
        report.cite(library, key);
    }
    report.keys(&TankInShort::row(Some(SolvedTank::row(tank, duties)), None));
}

fn tank_facts(s: &Solution<'_>, tank: &TankSolution) -> Vec<Fact> {
    let mut facts = Vec::new();
    match &tank.start {
        Ok(c) => {
            facts.push(Fact::text(
                "At the start",
                format!(
                    "{} at {}, {} of the volume liquid",
                    s.gauge(c.pressure),
                    s.show(Kind::Temperature, c.temperature.value),
                    s.show(Kind::Ratio, c.liquid_volume.value),
                ),
            ));
        }
        Err(why) => facts.push(Fact::text("At the start", why.clone())),
    }
    match &tank.hottest {
        Ok(hot) => {
            let full = hot.liquid_full.map_or_else(
                || "never liquid-full".to_owned(),
                |t| format!("liquid-full at {}", s.show(Kind::Temperature, t.value)),
            );
            let opens = if hot.relief_opens() {
                ", the relief valve opens"
            } else {
                ""
            };
            facts.push(Fact::text(
                "On the hottest day",
                format!(
                    "{}{}{opens}; {full}",
                    s.gauge(hot.pressure),
                    match s.rig.hottest_tank() {
                        Some(t) if t != s.rig.site.hottest.unwrap_or(t) => {
                            format!(" at {} in the sun", s.show(Kind::Temperature, t.value))
                        }
                        _ => String::new(),
                    }
                ),
            ));
        }
        Err(why) => facts.push(Fact::text(
            "On the hottest day",
            format!("not known: {why}"),
        )),
    }
    if let Ok(outcome) = &tank.run {
        facts.push(Fact::text("The run", told(s, outcome)));
    }
    facts
}

fn told(s: &Solution<'_>, outcome: &RunOutcome) -> String {
    let run = &outcome.run;
    let last = &run.last().contents;
    let state = |c: &crate::tank::vessel::Contents| {
        format!(
            "{} at {}",
            s.gauge(c.pressure),
            s.show(Kind::Temperature, c.temperature.value)
        )
    };
    match run.first_failure() {
        Some(event) => {
            let step = outcome
                .schedule
                .steps
                .get(event.step)
                .map_or("", |s| s.name.as_str());
            format!(
                "fails after {}, in {step}: {} ({})",
                s.show(Kind::Time, event.time.value),
                event.what.text(),
                state(&event.contents)
            )
        }
        None => format!(
            "{} fed; it ends with {} and {} of fuel left, and was coldest at {}",
            s.show(Kind::Time, run.end.value),
            state(last),
            s.show(Kind::Mass, last.mass().value),
            s.show(Kind::Temperature, outcome.coldest.temperature.value),
        ),
    }
}
