//! Stoichiometry, heating values, ISO 6976 and flammability against published figures and tables.
use crate::reference::table::{Tally, rows};
use fuelwright::combustion::air::Air;
use fuelwright::combustion::flammability::{Flammability, estimated_limits, le_chatelier};
use fuelwright::combustion::gas_quality::{GasComponent, GasQuality};
use fuelwright::combustion::{CombustionError, Stoichiometry};
use fuelwright::fuel::{Composition, FedAs, Formula, Library};
use fuelwright::quantity::ratio;

fn fuel(text: &str) -> Composition {
    let name = if text == "jet-a" { "kerosene" } else { text };
    Composition::parse(&name.replace(';', ","), &Library::embedded())
        .expect("a fuel of the library")
}

#[track_caller]
fn close(got: f64, want: f64, tolerance: f64, what: &str) {
    assert!(
        (got / want - 1.0).abs() <= tolerance,
        "{what}: got {got}, want {want} within {tolerance}"
    );
}

#[test]
fn air_fuel_ratios_and_heating_values_agree_with_polynomials_of_another_library() {
    // combustion_fuels.csv: atoms and NASA polynomials in Cantera 3.2.0; tolerances of its README.
    // Jet-A is C12H23 there as kerosene is here.
    let mut tally = Tally::default();
    for row in rows("combustion_fuels.csv") {
        let phase = match row.text("fed_as") {
            "gas" => FedAs::Gas,
            _ => FedAs::Liquid,
        };
        let of = |air: &Air| Stoichiometry::with_air(&fuel(row.text("fuel")), air, Some(phase));
        let s = of(&Air::dry()).expect("it burns");
        let m = row.num("molar_mass_kg_mol");
        // atomic masses differ in the fifth digit (1.00794 against 1.008: 6e-5 for hydrogen)
        tally.relative(s.molar_mass.value, m, 1e-4, "molar mass", &row);
        tally.relative(
            s.oxygen.value,
            row.num("o2_per_fuel_mol_mol"),
            1e-9,
            "oxygen",
            &row,
        );
        let afr = row.num("stoichiometric_air_fuel_ratio_mass");
        tally.relative(s.air_fuel_ratio.value, afr, 1e-4, "air-fuel ratio", &row);
        tally.relative(
            s.lower_heating_value.value,
            row.num("lhv_J_kg"),
            1e-3,
            "net",
            &row,
        );
        tally.relative(
            s.higher_heating_value.value,
            row.num("hhv_J_kg"),
            1e-3,
            "gross",
            &row,
        );
        let simple = Air {
            nitrogen: 0.79,
            oxygen: 0.21,
            argon: 0.0,
            carbon_dioxide: 0.0,
            water: 0.0,
        };
        let afr = row.num("stoichiometric_air_fuel_ratio_mass_air_21_79");
        let got = of(&simple).expect("it burns").air_fuel_ratio.value;
        tally.relative(got, afr, 1e-4, "air-fuel ratio, 21/79 air", &row);
    }
    tally.finish(25 * 6);
}

#[test]
fn iso_6976_annex_d_example_is_met_to_its_last_digits() {
    // WE-1: ISO 6976:2016 annex D.2 example 1 (read in the tests of a public implementation), 1e-6
    let row = |mole_fraction, m_kg_kmol: f64, gross_kj_mol: f64, hydrogen_atoms, summing_factor| {
        GasComponent {
            mole_fraction,
            molar_mass_kg_mol: m_kg_kmol * 1e-3,
            gross_j_mol: gross_kj_mol * 1e3,
            hydrogen_atoms,
            summing_factor,
        }
    };
    let gas = [
        row(0.933_212, 16.042_46, 891.51, 4.0, 0.044_52),
        row(0.025_656, 30.069_04, 1562.14, 6.0, 0.0919),
        row(0.015_368, 44.095_62, 2221.10, 8.0, 0.1344),
        row(0.010_350, 28.013_4, 0.0, 0.0, 0.0170),
        row(0.015_414, 44.009_5, 0.0, 0.0, 0.0752),
    ];
    let q = GasQuality::from_components(&gas, "example 1").expect("a gas");
    close(q.molar_mass_kg_mol, 17.388_430_1e-3, 1e-6, "molar mass");
    close(q.compressibility, 0.997_762_24, 1e-6, "compressibility");
    close(q.gross_j_mol, 906_179.958_8, 1e-6, "molar gross value");
    close(q.gross_j_kg, 52.113_961e6, 1e-6, "gross value by mass");
    close(q.gross_j_m3, 38.410_611e6, 1e-6, "gross value by volume");
}

