//! What is wrong with the coefficients of an equation of state or departure function, number by number.
//!
//! Ranges of coefficients are our choice: several times what the equations of the library and the departure functions
//! of GERG-2008 use.

use super::Checker;
use crate::fuel::error::{Mistake, Problem};
use crate::fuel::{AncillaryCurve, Bell, Equation, IdealTerm, ResidualTerm};
use std::ops::RangeInclusive;

/// Highest triple point over the critical temperature: carbon dioxide has 0.71, most fuels 0.2 to 0.5.
const HIGHEST_TRIPLE: f64 = 0.85;
/// Most terms of a residual part or departure function; ethane has 44.
const MOST_TERMS: usize = 120;
/// Most terms of a start curve.
const MOST_OF_CURVE: usize = 20;

pub(super) fn equation_problems(c: &mut Checker, e: &Equation) {
    size_problems(c, e);
    order_problems(c, e);
    ideal_problems(c, &e.ideal);
    c.missing(e.residual.is_empty(), "equation.residual", "an equation");
    residual_problems(c, "equation.residual", &e.residual);
    let a = &e.ancillary;
    let p = (e.p_critical_pa, "p_critical_pa");
    let rho = (e.rho_critical_mol_m3, "rho_critical_mol_m3");
    for (name, curve, critical) in [
        ("vapour_pressure", &a.vapour_pressure, p),
        ("liquid_density", &a.liquid_density, rho),
        ("vapour_density", &a.vapour_density, rho),
    ] {
        let key = format!("equation.ancillary.{name}");
        let (t_r, t) = (curve.t_reducing_k, (e.t_critical_k, "t_critical_k"));
        let meant = "the temperature of a start curve";
        c.near(&format!("{key}.t_reducing_k"), t_r, t, 0.03, meant);
        let meant = "the factor of a start curve";
        let factor = curve.reducing;
        c.near(&format!("{key}.reducing"), factor, critical, 0.12, meant);
        curve_problems(c, &key, curve);
    }
}

/// Numbers by themselves.
fn size_problems(c: &mut Checker, e: &Equation) {
    let numbers = [
        (
            "gas_constant_j_mol_k",
            e.gas_constant_j_mol_k,
            8.31..=8.32,
            "the gas constant of the paper in J/(mol K)",
        ),
        (
            "t_critical_k",
            e.t_critical_k,
            2.0..=1500.0,
            "the critical temperature of the equation in kelvin",
        ),
        (
            "p_critical_pa",
            e.p_critical_pa,
            1e5..=5e7,
            "the critical pressure of the equation in Pa",
        ),
        (
            "rho_critical_mol_m3",
            e.rho_critical_mol_m3,
            200.0..=60e3,
            "the critical density of the equation in mol/m³",
        ),
        (
            "t_triple_k",
            e.t_triple_k,
            1.0..=1000.0,
            "the triple point, the lower end of the range, in kelvin",
        ),
        (
            "t_max_k",
            e.t_max_k,
            10.0..=5000.0,
            "the upper end of the range in kelvin",
        ),
        (
            "p_max_pa",
            e.p_max_pa,
            1e5..=1e10,
            "the highest pressure of the range in Pa",
        ),
        ("acentric", e.acentric, -0.5..=1.5, "the acentric factor"),
    ];
    for (field, value, range, meant) in numbers {
        c.within(&format!("equation.{field}"), value, range, meant);
    }
    c.band("equation.uncertainty_density", e.uncertainty_density);
    c.band(
        "equation.uncertainty_vapour_pressure",
        e.uncertainty_vapour_pressure,
    );
}

