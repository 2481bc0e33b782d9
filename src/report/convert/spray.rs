//! A switch to a liquid: nozzles, drops, evaporation, vaporiser tubes.

use crate::convert::evaporation::{CONSTANT_BAND, DutyEvaporation, InZone, second_opinion};
use crate::convert::liquid::LiquidAt;
use crate::convert::nozzle::{DropsAt, NozzleKind, NozzleOption};
use crate::convert::vaporiser::{RingOnVapour, VaporiserPlan};
use crate::convert::{ConvertInput, ToLiquid};
use crate::flow::atomize::DropSize;
use crate::quantity::show::{Show, Units, percent, significant};
use crate::quantity::{Kind, Length, Time};
use crate::report::record::{Row, or_why, or_words, record, table, table_of, within};
use crate::report::{Column, Fact, Report, Value};

/// Drops are given in micrometres everywhere.
fn micrometres(d: Length) -> f64 {
    d.value * 1e6
}

/// Lives in milliseconds and ways in millimetres, one unit down the column.
fn milliseconds(t: Time) -> f64 {
    t.value * 1e3
}

fn millimetres(l: Length) -> f64 {
    l.value * 1e3
}

fn as_fuel(surrogate: Option<&String>) -> String {
    surrogate.map_or_else(|| "own equation".to_owned(), |s| format!("as {s}"))
}

record! {
    /// Nozzles for the largest duty.
    Nozzle(o: &NozzleOption, proposed: bool)
    with {
        (best, low, high) = o.discharge;
        drill = o.drill.map(|d| d.name.as_str());
    }
    {
        (title): Text = o.short_title(), "nozzles";
        /// Kind of nozzle.
        kind: Text = o.kind.name();
        /// Number of nozzles.
        number: Count = o.number;
        /// Diameter of the exit.
        exit_diameter_m: Length = o.exit, "exit";
        smallest_passage_m: Length = o.passage, "smallest passage" [optional];
        made_with: Text = o.making.name(), "made with";
        /// Drill with the least error in flow.
        drill: Text = drill, "nearest drill" => Text = or_words(drill, "none");
        /// Diameter of the drill.
        drill_diameter_m: Length = o.drill.map(|d| d.diameter);
        /// Error in flow with that drill.
        flow_error: Ratio = o.flow_error, "its flow error" 2;
        discharge_coefficient: Number = best, "Discharge coefficient", band (low, high);
        /// The least it may be.
        discharge_coefficient_low: Number = low;
        /// The most it may be.
        discharge_coefficient_high: Number = high;
        filter_mesh_m: Length = o.filter_mesh(), "Filter mesh at most",
            note "a third of the smallest passage; common practice, no source";
        duties: Rows(Drops) = o.drops.iter().map(Drops::row).collect::<Vec<_>>();
        (proposed): Text = if proposed { "proposed" } else { "" }, "";
    }

    /// The fuel at the nozzles.
    AtNozzles(l: &LiquidAt) {
        (density): Density = l.density, "Density";
        (viscosity): DynamicViscosity = l.viscosity, "Viscosity",
            band within(l.viscosity.value, l.viscosity_band.unwrap_or(0.0));
        (surface_tension): SurfaceTension = l.surface_tension, "Surface tension";
    }

    /// Drops at a duty.
    Drops(d: &DropsAt)
    with {
        sizes = d.sizes.as_ref().ok();
        (mean, low, high) = (sizes.map(|s| s.mean), sizes.map(|s| s.low), sizes.map(|s| s.high));
        each = sizes.map(|s| s.each.iter().map(SizeBy::row).collect::<Vec<_>>());
    }
    {
        name: Text = &d.duty, "duty";
        pressure_drop_pa: PressureDifference = d.drop, "nozzle drop";
        /// Sauter mean diameter, by all correlations.
        sauter_mean_diameter_m: Length = mean, "mean, um" 2 => Number = mean.map(micrometres);
        /// The least it may be.
        low_m: Length = low, "least" 2 => Number = low.map(micrometres);
        /// The most it may be.
        high_m: Length = high, "most" 2 => Number = high.map(micrometres);
        correlations: Rows(SizeBy) = each;
        /// Why it does not spray.
        error: Text = d.sizes.as_ref().err().map(ToString::to_string);
    }

