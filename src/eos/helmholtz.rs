//! The Helmholtz-energy terms of one fluid (or departure function), and their derivatives.
//!
//! Every residual term is `n δ^d τ^t exp(u(δ) + v(τ))`. Its logarithmic derivatives are sums, so all
//! second derivatives come with the value for a few multiplications, and at a fixed temperature the
//! part in τ is computed once for a whole density iteration ([`Isotherm`]). The few terms that are not of this kind
//! stand in `eos::non_analytic`.
//! [`Terms::residual_generic`] is the same sum as one generic function of dual numbers; it feeds
//! `feos-core` and checks the derivatives written out here.

use super::alpha::Alpha;
use super::ideal_part::IdealPart;
use super::non_analytic::NonAnalytic;
use super::powers::{EXPONENTIALS, MAX_POWER, Powers, Reach};
use crate::fuel::{Bell, Equation, ResidualTerm};
use crate::numerics::exponential::exponentials;
use num_dual::DualNum;

/// Whether a factor inside an exponential is the usual one.
fn is_one(g: f64) -> bool {
    (g - 1.0).abs() < f64::EPSILON
}

/// The part of a term in delta.
#[derive(Debug, Clone, Copy, PartialEq)]
enum InDelta {
    /// `δ^d`
    Plain,
    /// `δ^d exp(-δ^l)`, l below [`EXPONENTIALS`]: the usual exponential
    Unit { l: u8 },
    /// `δ^d exp(-g δ^l)`
    Exponential { g: f64, l: u8 },
    /// `δ^d exp(-η(δ-ε)² - b δ)`; `b = 0` for the usual Gaussian, `b ≠ 0` in GERG departures.
    Bell { eta: f64, epsilon: f64, b: f64 },
}

/// The part of a term in tau.
#[derive(Debug, Clone, Copy, PartialEq)]
enum InTau {
    /// `τ^t`
    Plain,
    /// `τ^t exp(-β(τ-γ)²)`
    Bell { beta: f64, gamma: f64 },
    /// `τ^t exp(-g τ^l)`
    Exponential { g: f64, l: f64 },
}

#[derive(Debug, Clone, Copy, PartialEq)]
struct Term {
    n: f64,
    d: u8,
    t: f64,
    in_delta: InDelta,
    in_tau: InTau,
}

impl Term {
    /// What the part in delta of a special term has in its exponential.
    #[inline]
    fn exponent(&self, p: &Powers) -> f64 {
        match self.in_delta {
            InDelta::Plain => 0.0,
            InDelta::Unit { l } => -p.power[usize::from(l)],
            InDelta::Exponential { g, l } => -g * p.power[usize::from(l)],
            InDelta::Bell { eta, epsilon, b } => {
                let off = p.delta - epsilon;
                -eta * off * off - b * p.delta
            }
        }
    }

    /// Value, logarithmic slope `δ ∂δ ln` and `δ ∂δ` of that slope, of the part in delta; `factor` is the exponential of
    /// [`Self::exponent`] where that is not the usual one.
    #[inline]
    fn in_delta(&self, p: &Powers, factor: f64) -> (f64, f64, f64) {
        let (delta, d) = (p.delta, f64::from(self.d));
        let power = p.power[usize::from(self.d)];
        match self.in_delta {
            InDelta::Plain => (power, d, 0.0),
            InDelta::Unit { l } => {
                let (u, e) = (p.power[usize::from(l)], p.exponential[usize::from(l)]);
                let l = f64::from(l);
                (power * e, d - l * u, -l * l * u)
            }
            InDelta::Exponential { g, l } => {
                let u = g * p.power[usize::from(l)];
                let l = f64::from(l);
                (power * factor, d - l * u, -l * l * u)
            }
            InDelta::Bell { eta, epsilon, b } => {
                let off = delta - epsilon;
                (
                    power * factor,
                    d - 2.0 * eta * delta * off - b * delta,
                    -2.0 * eta * delta * (2.0 * delta - epsilon) - b * delta,
                )
            }
        }
    }
}

/// The residual terms of one fluid or departure function.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Terms {
    list: Vec<Term>,
    reach: Reach,
    /// Where in the list the plain terms end, and those with the usual exponential. The rest are special; all
    /// before them are plain in τ.
    ends: (usize, usize),
    /// Exponents of τ, and coefficients, of all that are plain in it.
    in_tau: Vec<f64>,
    weights: Vec<f64>,
    /// What the plain terms give for one: value and derivatives, in the order of [`Alpha`].
    plain: Vec<[f64; 6]>,
    non_analytic: Vec<NonAnalytic>,
}

