//! Viscosity and surface tension against `CoolProp` 8.0.0 and two handbook correlations.

use crate::reference::table::{Tally, rows};
use fuelwright::eos::transport::{PureViscosity, Transport, surface_tension_n_m};
use fuelwright::eos::{self, EosError};
use fuelwright::fuel::{Composition, Fuel, Library, Part};

/// Tolerance of reference/README.md for the same model.
const SAME_MODEL: f64 = 1e-4;

/// Surface tension by the same correlation, `CoolProp` 8.0.0 (grade = code), N/m.
const SURFACE_TENSIONS: [(&str, f64, f64); 16] = [
    ("propane", 293.15, 7.629742875e-03),
    ("n-butane", 293.15, 1.249084750e-02),
    ("isobutane", 293.15, 1.056359455e-02),
    ("propylene", 293.15, 7.584304803e-03),
    ("ethane", 293.15, 9.492862825e-04),
    ("methane", 120.0, 1.130496533e-02),
    ("n-pentane", 293.15, 1.600628272e-02),
    ("isopentane", 293.15, 1.498957295e-02),
    ("hydrogen", 22.0, 1.631427657e-03),
    ("dimethyl-ether", 293.15, 1.201665114e-02),
    ("ethanol", 293.15, 2.236696398e-02),
    ("methanol", 293.15, 2.256669835e-02),
    ("n-heptane", 293.15, 2.023150885e-02),
    ("n-decane", 293.15, 2.386028483e-02),
    ("n-dodecane", 293.15, 2.538956710e-02),
    ("nitrogen", 90.0, 6.112853783e-03),
];

fn blend(library: &Library, parts: &[(&str, f64)]) -> Composition {
    let parts = parts
        .iter()
        .map(|(name, mole_fraction)| Part {
            fuel: library.fuel(name).expect("fuel of the library"),
            mole_fraction: *mole_fraction,
        })
        .collect();
    Composition::from_parts(parts, "blend")
}

/// grade = code, `CoolProp` 8.0.0; rows marked `usable=false` are excused by the table's own README.
#[test]
fn viscosity_matches_the_reference_library_with_the_same_model() {
    let library = Library::embedded();
    let mut tally = Tally::default();
    for row in rows("viscosity.csv") {
        if !row.flag("usable") {
            continue;
        }
        let fuel = library
            .fuel(row.text("fluid"))
            .expect("fuel of the library");
        let model = PureViscosity::new(&library, &fuel).expect("has a viscosity model");
        // n-pentane: the file explains why one sign differs from CoolProp's. It moves the liquid by
        // 18 %, towards both handbooks, and this vapour by 1.4 %, towards both handbooks as well.
        let tolerance = if fuel.name == "n-pentane" {
            0.016
        } else {
            SAME_MODEL
        };
        let rho_mol_m3 = row.num("rho_kg_m3") / fuel.molar_mass_kg_mol;
        match model.at(row.num("T_K"), rho_mol_m3) {
            Ok(eta) => tally.relative(eta, row.num("mu_Pa_s"), tolerance, "viscosity", &row),
            Err(e) => tally.fail(&e.to_string(), &row),
        }
    }
    tally.finish(70);
}

/// The band each fuel file states must hold two handbook correlations (DIPPR of Perry 8e, VDI Heat
/// Atlas, both as carried by thermo 0.6.1), or the nearer of them where they disagree by more than it.
#[test]
fn stated_band_reaches_the_nearer_handbook_value() {
    let library = Library::embedded();
    let mut tally = Tally::default();
    for row in rows("viscosity.csv") {
        let handbook: Vec<f64> = ["mu_dippr_Pa_s", "mu_vdi_Pa_s"]
            .iter()
            .filter_map(|c| row.opt(c))
            .collect();
        if handbook.is_empty() {
            continue;
        }
        let fuel = library
            .fuel(row.text("fluid"))
            .expect("fuel of the library");
        let model = PureViscosity::new(&library, &fuel).expect("has a viscosity model");
        let rho_mol_m3 = row.num("rho_kg_m3") / fuel.molar_mass_kg_mol;
        let eta = model.at(row.num("T_K"), rho_mol_m3).expect("in range");
        let nearer = handbook
            .into_iter()
            .min_by(|a, b| (a - eta).abs().total_cmp(&(b - eta).abs()))
            .expect("not empty");
        let band = model.uncertainty(rho_mol_m3);
        tally.relative(nearer, eta, band, "nearer handbook value", &row);
    }
    tally.finish(70);
}

