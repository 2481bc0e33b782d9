//! Flames against equilibrium computed with a general-purpose library, and against published ends.

use super::table::{Row, Tally, rows};
use fuelwright::combustion::flame::{AirFeed, Burner, Flame, FlameError, FuelFeed};
use fuelwright::fuel::{Composition, FedAs, Library};
use fuelwright::quantity::{kelvin, pascals_absolute, ratio};

fn feed(row: &Row, library: &Library) -> FuelFeed {
    let composition =
        Composition::parse(&row.text("fuel").replace(';', ","), library).expect("a fuel");
    let phase = match row.text("fed_as") {
        "liquid" => FedAs::Liquid,
        _ => FedAs::Gas,
    };
    FuelFeed::standard(&composition, phase).expect("a feed at 25 degC")
}

fn flame(row: &Row, library: &Library) -> (Burner, Flame) {
    let air = AirFeed::dry(kelvin(row.num("T_air_K"))).expect("in range");
    let p = pascals_absolute(row.num("p_Pa"));
    let burner = Burner::new(feed(row, library), air, p).expect("in range");
    let flame = burner
        .flame(ratio(row.num("phi")))
        .unwrap_or_else(|e| panic!("{row}: {e}"));
    (burner, flame)
}

/// Tolerances of tests/reference/README.md. The reference takes nitrogen from another polynomial set
/// (valid from 300 K only, though it is used at 288 K), which moves temperature by 0.8 K at most and traces
/// by 1.4 %.
fn check_products(tally: &mut Tally, row: &Row, flame: &Flame) {
    for species in [
        "N2", "CO2", "H2O", "CO", "H2", "O2", "OH", "H", "O", "NO", "AR",
    ] {
        let want = row.num(&format!("x_{species}"));
        let tolerance = if want > 0.01 {
            0.01
        } else if want >= 1e-4 {
            0.05
        } else {
            0.1
        };
        let got = flame.mole_fraction(species).value;
        tally.relative(got, want, tolerance, species, row);
    }
}

#[test]
fn flames_match_the_equilibrium_library() {
    let library = Library::embedded();
    let mut tally = Tally::default();
    for row in rows("combustion.csv") {
        let (_, flame) = flame(&row, &library);
        tally.within(
            flame.temperature.value,
            row.num("T_flame_K"),
            4.0,
            "flame temperature",
            &row,
        );
        check_products(&mut tally, &row, &flame);
        tally.relative(
            flame.air_fuel_ratio.value,
            row.num("air_fuel_ratio_mass"),
            1e-4,
            "air-fuel ratio",
            &row,
        );
        // the temperature's own tolerance, 4 K of 1000 K, and 0.1 % of the polynomials
        tally.relative(
            flame.density().value,
            row.num("rho_products_kg_m3"),
            4e-3,
            "density",
            &row,
        );
        tally.relative(
            flame.heat_capacity().value,
            row.num("cp_frozen_products_J_kgK"),
            2e-3,
            "frozen heat capacity",
            &row,
        );
    }
    tally.finish(57 * 15);
}

#[test]
fn fuel_enthalpies_match_the_polynomial_library() {
    let library = Library::embedded();
    let mut tally = Tally::default();
    for row in rows("combustion_fuels.csv") {
        let feed = feed(&row, &library);
        // 0.1 % of the heating value: formation enthalpies of two sources differ by up to 0.05 %, and heats
        // of vaporization from formation enthalpies and from equations of state by up to 1 %
        tally.within(
            feed.enthalpy().value,
            row.num("h_fuel_298_J_kg"),
            1e-3 * row.num("lhv_J_kg"),
            "enthalpy of the fuel",
            &row,
        );
    }
    tally.finish(30);
}

/// A burner that sets free 98 %, 80 % or 50 % of the heat, against the same library: with the heat taken off the
/// enthalpy, which is our model, and lean also with the unburnt fuel carried along as vapour, which is another.
#[test]
fn exits_of_inefficient_burners_match_the_equilibrium_library() {
    let library = Library::embedded();
    let mut tally = Tally::default();
    for row in rows("flame_efficiency.csv") {
        let composition = Composition::parse(row.text("fuel"), &library).expect("a fuel");
        let fuel = FuelFeed::standard(&composition, FedAs::Gas).expect("a feed at 25 degC");
        let air = AirFeed::dry(kelvin(row.num("T_air_K"))).expect("in range");
        let burner = Burner::new(fuel, air, pascals_absolute(row.num("p_Pa"))).expect("in range");
        let burner = burner.with_efficiency(ratio(row.num("efficiency")));
        let exit = burner.and_then(|b| b.flame(ratio(row.num("phi"))));
        let exit_k = exit
            .unwrap_or_else(|e| panic!("{row}: {e}"))
            .temperature
            .value;
        tally.within(exit_k, row.num("T_exit_K"), 1.0, "exit", &row);
        if let Some(want) = row.opt("T_exit_vapour_K") {
            tally.within(exit_k, want, 6.0, "exit with vapour", &row);
        }
    }
    tally.finish(72 + 48);
}