/// The part of the terms in tau at one temperature.
#[derive(Debug, Clone, Default)]
pub struct Isotherm {
    tau: f64,
    /// `n τ^t exp(v)`.
    factors: Vec<f64>,
    /// Logarithmic slope `τ ∂τ ln` of the factor, and `τ ∂τ` of that slope, of the special terms.
    slopes: Vec<[f64; 2]>,
}

/// A density exponent as the integer that it is.
fn integer(x: f64) -> u8 {
    (0..=MAX_POWER)
        .find(|&i| (x - f64::from(i)).abs() < 1e-12)
        .expect("the fuel reader lets only small integer density exponents through")
}

/// `exp(-g δ^l)`; none for `l = 0`.
fn exponential(g: f64, l: f64) -> InDelta {
    match integer(l) {
        0 => InDelta::Plain,
        l if is_one(g) && usize::from(l) < EXPONENTIALS => InDelta::Unit { l },
        l => InDelta::Exponential { g, l },
    }
}

/// The terms of one group of a fuel file.
fn terms_of(group: &ResidualTerm) -> Vec<Term> {
    let make = |i: usize, n: &[f64], d: &[f64], t: &[f64], in_delta, in_tau| Term {
        n: n[i],
        d: integer(d[i]),
        t: t[i],
        in_delta,
        in_tau,
    };
    let in_density = |bell: &Bell, i: usize, b| InDelta::Bell {
        eta: bell.eta[i],
        epsilon: bell.epsilon[i],
        b,
    };
    match group {
        ResidualTerm::Power { n, d, t, l, g } => (0..n.len())
            .map(|i| {
                let g = g.get(i).copied().unwrap_or(1.0);
                make(i, n, d, t, exponential(g, l[i]), InTau::Plain)
            })
            .collect(),
        ResidualTerm::Gaussian(bell) => (0..bell.n.len())
            .map(|i| {
                let in_tau = InTau::Bell {
                    beta: bell.beta[i],
                    gamma: bell.gamma[i],
                };
                make(
                    i,
                    &bell.n,
                    &bell.d,
                    &bell.t,
                    in_density(bell, i, 0.0),
                    in_tau,
                )
            })
            .collect(),
        ResidualTerm::GergExponential(bell) => (0..bell.n.len())
            .map(|i| {
                let in_delta = in_density(bell, i, bell.beta[i]);
                let mut term = make(i, &bell.n, &bell.d, &bell.t, in_delta, InTau::Plain);
                // exp(-β(δ-γ)) = exp(βγ) exp(-βδ): the constant goes into n
                term.n *= (bell.beta[i] * bell.gamma[i]).exp();
                term
            })
            .collect(),
        ResidualTerm::DoubleExponential {
            n,
            d,
            t,
            gd,
            ld,
            gt,
            lt,
        } => (0..n.len())
            .map(|i| {
                let in_tau = InTau::Exponential { g: gt[i], l: lt[i] };
                let mut term = make(i, n, d, t, exponential(gd[i], ld[i]), in_tau);
                if term.in_delta == InDelta::Plain {
                    // exp(-g δ^0) is a constant
                    term.n *= (-gd[i]).exp();
                }
                term
            })
            .collect(),
        ResidualTerm::NonAnalytic { .. } => Vec::new(),
    }
}

impl Terms {
    /// From the groups of a fuel file.
    ///
    /// # Panics
    /// On a density exponent that is no integer from 0 to 32; the fuel reader refuses those.
    pub fn new(groups: &[ResidualTerm]) -> Self {
        let mut list: Vec<Term> = groups.iter().flat_map(terms_of).collect();
        // alike terms together: each kind has a loop of its own
        let kind = |term: &Term| match (term.in_delta, term.in_tau) {
            (InDelta::Plain, InTau::Plain) => 0,
            (InDelta::Unit { .. }, InTau::Plain) => 1,
            _ => 2,
        };
        list.sort_by_key(kind);
        let ends = (
            list.partition_point(|t| kind(t) < 1),
            list.partition_point(|t| kind(t) < 2),
        );
        let mut max_power = 1;
        let mut exponential = 0;
        for term in &list {
            max_power = max_power.max(term.d);
            match term.in_delta {
                InDelta::Unit { l } => {
                    max_power = max_power.max(l);
                    // in pairs
                    exponential = exponential.max((usize::from(l) + 2) & !1);
                }
                InDelta::Exponential { l, .. } => max_power = max_power.max(l),
                InDelta::Plain | InDelta::Bell { .. } => {}
            }
        }
        let usual = &list[..ends.1];
        let (in_tau, weights) = usual.iter().map(|term| (term.t, term.n)).unzip();
        let plain = list[..ends.0].iter().map(|term| {
            let (d, t) = (f64::from(term.d), term.t);
            [1.0, d, t, d * (d - 1.0), d * t, t * (t - 1.0)]
        });
        Self {
            ends,
            in_tau,
            weights,
            plain: plain.collect(),
            list,
            reach: Reach {
                power: usize::from(max_power),
                exponential,
            },
            non_analytic: groups.iter().flat_map(NonAnalytic::of).collect(),
        }
    }