/// Numbers against one another.
fn order_problems(c: &mut Checker, e: &Equation) {
    let meant = "what the equation's temperatures and densities are divided by";
    let t = (e.t_critical_k, "t_critical_k");
    c.near("equation.t_reducing_k", e.t_reducing_k, t, 0.03, meant);
    let rho = (e.rho_critical_mol_m3, "rho_critical_mol_m3");
    c.near(
        "equation.rho_reducing_mol_m3",
        e.rho_reducing_mol_m3,
        rho,
        0.12,
        meant,
    );
    let z_c = e.p_critical_pa / (e.rho_critical_mol_m3 * e.gas_constant_j_mol_k * e.t_critical_k);
    c.gives(
        (0.18..=0.34).contains(&z_c),
        "equation.p_critical_pa",
        ("a compressibility factor at the critical point", z_c, ""),
        "from 0.18 to 0.34, as of other fluids",
        "look at critical pressure, density and temperature",
    );
    let key = "equation.t_triple_k";
    let meant = "the triple point in kelvin";
    let what = format!("{HIGHEST_TRIPLE} of t_critical_k");
    c.below(
        key,
        e.t_triple_k,
        HIGHEST_TRIPLE * e.t_critical_k,
        &what,
        meant,
    );
    let meant = "the upper end of the range in kelvin";
    c.above(
        "equation.t_max_k",
        e.t_max_k,
        e.t_critical_k,
        "t_critical_k",
        meant,
    );
    let meant = "the highest pressure of the range in Pa";
    c.above(
        "equation.p_max_pa",
        e.p_max_pa,
        e.p_critical_pa,
        "p_critical_pa",
        meant,
    );
    let rho_r = e.rho_max_mol_m3 / e.rho_critical_mol_m3;
    c.need(
        (2.0..=6.0).contains(&rho_r),
        "equation.rho_max_mol_m3",
        e.rho_max_mol_m3,
        "from 2 to 6 times rho_critical_mol_m3",
        "1.2 times the density of the liquid at the triple point in mol/m³",
    );
}

fn curve_problems(c: &mut Checker, key: &str, curve: &AncillaryCurve) {
    c.too_many(&format!("{key}.n"), "terms", curve.n.len(), MOST_OF_CURVE);
    c.lists(
        key,
        &[
            ("n", &curve.n, -1e6..=1e6, "a factor"),
            (
                "t",
                &curve.t,
                1e-4..=100.0,
                "an exponent of 1 - T/t_reducing_k",
            ),
        ],
    );
}

fn ideal_problems(c: &mut Checker, ideal: &[IdealTerm]) {
    let count = |of: fn(&IdealTerm) -> bool| ideal.iter().filter(|t| of(t)).count();
    for (what, count) in [
        (
            "terms of type `lead`",
            count(|t| matches!(t, IdealTerm::Lead { .. })),
        ),
        (
            "terms of type `log-tau`",
            count(|t| matches!(t, IdealTerm::LogTau { .. })),
        ),
    ] {
        if count != 1 {
            let wanted = 1;
            c.note(
                "equation.ideal",
                Problem::Count {
                    what,
                    count,
                    wanted,
                },
            );
        }
    }
    let factor = -1e4..=1e4;
    for (i, term) in ideal.iter().enumerate() {
        let key = format!("equation.ideal[{i}]");
        match term {
            IdealTerm::Lead { a1, a2 } => {
                c.within(&format!("{key}.a1"), *a1, factor.clone(), "a constant");
                c.within(&format!("{key}.a2"), *a2, factor.clone(), "a slope in tau");
            }
            IdealTerm::LogTau { a } => {
                c.within(&format!("{key}.a"), *a, 0.0..=200.0, "a factor of ln(tau)");
            }
            IdealTerm::Power { n, t } => c.lists(
                &key,
                &[
                    ("n", n, factor.clone(), "a factor"),
                    ("t", t, -10.0..=10.0, "an exponent of tau"),
                ],
            ),
            IdealTerm::PlanckEinstein { n, theta }
            | IdealTerm::LogSinh { n, theta }
            | IdealTerm::LogCosh { n, theta } => c.lists(
                &key,
                &[
                    ("n", n, factor.clone(), "a factor"),
                    (
                        "theta",
                        theta,
                        1e-3..=1e3,
                        "a characteristic temperature over t_reducing_k",
                    ),
                ],
            ),
        }
    }
}

/// What is wrong with the terms of a departure function.
pub(in crate::fuel) fn departure_problems(key: &str, terms: &[ResidualTerm]) -> Vec<Mistake> {
    let mut c = Checker::default();
    c.missing(terms.is_empty(), key, "a departure function");
    residual_problems(&mut c, key, terms);
    c.mistakes
}

fn residual_problems(c: &mut Checker, key: &str, terms: &[ResidualTerm]) {
    let n = terms.iter().map(|t| t.factors().len()).sum();
    c.too_many(key, "terms", n, MOST_TERMS);
    for (i, term) in terms.iter().enumerate() {
        term_problems(c, &format!("{key}[{i}]"), term);
    }
}

/// A list with what its numbers can be.
type Row<'a> = (&'static str, &'a [f64], RangeInclusive<f64>, &'static str);

