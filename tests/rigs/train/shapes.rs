//! Branches, several tanks, liquid with pump and vaporiser, and what cannot be.

use crate::train::balances;
use crate::train::parts::{
    ball, conditions, fuel, holes, needle, part, regulator, single, tube, valve,
};
use fuelwright::flow::line::WallHeat;
use fuelwright::flow::valve::Style;
use fuelwright::quantity::{
    cubic_metres_per_second, kelvin, kilograms_per_cubic_metre, kilograms_per_second, kv, metres,
    pascals_absolute, pascals_difference, ratio, watts_per_kelvin,
};
use fuelwright::train::{
    Characteristic, Draw, End, ExcessFlowValve, PartKind, PartProblem, Pump, PumpCurve, Run,
    Source, Supply, Target, Train, TrainError, Vaporiser, VaporiserHeat, flow_for_openings,
    openings_for_flows,
};

fn run(name: &str, parts: Vec<fuelwright::train::Part>, end: End) -> Run {
    Run {
        name: name.to_owned(),
        parts,
        end,
    }
}

/// A regulator, then a pilot and a main with two injectors.
fn pilot_and_main(main_opening: f64) -> Train {
    let injector = |n: u32| {
        run(
            &format!("injector {n}"),
            vec![part(&format!("stub {n}"), PartKind::Tube(tube(0.3, 0.004)))],
            End::Outlet(holes(&format!("ring {n}"), 8, 0.001)),
        )
    };
    let pilot = run(
        "pilot",
        vec![
            part(
                "pilot valve",
                PartKind::SolenoidValve(valve(0.05, 1.0, Characteristic::OnOff, Style::FLAT_SEAT)),
            ),
            part("pilot tube", PartKind::Tube(tube(0.6, 0.003))),
        ],
        End::Outlet(holes("pilot jet", 1, 0.0006)),
    );
    let main = run(
        "main",
        vec![part("main valve", needle(main_opening))],
        End::Split(vec![injector(1), injector(2)]),
    );
    let mut train = single(
        vec![
            part("cylinder valve", ball()),
            part("regulator", PartKind::Regulator(regulator(3e5))),
            part("trunk", PartKind::Tube(tube(2.0, 0.008))),
        ],
        holes("unused", 1, 0.001),
    );
    train.run.end = End::Split(vec![pilot, main]);
    train
}

#[test]
fn branches_share_the_flow_and_like_branches_share_alike() {
    let gas = fuel("propane");
    let c = conditions(gas.as_ref(), 288.15, 103e3);
    let train = pilot_and_main(0.8);
    let solved = flow_for_openings(&train, &c).expect("solves");
    balances::check(&train, &solved);
    let flow = |name: &str| solved.outlet(name).expect("there").flow.value;
    assert!((flow("ring 1") / flow("ring 2") - 1.0).abs() < 1e-9);
    assert!(flow("pilot jet") > 0.0 && flow("pilot jet") < 0.5 * flow("ring 1"));
    // closing the main leaves the pilot burning, a little stronger
    let shut = pilot_and_main(0.0);
    let alone = flow_for_openings(&shut, &c).expect("solves");
    balances::check(&shut, &alone);
    let pilot = alone.outlet("pilot jet").expect("there").flow.value;
    assert!(pilot >= flow("pilot jet"));
    assert!(alone.outlet("ring 1").expect("there").flow.value.abs() < 1e-15);
}

#[test]
fn a_throttle_above_a_split_is_found_by_search() {
    let gas = fuel("propane");
    let c = conditions(gas.as_ref(), 288.15, 103e3);
    let train = pilot_and_main(0.8);
    let solved = flow_for_openings(&train, &c).expect("solves");
    let target = Target {
        outlet: "ring 2".to_owned(),
        flow: solved.outlet("ring 2").expect("there").flow,
        throttle: "main valve".to_owned(),
    };
    let (settings, again) = openings_for_flows(&train, &c, &[target]).expect("found");
    assert!((settings[0].opening - 0.8).abs() < 1e-8, "{settings:?}");
    balances::check(&train, &again);
}