#[test]
fn iso_6976_values_of_the_lpg_components() {
    // WE-2: the same method applied by hand; 1e-4
    let cases = [
        ("propane", 95.66, 88.01, 1.8992, 1.5497),
        ("n-butane", 126.06, 116.34, 2.5443, 2.0761),
        ("isobutane", 125.11, 115.43, 2.5333, 2.0671),
        ("propylene", 88.52, 82.79, 1.8087, 1.4759),
    ];
    for (name, gross, net, density, relative) in cases {
        let q = GasQuality::of(&fuel(name)).expect("the standard lists it");
        close(q.gross_j_m3, gross * 1e6, 1e-4, name);
        close(q.net_j_m3, net * 1e6, 1e-4, name);
        close(q.density_kg_m3, density, 1e-4, name);
        close(q.relative_density, relative, 1e-4, name);
    }
}

#[test]
fn a_vapour_too_far_from_ideal_is_refused_by_iso_6976() {
    // WE-2: methanol vapour at 15 °C has Z = 0.80 by the summing rule, below the rule's 0.9
    let refused = GasQuality::of(&fuel("methanol"));
    assert!(
        matches!(refused, Err(CombustionError::TooNonIdeal { .. })),
        "{refused:?}"
    );
    let unlisted = GasQuality::of(&fuel("propane:90,dimethyl-ether:10"));
    assert!(
        matches!(unlisted, Err(CombustionError::NotInIso6976 { .. })),
        "{unlisted:?}"
    );
}

#[test]
fn air_needs_are_those_of_a_handbook_table() {
    // WE-3: 2021 ASHRAE Handbook Fundamentals, chapter 28, table 1: m³ air per m³ fuel, kg per kg; 0.3 % by mass.
    // By volume 0.4 %: the table's own oxygen share, 5/23.95 = 0.2088 for propane and 6.5/31.14 = 0.2087 for butane,
    // is 0.33 to 0.35 % below that of dry air (0.20946)
    let cases = [
        ("methane", 9.57, 17.24),
        ("propane", 23.95, 15.68),
        ("n-butane", 31.14, 15.47),
        ("propylene", 21.53, 14.78),
        ("hydrogen", 2.39, 34.28),
    ];
    for (name, by_volume, by_mass) in cases {
        let s = Stoichiometry::of(&fuel(name)).expect("it burns");
        close(s.air_fuel_ratio_by_volume.value, by_volume, 4e-3, name);
        close(s.air_fuel_ratio.value, by_mass, 3e-3, name);
    }
}

#[test]
fn heating_values_at_15_degc_are_those_of_a_handbook_table() {
    // WE-3: the same chapter, table 3, gross and net MJ/kg; 0.3 % against ISO rows
    let cases = [
        ("methane", 55.533, 49.997),
        ("propane", 50.402, 46.373),
        ("n-butane", 49.593, 45.771),
        ("propylene", 48.958, 45.792),
        ("hydrogen", 142.107, 120.075),
    ];
    for (name, gross, net) in cases {
        let q = GasQuality::of(&fuel(name)).expect("the standard lists it");
        close(q.gross_j_kg, gross * 1e6, 3e-3, name);
        close(q.net_j_kg, net * 1e6, 3e-3, name);
    }
}

