//! Throttle study, checks and shut-off of an ordinary train.

use crate::train::parts::{conditions, fuel, holes, part, regulator, single, tube, twelve_parts};
use fuelwright::quantity::{
    cubic_metres, joules_per_kilogram, kelvin, kilograms_per_second, kv, metres, pascals_absolute,
    pascals_difference, seconds,
};
use fuelwright::train::{
    Actuation, CheckKind, Closure, Conditions, Draw, DutyPoint, OnLoss, PartKind, ShutOffSetup,
    Solution, Supply, ThrottleSetup, Train, after_shut_off, checks, flow_for_openings,
    openings_of_size, throttle_study,
};

fn duties() -> Vec<DutyPoint> {
    [
        ("light-up", 3e-4, 8e-3),
        ("idle", 2e-4, 1.2e-2),
        ("full", 1.4e-3, 4e-2),
    ]
    .into_iter()
    .map(|(name, fuel, air)| DutyPoint {
        name: name.to_owned(),
        fuel: kilograms_per_second(fuel),
        air: kilograms_per_second(air),
        chamber: pascals_absolute(101_325.0 + 2e6 * fuel),
    })
    .collect()
}

fn kinds(train: &Train, c: &Conditions, solved: &Solution) -> Vec<(CheckKind, String)> {
    checks(train, c, solved)
        .into_iter()
        .map(|k| (k.kind, k.at))
        .collect()
}

fn has(list: &[(CheckKind, String)], kind: CheckKind, at: &str) -> bool {
    list.iter().any(|(k, a)| *k == kind && a == at)
}

#[test]
fn the_curve_rises_and_passes_through_every_duty() {
    let gas = fuel("propane");
    let c = conditions(gas.as_ref(), 288.15, 103e3);
    let train = single(twelve_parts(1.0), holes("ring", 12, 0.0011));
    let duties = duties();
    let setup = ThrottleSetup {
        train: &train,
        conditions: &c,
        throttle: "metering",
        outlet: "ring",
        air_fuel_ratio: 15.67,
        duties: &duties,
    };
    let study = throttle_study(&setup, 20).expect("studied");
    assert!(study.curve.windows(2).all(|w| w[1].flow > w[0].flow));
    for (setting, duty) in study.duties.iter().zip(&duties) {
        let opening = setting.opening.clone().expect("in reach");
        let above = study
            .curve
            .iter()
            .find(|p| p.opening >= opening)
            .expect("on the curve");
        let below = study.curve.iter().rev().find(|p| p.opening <= opening);
        assert!(above.flow >= duty.fuel, "{}", duty.name);
        assert!(below.is_none_or(|b| b.flow <= duty.fuel), "{}", duty.name);
        // equal percentage, rangeability 40, 200 steps: Kv changes by ln 40/200 = 1.8 % a step; the flow by
        // that or less, as the rest of the train takes its share
        let step = setting.flow_per_step.expect("has steps");
        assert!(step > 0.0 && step < 0.019, "{step}");
    }
    let authority = study.authority.expect("there is a drop");
    assert!(authority > 0.2 && authority < 1.0, "{authority}");
    // the range of sizes contains a valve exactly when that valve meets both wishes
    let (least, most) = study.full_open_range.expect("there is one");
    assert!(least < most);
    let needed: Vec<_> = study.duties.iter().filter_map(|d| d.kv).collect();
    let valve = train
        .part("metering")
        .and_then(|p| p.kind.valve())
        .expect("a valve");
    for (size, good) in [
        (least.kv() * 1.001, true),
        (most.kv() * 0.999, true),
        (least.kv() * 0.99, false),
        (most.kv() * 1.01, false),
    ] {
        let openings = openings_of_size(valve, kv(size), &needed);
        let fits = openings
            .iter()
            .all(|h| h.as_ref().is_ok_and(|h| (0.1..=0.9).contains(h)));
        assert_eq!(fits, good, "{size} {openings:?}");
    }
}

#[test]
fn a_duty_out_of_reach_says_why_and_what_size_it_needs() {
    let gas = fuel("propane");
    let c = conditions(gas.as_ref(), 288.15, 103e3);
    let train = single(twelve_parts(1.0), holes("ring", 60, 0.0015));
    let mut duties = duties();
    duties[2].fuel = kilograms_per_second(4e-3);
    let setup = ThrottleSetup {
        train: &train,
        conditions: &c,
        throttle: "metering",
        outlet: "ring",
        air_fuel_ratio: 15.67,
        duties: &duties,
    };
    let study = throttle_study(&setup, 4).expect("studied");
    assert!(study.duties[0].opening.is_ok());
    assert!(study.duties[2].opening.is_err());
    assert!(study.duties[2].kv.expect("still known").kv() > 0.12);
}

