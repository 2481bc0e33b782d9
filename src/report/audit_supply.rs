//! Tank and train of an audited rig, in short: what `tank` and `train` show at length.

use super::record::record;
use super::{Column, Fact, Report, Table, Value, json};
use crate::audit::Solution;
use crate::audit::solution::{RunOutcome, TankDuty, TankSolution};
use crate::fuel::Library;
use crate::quantity::sentence::{Told, sentence};
use crate::quantity::{AbsolutePressure, Kind, ThermodynamicTemperature};
use crate::train::plan::INJECTOR;
use crate::train::{OutletFlow, TrainDuty, TrainPlan};
use serde_json::{Value as Json, json};

record! {
    /// A duty that the tank feeds; figures of one cylinder.
    DutyOfTank(d: &TankDuty, air: AbsolutePressure)
    with { lowest = d.lowest.as_ref().ok(); }
    {
        name: Text = &d.name, "duty";
        draw_kg_s: MassRate = d.draw, "draw of one" 3;
        /// Lowest tank pressure that still feeds it.
        lowest_pressure_pa: AbsolutePressure = lowest.map(|l| l.pressure), "least pressure" 3
            => GaugePressure = lowest.map(|l| l.pressure.gauge(air));
        /// Part or outlet that gives out first.
        limited_by: Text = lowest.map(|l| &l.limited_by), "for" => Text = lowest.map_or("", |l| l.limited_by.as_str());
        /// Coldest full tank that has that pressure.
        coldest_tank_k: Temperature = d.coldest.as_ref().ok().copied(), "coldest tank" 3;
        /// The same of a nearly empty tank.
        coldest_tank_nearly_empty_k: Temperature = d.coldest_nearly_empty.as_ref().ok().copied(), "nearly empty" 3;
        /// Draw that can be kept up for ever at that pressure.
        sustainable_draw_kg_s: MassRate = d.sustainable.as_ref().ok().map(|s| s.draw), "kept up for ever" 3;
        /// Why nothing feeds it.
        error: Text = d.lowest.as_ref().err();
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
}

/// Adds the train.
pub fn train(report: &mut Report, library: &Library, solution: &Solution<'_>) {
    let plan = match solution.train() {
        Ok(plan) => plan,
        Err(why) => {
            report.remark(format!("The train is not solved: {why}."));
            report.key("train", json!({ "error": why }));
            return;
        }
    };
    report.table("Train", train_table(solution, plan));
    for duty in &plan.duties {
        if let Err(error) = &duty.solution {
            report.remark(sentence!(
                "The train does not feed the duty {}: {}.",
                &duty.name,
                error.told()
            ));
        }
    }
    report.facts("Train", train_facts(solution, plan));
    for sentence in &plan.assumptions {
        report.assume(sentence.as_str());
    }
    for key in ["iec60534-2-1", "colebrook1939", "shapiro1953"] {
        report.cite(library, key);
    }
    report.key("train", train_json(plan));
}

fn injector(duty: &TrainDuty) -> Option<&OutletFlow> {
    duty.solution.as_ref().ok()?.outlet(INJECTOR)
}

/// Fastest flow in any line, m/s.
fn fastest(duty: &TrainDuty) -> Option<f64> {
    let parts = &duty.solution.as_ref().ok()?.parts;
    parts
        .iter()
        .flat_map(|p| [p.inlet.velocity.value, p.outlet.velocity.value])
        .reduce(f64::max)
}

/// Coldest fuel anywhere, K.
fn coldest(duty: &TrainDuty) -> Option<f64> {
    let parts = &duty.solution.as_ref().ok()?.parts;
    parts
        .iter()
        .map(|p| p.outlet.temperature.value)
        .reduce(f64::min)
}

fn train_table(solution: &Solution<'_>, plan: &TrainPlan) -> Table {
    let ambient_pa = solution.rig.site.air_pressure.pascals();
    let mut table = Table::new(vec![
        Column::new("duty"),
        Column::of("flow at holes", Kind::MassRate),
        Column::of("throttle", Kind::Ratio).digits(3),
        Column::of("before holes", Kind::GaugePressure).digits(4),
        Column::of("before holes", Kind::Temperature).digits(3),
        Column::of("coldest", Kind::Temperature).digits(3),
        Column::of("fastest", Kind::Velocity).digits(2),
    ]);
    for duty in &plan.duties {
        let holes = injector(duty);
        table.row(vec![
            Value::Text(duty.name.clone()),
            Value::of(Kind::MassRate, holes.map(|o| o.flow.value)),
            Value::of(Kind::Ratio, duty.setting.as_ref().map(|s| s.opening)),
            Value::of(
                Kind::GaugePressure,
                holes.map(|o| o.inlet.pressure.pascals() - ambient_pa),
            ),
            Value::of(Kind::Temperature, holes.map(|o| o.inlet.temperature.value)),
            Value::of(Kind::Temperature, coldest(duty)),
            Value::of(Kind::Velocity, fastest(duty)),
        ]);
    }
    table
}

fn train_facts(solution: &Solution<'_>, plan: &TrainPlan) -> Vec<Fact> {
    let mut facts = Vec::new();
    if let (Some(name), Some(Ok(study))) = (&plan.throttle, &plan.study) {
        let authority = study
            .authority
            .map_or_else(|| "not known".to_owned(), |a| format!("{:.0} %", a * 100.0));
        facts.push(
            Fact::text("Throttle", format!("{name}, authority {authority}")).note(
                "drop over the open valve over the drop from the last regulator to the chamber",
            ),
        );
    }
    for s in plan.shut_offs.iter().flatten() {
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
        facts.push(Fact::text(format!("After {} has closed", s.valve), left));
    }
    facts
}

fn number(x: impl Into<Option<f64>>) -> Json {
    x.into().map_or(Json::Null, json::number)
}

fn train_json(plan: &TrainPlan) -> Json {
    let study = plan.study.as_ref().and_then(|s| s.as_ref().ok());
    let duties = plan.duties.iter().map(|d| {
        let holes = injector(d);
        json!({
            "name": d.name,
            "wanted_kg_s": number(d.wanted.value),
            "mass_flow_kg_s": number(d.solution.as_ref().ok().map(|s| s.flow.value)),
            "injector_flow_kg_s": number(holes.map(|o| o.flow.value)),
            "injector_pressure_pa": number(holes.map(|o| o.inlet.pressure.pascals())),
            "injector_temperature_k": number(holes.map(|o| o.inlet.temperature.value)),
            "throttle_opening": number(d.setting.as_ref().map(|s| s.opening)),
            "coldest_k": number(coldest(d)),
            "fastest_m_s": number(fastest(d)),
            "error": d.solution.as_ref().err().map(ToString::to_string),
        })
    });
    let shut_offs = plan.shut_offs.iter().flatten().map(|s| {
        json!({
            "valve": s.valve,
            "fuel_kg": number(s.fuel.value),
            "energy_j": number(s.energy.value),
            "flame_life_s": number(s.flame_life.map(|t| t.value)),
        })
    });
    json!({
        "throttle": plan.throttle,
        "authority": number(study.and_then(|s| s.authority)),
        "duties": Json::Array(duties.collect()),
        "shut_offs": Json::Array(shut_offs.collect()),
    })
}

// ---- tank ----

/// What is assumed of the run where the rig has no plan for it.
pub(super) const NO_PLAN: &str = "the tank is drawn through the duties once, in the order of the file: there is no run plan (`[[steps]]`)";

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
            report.key("tank", json!({ "error": why }));
            return;
        }
    };
    report.facts("Tank", tank_facts(solution, tank));
    report.table("Tank", tank_table(solution, tank));
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
    report.key("tank", tank_json(tank, solution.rig.site.air_pressure));
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

