//! Discharge coefficients against published tables and worked figures.
//!
//! Figures marked "arithmetic" are the published formula worked out by hand: they prove that the
//! formula is typed correctly, not that it is true.

use fuelwright::flow::discharge::{
    CriticalNozzle, Edge, HoleFlow, HoleShape, Taps, bragg_coefficient, cavitating_coefficient,
    choked_thick_hole, critical_cavitation_number, critical_nozzle, for_hole, long_hole,
    orifice_plate, plate_expansibility, radius_and_length, thin_hole,
};
use fuelwright::quantity::metres;

#[track_caller]
fn near(got: f64, want: f64, limit: f64, what: &str) {
    assert!(
        (got - want).abs() <= limit,
        "{what}: got {got}, want {want}, limit {limit}"
    );
}

/// Bragg (J. Mech. Eng. Sci. 2, 1960), row `C_i` = 0.600 for γ 1.4, against Jobson's closed form; the
/// third column is the closed form worked out by hand to its printed digits (arithmetic, 1e-4).
#[test]
fn jobson_agrees_with_braggs_table_within_0_7_percent() {
    let rows = [
        (0.9, 0.619, 0.6177),
        (0.8, 0.641, 0.6393),
        (0.7, 0.670, 0.6663),
        (0.6, 0.704, 0.7008),
        (0.5, 0.749, 0.7454),
        (0.4, 0.786, 0.7835),
        (0.3, 0.815, 0.8119),
        (0.1, 0.855, 0.8515),
        (0.0, 0.870, 0.8657),
    ];
    for (r, bragg, jobson) in rows {
        let got = thin_hole(0.60, r, 1.4).expect("in range");
        near(got, jobson, 1e-4, "closed form");
        near(got, bragg, 0.007 * bragg, "against Bragg");
        let carried = bragg_coefficient(0.60, r).expect("in range");
        near(carried, bragg, 1e-9, "table as carried");
    }
    // propane, arithmetic
    near(
        thin_hole(0.60, 0.8, 1.13).expect("in range"),
        0.6491,
        1e-4,
        "γ 1.13, r 0.8",
    );
    near(
        thin_hole(0.60, 0.5, 1.13).expect("in range"),
        0.7746,
        1e-4,
        "γ 1.13, r 0.5",
    );
}

/// Perry (Trans. ASME 71, 1949), from memory: about 0.61 at r → 1, 0.74 at 0.53, 0.84 at vacuum; 4 %
/// is the spread between the two published sources at vacuum.
#[test]
fn jobson_agrees_with_perrys_measurements_from_memory() {
    for (r, perry) in [(1.0, 0.61), (0.53, 0.74), (0.0, 0.84)] {
        let got = thin_hole(0.61, r, 1.4).expect("in range");
        near(got, perry, 0.04 * perry, "against Perry");
    }
}

#[test]
fn jobson_tends_to_the_low_speed_coefficient() {
    for c in [0.55, 0.60, 0.65] {
        for gamma in [1.05, 1.13, 1.4, 1.66] {
            let got = thin_hole(c, 1.0 - 1e-7, gamma).expect("in range");
            near(got, c, 1e-5, "r → 1");
        }
    }
    assert!(thin_hole(0.66, 0.5, 1.4).is_err(), "past its validity");
}

/// Lichtarowicz, Duggins, Markland (1965), arithmetic; tolerance of the printed digits.
#[test]
fn long_hole_arithmetic() {
    for (l, re, want) in [(2.0, 1e4, 0.8081), (4.0, 1e3, 0.6860), (6.0, 5e3, 0.7577)] {
        near(long_hole(re, l).expect("in range"), want, 5e-4, "long hole");
    }
    assert!(long_hole(1e5, 4.0).is_err() && long_hole(1e3, 1.0).is_err());
}

/// Radius and length by `mcgreehan1988`, arithmetic; tolerance of the printed digits.
#[test]
fn radius_and_length_arithmetic() {
    let rows = [
        (1e4, 0.0, 0.6257),
        (1e4, 1.0, 0.7849),
        (1e4, 2.0, 0.8212),
        (1e4, 5.0, 0.7980),
        (1e5, 2.0, 0.8052),
    ];
    for (re, l, want) in rows {
        near(
            radius_and_length(re, 0.0, l).expect("in range"),
            want,
            5e-4,
            "radius and length",
        );
    }
    assert!(radius_and_length(2e3, 0.0, 0.0).is_err());
}

