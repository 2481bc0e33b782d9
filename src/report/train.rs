//! A rig's train at all its duties, for people and machines.

use super::main_pressure::{self, MainPressure};
use super::record::{Row, record, table, table_of};
use super::{Report, figures};
use crate::audit::Solution as RigSolution;
use crate::fuel::Library;
use crate::quantity::AbsolutePressure;
use crate::quantity::sentence::{Told, sentence};
use crate::quantity::show::{number, percent};
use crate::train::catalogue::neighbours;
use crate::train::plan::INJECTOR;
use crate::train::{
    Check, CurvePoint, DutySetting, OutletFlow, PartFlow, ShutOff, Station, ThrottleStudy,
    TrainDuty, TrainPlan, Valve, openings_of_size,
};

record! {
    /// State of the fuel at a place.
    Place(s: &Station) {
        /// Static pressure.
        pressure_pa: AbsolutePressure = s.pressure;
        /// Static temperature.
        temperature_k: Temperature = s.temperature;
        /// Phase.
        phase: Text = s.phase.name();
        /// Share of the mass that is vapour.
        vapour_mass_fraction: Ratio = s.vapour_mass_fraction;
        /// Density.
        density_kg_m3: Density = s.density;
        /// Velocity; 0 where the part has no bore.
        velocity_m_s: Velocity = s.velocity;
    }

    /// A part with what flows through it.
    Through(p: &PartFlow, air: AbsolutePressure)
    with {
        state = [(p.choked, "choked"), (p.wide_open, "wide open"), (p.two_phase, "two phases")];
        state = state.iter().filter(|s| s.0).map(|s| s.1).collect::<Vec<_>>().join(", ");
        speed = p.outlet.velocity;
    }
    {
        name: Text = &p.part, "part";
        /// Kind of part, as in the rig file.
        kind: Text = p.kind;
        /// Run or source it stands in.
        run: Text = &p.run;
        /// Flow through it; of one tank, for the parts of a source with several.
        mass_flow_kg_s: MassRate = p.flow;
        /// Before it.
        inlet: Row(Place) = Place::row(&p.inlet), "before" => GaugePressure = p.inlet.pressure.gauge(air);
        /// Behind it.
        outlet: Row(Place) = Place::row(&p.outlet), "behind" => GaugePressure = p.outlet.pressure.gauge(air);
        (warmth): Temperature = p.outlet.temperature, "behind";
        (speed): Velocity = (speed.value > 0.0).then_some(speed), "speed" 2;
        (phase): Text = p.outlet.phase.name(), "phase" [optional];
        (state): Text = state, "state";
        /// Whether its flow does not depend on the pressure behind it.
        choked: Flag = p.choked;
        /// Whether it is a regulator whose seat is wide open and does not regulate.
        wide_open: Flag = p.wide_open;
        /// Whether liquid and vapour flow together in it.
        two_phase: Flag = p.two_phase;
        /// Heat taken up.
        heat_w: Power = p.heat;
        /// Shaft work put in.
        work_w: Power = p.work;
        /// Flow coefficient in use.
        kv_m3_h: Number = p.kv;
        /// Opening, of a valve.
        opening: Ratio = p.opening;
        /// Share of the wide-open capacity in use, of a regulator.
        load: Ratio = p.load;
    }

    /// An outlet with what flows out of it.
    OutOf(o: &OutletFlow) {
        /// Its name.
        name: Text = &o.outlet;
        /// Flow.
        mass_flow_kg_s: MassRate = o.flow;
        /// Before the holes, at rest.
        inlet: Row(Place) = Place::row(&o.inlet);
        /// Pressure it discharges to.
        chamber_pressure_pa: AbsolutePressure = o.chamber;
        /// Whether the holes are choked.
        choked: Flag = o.choked;
    }

    /// A figure past what it is held against; the rules, under `findings`, say what is wrong.
    Remark(c: &Check) {
        /// What is held against what.
        kind: Text = c.kind.name();
        /// Part.
        at: Text = &c.at;
        /// What was found, SI.
        measured: Number = c.measured;
        /// What it is held against, SI.
        limit: Number = c.limit;
        /// Who sets the limit.
        basis: Text = c.kind.basis();
    }

    /// A duty fed through the train.
    Fed(duty: &TrainDuty, air: AbsolutePressure)
    with {
        solution = duty.solution.as_ref().ok();
        holes = solution.and_then(|s| s.outlet(INJECTOR));
        setting = duty.setting.as_ref();
        parts = solution.map(|s| s.parts.iter().map(|p| Through::row(p, air)).collect::<Vec<_>>());
        outlets = solution.map(|s| s.outlets.iter().map(OutOf::row).collect::<Vec<_>>());
    }
    {
        name: Text = &duty.name, "duty";
        /// Flow wanted at the injector.
        wanted_kg_s: MassRate = duty.wanted, "wanted";
        /// Flow drawn, of all outlets.
        mass_flow_kg_s: MassRate = solution.map(|s| s.flow), "flow" => MassRate = holes.map(|o| o.flow);
        /// Opening of the throttle.
        opening: Ratio = setting.map(|s| s.opening), "opening";
        /// Flow coefficient of the throttle.
        kv_m3_h: Number = setting.map(|s| s.kv), "Kv, m³/h";
        /// Why it is not fed.
        error: Text = duty.solution.as_ref().err().map(ToString::to_string);
        /// The parts in their order, with what flows through each.
        parts: Rows(Through) = parts.unwrap_or_default();
        outlets: Rows(OutOf) = outlets.unwrap_or_default();
        remarks: Rows(Remark) = duty.checks.iter().map(Remark::row).collect::<Vec<_>>();
        (before_holes): GaugePressure = holes.map(|o| o.inlet.pressure.gauge(air)), "at holes";
        (at_holes): Temperature = holes.map(|o| o.inlet.temperature), "at holes";
    }

