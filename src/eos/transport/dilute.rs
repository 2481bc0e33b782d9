//! Viscosity of the dilute gas, and its first change with density.

use super::coefficients::Lists;
use crate::eos::EosError;

/// Avogadro constant used by the correlations, 1/mol (CODATA 2010, as their authors had it).
pub(super) const AVOGADRO_PER_MOL: f64 = 6.022_141_29e23;

/// Viscosity in the limit of zero density.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Dilute {
    /// `η0 = C √(M T) / (σ² exp Σ a_i (ln T*)^t_i)`, `T* = T/ε`; M in g/mol, σ in nm.
    CollisionIntegral {
        factor: f64,
        molar_mass_g_mol: f64,
        sigma_nm: f64,
        epsilon_k: f64,
        terms: Vec<[f64; 2]>,
    },
    /// `η0 = Σ a_i (T/T_r)^t_i`
    Powers {
        t_reducing_k: f64,
        terms: Vec<[f64; 2]>,
    },
    /// `η0 = C √T* Σ a_i T*^((i-1)/3 - 1)`, i from 1 (`friend1991`).
    CubeRootSeries {
        factor: f64,
        epsilon_k: f64,
        a: Vec<f64>,
    },
    /// Lennard-Jones gas with the collision integral of `neufeld1972`.
    KineticTheory {
        molar_mass_g_mol: f64,
        sigma_nm: f64,
        epsilon_k: f64,
    },
}

/// Collision integral Ω(2,2)* of the Lennard-Jones potential without its small sine term
/// (`neufeld1972`).
pub(super) fn lennard_jones_omega(t_star: f64) -> f64 {
    1.16145 * t_star.powf(-0.14874)
        + 0.52487 * (-0.77320 * t_star).exp()
        + 2.16178 * (-2.43787 * t_star).exp()
}

/// `x^e`; most exponents of the correlations are whole numbers.
#[allow(clippy::cast_possible_truncation)] // a small whole number
fn power(x: f64, e: f64) -> f64 {
    if e.fract() == 0.0 && e.abs() < 32.0 {
        x.powi(e as i32)
    } else {
        x.powf(e)
    }
}

impl Dilute {
    /// From `dilute_*` lists; which form it is shows from the names present.
    pub(super) fn read(lists: &Lists<'_>, molar_mass_kg_mol: f64) -> Result<Self, EosError> {
        if lists.optional("dilute_series").is_some() {
            return Ok(Self::CubeRootSeries {
                factor: lists.one("dilute_factor")?,
                epsilon_k: lists.one("epsilon_over_k_k")?,
                a: lists.list("dilute_series")?.to_vec(),
            });
        }
        if lists.optional("dilute_t_reducing_k").is_some() {
            return Ok(Self::Powers {
                t_reducing_k: lists.one("dilute_t_reducing_k")?,
                terms: lists.rows(["dilute_a", "dilute_t"])?,
            });
        }
        let sigma_nm = lists.one("sigma_m")? * 1e9;
        let epsilon_k = lists.one("epsilon_over_k_k")?;
        if lists.optional("dilute_a").is_some() {
            return Ok(Self::CollisionIntegral {
                factor: lists.one("dilute_factor")?,
                molar_mass_g_mol: lists.one("dilute_molar_mass_kg_mol")? * 1e3,
                sigma_nm,
                epsilon_k,
                terms: lists.rows(["dilute_a", "dilute_t"])?,
            });
        }
        Ok(Self::KineticTheory {
            molar_mass_g_mol: molar_mass_kg_mol * 1e3,
            sigma_nm,
            epsilon_k,
        })
    }

    /// Viscosity, Pa s.
    pub(super) fn at(&self, t_k: f64) -> f64 {
        match self {
            Self::CollisionIntegral {
                factor,
                molar_mass_g_mol,
                sigma_nm,
                epsilon_k,
                terms,
            } => {
                let ln_t_star = (t_k / epsilon_k).ln();
                let ln_omega: f64 = terms.iter().map(|[a, t]| a * power(ln_t_star, *t)).sum();
                factor * (molar_mass_g_mol * t_k).sqrt() / (sigma_nm * sigma_nm * ln_omega.exp())
            }
            Self::Powers {
                t_reducing_k,
                terms,
            } => {
                let t_r = t_k / t_reducing_k;
                terms.iter().map(|[a, t]| a * t_r.powf(*t)).sum()
            }
            Self::CubeRootSeries {
                factor,
                epsilon_k,
                a,
            } => {
                let t_star = t_k / epsilon_k;
                let step = t_star.cbrt();
                let mut power = 1.0 / t_star;
                let mut sum = 0.0;
                for a in a {
                    sum += a * power;
                    power *= step;
                }
                factor * t_star.sqrt() * sum
            }
            Self::KineticTheory {
                molar_mass_g_mol,
                sigma_nm,
                epsilon_k,
            } => {
                let omega = lennard_jones_omega(t_k / epsilon_k);
                26.692e-9 * (molar_mass_g_mol * t_k).sqrt() / (sigma_nm * sigma_nm * omega)
            }
        }
    }
}

/// Second viscosity virial coefficient, `B = N_A σ³ Σ b_i T*^t_i` (`rainwater1987`).
#[derive(Debug, Clone, PartialEq)]
pub(super) struct InitialDensity {
    sigma_m: f64,
    epsilon_k: f64,
    terms: Vec<[f64; 2]>,
}

impl InitialDensity {
    /// From `initial_b` and `initial_t`; `None` where a model has no such term.
    pub(super) fn read(lists: &Lists<'_>) -> Result<Option<Self>, EosError> {
        if lists.optional("initial_b").is_none() {
            return Ok(None);
        }
        Ok(Some(Self {
            sigma_m: lists.one("sigma_m")?,
            epsilon_k: lists.one("epsilon_over_k_k")?,
            terms: lists.rows(["initial_b", "initial_t"])?,
        }))
    }

    /// B in m³/mol.
    pub(super) fn at(&self, t_k: f64) -> f64 {
        let t_star = t_k / self.epsilon_k;
        let b: f64 = self.terms.iter().map(|[b, t]| b * power(t_star, *t)).sum();
        AVOGADRO_PER_MOL * self.sigma_m.powi(3) * b
    }
}
