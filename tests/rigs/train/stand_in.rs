//! The short way to a flow, with a plain law in place of the holes, and the long one give the same answer.

use super::parts::{ball, conditions, fuel, holes, needle, part, regulator, single, tube, valve};
use fuelwright::flow::valve::Style;
use fuelwright::quantity::{kilograms_per_second, pascals_absolute};
use fuelwright::train::{
    Characteristic, End, Outlet, OutletLaw, Part, PartKind, Run, Train, flow_by_stand_in,
    flow_for_openings, flow_near,
};

/// Largest relative difference that counts as none.
const SAME: f64 = 1e-8;

fn cylinder_valve() -> Part {
    let open = valve(0.6, 1.0, Characteristic::OnOff, Style::FLAT_SEAT);
    part("cylinder valve", PartKind::CylinderValve(open))
}

/// A regulator whose seat stands wide open.
fn stuck() -> Part {
    let mut wide = regulator(3e5);
    wide.set_pressure = pascals_absolute(1e12);
    part("regulator", PartKind::Regulator(wide))
}

/// A line torn off: a hole as wide as it.
fn torn(bore_m: f64) -> Outlet {
    holes("break", 1, bore_m)
}

/// Main burner and pilot behind a stuck regulator.
fn two_branches() -> Train {
    let run = |name: &str, parts, outlet| Run {
        name: name.to_owned(),
        parts,
        end: End::Outlet(outlet),
    };
    let main = run(
        "main",
        vec![part("ball", ball()), part("needle", needle(0.6))],
        holes("ring", 12, 0.65e-3),
    );
    let pilot = run(
        "pilot",
        vec![part("pilot line", PartKind::Tube(tube(0.6, 0.004)))],
        holes("pilot hole", 1, 0.35e-3),
    );
    let mut train = single(
        vec![
            cylinder_valve(),
            stuck(),
            part("line", PartKind::Tube(tube(8.5, 0.013))),
        ],
        holes("unused", 1, 1e-3),
    );
    train.run.end = End::Split(vec![main, pilot]);
    train
}

/// Trains whose holes are fed near the dew line, on it and under it, and one with liquid-like pressures.
fn trains() -> Vec<(&'static str, Train)> {
    vec![
        (
            "hose torn off behind the cylinder valve",
            single(vec![cylinder_valve()], torn(0.0063)),
        ),
        (
            "line torn off behind a stuck regulator",
            single(vec![cylinder_valve(), stuck()], torn(0.013)),
        ),
        (
            "thin line torn off: the hole rules",
            single(
                vec![
                    cylinder_valve(),
                    part("line", PartKind::Tube(tube(0.5, 0.006))),
                ],
                torn(0.0015),
            ),
        ),
        (
            "needle before the holes: it chokes",
            single(
                vec![cylinder_valve(), part("needle", needle(0.3))],
                holes("ring", 8, 0.001),
            ),
        ),
        ("two branches behind a stuck regulator", two_branches()),
    ]
}

#[test]
fn a_plain_law_in_place_of_the_holes_leads_to_the_same_answer() {
    for name in ["propane:70,n-butane:30", "propane", "n-butane"] {
        let fluid = fuel(name);
        for (what, train) in trains() {
            for tank_k in [275.15, 293.15] {
                let conditions = conditions(fluid.as_ref(), tank_k, 101_325.0);
                let (long, short) = (
                    flow_for_openings(&train, &conditions),
                    flow_by_stand_in(&train, &conditions),
                );
                let (Ok(long), Ok(short)) = (&long, &short) else {
                    assert_eq!(
                        long.as_ref().err().map(ToString::to_string),
                        short.as_ref().err().map(ToString::to_string),
                        "{name}, {what}, {tank_k} K"
                    );
                    continue;
                };
                assert_eq!(long.outlets.len(), short.outlets.len());
                // where a search begins, well or badly, does not matter
                for begin in [1e-6, 1e-3, 1.0] {
                    let near = flow_near(&train, &conditions, kilograms_per_second(begin), 1e-10);
                    let off = near.expect("it flows").flow.value / long.flow.value - 1.0;
                    assert!(
                        off.abs() < SAME,
                        "off by {off:e} from {begin} kg/s: {name}, {what}"
                    );
                }
                for (l, s) in long.outlets.iter().zip(&short.outlets) {
                    let off = s.flow.value / l.flow.value - 1.0;
                    let p_off = s.inlet.pressure.pascals() / l.inlet.pressure.pascals() - 1.0;
                    let at = format!("{name}, {what}, {tank_k} K, {}", l.outlet);
                    assert!(off.abs() < SAME, "flow off by {off:e}: {at}");
                    assert!(p_off.abs() < SAME, "pressure off by {p_off:e}: {at}");
                    assert_eq!(l.choked, s.choked, "{at}");
                }
            }
        }
    }
}

#[test]
fn liquid_from_the_tank_goes_the_long_way() {
    let fluid = fuel("propane");
    let mut train = single(vec![cylinder_valve()], torn(0.002));
    train.sources[0].draw = fuelwright::train::Draw::Liquid;
    let conditions = conditions(fluid.as_ref(), 288.15, 101_325.0);
    let long = flow_for_openings(&train, &conditions).expect("it flows");
    let short = flow_by_stand_in(&train, &conditions).expect("it flows");
    assert!((short.flow.value / long.flow.value - 1.0).abs() < 1e-12);
}

#[test]
fn an_open_end_needs_no_law() {
    let fluid = fuel("propane:70,n-butane:30");
    let open = Outlet {
        name: "open".to_owned(),
        law: OutletLaw::Open,
    };
    let train = single(vec![cylinder_valve(), part("needle", needle(0.5))], open);
    let conditions = conditions(fluid.as_ref(), 288.15, 101_325.0);
    let long = flow_for_openings(&train, &conditions).expect("it flows");
    let short = flow_by_stand_in(&train, &conditions).expect("it flows");
    assert!((short.flow.value / long.flow.value - 1.0).abs() < SAME);
}
