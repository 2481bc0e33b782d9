//! Coefficients of a reference equation of state and the start values of its saturation line.

use super::SourceKey;
use serde::Deserialize;

/// A reference Helmholtz-energy equation of state in `alpha(delta, tau)`,
/// `delta = rho / rho_reducing`, `tau = t_reducing / T`.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Equation {
    /// Paper.
    pub source: SourceKey,
    /// Gas constant of the paper, J/(mol K).
    pub gas_constant_j_mol_k: f64,
    /// Reducing temperature, K.
    pub t_reducing_k: f64,
    /// Reducing density, mol/m³.
    pub rho_reducing_mol_m3: f64,
    /// Critical temperature, K.
    pub t_critical_k: f64,
    /// Critical pressure, Pa.
    pub p_critical_pa: f64,
    /// Critical density, mol/m³.
    pub rho_critical_mol_m3: f64,
    /// Triple-point temperature: lower end of the range, K.
    pub t_triple_k: f64,
    /// Upper end of the temperature range, K.
    pub t_max_k: f64,
    /// Upper end of the pressure range, Pa.
    pub p_max_pa: f64,
    /// Highest density the equation is used at, mol/m³: start of the liquid density iteration.
    pub rho_max_mol_m3: f64,
    /// Acentric factor.
    pub acentric: f64,
    /// Relative uncertainty of gas density, as a fraction, from the paper.
    pub uncertainty_density: f64,
    /// Relative uncertainty of vapour pressure, as a fraction, from the paper.
    pub uncertainty_vapour_pressure: f64,
    /// Ideal-gas part.
    pub ideal: Vec<IdealTerm>,
    /// Residual part.
    pub residual: Vec<ResidualTerm>,
    /// Start values on the saturation line.
    pub ancillary: Ancillary,
}

/// A term of the ideal-gas part of `alpha`.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields, tag = "type", rename_all = "kebab-case")]
pub enum IdealTerm {
    /// `ln(delta) + a1 + a2 tau`
    Lead {
        /// Constant.
        a1: f64,
        /// Slope in tau.
        a2: f64,
    },
    /// `a ln(tau)`
    LogTau {
        /// Factor.
        a: f64,
    },
    /// `sum n_i tau^t_i`
    Power {
        /// Factors.
        n: Vec<f64>,
        /// Exponents.
        t: Vec<f64>,
    },
    /// `sum n_i ln(1 - exp(-theta_i tau))`
    PlanckEinstein {
        /// Factors.
        n: Vec<f64>,
        /// Reduced characteristic temperatures.
        theta: Vec<f64>,
    },
    /// `sum n_i ln(sinh(theta_i tau))`
    LogSinh {
        /// Factors.
        n: Vec<f64>,
        /// Reduced characteristic temperatures.
        theta: Vec<f64>,
    },
    /// `sum -n_i ln(cosh(theta_i tau))`
    LogCosh {
        /// Factors.
        n: Vec<f64>,
        /// Reduced characteristic temperatures.
        theta: Vec<f64>,
    },
}

/// Factors and exponents of bell-shaped terms.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
#[allow(missing_docs, reason = "symbols of the formulas")]
pub struct Bell {
    pub n: Vec<f64>,
    pub d: Vec<f64>,
    pub t: Vec<f64>,
    pub eta: Vec<f64>,
    pub epsilon: Vec<f64>,
    pub beta: Vec<f64>,
    pub gamma: Vec<f64>,
}

