//! Whole commands on inputs anywhere: an answer with finite numbers or a message, never a panic.

use crate::times::cases;
use fuelwright::{Outcome, run};
use proptest::prelude::*;

const FUELS: &[&str] = &[
    "propane",
    "n-butane",
    "isobutane",
    "propylene",
    "ethane",
    "methane",
    "n-pentane",
    "isopentane",
    "hydrogen",
    "dimethyl-ether",
    "ethanol",
    "methanol",
    "isopropanol",
    "n-heptane",
    "n-decane",
    "n-dodecane",
    "nitrogen",
    "kerosene",
    "gasoline",
    "diesel",
    "propane:60,n-butane:40",
    "lpg-propane",
    "natural-gas",
];

/// Runs a line; an answer is returned, a refusal must have a message and no output.
fn answer(line: &[String]) -> Result<Option<serde_json::Value>, TestCaseError> {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let outcome = run(line, 80, &mut out, &mut err);
    let err = String::from_utf8(err).expect("messages are text");
    if outcome == Outcome::Failed {
        prop_assert!(out.is_empty(), "{line:?}");
        prop_assert!(err.starts_with("error: "), "{line:?}: {err}");
        prop_assert!(!err.contains("NaN"), "{line:?}: {err}");
        return Ok(None);
    }
    let object = serde_json::from_slice(&out).expect("one object");
    Ok(Some(object))
}

fn line(parts: &[&str]) -> Vec<String> {
    ["fuelwright", "--format", "json"]
        .iter()
        .chain(parts)
        .map(ToString::to_string)
        .collect()
}

/// Finite and above zero.
fn positive(object: &serde_json::Value, key: &str) -> bool {
    object[key]
        .as_f64()
        .is_some_and(|x| x > 0.0 && x.is_finite())
}

proptest! {
    #![proptest_config(cases(200))]

    #[test]
    fn a_state_is_positive_or_refused(
        fuel in prop::sample::select(FUELS),
        t_k in 10.0..900.0f64,
        log_p in 2.0..8.5f64,
    ) {
        let (t, p) = (format!("{t_k} K"), format!("{} Pa(a)", 10f64.powf(log_p)));
        let line = line(&["state", fuel, "--temperature", &t, "--pressure", &p]);
        if let Some(state) = answer(&line)? {
            prop_assert!(positive(&state, "density_kg_m3"), "{line:?}");
            if state["phase"] != "two-phase" {
                for key in ["cp_j_kg_k", "cv_j_kg_k", "speed_of_sound_m_s"] {
                    prop_assert!(positive(&state, key), "{line:?}: {key}");
                }
            }
        }
    }

    #[test]
    fn an_injector_is_positive_or_refused(
        fuel in prop::sample::select(FUELS),
        t_k in 200.0..450.0f64,
        log_p in 4.0..7.5f64,
        chamber_share in 0.01..1.1f64,
        holes in 1..40u32,
        log_flow in -6.0..0.0f64,
    ) {
        let p_pa = 10f64.powf(log_p);
        let line = line(&[
            "injector", "--fuel", fuel, "--upstream-temperature", &format!("{t_k} K"),
            "--upstream", &format!("{p_pa} Pa(a)"),
            "--chamber", &format!("{} Pa(a)", p_pa * chamber_share),
            "--holes", &holes.to_string(),
            "--flow", &format!("{} kg/s", 10f64.powf(log_flow)),
        ]);
        if let Some(found) = answer(&line)? {
            prop_assert!(chamber_share < 1.0, "{line:?}");
            for key in ["hole_diameter_m", "mass_flow_kg_s", "mass_flux_kg_m2_s", "throat_pressure_pa"] {
                prop_assert!(positive(&found, key), "{line:?}: {key}");
            }
        }
    }

    #[test]
    fn words_for_flags_never_panic(text in "\\PC{0,12}") {
        for flag in ["--temperature", "--pressure"] {
            answer(&line(&["state", "propane", flag, &text]))?;
        }
        answer(&line(&["state", &text, "--temperature", "20 degC", "--pressure", "1 bara"]))?;
    }
}
