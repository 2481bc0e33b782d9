//! Shutting down, and afterwards.

use super::before::pad;
use super::parts::{burns_liquid, first_hand_valve, names, scale};
use super::{Checklist, PRACTICE, Reading, When};
use crate::audit::Solution;
use crate::quantity::Kind;
use crate::quantity::show::show_digits;
use crate::train::{Part, PartKind};

/// Metal that a person may touch for minutes, K: burns begin near 48 degC (ISO 13732-1, from memory).
const COOL_K: f64 = 318.15;

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
                "Never leave these shut at both ends, full of liquid, which bursts them as it warms: {}",
                full.join("; ")
            ),
            "TRP001",
        );
    }
    list.read(
        when,
        "Blow through until a thermometer on the duct shows it cool; nobody tries with a hand",
        PRACTICE,
        Reading {
            at: "thermometer".to_owned(),
            kind: Kind::Temperature,
            low: None,
            high: Some(COOL_K),
        },
    );
}

/// What is closed first, and what then: gas burns out of the line, liquid stays in it.
fn order(s: &Solution<'_>) -> String {
    let hand = first_hand_valve(s);
    if burns_liquid(s) {
        let pump = names(s, Part::is_pump);
        let pump = if pump.is_empty() {
            String::new()
        } else {
            format!("stop {pump}, ")
        };
        return format!(
            "Close the shut-off valves first: the fire goes out, the line stays full. Then {pump}close {hand}, the throttle last"
        );
    }
    let life = s
        .train()
        .as_ref()
        .ok()
        .and_then(|p| p.shut_offs.iter().flatten().find_map(|x| x.flame_life))
        .map_or(String::new(), |t| {
            let t = show_digits(Kind::Time, t.value, s.units, 2);
            format!("; what is behind the shut-off valve burns {t}")
        });
    format!(
        "Close {hand} first and let the fire empty the line{life}. Then the shut-off valves, then the throttle"
    )
}

/// Afterwards.
pub(super) fn after(list: &mut Checklist, s: &Solution<'_>) {
    let when = When::After;
    let hand = first_hand_valve(s);
    let bleeds = names(s, |p| matches!(&p.kind, PartKind::Tapping(t) if t.bleed));
    let through = if bleeds.is_empty() {
        String::new()
    } else {
        format!(" through {bleeds}")
    };
    let gauges = names(s, |p| scale(p).is_some());
    let text = if burns_liquid(s) {
        let tank = match pad(s) {
            Some(_) => "; shut the gas over the fuel at its bottle and let it off outdoors",
            None => "",
        };
        format!("Check {hand} shut; let the line down{through} into a closed can{tank}")
    } else {
        format!("Check {hand} shut; vent the line outdoors{through}")
    };
    let empty = (!gauges.is_empty()).then(|| Reading::of(gauges, Kind::GaugePressure, 0.0));
    list.read(when, text, "[[train]]", empty);
    if burns_liquid(s) {
        list.add(
            when,
            "Wipe up what dripped; put wet rags outdoors in a closed metal can",
            PRACTICE,
        );
    } else if s.rig.supply.tank().is_some() {
        list.add(
            when,
            "Take a cylinder off the rig only with no pressure left in its line; cap it, outdoors and upright",
            PRACTICE,
        );
    }
    list.add(
        when,
        "Stay until all is cold, half an hour at least; write down what ran, moved or was changed. A changed joint is a new leak test",
        PRACTICE,
    );
}
