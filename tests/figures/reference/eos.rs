//! Equation of state against the reference tables computed with `CoolProp` 8.0.0 (same equations).

use super::table::{Row, Tally, rows};
use fuelwright::eos::{self, Backend, Equilibrium, Phase, State};
use fuelwright::fuel::{Composition, Library};
use std::collections::BTreeMap;
use std::sync::Arc;

/// Backends by name, `propane:70;n-butane:30` for a blend.
pub(crate) struct Backends {
    library: Library,
    made: BTreeMap<String, Arc<dyn Backend>>,
}

impl Backends {
    pub(crate) fn new() -> Self {
        Self {
            library: Library::embedded(),
            made: BTreeMap::new(),
        }
    }
    pub(crate) fn get(&mut self, name: &str) -> Arc<dyn Backend> {
        if let Some(b) = self.made.get(name) {
            return Arc::clone(b);
        }
        let composition = Composition::parse(&name.replace(';', ","), &self.library)
            .expect("a fuel of the reference tables");
        let b = eos::backend(&self.library, &composition).expect("a backend");
        self.made.insert(name.to_owned(), Arc::clone(&b));
        b
    }
}

/// Tolerances widen tenfold and more close to the critical point, as tests/reference/README.md says.
fn near_critical(b: &dyn Backend, t_k: f64) -> bool {
    t_k > 0.97 * b.critical().0
}

#[test]
fn saturation_matches_the_reference_equations() {
    let mut backends = Backends::new();
    let mut tally = Tally::default();
    for row in rows("sat.csv") {
        let b = backends.get(row.text("fluid"));
        let t = row.num("T_K");
        let (loose, tight) = if near_critical(&*b, t) {
            (1e-4, 1e-4)
        } else {
            (1e-5, 1e-6)
        };
        let e = match b.bubble_t(t) {
            Ok(e) => e,
            Err(err) => {
                tally.fail(&err.to_string(), &row);
                continue;
            }
        };
        tally.relative(e.pressure_pa, row.num("p_sat_Pa"), tight, "p_sat", &row);
        tally.relative(
            e.liquid.density_kg_m3,
            row.num("rho_liquid_kg_m3"),
            tight,
            "rho_liquid",
            &row,
        );
        tally.relative(
            e.vapour.density_kg_m3,
            row.num("rho_vapour_kg_m3"),
            tight,
            "rho_vapour",
            &row,
        );
        tally.relative(
            e.latent_heat_j_kg(),
            row.num("h_vap_J_kg"),
            tight,
            "h_vap",
            &row,
        );
        for (phase, name) in [(Phase::Liquid, "liquid"), (Phase::Gas, "vapour")] {
            let s = b
                .state_pt_in(e.pressure_pa, t, phase)
                .expect("a saturated phase exists");
            let r = s.response().expect("single phase");
            tally.relative(
                r.cp_j_kg_k,
                row.num(&format!("cp_{name}_J_kgK")),
                loose,
                "cp",
                &row,
            );
            tally.relative(
                r.cv_j_kg_k,
                row.num(&format!("cv_{name}_J_kgK")),
                loose,
                "cv",
                &row,
            );
            tally.relative(
                r.speed_of_sound_m_s,
                row.num(&format!("w_{name}_m_s")),
                loose,
                "w",
                &row,
            );
        }
        // and back from the pressure
        match b.bubble_p(e.pressure_pa) {
            Ok(back) => tally.relative(back.temperature_k, t, 1e-9, "T from p", &row),
            Err(err) => tally.fail(&err.to_string(), &row),
        }
    }
    tally.finish(900);
}

