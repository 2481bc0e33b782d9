//! Blends of refinery liquids and alcohols: published figures of gasoline with ethanol, the activity model against
//! another program, the rules by hand, and where a liquid splits.

use super::table::rows;
use fuelwright::combustion::Stoichiometry;
use fuelwright::combustion::flammability::{Flammability, blended_flash_points};
use fuelwright::eos::activity::ln_gamma;
use fuelwright::eos::correlated::walther::kinematic_viscosity;
use fuelwright::eos::{self, Backend, EosError, Phase};
use fuelwright::fuel::{Composition, Fuel, Groups, Library, Part};
use std::sync::Arc;

fn fluid(text: &str) -> Arc<dyn Backend> {
    let library = Library::embedded();
    let composition = Composition::parse(text, &library).expect("a blend");
    eos::backend(&library, &composition).unwrap_or_else(|e| panic!("{text}: {e}"))
}

fn with_ethanol(percent: f64) -> String {
    match percent {
        0.0 => "gasoline".to_owned(),
        100.0 => "ethanol".to_owned(),
        p => format!("gasoline:{},ethanol:{p}@volume", 100.0 - p),
    }
}

fn vapour_pressure_kpa(percent: f64) -> f64 {
    let boiling = fluid(&with_ethanol(percent)).bubble_t(310.93);
    boiling.expect("in range").pressure_pa / 1e3
}

fn density_15c(text: &str) -> f64 {
    let s = fluid(text).state_pt(101_325.0, 288.15).expect("a liquid");
    assert_eq!(s.phase, Phase::Liquid);
    s.density_kg_m3
}

fn heat_mj_kg(text: &str) -> f64 {
    let composition = Composition::parse(text, &Library::embedded()).expect("a blend");
    let burning = Stoichiometry::of(&composition).expect("it burns");
    burning.lower_heating_value.value / 1e6
}

fn viscosity_mm2_s(text: &str, t_k: f64) -> f64 {
    let fluid = fluid(text);
    let s = fluid.state_pt(3e5, t_k).expect("a liquid");
    fluid.viscosity_pa_s(&s).expect("a liquid") / s.density_kg_m3 * 1e6
}

fn quantity(name: &str, percent: f64) -> f64 {
    let text = with_ethanol(percent);
    match name {
        "vapour_pressure_kpa" => vapour_pressure_kpa(percent),
        "vapour_pressure_rise_kpa" => vapour_pressure_kpa(percent) - vapour_pressure_kpa(0.0),
        "vapour_pressure_rise_over_10_kpa" => {
            vapour_pressure_kpa(percent) - vapour_pressure_kpa(10.0)
        }
        "lower_heating_value_mj_kg" => heat_mj_kg(&text),
        "latent_heat_kj_kg" => {
            let boiling = fluid(&text).bubble_t(298.15).expect("in range");
            boiling.latent_heat_j_kg() / 1e3
        }
        "air_fuel_ratio" => {
            let composition = Composition::parse(&text, &Library::embedded()).expect("a blend");
            let burning = Stoichiometry::of(&composition).expect("it burns");
            burning.air_fuel_ratio.value
        }
        "energy_by_volume_over_gasoline" => {
            heat_mj_kg(&text) * density_15c(&text)
                / (heat_mj_kg("gasoline") * density_15c("gasoline"))
        }
        "density_15c_kg_m3" => density_15c(&text),
        "viscosity_over_gasoline" => {
            viscosity_mm2_s(&text, 298.15) / viscosity_mm2_s("gasoline", 298.15)
        }
        other => panic!("no quantity {other}"),
    }
}

#[test]
fn gasoline_with_ethanol_meets_published_figures() {
    for row in rows("liquid_blends.csv") {
        let got = quantity(row.text("quantity"), row.num("ethanol_percent"));
        let range = row.num("low")..=row.num("high");
        assert!(range.contains(&got), "{row}: {got} is not in {range:?}");
    }
}

/// Groups of the parts, their shares by mole, temperature, activity coefficients.
type Case<'a> = (&'a [Groups], &'a [f64], f64, &'a [f64]);

