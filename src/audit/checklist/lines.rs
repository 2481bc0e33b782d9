//! Lines of the list, phase by phase.

use super::{Checklist, When, proofs};
use crate::audit::{Audit, Signal, Solution};
use crate::combustion::faint::faint_by_day;
use crate::leak::{Answer, Failure};
use crate::quantity::Kind;
use crate::quantity::show::show_digits;
use crate::train::plan::INJECTOR;
use crate::train::rig::{Ignition, Setting};
use crate::train::{Actuation, Part, PartKind, TrainDuty};

pub(super) const PRACTICE: &str = "practice";
/// Flow over what is wanted, less one, from which a line says so: as much as TRN002 lets pass.
const OFF_WANTED: f64 = 0.1;
/// Metal that a person may touch for minutes, K: burns begin near 48 degC (ISO 13732-1, from memory).
const COOL_K: f64 = 318.15;

/// What was found, proved and tested before any fuel.
pub(super) fn before(list: &mut Checklist, s: &Solution<'_>, audit: &Audit) {
    let when = When::Before;
    if audit.is_incomplete() {
        list.add(
            when,
            "DO NOT LIGHT before the rig file says what it leaves out: `fuelwright audit` asks for it",
            "INCOMPLETE",
        );
    }
    for f in &audit.findings {
        let word = match f.signal {
            Signal::Danger => "DO NOT LIGHT before this is put right",
            Signal::Warning => "Put right, or write down why not",
            Signal::Caution | Signal::Notice => continue,
        };
        let text = format!(
            "{word}: {} ({}); {}",
            f.name,
            f.measured.show(s.units),
            f.advice
        );
        list.add(when, text, format!("{} at {}", f.id, f.places.join(", ")));
    }
    for set_aside in &audit.suppressed {
        let f = &set_aside.finding;
        list.add(
            when,
            format!(
                "Does the reason still hold? {}: {}",
                f.name, set_aside.reason
            ),
            format!("{}, set aside", f.id),
        );
    }
    if !audit.not_checked.is_empty() {
        let mut ids: Vec<&str> = audit.not_checked.iter().map(|n| n.id).collect();
        ids.dedup();
        list.add(
            when,
            format!(
                "Look yourself at what the audit could not check: {}",
                ids.join(", ")
            ),
            "audit",
        );
    }
    if let Some(tank) = s.rig.supply.tank() {
        list.add(
            when,
            "Cylinder strapped upright, in date, its relief valve unblocked and pointing at nobody",
            "[tank]",
        );
        if let Some(fuel) = s.inventory().fuel {
            let n = if tank.number > 1 { " in all" } else { "" };
            let shown = s.show(Kind::Mass, fuel.value);
            list.add(when, format!("Weigh it: {shown} of fuel{n}"), "[tank]");
        }
    }
    let hoses = names(s, |p| matches!(p.kind, PartKind::Hose(_)));
    if !hoses.is_empty() {
        list.add(
            when,
            format!("Hoses without pressure, bent and looked at all round, no crack, no kink, no chafing: {hoses}"),
            "[[train]]",
        );
    }
    leak_test(list, s);
    proofs::before(list, s);
    let site = &s.rig.site;
    if site.gas_detector == Some(true) {
        list.add(
            when,
            "Gas detector on, and answers to its test gas, with nothing alight near it",
            "site.gas_detector",
        );
    }
    if site.carbon_monoxide_alarm == Some(true) {
        let key = "site.carbon_monoxide_alarm";
        list.add(when, "Carbon monoxide alarm on, tested by its button", key);
    }
    if site.low_points == Some(true) || site.low_point_distance.is_some() {
        let far = site.low_point_distance.map_or(String::new(), |d| {
            format!(", {} away", s.show(Kind::Length, d.value))
        });
        list.add(
            when,
            format!("Pit or drain{far}: covered, nothing pools there"),
            "site.low_point_distance",
        );
    }
    if site.setting == Setting::Indoor {
        let flow = site.ventilation.map_or(String::new(), |v| {
            format!(": {} and more", s.show(Kind::VolumeRate, v.value))
        });
        list.add(
            when,
            format!("Ventilation running{flow}"),
            "site.ventilation",
        );
    }
}

fn leak_test(list: &mut Checklist, s: &Solution<'_>) {
    let when = When::Before;
    if let Some(test) = &s.rig.leak_test {
        list.add(
            when,
            format!(
                "No spanner on the rig since the leak test of {}; otherwise test again",
                test.date
            ),
            "[leak_test]",
        );
    }
    if let Ok(plan) = s.leak_test_plan() {
        let again = s.rig.leak_test.as_ref().map_or("", |_| " again");
        for zone in &plan.zones {
            let (Some(p), Some(hold)) = (zone.pressure, &zone.hold) else {
                continue;
            };
            list.add(
                when,
                format!(
                    "To test {}{again}: nitrogen at {}, {}, corrected fall at most {}",
                    zone.zone.label(),
                    s.gauge(p),
                    s.show(Kind::Time, hold.time.value),
                    show_digits(Kind::PressureDifference, hold.drop.pascals(), s.units, 2)
                ),
                "leak-test",
            );
        }
    }
    if let Ok(joints) = s.joints()
        && let Some(first) = joints.first()
    {
        let count: u32 = joints.iter().map(|j| j.count).sum();
        list.add(
            when,
            format!(
                "Soap all {count} joints at working pressure, in the order `leak-test` prints: {} first",
                first.part
            ),
            "leak-test",
        );
    }
}