    /// The drops by each correlation.
    SizeBy(c: &DropSize) {
        /// Its name.
        correlation: Text = c.correlation;
        /// Its source.
        source: Text = c.source_key;
        /// Sauter mean diameter.
        sauter_mean_diameter_m: Length = c.mean;
        /// The least it may be.
        low_m: Length = c.low;
        /// The most it may be.
        high_m: Length = c.high;
    }

    /// Evaporation at a duty.
    Evaporation(e: &DutyEvaporation) {
        name: Text = &e.duty, "duty";
        /// Sauter mean diameter.
        sauter_mean_diameter_m: Length = e.mean, "mean drop, um" 2 => Number = micrometres(e.mean);
        /// Diameter that a tenth of the fuel exceeds.
        tenth_above_m: Length = e.large, "a tenth of the fuel above, um" 2 => Number = micrometres(e.large);
        heat_to_vaporise_w: Power = e.heat, "heat to vaporise";
        /// The same over the heat release.
        share_of_heat_release: Ratio = e.share, "of the heat release" 2;
        zones: Rows(ZoneOr) = e.zones.iter().map(|z| ZoneOr::row(&e.duty, z)).collect::<Vec<_>>();
    }

    /// Evaporation at a duty; where it is not computed, `error` alone.
    EvaporationAt(e: &Result<DutyEvaporation, String>) {
        ..known: Row(Evaporation) = e.as_ref().ok().map(Evaporation::row);
        /// Why it is not computed.
        [error]: Text = e.as_ref().err();
    }

    /// Drops in a zone. A large drop is one that a tenth of the fuel exceeds.
    Zone(duty: &str, z: &InZone)
    with { zone = &z.zone; }
    {
        (duty): Text = duty, "duty";
        name: Text = zone.name, "zone";
        /// Temperature of the gas.
        gas_temperature_k: Temperature = zone.gas, "gas";
        transfer_number: Number = z.transfer_number, "transfer number" 2;
        /// Evaporation constant of the d-squared law.
        evaporation_constant_m2_s: KinematicViscosity = z.constant.square_metres_per_second(), "constant" 2;
        /// Life of the mean drop.
        mean_life_s: Time = z.mean_life, "mean drop lives, ms" 2 => Number = milliseconds(z.mean_life);
        /// The least it may be.
        mean_life_low_s: Time = z.life_band.0;
        /// The most it may be.
        mean_life_high_s: Time = z.life_band.1;
        /// Life of a large drop.
        large_life_s: Time = z.large_life, "large" 2 => Number = milliseconds(z.large_life);
        /// Time that the gas stays.
        residence_time_s: Time = zone.residence, "gas stays" 2 => Number = zone.residence.map(milliseconds);
        /// Speed of the gas.
        gas_velocity_m_s: Velocity = zone.velocity;
        /// Way of the mean drop until it is gone.
        mean_length_m: Length = z.mean_length, "mean drop flies, mm" 2 => Number = z.mean_length.map(millimetres);
        /// Way of a large drop until it is gone.
        large_length_m: Length = z.large_length, "large" 2 => Number = z.large_length.map(millimetres);
        /// Largest drop that is gone by the end of the zone.
        largest_drop_gone_m: Length = z.largest_gone, "largest gone, um" 2 => Number = z.largest_gone.map(micrometres);
        /// Share of the fuel still liquid at the end of the zone.
        liquid_left: Ratio = z.liquid_left, "still liquid" 2;
    }

    /// Drops in the zones; where that is not computed, `error` alone.
    ZoneOr(duty: &str, z: &Result<InZone, String>) {
        ..known: Row(Zone) = z.as_ref().ok().map(|z| Zone::row(duty, z));
        /// Why it is not computed.
        [error]: Text = z.as_ref().err();
    }

    /// What vaporiser tubes take up.
    Tubes(v: &VaporiserPlan)
    with { boils = &v.volatility; }
    {
        /// Number of tubes.
        number: Count = v.number, "Tubes" => Text = format!("{} in parallel", v.number);
        outside_diameter_m: Length = v.outside, "Outside diameter";
        bore_m: Length = v.bore, "Bore";
        boiling_temperature_k: Temperature = boils.boiling, "Fuel boils at", note as_fuel(boils.surrogate.as_ref());
        heat_to_vaporise_j_kg: SpecificEnergy = boils.heat, "Heat to vaporise",
            note "from the test day's liquid to dry vapour", band within(boils.heat.value, boils.band);
        /// Relative half-width of its band.
        heat_to_vaporise_band: Ratio = boils.band;
        /// Fuel that stands in for it; null: its own equation.
        surrogate: Text = boils.surrogate.as_ref();
        heat_w: Power = v.heat, "Heat at the largest duty";
    }

