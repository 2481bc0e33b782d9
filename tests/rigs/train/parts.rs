//! Parts and trains for the tests: invented, of ordinary size.

#![allow(dead_code)] // shared by the tests and the bench, each of which uses a part

use fuelwright::eos;
use fuelwright::flow::line::{Friction, Line, WallHeat};
use fuelwright::flow::orifice::Expansion;
use fuelwright::flow::regulator::Regulator;
use fuelwright::flow::valve::Style;
use fuelwright::fuel::{Composition, Library};
use fuelwright::quantity::{
    kelvin, kilograms_per_second, kv, metres, pascals_absolute, pascals_difference,
    watts_per_metre_kelvin,
};
use fuelwright::train::{
    Chamber, Characteristic, CheckValve, Conditions, Draw, End, Fitting, FittingLoss, Outlet,
    OutletLaw, Part, PartKind, Protection, Rating, Restriction, Run, Source, Supply, Train, Valve,
};
use std::sync::Arc;

pub(crate) fn part(name: &str, kind: PartKind) -> Part {
    Part {
        name: name.to_owned(),
        kind,
        mass: None,
        joints: Vec::new(),
        rating: Rating::default(),
        wetted: Vec::new(),
        internal_volume: None,
        closure: None,
        catalogue: None,
        protection: Protection::default(),
    }
}

pub(crate) fn valve(
    kv_m3_h: f64,
    opening: f64,
    characteristic: Characteristic,
    style: Style,
) -> Valve {
    Valve {
        bore: metres(0.006),
        full_open: kv(kv_m3_h),
        characteristic,
        opening,
        style,
        steps: Some(200),
    }
}

pub(crate) fn tube(length_m: f64, bore_m: f64) -> Line {
    Line {
        bore: metres(bore_m),
        outside_diameter: Some(metres(bore_m + 0.002)),
        length: metres(length_m),
        friction: Friction::Roughness(metres(1.5e-6)),
        loss_coefficient: 0.5,
        rise: metres(0.0),
        heat: WallHeat::PerLength(watts_per_metre_kelvin(0.15)),
    }
}

pub(crate) fn regulator(set_pa: f64) -> Regulator {
    Regulator {
        set_pressure: pascals_absolute(set_pa),
        rated_flow: kilograms_per_second(2e-3),
        droop: pascals_difference(20e3),
        lock_up: pascals_difference(15e3),
        wide_open: kv(0.2),
        min_inlet: None,
        max_inlet: None,
        nominal_inlet: None,
        supply_effect: 0.0,
    }
}

pub(crate) fn needle(opening: f64) -> PartKind {
    PartKind::MeteringValve(valve(
        0.12,
        opening,
        Characteristic::EqualPercentage { rangeability: 40.0 },
        Style::NEEDLE,
    ))
}

pub(crate) fn ball() -> PartKind {
    PartKind::BallValve(valve(3.0, 1.0, Characteristic::OnOff, Style::BALL))
}

pub(crate) fn holes(name: &str, number: u32, diameter_m: f64) -> Outlet {
    Outlet {
        name: name.to_owned(),
        law: OutletLaw::Holes {
            number,
            diameter: metres(diameter_m),
            discharge_coefficient: 0.82,
        },
    }
}

/// The twelve parts of an ordinary gas train.
pub(crate) fn twelve_parts(opening: f64) -> Vec<Part> {
    vec![
        part(
            "cylinder valve",
            PartKind::CylinderValve(valve(0.8, 1.0, Characteristic::OnOff, Style::FLAT_SEAT)),
        ),
        part("hose", PartKind::Hose(tube(1.5, 0.008))),
        part("regulator", PartKind::Regulator(regulator(3.0e5))),
        part(
            "filter",
            PartKind::Filter(Restriction {
                bore: metres(0.008),
                clean: kv(1.2),
            }),
        ),
        part("tube 1", PartKind::Tube(tube(2.0, 0.006))),
        part(
            "bends",
            PartKind::Fitting(Fitting {
                bore: metres(0.006),
                loss: FittingLoss::Bend {
                    angle_rad: std::f64::consts::FRAC_PI_2,
                    radius_ratio: 3.0,
                },
                count: 4,
            }),
        ),
        part("ball valve", ball()),
        part(
            "solenoid 1",
            PartKind::SolenoidValve(valve(0.4, 1.0, Characteristic::OnOff, Style::FLAT_SEAT)),
        ),
        part(
            "check valve",
            PartKind::CheckValve(CheckValve {
                bore: metres(0.006),
                open: kv(0.5),
                cracking: pascals_difference(2000.0),
            }),
        ),
        part("metering", needle(opening)),
        part("tube 2", PartKind::Tube(tube(0.8, 0.006))),
        part(
            "arrestor",
            PartKind::FlameArrestor(Restriction {
                bore: metres(0.008),
                clean: kv(0.9),
            }),
        ),
    ]
}

pub(crate) fn single(parts: Vec<Part>, outlet: Outlet) -> Train {
    Train {
        sources: vec![Source {
            name: "cylinder".to_owned(),
            count: 1,
            draw: Draw::Vapour,
            parts: Vec::new(),
        }],
        run: Run {
            name: "main".to_owned(),
            parts,
            end: End::Outlet(outlet),
        },
    }
}

pub(crate) fn fuel(name: &str) -> Arc<dyn eos::Backend> {
    let library = Library::embedded();
    let composition = Composition::parse(name, &library).expect("a fuel");
    eos::backend(&library, &composition).expect("a backend")
}

/// Saturated tank, air at 15 °C, one chamber pressure.
pub(crate) fn conditions(fuel: &dyn eos::Backend, tank_k: f64, chamber_pa: f64) -> Conditions<'_> {
    Conditions {
        fuel,
        supplies: vec![Supply::Saturated {
            temperature: kelvin(tank_k),
        }],
        ambient: kelvin(288.15),
        chambers: vec![Chamber::Fixed(pascals_absolute(chamber_pa))],
        expansion: Expansion::Blend,
    }
}
