//! What a dense fluid adds to the viscosity of its dilute gas: explicit forms in density and
//! temperature.

use super::coefficients::Lists;
use crate::eos::EosError;

/// Forms of the dense contribution, Pa s.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Dense {
    /// Modified Batschinski-Hildebrand: `Σ a δ^d τ^t exp(γ δ^l) + f δ (1/(δ0-δ) - 1/δ0)`,
    /// `δ0 = Σ g τ^h`; the free-volume part is left out where there is no `f`.
    BatschinskiHildebrand {
        t_reducing_k: f64,
        rho_reducing_mol_m3: f64,
        terms: Vec<[f64; 5]>,
        free_volume: Option<FreeVolume>,
    },
    /// `c0 ρr² exp(c1 Tr + c2/Tr + c3 ρr²/(c4 + Tr) + c5 ρr⁶)` (`muzny2013`).
    Hydrogen {
        t_reducing_k: f64,
        rho_reducing_kg_m3: f64,
        c: [f64; 6],
    },
    /// `ρr^⅔ √Tr (c0 ρr + c1 ρr² + c2 ρr³ + c3 ρr/(c4 + c5 Tr + c6 ρr + ρr² + c7 ρr Tr))`
    /// (`michailidou2014`).
    Heptane {
        t_reducing_k: f64,
        rho_reducing_kg_m3: f64,
        c: [f64; 8],
    },
    /// `ρr^⅔ √Tr (c0/Tr + c1/(c2 + Tr + c3 ρr²) + c4 (1 + ρr)/(c5 + c6 Tr + c7 ρr + ρr² + c8 ρr Tr))`
    /// (`michailidou2013`).
    Hexane {
        t_reducing_k: f64,
        rho_reducing_kg_m3: f64,
        c: [f64; 9],
    },
    /// `C Σ g δ^r τ^s / (1 + Σ' g δ^r τ^s)` (`friend1991`).
    Ratio {
        t_reducing_k: f64,
        rho_reducing_mol_m3: f64,
        factor: f64,
        numerator: Vec<[f64; 3]>,
        denominator: Vec<[f64; 3]>,
    },
}

/// The part of [`Dense::BatschinskiHildebrand`] that grows without bound towards close packing.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct FreeVolume {
    f: f64,
    close_packing: Vec<[f64; 2]>,
}

impl Dense {
    /// From the lists of the model named.
    pub(super) fn read(lists: &Lists<'_>) -> Result<Self, EosError> {
        let t_reducing_k = lists.one("t_reducing_k")?;
        match lists.model() {
            "batschinski-hildebrand" => {
                let free_volume = if lists.optional("free_volume_f").is_some() {
                    Some(FreeVolume {
                        f: lists.one("free_volume_f")?,
                        close_packing: lists.rows(["close_packing_g", "close_packing_h"])?,
                    })
                } else {
                    None
                };
                Ok(Self::BatschinskiHildebrand {
                    t_reducing_k,
                    rho_reducing_mol_m3: lists.one("rho_reducing_mol_m3")?,
                    terms: lists.rows([
                        "dense_a",
                        "dense_d",
                        "dense_t",
                        "dense_gamma",
                        "dense_l",
                    ])?,
                    free_volume,
                })
            }
            "muzny" => Ok(Self::Hydrogen {
                t_reducing_k,
                rho_reducing_kg_m3: lists.one("rho_reducing_kg_m3")?,
                c: lists.array("dense_c")?,
            }),
            "michailidou" => Ok(Self::Heptane {
                t_reducing_k,
                rho_reducing_kg_m3: lists.one("rho_reducing_kg_m3")?,
                c: lists.array("dense_c")?,
            }),
            "michailidou-hexane" => Ok(Self::Hexane {
                t_reducing_k,
                rho_reducing_kg_m3: lists.one("rho_reducing_kg_m3")?,
                c: lists.array("dense_c")?,
            }),
            "friend" => Ok(Self::Ratio {
                t_reducing_k,
                rho_reducing_mol_m3: lists.one("rho_reducing_mol_m3")?,
                factor: lists.one("dense_factor")?,
                numerator: lists.rows(["numerator_g", "numerator_r", "numerator_s"])?,
                denominator: lists.rows(["denominator_g", "denominator_r", "denominator_s"])?,
            }),
            other => Err(lists.refuse(format!("there is no viscosity model `{other}`"))),
        }
    }