fn tank_table(s: &Solution<'_>, tank: &TankSolution) -> Table {
    let ambient_pa = s.rig.site.air_pressure.pascals();
    let blend = s.fluid.composition().parts().len() > 1;
    let mut columns = vec![
        Column::new("duty"),
        Column::of("draw of one", Kind::MassRate).digits(3),
        Column::of("least pressure", Kind::GaugePressure).digits(3),
        Column::new("for"),
        Column::of("coldest tank", Kind::Temperature).digits(3),
    ];
    if blend {
        columns.push(Column::of("nearly empty", Kind::Temperature).digits(3));
    }
    columns.push(Column::of("kept up for ever", Kind::MassRate).digits(3));
    let mut table = Table::new(columns);
    let kelvin = |t: &Result<ThermodynamicTemperature, String>| {
        Value::of(Kind::Temperature, t.as_ref().ok().map(|t| t.value))
    };
    for d in &tank.duties {
        let lowest = d.lowest.as_ref().ok();
        let mut row = vec![
            Value::Text(d.name.clone()),
            Value::of(Kind::MassRate, Some(d.draw.value)),
            Value::of(
                Kind::GaugePressure,
                lowest.map(|l| l.pressure.pascals() - ambient_pa),
            ),
            Value::Text(lowest.map_or_else(String::new, |l| l.limited_by.clone())),
            kelvin(&d.coldest),
        ];
        if blend {
            row.push(kelvin(&d.coldest_nearly_empty));
        }
        row.push(Value::of(
            Kind::MassRate,
            d.sustainable.as_ref().ok().map(|x| x.draw.value),
        ));
        table.row(row);
    }
    table
}

fn tank_json(tank: &TankSolution, air: AbsolutePressure) -> Json {
    let run = match &tank.run {
        Err(why) => json!({ "error": why }),
        Ok(o) => {
            let last = &o.run.last().contents;
            let failure = o.run.first_failure();
            json!({
                "fed": o.is_fed(),
                "end_s": number(o.run.end.value),
                "end_temperature_k": number(last.temperature.value),
                "end_pressure_pa": number(last.pressure.pascals()),
                "end_mass_kg": number(last.mass().value),
                "coldest_k": number(o.coldest.temperature.value),
                "coldest_wall_k": number(o.wall.as_ref().map(|w| w.wall.value)),
                "fails_after_s": number(failure.map(|e| e.time.value)),
                "fails_by": failure.map(|e| e.what.text()),
                "cylinders_needed": o.cylinders.as_ref().ok(),
                "series": Json::Array(o.run.rows.iter().map(|r| json!({
                    "time_s": number(r.time.value),
                    "temperature_k": number(r.contents.temperature.value),
                    "pressure_pa": number(r.contents.pressure.pascals()),
                    "total_mass_kg": number(r.contents.mass().value),
                })).collect()),
            })
        }
    };
    let duties = tank.duties.iter();
    let duties = duties.map(|d| Json::Object(DutyOfTank::row(d, air).json()));
    let mut map = TankAtStart::row(tank).json();
    map.insert("duties".to_owned(), duties.collect());
    map.insert("run".to_owned(), run);
    Json::Object(map)
}