#[test]
fn checks_find_what_is_wrong_and_nothing_in_an_ordinary_train() {
    let gas = fuel("propane");
    let c = conditions(gas.as_ref(), 288.15, 103e3);
    let mut train = single(twelve_parts(0.6), holes("ring", 12, 0.0011));
    let solved = flow_for_openings(&train, &c).expect("solves");
    assert_eq!(
        kinds(&train, &c, &solved),
        vec![(CheckKind::Condensation, "hose".to_owned())]
    );
    // the hose before the regulator holds saturated vapour: it condenses in any colder spot, truly
    for (name, max) in [
        ("tube 2", 1.2e5),
        ("filter", 2.5e5),
        ("hose", 5e5),
        ("arrestor", 4e5),
    ] {
        train.part_mut(name).expect("there").rating.max_pressure = Some(pascals_absolute(max));
    }
    train
        .part_mut("bends")
        .expect("there")
        .rating
        .min_temperature = Some(kelvin(290.0));
    let found = kinds(&train, &c, &solved);
    assert!(has(&found, CheckKind::PressureAboveRating, "hose"));
    assert!(has(&found, CheckKind::PressureAboveRating, "filter"));
    assert!(has(&found, CheckKind::PressureAtRestAboveRating, "tube 2"));
    assert!(!has(&found, CheckKind::PressureAboveRating, "tube 2"));
    assert!(has(
        &found,
        CheckKind::PressureAfterRegulatorFailure,
        "arrestor"
    ));
    assert!(has(&found, CheckKind::ColderThanRating, "bends"));
}

#[test]
fn a_cold_tank_and_a_narrow_line_are_remarked() {
    let gas = fuel("propane");
    let c = conditions(gas.as_ref(), 258.15, 103e3);
    let parts = vec![
        part("regulator", PartKind::Regulator(regulator(3e5))),
        part("narrow", PartKind::Tube(tube(0.4, 0.003))),
    ];
    let train = single(parts, holes("ring", 20, 0.0012));
    let solved = flow_for_openings(&train, &c).expect("solves");
    let found = kinds(&train, &c, &solved);
    assert!(
        has(&found, CheckKind::RegulatorStarved, "regulator"),
        "{found:?}"
    );
    assert!(has(&found, CheckKind::Velocity, "narrow"), "{found:?}");
    assert!(has(&found, CheckKind::Mach, "narrow"), "{found:?}");
}

#[test]
fn liquid_close_to_boiling_flashes_and_is_remarked() {
    let gas = fuel("propane");
    let mut c = conditions(gas.as_ref(), 288.15, 103e3);
    let mut train = single(
        vec![
            part("dip tube", PartKind::DipTube(tube(0.5, 0.006))),
            part("metering", crate::train::parts::needle(0.2)),
            part("tube", PartKind::Tube(tube(1.0, 0.006))),
        ],
        holes("ring", 4, 0.0012),
    );
    train.sources[0].draw = Draw::Liquid;
    c.supplies = vec![Supply::At {
        pressure: pascals_absolute(9e5),
        temperature: kelvin(288.15),
    }];
    let solved = flow_for_openings(&train, &c).expect("solves");
    let found = kinds(&train, &c, &solved);
    assert!(has(&found, CheckKind::Flashing, "metering"), "{found:?}");
    assert!(has(&found, CheckKind::TwoPhase, "tube"), "{found:?}");
    assert!(
        has(&found, CheckKind::BelowFreezing, "metering"),
        "{found:?}"
    );
    let band = solved.part("tube").and_then(|p| p.band).expect("bounded");
    let p2 = solved
        .part("tube")
        .expect("there")
        .outlet
        .pressure
        .pascals();
    assert!(
        band.all_vapour.pascals() < p2 && p2 < band.all_liquid.pascals(),
        "{band:?} {p2}"
    );
}

fn setup() -> ShutOffSetup {
    ShutOffSetup {
        chamber: pascals_absolute(101_325.0),
        wall: kelvin(288.15),
        heating_value: joules_per_kilogram(46.3e6),
        header: None,
        flame_out: None,
    }
}