/// Lighting up.
pub(super) fn light_up(list: &mut Checklist, s: &Solution<'_>) {
    let when = When::LightUp;
    let controls = &s.rig.controls;
    let burner = &s.rig.burner;
    let air = controls.purge_air_flow.map_or(String::new(), |m| {
        format!(" at {}", s.show(Kind::MassRate, m.value))
    });
    let purge = match (controls.purge_time, burner.can_volume) {
        (Some(t), _) if t.value > 0.0 => {
            format!(
                "Blow through for {}{air}, clock in hand",
                s.show(Kind::Time, t.value)
            )
        }
        _ => "Blow can and duct through with at least four times their volume".to_owned(),
    };
    list.add(when, purge, "controls.purge_time");
    let first = match controls.ignition {
        Some(Ignition::Spark) => "Air proved, spark on and heard, and only then fuel",
        Some(Ignition::HotSurface) => "Air proved, igniter glowing, and only then fuel",
        Some(Ignition::Pilot) => {
            "Air proved, pilot lit and seen by its detector, and only then main fuel"
        }
        Some(Ignition::Hand) => {
            "Flame on a long wand at the holes first, face and hands out of the way of the fire, and only then fuel"
        }
        None => "Air first, ignition second, fuel last",
    };
    list.add(when, first, "controls.ignition");
    if let Some(duty) = smallest(s) {
        let text = format!("Start at the smallest fuel flow, {}", setting(s, duty));
        list.add(when, text, format!("duties.{}", duty.name));
    }
    let time = controls.ignition_time.map_or_else(
        || "at once".to_owned(),
        |t| format!("within {}", s.show(Kind::Time, t.value)),
    );
    list.add(
        when,
        format!("A flame {time}; if not, fuel shut, blow through again, find out why, and only then try again"),
        "controls.ignition_time",
    );
    proofs::flame_detector(list, s);
}

/// While it runs.
pub(super) fn running(list: &mut Checklist, s: &Solution<'_>) {
    let when = When::Running;
    if let Ok(plan) = s.train() {
        for duty in &plan.duties {
            if duty.solution.is_ok() {
                let key = format!("duties.{}", duty.name);
                list.add(when, setting(s, duty), key);
            }
        }
    }
    for (i, limit) in s.rig.limits.iter().enumerate() {
        let most = s.show(Kind::Temperature, limit.max_temperature.value);
        list.add(
            when,
            format!("{} ({}) below {most}", limit.place, limit.material),
            format!("limits.{i}"),
        );
    }
    for part in s.rig.train.parts() {
        if let PartKind::Regulator(r) = &part.kind {
            if let Some(least) = r.min_inlet {
                let text = format!(
                    "Stop when the pressure before {} falls to {}",
                    part.name,
                    s.gauge(least)
                );
                list.add(when, text, format!("train.{}.min_inlet", part.name));
            }
            let text = format!(
                "Stop when the pressure behind {} creeps above {}",
                part.name,
                s.gauge(r.set_pressure + r.lock_up)
            );
            list.add(when, text, format!("train.{}.set_pressure", part.name));
        }
    }
    let sign = if let Some(faint) = faint_by_day(&s.rig.fuel.composition) {
        list.add(
            when,
            format!(
                "By day a {} flame is hardly seen: believe the flame detector and not the eye, and keep clear of where it may be",
                faint.name()
            ),
            "fuel.composition",
        );
        "a flame that is heard to lift or pulsate"
    } else {
        "a yellow or lifting flame"
    };
    list.add(
        when,
        format!("Stop on a smell of fuel, an alarm, {sign}, frost on the regulator, a new noise"),
        PRACTICE,
    );
}