    /// The throttle at a duty.
    Setting(d: &DutySetting) {
        name: Text = &d.duty, "duty";
        opening: Ratio = d.opening.as_ref().ok().copied(), "opening";
        kv_m3_h: Number = d.kv, "Kv, m³/h";
        /// Relative change of flow for one step of the drive.
        flow_per_step: Ratio = d.flow_per_step, "flow for a step" 2;
        equivalence_ratio_per_step: Number = d.equivalence_ratio_per_step, "equivalence ratio for a step" 2;
    }

    /// A point of the throttle curve.
    Point(p: &CurvePoint) {
        opening: Ratio = p.opening, "opening";
        kv_m3_h: Number = p.kv, "Kv, m³/h";
        mass_flow_kg_s: MassRate = p.flow, "flow";
        equivalence_ratio: Number = p.equivalence_ratio, "equivalence ratio";
        /// Whether the valve is choked.
        choked: Flag = p.choked, "valve" => Text = if p.choked { "choked" } else { "" };
    }

    /// The valve that sets the flow of the injector.
    Throttle(name: &str, valve: Option<&Valve>, study: &ThrottleStudy)
    with {
        range = study.full_open_range;
        (usable, why) = usable_travel(study);
        [smaller, larger] = next_sizes(valve, study);
        (smaller, of_smaller) = smaller.unzip();
        (larger, of_larger) = larger.unzip();
    }
    {
        name: Text = name, "Valve";
        /// Its full-open flow coefficient.
        full_open_kv_m3_h: Number = valve.map(|v| v.full_open);
        /// Drop over the open valve over the drop from the last regulator to the chamber.
        authority: Ratio = study.authority, "Authority"
            => Text = study.authority.map(percent),
            note "drop over the open valve over the drop from the last regulator to the chamber";
        /// Least full-open flow coefficient with which the largest duty is at most 90 % open.
        least_full_open_kv_m3_h: Number = range.map(|r| r.0);
        /// Most with which the smallest duty is at least 10 % open.
        most_full_open_kv_m3_h: Number = range.map(|r| r.1);
        (usable): Text = usable, "Kv for usable travel", note why;
        (smaller): Text = smaller, "Next smaller generic valve", note of_smaller;
        (larger): Text = larger, "Next larger generic valve", note of_larger;
        duties: Rows(Setting) = study.duties.iter().map(Setting::row).collect::<Vec<_>>();
        curve: Rows(Point) = study.curve.iter().map(Point::row).collect::<Vec<_>>();
    }

    /// What is left behind a valve that has closed, from the largest flow.
    AfterShutOff(s: &ShutOff) {
        valve: Text = &s.valve, "valve";
        /// Volume between it and the outlets.
        volume_m3: Volume = s.volume;
        fuel_kg: Mass = s.fuel, "fuel behind it";
        /// Heat of that fuel.
        energy_j: Energy = s.energy, "heat of all";
        /// Fuel that passes while it closes, at most.
        while_closing_kg: Mass = s.closing_time.map(|_| s.while_closing), "passes while closing";
        /// Longest closing time.
        closing_time_s: Time = s.closing_time;
        /// From closed until the flame goes out; null where liquid keeps dripping.
        flame_life_s: Time = s.flame_life, "flame lives on" 2;
        /// From closed until all but a hundredth of the pressure is lost.
        empties_in_s: Time = s.empties_in;
        /// Fuel that stays, at the pressure of the chamber.
        stays_kg: Mass = s.stays;
        /// Fuel that comes out of the holes, at most.
        runs_out_kg: Mass = s.runs_out(), "comes out";
        /// Whether liquid is left behind it.
        liquid: Flag = s.liquid;
        /// Parts whose volume is not known, taken as none.
        unknown_volumes: Texts = &s.unknown;
    }

    /// A rig's train at all its duties.
    Walked(plan: &TrainPlan, duties: Vec<Row>, throttle: Option<Row>, shut_offs: Vec<Row>) {
        /// Of a main: which of its pressures is taken.
        [main]: Row(MainPressure) = plan.main_head.as_ref().map(MainPressure::row);
        duties: Rows(Fed) = duties;
        throttle: Row(Throttle) = throttle;
        shut_offs: Rows(AfterShutOff) = shut_offs;
    }
}

