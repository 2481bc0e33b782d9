//! Lines of the list, phase by phase.

use super::{Checklist, PRACTICE, When, is_hand_valve, proofs, tests_on_record};
use crate::audit::Solution;
use crate::combustion::faint::faint_by_day;
use crate::combustion::flame::fuel_feed::usual_phase;
use crate::fuel::FedAs;
use crate::leak::{Answer, Failure};
use crate::quantity::show::show_digits;
use crate::quantity::{AbsolutePressure, Kind};
use crate::train::plan::INJECTOR;
use crate::train::rig::supply::VENTED_PA;
use crate::train::rig::{Ignition, Setting};
use crate::train::{JointKind, Part, PartKind, TrainDuty};

/// Flow over what is wanted, less one, from which a line says so: as much as TRN002 lets pass.
const OFF_WANTED: f64 = 0.1;
/// Metal that a person may touch for minutes, K: burns begin near 48 degC (ISO 13732-1, from memory).
const COOL_K: f64 = 318.15;

/// What is proved, tested and looked at before any fuel.
pub(super) fn before(list: &mut Checklist, s: &Solution<'_>) {
    tests_on_record::before(list, s);
    proofs::before(list, s);
    supply(list, s);
    let when = When::Before;
    let hoses = names(s, |p| matches!(p.kind, PartKind::Hose(_)));
    let coupled = names(s, |p| {
        p.joints.iter().any(|j| j.kind == JointKind::QuickCoupling)
    });
    let latched = if coupled.is_empty() {
        String::new()
    } else {
        format!("; quick couplings latched, and pulled at: {coupled}")
    };
    if !hoses.is_empty() {
        list.add(
            when,
            format!("Hoses without pressure, bent and looked at all round, no crack, no kink, no chafing: {hoses}{latched}"),
            "[[train]]",
        );
    }
    let site = &s.rig.site;
    let mut on = Vec::new();
    let mut keys = Vec::new();
    if site.gas_detector == Some(true) {
        on.push(
            "gas detector, which answers to its test gas with nothing alight near it".to_owned(),
        );
        keys.push("site.gas_detector");
    }
    if site.carbon_monoxide_alarm == Some(true) {
        on.push("carbon monoxide alarm, by its button".to_owned());
        keys.push("site.carbon_monoxide_alarm");
    }
    if site.setting == Setting::Indoor {
        let flow = site.ventilation.map_or(String::new(), |v| {
            format!(", {} and more", s.show(Kind::VolumeRate, v.value))
        });
        on.push(format!("ventilation{flow}"));
        keys.push("site.ventilation");
    }
    if !on.is_empty() {
        list.add(
            when,
            format!("On and tried: {}", on.join("; ")),
            keys.join(", "),
        );
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
}

/// Whether the fuel is a liquid at the pressure of the air.
fn burns_liquid(s: &Solution<'_>) -> bool {
    usual_phase(&s.rig.fuel.composition) == FedAs::Liquid
}

/// Gas over a liquid in the tank that presses it out.
fn pad(s: &Solution<'_>) -> Option<AbsolutePressure> {
    let vented_pa = s.rig.site.air_pressure.pascals() + VENTED_PA;
    s.pad().filter(|p| p.pascals() > vented_pa)
}

/// Cylinder or tank.
fn supply(list: &mut Checklist, s: &Solution<'_>) {
    let when = When::Before;
    if s.rig.supply.tank().is_none() {
        return;
    }
    let fuel = s.inventory().fuel.map_or(String::new(), |m| {
        format!(", {} of fuel in it", s.show(Kind::Mass, m.value))
    });
    let text = if burns_liquid(s) {
        format!(
            "Tank firm and level in its tray{fuel}, its vent and relief valve unblocked and pointing at nobody"
        )
    } else {
        let all = match s.rig.supply.tank() {
            Some(tank) if tank.number > 1 => " in all",
            _ => "",
        };
        format!(
            "Cylinder strapped upright, in date, weighed{fuel}{all}, its relief valve unblocked and pointing at nobody"
        )
    };
    list.add(when, text, "[tank]");
    if let Some(pad) = pad(s) {
        list.add(
            when,
            format!(
                "The gas over the fuel, which this file does not know: its bottle strapped, its regulator set to {} and no more, its non-return valve fitted, its joints soaped",
                s.gauge(pad)
            ),
            "tank.pressure",
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
    let limits: Vec<String> = s
        .rig
        .limits
        .iter()
        .map(|limit| {
            let most = s.show(Kind::Temperature, limit.max_temperature.value);
            format!("{} ({}) {most}", limit.place, limit.material)
        })
        .collect();
    if !limits.is_empty() {
        list.add(
            when,
            format!("Stay below: {}", limits.join("; ")),
            "[[limits]]",
        );
    }
    watched_gauges(list, s);
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
    } else if burns_liquid(s) {
        "smoke, a flame that lifts, spits or pulsates"
    } else {
        "a yellow or lifting flame"
    };
    let regulated = s.rig.train.parts().iter().any(|p| p.is_regulator());
    let of_fuel = match (burns_liquid(s), regulated) {
        (true, _) => "a drip or a wet joint",
        (false, true) => "frost on the regulator",
        (false, false) => "frost on the line",
    };
    list.add(
        when,
        format!("Stop on a smell of fuel, an alarm, {sign}, {of_fuel}, a new noise"),
        PRACTICE,
    );
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
        let Some(gauge) = inside.iter().find(|p| has_gauge(p)) else {
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

/// Whether a part carries a gauge that a person reads.
fn has_gauge(part: &Part) -> bool {
    matches!(&part.kind, PartKind::Tapping(t) if t.gauge_range.is_some())
}

/// Shutting down.
pub(super) fn shut_down(list: &mut Checklist, s: &Solution<'_>) {
    let when = When::ShutDown;
    list.add(when, order(s), "[[train]]");
    let full: Vec<String> = s.trapped().as_ref().map_or_else(
        |_| Vec::new(),
        |sections| {
            let alone = sections.iter().filter(|x| x.contents.liquid());
            alone
                .filter(|x| x.relief.is_none() && !x.section.parts.is_empty())
                .filter_map(|x| {
                    let Some(Ok(h)) = &x.heating else { return None };
                    let rise = show_digits(Kind::PressurePerTemperature, h.rise_pa_k, s.units, 2);
                    Some(format!("{} ({rise})", x.section.label()))
                })
                .collect()
        },
    );
    if !full.is_empty() {
        list.add(
            when,
            format!(
                "Never leave these shut at both ends full: liquid there gains pressure with every degree: {}",
                full.join("; ")
            ),
            "TRP001",
        );
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

/// What is closed first, and what then: gas burns out of the line, liquid stays in it.
fn order(s: &Solution<'_>) -> String {
    let hand = first_hand_valve(s).map_or("the supply", |p| p.name.as_str());
    if burns_liquid(s) {
        let pump = names(s, Part::is_pump);
        let pump = if pump.is_empty() {
            String::new()
        } else {
            format!("{pump} off, ")
        };
        return format!(
            "Shut-off valves first: the fire goes out while the line stays full. Then {pump}{hand} shut, the throttle last"
        );
    }
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
    format!(
        "Close {hand} first and let the fire empty the line{life}. Then the shut-off valves, then the throttle"
    )
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
    let gauges = names(s, has_gauge);
    let until = if gauges.is_empty() {
        String::new()
    } else {
        format!(", until no pressure is left at {gauges}")
    };
    let text = if burns_liquid(s) {
        let tank = match pad(s) {
            Some(_) => "; the gas over the fuel shut at its bottle and let off outdoors",
            None => "",
        };
        format!(
            "{hand} shut and tried; pressure let off the line{through} into a closed can{until}{tank}"
        )
    } else {
        format!("{hand} shut and tried; line vented outdoors{through}{until}")
    };
    list.add(when, text, "[[train]]");
    if burns_liquid(s) {
        list.add(
            when,
            "What dripped is wiped up; wet rags outdoors in a closed metal can",
            PRACTICE,
        );
    } else if s.rig.supply.tank().is_some() {
        list.add(
            when,
            "Cylinder off the rig only when no pressure is left in its line, then capped, outdoors and upright",
            "[tank]",
        );
    }
    list.add(
        when,
        "Somebody stays until everything is cold: half an hour at least; what ran, moved or was changed is written down, and a changed joint is a new leak test",
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
    // the gauge nearest to the holes: nobody reads a pressure where there is none
    let gauge = s.rig.train.parts().into_iter().rfind(|p| has_gauge(p));
    let flow = duty.solution.as_ref().ok();
    if let Some((gauge, at)) = gauge.and_then(|g| Some((g, flow?.part(&g.name)?))) {
        let p = at.inlet.pressure.gauge(s.rig.site.air_pressure).pascals();
        parts.push(format!(
            "{} at {}",
            gauge.name,
            show_digits(Kind::GaugePressure, p, s.units, 3)
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
