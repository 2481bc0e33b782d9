//! Viscosity over whatever a state may be: finite and positive, or an error, never NaN.

use crate::times::cases;
use fuelwright::eos::{self, Phase};
use fuelwright::fuel::{Composition, Library};
use proptest::prelude::*;

/// Fuels and blends with an equation of state, light and heavy, like and unlike.
const FUELS: [&str; 20] = [
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
    "n-heptane",
    "n-decane",
    "n-dodecane",
    "nitrogen",
    "propane:60,n-butane:30,isobutane:10",
    "propane:80,propylene:15,ethane:5",
    "methane:90,ethane:5,propane:3,nitrogen:2",
    "methane:70,hydrogen:30",
];

proptest! {
    #![proptest_config(cases(400))]

    #[test]
    fn viscosity_is_positive_or_an_error(which in 0..FUELS.len(), share in 0.0..=1.0_f64,
                                         log_p in 3.0..7.5_f64) {
        let library = Library::embedded();
        let composition = Composition::parse(FUELS[which], &library).expect("of the library");
        let backend = eos::backend(&library, &composition).expect("has equations");
        let range = backend.validity().temperature_k.clone();
        let t_k = range.start() + share * (range.end() - range.start());
        let Ok(state) = backend.state_pt(10.0_f64.powf(log_p), t_k) else {
            return Ok(());
        };
        if let Ok(eta) = backend.viscosity_pa_s(&state) {
            prop_assert!(eta.is_finite() && eta > 0.0, "{}: {eta} at {state:?}", FUELS[which]);
            let band = backend.viscosity_uncertainty(&state).expect("a viscosity has a band");
            prop_assert!(band > 0.0 && band < 1.0);
        }
    }

    /// At room temperature, where the models are used, there is a viscosity, and a gas has one of a gas.
    #[test]
    fn every_gas_near_room_temperature_has_a_viscosity(which in 0..FUELS.len(),
                                                       t_k in 250.0..450.0_f64) {
        let library = Library::embedded();
        let composition = Composition::parse(FUELS[which], &library).expect("of the library");
        let backend = eos::backend(&library, &composition).expect("has equations");
        let Ok(state) = backend.state_pt(101_325.0, t_k) else {
            return Ok(());
        };
        if state.phase == Phase::TwoPhase {
            return Ok(()); // a blend between its dew and bubble points
        }
        let eta = backend.viscosity_pa_s(&state);
        let eta = eta.map_err(|e| TestCaseError::fail(format!("{}: {e}", FUELS[which])))?;
        if state.phase == Phase::Gas {
            prop_assert!((4e-6..4e-5).contains(&eta), "{}: {eta} at {t_k} K", FUELS[which]);
        }
    }
}
