//! Bubble and dew points of blends of many components, and of liquids that the model splits in two.

use crate::times::cases;
use fuelwright::eos::{self, Backend, EosError};
use fuelwright::fuel::{Composition, Library};
use proptest::prelude::*;
use std::sync::Arc;

fn blend(parts: &[(&str, f64)]) -> Arc<dyn Backend> {
    let library = Library::embedded();
    let all: f64 = parts.iter().map(|p| p.1).sum();
    let text: Vec<String> = parts
        .iter()
        .map(|(name, share)| format!("{name}:{:.9}", share / all * 100.0))
        .collect();
    let composition = Composition::parse(&text.join(","), &library).expect("a blend");
    eos::backend(&library, &composition).expect("every pair has a model")
}

const LPG: [&str; 8] = [
    "propane",
    "n-butane",
    "isobutane",
    "propylene",
    "ethane",
    "methane",
    "n-pentane",
    "isopentane",
];

proptest! {
    #![proptest_config(cases(48))]

    // Thermodynamics: the bubble pressure is at or above the dew pressure, and both lie between the ends
    // that the components set; the temperature found back is the one asked.
    #[test]
    fn eight_components_of_lpg_have_a_bubble_and_a_dew_point(
        t_k in 253.15_f64..311.0,
        main in prop::array::uniform4(0.0_f64..40.0),
        rest in prop::array::uniform4(0.01_f64..4.0),
    ) {
        let shares = [40.0 + main[0], 1.0 + main[1], 1.0 + main[2], 1.0 + main[3], 2.0 * rest[0], rest[1], rest[2], rest[3]];
        let parts: Vec<(&str, f64)> = LPG.into_iter().zip(shares).collect();
        let b = blend(&parts);
        let (bubble, dew) = (b.bubble_t(t_k), b.dew_t(t_k));
        let (bubble, dew) = (bubble.expect("a bubble point"), dew.expect("a dew point"));
        prop_assert!(bubble.pressure_pa > dew.pressure_pa);
        let back = b.bubble_p(bubble.pressure_pa).expect("and back").temperature_k;
        prop_assert!((back - t_k).abs() < 1e-6, "{back} {t_k}");
        let back = b.dew_p(dew.pressure_pa).expect("and back").temperature_k;
        prop_assert!((back - t_k).abs() < 1e-6, "{back} {t_k}");
    }
}

// Code to code: CoolProp 8.0.0, HEOS, the same pair parameters (1e-5 as in tests/reference/README.md).
#[test]
fn eight_components_with_nitrogen_at_twelve_degrees() {
    let names = [
        "propane",
        "n-butane",
        "isobutane",
        "ethane",
        "methane",
        "n-pentane",
        "isopentane",
        "nitrogen",
    ];
    for (shares, bubble_pa, dew_pa) in [
        (
            [80.0, 8.0, 5.0, 3.0, 1.0, 1.0, 1.5, 0.5],
            1_049_833.747,
            439_043.837,
        ),
        (
            [40.0, 20.0, 15.0, 10.0, 5.0, 4.0, 3.0, 3.0],
            3_016_474.501,
            263_084.163,
        ),
    ] {
        let parts: Vec<(&str, f64)> = names.into_iter().zip(shares).collect();
        let b = blend(&parts);
        let bubble = b.bubble_t(285.15).expect("a bubble point").pressure_pa;
        let dew = b.dew_t(285.15).expect("a dew point").pressure_pa;
        assert!((bubble / bubble_pa - 1.0).abs() < 1e-5, "{bubble}");
        assert!((dew / dew_pa - 1.0).abs() < 1e-5, "{dew}");
    }
}

// A light gas in a liquid boils to the end of the equations at a low pressure: there is no bubble point then, and
// that is what is said; wet states above that end are found all the same.
#[test]
fn gas_in_a_liquid_has_no_bubble_point_at_a_low_pressure_but_wet_states() {
    let b = blend(&[
        ("propane", 40.0),
        ("n-butane", 20.0),
        ("isobutane", 15.0),
        ("propylene", 10.0),
        ("ethane", 5.0),
        ("methane", 4.0),
        ("n-pentane", 3.0),
        ("nitrogen", 3.0),
    ]);
    let p_pa = 185_163.0;
    let none = b.bubble_p(p_pa).expect_err("boils below the equations");
    assert!(matches!(none, EosError::BoilsColder { .. }), "{none}");
    assert!(
        none.to_string().contains("begins to boil below 143.47 K"),
        "{none}"
    );
    let dew_k = b.dew_p(p_pa).expect("a dew point").temperature_k;
    for below_k in [1.0, 20.0, 60.0] {
        let at = b.state_pt(p_pa, dew_k - below_k).expect("two phases");
        assert!(at.equilibrium.is_some());
        let s = b.state_ps(p_pa, at.entropy_j_kg_k).expect("found back");
        assert!((s.temperature_k - at.temperature_k).abs() < 1e-6, "{s:?}");
        let h = b.state_ph(p_pa, at.enthalpy_j_kg).expect("found back");
        assert!((h.temperature_k - at.temperature_k).abs() < 1e-6, "{h:?}");
    }
}

// The pair parameters of n-heptane with ethanol split the liquid in two at 12 degC, which it does not do in
// fact: a bubble line with two maxima, and a "dew" pressure above it. Neither is given out.
#[test]
fn a_liquid_that_the_model_splits_is_refused() {
    let b = blend(&[("n-heptane", 50.0), ("ethanol", 50.0)]);
    for found in [b.bubble_t(285.15), b.dew_t(285.15)] {
        let why = found.expect_err("two liquids");
        assert!(matches!(why, EosError::LiquidSplits { .. }), "{why}");
        assert!(
            why.to_string().contains("splits the liquid in two"),
            "{why}"
        );
    }
    assert!(b.bubble_p(6.7e3).is_err() && b.state_ph(6.7e3, 0.0).is_err());
    // nearly pure it is one liquid, and one with itself at any share
    for parts in [
        [("n-heptane", 1.0), ("ethanol", 99.0)],
        [("methanol", 50.0), ("ethanol", 50.0)],
    ] {
        let b = blend(&parts);
        let (bubble, dew) = (b.bubble_t(285.15), b.dew_t(285.15));
        assert!(
            bubble.expect("one liquid").pressure_pa >= dew.expect("one liquid").pressure_pa,
            "{parts:?}"
        );
    }
}