#[test]
fn several_throttles_are_set_at_once_and_a_free_branch_takes_what_it_gets() {
    let gas = fuel("propane");
    let c = conditions(gas.as_ref(), 288.15, 103e3);
    let mut train = pilot_and_main(1.0);
    if let End::Split(runs) = &mut train.run.end
        && let End::Split(injectors) = &mut runs[1].end
    {
        for (i, injector) in injectors.iter_mut().enumerate() {
            injector
                .parts
                .insert(0, part(&format!("throttle {}", i + 1), needle(0.5)));
        }
    }
    let target = |n: u32, flow: f64| Target {
        outlet: format!("ring {n}"),
        flow: kilograms_per_second(flow),
        throttle: format!("throttle {n}"),
    };
    let targets = [target(1, 4e-4), target(2, 1.5e-4)];
    let (settings, solved) = openings_for_flows(&train, &c, &targets).expect("found");
    balances::check(&train, &solved);
    let mut set = train.clone();
    for s in &settings {
        set.part_mut(&s.throttle)
            .and_then(|p| p.kind.valve_mut())
            .expect("a valve")
            .opening = s.opening;
    }
    let back = flow_for_openings(&set, &c).expect("solves");
    for (n, flow) in [(1, 4e-4), (2, 1.5e-4)] {
        let got = back.outlet(&format!("ring {n}")).expect("there").flow.value;
        assert!((got / flow - 1.0).abs() < 1e-8, "{n}: {got}");
    }
}

#[test]
fn tanks_that_join_share_by_their_pressure_and_a_cold_one_gives_nothing() {
    let gas = fuel("propane");
    let source = |name: &str, count: u32| Source {
        name: name.to_owned(),
        count,
        draw: Draw::Vapour,
        parts: vec![
            part(&format!("{name} valve"), ball()),
            part(&format!("{name} hose"), PartKind::Hose(tube(1.0, 0.004))),
        ],
    };
    let mut train = single(
        vec![part("metering", needle(1.0))],
        holes("ring", 12, 0.0011),
    );
    train.sources = vec![source("a", 1), source("b", 2)];
    let mut c = conditions(gas.as_ref(), 288.15, 103e3);
    let at = |t: f64| Supply::Saturated {
        temperature: kelvin(t),
    };
    c.supplies = vec![at(288.15), at(288.15)];
    let alike = flow_for_openings(&train, &c).expect("solves");
    balances::check(&train, &alike);
    // two tanks give twice what one gives
    let share = alike.sources[1].flow.value / alike.sources[0].flow.value;
    assert!((share - 2.0).abs() < 1e-6, "{share}");
    c.supplies = vec![at(288.15), at(278.15)];
    let one = flow_for_openings(&train, &c).expect("solves");
    balances::check(&train, &one);
    assert!(one.sources[1].starved && !one.sources[0].starved);
}

fn liquid_train() -> Train {
    let mut line = tube(3.0, 0.004);
    line.rise = metres(1.5);
    line.heat = WallHeat::Insulated;
    let mut train = single(
        vec![
            part("dip tube", PartKind::DipTube(tube(0.5, 0.006))),
            part(
                "pump",
                PartKind::Pump(Pump {
                    curve: PumpCurve::Points(vec![
                        (cubic_metres_per_second(0.0), pascals_difference(6e5)),
                        (cubic_metres_per_second(4e-6), pascals_difference(5e5)),
                        (cubic_metres_per_second(1e-5), pascals_difference(1e5)),
                    ]),
                    efficiency: ratio(0.4),
                    npsh_required: Some(pascals_difference(5e3)),
                    max_power: None,
                }),
            ),
            part("feed", PartKind::Tube(line)),
            part("metering", needle(0.3)),
        ],
        holes("nozzle", 1, 0.0005),
    );
    train.sources[0].draw = Draw::Liquid;
    train
}

#[test]
fn a_liquid_train_with_pump_and_rise_closes_its_balances() {
    let fluid = fuel("n-dodecane");
    let mut c = conditions(fluid.as_ref(), 293.15, 101_325.0);
    c.supplies = vec![Supply::At {
        pressure: pascals_absolute(101_325.0),
        temperature: kelvin(293.15),
    }];
    let train = liquid_train();
    let solved = flow_for_openings(&train, &c).expect("solves");
    balances::check(&train, &solved);
    let pump = solved.part("pump").expect("there");
    assert!(pump.pressure_drop().pascals() < 0.0 && pump.work.value > 0.0);
    let feed = solved.part("feed").expect("there");
    let static_pa = 9.806_65 * 1.5 * feed.inlet.density.value;
    assert!(feed.pressure_drop().pascals() > static_pa);
    assert!((feed.lift.value / feed.flow.value - 9.806_65 * 1.5).abs() < 1e-9);
}

