//! Balances and reversals of an ordinary train.

use crate::train::balances;
use crate::train::parts::{conditions, fuel, holes, single, twelve_parts};
use fuelwright::quantity::kilograms_per_second;
use fuelwright::train::{Target, flow_for_openings, openings_for_flows, walk_for_flows};

#[test]
fn openings_and_flows_undo_each_other() {
    for name in ["propane", "propane:70,n-butane:30"] {
        let gas = fuel(name);
        let c = conditions(gas.as_ref(), 288.15, 103e3);
        for opening in [0.15, 0.4, 0.65, 0.9, 1.0] {
            let train = single(twelve_parts(opening), holes("ring", 12, 0.0011));
            let solved = flow_for_openings(&train, &c).expect("solves");
            balances::check(&train, &solved);
            let targets = [Target {
                outlet: "ring".to_owned(),
                flow: solved.flow,
                throttle: "metering".to_owned(),
            }];
            let (settings, again) = openings_for_flows(&train, &c, &targets).expect("found");
            assert!((settings[0].opening - opening).abs() < 1e-8, "{settings:?}");
            balances::check(&train, &again);
            // and back once more: the flow of the openings found
            let mut set = train.clone();
            set.part_mut("metering")
                .and_then(|p| p.kind.valve_mut())
                .expect("a valve")
                .opening = settings[0].opening;
            let back = flow_for_openings(&set, &c).expect("solves");
            assert!((back.flow.value / solved.flow.value - 1.0).abs() < 1e-8);
        }
    }
}

#[test]
fn a_walk_with_the_solved_flow_ends_where_the_solution_does() {
    let gas = fuel("propane");
    let c = conditions(gas.as_ref(), 288.15, 103e3);
    let train = single(twelve_parts(0.7), holes("ring", 12, 0.0011));
    let solved = flow_for_openings(&train, &c).expect("solves");
    let less = kilograms_per_second(solved.flow.value * (1.0 - 1e-9));
    let walked = walk_for_flows(&train, &c, &[less]).expect("walks");
    balances::check(&train, &walked);
    for (a, b) in solved.parts.iter().zip(&walked.parts) {
        let drop = a.pressure_drop().pascals();
        let off = a.outlet.pressure.pascals() - b.outlet.pressure.pascals();
        // a choked part's outlet is free; there is none in this train
        assert!(
            off.abs() < 1e-3 * drop.max(1.0),
            "{}: {off} of {drop} Pa",
            a.part
        );
    }
}

#[test]
fn more_opening_gives_more_flow() {
    let gas = fuel("propane");
    let c = conditions(gas.as_ref(), 288.15, 103e3);
    let mut last = 0.0;
    for i in 1..=20 {
        let train = single(twelve_parts(f64::from(i) / 20.0), holes("ring", 12, 0.0011));
        let flow = flow_for_openings(&train, &c).expect("solves").flow.value;
        assert!(flow > last, "{i}: {flow} after {last}");
        last = flow;
    }
}

#[test]
fn a_tank_too_cold_for_the_regulator_feeds_less_and_a_closed_valve_nothing() {
    let gas = fuel("propane");
    let train = single(twelve_parts(1.0), holes("ring", 12, 0.0011));
    let mut last = f64::INFINITY;
    // a regulator hides the tank from the train (cold gas is denser: the flow rises a little) until the tank
    // has no more than its set pressure
    for (t_k, wide_open) in [(288.15, false), (253.15, true), (243.15, true)] {
        let c = conditions(gas.as_ref(), t_k, 103e3);
        let solved = flow_for_openings(&train, &c).expect("solves");
        assert_eq!(
            solved.part("regulator").expect("there").wide_open,
            wide_open
        );
        assert!(solved.flow.value < last, "{t_k}");
        last = solved.flow.value;
    }
    let shut = single(twelve_parts(0.0), holes("ring", 12, 0.0011));
    let c = conditions(gas.as_ref(), 288.15, 103e3);
    let solved = flow_for_openings(&shut, &c).expect("solves");
    assert!(solved.flow.value.abs() < 1e-15);
    assert_eq!(solved.outlets.len(), 1);
}