#[test]
fn fuel_behind_a_closed_valve_is_volume_times_density_and_burns_out() {
    let gas = fuel("propane");
    let c = conditions(gas.as_ref(), 288.15, 103e3);
    let mut train = single(twelve_parts(0.8), holes("ring", 12, 0.0011));
    train.part_mut("solenoid 1").expect("there").closure = Some(Closure {
        actuation: Actuation::SolenoidSpringClosed,
        on_power_loss: OnLoss::Closes,
        on_signal_loss: OnLoss::Closes,
        closing_time: Some(seconds(0.5)),
        leak_class: None,
    });
    let solved = flow_for_openings(&train, &c).expect("solves");
    let left = after_shut_off(&train, &c, &solved, "solenoid 1", &setup()).expect("found");
    // behind the solenoid only tube 2 has a known volume: 0.8 m of 6 mm
    let volume = std::f64::consts::PI / 4.0 * 0.006_f64.powi(2) * 0.8;
    assert!((left.volume.value / volume - 1.0).abs() < 1e-9);
    let tube = solved.part("tube 2").expect("there");
    let rho = 0.5 * (tube.inlet.density.value + tube.outlet.density.value);
    assert!((left.fuel.value / (rho * volume) - 1.0).abs() < 1e-9);
    assert!((left.while_closing.value / (0.5 * solved.flow.value) - 1.0).abs() < 1e-9);
    assert_eq!(left.unknown, ["check valve", "metering", "arrestor"]);
    let life = left.flame_life.expect("goes out").value;
    assert!(life > 0.0 && life < 0.5, "{life}");
    // mass that left while emptying is what the section lost
    let out: f64 = left
        .course
        .windows(2)
        .map(|w| 0.5 * (w[0].2.value + w[1].2.value) * (w[1].0.value - w[0].0.value))
        .sum();
    assert!(out < left.fuel.value && out > 0.0);
    assert!(
        left.course
            .windows(2)
            .all(|w| w[1].1 <= w[0].1 && w[1].0 >= w[0].0)
    );
}

#[test]
fn isothermal_emptying_of_a_choked_section_is_an_exponential() {
    // a choked hole at constant temperature passes m/tau: p falls as exp(-t/tau) with tau = m/W at the start
    // (perfect gas). Hydrogen is within 1 % of perfect here; the section starts at 20 times the chamber.
    let gas = fuel("hydrogen");
    let mut c = conditions(gas.as_ref(), 288.15, 101_325.0);
    c.supplies = vec![Supply::At {
        pressure: pascals_absolute(20.2e5),
        temperature: kelvin(288.15),
    }];
    let mut wide = part("volume", PartKind::Tube(tube(0.2, 0.02)));
    wide.internal_volume = Some(cubic_metres(1e-3));
    let train = single(
        vec![part("valve", crate::train::parts::ball()), wide],
        holes("jet", 1, 0.0005),
    );
    let solved = flow_for_openings(&train, &c).expect("solves");
    let left = after_shut_off(&train, &c, &solved, "valve", &setup()).expect("found");
    let tau = left.fuel.value / solved.flow.value;
    let life = left.flame_life.expect("goes out").value;
    // a tenth of the flow is at a tenth of the pressure, 2 bar, just about choked still
    assert!(
        (life / (tau * 10_f64.ln()) - 1.0).abs() < 0.02,
        "{life} {tau}"
    );
}

#[test]
fn a_liquid_that_does_not_boil_stays_in_the_line() {
    let fluid = fuel("n-dodecane");
    let mut c = conditions(fluid.as_ref(), 293.15, 101_325.0);
    c.supplies = vec![Supply::At {
        pressure: pascals_absolute(5e5),
        temperature: kelvin(293.15),
    }];
    let mut train = single(
        vec![
            part("valve", crate::train::parts::ball()),
            part("tube", PartKind::Tube(tube(1.0, 0.004))),
        ],
        holes("nozzle", 1, 0.0004),
    );
    train.sources[0].draw = Draw::Liquid;
    let solved = flow_for_openings(&train, &c).expect("solves");
    let left = after_shut_off(&train, &c, &solved, "valve", &setup()).expect("found");
    assert!(left.liquid && left.flame_life.is_none());
    assert!((left.stays.value / left.fuel.value - 1.0).abs() < 0.01);
    let _ = (metres(1.0), pascals_difference(0.0));
}