/// Shutting down.
pub(super) fn shut_down(list: &mut Checklist, s: &Solution<'_>) {
    let when = When::ShutDown;
    let hand = first_hand_valve(s).map_or("the supply", |p| p.name.as_str());
    let life = s
        .train()
        .as_ref()
        .ok()
        .and_then(|p| p.shut_offs.iter().flatten().find_map(|x| x.flame_life))
        .map_or(String::new(), |t| {
            format!(
                "; what is behind the shut-off valve burns {}",
                show_digits(Kind::Time, t.value, s.units, 2)
            )
        });
    list.add(
        when,
        format!("Close {hand} first and let the fire empty the line{life}"),
        "[[train]]",
    );
    list.add(
        when,
        "Then the shut-off valves, then the throttle",
        PRACTICE,
    );
    if let Ok(sections) = s.trapped() {
        for section in sections.iter().filter(|x| x.contents.liquid()) {
            let Some(Ok(h)) = &section.heating else {
                continue;
            };
            if section.relief.is_some() || section.section.parts.is_empty() {
                continue;
            }
            list.add(
                when,
                format!(
                    "Never leave {} shut at both ends full: liquid there gains {}",
                    section.section.label(),
                    show_digits(Kind::PressurePerTemperature, h.rise_pa_k, s.units, 2)
                ),
                "TRP001",
            );
        }
    }
    list.add(
        when,
        format!(
            "Blow through, and keep the air on until a thermometer on the duct reads below {}; nobody tries with a hand",
            s.show(Kind::Temperature, COOL_K)
        ),
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
            when,
            format!(
                "In an emergency the stop: fuel is shut after {}, and {} more comes out at most",
                show_digits(Kind::Time, t.value, s.units, 2),
                show_digits(Kind::Mass, m.value, s.units, 2)
            ),
            "shutdown",
        );
    }
}

/// Afterwards.
pub(super) fn after(list: &mut Checklist, s: &Solution<'_>) {
    let when = When::After;
    let hand = first_hand_valve(s).map_or("the supply", |p| p.name.as_str());
    let bleeds = names(s, |p| matches!(&p.kind, PartKind::Tapping(t) if t.bleed));
    let through = if bleeds.is_empty() {
        String::new()
    } else {
        format!(" through {bleeds}")
    };
    list.add(
        when,
        format!(
            "{hand} shut and tried; line vented outdoors{through}, until every gauge stays at zero"
        ),
        "[[train]]",
    );
    if s.rig.supply.tank().is_some() {
        list.add(
            when,
            "Cylinder off the rig only when no pressure is left in its line, then capped, outdoors and upright",
            "[tank]",
        );
    }
    list.add(
        when,
        "Somebody stays until everything is cold: half an hour at least",
        PRACTICE,
    );
    list.add(
        when,
        "Write down what ran, what moved, what was changed; a changed joint is a new leak test",
        PRACTICE,
    );
}

/// Names of the parts of a kind, with commas.
pub(super) fn names(s: &Solution<'_>, wanted: impl Fn(&Part) -> bool) -> String {
    let parts = s.rig.train.parts();
    let found: Vec<&str> = parts
        .iter()
        .filter(|p| wanted(p))
        .map(|p| p.name.as_str())
        .collect();
    found.join(", ")
}

pub(super) fn is_hand_valve(part: &Part) -> bool {
    part.kind.valve().is_some()
        && part
            .closure
            .as_ref()
            .is_some_and(|c| c.actuation == Actuation::Manual)
}

fn first_hand_valve<'s>(s: &'s Solution<'_>) -> Option<&'s Part> {
    s.rig.train.parts().into_iter().find(|p| is_hand_valve(p))
}

/// The duty with the least fuel that the train feeds.
fn smallest<'s>(s: &'s Solution<'_>) -> Option<&'s TrainDuty> {
    let plan = s.train().as_ref().ok()?;
    let fed = plan.duties.iter().filter(|d| d.solution.is_ok());
    fed.min_by(|a, b| a.wanted.value.total_cmp(&b.wanted.value))
}

/// What to set and to read at a duty.
fn setting(s: &Solution<'_>, duty: &TrainDuty) -> String {
    let mut parts = Vec::new();
    if let Some(setting) = &duty.setting {
        let throttle = s.train().as_ref().ok().and_then(|p| p.throttle.as_deref());
        parts.push(format!(
            "{} {} open",
            throttle.unwrap_or("throttle"),
            show_digits(Kind::Ratio, setting.opening, s.units, 3)
        ));
    }
    if let Some(outlet) = duty.solution.as_ref().ok().and_then(|x| x.outlet(INJECTOR)) {
        parts.push(format!(
            "{} before the holes",
            s.gauge(outlet.inlet.pressure)
        ));
    }
    // the pressure is that of the flow that the train gives, so the exit is too
    let solved = s.duties.iter().find(|d| d.name == duty.name);
    let exit = solved.and_then(|d| match s.as_fed(d) {
        Some(fed) => Some((fed.exit.ok()?.temperature, Some(fed.fuel))),
        None => Some((d.exit_temperature()?, None)),
    });
    if let Some((t, fed)) = exit {
        let near = show_digits(Kind::Temperature, t.value, s.units, 3);
        parts.push(format!("exit near {near}"));
        if let Some(fuel) = fed.filter(|f| (f.value / duty.wanted.value - 1.0).abs() > OFF_WANTED) {
            let fuel = show_digits(Kind::MassRate, fuel.value, s.units, 3);
            let wanted = show_digits(Kind::MassRate, duty.wanted.value, s.units, 3);
            parts.push(format!(
                "with the {fuel} that the train gives, {wanted} wanted"
            ));
        }
    }
    format!("{}: {}", duty.name, parts.join(", "))
}
