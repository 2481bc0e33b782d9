//! What is wrong with the coefficients of an equation of state, of correlations or of NASA polynomials.

use super::Checker;
use crate::fuel::{
    AncillaryCurve, Correlation, Equation, IdealTerm, Nasa, Polynomial, ResidualTerm,
};

pub(super) fn equation_problems(c: &mut Checker, e: &Equation) {
    let positive = [
        ("t_reducing_k", e.t_reducing_k),
        ("rho_reducing_mol_m3", e.rho_reducing_mol_m3),
        ("t_critical_k", e.t_critical_k),
        ("p_critical_pa", e.p_critical_pa),
        ("rho_critical_mol_m3", e.rho_critical_mol_m3),
        ("t_triple_k", e.t_triple_k),
        ("p_max_pa", e.p_max_pa),
    ];
    for (field, value) in positive {
        c.positive(field, value);
    }
    let r = e.gas_constant_j_mol_k;
    c.need(
        (8.3..8.33).contains(&r),
        "gas_constant_j_mol_k",
        r,
        "from 8.30 to 8.33",
    );
    c.need(
        e.t_triple_k < e.t_critical_k,
        "t_triple_k",
        e.t_triple_k,
        "below t_critical_k",
    );
    c.need(
        e.t_max_k > e.t_triple_k,
        "t_max_k",
        e.t_max_k,
        "above t_triple_k",
    );
    let rho = e.rho_max_mol_m3;
    c.need(
        rho > 2.0 * e.rho_critical_mol_m3,
        "rho_max_mol_m3",
        rho,
        "above twice rho_critical_mol_m3",
    );
    c.need(
        (-1.0..2.0).contains(&e.acentric),
        "acentric",
        e.acentric,
        "from -1 to 2",
    );
    c.fraction("uncertainty_density", e.uncertainty_density);
    c.fraction("uncertainty_vapour_pressure", e.uncertainty_vapour_pressure);
    for term in &e.ideal {
        match term {
            IdealTerm::Lead { a1, a2 } => c.finite("ideal", &[*a1, *a2]),
            IdealTerm::LogTau { a } => c.finite("ideal", &[*a]),
            IdealTerm::Power { n, t: x }
            | IdealTerm::PlanckEinstein { n, theta: x }
            | IdealTerm::LogSinh { n, theta: x }
            | IdealTerm::LogCosh { n, theta: x } => c.lists("ideal", &[n, x]),
        }
    }
    let one = |term: fn(&IdealTerm) -> bool| e.ideal.iter().filter(|t| term(t)).count() == 1;
    c.missing(
        !one(|t| matches!(t, IdealTerm::Lead { .. })),
        "one ideal term of type `lead`",
        "an equation",
    );
    c.missing(e.residual.is_empty(), "residual", "an equation");
    for term in &e.residual {
        residual_problems(c, term);
    }
    ancillary_problems(c, "ancillary.vapour_pressure", &e.ancillary.vapour_pressure);
    ancillary_problems(c, "ancillary.liquid_density", &e.ancillary.liquid_density);
    ancillary_problems(c, "ancillary.vapour_density", &e.ancillary.vapour_density);
}

/// List lengths and finite numbers of one residual or departure term.
fn residual_problems(c: &mut Checker, term: &ResidualTerm) {
    match term {
        ResidualTerm::Power { n, d, t, l, g } => {
            c.lists("residual", &[n, d, t, l]);
            if !g.is_empty() {
                c.lists("residual", &[n, g]);
            }
        }
        ResidualTerm::Gaussian {
            n,
            d,
            t,
            eta,
            epsilon,
            beta,
            gamma,
        }
        | ResidualTerm::GergExponential {
            n,
            d,
            t,
            eta,
            epsilon,
            beta,
            gamma,
        } => c.lists("residual", &[n, d, t, eta, epsilon, beta, gamma]),
        ResidualTerm::DoubleExponential {
            n,
            d,
            t,
            gd,
            ld,
            gt,
            lt,
        } => c.lists("residual", &[n, d, t, gd, ld, gt, lt]),
    }
}

fn ancillary_problems(c: &mut Checker, field: &str, a: &AncillaryCurve) {
    c.positive(field, a.t_reducing_k);
    c.positive(field, a.reducing);
    c.lists(field, &[&a.n, &a.t]);
}

pub(super) fn correlation_problems(c: &mut Checker, k: &Correlation) {
    let [low, high] = k.t_range_k;
    c.need(low > 100.0, "t_range_k", low, "above 100 K");
    c.need(high > low, "t_range_k", high, "above its lower end");
    c.need(
        high < k.t_critical_k,
        "t_range_k",
        high,
        "below t_critical_k",
    );
    c.positive("p_critical_pa", k.p_critical_pa);
    let polynomial = |p: &Polynomial, t: f64| p.c.iter().rev().fold(0.0, |s, a| s * t + a);
    for t in [low, high] {
        let rho = polynomial(&k.density, t);
        c.need(
            (300.0..2000.0).contains(&rho),
            "density",
            rho,
            "300 to 2000 kg/m3 in its range",
        );
        let cp = polynomial(&k.heat_capacity, t);
        c.need(
            (500.0..10e3).contains(&cp),
            "heat_capacity",
            cp,
            "500 to 10000 J/(kg K) in its range",
        );
    }
    c.positive("bulk_modulus_pa", k.bulk_modulus_pa.value);
    c.positive("speed_of_sound_m_s", k.speed_of_sound_m_s.value);
    c.positive("latent_heat", k.latent_heat.value_j_kg);
    c.need(
        k.latent_heat.t_k < k.t_critical_k,
        "latent_heat.t_k",
        k.latent_heat.t_k,
        "below t_critical_k",
    );
    c.finite("viscosity", &[k.viscosity.a, k.viscosity.b]);
    let bands = [
        k.density.uncertainty,
        k.heat_capacity.uncertainty,
        k.latent_heat.uncertainty,
        k.viscosity.uncertainty,
        k.bulk_modulus_pa.uncertainty,
        k.speed_of_sound_m_s.uncertainty,
    ];
    for band in bands {
        c.fraction("uncertainty", band);
    }
}

pub(super) fn nasa_problems(c: &mut Checker, n: &Nasa) {
    let [low, middle, high] = n.t_k;
    c.need(
        0.0 < low && low < middle,
        "nasa.t_k",
        low,
        "below the middle temperature",
    );
    c.need(
        middle < high,
        "nasa.t_k",
        middle,
        "below the highest temperature",
    );
    c.finite("nasa", &n.low);
    c.finite("nasa", &n.high);
    let cp = |a: &[f64; 7]| (0..5).rev().fold(0.0, |s, i| s * middle + a[i]);
    let (below, above) = (cp(&n.low), cp(&n.high));
    c.need(
        below > 2.0,
        "nasa",
        below,
        "a heat capacity above 2 R at the middle temperature",
    );
    c.need(
        (below - above).abs() < 0.02 * below,
        "nasa",
        above,
        "the same heat capacity from both sides within 2 %",
    );
}
