//! What is looked at and tried with the fuel shut.

use super::gauges::gauges;
use super::parts::{burns_liquid, names};
use super::{Checklist, Reading, When, proofs, tests_on_record};
use crate::audit::Solution;
use crate::quantity::show::show_digits;
use crate::quantity::{AbsolutePressure, Kind};
use crate::train::rig::Setting;
use crate::train::rig::supply::VENTED_PA;
use crate::train::{JointKind, PartKind};

const WHEN: When = When::Before;

/// What is proved, tested and looked at before any fuel.
pub(super) fn before(list: &mut Checklist, s: &Solution<'_>) {
    tests_on_record::before(list, s);
    supply(list, s);
    hoses(list, s);
    place(list, s);
    let gauges: Vec<String> = gauges(s).iter().map(|g| g.part.name.clone()).collect();
    if !gauges.is_empty() {
        list.read(
            WHEN,
            "Read no pressure",
            "train",
            Reading::of(gauges.join(", "), Kind::GaugePressure, 0.0),
        );
    }
    proofs::before(list, s);
}

fn hoses(list: &mut Checklist, s: &Solution<'_>) {
    let hoses = names(s, |p| matches!(p.kind, PartKind::Hose(_)));
    let coupled = names(s, |p| {
        p.joints.iter().any(|j| j.kind == JointKind::QuickCoupling)
    });
    let pulled = if coupled.is_empty() {
        String::new()
    } else {
        format!("; pull at latched couplings: {coupled}")
    };
    if !hoses.is_empty() {
        list.add(
            WHEN,
            format!("Bend hoses without pressure, no crack, kink or chafing: {hoses}{pulled}"),
            "[[train]]",
        );
    }
}

/// Alarms, ventilation, low places.
fn place(list: &mut Checklist, s: &Solution<'_>) {
    let site = &s.rig.site;
    let mut tried = Vec::new();
    let mut keys = Vec::new();
    if site.gas_detector == Some(true) {
        tried.push("the gas detector with its test gas, nothing alight".to_owned());
        keys.push("site.gas_detector");
    }
    if site.carbon_monoxide_alarm == Some(true) {
        tried.push("the carbon monoxide alarm by its button".to_owned());
        keys.push("site.carbon_monoxide_alarm");
    }
    if site.setting == Setting::Indoor {
        let flow = site.ventilation.map_or(String::new(), |v| {
            format!(", {} or more", s.show(Kind::VolumeRate, v.value))
        });
        tried.push(format!("the ventilation{flow}"));
        keys.push("site.ventilation");
    }
    if !tried.is_empty() {
        let text = format!("Try {}", tried.join("; "));
        list.add(WHEN, text, keys.join(", "));
    }
    if site.low_points == Some(true) || site.low_point_distance.is_some() {
        let far = site.low_point_distance.map_or(String::new(), |d| {
            format!(" {} away", s.show(Kind::Length, d.value))
        });
        list.add(
            WHEN,
            format!("Cover the pit or drain{far}; nothing pools there"),
            "site.low_point_distance",
        );
    }
}

/// Gas over a liquid in the tank that presses it out.
pub(super) fn pad(s: &Solution<'_>) -> Option<AbsolutePressure> {
    let vented_pa = s.rig.site.air_pressure.pascals() + VENTED_PA;
    s.pad().filter(|p| p.pascals() > vented_pa)
}

/// Cylinder or tank, and what it weighs.
fn supply(list: &mut Checklist, s: &Solution<'_>) {
    let Some(tank) = s.rig.supply.tank() else {
        return;
    };
    let many = tank.number > 1;
    let (text, weigh) = match (burns_liquid(s), many) {
        (true, _) => (
            "Stand the tank firm and level in its tray, vent and relief valve clear",
            "weigh it",
        ),
        (false, true) => (
            "Strap each cylinder upright, in date, its relief valve clear and pointing at nobody",
            "weigh all together",
        ),
        (false, false) => (
            "Strap the cylinder upright, in date, its relief valve clear and pointing at nobody",
            "weigh it",
        ),
    };
    let fuel = s.inventory().fuel;
    let weight = fuel.zip(tank.empty_mass).map(|(fuel, empty)| {
        let all = f64::from(tank.number) * empty.value + fuel.value;
        Reading::of("scale", Kind::Mass, all)
    });
    let weigh = if weight.is_some() {
        format!("; {weigh}")
    } else {
        String::new()
    };
    list.read(WHEN, format!("{text}{weigh}"), "[tank]", weight);
    if let Some(pad) = pad(s) {
        list.add(
            WHEN,
            format!(
                "Set the gas over the fuel to {} and no more; its bottle strapped, its non-return valve fitted, its joints soaped. The rig file does not know them",
                show_digits(
                    Kind::GaugePressure,
                    pad.gauge(s.rig.site.air_pressure).pascals(),
                    s.units,
                    3
                )
            ),
            "tank.pressure",
        );
    }
}