#[test]
fn single_phase_states_match_the_reference_equations() {
    let mut backends = Backends::new();
    let mut tally = Tally::default();
    for row in rows("single_phase.csv") {
        let b = backends.get(row.text("fluid"));
        let s = match b.state_pt(row.num("p_Pa"), row.num("T_K")) {
            Ok(s) => s,
            Err(err) => {
                tally.fail(&err.to_string(), &row);
                continue;
            }
        };
        let reference = b.state_pt(101_325.0, 298.15).expect("the reference state");
        let loose = if row.num("z") < 0.6 && row.num("z") > 0.2 {
            1e-4
        } else {
            1e-5
        };
        let Ok(r) = s.response() else {
            tally.fail("two-phase where the table has one", &row);
            continue;
        };
        tally.relative(s.density_kg_m3, row.num("rho_kg_m3"), loose, "rho", &row);
        tally.relative(r.cp_j_kg_k, row.num("cp_J_kgK"), loose, "cp", &row);
        tally.relative(r.cv_j_kg_k, row.num("cv_J_kgK"), loose, "cv", &row);
        tally.relative(r.speed_of_sound_m_s, row.num("w_m_s"), loose, "w", &row);
        tally.relative(
            r.joule_thomson_k_pa,
            row.num("joule_thomson_K_Pa"),
            loose,
            "joule_thomson",
            &row,
        );
        let h = row.num("h_minus_href_J_kg");
        tally.within(
            s.enthalpy_j_kg - reference.enthalpy_j_kg,
            h,
            (1e-5 * h.abs()).max(1.0),
            "h",
            &row,
        );
        let entropy = row.num("s_minus_sref_J_kgK");
        tally.within(
            s.entropy_j_kg_k - reference.entropy_j_kg_k,
            entropy,
            (1e-5 * entropy.abs()).max(0.01),
            "s",
            &row,
        );
        tally.relative(
            s.compressibility(b.molar_mass_kg_mol()),
            row.num("z"),
            1e-4,
            "z",
            &row,
        );
        // the same state from (p, s), (p, h), (rho, T) and (rho, u)
        for (name, again) in [
            ("(p,s)", b.state_ps(s.pressure_pa, s.entropy_j_kg_k)),
            ("(p,h)", b.state_ph(s.pressure_pa, s.enthalpy_j_kg)),
            ("(rho,T)", b.state_rho_t(s.density_kg_m3, s.temperature_k)),
            (
                "(rho,u)",
                b.state_rho_u(s.density_kg_m3, s.internal_energy_j_kg()),
            ),
        ] {
            match again {
                Ok(a) => {
                    tally.within(
                        a.temperature_k,
                        s.temperature_k,
                        1e-6,
                        &format!("T from {name}"),
                        &row,
                    );
                    tally.relative(
                        a.density_kg_m3,
                        s.density_kg_m3,
                        1e-8,
                        &format!("rho from {name}"),
                        &row,
                    );
                }
                Err(err) => tally.fail(&format!("{name}: {err}"), &row),
            }
        }
    }
    tally.finish(840);
}

fn incipient(tally: &mut Tally, row: &Row, e: &Equilibrium, n: usize, prefix: &str) {
    let phase = if prefix == "y" { &e.vapour } else { &e.liquid };
    let at = if prefix == "y" { "bubble" } else { "dew" };
    for i in 0..n {
        tally.within(
            phase.mole_fractions[i],
            row.num(&format!("{prefix}{}_at_{at}", i + 1)),
            1e-6,
            prefix,
            row,
        );
    }
}

#[test]
fn bubble_and_dew_points_match_the_reference_model() {
    let mut backends = Backends::new();
    let mut tally = Tally::default();
    for row in rows("mixtures_vle.csv") {
        let b = backends.get(row.text("blend"));
        let t = row.num("T_K");
        let n = b.composition().parts().len();
        match b.bubble_t(t) {
            Ok(e) => {
                tally.relative(
                    e.pressure_pa,
                    row.num("p_bubble_Pa"),
                    1e-5,
                    "p_bubble",
                    &row,
                );
                tally.relative(
                    e.liquid.density_kg_m3,
                    row.num("rho_liquid_kg_m3"),
                    1e-5,
                    "rho_liquid",
                    &row,
                );
                incipient(&mut tally, &row, &e, n, "y");
                match b.bubble_p(e.pressure_pa) {
                    Ok(back) => tally.within(
                        back.temperature_k,
                        t,
                        1e-6,
                        "T of bubble point from p",
                        &row,
                    ),
                    Err(err) => tally.fail(&format!("bubble point from p: {err}"), &row),
                }
            }
            Err(err) => tally.fail(&format!("bubble point: {err}"), &row),
        }
        match b.dew_t(t) {
            Ok(e) => {
                tally.relative(e.pressure_pa, row.num("p_dew_Pa"), 1e-5, "p_dew", &row);
                tally.relative(
                    e.vapour.density_kg_m3,
                    row.num("rho_vapour_kg_m3"),
                    1e-5,
                    "rho_vapour",
                    &row,
                );
                incipient(&mut tally, &row, &e, n, "x");
                match b.dew_p(e.pressure_pa) {
                    Ok(back) => {
                        tally.within(back.temperature_k, t, 1e-6, "T of dew point from p", &row);
                    }
                    Err(err) => tally.fail(&format!("dew point from p: {err}"), &row),
                }
            }
            Err(err) => tally.fail(&format!("dew point: {err}"), &row),
        }
    }
    tally.finish(300);
}