/// Why the sign of one coefficient of n-pentane differs from the one `CoolProp` carries: with it, the
/// liquid agrees with both handbook correlations within 5 % (18 % off before).
#[test]
fn liquid_pentane_lies_within_five_percent_of_both_handbooks() {
    let library = Library::embedded();
    let fuel = library.fuel("n-pentane").expect("fuel of the library");
    let model = PureViscosity::new(&library, &fuel).expect("has a viscosity model");
    let mut tally = Tally::default();
    for row in rows("viscosity.csv") {
        if row.text("fluid") != "n-pentane" || row.text("state") != "saturated liquid" {
            continue;
        }
        let eta = model
            .at(
                row.num("T_K"),
                row.num("rho_kg_m3") / fuel.molar_mass_kg_mol,
            )
            .expect("in range");
        for column in ["mu_dippr_Pa_s", "mu_vdi_Pa_s"] {
            tally.relative(eta, row.num(column), 0.05, column, &row);
        }
    }
    tally.finish(2);
}

/// A limit of the rule itself, no source.
#[test]
fn a_blend_passes_through_its_pure_components() {
    let library = Library::embedded();
    let names = ["propane", "n-butane", "isobutane", "propylene", "ethane"];
    for name in names {
        let alone = blend(&library, &[(name, 1.0)]);
        let nearly = blend(&library, &[(name, 1.0 - 1e-9), ("methane", 1e-9)]);
        let fuel = library.fuel(name).expect("fuel of the library");
        let t_k = 260.0;
        let rho_critical = fuel
            .equation
            .as_ref()
            .expect("has an equation")
            .rho_critical_mol_m3;
        for rho_mol_m3 in [10.0, 2.4 * rho_critical] {
            let one = Transport::new(&library, &alone)
                .and_then(|t| t.viscosity_pa_s(&[1.0], t_k, rho_mol_m3))
                .expect("in range");
            let two = Transport::new(&library, &nearly)
                .and_then(|t| t.viscosity_pa_s(&[1.0 - 1e-9, 1e-9], t_k, rho_mol_m3))
                .expect("in range");
            assert!(
                (one / two - 1.0).abs() < 1e-6,
                "{}: {one:e} against {two:e}",
                fuel.name
            );
        }
        let (one, two) = (
            surface_tension_n_m(&alone, t_k).expect("in range"),
            surface_tension_n_m(&nearly, t_k).expect("in range"),
        );
        assert!(
            (one / two - 1.0).abs() < 1e-6,
            "{name}: {one} against {two}"
        );
    }
}

/// Density of a saturated pure liquid by the ancillary curve of its file, mol/m³: within 0.1 %, which
/// moves a liquid's viscosity by less than 1 %.
fn saturated_liquid_density(fuel: &Fuel, t_k: f64) -> f64 {
    let e = fuel.equation.as_ref().expect("has an equation");
    let c = &e.ancillary.liquid_density;
    let theta = 1.0 - t_k / c.t_reducing_k;
    let mut sum: f64 = c.n.iter().zip(&c.t).map(|(n, t)| n * theta.powf(*t)).sum();
    if c.using_tau_r {
        sum *= c.t_reducing_k / t_k;
    }
    c.reducing * if c.linear { 1.0 + sum } else { sum.exp() }
}

/// Two unrelated mixing rules: ours by corresponding states, and the logarithmic one
/// (Grunberg-Nissan without an interaction term), which textbooks give as good to 10 to 15 % for
/// hydrocarbons (from memory). They differ by 2.7 % at most here. Liquid densities of the blends: `CoolProp`
/// 8.0.0.
#[test]
fn liquid_blends_lie_near_logarithmic_mixing() {
    let library = Library::embedded();
    let mut tally = Tally::default();
    for row in rows("mixtures_vle.csv") {
        let parts: Vec<(&str, f64)> = row
            .text("blend")
            .split(';')
            .map(|p| {
                let (name, percent) = p.split_once(':').expect("name:percent");
                (name, percent.parse::<f64>().expect("a number") / 100.0)
            })
            .collect();
        let t_k = row.num("T_K");
        let composition = blend(&library, &parts);
        let lightest = composition.parts().iter().map(|p| {
            let e = p.fuel.equation.as_ref().expect("has an equation");
            e.t_critical_k
        });
        if lightest.fold(f64::MAX, f64::min) < t_k / 0.95 {
            continue; // no saturated liquid of that component to mix
        }
        if row.text("blend").contains("water") {
            continue; // in fact far thicker than by either rule, fuels/README.md
        }
        let transport = Transport::new(&library, &composition).expect("has models");
        let x = composition.mole_fractions();
        let rho_mol_m3 = row.num("rho_liquid_kg_m3") / composition.molar_mass_kg_mol();
        let ours = transport
            .viscosity_pa_s(&x, t_k, rho_mol_m3)
            .expect("in range");
        let logarithmic: f64 = composition
            .parts()
            .iter()
            .map(|p| {
                let pure = PureViscosity::new(&library, &p.fuel).expect("has a model");
                let eta = pure
                    .at(t_k, saturated_liquid_density(&p.fuel, t_k))
                    .expect("in range");
                p.mole_fraction * eta.ln()
            })
            .sum();
        tally.relative(ours, logarithmic.exp(), 0.05, "logarithmic mixing", &row);
    }
    tally.finish(35);
}

