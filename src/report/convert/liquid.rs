//! A switch to a liquid: in short, the gas holes, feed, masses.

use super::spray::{EvaporationAt, Nozzle, Vaporiser};
use super::stands::{LightOffOf, Suction};
use super::{findings, limits, old, old_train, spray, stands, work};
use crate::convert::concern::of_liquid;
use crate::convert::feed::{
    BATTERY_USABLE, Band, BatteryPlan, FULL_ON_HOTTEST, PumpPlan, TankPlan, ValvePlan,
};
use crate::convert::gas_holes::{LEAST_STIFFNESS, LEAST_WEBER, LiquidInGasHoles};
use crate::convert::hazards::Hazard;
use crate::convert::lines::{LineOption, Lines};
use crate::convert::{ConvertError, ConvertInput, LiquidSystem, MassItem, ToLiquid};
use crate::flow::valve::Passage;
use crate::quantity::show::{Show, Units, number, percent, show};
use crate::quantity::{AbsolutePressure, Kind};
use crate::report::Report;
use crate::report::record::{Raw, Row, record, table};

record! {
    /// What it comes to.
    InShort(input: &ConvertInput<'_>, plan: &ToLiquid, system: &LiquidSystem)
    with {
        (tank, units) = (&plan.tank, input.units);
        gauge = |p: AbsolutePressure| p.gauge(input.rig.site.air_pressure).show(units);
        pump = plan.pump.as_ref().ok().map(|p| {
            let [power, low, high] = [p.electric.value, p.electric.low, p.electric.high].map(|e| e.show(units));
            let flow = show(Kind::VolumeRate, p.flow.value, units);
            format!("{flow} at {}, {power} electric ({low} to {high})", gauge(p.outlet))
        });
        nozzles = plan.nozzles.proposed().map_or_else(
            || "none that can be made: vaporiser tubes".to_owned(),
            |n| {
                let (exit, making) = (n.exit.show(units), n.making.name());
                format!("{} of {exit} exit at {}; {making}", n.title(), gauge(plan.feed_pressure))
            },
        );
        (left, worst) = liquid_left(plan).unzip();
    }
    {
        (fuel): Mass = tank.filled(tank.endurance), "Fuel for the endurance",
            note format!(
                "{} at a mean of {}; {}",
                show(Kind::Time, tank.endurance.value, units), tank.mean_flow.show(units), tank.mean_from
            );
        (tank): Volume = tank.volume(tank.endurance), "Tank";
        (pump): Text = pump, "Pump";
        (nozzles): Text = nozzles, "Nozzles";
        (left): Ratio = left, "Still liquid at the end of the can",
            note worst.map(|duty| format!("at {duty}, the worst of the duties with a spray"));
        (old_train): Text = old_train(&plan.fates), "Old train";
        ..masses: Row(Masses) = Masses::row(system);
    }

    /// A value with the band it lies in.
    Banded(value: Raw, low: Raw, high: Raw) {
        /// Best estimate.
        value: Number = value;
        /// Least.
        low: Number = low;
        /// Most.
        high: Number = high;
    }

    /// The tank.
    Tank(t: &TankPlan)
    with {
        time = t.endurance;
        dry = t.dry_mass(time);
        (diameter, length) = t.size(time);
    }
    {
        endurance_s: Time = time, "Endurance", note t.endurance_from;
        /// Where the endurance is from.
        endurance_from: Text = t.endurance_from;
        /// Mean flow while burning.
        mean_flow_kg_s: MassRate = t.mean_flow;
        fuel_burnt_kg: Mass = t.burnt(time), "Fuel burnt";
        fuel_filled_kg: Mass = t.filled(time), "Fuel filled", note "5 % stays behind: our choice";
        (hottest_density): Density = t.hottest_density, "Density on the hottest day";
        volume_m3: Volume = t.volume(time), "Volume",
            note format!("{} full on the hottest day: our choice", percent(FULL_ON_HOTTEST));
        (diameter): Length = diameter, "Diameter, as a cylinder";
        (length): Length = length, "Length";
        dry_mass_kg: Row(Banded) = banded(&dry), "Mass, empty" => Mass = dry.value,
            note "1 mm steel and fittings; weigh it", band (dry.low, dry.high);
    }

    /// The pump and its battery.
    Pump(p: &PumpPlan, battery: Option<&BatteryPlan>)
    with {
        (efficiency, electric, mass) = (&p.efficiency, &p.electric, &p.mass);
        pack = battery.map(|b| b.mass);
    }
    {
        flow_m3_s: VolumeRate = p.flow, "Flow at the largest duty",
            note "what the burner does not take goes back to the tank";
        /// Pressure at its outlet.
        outlet_pressure_pa: AbsolutePressure = p.outlet;
        pressure_rise_pa: PressureDifference = p.rise, "Pressure added", note "nozzles, valve and line";
        head_m: Length = p.head, "Head";
        hydraulic_power_w: Power = p.hydraulic, "Hydraulic power";
        efficiency: Row(Banded) = banded(efficiency), "Efficiency, electric to hydraulic" => Ratio = efficiency.value,
            note "small gear and vane pumps with motor; common practice, no source",
            band (efficiency.low, efficiency.high);
        electric_power_w: Row(Banded) = banded(electric), "Electric power" => Power = electric.value,
            band (electric.low, electric.high);
        mass_kg: Row(Banded) = banded(mass), "Mass with motor" => Mass = mass.value,
            note "0.25 kg and 80 W/kg: our choice; weigh it", band (mass.low, mass.high);
        battery_energy_j: Energy = battery.map(|b| b.energy), "Battery energy taken out";
        battery_mass_kg: Row(Banded) = pack.as_ref().map(banded), "Battery mass" => Mass = pack.map(|m| m.value),
            note format!("{} of its energy used", percent(BATTERY_USABLE)),
            band (pack.map(|m| m.low), pack.map(|m| m.high));
    }

    /// Bores of the line, by rising size.
    Bore(o: &LineOption, taken: bool) {
        /// Outside diameter.
        outside_diameter_m: Length = o.outside;
        bore_m: Length = o.bore, "bore";
        /// Pressure loss on the test day.
        pressure_loss_pa: PressureDifference = o.loss, "loss";
        /// Pressure loss on the coldest day.
        pressure_loss_coldest_pa: PressureDifference = &o.cold_loss, "loss, coldest";
        velocity_m_s: Velocity = o.velocity, "speed" 2;
        /// Volume that it holds.
        volume_m3: Volume = o.holds, "holds";
        /// Time that the largest duty takes to fill it.
        fill_time_s: Time = o.fills_in, "fills in" 2 [optional];
        mass_kg: Mass = o.mass, "mass" 2;
        /// Whether the plan takes it.
        taken: Flag = taken, "" => Text = if taken { "taken" } else { "" };
    }

    /// The line from tank to nozzles.
    LinesOf(l: &Lines)
    with { options = l.options.iter().enumerate().map(|(i, o)| Bore::row(o, l.chosen == Some(i))); }
    {
        /// Its length.
        length_m: Length = l.length;
        options: Rows(Bore) = options.collect::<Vec<_>>();
    }

    /// The valve at a duty.
    AtDuty(name: &str, passage: Option<&Passage>, before: Option<f64>) {
        name: Text = name, "duty";
        /// Flow coefficient that it needs.
        kv_m3_h: Number = passage.map(|p| p.kv), "Kv, m³/h";
        (before): AbsolutePressure = before, "before";
        /// Pressure behind it.
        outlet_pressure_pa: AbsolutePressure = passage.map(|p| p.outlet), "behind";
        /// Whether it is choked.
        choked: Flag = passage.map(|p| p.choked), "choked";
    }

    /// The metering valve.
    Valve(v: &ValvePlan)
    with { duties = v.duties.iter().map(|(name, p)| AtDuty::row(name, p.as_ref().ok(), None)); }
    {
        /// Drop over it at the largest duty.
        pressure_drop_pa: PressureDifference = v.drop;
        duties: Rows(AtDuty) = duties.collect::<Vec<_>>();
    }

    /// The liquid through the old gas holes at a duty.
    GasHole(h: &LiquidInGasHoles) {
        name: Text = &h.duty, "duty";
        /// Pressure drop over them.
        pressure_drop_pa: PressureDifference = h.drop, "drop";
        /// The drop as a column of the fuel.
        fuel_column_m: Length = h.column, "as column of fuel";
        /// Drop over chamber pressure.
        stiffness: Ratio = h.stiffness, "drop / chamber" 2;
        /// Speed of the jets.
        jet_velocity_m_s: Velocity = h.velocity, "jet" 2;
        weber_number: Number = h.weber, "Weber number" 2;
        /// Discharge coefficient.
        discharge_coefficient: Number = h.discharge, "coefficient" 2 [optional];
    }

    /// Why the gas holes cannot be kept.
    GasHoles(plan: &ToLiquid)
    with { against = plan.against.as_ref(); }
    {
        duties: Rows(GasHole) = plan.gas_holes.iter().flatten().map(GasHole::row).collect::<Vec<_>>();
        /// Weight of the fuel from top to bottom of a ring that stands upright.
        head_across_ring_pa: PressureDifference = against.and_then(|a| a.across_ring);
        /// Pressure that surface tension holds back at a hole.
        capillary_pressure_pa: PressureDifference = against.map(|a| a.capillary);
        /// Area of the holes over that of the nozzles proposed.
        area_over_nozzles: Ratio = against.and_then(|a| a.area_over_nozzles);
    }

    /// A hazard lost or gained.
    HazardOf(h: &Hazard) {
        /// Whether the switch brings it; else it takes it away.
        gained: Flag = h.gained, "hazard" => Text = if h.gained { "gained" } else { "lost" };
        /// What it is, with its figure.
        what: Text = &h.what, "";
    }

    /// A mass of the liquid system.
    MassOf(i: &MassItem) {
        name: Text = &i.name, "part";
        group: Text = i.group.name(), "group";
        mass_kg: Row(Banded) = i.mass.as_ref().map(banded), "mass" => Mass = i.mass.map(|m| m.value);
        (low): Mass = i.mass.map(|m| m.low), "least" 2;
        (high): Mass = i.mass.map(|m| m.high), "most" 2;
        /// How it was got.
        how: Text = &i.how, "how" [optional];
    }

    /// Masses of the liquid system.
    Masses(system: &LiquidSystem)
    with { (total, missing) = system.total(); }
    {
        items: Rows(MassOf) = system.items.iter().map(MassOf::row).collect::<Vec<_>>();
        /// Sum of the known masses, fuel included.
        total_kg: Row(Banded) = banded(&total), "Liquid system with fuel" => Mass = total.value,
            note (!missing.is_empty()).then(|| format!("without {}: no mass given", missing.join(", "))),
            band (total.low, total.high);
        /// Parts whose mass is not known.
        missing: Texts = missing;
    }

    /// A switch to a liquid.
    ToLiquidOf(plan: &ToLiquid, masses: Row) {
        /// `to-liquid`.
        kind: Text = "to-liquid";
        /// Pressure before the nozzles at the largest duty.
        feed_pressure_pa: AbsolutePressure = plan.feed_pressure;
        tank: Row(Tank) = Tank::row(&plan.tank);
        /// The pump and its battery; null where there is none.
        pump: Row(Pump) = plan.pump.as_ref().ok().map(|p| Pump::row(p, plan.battery.as_ref().ok()));
        lines: Row(LinesOf) = LinesOf::row(&plan.lines);
        valve: Row(Valve) = plan.valve.as_ref().map(Valve::row);
        nozzles: Rows(Nozzle) = spray::options(plan);
        /// Which of the nozzles is proposed, counted from 0; null where none can be made.
        proposed_nozzle: Count = plan.nozzles.proposed;
        evaporation: Rows(EvaporationAt) = plan.evaporation.iter().map(EvaporationAt::row).collect::<Vec<_>>();
        /// Vaporiser tubes; null where the fuel does not boil within the data.
        vaporiser: Row(Vaporiser) = plan.vaporiser.as_ref().ok().map(Vaporiser::row);
        /// Nozzles as they are bought and lit; null where none is sized.
        nozzles_to_buy: Row(work::NozzlesBought) = plan.nozzles_to_buy.as_ref().ok().map(work::NozzlesBought::row);
        /// The pump as it is bought; null where there is none.
        pump_to_buy: Row(work::PumpBought) = plan.pump_to_buy.as_ref().map(work::PumpBought::row);
        light_off: Row(LightOffOf) = LightOffOf::row(&plan.light_off);
        suction: Row(Suction) = Suction::row(&plan.suction);
        gas_holes: Row(GasHoles) = GasHoles::row(plan);
        hazards: Rows(HazardOf) = plan.hazards.iter().map(HazardOf::row).collect::<Vec<_>>();
        masses: Row(Masses) = masses;
    }
}

fn banded<T: Copy + Into<Raw>>(b: &Band<T>) -> Row {
    Banded::row(b.value.into(), b.low.into(), b.high.into())
}

/// Adds the whole plan.
///
/// # Errors
/// [`ConvertError`]: masses for the endurance.
pub fn liquid(
    report: &mut Report,
    input: &ConvertInput<'_>,
    plan: &ToLiquid,
) -> Result<(), ConvertError> {
    let system = plan.system(input, plan.tank.endurance)?;
    work::liquid(report, input, plan);
    report.facts("In short", InShort::row(input, plan, &system).facts());
    super::duties(report, input, &plan.duties);
    limits(report, &plan.limits);
    gas_holes(report, plan, input.units);
    spray::nozzles(report, input, plan);
    spray::evaporation(report, plan);
    spray::vaporiser(report, plan);
    report.facts("Tank", Tank::row(&plan.tank).facts());
    pump(report, plan);
    lines(report, plan, input.units);
    valve(report, plan);
    stands::light_off(report, plan);
    stands::suction(report, plan);
    // those that it takes away first
    let (gained, lost): (Vec<&Hazard>, Vec<_>) = plan.hazards.iter().partition(|h| h.gained);
    let hazards = lost.into_iter().chain(gained).map(HazardOf::row);
    report.table(
        "Hazards lost and gained",
        table(&hazards.collect::<Vec<_>>()),
    );
    old(report, &plan.fates, &plan.materials);
    let masses = masses(report, &system);
    findings(report, &of_liquid(plan, input), input.units);
    for sentence in plan.assumptions.iter().chain(&plan.suction.assumptions) {
        report.assume(sentence.as_str());
    }
    for key in [
        "iec60534-2-1",
        "turns",
        "colebrook1939",
        "churchill1977",
        "white-viscous",
        "chung1988",
    ] {
        report.cite(input.library, key);
    }
    spray::second(report, input);
    report.keys(&ToLiquidOf::row(plan, masses));
    Ok(())
}

fn liquid_left(plan: &ToLiquid) -> Option<(f64, &str)> {
    let known = plan.evaporation.iter().flatten().filter_map(|e| {
        let can = e.zones.iter().flatten().next_back()?;
        Some((can.liquid_left?.value, e.duty.as_str()))
    });
    known.max_by(|a, b| a.0.total_cmp(&b.0))
}

fn gas_holes(report: &mut Report, plan: &ToLiquid, units: Units) {
    if !plan.from_gas {
        return;
    }
    for why in plan.gas_holes.iter().filter_map(|h| h.as_ref().err()) {
        report.remark(format!("Liquid through the gas holes: {why}."));
    }
    let heading = "Why the gas holes cannot be kept";
    report.table(heading, table(GasHoles::row(plan).rows("duties")));
    let by_drop = |a: &&LiquidInGasHoles, b: &&LiquidInGasHoles| {
        a.drop.pascals().total_cmp(&b.drop.pascals())
    };
    let lowest = plan.gas_holes.iter().flatten().min_by(by_drop);
    let (Some(against), Some(lowest)) = (&plan.against, lowest) else {
        return;
    };
    let mut text = format!(
        "At {} {} drives the liquid through all holes; {} of the chamber pressure would be wanted against surges, and a Weber number of {LEAST_WEBER} for jets instead of drips. Surface tension alone holds back {} at a hole",
        lowest.duty,
        lowest.drop.show(units),
        percent(LEAST_STIFFNESS),
        against.capillary.show(units),
    );
    if let Some(head) = against.across_ring {
        text = format!(
            "{text}, and in a ring that stands upright the fuel weighs {} from top to bottom: the lowest holes get it all",
            head.show(units)
        );
    }
    if let Some(area) = against.area_over_nozzles {
        text = format!(
            "{text}. They have {} times the area of the nozzles proposed here",
            number(area.value)
        );
    }
    report.paragraph(heading, format!("{text}."));
}

fn pump(report: &mut Report, plan: &ToLiquid) {
    let pump = match &plan.pump {
        Ok(pump) => pump,
        Err(why) => {
            report.remark(format!("No pump: {why}."));
            return;
        }
    };
    if let Err(why) = &plan.battery {
        report.remark(format!("No battery: {why}."));
    }
    let row = Pump::row(pump, plan.battery.as_ref().ok());
    report.facts("Pump and battery", row.facts());
}

fn lines(report: &mut Report, plan: &ToLiquid, units: Units) {
    let lines = &plan.lines;
    for why in lines
        .options
        .iter()
        .filter_map(|o| o.cold_loss.as_ref().err())
    {
        report.remark(format!(
            "The loss of the lines on the coldest day is not known: {why}."
        ));
    }
    let row = LinesOf::row(lines);
    report.table("Line bores", table(row.rows("options")));
    report.assume(format!(
        "the line is {} of drawn stainless tube with 1 mm wall and six elbows ({}); the narrowest with at most a tenth of the nozzles' drop on the coldest day is taken",
        lines.length.show(units),
        lines.length_from
    ));
}

fn valve(report: &mut Report, plan: &ToLiquid) {
    let Some(valve) = &plan.valve else { return };
    let loss = plan.lines.chosen().map_or(0.0, |l| l.loss.pascals());
    let pump = plan.pump.as_ref().ok();
    let before = pump.map(|p| p.outlet.pascals() - loss);
    let mut rows = Vec::new();
    for (name, passage) in &valve.duties {
        match passage {
            Ok(p) => rows.push(AtDuty::row(name, Some(p), before)),
            Err(why) => report.remark(format!("Valve at {name}: {why}.")),
        }
    }
    report.table("Metering valve by IEC 60534-2-1", table(&rows));
    if let Some((least, most)) = valve.range() {
        report.remark(format!(
            "The metering valve needs Kv {} to {} m³/h, {} to 1.",
            number(least),
            number(most),
            number(most / least)
        ));
    }
}

/// Adds the masses, heaviest first; the row of all.
fn masses(report: &mut Report, system: &LiquidSystem) -> Row {
    let mut items: Vec<&MassItem> = system.items.iter().collect();
    let mass = |i: &MassItem| i.mass.map_or(0.0, |m| m.value.value);
    items.sort_by(|a, b| mass(b).total_cmp(&mass(a)));
    let rows: Vec<Row> = items.into_iter().map(MassOf::row).collect();
    report.table("Masses of the liquid system", table(&rows));
    Masses::row(system)
}