/// Code to code: thermo 0.6.1, original UNIFAC.
#[test]
fn activity_coefficients_are_those_of_another_program() {
    let ethanol = Groups {
        ch3: 1.0,
        ch2: 1.0,
        oh: 1.0,
        ..Groups::default()
    };
    let methanol = Groups {
        ch3oh: 1.0,
        ..Groups::default()
    };
    let isopropanol = Groups {
        ch3: 2.0,
        ch: 1.0,
        oh: 1.0,
        ..Groups::default()
    };
    let heptane = Groups {
        ch3: 2.0,
        ch2: 5.0,
        ..Groups::default()
    };
    let xylene = Groups {
        ach: 4.0,
        acch3: 2.0,
        ..Groups::default()
    };
    let water = Groups {
        h2o: 1.0,
        ..Groups::default()
    };
    let cases: [Case; 4] = [
        (
            &[ethanol, heptane],
            &[0.3, 0.7],
            310.95,
            &[2.827_318_839_5, 1.335_545_433_6],
        ),
        (
            &[methanol, ethanol, water],
            &[0.05, 0.85, 0.10],
            298.15,
            &[0.771_033_103_9, 1.024_285_908_4, 1.884_192_430_1],
        ),
        (
            &[isopropanol, xylene, heptane],
            &[0.2, 0.3, 0.5],
            320.0,
            &[3.091_716_537_3, 1.197_278_122_9, 1.254_835_457_6],
        ),
        (
            &[ethanol, water],
            &[0.01, 0.99],
            303.15,
            &[6.824_963_628_7, 1.000_504_133_6],
        ),
    ];
    for (molecules, x, t_k, want) in cases {
        let got = ln_gamma(molecules, x, t_k);
        for (got, want) in got.iter().zip(want) {
            assert!(
                (got.exp() / want - 1.0).abs() < 1e-8,
                "{} {want}",
                got.exp()
            );
        }
    }
}

/// Arithmetic of the rules: volumes add, heat capacities by mass, `log log Z` by mass, no activity among
/// hydrocarbons but for their sizes.
#[test]
fn kerosene_with_diesel_follows_the_rules_by_hand() {
    let text = "kerosene:40,diesel:60@mass";
    let (blend, kerosene, diesel) = (fluid(text), fluid("kerosene"), fluid("diesel"));
    for t_k in [263.15, 293.15, 373.15, 453.15] {
        let of = |f: &Arc<dyn Backend>| f.state_pt(3e5, t_k).expect("a liquid");
        let (whole, k, d) = (of(&blend), of(&kerosene), of(&diesel));
        let volume = 0.4 / k.density_kg_m3 + 0.6 / d.density_kg_m3;
        assert!((whole.density_kg_m3 * volume - 1.0).abs() < 1e-4, "{t_k}");
        let cp = |s: &eos::State| s.response().expect("a liquid").cp_j_kg_k;
        assert!(
            (cp(&whole) / (0.4 * cp(&k) + 0.6 * cp(&d)) - 1.0).abs() < 1e-3,
            "{t_k}"
        );
        // the constants of the fuel files
        let line = |a: f64, b: f64| a - b * t_k.log10();
        let mixed = 0.4 * 10f64.powf(line(9.573_546, 4.043_738)).log10()
            + 0.6 * 10f64.powf(line(10.546_96, 4.335_956)).log10();
        let want = kinematic_viscosity(mixed, 0.0, t_k) * 1e6;
        let got = viscosity_mm2_s(text, t_k);
        assert!((got / want - 1.0).abs() < 0.01, "{t_k}: {got} {want}");
        let p = |f: &Arc<dyn Backend>| f.bubble_t(t_k).expect("in range").pressure_pa;
        let x = blend.composition().mole_fractions();
        let raoult = x[0] * p(&kerosene) + x[1] * p(&diesel);
        assert!(
            (p(&blend) / raoult - 1.0).abs() < 0.12,
            "{t_k}: {} {raoult}",
            p(&blend)
        );
        let sigma = |f: &Arc<dyn Backend>| f.surface_tension_n_m(t_k).expect("in range");
        assert!(sigma(&blend) > sigma(&kerosene).min(sigma(&diesel)));
        assert!(sigma(&blend) < sigma(&kerosene).max(sigma(&diesel)));
    }
}