/// The backend gives what the models give, and refuses two phases together.
#[test]
fn the_backend_hands_out_viscosity_and_surface_tension() {
    let library = Library::embedded();
    let one = blend(&library, &[("propane", 1.0)]);
    let backend = eos::backend(&library, &one).expect("propane has an equation");
    let mut tally = Tally::default();
    for row in rows("viscosity.csv") {
        if row.text("fluid") != "propane" || row.text("state") != "gas" {
            continue;
        }
        let state = backend
            .state_pt(row.num("p_Pa"), row.num("T_K"))
            .expect("in range");
        let eta = backend.viscosity_pa_s(&state).expect("one phase");
        tally.relative(eta, row.num("mu_Pa_s"), SAME_MODEL, "viscosity", &row);
    }
    tally.finish(2);
    let both = backend.state_tq(280.0, 0.5).expect("below critical");
    assert!(backend.viscosity_uncertainty(&both).is_none());
    assert!(matches!(
        backend.viscosity_pa_s(&both),
        Err(EosError::TwoPhase { .. })
    ));
    // grade = code: CoolProp 8.0.0 PropsSI("I", "T", 293.15, "Q", 0, "Propane") and so on
    for (name, t_k, want) in SURFACE_TENSIONS {
        let fuel = blend(&library, &[(name, 1.0)]);
        let got = eos::backend(&library, &fuel)
            .and_then(|b| b.surface_tension_n_m(t_k))
            .expect("in range");
        assert!((got / want - 1.0).abs() < 1e-6, "{name}: {got} not {want}");
    }
    assert!(matches!(
        backend.surface_tension_n_m(400.0),
        Err(EosError::AboveCritical { .. })
    ));
}

/// The band of a blend is never narrower than that of its worst component.
#[test]
fn a_blend_is_less_certain_than_its_components() {
    let library = Library::embedded();
    let lpg = blend(&library, &[("propane", 0.7), ("n-butane", 0.3)]);
    let wet = blend(&library, &[("propane", 0.7), ("ethanol", 0.3)]);
    let lpg_transport = Transport::new(&library, &lpg).expect("has models");
    let wet_transport = Transport::new(&library, &wet).expect("has models");
    for rho_mol_m3 in [10.0, 12_000.0] {
        let band = lpg_transport.uncertainty(&[0.7, 0.3], rho_mol_m3);
        for (name, x) in [("propane", [1.0, 0.0]), ("n-butane", [0.0, 1.0])] {
            let alone = lpg_transport.uncertainty(&x, rho_mol_m3);
            assert!(band > alone, "{name}: {band} against {alone}");
        }
        assert!(wet_transport.uncertainty(&[0.7, 0.3], rho_mol_m3) >= band);
    }
}

#[test]
fn viscosity_outside_its_range_is_an_error_that_says_the_range() {
    let library = Library::embedded();
    let ethane = library.fuel("ethane").expect("fuel of the library");
    let model = PureViscosity::new(&library, &ethane).expect("has a model");
    let e = model.at(600.0, 10.0).expect_err("above 500 K");
    assert!(e.to_string().contains("100 K to 500 K [friend1991]"), "{e}");
    assert!(model.at(f64::NAN, 10.0).is_err());
    // past close packing
    let propane = library.fuel("propane").expect("fuel of the library");
    let model = PureViscosity::new(&library, &propane).expect("has a model");
    assert!(model.at(300.0, 30_000.0).is_err());
}