    /// Whether there is no term at all.
    pub fn is_empty(&self) -> bool {
        self.list.is_empty()
    }

    /// Powers that these terms need.
    pub fn reach(&self) -> Reach {
        self.reach
    }

    /// Works out the part in tau.
    pub fn isotherm(&self, tau: f64) -> Isotherm {
        let mut iso = Isotherm::default();
        self.isotherm_into(tau, &mut iso);
        iso
    }

    /// As [`Terms::isotherm`], into storage that exists already.
    pub fn isotherm_into(&self, tau: f64, iso: &mut Isotherm) {
        iso.tau = tau;
        let ln_tau = tau.ln();
        let special = &self.list[self.ends.1..];
        iso.factors.resize(self.list.len(), 0.0);
        iso.slopes.resize(special.len(), [0.0; 2]);
        for (factor, t) in iso.factors.iter_mut().zip(&self.in_tau) {
            *factor = t * ln_tau;
        }
        let parts = iso.factors[self.ends.1..].iter_mut().zip(&mut iso.slopes);
        for (term, (factor, slope)) in special.iter().zip(parts) {
            (*factor, *slope) = match term.in_tau {
                InTau::Plain => (term.t * ln_tau, [term.t, 0.0]),
                InTau::Bell { beta, gamma } => {
                    let off = tau - gamma;
                    (
                        term.t * ln_tau - beta * off * off,
                        [
                            term.t - 2.0 * beta * tau * off,
                            -2.0 * beta * tau * (2.0 * tau - gamma),
                        ],
                    )
                }
                InTau::Exponential { g, l } => {
                    let u = g * (l * ln_tau).exp();
                    (term.t * ln_tau - u, [term.t - l * u, -l * l * u])
                }
            };
        }
        exponentials(&mut iso.factors);
        let (usual, special_factors) = iso.factors.split_at_mut(self.ends.1);
        for (factor, n) in usual.iter_mut().zip(&self.weights) {
            *factor *= n;
        }
        for (factor, term) in special_factors.iter_mut().zip(special) {
            *factor *= term.n;
        }
    }

    /// All derivatives at a density on an isotherm.
    pub fn residual(&self, p: &Powers, iso: &Isotherm) -> Alpha {
        let mut sum = [0.0; 6];
        let mut add = |y: f64, of_one: &[f64; 6]| {
            for (sum, one) in sum.iter_mut().zip(of_one) {
                *sum += y * one;
            }
        };
        let (plain, usual) = self.ends;
        let of = |from: usize, to: usize| self.list[from..to].iter().zip(&iso.factors[from..to]);
        for ((term, f), of_one) in of(0, plain).zip(&self.plain) {
            add(f * p.power[usize::from(term.d)], of_one);
        }
        for (term, f) in of(plain, usual) {
            let (v, ad, dad) = term.in_delta(p, 0.0);
            let t = term.t;
            let of_one = [1.0, ad, t, ad * ad - ad + dad, ad * t, t * (t - 1.0)];
            add(f * v, &of_one);
        }
        self.special(p, |i, v, ad, dad| {
            let [at, dat] = iso.slopes[i];
            let (dd, tt) = (ad * ad - ad + dad, at * at - at + dat);
            add(iso.factors[usual + i] * v, &[1.0, ad, at, dd, ad * at, tt]);
        });
        let [a, d, t, dd, dt, tt] = sum;
        let mut alpha = Alpha {
            a,
            d,
            t,
            dd,
            dt,
            tt,
        };
        for term in &self.non_analytic {
            alpha.add(1.0, &term.at(p.delta, iso.tau));
        }
        alpha
    }

