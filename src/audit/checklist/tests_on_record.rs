//! Lines about leak tests: what was tested, what was plugged for it, and what is soaped on the day.

use super::{Checklist, PRACTICE, When};
use crate::audit::Solution;
use crate::quantity::Kind;
use crate::quantity::show::show_digits;
use crate::train::PartKind;

/// Before any fuel.
pub(super) fn before(list: &mut Checklist, s: &Solution<'_>) {
    let when = When::Before;
    if let Some(last) = s.rig.leak_tests.iter().map(|t| t.date).max() {
        list.add(
            when,
            format!("Test again for leaks if a joint was opened since {last}"),
            "[leak_test]",
        );
    }
    free(list, s);
    planned(list, s);
}

/// Relief valves and vents, which a test may have plugged.
fn free(list: &mut Checklist, s: &Solution<'_>) {
    let named = |wanted: fn(&PartKind) -> bool| -> Vec<String> {
        let parts = s.rig.train.parts();
        let found = parts.iter().filter(|p| wanted(&p.kind));
        found.map(|p| p.name.clone()).collect()
    };
    let reliefs = named(|k| matches!(k, PartKind::ReliefValve(_)));
    let regulators = named(|k| matches!(k, PartKind::Regulator(_)));
    let mut open = reliefs.clone();
    open.extend(regulators.iter().map(|r| format!("vent of {r}")));
    if open.is_empty() {
        return;
    }
    let plugged = plugged(s);
    let since = if plugged.is_empty() {
        String::new()
    } else {
        format!(
            " ({} had to be plugged or out for the leak test)",
            plugged.join(", ")
        )
    };
    list.add(
        When::Before,
        format!(
            "Pull every plug, cap, tape or nest from {}{since}; each points at nobody",
            open.join(", ")
        ),
        PRACTICE,
    );
}

/// Relief valves that open below the pressure of a test of their zone.
fn plugged<'s>(s: &'s Solution<'_>) -> Vec<&'s str> {
    let records = s
        .leak_test_plan()
        .as_ref()
        .map_or(&[][..], |plan| &plan.records);
    let mut names: Vec<&str> = records.iter().flat_map(|r| r.plugged(s.rig)).collect();
    names.sort_unstable();
    names.dedup();
    names
}

/// How to test the zones that no record covers.
fn planned(list: &mut Checklist, s: &Solution<'_>) {
    let Ok(plan) = s.leak_test_plan() else {
        return;
    };
    let tested = |zone: &crate::leak::Zone| {
        let needed = crate::leak::to_be_tested(&s.rig.train, zone);
        needed
            .iter()
            .all(|p| plan.records.iter().any(|r| r.parts.contains(p)))
    };
    let told: Vec<String> = plan
        .zones
        .iter()
        .filter(|z| !tested(&z.zone))
        .filter_map(|z| {
            let (p, hold) = (z.pressure?, z.hold.as_ref()?);
            Some(format!(
                "{} at {}, {}, corrected fall at most {}",
                z.zone.label(),
                show_digits(
                    Kind::GaugePressure,
                    p.gauge(s.rig.site.air_pressure).pascals(),
                    s.units,
                    3
                ),
                s.show(Kind::Time, hold.time.value),
                show_digits(Kind::PressureDifference, hold.drop.pascals(), s.units, 2)
            ))
        })
        .collect();
    if !told.is_empty() {
        list.add(
            When::Before,
            format!(
                "Test with nitrogen first, as `leak-test` says: {}",
                told.join("; ")
            ),
            "leak-test",
        );
    }
}