    /// Vaporiser tubes in the flame.
    InFlame(v: &VaporiserPlan)
    with {
        [best, least, most] = [0, 1, 2].map(|i| v.length.map(|l| l[i]));
        clean = "clean tube, radiation left out";
        turns = v.turns.map_or_else(
            || clean.to_owned(),
            |t| format!("{} turns round the can; {clean}", significant(t, 2)),
        );
        jet = v.jet.as_ref();
        making = jet.ok().map(|(_, making)| format!("{}; at a drop of 1 bar", making.name()));
    }
    {
        heat_transfer_coefficient_w_m2_k: HeatTransfer = v.coefficient, "Coefficient outside", source "churchill1977";
        (flux): HeatFlux = v.flux, "Heat flux";
        length_m: Length = best, "Length of each in the flame", note turns, band (least, most);
        /// The least it may be.
        length_low_m: Length = least;
        /// The most it may be.
        length_high_m: Length = most;
        vapour_velocity_m_s: Velocity = v.vapour_velocity, "Vapour at their ends";
        metering_jet_diameter_m: Length = jet.ok().map(|j| j.0),
            "Metering jet of each" => Length = or_why(&jet.map(|j| j.0), "not known"), note making;
    }

    /// Vapour through the old gas holes.
    Ring(r: Option<&RingOnVapour>)
    with {
        margin = r.map(|r| format!(
            "every part of ring and line must stay hotter; margin {}", r.superheat.show(Units::Si)
        ));
    }
    {
        /// Pressure that the vapour needs before the old gas holes.
        ring_pressure_on_vapour_pa: AbsolutePressure = r.map(|r| r.pressure),
            "Pressure before them at the largest duty";
        (vapour): Temperature = r.map(|r| r.temperature), "Vapour", note r.map(|r| as_fuel(r.surrogate.as_ref()));
        /// Temperature below which the vapour condenses there.
        ring_dew_temperature_k: Temperature = r.map(|r| r.dew), "It condenses below", note margin;
    }

    /// Vaporiser tubes.
    Vaporiser(v: &VaporiserPlan) {
        ..tubes: Row(Tubes) = Tubes::row(v);
        ..in_flame: Row(InFlame) = InFlame::row(v);
        ..ring: Row(Ring) = Ring::row(v.through_ring.as_ref().and_then(|r| r.as_ref().ok()));
    }
}

/// All nozzles that were looked at.
pub(super) fn options(plan: &ToLiquid) -> Vec<Row> {
    let nozzles = &plan.nozzles;
    let options = nozzles.options.iter().enumerate();
    let rows = options.map(|(i, o)| Nozzle::row(o, nozzles.proposed == Some(i)));
    rows.collect()
}

/// Options, then the drops of the proposed one.
pub(super) fn nozzles(report: &mut Report, input: &ConvertInput<'_>, plan: &ToLiquid) {
    let nozzles = &plan.nozzles;
    let rows = options(plan);
    let columns = [
        "title",
        "exit_diameter_m",
        "drill",
        "flow_error",
        "smallest_passage_m",
        "made_with",
        "proposed",
    ];
    report.table("Nozzles for the largest duty", table_of(&rows, &columns));
    for why in &nozzles.refused {
        report.remark(format!("{why}."));
    }
    let mut facts = AtNozzles::row(&plan.liquid).facts();
    if let Some(row) = nozzles.proposed.and_then(|i| rows.get(i)) {
        facts.extend(row.facts_of(&["discharge_coefficient", "filter_mesh_m"]));
    }
    report.facts("Liquid at the nozzles, test day", facts);
    for kind in [NozzleKind::PressureSwirl, NozzleKind::PlainOrifice] {
        let of_kind = nozzles.options.iter().filter(|o| o.kind == kind);
        let proposed = nozzles.proposed().filter(|p| p.kind == kind);
        if let Some(option) = proposed.or_else(|| of_kind.min_by_key(|o| o.number)) {
            drops(report, option);
        }
    }
    for key in [
        "lefebvre1989",
        "jasuja1979",
        "radcliffe1960",
        "elkotb1982",
        "harmon1955",
        "rizk-lefebvre-1985",
    ] {
        report.cite(input.library, key);
    }
}

