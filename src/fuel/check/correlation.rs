//! What is wrong with the correlations of a liquid and with surface tension, number by number.

use super::Checker;
use crate::fuel::{Correlation, Fuel, Polynomial, Sourced, SurfaceTension, VapourPressure};
use crate::quantity::show::short;

/// Most coefficients of a polynomial.
const MOST_COEFFICIENTS: usize = 8;

pub(super) fn correlation_problems(c: &mut Checker, k: &Correlation) {
    let [low, high] = k.t_range_k;
    let meant = "the temperatures all correlations hold for, in kelvin";
    c.within("correlation.t_range_k[0]", low, 50.0..=1000.0, meant);
    let key = "correlation.t_range_k[1]";
    c.above(key, high, low, "the lower end", meant);
    c.below(key, high, k.t_critical_k, "t_critical_k", meant);
    let meant = "the critical point, K and Pa";
    c.within(
        "correlation.t_critical_k",
        k.t_critical_k,
        100.0..=1500.0,
        meant,
    );
    c.within(
        "correlation.p_critical_pa",
        k.p_critical_pa,
        1e5..=5e7,
        meant,
    );
    for (key, p) in [
        ("correlation.density", &k.density),
        ("correlation.heat_capacity", &k.heat_capacity),
    ] {
        polynomial_problems(c, key, p);
    }
    let sourced: [(&str, &Sourced, _, _); 2] = [
        (
            "correlation.bulk_modulus_pa",
            &k.bulk_modulus_pa,
            1e8..=1e10,
            "the isothermal bulk modulus in Pa",
        ),
        (
            "correlation.speed_of_sound_m_s",
            &k.speed_of_sound_m_s,
            300.0..=3000.0,
            "the speed of sound in the liquid in m/s",
        ),
    ];
    for (key, s, range, meant) in sourced {
        c.within(&format!("{key}.value"), s.value, range, meant);
        c.band(&format!("{key}.uncertainty"), s.uncertainty);
    }
    if let Some(tau) = k.bulk_modulus_softens_k {
        let meant = "the kelvin over which the bulk modulus falls to 1/e";
        c.within("correlation.bulk_modulus_softens_k", tau, 20.0..=1e5, meant);
    }
    let l = &k.latent_heat;
    let key = "correlation.latent_heat";
    let meant = "the heat of vaporization in J/kg";
    c.within(&format!("{key}.value_j_kg"), l.value_j_kg, 5e4..=3e6, meant);
    c.band(&format!("{key}.uncertainty"), l.uncertainty);
    let meant = "the temperature of the latent heat in kelvin";
    let key = format!("{key}.t_k");
    c.within(&key, l.t_k, 50.0..=1500.0, meant);
    c.below(&key, l.t_k, k.t_critical_k, "t_critical_k", meant);
    c.within(
        "correlation.viscosity.a",
        k.viscosity.a,
        1.0..=30.0,
        "the intercept of the ASTM D341 line",
    );
    c.within(
        "correlation.viscosity.b",
        k.viscosity.b,
        0.5..=12.0,
        "the slope of the ASTM D341 line",
    );
    c.band("correlation.viscosity.uncertainty", k.viscosity.uncertainty);
    vapour_pressure_problems(c, k);
}

fn polynomial_problems(c: &mut Checker, key: &str, p: &Polynomial) {
    c.missing(p.c.is_empty(), &format!("{key}.c"), "a polynomial");
    c.too_many(
        &format!("{key}.c"),
        "coefficients",
        p.c.len(),
        MOST_COEFFICIENTS,
    );
    c.band(&format!("{key}.uncertainty"), p.uncertainty);
}

fn vapour_pressure_problems(c: &mut Checker, k: &Correlation) {
    let key = "correlation.vapour_pressure";
    let (VapourPressure::Wagner36 { uncertainty, .. }
    | VapourPressure::Antoine { uncertainty, .. }) = &k.vapour_pressure;
    c.band(&format!("{key}.uncertainty"), *uncertainty);
    if let VapourPressure::Wagner36 {
        t_critical_k,
        p_critical_pa,
        ..
    } = &k.vapour_pressure
    {
        let meant = "the critical point of the fit";
        let t = (k.t_critical_k, "correlation.t_critical_k");
        c.near(
            &format!("{key}.t_critical_k"),
            *t_critical_k,
            t,
            0.05,
            meant,
        );
        let p = (k.p_critical_pa, "correlation.p_critical_pa");
        c.near(
            &format!("{key}.p_critical_pa"),
            *p_critical_pa,
            p,
            0.3,
            meant,
        );
        c.below(
            "correlation.t_range_k[1]",
            k.t_range_k[1],
            *t_critical_k,
            "t_critical_k of the vapour pressure",
            "the highest temperature of the correlations",
        );
    }
}

/// Highest surface tension of a fuel or inert liquid, N/m: water has 0.073 at 20 °C.
const MOST_TENSION_N_M: f64 = 0.1;

pub(super) fn surface_tension_problems(c: &mut Checker, fuel: &Fuel, s: &SurfaceTension) {
    let of_equation = fuel
        .equation
        .as_ref()
        .map(|e| (e.t_critical_k, e.t_triple_k));
    let of_correlation = fuel
        .correlation
        .as_ref()
        .map(|k| (k.t_critical_k, k.t_range_k[0]));
    let key = "surface_tension";
    c.band(&format!("{key}.uncertainty"), s.uncertainty);
    c.lists(
        key,
        &[
            ("a", &s.a, -10.0..=10.0, "a factor in N/m"),
            ("n", &s.n, 0.1..=20.0, "an exponent"),
        ],
    );
    let Some((t_critical_k, t_lowest_k)) = of_equation.or(of_correlation) else {
        return;
    };
    c.near(
        &format!("{key}.t_critical_k"),
        s.t_critical_k,
        (t_critical_k, "the fuel's critical temperature"),
        0.02,
        "where the surface tension vanishes, in kelvin",
    );
    if s.a.len() != s.n.len() || s.a.is_empty() {
        return;
    }
    let mut last = 0.0;
    for i in 1..=20 {
        let t_k = s.t_critical_k - (s.t_critical_k - t_lowest_k) * f64::from(i) / 20.0;
        let theta = 1.0 - t_k / s.t_critical_k;
        let sigma: f64 = s.a.iter().zip(&s.n).map(|(a, n)| a * theta.powf(*n)).sum();
        let holds = (last..=MOST_TENSION_N_M).contains(&sigma);
        c.gives(
            holds,
            key,
            (
                &format!("a surface tension at {} K", short(t_k)),
                sigma,
                "N/m",
            ),
            format!(
                "from {} to {MOST_TENSION_N_M} N/m, more the colder it is",
                short(last)
            ),
            "look for a wrong digit or sign among its numbers",
        );
        if !holds {
            return;
        }
        last = sigma;
    }
}