/// A share by volume is one of the liquids at 15 °C: the mass that a litre of each brings.
#[test]
fn percent_by_volume_is_that_of_the_liquids_at_fifteen_degrees() {
    let e10 = Composition::parse("e10", &Library::embedded()).expect("a blend");
    let by_hand = 10.0 * density_15c("ethanol")
        / (10.0 * density_15c("ethanol") + 90.0 * density_15c("gasoline"));
    let [gasoline, ethanol] = e10.parts() else {
        panic!("two parts");
    };
    assert_eq!(
        (&*gasoline.fuel.name, &*ethanol.fuel.name),
        ("gasoline", "ethanol")
    );
    let mass = ethanol.mole_fraction * ethanol.fuel.molar_mass_kg_mol / e10.molar_mass_kg_mol();
    assert!((mass / by_hand - 1.0).abs() < 2e-3, "{mass} {by_hand}");
    let gas = Composition::parse("gasoline:90,methane:10@volume", &Library::embedded());
    let why = gas.expect_err("methane is a gas").to_string();
    assert!(why.contains("`methane` is no liquid at 15 °C"), "{why}");
}

/// Over E85 most of the first vapour is gasoline, over E10 most of the alcohol stays.
#[test]
fn first_vapour_is_not_the_liquid() {
    let e = fluid("e10").bubble_t(294.15).expect("in range");
    let (x, y) = (e.liquid.mole_fractions, e.vapour.mole_fractions);
    assert!(y[1] < x[1], "{x:?} {y:?}");
    let e = fluid("e85").bubble_t(293.15).expect("in range");
    let (x, y) = (e.liquid.mole_fractions, e.vapour.mole_fractions);
    assert!((y.iter().sum::<f64>() - 1.0).abs() < 1e-12);
    assert!(x[0] > 0.9 && y[0] < 0.5, "{x:?} {y:?}");
}

#[test]
fn a_liquid_that_splits_says_where() {
    let cold = fluid("diesel:80,ethanol:20@volume").state_pt(3e5, 278.15);
    let why = cold.expect_err("it splits").to_string();
    assert!(
        why.contains("splits in two, as it does below 10 degC"),
        "{why}"
    );
    assert!(
        fluid("diesel:80,ethanol:20@volume")
            .state_pt(3e5, 293.15)
            .is_ok()
    );
    // isopropanol mixes
    assert!(
        fluid("diesel:80,isopropanol:20@volume")
            .state_pt(3e5, 278.15)
            .is_ok()
    );
    let library = Library::embedded();
    for (text, reason) in [
        (
            "diesel:80,methanol:20@volume",
            "methanol does not mix with kerosene or diesel",
        ),
        (
            "gasoline:85,methanol:15@volume",
            "15 % of methanol by volume separates from gasoline",
        ),
        ("kerosene:90,propane:10@volume", "propane cannot be blended"),
    ] {
        let composition = Composition::parse(text, &library).expect("a blend");
        let why = eos::backend(&library, &composition).expect_err("no one liquid");
        assert!(matches!(why, EosError::NotAvailable { .. }));
        assert!(why.to_string().contains(reason), "{why}");
    }
    assert!(
        fluid("methanol:85,gasoline:15@volume")
            .state_pt(3e5, 293.15)
            .is_ok()
    );
    assert!(
        fluid("gasoline:97,methanol:3@volume")
            .state_pt(3e5, 293.15)
            .is_ok()
    );
}

#[test]
fn what_lies_outside_a_blend_says_its_range() {
    let why = fluid("e10").state_pt(3e5, 330.0);
    let why = why.expect_err("gasoline ends").to_string();
    assert!(why.contains("243.15 K to 318.15 K"), "{why}");
}

/// Ethanol drives hydrocarbons out, so the blend never flashes warmer than its coldest part: ethanol 12 °C
/// (IEC 60079-20-1).
#[test]
fn a_blend_flashes_no_warmer_than_its_coldest_part() {
    let library = Library::embedded();
    let flash_k = |text: &str| {
        let composition = Composition::parse(text, &library).expect("a blend");
        let found = Flammability::of(&composition)
            .expect("it burns")
            .flash_point;
        found.expect("a liquid").value
    };
    for percent in [5.0, 20.0, 60.0] {
        let text = format!("kerosene:{},ethanol:{percent}@volume", 100.0 - percent);
        let found = flash_k(&text);
        assert!((275.0..=285.15).contains(&found), "{text}: {found}");
    }
    assert!(flash_k("e10") <= 227.15);
    // a switch lights by the highest of the standards: of a blend that of the whole, not of its last part
    let e10 = Composition::parse("e10", &library).expect("a blend");
    let [lowest, highest] = blended_flash_points(&e10).expect("two liquids");
    assert!(
        lowest.value <= highest.value && highest.value < 235.0,
        "{highest:?}"
    );
    let both = Composition::parse("kerosene:50,diesel:50@volume", &library).expect("a blend");
    let [lowest, highest] = blended_flash_points(&both).expect("two liquids");
    assert!(lowest.value > 311.15 && lowest.value < 328.15, "{lowest:?}");
    assert!(
        highest.value > lowest.value && highest.value < 345.15,
        "{highest:?}"
    );
}