#[test]
fn metered_gas_gives_the_heat_of_the_handbook_example() {
    // WE-4: 2021 ASHRAE Handbook Fundamentals, chapter 28, example 1; 0.1 %. Ideal-gas reduction of the
    // metered volume to 288.75 K, 101.4 kPa, times the gross value by volume
    let v_metered_m3_h = 2.800;
    let (t_k, p_pa) = (297.15, 84_316.0 + 1_700.0);
    let v_m3_h = v_metered_m3_h * p_pa / 101_400.0 * 288.75 / t_k;
    close(v_m3_h, 2.308, 1e-3, "standard volume");
    close(v_m3_h * 37.5e6 / 3600.0, 24.06e3, 1e-3, "heat");
}

#[test]
fn mixed_limits_are_those_of_the_textbook() {
    // WE-36: Crowl & Louvar, hexane, methane, ethylene (as carried by chemicals 1.5.2); exact to the digits printed
    let y = [0.24, 0.61, 0.15].map(|y| y / (0.24 + 0.61 + 0.15));
    let mix = |l: [f64; 3]| le_chatelier(&[(y[0], l[0]), (y[1], l[1]), (y[2], l[2])]);
    close(
        mix([0.012, 0.053, 0.031]).expect("limits"),
        0.027_51,
        2e-4,
        "lower",
    );
    close(
        mix([0.075, 0.15, 0.32]).expect("limits"),
        0.1293,
        4e-4,
        "upper",
    );
    // WE-47: ISO 10156:2017 sample 1
    let lower = le_chatelier(&[(0.8, 0.044), (0.2, 0.024)]).expect("limits");
    close(lower, 0.037_714, 1e-5, "ISO 10156");
    assert!(le_chatelier(&[]).is_none());
    assert!(le_chatelier(&[(1.0, 0.0)]).is_none());
}

#[test]
fn estimated_limits_are_those_of_the_textbook() {
    // WE-37: Crowl & Louvar, hexane 1.190 % and 7.572 %
    let hexane = Formula {
        c: 6.0,
        h: 14.0,
        ..Formula::default()
    };
    let (lower, upper) = estimated_limits(hexane);
    close(lower.value, 0.011_90, 5e-4, "lower");
    close(upper.value, 0.075_72, 5e-4, "upper");
}

#[test]
fn a_blend_has_limits_by_each_standard_and_the_lower_for_hazards() {
    // WE-48: 60/40 propane and n-butane: 1.566 % by IEC 60079-20-1, 2.015 % by NFPA 497
    let f = Flammability::of(&fuel("propane:60,n-butane:40")).expect("limits");
    let by = |key| {
        let standard = f.by_standard.iter().find(|s| s.source == key);
        standard
            .and_then(|s| s.lower)
            .expect("both list both")
            .value
    };
    close(by("iec60079-20-1"), 0.015_66, 5e-4, "IEC");
    close(by("nfpa497"), 0.020_15, 5e-4, "NFPA");
    close(f.lower.value, 0.015_66, 5e-4, "for hazards");
    // the lower of 372 °C and 288 °C for n-butane
    close(
        f.autoignition.expect("listed").value,
        561.15,
        1e-9,
        "auto-ignition",
    );
}

#[test]
fn nitrogen_in_a_fuel_dilutes_it() {
    // Le Chatelier with an inert part: half nitrogen doubles the limit of the whole, and halves heat by mole
    let pure = Flammability::of(&fuel("methane")).expect("limits");
    let half = Flammability::of(&fuel("methane:50,nitrogen:50")).expect("limits");
    close(
        half.lower.value,
        2.0 * pure.lower.value,
        1e-9,
        "lower limit",
    );
    let (a, b) = (
        Stoichiometry::of(&fuel("methane")).expect("burns"),
        Stoichiometry::of(&fuel("methane:50,nitrogen:50")).expect("burns"),
    );
    let molar = |s: &Stoichiometry| s.higher_heating_value.value * s.molar_mass.value;
    close(molar(&b), molar(&a) / 2.0, 1e-9, "heat by mole");
    assert!(matches!(
        Stoichiometry::of(&fuel("nitrogen")),
        Err(CombustionError::DoesNotBurn { .. })
    ));
    assert!(Flammability::of(&fuel("nitrogen")).is_err());
}