fn factors(n: &[f64]) -> Row<'_> {
    ("n", n, -1e5..=1e5, "a factor")
}

fn temperature_exponents(t: &[f64]) -> Row<'_> {
    ("t", t, -5.0..=60.0, "an exponent of temperature")
}

/// A density exponent, and one inside an exponential.
const D: &str = "an exponent of density, which the model takes as a whole number";
const L: &str =
    "an exponent of density inside an exponential, which the model takes as a whole number";

/// `beta` and `gamma` are called after what they belong to.
fn bell_problems(
    c: &mut Checker,
    key: &str,
    bell: &Bell,
    [d, eta, beta]: [RangeInclusive<f64>; 3],
    [what_beta, what_gamma]: [&'static str; 2],
) {
    let centre = -6.0..=6.0;
    c.lists(
        key,
        &[
            factors(&bell.n),
            ("d", &bell.d, d, D),
            temperature_exponents(&bell.t),
            ("eta", &bell.eta, eta, "a width in density"),
            (
                "epsilon",
                &bell.epsilon,
                centre.clone(),
                "a centre in density",
            ),
            ("beta", &bell.beta, beta, what_beta),
            ("gamma", &bell.gamma, centre, what_gamma),
        ],
    );
    whole(c, &format!("{key}.d"), &bell.d, D);
}

fn term_problems(c: &mut Checker, key: &str, term: &ResidualTerm) {
    match term {
        ResidualTerm::Power { n, d, t, l, g } => {
            let ones;
            let g = if g.is_empty() {
                ones = vec![1.0; n.len()];
                &ones
            } else {
                g
            };
            c.lists(
                key,
                &[
                    factors(n),
                    ("d", d, 0.0..=24.0, D),
                    temperature_exponents(t),
                    ("l", l, 0.0..=24.0, L),
                    ("g", g, 0.0..=100.0, "a factor inside an exponential"),
                ],
            );
            whole(c, &format!("{key}.d"), d, D);
            whole(c, &format!("{key}.l"), l, L);
        }
        ResidualTerm::Gaussian(bell) => bell_problems(
            c,
            key,
            bell,
            [0.0..=24.0, 0.0..=200.0, 0.0..=2000.0],
            ["a width in temperature", "a centre in temperature"],
        ),
        ResidualTerm::GergExponential(bell) => bell_problems(
            c,
            key,
            bell,
            [1.0..=24.0, 0.0..=20.0, 0.0..=20.0],
            ["a factor inside an exponential", "a centre in density"],
        ),
        ResidualTerm::DoubleExponential {
            n,
            d,
            t,
            gd,
            ld,
            gt,
            lt,
        } => {
            c.lists(
                key,
                &[
                    factors(n),
                    ("d", d, 1.0..=24.0, D),
                    temperature_exponents(t),
                    ("gd", gd, 0.0..=1000.0, "a factor inside an exponential"),
                    ("ld", ld, 0.0..=24.0, L),
                    ("gt", gt, -100.0..=100.0, "a factor inside an exponential"),
                    (
                        "lt",
                        lt,
                        0.0..=10.0,
                        "an exponent of temperature inside an exponential",
                    ),
                ],
            );
            whole(c, &format!("{key}.d"), d, D);
            whole(c, &format!("{key}.ld"), ld, L);
        }
        ResidualTerm::NonAnalytic {
            n,
            a,
            b,
            beta,
            big_a,
            big_b,
            big_c,
            big_d,
        } => {
            let (exponent, width) = ("an exponent near the critical point", "a width near it");
            c.lists(
                key,
                &[
                    factors(n),
                    ("a", a, 2.0..=6.0, exponent),
                    ("b", b, 0.5..=1.5, exponent),
                    ("beta", beta, 0.2..=0.49, exponent),
                    ("big_a", big_a, 0.0..=2.0, exponent),
                    ("big_b", big_b, 1e-3..=5.0, exponent),
                    ("big_c", big_c, 0.0..=100.0, width),
                    ("big_d", big_d, 0.0..=2000.0, width),
                ],
            );
        }
    }
}

/// Numbers that must be whole.
fn whole(c: &mut Checker, key: &str, list: &[f64], meant: &'static str) {
    for (i, x) in list.iter().enumerate() {
        c.need(
            (x - x.round()).abs() < 1e-12,
            &format!("{key}[{i}]"),
            *x,
            "a whole number",
            meant,
        );
    }
}
