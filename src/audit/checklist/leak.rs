//! The leak check of the day: fuel on, nothing lit.

use super::gauges::gauges;
use super::parts::{burns_liquid, first_hand_valve};
use super::{Checklist, PRACTICE, Reading, When};
use crate::audit::Solution;
use crate::quantity::Kind;
use crate::train::{Part, PartKind};

const WHEN: When = When::Leak;

/// Opens the supply, holds it, and looks at every joint. Five minutes are common practice, no source.
pub(super) fn leak(list: &mut Checklist, s: &Solution<'_>) {
    let hand = first_hand_valve(s);
    let gauges = gauges(s);
    let first = gauges.iter().find(|g| g.behind.is_empty() && g.held);
    let excess_flow = s
        .main_parts()
        .into_iter()
        .any(|p| matches!(p.kind, PartKind::ExcessFlowValve(_)));
    let slowly = if excess_flow {
        "slowly: opened fast it shuts the excess-flow valve"
    } else {
        "slowly"
    };
    list.read(
        WHEN,
        format!("Open {hand} {slowly}"),
        "[[train]]",
        first.and_then(|g| g.at_rest(s)),
    );
    joints(list, s);
    if let Some(gauge) = first {
        let still = if burns_liquid(s) {
            ""
        } else {
            ", then open it again"
        };
        list.read(
            WHEN,
            format!(
                "Shut {hand}; for 5 min {} neither falls nor rises{still}",
                gauge.part.name
            ),
            PRACTICE,
            Reading::of(
                format!("change of {}", gauge.part.name),
                Kind::PressureDifference,
                0.0,
            ),
        );
    }
    for gauge in gauges.iter().filter(|g| !g.behind.is_empty() && g.held) {
        let shut: Vec<&str> = gauge.behind.iter().map(|p| p.name.as_str()).collect();
        list.read(
            WHEN,
            format!(
                "Watch {} for 5 min with {} shut: a rise is a leak through it",
                gauge.part.name,
                shut.join(", ")
            ),
            PRACTICE,
            Reading::of(&gauge.part.name, Kind::GaugePressure, 0.0),
        );
    }
}

/// Every joint, by what shows a leak of this fuel.
fn joints(list: &mut Checklist, s: &Solution<'_>) {
    let Ok(joints) = s.joints() else {
        return;
    };
    let Some(first) = joints.first() else {
        return;
    };
    let count: u32 = joints.iter().map(|j| j.count).sum();
    let parts = s.main_parts();
    // the first is the supply's own
    let shut = parts.iter().filter(|p| p.is_shut_off()).nth(1);
    let lit = shut.map_or(String::new(), |valve| {
        format!(", those behind {} once it burns", valve.name)
    });
    let look = if burns_liquid(s) {
        ("Wipe dry and press paper on", "no wet spot")
    } else {
        ("Soap", "no bubble")
    };
    list.add(
        WHEN,
        format!(
            "{} all {count} joints, {} first{lit}: {}; `leak-test` has the order{}",
            look.0,
            first.part,
            look.1,
            unseen(s)
        ),
        "leak-test",
    );
}

/// Stretches before the last valve that no gauge watches.
fn unseen(s: &Solution<'_>) -> String {
    let Ok(plan) = s.leak_test_plan() else {
        return String::new();
    };
    let gauged = |name: &String| {
        let part = s.rig.train.part(name);
        part.is_some_and(|p: &Part| super::parts::scale(p).is_some())
    };
    let zones = plan.zones.iter().map(|z| &z.zone);
    let blind: Vec<String> = zones
        .filter(|z| !z.parts.iter().any(gauged))
        .map(crate::leak::Zone::label)
        .collect();
    if blind.is_empty() {
        String::new()
    } else {
        format!(". No gauge here: {}", blind.join(", "))
    }
}