#[test]
fn humid_air_is_needed_in_larger_mass() {
    // identity: 2 % water by mole leaves 98 % of the oxygen; mass of air a fuel grows by M_humid/(0.98 M_dry)
    let humid = Air::with_water(ratio(0.02)).expect("in range");
    let propane = fuel("propane");
    let dry = Stoichiometry::of(&propane).expect("burns").air_fuel_ratio;
    let wet = Stoichiometry::with_air(&propane, &humid, None).expect("burns");
    let factor = humid.molar_mass().value / (0.98 * Air::dry().molar_mass().value);
    close(
        wet.air_fuel_ratio.value,
        dry.value * factor,
        1e-9,
        "air-fuel ratio",
    );
    assert!(factor > 1.0);
    assert!(Air::with_water(ratio(0.6)).is_err());
}

#[test]
fn every_fuel_has_what_a_fuel_sheet_shows() {
    let library = Library::embedded();
    for name in library.names() {
        let composition = Composition::parse(name, &library).expect("in the library");
        if composition.parts()[0].fuel.combustion.is_none() {
            continue;
        }
        let s = Stoichiometry::of(&composition).unwrap_or_else(|e| panic!("{name}: {e}"));
        let f = Flammability::of(&composition).unwrap_or_else(|e| panic!("{name}: {e}"));
        let water = composition.parts()[0].fuel.formula.h > 0.0;
        assert_eq!(
            s.lower_heating_value < s.higher_heating_value,
            water,
            "{name}"
        );
        assert!(
            f.lower.value > 0.005 && f.upper.is_some_and(|u| u > f.lower),
            "{name}"
        );
        // a lean limit lies between a third and the whole of the stoichiometric mixture (common
        // practice, no source); hydrogen goes down to a seventh
        let lean = f.lower / s.fuel_in_mixture;
        let least = if name == "hydrogen" { 0.13 } else { 0.3 };
        assert!(
            lean.value > least && lean.value < 1.0,
            "{name}: {}",
            lean.value
        );
    }
}

#[test]
fn refinery_fuels_have_the_usual_air_need_and_heat() {
    // SOURCES 1.5, from memory: gasoline 14.6 and 43.4 MJ/kg, diesel 14.5 and 42.6, Jet A 14.7 and at least 42.8
    // (ASTM D1655); 1.5 %
    for (name, afr, lhv) in [
        ("gasoline", 14.6, 43.4),
        ("diesel", 14.5, 42.6),
        ("kerosene", 14.7, 43.2),
    ] {
        let s = Stoichiometry::of(&fuel(name)).expect("it burns");
        close(s.air_fuel_ratio.value, afr, 0.015, name);
        close(s.lower_heating_value.value, lhv * 1e6, 0.015, name);
    }
}

#[test]
fn heats_from_formation_agree_with_figures_made_from_the_same_tables() {
    // SOURCES 1.5, net and gross MJ/kg at 25 °C from enthalpies of formation (ATcT, CRC); 0.1 %
    let cases = [
        ("dimethyl-ether", 28.84, 31.70),
        ("ethanol", 26.82, 29.68),
        ("methanol", 19.94, 22.68),
        ("isopropanol", 30.45, 33.38),
        ("n-dodecane", 44.12, 47.48),
    ];
    for (name, net, gross) in cases {
        let s = Stoichiometry::of(&fuel(name)).expect("it burns");
        close(s.lower_heating_value.value, net * 1e6, 1e-3, name);
        close(s.higher_heating_value.value, gross * 1e6, 1e-3, name);
    }
}
