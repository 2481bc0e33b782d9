//! States found from one near them are those found without.

use crate::times::cases;
use fuelwright::eos::{self, Backend, Phase, State};
use fuelwright::fuel::{Composition, Library};
use proptest::prelude::*;
use std::sync::{Arc, LazyLock};

static FLUIDS: LazyLock<Vec<Arc<dyn Backend>>> = LazyLock::new(|| {
    let library = Library::embedded();
    [
        "propane",
        "propane:70,n-butane:30",
        "propane:40,isobutane:25,n-butane:35",
        "methane:92.5,ethane:5,propane:1.3,nitrogen:1.2",
    ]
    .iter()
    .map(|name| {
        let composition = Composition::parse(name, &library).expect("a fuel");
        let fluid = eos::backend(&library, &composition).expect("a backend");
        fluid
            .recomposed_to_stay(&composition.mole_fractions())
            .expect("its own composition")
    })
    .collect()
});

/// The state that pressure and temperature alone give where this one lies, found by another route.
fn by_temperature(fluid: &dyn Backend, s: &State) -> State {
    match s.phase {
        // of a pure fluid pressure and temperature do not tell the quality
        Phase::TwoPhase if fluid.composition().parts().len() == 1 => fluid
            .state_pq(s.pressure_pa, s.vapour_mole_fraction)
            .expect("a state"),
        _ => fluid
            .state_pt(s.pressure_pa, s.temperature_k)
            .expect("a state"),
    }
}

fn close(a: f64, b: f64, by: f64) -> bool {
    (a - b).abs() <= by * (1.0 + a.abs().max(b.abs()))
}

proptest! {
    #![proptest_config(cases(300))]

    #[test]
    fn a_near_state_only_saves_time(
        which in 0..4_usize, p0 in 1.2e5..9e5_f64, off_k in -20.0..40.0_f64,
        ratio in 0.4..1.3_f64, dh in -2e4..2e4_f64,
    ) {
        let fluid = FLUIDS[which].as_ref();
        let dew_k = fluid.dew_p(p0).expect("a dew point").temperature_k;
        let near = fluid.state_pt(p0, dew_k + off_k).expect("a state");
        let p = p0 * ratio;
        for found in [
            fluid.state_ps_near(p, near.entropy_j_kg_k, &near),
            fluid.state_ph_near(p, near.enthalpy_j_kg + dh, &near),
        ] {
            let Ok(s) = found else { continue };
            let t = by_temperature(fluid, &s);
            // within a hair of a phase line rounding may name either side
            if t.phase == s.phase {
                prop_assert!(close(s.density_kg_m3, t.density_kg_m3, 1e-6), "{s:?} {t:?}");
                prop_assert!(close(s.entropy_j_kg_k, t.entropy_j_kg_k, 1e-7), "{s:?} {t:?}");
                prop_assert!(close(s.enthalpy_j_kg, t.enthalpy_j_kg, 1e-7), "{s:?} {t:?}");
            } else {
                let shares = (s.vapour_mole_fraction, t.vapour_mole_fraction);
                prop_assert!((shares.0 - shares.1).abs() < 1e-5, "{s:?} {t:?}");
            }
        }
        let s = fluid.state_ps_near(p, near.entropy_j_kg_k, &near);
        if let Ok(s) = s {
            prop_assert!(close(s.entropy_j_kg_k, near.entropy_j_kg_k, 1e-10), "{s:?}");
            let plain = fluid.state_ps(p, near.entropy_j_kg_k).expect("the same without");
            prop_assert!(close(s.temperature_k, plain.temperature_k, 1e-9), "{s:?} {plain:?}");
            prop_assert!(close(s.density_kg_m3, plain.density_kg_m3, 1e-9), "{s:?} {plain:?}");
        }
    }

    #[test]
    fn a_phase_that_is_certain_is_the_stable_one(
        which in 0..4_usize, p in 1e5..1.5e6_f64, off_k in -3.0..3.0_f64,
    ) {
        let fluid = FLUIDS[which].as_ref();
        for line_k in [fluid.dew_p(p), fluid.bubble_p(p)].map(|e| e.expect("a line").temperature_k) {
            let t_k = line_k + off_k;
            for phase in [Phase::Gas, Phase::Liquid] {
                if fluid.is_certainly(phase, p, t_k) {
                    prop_assert_eq!(fluid.state_pt(p, t_k).expect("a state").phase, phase);
                }
            }
            // the lines themselves and their near sides are never taken as certain
            let dew_k = fluid.dew_p(p).expect("a dew point").temperature_k;
            prop_assert!(!fluid.is_certainly(Phase::Gas, p, dew_k));
        }
    }

    #[test]
    fn liquid_and_vapour_of_a_mean_density_fill_the_space(
        which in 1..3_usize, t_k in 250.0..310.0_f64, share in 0.005..0.95_f64,
    ) {
        let fluid = FLUIDS[which].as_ref();
        let full = fluid.bubble_t(t_k).expect("a bubble point").liquid.density_kg_m3;
        let dry = fluid.dew_t(t_k).expect("a dew point").vapour.density_kg_m3;
        let rho = dry + share * (full - dry);
        let s = fluid.state_rho_t(rho, t_k).expect("a state");
        prop_assert_eq!(s.phase, Phase::TwoPhase);
        prop_assert!(close(s.density_kg_m3, rho, 1e-9));
        let t = fluid.state_pt(s.pressure_pa, t_k).expect("a state");
        prop_assert!((s.vapour_mole_fraction - t.vapour_mole_fraction).abs() < 1e-7, "{:?} {:?}", s, t);
    }
}
