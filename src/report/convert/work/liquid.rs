//! The work list of a switch to a liquid.

use super::{BUY, FIT, LIGHT_OFF, NozzlesBought, PumpBought, Work};
use crate::audit::checklist::Reading;
use crate::convert::fate::{Fate, PartFate};
use crate::convert::feed::ValvePlan;
use crate::convert::light_off::COLD_VISCOSITY_M2_S;
use crate::convert::nozzle::LEAST_SWIRL_DROP_PA;
use crate::convert::to_buy::{Lit, NozzlesToBuy, US_GALLON_PER_HOUR_M3_S};
use crate::convert::{ConvertInput, ToLiquid};
use crate::quantity::Kind;
use crate::quantity::show::{fixed, number, rounded};
use crate::report::Report;
use crate::report::record::table;
use crate::train::PartKind;
use crate::train::plan::INJECTOR;
use crate::train::rig::supply::VENTED_PA;

const PRACTICE: &str = "common practice, no source";
/// How long a nozzle sprays into a can to be weighed, s; our choice.
const CAUGHT_S: f64 = 60.0;
/// Longest time that fuel flows without a flame, s: as SHU015 has it.
const LONGEST_LIGHT_OFF_S: f64 = 15.0;
/// A nozzle that is off by more is not the one that was ordered; our choice.
const CAUGHT_OFF: f64 = 0.1;

/// Adds the work list.
pub fn liquid(report: &mut Report, input: &ConvertInput<'_>, plan: &ToLiquid) {
    let mut work = Work::new(input);
    light_off(&mut work, plan);
    buy(&mut work, plan);
    work.old(&plan.fates);
    let wanted_m3 = plan.tank.volume(plan.tank.endurance).value;
    if let Some(has_m3) = kept_tank(&work, plan).filter(|m3| *m3 >= wanted_m3) {
        let [has, wanted] = [has_m3, wanted_m3].map(|m3| work.show(Kind::Volume, m3));
        work.line(
            format!("Keep the tank of {has}, cleaned; {wanted} are wanted"),
            "Tank",
        );
    }
    fit(&mut work, plan);
    work.write(report);
    if let Ok(nozzles) = &plan.nozzles_to_buy {
        let row = NozzlesBought::row(nozzles);
        let heading = "Nozzles to buy, and how they are lit";
        report.facts(heading, row.facts());
        report.table(heading, table(row.rows("duties")));
        if let Some(pump) = &plan.pump_to_buy {
            report.facts(heading, PumpBought::row(pump).facts());
        }
        if let Some(proposed) = plan.nozzles.proposed() {
            report.assume(format!(
                "drops and their evaporation are computed for {}, all lit at every duty; the list buys {} and lights them one after another",
                proposed.title(),
                nozzles.number
            ));
        }
    }
}

/// Duties and how many nozzles they burn, alike ones together, with the lowest drop.
fn stages(work: &Work<'_>, n: &NozzlesToBuy) -> String {
    let mut told: Vec<(u32, Vec<&Lit>)> = Vec::new();
    for lit in &n.duties {
        match told.iter_mut().find(|(of, _)| *of == lit.nozzles) {
            Some((_, duties)) => duties.push(lit),
            None => told.push((lit.nozzles, vec![lit])),
        }
    }
    told.sort_by_key(|(of, _)| *of);
    let stages = told.into_iter().map(|(of, duties)| {
        let names: Vec<&str> = duties.iter().map(|l| l.duty.as_str()).collect();
        let drops = duties.iter().map(|l| l.drop.pascals());
        let lowest = drops.fold(f64::INFINITY, f64::min);
        format!(
            "{} on {of} ({} or more)",
            names.join(", "),
            work.show(Kind::PressureDifference, lowest)
        )
    });
    stages.collect::<Vec<_>>().join("; ")
}