/// State a row of isenthalpic.csv starts from.
fn upstream(b: &dyn Backend, row: &Row) -> State {
    let (p, t) = (row.num("p1_Pa"), row.num("T1_K"));
    match row.text("phase1") {
        "saturated vapour" => b.state_pq(p, 1.0).expect("a saturated state"),
        "saturated liquid" => b.state_pq(p, 0.0).expect("a saturated state"),
        "liquid" => b.state_pt_in(p, t, Phase::Liquid).expect("a liquid"),
        _ => b.state_pt(p, t).expect("a gas"),
    }
}

#[test]
fn let_down_at_constant_enthalpy_matches_the_reference() {
    let mut backends = Backends::new();
    let mut tally = Tally::default();
    for row in rows("isenthalpic.csv") {
        let b = backends.get(row.text("fluid"));
        let up = upstream(&*b, &row);
        let down = match b.state_ph(row.num("p2_Pa"), up.enthalpy_j_kg) {
            Ok(s) => s,
            Err(err) => {
                tally.fail(&err.to_string(), &row);
                continue;
            }
        };
        tally.within(down.temperature_k, row.num("T2_K"), 1e-3, "T2", &row);
        tally.relative(
            down.density_kg_m3,
            row.num("rho2_kg_m3"),
            1e-5,
            "rho2",
            &row,
        );
        if let Some(q) = row.opt("vapour_mass_fraction2") {
            tally.within(
                down.vapour_mass_fraction,
                q,
                1e-5,
                "vapour mass fraction",
                &row,
            );
            tally.within(
                down.vapour_mole_fraction,
                row.num("vapour_mole_fraction2"),
                1e-5,
                "vapour mole fraction",
                &row,
            );
        }
        // the table calls the fluid above its critical temperature and below its critical pressure so
        let phase = row.text("phase2").replace("supercritical_gas", "gas");
        if down.phase.name() != phase {
            tally.fail(&format!("phase is {}", down.phase.name()), &row);
        }
    }
    tally.finish(60);
}

#[test]
fn a_full_vessel_warmed_at_constant_density_matches_the_reference() {
    let mut backends = Backends::new();
    let mut tally = Tally::default();
    for row in rows("trapped_liquid.csv") {
        let b = backends.get(row.text("fluid"));
        let (t, p) = (row.num("T_start_K"), row.num("p_start_Pa"));
        let start = if row.text("start") == "saturated" {
            b.bubble_t(t).expect("a bubble point").liquid.density_kg_m3
        } else {
            b.state_pt_in(p, t, Phase::Liquid)
                .expect("a liquid")
                .density_kg_m3
        };
        tally.relative(start, row.num("rho_kg_m3"), 1e-6, "rho", &row);
        let end = match b.state_rho_t(start, t + row.num("rise_K")) {
            Ok(s) => s,
            Err(err) => {
                tally.fail(&err.to_string(), &row);
                continue;
            }
        };
        let rise = row.num("p_after_Pa") - p;
        tally.within(
            end.pressure_pa,
            row.num("p_after_Pa"),
            (1e-5 * rise).max(100.0),
            "p_after",
            &row,
        );
    }
    tally.finish(30);
}
