//! Pressure at rest where several supplies meet, by hand.

use crate::train::parts::{holes, part, regulator, single};
use fuelwright::quantity::pascals_absolute;
use fuelwright::train::protection::{FailedOpen, KeptBy, both_failed_open, failed_open};
use fuelwright::train::ways::{at_rest, at_supply_pressure};
use fuelwright::train::{
    Actuation, Closure, Draw, OnLoss, Part, PartKind, ReliefValve, Source, Tapping, Train,
};

/// Two cylinders, each with its own regulator (set to 2 and 3 bar, 0.15 bar of lock-up): the valve of the second
/// one sees its cylinder too, and behind where they meet stands the higher of both.
#[test]
fn each_supply_stands_on_its_own_parts() {
    let rated = |name: &str| {
        let mut p = part(
            name,
            PartKind::Tapping(fuelwright::train::Tapping::default()),
        );
        p.rating.max_pressure = Some(pascals_absolute(5e5));
        p
    };
    let source = |name: &str, set_pa: f64| Source {
        name: name.to_owned(),
        count: 1,
        draw: Draw::Vapour,
        parts: vec![
            rated(&format!("valve {name}")),
            part(
                &format!("regulator {name}"),
                PartKind::Regulator(regulator(set_pa)),
            ),
        ],
    };
    let mut train = single(vec![rated("line")], holes("main", 1, 1e-3));
    train.sources = vec![source("a", 2e5), source("b", 3e5)];
    let supply = pascals_absolute(9e5);
    let rest = at_rest(&train, supply, Part::holds);
    let at = |name: &str| {
        let found = rest.iter().find(|r| r.part.name == name).expect(name);
        found.inlet.pascals()
    };
    for (name, want_pa) in [
        ("valve a", 9e5),
        ("regulator a", 9e5),
        ("valve b", 9e5),
        ("regulator b", 9e5),
        ("line", 3.15e5),
    ] {
        assert!((at(name) - want_pa).abs() < 1e-6, "{name}: {}", at(name));
    }
    let names: Vec<&str> = at_supply_pressure(&train)
        .iter()
        .map(|p| p.name.as_str())
        .collect();
    assert_eq!(names, ["valve a", "regulator a", "valve b", "regulator b"]);
    let failed = failed_open(&train, supply, Part::holds, KeptBy::RELIEFS);
    assert_eq!(
        overloaded(&failed),
        [("regulator a", "line", 9e5), ("regulator b", "line", 9e5)]
    );
    let failed = failed_open(
        &train,
        pascals_absolute(4.9e5),
        Part::holds,
        KeptBy::RELIEFS,
    );
    assert!(overloaded(&failed).is_empty());
}

/// Two regulators in series (2 and 1.2 bar) behind 9 bar: one failure at a time puts 9 bar before the second, and
/// what the first holds behind it; never 9 bar behind both.
#[test]
fn one_regulator_fails_at_a_time() {
    let rated = |name: &str, pa: f64| {
        let mut p = part(
            name,
            PartKind::Tapping(fuelwright::train::Tapping::default()),
        );
        p.rating.max_pressure = Some(pascals_absolute(pa));
        p
    };
    let train = single(
        vec![
            part("first", PartKind::Regulator(regulator(2e5))),
            rated("between", 5e5),
            part("second", PartKind::Regulator(regulator(1.2e5))),
            rated("behind", 2e5),
        ],
        holes("main", 1, 1e-3),
    );
    let failed = failed_open(&train, pascals_absolute(9e5), Part::holds, KeptBy::RELIEFS);
    // the regulator of these tests locks up 0.15 bar above its set pressure
    assert_eq!(
        overloaded(&failed),
        [("first", "between", 9e5), ("second", "behind", 2.15e5)]
    );
    // both at once is another thing
    let both = both_failed_open(&train, pascals_absolute(9e5), Part::holds);
    assert_eq!(both.len(), 1);
    let (first, second) = &both[0];
    assert_eq!((&*first.name, &*second.regulator.name), ("first", "second"));
    assert!((second.lets_through.pascals() - 9e5).abs() < 1e-6);
}

