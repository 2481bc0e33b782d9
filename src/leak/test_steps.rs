//! What is done to a zone before its leak test, and what is undone before any fuel. Common practice, no source.

use super::zones::Zone;
use crate::combustion::flame::fuel_feed::usual_phase;
use crate::fuel::FedAs;
use crate::leak::sections::closes;
use crate::quantity::AbsolutePressure;
use crate::train::rig::Rig;
use crate::train::{Closure, Part, PartKind};

/// Names with commas, where there are any.
fn names<'p>(
    parts: &[&'p Part],
    wanted: impl Fn(&&&'p Part) -> bool,
    say: impl FnOnce(String) -> String,
) -> Option<String> {
    let found: Vec<&str> = parts
        .iter()
        .filter(wanted)
        .map(|p| p.name.as_str())
        .collect();
    (!found.is_empty()).then(|| say(found.join(", ")))
}

/// One part or several that come out for a test.
fn taken_out(names: &str, why: &str) -> String {
    let where_ = if names.contains(", ") {
        "they were"
    } else {
        "it was"
    };
    format!("take out {names}, and plug where {where_}: {why}")
}

/// What is closed, blanked off, taken out or held open before a zone is tested, in the order of the work.
///
/// * `test` — its test pressure
pub(super) fn before_test(rig: &Rig, zone: &Zone, test: AbsolutePressure) -> Vec<String> {
    let parts: Vec<&Part> = zone
        .parts
        .iter()
        .filter_map(|n| rig.train.part(n))
        .collect();
    let gauge_pa = test.gauge(rig.site.air_pressure).pascals();
    let mut steps = vec![begin(rig, zone, &parts)];
    steps.extend(names(
        &parts,
        |p| matches!(&p.kind, PartKind::ReliefValve(r) if r.set_pressure <= test),
        |n| taken_out(&n, "set to open below the test pressure"),
    ));
    steps.extend(names(
        &parts,
        |p| {
            let PartKind::Tapping(tapping) = &p.kind else {
                return false;
            };
            tapping
                .gauge_range
                .is_some_and(|top| top.pascals() < gauge_pa)
        },
        |n| taken_out(&n, "the test pressure is beyond the scale"),
    ));
    let held_shut = |p: &&&Part| {
        let by_itself = p
            .closure
            .as_ref()
            .is_some_and(Closure::closes_without_power);
        by_itself && parts.last().is_none_or(|last| last.name != p.name)
    };
    steps.extend(names(&parts, held_shut, |n| {
        format!(
            "hold {n} open, or test each stretch between them by itself: shut, they part the zone"
        )
    }));
    steps.extend(names(
        &parts,
        |p| matches!(p.kind, PartKind::CheckValve(_)),
        |n| format!("let the nitrogen in before {n}: pressure does not pass it from behind"),
    ));
    steps.extend(names(
        &parts,
        |p| matches!(p.kind, PartKind::ExcessFlowValve(_)),
        |n| format!("raise the pressure slowly: {n} shuts on a rush of gas"),
    ));
    let ends = names(
        &parts,
        |p| p.sets_pressure(),
        |n| format!("blank off before {n}: gas goes on through it, and presses what stands behind"),
    );
    steps.push(ends.unwrap_or_else(|| "blank off before the holes: they are open".to_owned()));
    steps
}

/// How the zone is parted from what stands before it.
fn begin(rig: &Rig, zone: &Zone, parts: &[&Part]) -> String {
    if let Some(name) = &zone.behind {
        let pump = rig.train.part(name).is_some_and(Part::is_pump);
        return if pump {
            format!("undo the joint behind {name} and blank it off: gas goes back through it")
        } else {
            format!(
                "undo the joint behind {name} and blank it off: its diaphragm is not to be pressed from its outlet"
            )
        };
    }
    let valve = parts.iter().find(|p| closes(p) && p.kind.valve().is_some());
    match (valve, rig.supply.tank()) {
        (Some(valve), Some(_)) if usual_phase(&rig.fuel.composition) == FedAs::Liquid => format!(
            "shut {}, drain the line, and let the nitrogen in behind it: the tank is not tested with the line",
            valve.name
        ),
        (Some(valve), Some(_)) => format!(
            "shut {}, take the cylinder off, and let the nitrogen in where it was",
            valve.name
        ),
        (Some(valve), None) => format!("shut {} and let the nitrogen in behind it", valve.name),
        (None, _) => {
            "part the line from the supply and blank it off: no valve closes it there".to_owned()
        }
    }
}

/// What is free again before any fuel: relief valves and vents, by name.
pub(super) fn never_plugged(rig: &Rig) -> Vec<String> {
    let parts = rig.train.parts();
    let mut all: Vec<String> = parts
        .iter()
        .filter_map(|p| match &p.kind {
            PartKind::ReliefValve(_) => Some(p.name.clone()),
            PartKind::Regulator(_) => Some(format!("the vent of {}", p.name)),
            _ => None,
        })
        .collect();
    if rig.supply.tank().is_some() {
        all.push("relief valve and vent of the tank".to_owned());
    }
    all
}