    /// Contribution, Pa s; not finite or negative past close packing.
    pub(super) fn at(&self, t_k: f64, rho_mol_m3: f64, molar_mass_kg_mol: f64) -> f64 {
        match self {
            Self::BatschinskiHildebrand {
                t_reducing_k,
                rho_reducing_mol_m3,
                terms,
                free_volume,
            } => {
                let delta = rho_mol_m3 / rho_reducing_mol_m3;
                let tau = t_reducing_k / t_k;
                let (ln_delta, ln_tau) = (delta.ln(), tau.ln());
                let sum: f64 = terms
                    .iter()
                    .map(|[a, d, t, gamma, l]| {
                        let damped = if *gamma == 0.0 {
                            0.0
                        } else {
                            gamma * times(*l, ln_delta).exp()
                        };
                        a * (times(*d, ln_delta) + times(*t, ln_tau) + damped).exp()
                    })
                    .sum();
                sum + free_volume.as_ref().map_or(0.0, |v| v.at(delta, tau))
            }
            Self::Hydrogen {
                t_reducing_k,
                rho_reducing_kg_m3,
                c,
            } => {
                let t_r = t_k / t_reducing_k;
                let rho_r2 = (rho_mol_m3 * molar_mass_kg_mol / rho_reducing_kg_m3).powi(2);
                c[0] * rho_r2
                    * (c[1] * t_r
                        + c[2] / t_r
                        + c[3] * rho_r2 / (c[4] + t_r)
                        + c[5] * rho_r2.powi(3))
                    .exp()
            }
            Self::Heptane {
                t_reducing_k,
                rho_reducing_kg_m3,
                c,
            } => {
                let t_r = t_k / t_reducing_k;
                let rho_r = rho_mol_m3 * molar_mass_kg_mol / rho_reducing_kg_m3;
                let bottom = c[4] + c[5] * t_r + c[6] * rho_r + rho_r * rho_r + c[7] * rho_r * t_r;
                rho_r.cbrt().powi(2)
                    * t_r.sqrt()
                    * (rho_r * (c[0] + rho_r * (c[1] + rho_r * c[2])) + c[3] * rho_r / bottom)
            }
            Self::Hexane {
                t_reducing_k,
                rho_reducing_kg_m3,
                c,
            } => {
                let t_r = t_k / t_reducing_k;
                let rho_r = rho_mol_m3 * molar_mass_kg_mol / rho_reducing_kg_m3;
                let bottom = c[5] + c[6] * t_r + rho_r * (c[7] + rho_r + c[8] * t_r);
                rho_r.cbrt().powi(2)
                    * t_r.sqrt()
                    * (c[0] / t_r
                        + c[1] / (c[2] + t_r + c[3] * rho_r * rho_r)
                        + c[4] * (1.0 + rho_r) / bottom)
            }
            Self::Ratio {
                t_reducing_k,
                rho_reducing_mol_m3,
                factor,
                numerator,
                denominator,
            } => {
                let delta = rho_mol_m3 / rho_reducing_mol_m3;
                let tau = t_reducing_k / t_k;
                let sum = |terms: &[[f64; 3]]| -> f64 {
                    terms
                        .iter()
                        .map(|[g, r, s]| g * delta.powf(*r) * tau.powf(*s))
                        .sum()
                };
                factor * sum(numerator) / (1.0 + sum(denominator))
            }
        }
    }
}

/// `a b`, nothing where `a` is nothing: a power without exponent is one, also of no density.
fn times(a: f64, b: f64) -> f64 {
    if a == 0.0 { 0.0 } else { a * b }
}

impl FreeVolume {
    fn at(&self, delta: f64, tau: f64) -> f64 {
        let ln_tau = tau.ln();
        let delta0: f64 = self
            .close_packing
            .iter()
            .map(|[g, h]| g * times(*h, ln_tau).exp())
            .sum();
        if delta >= delta0 {
            return f64::INFINITY;
        }
        self.f * delta * (1.0 / (delta0 - delta) - 1.0 / delta0)
    }
}