/// Hot kerosene and diesel: the density falls and the modulus softens as those of n-dodecane do, whose equation is
/// known (`lemmon2004`), within the bands of the files.
#[test]
fn hot_kerosene_and_diesel_follow_dodecane() {
    let dodecane = fluid("n-dodecane");
    let at = |f: &Arc<dyn Backend>, t_k: f64| f.state_pt(1e6, t_k).expect("a liquid");
    for (name, band) in [("kerosene", 0.04), ("diesel", 0.025)] {
        let fuel = fluid(name);
        for t_k in [313.15, 373.15, 423.15, 463.0] {
            let fall =
                |f: &Arc<dyn Backend>| at(f, t_k).density_kg_m3 / at(f, 288.15).density_kg_m3;
            let ratio = fall(&fuel) / fall(&dodecane);
            assert!((ratio - 1.0).abs() < band, "{name} at {t_k} K: {ratio}");
            let modulus = |s: &eos::State| {
                s.density_kg_m3 * s.response().expect("one phase").dp_drho_pa_m3_kg
            };
            let softer = |f: &Arc<dyn Backend>| modulus(&at(f, t_k)) / modulus(&at(f, 293.15));
            let ratio = softer(&fuel) / softer(&dodecane);
            assert!((ratio - 1.0).abs() < 0.15, "{name} at {t_k} K: {ratio}");
        }
    }
}

/// A liquid with the groups of water; the rest of it does not matter here.
fn like_water(library: &Library) -> Arc<Fuel> {
    let mut water = (*library.fuel("methanol").expect("in the library")).clone();
    "like-water".clone_into(&mut water.name);
    water.groups = Some(Groups {
        h2o: 1.0,
        ..Groups::default()
    });
    Arc::new(water)
}

/// By volume of liquids at 15 °C.
fn of_volumes(parts: &[(Arc<Fuel>, f64)]) -> Composition {
    let moles = |(fuel, share): &(Arc<Fuel>, f64)| {
        share * fuel.liquid_density_15c_kg_m3().expect("a liquid") / fuel.molar_mass_kg_mol
    };
    let all: f64 = parts.iter().map(moles).sum();
    let part = |p: &(Arc<Fuel>, f64)| Part {
        fuel: Arc::clone(&p.0),
        mole_fraction: moles(p) / all,
    };
    Composition::from_parts(parts.iter().map(part).collect(), "wet")
}

/// Gasoline with 10 % of ethanol holds 0.5 % of water at 60 °F and 0.3 % at 10 °F (`ethanol-water-tolerance`).
#[test]
fn wet_gasoline_splits_at_the_published_tolerance() {
    let library = Library::embedded();
    let of = |name: &str| library.fuel(name).expect("in the library");
    let wet = |water: f64| {
        of_volumes(&[
            (of("gasoline"), 90.0),
            (of("ethanol"), 10.0),
            (like_water(&library), water),
        ])
    };
    let lowest_k = |water: f64| {
        let blend = eos::backend(&library, &wet(water)).expect("one liquid");
        *blend.validity().temperature_k.start()
    };
    assert!((lowest_k(0.499) - 288.71).abs() < 0.5);
    assert!((lowest_k(0.3) - 260.93).abs() < 0.5);
    let blend = eos::backend(&library, &wet(0.4)).expect("one liquid");
    let why = blend.state_pt(3e5, 270.0).expect_err("it splits");
    assert!(
        why.to_string().contains("water takes the ethanol out"),
        "{why}"
    );
    let refusal = |of: &Composition| {
        let why = eos::backend(&library, of).expect_err("two liquids");
        why.to_string()
    };
    let why = refusal(&wet(0.6));
    assert!(
        why.contains("5 parts of water for each 100 of ethanol"),
        "{why}"
    );
    let why = refusal(&of_volumes(&[
        (of("kerosene"), 99.9),
        (like_water(&library), 0.1),
    ]));
    assert!(why.contains("water does not stay dissolved"), "{why}");
    // an alcohol takes water in any share
    let spirit = of_volumes(&[(of("ethanol"), 90.0), (like_water(&library), 10.0)]);
    let spirit = eos::backend(&library, &spirit).expect("one liquid");
    assert!(spirit.state_pt(3e5, 293.15).is_ok());
}