fn light_off(work: &mut Work<'_>, plan: &ToLiquid) {
    work.part(LIGHT_OFF);
    low_duty(work, plan);
    let fuel = work.input.to.composition().label().to_owned();
    let light = &plan.light_off;
    let cold = light.standing.iter().find(|s| s.when == "coldest day");
    let pilots = work.input.rig.train.outlets();
    let pilot = pilots
        .into_iter()
        .find(|o| plan.from_gas && o.name != INJECTOR);
    let by = pilot.map_or_else(
        || "a strong spark or gas pilot in the spray".to_owned(),
        |p| {
            format!(
                "the gas `{}`, on a cylinder and regulator of its own",
                p.name
            )
        },
    );
    if let (Some(flash), Some(cold)) = (light.highest(), cold)
        && cold.temperature.value < flash.value
    {
        let [flash, cold] =
            [flash, cold.temperature].map(|t| work.show(Kind::Temperature, t.value));
        let preheat = light.preheat.map_or(String::new(), |p| {
            format!(", or preheat it ({})", work.show(Kind::Power, p.value))
        });
        work.line(
            format!(
                "Light by {by}{preheat}: at {cold} {fuel} vapour does not light, flash point {flash}"
            ),
            "Light-off",
        );
    } else {
        work.line(
            format!(
                "Light by {by}; vapour of {fuel} lights on any day: nothing alight at tank and line"
            ),
            "Light-off",
        );
    }
    let thick = cold
        .and_then(|s| s.liquid.as_ref().ok())
        .map(|l| l.kinematic_viscosity().value)
        .filter(|nu| *nu > COLD_VISCOSITY_M2_S);
    if let Some(nu) = thick {
        let [nu, most] =
            [nu, COLD_VISCOSITY_M2_S].map(|nu| work.show(Kind::KinematicViscosity, nu));
        work.line(
            format!("Warm the fuel before a cold start: {nu} on the coldest day, {most} is what pumps and nozzles start on"),
            PRACTICE,
        );
    }
    let given = work.input.rig.controls.ignition_time;
    let within_s = given.map_or(LONGEST_LIGHT_OFF_S, |t| t.value.min(LONGEST_LIGHT_OFF_S));
    work.line(
        format!(
            "Shut the fuel after {} without flame; wipe the can dry before a new try",
            work.show(Kind::Time, within_s)
        ),
        "15 s at most: SHU015",
    );
}

/// Whether one nozzle turns down, and what to do where it does not.
fn low_duty(work: &mut Work<'_>, plan: &ToLiquid) {
    let n = match &plan.nozzles_to_buy {
        Ok(n) => n,
        Err(why) => {
            work.line(
                format!("Burn it from vaporiser tubes: {why}"),
                "Vaporiser tubes",
            );
            return;
        }
    };
    let least = work.show(Kind::PressureDifference, LEAST_SWIRL_DROP_PA);
    let lowest = work.show(Kind::PressureDifference, n.all_lit.pascals());
    if n.spill_return {
        work.line(
            format!(
                "Fit spill-return nozzles: at {} plain ones have a drop of {lowest}, and {least} is the least for a cone; 4 lit one after another do not help",
                plan.smallest
            ),
            "Nozzles to buy, and how they are lit",
        );
    } else if n.number > 1 && n.all_lit.pascals() < LEAST_SWIRL_DROP_PA {
        work.line(
            format!(
                "Fit {} equal nozzles, each with a shut-off of its own: one for all duties has a drop of {lowest} at {}, and {least} is the least for a cone",
                n.number, plan.smallest
            ),
            PRACTICE,
        );
        let stages = stages(work, n);
        work.line(
            format!("Light one alone; burn {stages}"),
            "Nozzles to buy, and how they are lit",
        );
    } else {
        let all = if n.number == 1 {
            "One nozzle turns down far enough".to_owned()
        } else {
            format!("Light {}", stages(work, n))
        };
        work.line(
            format!(
                "{all}: {lowest} at {}, {least} is the least for a cone",
                plan.smallest
            ),
            "Nozzles to buy, and how they are lit",
        );
    }
}

