//! Lighting up, and what is set, read and watched while it burns.

use super::gauges::{OFF_WANTED, at_duty};
use super::parts::{burns_liquid, scale};
use super::{Checklist, PRACTICE, Reading, When, proofs};
use crate::audit::Solution;
use crate::combustion::Flammability;
use crate::combustion::faint::faint_by_day;
use crate::leak::unlit::least_volumes;
use crate::leak::{Answer, Failure};
use crate::quantity::Kind;
use crate::quantity::show::{fixed, show_digits};
use crate::train::plan::INJECTOR;
use crate::train::rig::Ignition;
use crate::train::{Part, PartKind, TrainDuty};

/// Longest time that fuel flows without a flame, s: as SHU015 has it.
const LONGEST_LIGHT_UP_S: f64 = 15.0;

/// Lighting up.
pub(super) fn light_up(list: &mut Checklist, s: &Solution<'_>) {
    let when = When::LightUp;
    let controls = &s.rig.controls;
    let air = controls.purge_air_flow.map_or(String::new(), |m| {
        format!(" at {}", s.show(Kind::MassRate, m.value))
    });
    if let Some(t) = controls.purge_time.filter(|t| t.value > 0.0) {
        list.read(
            when,
            format!("Blow through for {}{air}", s.show(Kind::Time, t.value)),
            "controls.purge_time",
            Reading {
                at: "stop-watch".to_owned(),
                kind: Kind::Time,
                low: Some(t.value),
                high: None,
            },
        );
    } else {
        let lower = Flammability::of(&s.rig.fuel.composition).ok();
        let lower = lower.map(|l| l.lower).filter(|_| !burns_liquid(s));
        list.add(
            when,
            format!(
                "Blow can and duct through with {} times their volume or more",
                fixed((10.0 * least_volumes(lower)).ceil() / 10.0, 1)
            ),
            "controls.purge_time",
        );
    }
    let first = match controls.ignition {
        Some(Ignition::Spark) => "Prove the air, hear the spark, and only then give fuel",
        Some(Ignition::HotSurface) => {
            "Prove the air, see the igniter glow, and only then give fuel"
        }
        Some(Ignition::Pilot) => {
            "Prove the air, light the pilot, have its detector see it, and only then give main fuel"
        }
        Some(Ignition::Hand) => {
            "Hold a flame on a long wand at the holes, face and hands out of the way, and only then give fuel"
        }
        None => "Give air first, ignition second, fuel last",
    };
    list.add(when, first, "controls.ignition");
    if let Some(duty) = smallest(s) {
        set(list, s, when, duty);
    }
    let time = controls.ignition_time.map_or_else(
        || "at once".to_owned(),
        |t| {
            format!(
                "within {}",
                s.show(Kind::Time, t.value.min(LONGEST_LIGHT_UP_S))
            )
        },
    );
    let unlit = if burns_liquid(s) {
        "wipe up what did not light, "
    } else {
        ""
    };
    list.add(
        when,
        format!(
            "See a flame {time}. If not: shut the fuel, {unlit}blow through again, find out why before another try"
        ),
        "controls.ignition_time",
    );
    proofs::flame_detector(list, s);
}

/// While it runs.
pub(super) fn running(list: &mut Checklist, s: &Solution<'_>) {
    let when = When::Running;
    if let Ok(plan) = s.train() {
        let first = smallest(s).map(|d| &d.name);
        for duty in &plan.duties {
            if duty.solution.is_ok() && Some(&duty.name) != first {
                set(list, s, when, duty);
            }
        }
    }
    let limits: Vec<String> = s
        .rig
        .limits
        .iter()
        .map(|limit| {
            let most = s.show(Kind::Temperature, limit.max_temperature.value);
            format!("{} {most} ({})", limit.place, limit.material)
        })
        .collect();
    if !limits.is_empty() {
        // the rig file has no key for a thermometer
        list.add(
            when,
            format!("Stop where a thermometer shows more: {}", limits.join("; ")),
            "[[limits]]",
        );
    }
    watched_gauges(list, s);
    if let Some(faint) = faint_by_day(&s.rig.fuel.composition) {
        list.add(
            when,
            format!(
                "By day a {} flame is hardly seen: believe the flame detector, not the eye; keep clear of where it may be",
                faint.name()
            ),
            "fuel.composition",
        );
    }
    stop(list, s);
}