/// Regulator, part and pressure of everything that comes above its rating.
fn overloaded<'t>(failed: &[FailedOpen<'t>]) -> Vec<(&'t str, &'t str, f64)> {
    let parts = failed
        .iter()
        .flat_map(|f| f.parts.iter().map(|e| (f.regulator, e)));
    let above = parts.filter(|(_, e)| e.overloaded().is_some());
    above
        .map(|(r, e)| (&*r.name, &*e.part.name, e.pressure.pascals().round()))
        .collect()
}

/// Regulator, gauge and valve made for 5 bar, relief valve at 3 bar, gauge behind it, all under 9 bar if the regulator
/// fails.
fn zone() -> Train {
    let rated = |name: &str, kind: PartKind| {
        let mut p = part(name, kind);
        p.rating.max_pressure = Some(pascals_absolute(5e5));
        p
    };
    let gauge = || PartKind::Tapping(Tapping::default());
    let relief = PartKind::ReliefValve(ReliefValve {
        set_pressure: pascals_absolute(3e5),
        bore: None,
    });
    let mut valve = rated("valve", crate::train::parts::ball());
    valve.closure = Some(Closure {
        actuation: Actuation::SolenoidSpringClosed,
        on_power_loss: OnLoss::Closes,
        on_signal_loss: OnLoss::Closes,
        closing_time: None,
        leak_class: None,
    });
    single(
        vec![
            part("regulator", PartKind::Regulator(regulator(2e5))),
            rated("before", gauge()),
            valve,
            rated("relief", relief),
            rated("behind", gauge()),
        ],
        holes("main", 1, 1e-3),
    )
}

#[test]
fn a_relief_valve_protects_only_what_no_valve_can_shut_from_it() {
    let train = zone();
    let supply = pascals_absolute(9e5);
    let failed = failed_open(&train, supply, Part::holds, KeptBy::RELIEFS);
    let both = [("regulator", "before", 9e5), ("regulator", "valve", 9e5)];
    assert_eq!(overloaded(&failed), both);
    let (relief, valve) = failed[0].parts[0].shut_from.expect("a valve between");
    assert_eq!((&*relief.name, &*valve.name), ("relief", "valve"));
    // one that passes too little holds nothing, and the switch closes a valve that the gauge stands before
    let kept_by = KeptBy {
        high_cut_off: Some(pascals_absolute(1e5)),
        relief: &|_, _, _| false,
    };
    let failed = failed_open(&train, supply, Part::holds, kept_by);
    assert_eq!(overloaded(&failed), both);
    let behind = failed[0].parts.last().expect("parts");
    assert_eq!(behind.cut_off.map(|v| &*v.name), Some("valve"));
    assert!(behind.above(behind.pressure).is_some());
}

#[test]
fn a_slam_shut_holds_and_a_valve_on_the_supply_side_cuts_off() {
    let supply = pascals_absolute(9e5);
    let mut train = zone();
    let regulator = train.part_mut("regulator").expect("there");
    regulator.protection.shut_off_pressure = Some(pascals_absolute(4e5));
    let failed = failed_open(&train, supply, Part::holds, KeptBy::RELIEFS);
    assert!(overloaded(&failed).is_empty());
    assert!((failed[0].before.pascals() - 9e5).abs() < 1e-6);
    // the valve moved before the regulator
    let mut train = zone();
    let valve = train.run.parts.remove(2);
    train.run.parts.insert(0, valve);
    let kept_by = KeptBy {
        high_cut_off: Some(pascals_absolute(1e5)),
        relief: &|_, _, _| false,
    };
    assert!(overloaded(&failed_open(&train, supply, Part::holds, kept_by)).is_empty());
    // and too weak for what it has to close against
    let mut train = zone();
    let valve = train.part_mut("valve").expect("there");
    valve.protection.max_differential = Some(fuelwright::quantity::pascals_difference(2e5));
    let parts = overloaded(&failed_open(&train, supply, Part::holds, kept_by));
    assert_eq!(parts.len(), 3);
}
