//! Choking wherever it is: in a valve, in a line, in two parts at once, in the holes.

use crate::train::balances;
use crate::train::parts::{conditions, fuel, holes, needle, part, regulator, single, tube, valve};
use fuelwright::flow::valve::Style;
use fuelwright::quantity::metres;
use fuelwright::train::{Characteristic, Outlet, OutletLaw, PartKind, flow_for_openings};

fn small_valve(name: &str, kv: f64) -> fuelwright::train::Part {
    let v = valve(kv, 1.0, Characteristic::OnOff, Style::GLOBE);
    part(name, PartKind::NeedleValve(v))
}

#[test]
fn a_choked_valve_ignores_what_lies_behind_it() {
    let gas = fuel("propane");
    let c = conditions(gas.as_ref(), 288.15, 101_325.0);
    let mut flows = Vec::new();
    for number in [12, 24, 60] {
        let parts = vec![
            small_valve("pinch", 0.01),
            part("tube", PartKind::Tube(tube(1.0, 0.006))),
        ];
        let train = single(parts, holes("ring", number, 0.0012));
        let solved = flow_for_openings(&train, &c).expect("solves");
        balances::check(&train, &solved);
        let pinch = solved.part("pinch").expect("there");
        assert!(pinch.choked);
        assert!(!solved.outlets[0].choked);
        flows.push(solved.flow.value);
    }
    assert!((flows[1] / flows[0] - 1.0).abs() < 1e-9 && (flows[2] / flows[0] - 1.0).abs() < 1e-9);
}

#[test]
fn two_valves_in_a_row_can_both_choke() {
    let gas = fuel("propane");
    let c = conditions(gas.as_ref(), 293.15, 101_325.0);
    // the second is five times the first: it chokes at a fifth of the pressure, still above the chamber
    let parts = vec![
        small_valve("first", 0.01),
        small_valve("second", 0.035),
        part("tube", PartKind::Tube(tube(0.5, 0.008))),
    ];
    let train = single(parts, holes("ring", 80, 0.0015));
    let solved = flow_for_openings(&train, &c).expect("solves");
    balances::check(&train, &solved);
    assert!(solved.part("first").expect("there").choked);
    assert!(solved.part("second").expect("there").choked, "{solved:?}");
    let (a, b) = (
        solved.part("first").expect("there"),
        solved.part("second").expect("there"),
    );
    assert!(a.outlet.pressure.pascals() > b.outlet.pressure.pascals());
}

#[test]
fn a_line_chokes_at_its_open_end() {
    let gas = fuel("propane");
    let c = conditions(gas.as_ref(), 293.15, 101_325.0);
    let line = PartKind::Tube(tube(0.5, 0.003));
    let train = single(
        vec![part("tube", line)],
        Outlet {
            name: "end".to_owned(),
            law: OutletLaw::Open,
        },
    );
    let solved = flow_for_openings(&train, &c).expect("solves");
    balances::check(&train, &solved);
    assert!(solved.part("tube").expect("there").choked);
    // the jet leaves above the chamber's pressure and expands outside; the record shows the free pressure
    let longer = single(
        vec![part("tube", PartKind::Tube(tube(2.0, 0.003)))],
        Outlet {
            name: "end".to_owned(),
            law: OutletLaw::Open,
        },
    );
    let less = flow_for_openings(&longer, &c).expect("solves");
    assert!(less.flow.value < solved.flow.value);
}

#[test]
fn choked_holes_follow_their_supply_alone() {
    let gas = fuel("propane");
    let mut flows = Vec::new();
    for chamber in [101_325.0, 120e3, 140e3] {
        let c = conditions(gas.as_ref(), 288.15, chamber);
        let parts = vec![
            part("regulator", PartKind::Regulator(regulator(4e5))),
            part("tube", PartKind::Tube(tube(1.0, 0.006))),
        ];
        let train = single(parts, holes("ring", 6, 0.001));
        let solved = flow_for_openings(&train, &c).expect("solves");
        assert!(solved.outlets[0].choked);
        flows.push(solved.flow.value);
    }
    assert!((flows[2] / flows[0] - 1.0).abs() < 1e-9, "{flows:?}");
}

#[test]
fn a_regulator_without_pressure_stands_wide_open() {
    let gas = fuel("propane");
    let c = conditions(gas.as_ref(), 243.15, 101_325.0);
    let parts = vec![
        part("regulator", PartKind::Regulator(regulator(4e5))),
        part("metering", needle(1.0)),
        part("tube", PartKind::Tube(tube(1.0, 0.006))),
    ];
    let train = single(parts, holes("ring", 12, 0.0011));
    let solved = flow_for_openings(&train, &c).expect("solves");
    balances::check(&train, &solved);
    let r = solved.part("regulator").expect("there");
    assert!(r.wide_open);
    assert!((r.load.expect("of a regulator") - 1.0).abs() < 1e-6);
    let _ = metres(0.0);
}
