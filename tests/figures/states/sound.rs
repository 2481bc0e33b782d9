//! Every state has properties that a fluid can have, up to the very ends of the ranges.

use fuelwright::eos::{self, EosError, State};
use fuelwright::fuel::{Composition, Library};
use std::collections::BTreeSet;

/// Steps of temperature and of pressure over the whole range.
const STEPS: (usize, usize) = (60, 40);

fn is_sound(s: &State) -> bool {
    let positive = |x: f64| x > 0.0 && x.is_finite();
    let response = s.response.is_none_or(|r| {
        [
            r.cp_j_kg_k,
            r.cv_j_kg_k,
            r.speed_of_sound_m_s,
            r.dp_drho_pa_m3_kg,
        ]
        .into_iter()
        .all(positive)
            && r.joule_thomson_k_pa.is_finite()
    });
    response
        && [s.temperature_k, s.pressure_pa, s.density_kg_m3]
            .into_iter()
            .all(positive)
        && [s.enthalpy_j_kg, s.entropy_j_kg_k]
            .into_iter()
            .all(f64::is_finite)
}

#[test]
fn no_fuel_has_a_state_that_no_fluid_can_have() {
    let library = Library::embedded();
    let mut refused = BTreeSet::new();
    for name in library.names() {
        let composition = Composition::parse(name, &library).expect("a fuel");
        let fluid = eos::backend(&library, &composition).expect("a backend");
        let range = fluid.validity();
        let (low, high) = (*range.temperature_k.start(), *range.temperature_k.end());
        for i in 0..=STEPS.0 {
            let t_k = low + (high - low) * i as f64 / STEPS.0 as f64;
            for j in 0..=STEPS.1 {
                let p_pa = range.max_pressure_pa * 1e-8_f64.powf(1.0 - j as f64 / STEPS.1 as f64);
                match fluid.state_pt(p_pa, t_k) {
                    Ok(s) => assert!(is_sound(&s), "{name} at {t_k} K, {p_pa} Pa: {s:?}"),
                    Err(EosError::Unsound { .. }) => {
                        refused.insert(name);
                    }
                    Err(_) => {}
                }
            }
        }
    }
    // its equation has such states within its own range
    assert!(refused.contains("methanol"), "{refused:?}");
}

#[test]
fn a_liquid_too_dense_for_its_equation_is_refused_with_what_is_wrong() {
    let library = Library::embedded();
    let refused = |name: &str, p_pa: f64, t_k: f64| {
        let composition = Composition::parse(name, &library).expect("a fuel");
        let fluid = eos::backend(&library, &composition).expect("a backend");
        let why = fluid.state_pt(p_pa, t_k).expect_err("no such fluid");
        why.to_string()
    };
    // cp below zero
    let why = refused("methanol", 5e8, 180.0);
    assert!(
        why.contains("does not hold at 180.00 K")
            && why.contains("its isobaric heat capacity there"),
        "{why}"
    );
    // beyond the highest density, where there is no more than a solid
    let why = refused("methane", 3e8, 95.0);
    assert!(why.contains("density of methane did not converge"), "{why}");
}
