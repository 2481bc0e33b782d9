//! Activity coefficients of a mixture of liquids from the groups of its molecules.

use super::MAX_COMPONENTS;
use crate::fuel::Groups;

/// Kinds of group, in the order of [`counts`].
const KINDS: usize = 10;
/// Main groups.
const MAIN: usize = 6;
/// Volume and surface of each kind.
const R_Q: [(f64, f64); KINDS] = [
    (0.9011, 0.848),
    (0.6744, 0.540),
    (0.4469, 0.228),
    (0.2195, 0.000),
    (0.5313, 0.400),
    (1.2663, 0.968),
    (1.0396, 0.660),
    (1.0000, 1.200),
    (1.4311, 1.432),
    (0.9200, 1.400),
];
/// Main group of each kind: CH2, ACH, ACCH2, OH, CH3OH, H2O.
const MAIN_OF: [usize; KINDS] = [0, 0, 0, 0, 1, 2, 2, 3, 4, 5];
/// Interaction `a_mn` between main groups, K.
const A_K: [[f64; MAIN]; MAIN] = [
    [0.0, 61.13, 76.5, 986.5, 697.2, 1318.0],
    [-11.12, 0.0, 167.0, 636.1, 637.35, 903.8],
    [-69.7, -146.8, 0.0, 803.2, 603.25, 5695.0],
    [156.4, 89.6, 25.82, 0.0, -137.1, 353.5],
    [16.51, -50.0, -44.5, 249.1, 0.0, -180.95],
    [300.0, 362.3, 377.6, -229.1, 289.6, 0.0],
];

fn counts(g: &Groups) -> [f64; KINDS] {
    [
        g.ch3, g.ch2, g.ch, g.c, g.ach, g.acch3, g.acch2, g.oh, g.ch3oh, g.h2o,
    ]
}

/// Logarithms of the activity coefficients, in the order of the molecules.
///
/// UNIFAC: `ln γ_i = ln γ_i^C + Σ_k ν_ki (ln Γ_k − ln Γ_k^(i))` with
/// `ln γ_i^C = 1 − V_i + ln V_i − 5 q_i (1 − V_i/F_i + ln(V_i/F_i))`, `V_i = r_i/Σ x_j r_j`, `F_i = q_i/Σ x_j q_j`,
/// and `ln Γ_k = Q_k (1 − ln Σ θ_m ψ_mk − Σ_m θ_m ψ_km / Σ_n θ_n ψ_nm)`, `ψ_mn = exp(−a_mn/T)`.
///
/// * `molecules` — groups of each
/// * `x` — mole fractions, at most [`MAX_COMPONENTS`], together above 0
/// * `t_k` — temperature, K
///
/// **Valid:** vapour over liquids at 275 to 425 K and low pressure; the groups of hydrocarbons, alcohols and
/// water. It does not tell where a liquid splits: of ethanol with n-hexane it puts that 100 K too high.
/// **Errors:** none.
/// **Source:** `hansen1991`
pub fn ln_gamma(molecules: &[Groups], x: &[f64], t_k: f64) -> [f64; MAX_COMPONENTS] {
    let psi = A_K.map(|row| row.map(|a| (-a / t_k).exp()));
    let all: Vec<[f64; KINDS]> = molecules.iter().map(counts).collect();
    let mut mixed = [0.0; KINDS];
    for (nu, x) in all.iter().zip(x) {
        for (sum, n) in mixed.iter_mut().zip(nu) {
            *sum += x * n;
        }
    }
    let of = |nu: &[f64; KINDS], pick: fn((f64, f64)) -> f64| -> f64 {
        nu.iter().zip(R_Q).map(|(n, rq)| n * pick(rq)).sum()
    };
    let (r, q) = (of(&mixed, |rq| rq.0), of(&mixed, |rq| rq.1));
    let total: f64 = x.iter().sum();
    let in_mixture = ln_group(&mixed, &psi);
    let mut out = [0.0; MAX_COMPONENTS];
    for (ln_gamma, nu) in out.iter_mut().zip(&all) {
        let (r_i, q_i) = (of(nu, |rq| rq.0), of(nu, |rq| rq.1));
        let (v, f) = (r_i * total / r, q_i * total / q);
        let alone = ln_group(nu, &psi);
        let residual = (0..KINDS).map(|k| nu[k] * (in_mixture[k] - alone[k]));
        *ln_gamma =
            1.0 - v + v.ln() - 5.0 * q_i * (1.0 - v / f + (v / f).ln()) + residual.sum::<f64>();
    }
    out
}

/// `ln Γ_k` of every kind of group among others.
fn ln_group(nu: &[f64; KINDS], psi: &[[f64; MAIN]; MAIN]) -> [f64; KINDS] {
    let mut theta = [0.0; MAIN];
    for k in 0..KINDS {
        theta[MAIN_OF[k]] += nu[k] * R_Q[k].1;
    }
    let all: f64 = theta.iter().sum();
    let theta = theta.map(|t| t / all);
    let seen: [f64; MAIN] = std::array::from_fn(|m| (0..MAIN).map(|n| theta[n] * psi[n][m]).sum());
    std::array::from_fn(|k| {
        let main = MAIN_OF[k];
        let ratio: f64 = (0..MAIN).map(|m| theta[m] * psi[main][m] / seen[m]).sum();
        R_Q[k].1 * (1.0 - seen[main].ln() - ratio)
    })
}