/// Signs that stop the run, and what the emergency stop does.
fn stop(list: &mut Checklist, s: &Solution<'_>) {
    let faint = faint_by_day(&s.rig.fuel.composition).is_some();
    let flame = match (faint, burns_liquid(s)) {
        (true, _) => "a flame heard to lift or pulsate",
        (false, true) => "smoke, a flame that lifts, spits or pulsates",
        (false, false) => "a yellow or lifting flame",
    };
    let regulated = s.rig.train.parts().iter().any(|p| p.is_regulator());
    let of_fuel = match (burns_liquid(s), regulated) {
        (true, _) => "a drip or a wet joint",
        (false, true) => "frost on the regulator",
        (false, false) => "frost on the line",
    };
    let smell = if burns_liquid(s) || s.rig.fuel.odorised == Some(false) {
        ""
    } else {
        "a smell of gas, "
    };
    list.add(
        When::Running,
        format!("Stop on {smell}an alarm, {flame}, {of_fuel}, a new noise"),
        PRACTICE,
    );
    let stop = s
        .failures()
        .iter()
        .find(|r| r.failure == Failure::Stop && r.outlet == INJECTOR);
    if let Some(Answer::Stops(stop)) = stop.map(|r| &r.answer)
        && let (Some(t), Some(m)) = (stop.time, stop.fuel)
    {
        list.add(
            When::Running,
            format!(
                "In an emergency press the stop: fuel is shut after {}, {} more comes out at most",
                show_digits(Kind::Time, t.value, s.units, 2),
                show_digits(Kind::Mass, m.value, s.units, 2)
            ),
            "shutdown",
        );
    }
}

/// Pressures at which to stop, as far as the rig has a gauge that shows them.
fn watched_gauges(list: &mut Checklist, s: &Solution<'_>) {
    let Ok(plan) = s.leak_test_plan() else {
        return;
    };
    let (mut told, mut keys) = (Vec::new(), Vec::new());
    for zone in plan.zones.iter().map(|z| &z.zone) {
        let inside: Vec<&Part> = zone
            .parts
            .iter()
            .filter_map(|n| s.rig.train.part(n))
            .collect();
        let Some(gauge) = inside.iter().find(|p| scale(p).is_some()) else {
            continue;
        };
        for part in &inside {
            if let PartKind::Regulator(r) = &part.kind
                && let Some(least) = r.min_inlet
            {
                told.push(format!("{} falls to {}", gauge.name, s.gauge(least)));
                keys.push(format!("train.{}.min_inlet", part.name));
            }
        }
        let behind = zone.behind.as_ref().and_then(|n| s.rig.train.part(n));
        if let Some(part) = behind
            && let PartKind::Regulator(r) = &part.kind
        {
            let most = s.gauge(r.set_pressure + r.lock_up);
            told.push(format!("{} creeps above {most}", gauge.name));
            keys.push(format!("train.{}.set_pressure", part.name));
        }
    }
    if !told.is_empty() {
        list.add(
            When::Running,
            format!("Stop when {}", told.join("; when ")),
            keys.join(", "),
        );
    }
}

/// The duty with the least fuel that the train feeds.
fn smallest<'s>(s: &'s Solution<'_>) -> Option<&'s TrainDuty> {
    let plan = s.train().as_ref().ok()?;
    let fed = plan.duties.iter().filter(|d| d.solution.is_ok());
    fed.min_by(|a, b| a.wanted.value.total_cmp(&b.wanted.value))
}

/// What to set and to read at a duty.
fn set(list: &mut Checklist, s: &Solution<'_>, when: When, duty: &TrainDuty) {
    let mut told = Vec::new();
    if let Some(setting) = &duty.setting {
        let throttle = s.train().as_ref().ok().and_then(|p| p.throttle.as_deref());
        told.push(format!(
            "set {} {} open",
            throttle.unwrap_or("the throttle"),
            s.show(Kind::Ratio, setting.opening)
        ));
    }
    let reading = at_duty(s, duty);
    if let Err(why) = &reading {
        told.push(why.clone());
    }
    // the pressure is that of the flow that the train gives, so the exit is too
    let solved = s.duties.iter().find(|d| d.name == duty.name);
    let exit = solved.and_then(|d| match s.as_fed(d) {
        Some(fed) => Some((fed.exit.ok()?.temperature, Some(fed.fuel))),
        None => Some((d.exit_temperature()?, None)),
    });
    if let Some((t, fed)) = exit {
        let near = s.show(Kind::Temperature, t.value);
        told.push(format!("exit calculated as {near}"));
        if let Some(fuel) = fed.filter(|f| (f.value / duty.wanted.value - 1.0).abs() > OFF_WANTED) {
            let fuel = s.show(Kind::MassRate, fuel.value);
            let wanted = s.show(Kind::MassRate, duty.wanted.value);
            told.push(format!("the train gives {fuel}, {wanted} wanted"));
        }
    }
    let text = match when {
        When::LightUp => format!(
            "Start at {}, the least fuel: {}",
            duty.name,
            told.join("; ")
        ),
        _ => format!("Run {}: {}", duty.name, told.join("; ")),
    };
    list.read(when, text, format!("duties.{}", duty.name), reading.ok());
}