#[test]
fn a_vaporiser_turns_liquid_to_gas_and_books_the_heat() {
    let gas = fuel("propane");
    let mut c = conditions(gas.as_ref(), 288.15, 103e3);
    for heat in [
        VaporiserHeat::Outlet {
            temperature: kelvin(313.15),
            max_power: None,
        },
        VaporiserHeat::Bath {
            conductance: watts_per_kelvin(60.0),
            temperature: kelvin(333.15),
        },
    ] {
        let parts = vec![
            part(
                "vaporiser",
                PartKind::Vaporiser(Vaporiser {
                    bore: metres(0.006),
                    open: kv(0.6),
                    heat,
                }),
            ),
            part("regulator", PartKind::Regulator(regulator(3e5))),
            part("metering", needle(0.7)),
        ];
        let mut train = single(parts, holes("ring", 12, 0.0011));
        train.sources[0].draw = Draw::Liquid;
        let solved = flow_for_openings(&train, &c).expect("solves");
        balances::check(&train, &solved);
        let v = solved.part("vaporiser").expect("there");
        let per_kg = v.heat.value / v.flow.value;
        let latent = gas.bubble_t(288.15).expect("saturated").latent_heat_j_kg();
        assert!(
            per_kg > latent && per_kg < 1.5 * latent,
            "{per_kg} {latent}"
        );
    }
    c.ambient = kelvin(288.15);
}

#[test]
fn failures_name_the_part_and_the_reason() {
    let gas = fuel("propane");
    let c = conditions(gas.as_ref(), 288.15, 103e3);
    let trips = PartKind::ExcessFlowValve(ExcessFlowValve {
        bore: metres(0.006),
        open: kv(0.5),
        closing_flow: kilograms_per_second(2e-4),
        closing_density: kilograms_per_cubic_metre(5.0),
    });
    let train = single(
        vec![part("excess flow", trips), part("metering", needle(1.0))],
        holes("ring", 12, 0.0011),
    );
    let error = flow_for_openings(&train, &c).expect_err("closes");
    assert!(
        matches!(&error, TrainError::Part { part, problem: PartProblem::ExcessFlow { .. } } if part == "excess flow"),
        "{error}"
    );
    // a valve too small for the flow wanted
    let small = single(
        vec![part("metering", needle(1.0))],
        holes("ring", 40, 0.0015),
    );
    let target = |flow: f64| Target {
        outlet: "ring".to_owned(),
        flow: kilograms_per_second(flow),
        throttle: "metering".to_owned(),
    };
    let error = openings_for_flows(&small, &c, &[target(2e-2)]).expect_err("too small");
    assert!(
        matches!(&error, TrainError::Part { part, problem: PartProblem::Opening(_) } if part == "metering"),
        "{error}"
    );
    // more than the pressure there is can drive through the holes
    let few = single(
        vec![part("metering", needle(1.0))],
        holes("ring", 1, 0.0005),
    );
    let error = openings_for_flows(&few, &c, &[target(2e-2)]).expect_err("too little pressure");
    assert!(
        matches!(&error, TrainError::NotEnoughPressure { at, .. } if at == "metering"),
        "{error}"
    );
    // a pump that gets vapour
    let mut wrong = liquid_train();
    wrong.sources[0].draw = Draw::Vapour;
    let error = flow_for_openings(&wrong, &c).expect_err("vapour");
    assert!(
        matches!(&error, TrainError::Part { part, problem: PartProblem::VapourAtPump { .. } } if part == "pump"),
        "{error}"
    );
}

#[test]
fn trains_that_cannot_be_are_refused() {
    let gas = fuel("propane");
    let c = conditions(gas.as_ref(), 288.15, 103e3);
    let twice = single(
        vec![part("a", ball()), part("a", ball())],
        holes("ring", 1, 0.001),
    );
    assert!(matches!(
        flow_for_openings(&twice, &c),
        Err(TrainError::Shape { .. })
    ));
    let mut none = single(vec![part("a", ball())], holes("ring", 1, 0.001));
    none.sources.clear();
    assert!(matches!(
        flow_for_openings(&none, &c),
        Err(TrainError::Shape { .. })
    ));
    let mut deep = single(vec![part("a", ball())], holes("ring", 1, 0.001));
    for i in 0..40 {
        let inner = deep.run.clone();
        deep.run = run(&format!("level {i}"), Vec::new(), End::Split(vec![inner]));
    }
    assert!(matches!(
        flow_for_openings(&deep, &c),
        Err(TrainError::Shape { .. })
    ));
}