fn buy(work: &mut Work<'_>, plan: &ToLiquid) {
    work.part(BUY);
    nozzles(work, plan);
    match (&plan.pump, &plan.pump_to_buy) {
        (Ok(pump), Some(buy)) => {
            let rating = work.show(Kind::GaugePressure, buy.rating.pascals());
            work.line(
                format!(
                    "Pump: {} or more at {}, made for {rating} and this fuel, relief back to the tank",
                    work.litres_per_hour(buy.flow),
                    work.gauge(buy.outlet),
                ),
                "1.5 times the flow, 1.25 times the pressure: our choice",
            );
            pressed(work, plan);
            if let Ok(battery) = &plan.battery {
                let wh = rounded(battery.energy.value / 3600.0, 2);
                let time = work.show(Kind::Time, plan.tank.endurance.value);
                let electric = rounded(pump.electric.high.value, 2);
                work.line(
                    format!("Current for it: {electric} W at most, {wh} Wh in {time}"),
                    "Pump and battery",
                );
            }
            let gauge_stays =
                |f: &PartFate| f.fate != Fate::Goes && f.kind == "tapping" && shows(work, f);
            let has_gauge = plan.fates.iter().any(gauge_stays);
            if let Some(scale) = buy.scale.filter(|_| !has_gauge) {
                let scale = work.show(Kind::GaugePressure, scale.pascals());
                work.line(
                    format!("Gauge to {scale} before the nozzles, with a bleed"),
                    PRACTICE,
                );
            }
        }
        (Err(why), _) => work.line(format!("No pump is sized: {why}"), "Pump and battery"),
        (Ok(_), None) => {}
    }
    let tank = &plan.tank;
    let wanted_m3 = tank.volume(tank.endurance).value;
    if kept_tank(work, plan).is_some_and(|m3| m3 >= wanted_m3) {
        fittings(work, plan);
        return;
    }
    let [volume, fuel, time] = [
        (Kind::Volume, tank.volume(tank.endurance).value),
        (Kind::Mass, tank.filled(tank.endurance).value),
        (Kind::Time, tank.endurance.value),
    ]
    .map(|(kind, si)| work.show(kind, si));
    work.line(
        format!("Tank of {volume} or more, vented, strainer, drip tray: {fuel} for {time}"),
        tank.endurance_from,
    );
    fittings(work, plan);
}

/// Volume of the tank that the rig has, where it holds a liquid now.
fn kept_tank(work: &Work<'_>, plan: &ToLiquid) -> Option<f64> {
    let tank = work.input.rig.supply.tank().filter(|_| !plan.from_gas)?;
    Some(tank.volume.value * f64::from(tank.number))
}

/// Whether a part of the old train has a gauge.
fn shows(work: &Work<'_>, fate: &PartFate) -> bool {
    let part = work.input.rig.train.part(&fate.name);
    part.is_some_and(|p| matches!(&p.kind, PartKind::Tapping(t) if t.gauge_range.is_some()))
}

/// Gas over the fuel in place of a pump, where the tank is pressed now and stands it.
fn pressed(work: &mut Work<'_>, plan: &ToLiquid) {
    let air = work.input.rig.site.air_pressure.pascals();
    let Some(tank) = work.input.rig.supply.tank().filter(|_| !plan.from_gas) else {
        return;
    };
    let (Some(pad), Some(rating), Some(buy)) = (tank.pressure, tank.rating, &plan.pump_to_buy)
    else {
        return;
    };
    if pad.pascals() > air + VENTED_PA && rating.pascals() >= buy.outlet.pascals() {
        let [outlet, now, rating] = [buy.outlet, pad, rating].map(|p| work.gauge(p));
        work.line(
            format!(
                "Or no pump: gas over the fuel at {outlet} (now {now}), tank made for {rating}"
            ),
            "tank.pressure",
        );
    }
}

fn nozzles(work: &mut Work<'_>, plan: &ToLiquid) {
    let Ok(n) = &plan.nozzles_to_buy else {
        return;
    };
    let gallons = number(n.stamped.value / US_GALLON_PER_HOUR_M3_S);
    let each = if n.number == 1 { "" } else { " each" };
    let each = format!(
        "{}{each} at {}",
        work.per_hour(n.each),
        work.show(Kind::PressureDifference, n.drop.pascals())
    );
    let kind = if n.spill_return {
        "spill-return"
    } else {
        "swirl"
    };
    let cone = format!("{} deg hollow cone", rounded(n.cone_deg, 2));
    let plural = if n.number == 1 { "" } else { "s" };
    match n.size {
        Some(size) => work.line(
            format!(
                "{} {kind} nozzle{plural} of {} US gal/h at 100 psi (7 bar): {gallons} wanted, {each}; {cone}",
                n.number,
                fixed(size, 2)
            ),
            "stamp, sizes and angle: common practice, no source",
        ),
        None => work.line(
            format!(
                "{} {kind} nozzle{plural} of {gallons} US gal/h at 100 psi (7 bar), made to order or air-blast: {each}, no common size is near; {cone}",
                n.number
            ),
            "stamp, sizes and angle: common practice, no source",
        ),
    }
    let mesh = match n.sieve() {
        Some((sieve, opening)) => format!("{} um ({sieve} mesh)", number(opening.value * 1e6)),
        None => format!("{} um", rounded(n.mesh.value * 1e6, 2)),
    };
    work.line(
        format!("Filter of {mesh} or finer before the nozzles"),
        "a third of the smallest passage: common practice, no source",
    );
}

