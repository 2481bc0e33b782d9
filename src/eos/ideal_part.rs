//! The ideal-gas part of the Helmholtz energy of one fluid.

use super::alpha::Alpha;
use crate::fuel::IdealTerm;

/// The ideal-gas part without `ln δ`: value, `τ α_τ`, `τ² α_ττ`.
#[derive(Debug, Clone, PartialEq)]
pub struct IdealPart {
    list: Vec<IdealTerm>,
}

impl IdealPart {
    /// From the terms of a fuel file.
    pub fn new(terms: &[IdealTerm]) -> Self {
        Self {
            list: terms.to_vec(),
        }
    }

    /// Value and derivatives at tau; `d` and `dd` of the result stay zero.
    pub fn at(&self, tau: f64) -> Alpha {
        let mut out = Alpha::default();
        for term in &self.list {
            match term {
                IdealTerm::Lead { a1, a2 } => {
                    out.a += a1 + a2 * tau;
                    out.t += a2 * tau;
                }
                IdealTerm::LogTau { a } => {
                    out.a += a * tau.ln();
                    out.t += a;
                    out.tt -= a;
                }
                IdealTerm::Power { n, t } => {
                    for (n, t) in n.iter().zip(t) {
                        let y = n * tau.powf(*t);
                        out.a += y;
                        out.t += y * t;
                        out.tt += y * t * (t - 1.0);
                    }
                }
                IdealTerm::PlanckEinstein { n, theta } => {
                    for (n, theta) in n.iter().zip(theta) {
                        let x = theta * tau;
                        let e = (-x).exp();
                        let q = e / (1.0 - e);
                        out.a += n * (-e).ln_1p();
                        out.t += n * x * q;
                        out.tt -= n * x * x * q * (1.0 + q);
                    }
                }
                IdealTerm::LogSinh { n, theta } => {
                    for (n, theta) in n.iter().zip(theta) {
                        let x = theta * tau;
                        out.a += n * x.abs().sinh().ln();
                        out.t += n * x / x.tanh();
                        out.tt -= n * (x / x.sinh()).powi(2);
                    }
                }
                IdealTerm::LogCosh { n, theta } => {
                    for (n, theta) in n.iter().zip(theta) {
                        let x = theta * tau;
                        out.a -= n * x.cosh().ln();
                        out.t -= n * x * x.tanh();
                        out.tt -= n * (x / x.cosh()).powi(2);
                    }
                }
            }
        }
        out
    }
}