/// Textbook values, from memory: rounded inlet 0.97 to 0.99, short tube (L/d 2 to 3) about 0.81.
#[test]
fn rounded_and_short_tube_holes_fall_on_textbook_values_from_memory() {
    let rounded = radius_and_length(1e5, 0.5, 0.0).expect("in range");
    assert!((0.96..=0.99).contains(&rounded), "{rounded}");
    for l in [2.0, 2.5, 3.0] {
        near(
            radius_and_length(2e4, 0.0, l).expect("in range"),
            0.81,
            0.015,
            "short tube",
        );
    }
}

/// SOURCES WE-9 and WE-49, Nurick (1976): arithmetic 0.5 %. His form itself holds to ±5 % against measurement.
#[test]
fn cavitating_hole_arithmetic() {
    let critical = critical_cavitation_number(0.80, 0.62).expect("in range");
    near(critical, 1.665, 0.005 * 1.665, "critical number");
    for (k, want) in [(1.20, 0.679), (1.05, 0.6353), (1.50, 0.7593), (2.0, 0.80)] {
        let got = cavitating_coefficient(0.80, 0.62, k).expect("in range");
        near(got, want, 0.005 * want, "cavitating");
    }
}

/// Ward-Smith (1979), from memory.
#[test]
fn choked_thick_hole_is_0_839_from_memory() {
    for l in [1.0, 3.0, 7.0] {
        near(
            choked_thick_hole(l).expect("in range"),
            0.839,
            1e-12,
            "choked",
        );
    }
    assert!(choked_thick_hole(0.9).is_err() && choked_thick_hole(7.1).is_err());
}

/// ISO 9300 coefficients, from memory: the formulas worked out by hand (arithmetic, printed digits).
#[test]
fn critical_nozzle_arithmetic_from_memory() {
    let rows = [
        (CriticalNozzle::ToroidalAccurate, 1e6, 0.9985 - 3.412e-3),
        (
            CriticalNozzle::ToroidalNormal,
            1e4_f64.powi(2) / 1e2,
            0.9959 - 2.720e-3,
        ),
        (
            CriticalNozzle::Cylindrical,
            1e6,
            0.9976 - 0.1388 * 0.063_095_734,
        ),
    ];
    for (shape, re, want) in rows {
        near(
            critical_nozzle(shape, re).expect("in range"),
            want,
            1e-9,
            "nozzle",
        );
    }
    assert!(critical_nozzle(CriticalNozzle::Cylindrical, 1e5).is_err());
}

/// SOURCES WE-12 and WE-13: ISO 5167-2 as worked in the tests of the fluids library (code to code, 1e-6), and, for a grid of
/// Reynolds numbers, as computed with that library.
#[test]
fn orifice_plate_matches_iso_5167_as_carried_by_fluids() {
    // D 73.91 mm, d 22.2 mm, air at 0.124431876 kg/s, viscosity 1.858618e-5 Pa s
    let (d_pipe, d_hole, flow, mu) = (0.073_91, 0.0222, 0.124_431_876, 1.858_617_530_95e-5);
    let re = 4.0 * flow / (std::f64::consts::PI * d_pipe * mu);
    let beta = d_hole / d_pipe;
    let rows = [
        (Taps::Corner, 0.600_008_51),
        (Taps::DiameterAndHalf, 0.598_821_92),
        (Taps::Flange, 0.599_004_25),
    ];
    for (taps, want) in rows {
        let got = orifice_plate(beta, metres(d_pipe), re, taps).expect("in range");
        near(got, want, 1e-6, "coefficient");
    }
    let epsilon = plate_expansibility(0.0222 / 0.0739, 0.99, 1.4).expect("in range");
    near(epsilon, 0.997_473_9, 1e-6, "expansibility");
    let grid = [
        (5e3, 0.62757),
        (1e4, 0.61858),
        (1e5, 0.60687),
        (1e6, 0.60378),
        (1e7, 0.60268),
    ];
    for (re, want) in grid {
        let got = orifice_plate(0.5, metres(0.1), re, Taps::Corner).expect("in range");
        near(got, want, 6e-6, "grid (half the last printed digit)");
    }
}

