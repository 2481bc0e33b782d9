//! The holes of a rig at all its duties, for people and machines.

use super::record::{Row, or_words, record, table_of};
use super::{Column, Report, Table, Value, figures};
use crate::audit::Solution;
use crate::fuel::Library;
use crate::injector::plan::{DrillAtDuty, DutyInjection, InjectorPlan, PlannedDuty};
use crate::injector::ring::{Distribution, HoleFlow};
use crate::quantity::sentence::{Sentence, Told, sentence};
use crate::quantity::show::{KNOWN, number, signed};
use crate::quantity::{AbsolutePressure, Kind, pascals_absolute};

record! {
    /// A drill at a duty.
    DrillOf(d: &DrillAtDuty) {
        /// The drill.
        name: Text = &d.drill.name;
        /// Its diameter.
        diameter_m: Length = d.drill.diameter;
        /// Flow over the flow wanted, less one.
        flow_error: Ratio = d.flow_error;
        /// With holes of this drill.
        equivalence_ratio: Number = d.equivalence_ratio;
    }

    /// A hole of a ring or bar.
    HoleOf(h: &HoleFlow) {
        /// Where it is, along the centre line.
        at_m: Length = h.at;
        /// Static pressure before it.
        pressure_pa: AbsolutePressure = h.pressure;
        /// Its flow.
        mass_flow_kg_s: MassRate = h.flow;
    }

    /// What the holes do for a duty.
    Holes(name: &str, i: &DutyInjection, air: AbsolutePressure)
    with { needed = pascals_absolute(i.at_need.supply.pressure_pa); }
    {
        (duty): Text = name, "duty";
        /// Pressure before the holes that gives the duty its fuel.
        upstream_pressure_pa: AbsolutePressure = needed, "pressure needed" => GaugePressure = needed.gauge(air);
        /// Fuel flow.
        mass_flow_kg_s: MassRate = i.at_need.flow.value;
        mass_flow_low_kg_s: MassRate = i.flow_low, "fuel, least";
        mass_flow_high_kg_s: MassRate = i.flow_high, "fuel, most";
        equivalence_ratio_low: Number = i.equivalence_ratio_low, "equivalence ratio, least";
        /// Equivalence ratio at the most fuel and the least air.
        equivalence_ratio_high: Number = i.equivalence_ratio_high, "most";
        /// Drop over the holes over the pressure of the chamber.
        stiffness: Ratio = i.at_need.stiffness, "drop / chamber";
        discharge_coefficient: Number = i.at_need.coefficient.value, "discharge coefficient";
        (is_choked): Flag = i.at_need.choked, "choked";
        /// Jet expanded to the pressure of the chamber.
        jet_velocity_m_s: Velocity = i.at_need.jet_velocity, "jet";
        /// Pressure in the throat.
        throat_pressure_pa: AbsolutePressure = i.at_need.throat.pressure;
        /// How far the fuel before the holes is above its dew point.
        superheat_k: TemperatureDifference = i.at_need.superheat, "above dew point" 2;
        /// Momentum of the jets over that of the air they cross.
        momentum_ratio: Number = i.momentum_ratio, "jet / air momentum";
        /// How far the jets reach into the air.
        jet_reach_m: Length = i.reach.as_ref().and_then(|r| Some(r.as_ref().ok()?.depth)), "reach" 2;
        /// Of a ring or bar: one less the least over the greatest flow of a hole.
        spread: Ratio = sharing(i).map(|d| d.spread), "spread" 2;
        flow_at_given_pressure_kg_s: MassRate = i.at_given.map(|g| g.flow), "flow at the pressure set" [optional];
        /// Equivalence ratio at the pressure set.
        equivalence_ratio_at_given_pressure: Number = i.at_given.map(|g| g.equivalence_ratio),
            "equivalence ratio there" 3 [optional];
    }

    /// Drills and holes at a duty.
    DrillsAndHoles(i: &DutyInjection, hole_by_hole: bool)
    with { holes = sharing(i).filter(|_| hole_by_hole).map(|d| d.holes.iter().map(HoleOf::row)); }
    {
        /// Whether the holes are choked.
        choked: Flag = i.at_need.choked;
        /// Drills around the diameter.
        drills: Rows(DrillOf) = i.drills.iter().map(DrillOf::row).collect::<Vec<_>>();
        /// Hole by hole, of a ring or bar; not in `audit`.
        [hole_flows]: Rows(HoleOf) = holes.map(Iterator::collect::<Vec<_>>);
    }