/// Line, metering valve, shut-offs, reliefs.
fn fittings(work: &mut Work<'_>, plan: &ToLiquid) {
    // a liquid rig has its line, and a valve that stays
    if let Some(line) = plan.lines.chosen().filter(|_| plan.from_gas) {
        let [outside, bore, length] =
            [line.outside, line.bore, plan.lines.length].map(|l| work.show(Kind::Length, l.value));
        work.line(
            format!("{length} of steel tube, {outside} outside, {bore} bore"),
            "Line bores",
        );
    }
    let has_valve = plan
        .fates
        .iter()
        .any(|f| f.fate != Fate::Goes && f.kind == "metering-valve");
    let range = plan.valve.as_ref().and_then(ValvePlan::range);
    if let Some((least, most)) = range.filter(|_| !has_valve) {
        work.line(
            format!(
                "Metering valve for liquid, Kv {} to {} m3/h",
                fixed(least, 5),
                fixed(most, 5)
            ),
            "Metering valve by IEC 60534-2-1",
        );
    }
    let kept = plan.fates.iter().filter(|f| f.fate != Fate::Goes);
    let kept = kept
        .filter(|f| f.on_main && f.kind == "solenoid-valve")
        .count();
    let nozzles = plan.nozzles_to_buy.as_ref().map_or(1, |n| n.number);
    // two in series before all nozzles, and one for each that is lit later
    let wanted = 2 + usize::try_from(nozzles).unwrap_or(1) - 1;
    let shut_offs = match wanted.saturating_sub(kept) {
        0 => "Non-return".to_owned(),
        1 => "1 shut-off closed without current, non-return".to_owned(),
        n => format!("{n} shut-offs closed without current, non-return"),
    };
    work.line(
        format!("{shut_offs}, a hydrostatic relief for each section"),
        "two shut-offs before all nozzles, one more for each lit later; sections that two closures can isolate",
    );
}

fn fit(work: &mut Work<'_>, plan: &ToLiquid) {
    work.part(FIT);
    let rig = work.input.rig;
    let old = work.input.from.composition().label().to_owned();
    if plan.from_gas {
        work.line(
            format!("Burn the line empty of {old}, vent it outdoors, cap the cylinder"),
            PRACTICE,
        );
    } else {
        work.line(
            format!("Drain {old} from tank and line into a closed can, flush with the new fuel"),
            PRACTICE,
        );
    }
    let blank = if plan.from_gas {
        "blank the old holes"
    } else {
        "take the old nozzles out"
    };
    work.line(
        format!("Fit tank, strainer, pump, filter, line, shut-offs, metering valve, nozzles in this order; {blank}"),
        PRACTICE,
    );
    work.line(
        "Hold card on a stick to all joints at pump pressure, nothing lit, hands off: no wet spot",
        PRACTICE,
    );
    if let Ok(n) = &plan.nozzles_to_buy {
        let caught = |off: f64| Some(n.each.value * CAUGHT_S * off);
        let caught = Reading {
            at: "scale".to_owned(),
            kind: Kind::Mass,
            low: caught(1.0 - CAUGHT_OFF),
            high: caught(1.0 + CAUGHT_OFF),
        };
        let pressure = work.gauge(plan.feed_pressure);
        work.read(
            format!("Catch what each nozzle sprays in 60 s at {pressure}, nothing lit, spark off, goggles and gloves on; weigh it"),
            "10 % either way: our choice",
            &caught,
        );
    }
    work.line("Shut the shut-offs: no nozzle drips for a minute", PRACTICE);
    work.line(
        "Write the new rig file; `audit` and `checklist` of it before any flame",
        PRACTICE,
    );
    let purge = rig.controls.purge_time.filter(|t| t.value > 0.0);
    let purge = purge.map_or("Blow through".to_owned(), |t| {
        format!("Blow through {}", work.show(Kind::Time, t.value))
    });
    let first = plan.duties.iter().find(|d| d.now.name == plan.smallest);
    let flow = first
        .and_then(|d| d.demand())
        .map_or(String::new(), |d| format!(" ({})", work.per_hour(d.fuel)));
    let up = if plan.smallest == plan.largest {
        String::new()
    } else {
        format!(", step up to {}", plan.largest)
    };
    work.line(
        format!("{purge}, light at {}{flow}{up}", plan.smallest),
        PRACTICE,
    );
}