fn drops(report: &mut Report, option: &NozzleOption) {
    for d in &option.drops {
        if let Err(why) = &d.sizes {
            report.remark(format!("{}: {why}.", d.duty));
        }
    }
    let rows: Vec<Row> = option.drops.iter().map(Drops::row).collect();
    let mut table = table(&rows);
    let each = |d: &DropsAt| d.sizes.as_ref().ok().map(|s| s.each.clone());
    let correlations = option.drops.iter().find_map(each).unwrap_or_default();
    let columns = correlations.iter().map(|c| {
        let author = c.correlation.split(' ').next().unwrap_or_default();
        Column::new(format!("{author}, um")).digits(2)
    });
    let cells = option.drops.iter().map(|d| match each(d) {
        Some(each) => each
            .iter()
            .map(|c| Value::Number(micrometres(c.mean)))
            .collect(),
        None => vec![Value::Absent; correlations.len()],
    });
    table.insert(2, columns, cells);
    let heading = format!(
        "Drops of {}: Sauter mean by each correlation, and their spread",
        option.title()
    );
    report.table(&heading, table);
}

/// Heat, then life against stay in every zone.
pub(super) fn evaporation(report: &mut Report, plan: &ToLiquid) {
    let (mut heat, mut zones) = (Vec::new(), Vec::new());
    for duty in &plan.evaporation {
        let e = match duty {
            Ok(e) => e,
            Err(why) => {
                report.remark(format!("{why}."));
                continue;
            }
        };
        heat.push(Evaporation::row(e));
        for zone in &e.zones {
            match zone {
                Ok(z) => zones.push(Zone::row(&e.duty, z)),
                Err(why) => report.remark(format!("{}: {why}.", e.duty)),
            }
        }
    }
    report.table("Heat to vaporise", table(&heat));
    let lives = [
        "duty",
        "name",
        "gas_temperature_k",
        "mean_life_s",
        "large_life_s",
        "residence_time_s",
        "liquid_left",
    ];
    let heading = "Drops against the time they have";
    report.table(heading, table_of(&zones, &lives));
    let ways = [
        "duty",
        "name",
        "transfer_number",
        "evaporation_constant_m2_s",
        "mean_length_m",
        "large_length_m",
        "largest_drop_gone_m",
    ];
    let heading = "How far drops fly before they are gone";
    report.table(heading, table_of(&zones, &ways));
    report.assume(format!(
        "the evaporation constant of the d-squared law is good to {} [turns, godsave1953]; `still liquid` sums it over the spread of sizes",
        percent(CONSTANT_BAND)
    ));
}

/// Tubes in the flame, and their vapour through the old holes.
pub(super) fn vaporiser(report: &mut Report, plan: &ToLiquid) {
    let v = match &plan.vaporiser {
        Ok(v) => v,
        Err(why) => {
            report.remark(format!("Vaporiser tubes: {why}."));
            return;
        }
    };
    let mut facts = Tubes::row(v).facts();
    if let Some((zone, t)) = v.gas {
        let name = format!("Gas around them, {zone}");
        facts.push(Fact::of(name, Kind::Temperature, t.value));
    }
    facts.extend(InFlame::row(v).facts());
    report.facts("Vaporiser tubes", facts);
    if v.length.is_none() {
        report.remark("The length of the vaporiser tubes is not known: the rig file gives no can volume and length, or the flame is not known.");
    }
    report.remark("Vaporiser tubes need a flame before they work: start on a gas pilot or an electric heater of the power shown. Kerosene and diesel leave coke in tubes whose wall passes about 400 degC (common practice, no source).");
    match &v.through_ring {
        Some(Ok(r)) => {
            let row = Ring::row(Some(r));
            report.facts("Vapour through the old gas holes", row.facts());
        }
        Some(Err(why)) => report.remark(format!("Vapour through the old gas holes: {why}.")),
        None => {}
    }
}

/// A line on the measured burning constant, where one is listed.
pub(super) fn second(report: &mut Report, input: &ConvertInput<'_>) {
    if let Some(k) = second_opinion(input) {
        report.remark(format!(
            "Single drops of {} that burn with a flame of their own have been measured at about {} mm²/s [burning-constant-memory].",
            input.to.composition().label(),
            significant(k.square_metres_per_second() * 1e6, 2)
        ));
    }
}
