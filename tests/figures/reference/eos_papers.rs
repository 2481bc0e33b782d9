//! The embedded equations of state against the values that their own papers print.

use super::eos::Backends;
use super::table::{Row, Tally, rows};
use fuelwright::eos::{self, Backend, EosError, Phase, State};
use fuelwright::fuel::{Composition, Fuel, Library, Part};
use std::collections::BTreeMap;
use std::sync::Arc;

/// kg/m³ in place of the zero density at which a paper prints ideal-gas values.
const NO_DENSITY: f64 = 1e-9;

/// The backend of a fluid with its temperature range widened: some check values are meant for programs
/// only and lie above it.
fn without_upper_limit(name: &str) -> Arc<dyn Backend> {
    let library = Library::embedded();
    let mut fuel: Fuel = (*library.fuel(name).expect("fuel of the library")).clone();
    fuel.equation.as_mut().expect("has an equation").t_max_k = f64::MAX;
    let part = Part {
        fuel: Arc::new(fuel),
        mole_fraction: 1.0,
    };
    eos::backend(&library, &Composition::from_parts(vec![part], name)).expect("a backend")
}

/// The state a row is about: saturated if it names a side, else at (T, p) or (T, density).
fn state(b: &dyn Backend, row: &Row) -> Result<State, EosError> {
    let (t, p) = (row.opt("T_K"), row.opt("p_Pa"));
    let side = match row.text("side") {
        "vapour" => Phase::Gas,
        "liquid" | "boiling" => Phase::Liquid,
        _ => {
            let t = t.expect("single-phase rows have a temperature");
            if let Some(p) = p {
                return b.state_pt(p, t);
            }
            let rho_kg_m3 = row
                .opt("rho_kg_m3")
                .unwrap_or_else(|| row.num("rho_mol_L") * 1e3 * b.molar_mass_kg_mol());
            let ideal = rho_kg_m3 < NO_DENSITY || row.text("quantity").starts_with("cp0");
            return b.state_rho_t(if ideal { NO_DENSITY } else { rho_kg_m3 }, t);
        }
    };
    let e = match t {
        Some(t) => b.bubble_t(t)?,
        None => b.bubble_p(p.expect("saturated rows have a temperature or a pressure"))?,
    };
    b.state_pt_in(e.pressure_pa, e.temperature_k, side)
}

/// The quantity of a row in its printed unit.
fn quantity(name: &str, s: &State, molar_mass_kg_mol: f64) -> f64 {
    let r = s.response().expect("one phase");
    let (what, unit) = name.split_once('_').expect("quantity_unit");
    let si = match what {
        "T" => s.temperature_k,
        "p" => s.pressure_pa,
        "rho" => s.density_kg_m3,
        "u" => s.internal_energy_j_kg(),
        "h" => s.enthalpy_j_kg,
        "s" => s.entropy_j_kg_k,
        "cv" => r.cv_j_kg_k,
        "cp" | "cp0" => r.cp_j_kg_k,
        "w" => r.speed_of_sound_m_s,
        _ => panic!("no quantity {what}"),
    };
    si * match unit {
        "K" | "kg_m3" | "m_s" => 1.0,
        "MPa" => 1e-6,
        "kPa" | "kJ_kg" | "kJ_kgK" => 1e-3,
        "mol_L" => 1e-3 / molar_mass_kg_mol,
        "J_mol" | "J_molK" => molar_mass_kg_mol,
        _ => panic!("no unit {unit}"),
    }
}

/// What the difference of a row is taken to: energies share a zero, entropies have another.
fn zero_of(quantity: &str) -> Option<&'static str> {
    match quantity.split('_').next() {
        Some("u" | "h") => Some("energy"),
        Some("s") => Some("entropy"),
        _ => None,
    }
}

#[test]
fn equations_give_the_values_printed_in_their_papers() {
    let mut backends = Backends::new();
    let mut tally = Tally::default();
    let library = Library::embedded();
    // first row of a fluid, source and zero: computed, printed, half digit
    let mut zeros: BTreeMap<(String, String, &str), (f64, f64, f64)> = BTreeMap::new();
    for row in rows("eos_papers.csv") {
        let b = if row.text("side") == "beyond" {
            without_upper_limit(row.text("fluid"))
        } else {
            backends.get(row.text("fluid"))
        };
        let name = row.text("quantity");
        if library.source(row.text("source")).is_none() {
            tally.fail("source is not explained in fuels/sources.toml", &row);
        }
        let s = match state(&*b, &row) {
            Ok(s) => s,
            Err(err) => {
                tally.fail(&err.to_string(), &row);
                continue;
            }
        };
        let got = quantity(name, &s, b.molar_mass_kg_mol());
        let (printed, half) = (row.num("printed"), row.num("half_digit"));
        let limit = row.opt("limit").unwrap_or(half);
        let Some(zero) = zero_of(name) else {
            tally.within(got, printed, limit, name, &row);
            continue;
        };
        let key = (row.text("fluid").into(), row.text("source").into(), zero);
        let (got_zero, printed_zero, half_zero) = *zeros.entry(key).or_insert((got, printed, half));
        tally.within(
            got - got_zero,
            printed - printed_zero,
            limit + half_zero,
            name,
            &row,
        );
    }
    tally.finish(1300);
}
