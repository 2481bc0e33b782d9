//! Pressure at rest where several supplies meet, by hand.

use crate::parts::{holes, part, regulator, single};
use fuelwright::flow::regulator::Regulator;
use fuelwright::quantity::pascals_absolute;
use fuelwright::train::ways::{at_rest, at_supply_pressure, weak_if_failed_open};
use fuelwright::train::{Draw, PartKind, Source};

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
    let rest = at_rest(&train, supply, Regulator::lock_up_pressure);
    let at = |name: &str| {
        let (_, p) = rest.iter().find(|(q, _)| q.name == name).expect(name);
        p.pascals()
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
    let held = Regulator::lock_up_pressure;
    let weak = weak_if_failed_open(&train, supply, held, false);
    let parts: Vec<&str> = weak.iter().flat_map(|w| &w.parts).map(|p| p.0).collect();
    assert_eq!(parts, ["line"]);
    assert!(weak_if_failed_open(&train, pascals_absolute(4.9e5), held, false).is_empty());
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
    let held = Regulator::lock_up_pressure;
    let weak = weak_if_failed_open(&train, pascals_absolute(9e5), held, false);
    let told: Vec<_> = weak
        .iter()
        .map(|w| (w.regulator, w.parts[0].0, w.stands.pascals().round()))
        .collect();
    // the regulator of these tests locks up 0.15 bar above its set pressure
    assert_eq!(
        told,
        [("first", "between", 9e5), ("second", "behind", 2.15e5)]
    );
}
