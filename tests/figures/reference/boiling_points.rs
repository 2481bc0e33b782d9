//! Vapour pressures, boiling points, latent heats and what else a tank is reckoned with, in round figures.

use super::eos::Backends;
use super::table::{Tally, rows};
use fuelwright::fuel::Library;
use fuelwright::quantity::GAS_CONSTANT_J_MOL_K;

const ATMOSPHERE_PA: f64 = 101_325.0;
const MOLAR_MASS_OF_AIR_KG_MOL: f64 = 28.9655e-3;

/// A limit as it stands in the table, `0.2 %` of the value or a number in its unit.
fn limit(text: &str, value: f64) -> f64 {
    match text.strip_suffix('%') {
        Some(percent) => percent.trim().parse::<f64>().expect("a number") / 100.0 * value.abs(),
        None => text.parse().expect("a number"),
    }
}

#[test]
fn round_figures_of_saturation_are_met() {
    let mut backends = Backends::new();
    let mut tally = Tally::default();
    for row in rows("saturation_points.csv") {
        let b = backends.get(row.text("fluid"));
        let t_k = row.opt("t_C").unwrap_or(15.0) + 273.15;
        let saturated = || b.bubble_t(t_k).expect("below critical");
        let got = match row.text("quantity") {
            "p_sat_bar" => saturated().pressure_pa / 1e5,
            "latent_kJ_kg" => saturated().latent_heat_j_kg() / 1e3,
            "t_boil_C" => {
                b.bubble_p(ATMOSPHERE_PA)
                    .expect("below critical")
                    .temperature_k
                    - 273.15
            }
            "gamma_ideal" => {
                let s = b.state_pt(1e-3, t_k).expect("a thin gas");
                let r = s.response().expect("one phase");
                r.cp_j_kg_k / r.cv_j_kg_k
            }
            "relative_density" => b.molar_mass_kg_mol() / MOLAR_MASS_OF_AIR_KG_MOL,
            other => panic!("no quantity {other}"),
        };
        let value = row.num("value");
        let allowed = limit(row.text("limit"), value);
        tally.within(got, value, allowed, row.text("quantity"), &row);
    }
    tally.finish(54);
}

#[test]
fn normal_boiling_points_are_those_of_the_handbook() {
    let library = Library::embedded();
    let mut backends = Backends::new();
    let mut tally = Tally::default();
    for row in rows("boiling_points.csv") {
        let b = backends.get(row.text("fluid"));
        let e = b.bubble_p(ATMOSPHERE_PA).expect("below critical");
        let molar_latent = e.latent_heat_j_kg() * b.molar_mass_kg_mol();
        let fuel = library
            .fuel(row.text("fluid"))
            .expect("fuel of the library");
        let equation = fuel.equation.as_ref().expect("has an equation");
        // Clausius-Clapeyron: dT = (dp/p) R T² / h
        let by_pressure =
            equation.uncertainty_vapour_pressure * GAS_CONSTANT_J_MOL_K * e.temperature_k.powi(2)
                / molar_latent;
        let limit_k = 0.1 + by_pressure;
        tally.within(
            e.temperature_k,
            row.num("T_boil_K"),
            limit_k,
            "T_boil",
            &row,
        );
        tally.relative(molar_latent, row.num("latent_J_mol"), 0.02, "latent", &row);
        if library.source(row.text("source")).is_none() {
            tally.fail("source is not explained in fuels/sources.toml", &row);
        }
    }
    tally.finish(32);
}