/// SOURCES WE-20: TP-410, example 7.23 (notebook answers 0.6261 and 105.74 US gpm): a 2 in orifice in a 4 in
/// schedule 40 line, 60 °F water, 4.4 in of mercury read under water. Tolerance 1 %.
#[test]
fn orifice_meter_example_passes_106_gallons_a_minute() {
    let (d_pipe, d_hole) = (4.026 * 0.0254, 2.0 * 0.0254);
    let (rho, mu) = (999.0, 1.12e-3); // water at 60 °F
    let dp = 4.4 * 0.0254 * (13_570.0 - rho) * 9.806_65;
    let beta: f64 = d_hole / d_pipe;
    let area = std::f64::consts::PI / 4.0 * d_hole * d_hole;
    let velocity_of_approach = (1.0 - beta.powi(4)).sqrt().recip();
    let mut flow = 6e-3;
    let mut coefficient = 0.0;
    for _ in 0..20 {
        let re = 4.0 * rho * flow / (std::f64::consts::PI * d_pipe * mu);
        let c = orifice_plate(beta, metres(d_pipe), re, Taps::DiameterAndHalf).expect("in range");
        coefficient = c * velocity_of_approach;
        flow = coefficient * area * (2.0 * dp / rho).sqrt();
    }
    near(coefficient / 0.6261, 1.0, 0.01, "flow coefficient");
    let us_gpm = flow * 60.0 / 3.785_411_784e-3;
    near(us_gpm / 105.74, 1.0, 0.01, "flow");
}

/// Jets are outside the standard's range, and are refused.
#[test]
fn orifice_plate_refuses_jets() {
    assert!(orifice_plate(0.1, metres(0.01), 1e5, Taps::Corner).is_err());
    assert!(orifice_plate(f64::NAN, metres(0.1), 1e5, Taps::Corner).is_err());
}

/// Thick plates measured by Rohde, Richards and Metzger (`rohde1969`), as a public extraction note compares them:
/// 0.64 at L/d 0.51 and 0.73 at L/d 4, at a Reynolds number of 3.2e4. The band of a sharp hole holds both.
#[test]
fn the_band_of_a_sharp_hole_holds_what_was_measured() {
    let air = HoleFlow::Gas {
        pressure_ratio: 0.99,
        gamma: 1.4,
    };
    for (length_over_diameter, measured) in [(0.51, 0.64), (4.0, 0.73)] {
        let hole = HoleShape {
            edge: Edge::Sharp,
            length_over_diameter,
        };
        let c = for_hole(&hole, 3.2e4, &air).expect("in range");
        assert!(
            c.low <= measured && measured <= c.high,
            "L/d {length_over_diameter}: {measured} outside {} to {}",
            c.low,
            c.high
        );
    }
}

/// Below L/d 1.5 a jet of liquid may run free of the wall (`lichtarowicz1965`: the coefficient varies fast there, with
/// hysteresis): the band reaches down to the thin hole, 0.61 to 0.65, and says so. A choked gas stays attached.
#[test]
fn a_short_hole_may_run_with_its_jet_free_of_the_wall() {
    let liquid = HoleFlow::Liquid {
        cavitation_number: None,
    };
    let choked = HoleFlow::Gas {
        pressure_ratio: 0.3,
        gamma: 1.13,
    };
    let at = |length_over_diameter: f64, flow: &HoleFlow| {
        let hole = HoleShape {
            edge: Edge::Sharp,
            length_over_diameter,
        };
        for_hole(&hole, 3e4, flow).expect("in range")
    };
    for short in [1.0, 1.2, 1.4] {
        let c = at(short, &liquid);
        assert!(c.low < 0.61, "{short}: {}", c.low);
        assert!(
            c.notes.iter().any(|n| n.contains("leave the wall")),
            "{:?}",
            c.notes
        );
    }
    assert!(at(1.5, &liquid).low > 0.70);
    assert!(at(1.2, &choked).low > 0.75);
}