    /// Value, `δ α_δ` and `δ² α_δδ` only: what a density iteration needs.
    pub fn residual_in_delta(&self, p: &Powers, iso: &Isotherm) -> [f64; 3] {
        let mut sum = [0.0; 3];
        let mut add = |y: f64, ad: f64, dad: f64| {
            sum[0] += y;
            sum[1] += y * ad;
            sum[2] += y * (ad * ad - ad + dad);
        };
        let usual = self.ends.1;
        for (term, f) in self.list[..usual].iter().zip(&iso.factors) {
            let (v, ad, dad) = term.in_delta(p, 0.0);
            add(f * v, ad, dad);
        }
        self.special(p, |i, v, ad, dad| add(iso.factors[usual + i] * v, ad, dad));
        for term in &self.non_analytic {
            let near = term.at(p.delta, iso.tau);
            sum[0] += near.a;
            sum[1] += near.d;
            sum[2] += near.dd;
        }
        sum
    }

    /// Goes over the special terms: place among them, and what [`Term::in_delta`] gives.
    #[inline]
    fn special(&self, p: &Powers, mut each: impl FnMut(usize, f64, f64, f64)) {
        const TOGETHER: usize = 16;
        for (k, terms) in self.list[self.ends.1..].chunks(TOGETHER).enumerate() {
            let mut factors = [0.0; TOGETHER];
            for (factor, term) in factors.iter_mut().zip(terms) {
                *factor = term.exponent(p);
            }
            exponentials(&mut factors[..(terms.len() + 1) & !1]);
            for (i, (term, factor)) in terms.iter().zip(factors).enumerate() {
                let (v, ad, dad) = term.in_delta(p, factor);
                each(k * TOGETHER + i, v, ad, dad);
            }
        }
    }

    /// The same sum as a generic function of dual numbers.
    pub fn residual_generic<D: DualNum<f64> + Copy>(&self, delta: D, tau: D) -> D {
        let ln_tau = tau.ln();
        let mut sum = D::zero();
        for term in &self.list {
            let in_delta = match term.in_delta {
                InDelta::Plain => delta.powi(i32::from(term.d)),
                InDelta::Unit { l } => {
                    delta.powi(i32::from(term.d)) * (-delta.powi(i32::from(l))).exp()
                }
                InDelta::Exponential { g, l } => {
                    delta.powi(i32::from(term.d)) * (delta.powi(i32::from(l)) * (-g)).exp()
                }
                InDelta::Bell { eta, epsilon, b } => {
                    let off = delta - epsilon;
                    delta.powi(i32::from(term.d)) * (off * off * (-eta) - delta * b).exp()
                }
            };
            let in_tau = match term.in_tau {
                InTau::Plain => (ln_tau * term.t).exp(),
                InTau::Bell { beta, gamma } => {
                    let off = tau - gamma;
                    (ln_tau * term.t - off * off * beta).exp()
                }
                InTau::Exponential { g, l } => (ln_tau * term.t - (ln_tau * l).exp() * g).exp(),
            };
            sum += in_delta * in_tau * term.n;
        }
        for term in &self.non_analytic {
            sum += term.generic(delta, tau);
        }
        sum
    }
}

/// One fluid, ready to evaluate.
#[derive(Debug, Clone)]
pub struct Fluid {
    /// Residual terms.
    pub residual: Terms,
    /// Ideal-gas part.
    pub ideal: IdealPart,
    /// The equation with its reducing values and limits.
    pub equation: Equation,
    /// Molar mass, kg/mol.
    pub molar_mass_kg_mol: f64,
    /// Fuel name.
    pub name: String,
}

impl Fluid {
    /// From a fuel's equation.
    pub fn new(name: &str, molar_mass_kg_mol: f64, equation: &Equation) -> Self {
        Self {
            residual: Terms::new(&equation.residual),
            ideal: IdealPart::new(&equation.ideal),
            equation: equation.clone(),
            molar_mass_kg_mol,
            name: name.to_owned(),
        }
    }

    /// Residual part at reduced density and reciprocal temperature of this fluid alone.
    pub fn residual_at(&self, delta: f64, tau: f64) -> Alpha {
        let powers = Powers::at(delta, self.residual.reach());
        self.residual
            .residual(&powers, &self.residual.isotherm(tau))
    }
}