/// Same library over a wider field: lean limit to three times the fuel, 0.6 bar to 20 bar, hot and cold and
/// humid air; also species that matter only when rich. Tolerances as above; species below 1e-12 are not
/// compared (the library's own convergence ends there). The nitrogen polynomials of the reference are used
/// down to 230 K, 70 K below their range.
#[test]
fn flames_match_the_equilibrium_library_from_lean_to_very_rich() {
    let library = Library::embedded();
    let mut tally = Tally::default();
    for row in rows("flame_wide.csv") {
        let composition = Composition::parse(row.text("fuel"), &library).expect("a fuel");
        let fuel = FuelFeed::standard(&composition, FedAs::Gas).expect("a feed at 25 degC");
        let t = kelvin(row.num("T_air_K"));
        let air = AirFeed::with_humidity_ratio(t, ratio(row.num("humidity_ratio")));
        let p = pascals_absolute(row.num("p_Pa"));
        let burner = Burner::new(fuel, air.expect("in range"), p).expect("in range");
        let flame = burner.flame(ratio(row.num("phi"))).expect("a flame");
        tally.within(
            flame.temperature.value,
            row.num("T_flame_K"),
            4.0,
            "flame temperature",
            &row,
        );
        for species in [
            "N2", "CO2", "H2O", "CO", "H2", "O2", "OH", "H", "O", "NO", "AR", "CH4", "NH3", "HCN",
            "NO2", "HO2",
        ] {
            let want = row.num(&format!("x_{species}"));
            let tolerance = match want {
                w if w > 0.01 => 0.01,
                w if w >= 1e-4 => 0.05,
                w if w > 1e-12 => 0.1,
                _ => continue,
            };
            let got = flame.mole_fraction(species).value;
            tally.relative(got, want, tolerance, species, &row);
        }
        tally.relative(
            flame.gamma().value,
            row.num("gamma_frozen"),
            1e-3,
            "gamma",
            &row,
        );
        let activity = row.num("carbon_activity");
        if activity > 1e-9 {
            // a difference of large potentials: 1 K moves it by 1 % and more
            tally.relative(
                flame.carbon_activity(),
                activity,
                0.05,
                "carbon activity",
                &row,
            );
        }
    }
    tally.finish(400);
}

fn gas_burner(fuel: &str, air_k: f64) -> Burner {
    let composition = Composition::parse(fuel, &Library::embedded()).expect("a fuel");
    let fuel = FuelFeed::standard(&composition, FedAs::Gas).expect("a feed at 25 degC");
    let air = AirFeed::dry(kelvin(air_k)).expect("in range");
    Burner::new(fuel, air, pascals_absolute(101_325.0)).expect("in range")
}

/// Turns, An Introduction to Combustion, table B.1: adiabatic flame temperatures of gaseous fuels in air,
/// 298 K, 1 atm, equivalence ratio one. From memory. The table takes air as 21 % oxygen and 79 % nitrogen (0.6 K
/// cooler here) and older thermodynamic data: 5 K.
#[test]
fn stoichiometric_flames_agree_with_a_textbook_table() {
    for (fuel, t_k) in [
        ("methane", 2226.0),
        ("ethane", 2259.0),
        ("propylene", 2334.0),
        ("propane", 2267.0),
        ("n-butane", 2270.0),
        ("n-pentane", 2272.0),
        ("n-heptane", 2274.0),
        ("n-decane", 2277.0),
        ("n-dodecane", 2277.0),
    ] {
        let got = gas_burner(fuel, 298.15).flame(ratio(1.0)).expect("a flame");
        let got_k = got.temperature.value;
        assert!((got_k - t_k).abs() < 5.0, "{fuel}: {got_k} K, want {t_k} K");
    }
}