    /// The holes at a duty; where they cannot feed it, `name` and `error` alone.
    AtDuty(duty: &PlannedDuty, air: AbsolutePressure, hole_by_hole: bool)
    with { fed = duty.injection.as_ref().ok(); }
    {
        ..holes: Row(Holes) = fed.map(|i| Holes::row(&duty.name, i, air));
        /// The duty.
        name: Text = &duty.name;
        ..drills: Row(DrillsAndHoles) = fed.map(|i| DrillsAndHoles::row(i, hole_by_hole));
        /// Why the holes cannot feed it.
        [error]: Text = duty.injection.as_ref().err().map(ToString::to_string);
    }

    /// The holes of a rig at all its duties.
    HolesOfRig(plan: &InjectorPlan, air: AbsolutePressure, hole_by_hole: bool)
    with {
        (drill, drill_error) = nearest_drill(plan).unzip();
        remedy = plan.remedy.as_ref();
        sized = match &plan.sized_at {
            Some(duty) => format!("{} holes, sized at {duty}", plan.holes),
            None => format!("{} holes, as given", plan.holes),
        };
        duties = plan.duties.iter().map(|d| AtDuty::row(d, air, hole_by_hole));
    }
    {
        /// Number of holes.
        holes: Count = plan.holes;
        hole_diameter_m: Length = plan.diameter, "Hole diameter", note sized;
        (drill): Text = drill, "Nearest drill", note drill_error;
        /// Duty they are sized at; null where the diameter is given.
        sized_at: Text = plan.sized_at.as_deref();
        /// Most over least fuel flow of the duties that the holes can feed.
        turndown: Number = plan.turndown, "Turndown"
            => Text = plan.turndown.map(|t| format!("{} to 1 in fuel flow", number(t.value)));
        /// Area of all holes over that of the tube's bore.
        hole_to_bore_area_ratio: Ratio = plan.area_ratio, "Holes over bore, by area",
            note "up to 25 % is even, above 50 % is not", source "perry-distributor";
        rule_spread: Ratio = plan.rule_spread, "Spread by the handbook rule",
            note "long pipe fed at one end, no friction; the table has the sum for this one", source "perry-distributor";
        bore_for_spread_m: Length = remedy.map(|r| &r.bore).and_then(|d| d.as_ref().ok().copied()),
            "Tube bore for the wanted spread" => Length = remedy.map(|r| or_words(&r.bore, "none does"));
        hole_diameter_for_spread_m: Length = remedy.map(|r| &r.hole_diameter).and_then(|d| d.as_ref().ok().copied()),
            "Hole diameter for the wanted spread" => Length = remedy.map(|r| or_words(&r.hole_diameter, "none does")),
            note "at a higher pressure, for the same flow";
        duties: Rows(AtDuty) = duties.collect::<Vec<_>>();
    }

    /// The holes of a rig; null where they are not known.
    InjectorOfRig(holes: Option<Row>) {
        injector: Row(HolesOfRig) = holes;
    }
}

/// Columns of the jets.
const JETS: [&str; 5] = [
    "duty",
    "jet_velocity_m_s",
    "momentum_ratio",
    "jet_reach_m",
    "superheat_k",
];
/// Columns of the bands.
const BANDS: [&str; 8] = [
    "duty",
    "discharge_coefficient",
    "mass_flow_low_kg_s",
    "mass_flow_high_kg_s",
    "equivalence_ratio_low",
    "equivalence_ratio_high",
    "flow_at_given_pressure_kg_s",
    "equivalence_ratio_at_given_pressure",
];

/// Adds the holes at every duty and the drills; `hole_by_hole` adds every hole of a ring or bar.
pub fn plan(report: &mut Report, library: &Library, solution: &Solution<'_>, hole_by_hole: bool) {
    let plan = match &solution.injector {
        Ok(plan) => plan,
        Err(why) => {
            report.remark(format!("The injector is not solved: {why}."));
            report.keys(&InjectorOfRig::row(None));
            return;
        }
    };
    let air = solution.rig.site.air_pressure;
    let row = HolesOfRig::row(plan, air, hole_by_hole);
    report.facts("Holes", row.facts());
    let holes: Vec<Row> = fed(plan)
        .map(|(name, i)| Holes::row(name, i, air))
        .collect();
    let manifold = solution.rig.injector.manifold.is_some();
    let mut columns = vec!["duty", "upstream_pressure_pa", "stiffness", "is_choked"];
    columns.extend(manifold.then_some("spread"));
    report.table("Holes at each duty", table_of(&holes, &columns));
    report.table("Jets at each duty", table_of(&holes, &JETS));
    report.plot("Bands at each duty", figures::bands(solution, plan));
    report.table("Bands at each duty", table_of(&holes, &BANDS));
    report.table("Drills: flow error at each duty", drills(plan));
    if hole_by_hole {
        if let Some(plot) = figures::holes(solution, plan) {
            report.plot("Hole by hole: flow over the mean", plot);
        }
        report.table("Hole by hole: flow over the mean", each_hole(plan));
    }
    for (name, injection) in fed(plan) {
        sources(report, library, name, injection);
    }
    shared_notes(report, plan);
    if manifold {
        for key in ["perry-distributor", "colebrook1939", "crane-tp410"] {
            report.cite(library, key);
        }
    }
    report.keys(&InjectorOfRig::row(Some(row)));
}

