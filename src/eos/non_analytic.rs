//! Terms that make heat capacity and compressibility diverge at the critical point, of carbon dioxide and water.

use super::alpha::Alpha;
use crate::fuel::ResidualTerm;
use num_dual::DualNum;

/// Nearest that the reduced density is taken to one: on the critical isochore itself derivatives have no value.
const NEAREST: f64 = 1e-9;

/// `n δ Δ^b exp(-C(δ-1)² - D(τ-1)²)` with `Δ = θ² + B (δ-1)^(2a)`, `θ = 1 - τ + A (δ-1)^(1/β)`, powers of `|δ-1|`.
///
/// **Source:** `span1996`, `wagner2002`
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct NonAnalytic {
    n: f64,
    a: f64,
    b: f64,
    inverse_beta: f64,
    big: [f64; 4],
}

impl NonAnalytic {
    /// The terms of a group of a fuel file; none of a group of another type.
    pub(super) fn of(group: &ResidualTerm) -> Vec<Self> {
        let ResidualTerm::NonAnalytic {
            n,
            a,
            b,
            beta,
            big_a,
            big_b,
            big_c,
            big_d,
        } = group
        else {
            return Vec::new();
        };
        let one = |i: usize| Self {
            n: n[i],
            a: a[i],
            b: b[i],
            inverse_beta: 1.0 / beta[i],
            big: [big_a[i], big_b[i], big_c[i], big_d[i]],
        };
        (0..n.len()).map(one).collect()
    }

    /// Value and derivatives: the logarithm's, as of the other terms.
    pub(super) fn at(&self, delta: f64, tau: f64) -> Alpha {
        let [big_a, big_b, big_c, big_d] = self.big;
        let (s, q) = (delta - 1.0, tau - 1.0);
        let (size, sign) = (s.abs().max(NEAREST), s.signum());
        let (m, k) = (self.inverse_beta, 2.0 * self.a);
        let theta = big_a * size.powf(m) - q;
        let theta_d = big_a * m * size.powf(m - 1.0) * sign;
        let theta_dd = big_a * m * (m - 1.0) * size.powf(m - 2.0);
        let distance = theta * theta + big_b * size.powf(k);
        let in_d = (2.0 * theta * theta_d + big_b * k * size.powf(k - 1.0) * sign) / distance;
        let in_dd = (2.0 * (theta_d * theta_d + theta * theta_dd)
            + big_b * k * (k - 1.0) * size.powf(k - 2.0))
            / distance;
        let in_t = -2.0 * theta / distance;
        let value = self.n * delta * distance.powf(self.b) * (-big_c * s * s - big_d * q * q).exp();
        // δ ∂/∂δ and τ ∂/∂τ of the logarithm, and its second derivatives times the variables
        let l_d = 1.0 + delta * (self.b * in_d - 2.0 * big_c * s);
        let l_t = tau * (self.b * in_t - 2.0 * big_d * q);
        let l_dd = delta * delta * (self.b * (in_dd - in_d * in_d) - 2.0 * big_c) - 1.0;
        let l_tt = tau * tau * (self.b * (2.0 / distance - in_t * in_t) - 2.0 * big_d);
        let l_dt = delta * tau * self.b * (-2.0 * theta_d / distance - in_d * in_t);
        Alpha {
            a: value,
            d: value * l_d,
            t: value * l_t,
            dd: value * (l_dd + l_d * l_d),
            dt: value * (l_dt + l_d * l_t),
            tt: value * (l_tt + l_t * l_t),
        }
    }

    /// The value as a generic function of dual numbers.
    pub(super) fn generic<D: DualNum<f64> + Copy>(&self, delta: D, tau: D) -> D {
        let [big_a, big_b, big_c, big_d] = self.big;
        let (s, q) = (delta - 1.0, tau - 1.0);
        let s = if s.re().abs() < NEAREST {
            s + NEAREST
        } else {
            s
        };
        let square = s * s;
        let theta = square.powf(self.inverse_beta / 2.0) * big_a - q;
        let distance = theta * theta + square.powf(self.a) * big_b;
        delta * distance.powf(self.b) * (-square * big_c - q * q * big_d).exp() * self.n
    }
}
