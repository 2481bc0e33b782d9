//! A switch to a gas: Wobbe index, holes and pressures, storage.

use super::{findings, limits, old, old_train, work};
use crate::combustion::CombustionError;
use crate::combustion::gas_quality::GasQuality;
use crate::convert::concern::of_gas;
use crate::convert::gas::{
    Burns, GasDuty, GasSupply, Redrill, SAME_WOBBE, SideHole, Wobbe, diameter_factor,
    pressure_factor,
};
use crate::convert::through::{HolesOnGas, ThroughTrain};
use crate::convert::{ConvertInput, HighestSupply, ToGas};
use crate::injector::size::DrillChoice;
use crate::quantity::show::{Show, Units, number, show, signed};
use crate::quantity::{AbsolutePressure, Kind};
use crate::report::Report;
use crate::report::record::{Row, record, table, table_of};

record! {
    /// What it comes to.
    InShort(input: &ConvertInput<'_>, plan: &ToGas)
    with {
        (supply, units) = (&plan.supply, input.units);
        holes = plan.redrill.as_ref().ok().map(|r| {
            let drill = r.drill.map_or_else(String::new, |d| format!("; nearest drill {}", d.name));
            let at = r.pressure.gauge(input.rig.site.air_pressure);
            format!("{} of {} at {}{drill}", r.number, r.exact.show(units), at.show(units))
        });
    }
    {
        (interchange): Text = plan.wobbe.ratio().map(interchange), "Interchange";
        (holes): Text = holes, "New holes";
        (fuel): Mass = supply.fuel, "Fuel for the endurance",
            note format!("{}, {}", show(Kind::Time, supply.endurance.value, units), supply.endurance_from);
        (old_train): Text = old_train(&plan.fates), "Old train";
    }

    /// A gas by ISO 6976, at 15 degC and 1 atm.
    Quality(q: &GasQuality) {
        wobbe_gross_j_m3: VolumetricEnergy = q.wobbe_gross_j_m3, "Wobbe index, gross";
        /// Wobbe index, net.
        wobbe_net_j_m3: VolumetricEnergy = q.wobbe_net_j_m3;
        gross_j_m3: VolumetricEnergy = q.gross_j_m3, "gross heat";
        /// Net heat.
        net_j_m3: VolumetricEnergy = q.net_j_m3;
        /// Density over that of air.
        relative_density: Number = q.relative_density;
    }

    /// A gas by ISO 6976; where that cannot be had, `error` alone.
    QualityOf(q: &Result<GasQuality, CombustionError>) {
        ..known: Row(Quality) = q.as_ref().ok().map(Quality::row);
        /// Why it cannot be had.
        [error]: Text = q.as_ref().err().map(ToString::to_string);
    }

    /// Wobbe index of old and new gas.
    WobbeOf(w: &Wobbe) {
        /// New over old, gross.
        ratio: Ratio = w.ratio();
        /// The old gas; null: the old fuel is a liquid.
        old: Row(QualityOf) = w.from.as_ref().map(QualityOf::row);
        /// The new gas.
        new: Row(QualityOf) = QualityOf::row(&w.to);
    }

    /// How a fuel burns.
    Burning(b: &Burns) {
        /// Largest burning velocity of its parts.
        burning_velocity_m_s: Velocity = b.velocity_m_s, "burning velocity" 2;
        /// Smallest quenching distance of its parts.
        quenching_distance_m: Length = b.quenching_m, "quenching distance" 2 [optional];
        /// Density of its vapour over that of air, from molar masses.
        relative_density: Number = b.relative_density;
    }

    /// Old and new fuel side by side.
    SideBySide(name: &str, quality: Option<&GasQuality>, burns: &Burns) {
        (gas): Text = name, "gas";
        ..quality: Row(Quality) = quality.map(Quality::row);
        (density): Number = quality.map_or(burns.relative_density, |q| q.relative_density), "relative density";
        ..burning: Row(Burning) = Burning::row(burns);
    }

    /// The new gas through holes.
    OnGas(h: &HolesOnGas, air: AbsolutePressure) {
        /// Pressure before them.
        upstream_pressure_pa: AbsolutePressure = h.pressure, "new gas needs"
            => GaugePressure = h.pressure.gauge(air);
        /// Drop over chamber pressure.
        stiffness: Ratio = h.stiffness, "drop / chamber";
        /// Whether they are choked.
        choked: Flag = h.choked, "choked";
        /// How far it is above its dew point; null above the critical pressure.
        superheat_k: TemperatureDifference = h.superheat, "above dew point" 2 [optional];
    }

    /// The new gas through holes at a duty; where it does not pass, `error` alone.
    Holes(duty: &GasDuty, before: Option<AbsolutePressure>, h: &Result<HolesOnGas, String>, air: AbsolutePressure) {
        (duty): Text = &duty.duty, "duty";
        (before): GaugePressure = before.map(|p| p.gauge(air)), "old fuel needs";
        ..known: Row(OnGas) = h.as_ref().ok().map(|h| OnGas::row(h, air));
        /// Why it does not pass.
        [error]: Text = h.as_ref().err();
    }

    /// What the train as it is gives.
    Through(t: &ThroughTrain)
    with { (least, part) = t.least.as_ref().map(|(p, part)| (*p, part)).unzip(); }
    {
        /// Whether the duty is fed as the supply starts.
        fed: Flag = t.why_not.is_none();
        /// Why it is not fed.
        why_not: Text = t.why_not.as_deref();
        /// Lowest tank pressure that feeds it with the throttle wide open.
        lowest_pressure_pa: AbsolutePressure = least;
        /// Part that gives out below that.
        limited_by: Text = part;
        /// Coldest full tank that has that pressure.
        coldest_tank_k: Temperature = t.coldest;
    }

    /// The new gas from the old supply through the old train; where that is not solved, `error` alone.
    ThroughOr(t: &Result<ThroughTrain, String>) {
        ..known: Row(Through) = t.as_ref().ok().map(Through::row);
        /// Why it is not solved.
        [error]: Text = t.as_ref().err();
    }

    /// Holes at a duty.
    HolesAt(duty: &GasDuty, before: Option<AbsolutePressure>, air: AbsolutePressure) {
        /// The duty.
        name: Text = &duty.duty;
        /// With the old holes.
        old_holes: Row(Holes) = Holes::row(duty, before, &duty.old_holes, air);
        /// With the holes drilled anew; null: none are proposed.
        new_holes: Row(Holes) = duty.new_holes.as_ref().map(|h| Holes::row(duty, before, h, air));
        /// With the new holes, or the old ones where none are proposed, from the supply and through the train as they are.
        train: Row(ThroughOr) = duty.train.as_ref().map(ThroughOr::row);
    }

    /// A drill near the new diameter.
    DrillNear(d: &DrillChoice) {
        name: Text = &d.drill.name, "drill";
        diameter_m: Length = d.drill.diameter, "diameter";
        flow_error: Ratio = d.flow_error, "flow error" 2;
        (coefficient): Number = d.coefficient, "coefficient";
    }

    /// New holes.
    NewHoles(r: &Redrill) {
        /// Duty that they are sized at.
        duty: Text = &r.duty;
        /// Pressure before them that they are sized for.
        upstream_pressure_pa: AbsolutePressure = r.pressure;
        /// Where that pressure is from.
        upstream_pressure_from: Text = &r.pressure_from;
        /// Pressure that was asked for, where the gas would condense at it.
        upstream_pressure_asked_pa: AbsolutePressure = r.not_at;
        /// Number of holes.
        holes: Count = r.number;
        /// Exact diameter.
        hole_diameter_m: Length = r.exact;
        /// Drill with the least error in flow.
        drill: Text = r.drill.map(|d| d.name.as_str());
        /// Drills around the diameter.
        drills: Rows(DrillNear) = r.drills.iter().map(DrillNear::row).collect::<Vec<_>>();
    }

    /// Holes of other outlets, such as a pilot, for the same heat at the same pressure, far from choking.
    HoleOfOutlet(s: &SideHole) {
        /// The outlet.
        outlet: Text = &s.outlet;
        /// Diameter now.
        hole_diameter_now_m: Length = s.now;
        /// Diameter on the new gas.
        hole_diameter_m: Length = s.then;
    }

    /// How the new gas can be stored.
    Supply(s: &GasSupply, units: Units)
    with {
        compressed = match s.highest {
            HighestSupply::Compressed(p) => Some(p),
            _ => None,
        };
        (liquid, gas) = ("80 % liquid; common practice", "compressed gas at 200 bar(a); common practice");
        limited_by = s.coldest_limited_by.as_ref();
        below = limited_by.map_or_else(
            || "losses of the train come on top; `tank` tells how it chills".to_owned(),
            |part| format!(
                "through the train as it is, throttle wide open; below it `{part}` gives out, and a draw chills the tank"
            ),
        );
    }
    {
        endurance_s: Time = s.endurance, "Endurance", note s.endurance_from;
        mean_flow_kg_s: MassRate = s.mean_flow, "Mean flow", note s.mean_from;
        /// Fuel burnt in that time.
        fuel_kg: Mass = s.fuel, "Fuel";
        cylinder_volume_m3: Volume = s.volume, "Cylinder volume", note if s.liquefied { liquid } else { gas };
        /// Whether it is stored as a liquid under its own vapour pressure, else as compressed gas.
        liquefied: Flag = s.liquefied;
        vapour_pressure_coldest_pa: AbsolutePressure = s.coldest, "Vapour pressure, coldest day";
        vapour_pressure_hottest_pa: AbsolutePressure = s.hottest, "Vapour pressure, hottest day";
        /// Highest pressure that it can have; null: not worked out.
        highest_pressure_pa: AbsolutePressure = s.highest.known(),
            "Cylinder pressure, hottest day" => AbsolutePressure = compressed,
            note "filled to 200 bar(a) on the test day";
        /// Pressure that it certainly can have.
        highest_pressure_at_least_pa: AbsolutePressure = s.highest.at_least();
        /// What the highest pressure is.
        highest_pressure_from: Text = s.highest.basis(), "Pressure, hottest day" => Text = s.highest.open(units);
        coldest_feeding_k: Temperature = s.coldest_feeding, "Coldest liquid that feeds the largest duty", note below;
        /// Part of the train that gives out below that.
        coldest_limited_by: Text = limited_by;
    }

    /// A switch to a gas.
    ToGasOf(plan: &ToGas, units: Units, holes: Vec<Row>) {
        /// `to-gas`.
        kind: Text = "to-gas";
        wobbe: Row(WobbeOf) = WobbeOf::row(&plan.wobbe);
        holes: Rows(HolesAt) = holes;
        /// New holes; null where none can be proposed.
        new_holes: Row(NewHoles) = plan.redrill.as_ref().ok().map(NewHoles::row);
        side_holes: Rows(HoleOfOutlet) = plan.side_holes.iter().map(HoleOfOutlet::row).collect::<Vec<_>>();
        /// How the old fuel burns.
        burning_old: Row(Burning) = Burning::row(&plan.burns.0);
        /// How the new fuel burns.
        burning_new: Row(Burning) = Burning::row(&plan.burns.1);
        supply: Row(Supply) = Supply::row(&plan.supply, units);
    }
}

/// Adds the whole plan.
pub fn gas(report: &mut Report, input: &ConvertInput<'_>, plan: &ToGas) {
    work::gas(report, input, plan);
    report.facts("In short", InShort::row(input, plan).facts());
    super::duties(report, input, &plan.duties);
    limits(report, &plan.limits);
    wobbe(report, plan);
    let holes = holes(report, input, plan);
    redrill(report, plan);
    for side in &plan.side_holes {
        report.remark(format!(
            "{}: its hole of {} becomes {} for the same heat at the same pressure, far from choking.",
            side.outlet,
            side.now.show(input.units),
            side.then.show(input.units)
        ));
    }
    report.facts("Supply", Supply::row(&plan.supply, input.units).facts());
    old(report, &plan.fates, &plan.materials);
    findings(report, &of_gas(plan, input), input.units);
    for sentence in &plan.assumptions {
        report.assume(sentence.as_str());
    }
    report.cite(input.library, "iso6976");
    report.keys(&ToGasOf::row(plan, input.units, holes));
}

/// What a ratio of Wobbe indices means for holes and pressure.
fn interchange(ratio: f64) -> String {
    let off = signed(100.0 * (ratio - 1.0));
    if (ratio - 1.0).abs() <= SAME_WOBBE {
        return format!(
            "Wobbe index {off} %: the old holes and pressure nearly do; check the flame"
        );
    }
    format!(
        "Wobbe index {off} %: not interchangeable; {} times the drop or {} times the hole diameter, far from choking",
        number(pressure_factor(ratio).value),
        number(diameter_factor(ratio).value)
    )
}

fn wobbe(report: &mut Report, plan: &ToGas) {
    let (old, new) = (plan.wobbe.from.as_ref(), &plan.wobbe.to);
    let of_old = old.and_then(|q| q.as_ref().ok());
    let rows = [
        SideBySide::row("old", of_old, &plan.burns.0),
        SideBySide::row("new", new.as_ref().ok(), &plan.burns.1),
    ];
    let columns = [
        "gas",
        "wobbe_gross_j_m3",
        "gross_j_m3",
        "density",
        "burning_velocity_m_s",
        "quenching_distance_m",
    ];
    let heading = "Old and new fuel, 15 degC and 1 atm";
    report.table(heading, table_of(&rows, &columns));
    for why in old
        .into_iter()
        .chain([new])
        .filter_map(|q| q.as_ref().err())
    {
        report.remark(format!("No Wobbe index: {why}."));
    }
}

/// Adds the holes kept and drilled anew; the rows of the duties.
fn holes(report: &mut Report, input: &ConvertInput<'_>, plan: &ToGas) -> Vec<Row> {
    for duty in &plan.holes {
        let new = duty.new_holes.as_ref();
        for (which, holes) in [("old", Some(&duty.old_holes)), ("new", new)] {
            if let Some(Err(why)) = holes {
                report.remark(format!("{} with the {which} holes: {why}.", duty.duty));
            }
        }
    }
    through_train(report, plan);
    let before = |duty: &GasDuty| {
        let now = plan.duties.iter().find(|d| d.now.name == duty.duty);
        now.and_then(|d| d.now.injector_pressure)
    };
    let air = input.rig.site.air_pressure;
    let at = plan.holes.iter().map(|d| HolesAt::row(d, before(d), air));
    let rows: Vec<Row> = at.collect();
    let columns = [
        "duty",
        "before",
        "upstream_pressure_pa",
        "stiffness",
        "choked",
        "superheat_k",
    ];
    for (heading, key) in [
        ("Old holes kept: pressure before them", "old_holes"),
        ("Drilled anew: pressure before them", "new_holes"),
    ] {
        let holes: Vec<Row> = rows.iter().filter_map(|r| r.row(key).cloned()).collect();
        report.table(heading, table_of(&holes, &columns));
    }
    rows
}

/// Duties that the old supply and train do not feed with the holes proposed; a reason that several have stands once.
fn through_train(report: &mut Report, plan: &ToGas) {
    let which = if plan.redrill.is_ok() { "new" } else { "old" };
    let mut told: Vec<(&str, Vec<&str>)> = Vec::new();
    for duty in &plan.holes {
        let why = match &duty.train {
            Some(Ok(through)) => through.why_not.as_deref(),
            Some(Err(why)) => Some(why.as_str()),
            None => None,
        };
        let Some(why) = why else { continue };
        match told.iter_mut().find(|(w, _)| *w == why) {
            Some((_, duties)) => duties.push(&duty.duty),
            None => told.push((why, vec![&duty.duty])),
        }
    }
    for (why, duties) in told {
        report.remark(format!(
            "Not fed with the {which} holes from the supply and through the train as they are: {} ({why}).",
            duties.join(", ")
        ));
    }
}

fn redrill(report: &mut Report, plan: &ToGas) {
    let r = match &plan.redrill {
        Ok(r) => r,
        Err(why) => {
            report.remark(format!("No new holes: {why}."));
            return;
        }
    };
    if r.not_at.is_some() {
        report.remark(format!(
            "The pressure asked for before the holes is not taken. They are sized for {}.",
            r.pressure_from
        ));
    }
    let row = NewHoles::row(r);
    report.table("Drills for the new holes", table(row.rows("drills")));
    report.assume(format!(
        "new holes are sized at {}, for a pressure before them that is {}",
        r.duty, r.pressure_from
    ));
}