/// A group of terms of the residual part of `alpha` (or of a departure function).
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields, tag = "type", rename_all = "kebab-case")]
pub enum ResidualTerm {
    /// `sum n δ^d τ^t exp(-g δ^l)`, the exponential left out where `l = 0`.
    Power {
        /// Factors.
        n: Vec<f64>,
        /// Density exponents.
        d: Vec<f64>,
        /// Temperature exponents.
        t: Vec<f64>,
        /// Exponents inside the exponential; 0 = none.
        l: Vec<f64>,
        /// Factors inside the exponential; empty = all 1.
        #[serde(default)]
        g: Vec<f64>,
    },
    /// `sum n δ^d τ^t exp(-η(δ-ε)² - β(τ-γ)²)`
    Gaussian(Bell),
    /// `sum n δ^d τ^t exp(-η(δ-ε)² - β(δ-γ))`, departure functions of GERG-2008.
    GergExponential(Bell),
    /// `sum n δ^d τ^t exp(-gd δ^ld - gt τ^lt)` (methanol).
    DoubleExponential {
        /// Factors.
        n: Vec<f64>,
        /// Density exponents.
        d: Vec<f64>,
        /// Temperature exponents.
        t: Vec<f64>,
        /// Factor of the density exponential.
        gd: Vec<f64>,
        /// Exponent of the density exponential.
        ld: Vec<f64>,
        /// Factor of the temperature exponential.
        gt: Vec<f64>,
        /// Exponent of the temperature exponential.
        lt: Vec<f64>,
    },
    /// `sum n δ Δ^b exp(-C(δ-1)² - D(τ-1)²)`, `Δ = (1 - τ + A|δ-1|^(1/β))² + B|δ-1|^(2a)`: near the critical point
    /// (carbon dioxide, water).
    NonAnalytic {
        /// Factors.
        n: Vec<f64>,
        /// Half the exponent of density beside `B`.
        a: Vec<f64>,
        /// Exponents of the distance.
        b: Vec<f64>,
        /// Inverse exponents of density beside `A`.
        beta: Vec<f64>,
        /// `A`
        big_a: Vec<f64>,
        /// `B`
        big_b: Vec<f64>,
        /// `C`
        big_c: Vec<f64>,
        /// `D`
        big_d: Vec<f64>,
    },
}

impl ResidualTerm {
    /// Factors of the terms.
    pub fn factors(&self) -> &[f64] {
        match self {
            Self::Power { n, .. }
            | Self::Gaussian(Bell { n, .. })
            | Self::GergExponential(Bell { n, .. })
            | Self::DoubleExponential { n, .. }
            | Self::NonAnalytic { n, .. } => n,
        }
    }
}

/// Start values on the saturation line; used to begin iterations, never as results.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Ancillary {
    /// Vapour pressure: `p = pc exp(f (sum n_i theta^t_i))`, `theta = 1 - T/Tr`; `f = Tr/T` if `using_tau_r`.
    pub vapour_pressure: AncillaryCurve,
    /// Liquid density: `rho = rhoc (1 + sum)` or `rhoc exp(f sum)`.
    pub liquid_density: AncillaryCurve,
    /// Vapour density: `rho = rhoc exp(f sum)`.
    pub vapour_density: AncillaryCurve,
}

/// One ancillary curve.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AncillaryCurve {
    /// `true`: `reducing (1 + sum)`; `false`: `reducing exp(sum)`.
    pub linear: bool,
    /// Multiply the sum by `t_reducing/T`.
    pub using_tau_r: bool,
    /// Reducing temperature, K.
    pub t_reducing_k: f64,
    /// Reducing value, Pa or mol/m³.
    pub reducing: f64,
    /// Factors.
    pub n: Vec<f64>,
    /// Exponents of theta.
    pub t: Vec<f64>,
}

impl AncillaryCurve {
    /// Value at `t_k` in K; the range is the caller's.
    pub fn at(&self, t_k: f64) -> f64 {
        let theta = (1.0 - t_k / self.t_reducing_k).max(0.0);
        let terms = self.n.iter().zip(&self.t);
        let mut sum: f64 = terms.map(|(n, t)| n * theta.powf(*t)).sum();
        if self.using_tau_r {
            sum *= self.t_reducing_k / t_k;
        }
        self.reducing * if self.linear { 1.0 + sum } else { sum.exp() }
    }
}