/// The drill that misses the duty sized at (else the first duty) by least, and by how much.
fn nearest_drill(plan: &InjectorPlan) -> Option<(String, String)> {
    let sized = plan.sized_at.as_deref();
    let (duty, injection) = fed(plan)
        .find(|(name, _)| sized.is_none_or(|s| s == *name))
        .or_else(|| fed(plan).next())?;
    let nearest = injection
        .drills
        .iter()
        .min_by(|a, b| (a.flow_error.value.abs()).total_cmp(&b.flow_error.value.abs()))?;
    let error = 100.0 * nearest.flow_error.value;
    Some((
        nearest.drill.name.clone(),
        format!("{} % of the flow at {duty}", signed(error)),
    ))
}

fn fed(plan: &InjectorPlan) -> impl Iterator<Item = (&str, &DutyInjection)> {
    plan.duties
        .iter()
        .filter_map(|d| Some((d.name.as_str(), d.injection.as_ref().ok()?)))
}

fn sharing(i: &DutyInjection) -> Option<&Distribution> {
    i.sharing.as_ref()?.as_ref().ok()
}

fn drills(plan: &InjectorPlan) -> Table {
    let fed: Vec<_> = fed(plan).collect();
    let mut columns = vec![
        Column::new("drill"),
        Column::of("diameter", Kind::Length).digits(KNOWN),
    ];
    columns.extend(
        fed.iter()
            .map(|(name, _)| Column::of(*name, Kind::Ratio).digits(2)),
    );
    let mut table = Table::new(columns);
    let Some((_, first)) = fed.first() else {
        return table;
    };
    for choice in &first.drills {
        let mut row = vec![
            Value::Text(choice.drill.name.clone()),
            Value::of(Kind::Length, choice.drill.diameter.value),
        ];
        for (_, injection) in &fed {
            let same = injection
                .drills
                .iter()
                .find(|d| d.drill.name == choice.drill.name);
            row.push(same.map_or(Value::Absent, |d| Value::Quantity {
                kind: Kind::Ratio,
                // the given diameter may be a drill's: what is left is rounding
                si: (d.flow_error.value * 1e6).round() / 1e6,
            }));
        }
        table.row(row);
    }
    table
}

fn each_hole(plan: &InjectorPlan) -> Table {
    let shared: Vec<_> = fed(plan)
        .filter_map(|(name, i)| Some((name, sharing(i)?)))
        .collect();
    let mut columns = vec![Column::new("hole"), Column::of("place", Kind::Length)];
    columns.extend(shared.iter().map(|(name, _)| Column::new(*name).digits(5)));
    let mut table = Table::new(columns);
    let Some((_, first)) = shared.first() else {
        return table;
    };
    for (i, hole) in first.holes.iter().enumerate() {
        let mut row = vec![Value::Count(i + 1), Value::of(Kind::Length, hole.at.value)];
        for (_, distribution) in &shared {
            row.push(
                distribution
                    .holes
                    .get(i)
                    .map_or(Value::Absent, |h| Value::Number(h.relative.value)),
            );
        }
        table.row(row);
    }
    table
}

fn sources(report: &mut Report, library: &Library, name: &str, injection: &DutyInjection) {
    match &injection.reach {
        Some(Err(error)) => {
            report.remark(format!(
                "{name}: the reach of the jets is not known: {error}."
            ));
        }
        Some(Ok(reach)) => {
            for key in &reach.sources {
                report.cite(library, key);
            }
        }
        None => {}
    }
    if let Some(Err(error)) = &injection.sharing {
        report.remark(sentence!("{}: {}.", name, error.told()));
    }
    for key in &injection.at_need.sources {
        report.cite(library, key);
    }
}

/// Notes on the holes, each once, with the duties it belongs to.
fn shared_notes(report: &mut Report, plan: &InjectorPlan) {
    let mut notes: Vec<(&Sentence, Vec<&str>)> = Vec::new();
    for (name, injection) in fed(plan) {
        for note in &injection.at_need.notes {
            match notes
                .iter_mut()
                .find(|(other, _)| other.to_string() == note.to_string())
            {
                Some((_, names)) => names.push(name),
                None => notes.push((note, vec![name])),
            }
        }
    }
    for (note, names) in notes {
        report.remark(sentence!("{}: {}", &names.join(", "), note.clone()));
    }
}