/// Adds the whole plan.
pub fn plan(report: &mut Report, library: &Library, rig: &RigSolution<'_>, plan: &TrainPlan) {
    let air = rig.rig.site.air_pressure;
    let duties: Vec<Row> = plan.duties.iter().map(|d| Fed::row(d, air)).collect();
    report.table("Duties", table(&duties));
    for plot in figures::walks(rig, plan) {
        report.plot("Pressure and temperature", plot);
    }
    for (duty, row) in plan.duties.iter().zip(&duties) {
        let heading = format!("Through the train: {}", duty.name);
        report.table(&heading, table(row.rows("parts")));
    }
    let throttle = throttle(report, rig, plan);
    let shut_offs = plan.shut_offs.iter().flatten().map(AfterShutOff::row);
    let shut_offs: Vec<Row> = shut_offs.collect();
    let columns = [
        "valve",
        "fuel_kg",
        "runs_out_kg",
        "energy_j",
        "while_closing_kg",
        "flame_life_s",
    ];
    report.table(
        "After a shut-off, from the largest flow",
        table_of(&shut_offs, &columns),
    );
    left_over(report, plan);
    if let Some(main) = &plan.main_head {
        report.assume(main_pressure::told(main));
    }
    for sentence in &plan.assumptions {
        report.assume(sentence.as_str());
    }
    report.assume("lines take up heat as their data say; every other part exchanges none");
    report.assume(
        "the throttle curve takes air and chamber pressure straight between the duties, from the one with the most air down as long as fuel falls too",
    );
    for key in ["iec60534-2-1", "colebrook1939", "shapiro1953"] {
        report.cite(library, key);
    }
    report.keys(&Walked::row(plan, duties, throttle, shut_offs));
}

/// Adds the throttle; the row of its figures.
fn throttle(report: &mut Report, rig: &RigSolution<'_>, plan: &TrainPlan) -> Option<Row> {
    let name = plan.throttle.as_ref()?;
    let study = plan.study.as_ref()?.as_ref().ok()?;
    let valve = rig.rig.train.part(name).and_then(|p| p.kind.valve());
    let row = Throttle::row(name, valve, study);
    report.facts("Throttle", row.facts());
    report.table("Throttle at each duty", table(row.rows("duties")));
    for plot in figures::throttle(name, plan, study) {
        report.plot("Throttle curve", plot);
    }
    report.table("Throttle curve", table(row.rows("curve")));
    Some(row)
}

/// Flow coefficient for usable travel, in words, and a remark.
fn usable_travel(study: &ThrottleStudy) -> (String, Option<&'static str>) {
    match study.full_open_range {
        _ if study.duties.iter().all(|d| d.kv.is_none()) => {
            ("not known: no duty is fed".to_owned(), None)
        }
        Some((least, most)) => (
            format!("{} to {} m³/h", number(least.kv()), number(most.kv())),
            Some("largest duty at most 90 % open, smallest at least 10 %"),
        ),
        None => (
            "none: the duties lie too far apart".to_owned(),
            Some("two valves, or one of another characteristic"),
        ),
    }
}

/// The next generic valves below and above: how far each duty opens them, and their names; none where no duty is fed.
fn next_sizes(valve: Option<&Valve>, study: &ThrottleStudy) -> [Option<(String, String)>; 2] {
    let fed: Vec<_> = study
        .duties
        .iter()
        .filter_map(|d| Some((&d.duty, d.kv?)))
        .collect();
    let needed: Vec<_> = fed.iter().map(|(_, kv)| *kv).collect();
    let Some(valve) = valve.filter(|_| !needed.is_empty()) else {
        return [None, None];
    };
    let (below, above) = neighbours(valve.full_open);
    [below, above].map(|found| {
        let (part, kv) = found?;
        let openings = openings_of_size(valve, kv, &needed).into_iter().zip(&fed);
        let openings = openings.map(|(h, (duty, _))| match h {
            Ok(h) => format!("{duty} {}", percent(h)),
            Err(_) => format!("{duty} out of reach"),
        });
        let openings: Vec<String> = openings.collect();
        let said = format!("Kv {} m³/h: {}", kv.kv(), openings.join(", "));
        Some((said, part.name.clone()))
    })
}

fn left_over(report: &mut Report, plan: &TrainPlan) {
    let mut unknown: Vec<&str> = Vec::new();
    for s in &plan.shut_offs {
        match s {
            Ok(s) => {
                unknown.extend(s.unknown.iter().map(String::as_str));
                if s.liquid {
                    report.remark(format!(
                        "{}: liquid is left behind it and keeps feeding the flame, or drips, after it has closed.",
                        s.valve
                    ));
                }
            }
            Err(error) => report.remark(sentence!("After a shut-off: {}.", error.told())),
        }
    }
    unknown.sort_unstable();
    unknown.dedup();
    if !unknown.is_empty() {
        report.assume(format!(
            "no volume is given for {}: they are taken to hold nothing after a shut-off",
            unknown.join(", ")
        ));
    }
    if plan.shut_offs.iter().any(Result::is_ok) {
        report.assume(
            "a flame is taken as out when its fuel has fallen to a tenth of the running flow",
        );
    }
}