/// Hot ends of freely propagating flames, Cantera 3.2.0 with gri30, 298 K, 1 atm. They end on a finite grid,
/// up to 6 K from equilibrium of the same library (which gives 2231, 2277, 2166 K).
#[test]
fn flames_end_where_propagating_flames_do() {
    for (fuel, phi, t_k) in [
        ("methane", 1.05, 2236.0),
        ("propane", 1.05, 2282.0),
        ("hydrogen", 1.7, 2163.0),
    ] {
        let got = gas_burner(fuel, 298.15).flame(ratio(phi)).expect("a flame");
        let got_k = got.temperature.value;
        assert!((got_k - t_k).abs() < 6.0, "{fuel}: {got_k} K, want {t_k} K");
    }
}

// Enthalpy of real fuel at its own state above the ideal gas at 25 °C. Code to code: CoolProp 8.0.0, h(p, T) less
// h(1 Pa, 298.15 K) of the gas; 1e-4 or 50 J/kg, the same equations.
#[test]
fn fuel_at_its_own_state_carries_the_enthalpy_of_the_real_fluid() {
    let library = Library::embedded();
    for (fuel, p_pa, t_k, phase, rise_j_kg) in [
        ("propane", 15e5, 298.15, FedAs::Liquid, -368_077.46_f64),
        ("propane", 5e5, 298.15, FedAs::Gas, -15_228.11),
        ("ethanol", 1e5, 393.15, FedAs::Gas, 143_457.35),
    ] {
        let composition = Composition::parse(fuel, &library).expect("a fuel");
        let backend = fuelwright::eos::backend(&library, &composition).expect("an equation");
        let ideal = FuelFeed::standard(&composition, FedAs::Gas).expect("a gas at 25 degC");
        let (p, t) = (pascals_absolute(p_pa), kelvin(t_k));
        let real = FuelFeed::from_state(backend.as_ref(), p, t, phase).expect("a feed");
        let rise = real.enthalpy().value - ideal.enthalpy().value;
        let limit = (1e-4 * rise_j_kg.abs()).max(50.0);
        assert!(
            (rise - rise_j_kg).abs() < limit,
            "{fuel}: {rise}, want {rise_j_kg}"
        );
    }
}

// Liquid ethanol warmed from 25 °C to 350 K at 3 bar takes up 138 048.9 J/kg (CoolProp 8.0.0); kerosene's two ways,
// by its file's heat capacity and by its backend, are one.
#[test]
fn warm_liquid_fuel_carries_its_heat() {
    let library = Library::embedded();
    let feed = |fuel: &str, t_k: f64| {
        let composition = Composition::parse(fuel, &library).expect("a fuel");
        let backend = fuelwright::eos::backend(&library, &composition).expect("a backend");
        FuelFeed::from_state(
            backend.as_ref(),
            pascals_absolute(3e5),
            kelvin(t_k),
            FedAs::Liquid,
        )
        .expect("a liquid")
    };
    let rise = feed("ethanol", 350.0).enthalpy().value - feed("ethanol", 298.15).enthalpy().value;
    assert!((rise / 138_048.86 - 1.0).abs() < 1e-4, "{rise}");
    let composition = Composition::parse("kerosene", &library).expect("a fuel");
    let by_file = FuelFeed::liquid(&composition, kelvin(340.0)).expect("in range");
    let by_backend = feed("kerosene", 340.0);
    let difference = by_file.enthalpy().value - by_backend.enthalpy().value;
    assert!(difference.abs() < 500.0, "{difference} J/kg");
}

#[test]
fn fuel_in_the_wrong_phase_is_refused_with_its_boundary() {
    let library = Library::embedded();
    let feed = |fuel: &str, t_k, phase| {
        let composition = Composition::parse(fuel, &library).expect("a fuel");
        let backend = fuelwright::eos::backend(&library, &composition).expect("a backend");
        FuelFeed::from_state(
            backend.as_ref(),
            pascals_absolute(101_325.0),
            kelvin(t_k),
            phase,
        )
    };
    // normal boiling points of CoolProp 8.0.0: ethanol 351.57 K, propane 231.04 K
    match feed("ethanol", 298.15, FedAs::Gas) {
        Err(FlameError::BelowDewPoint { dew_k, .. }) => {
            let dew_k = dew_k.expect("known");
            assert!((dew_k - 351.57).abs() < 0.05);
        }
        other => panic!("{other:?}"),
    }
    match feed("propane", 298.15, FedAs::Liquid) {
        Err(FlameError::AboveBubblePoint { bubble_k, .. }) => {
            let bubble_k = bubble_k.expect("known");
            assert!((bubble_k - 231.04).abs() < 0.05);
        }
        other => panic!("{other:?}"),
    }
}
