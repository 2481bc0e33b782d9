//! The multi-fluid mixture model: reducing functions, departure functions, fugacities.
//!
//! `α^r(δ,τ,x) = Σ x_i α^r_i(δ,τ) + Σ_{i<j} x_i x_j F_ij α^r_ij(δ,τ)` with `δ = ρ/ρ_r(x)`,
//! `τ = T_r(x)/T` (`kunz2012`). A pure fluid is the case of one component and keeps the gas constant
//! of its own paper; a blend uses the CODATA value, as the reference tables do.

use super::alpha::Alpha;
use super::helmholtz::{Fluid, Isotherm, Terms};
use super::powers::{Powers, Reach};
use super::{EosError, MAX_COMPONENTS, MoleFractions};
use crate::fuel::{Composition, Library};
use crate::quantity::GAS_CONSTANT_J_MOL_K;
use crate::quantity::show::percent;
use num_dual::DualNum;
use std::sync::Arc;

const MAX_PAIRS: usize = MAX_COMPONENTS * (MAX_COMPONENTS - 1) / 2;

/// A binary pair of the model, by component index, `i < j`.
#[derive(Debug, Clone)]
struct PairTerms {
    i: usize,
    j: usize,
    /// `β²` of temperature and volume.
    beta2: [f64; 2],
    /// `2 β γ √(Tc_i Tc_j)` and `2 β γ (v_i^⅓ + v_j^⅓)³ / 8`.
    cross: [f64; 2],
    f: f64,
    /// Place in the model's departure functions; `None` where it adds nothing.
    departure: Option<usize>,
}

/// The components and pairs of a blend; the composition comes with each call.
#[derive(Debug, Clone)]
pub struct Model {
    fluids: Vec<Arc<Fluid>>,
    pairs: Vec<PairTerms>,
    /// Each once: many pairs of alkanes share one.
    departures: Vec<Terms>,
    /// Powers of density that all of them need.
    reach: Reach,
    gas_constant_j_mol_k: f64,
    /// What had to be estimated.
    assumptions: Vec<String>,
    label: String,
}

/// A composition with everything that depends on it alone.
#[derive(Debug, Clone, Copy)]
pub struct Mixed {
    /// Mole fractions.
    pub x: MoleFractions,
    /// Reducing temperature, K.
    pub t_r_k: f64,
    /// Reducing density, mol/m³.
    pub rho_r_mol_m3: f64,
    /// Mean molar mass, kg/mol.
    pub molar_mass_kg_mol: f64,
    /// `n (∂T_r/∂n_i) / T_r`
    t_r_slope: [f64; MAX_COMPONENTS],
    /// `n (∂ρ_r/∂n_i) / ρ_r`
    rho_r_slope: [f64; MAX_COMPONENTS],
}

/// A phase brought towards a pressure by [`Model::ln_fugacity_towards`].
#[derive(Debug, Clone, Copy)]
pub struct Towards {
    /// Density brought along, mol/m³.
    pub rho_mol_m3: f64,
    /// Relative change of density that was made.
    pub step: f64,
    /// Residual part before that change.
    pub residual: Alpha,
}

/// One temperature of a mixed composition.
#[derive(Debug, Clone, Default)]
pub struct MixIsotherm {
    /// Temperature, K.
    pub t_k: f64,
    tau: f64,
    fluids: Vec<Isotherm>,
    departures: Vec<Isotherm>,
}

/// `(x_i x_j (x_i + x_j)) / (β² x_i + x_j)` and its derivatives with respect to `x_i`, `x_j`.
fn pair_weight<D: DualNum<f64> + Copy>(xi: D, xj: D, beta2: f64) -> (D, D, D) {
    let den = xi * beta2 + xj;
    if den.re() <= 0.0 {
        return (D::zero(), D::zero(), D::zero());
    }
    let g = xi * xj * (xi + xj) / den;
    (
        g,
        (xi * xj * 2.0 + xj * xj - g * beta2) / den,
        (xi * xj * 2.0 + xi * xi - g) / den,
    )
}

impl Model {
    /// Builds the model of a composition's components.
    ///
    /// # Errors
    /// A component without an equation of state, or a pair without a model and without a rule.
    pub fn new(library: &Library, composition: &Composition) -> Result<Self, EosError> {
        let mut fluids = Vec::new();
        for part in composition.parts() {
            let equation = part
                .fuel
                .equation
                .as_ref()
                .ok_or_else(|| EosError::NotAvailable {
                    what: "equation of state",
                    fuel: part.fuel.name.clone(),
                    why: "the library carries liquid correlations only".into(),
                })?;
            fluids.push(Arc::new(Fluid::new(
                &part.fuel.name,
                part.fuel.molar_mass_kg_mol,
                equation,
            )));
        }
        let (mut pairs, mut departures) = (Vec::new(), Vec::<Terms>::new());
        let mut assumptions = Vec::new();
        for i in 0..fluids.len() {
            for j in i + 1..fluids.len() {
                let (a, b) = (&fluids[i].name, &fluids[j].name);
                let pair = library.pair(a, b).ok_or_else(|| EosError::NotAvailable {
                    what: "mixture model",
                    fuel: format!("{a} with {b}"),
                    why: "no binary parameters are published and no rule of estimation applies"
                        .into(),
                })?;
                if pair.estimated {
                    assumptions.push(format!(
                        "{a} with {b}: no mixture model is published; its parameters are estimated [{}]{}",
                        pair.source,
                        pair.band.map_or(
                            ", and how far off they may be is not known".to_owned(),
                            |band| format!(", its bubble pressure may be off by {}", percent(band))
                        )
                    ));
                } else if let Some(band) = pair.band {
                    assumptions.push(format!(
                        "{a} with {b}: by the published mixture model [{}], whose bubble pressure may be off by {}",
                        pair.source,
                        percent(band)
                    ));
                }
                let terms = Terms::new(&pair.departure);
                let departure = (pair.f != 0.0 && !terms.is_empty()).then(|| {
                    let same = departures.iter().position(|d| *d == terms);
                    same.unwrap_or_else(|| {
                        departures.push(terms);
                        departures.len() - 1
                    })
                });
                let (a, b) = (&fluids[i].equation, &fluids[j].equation);
                let [v_a, v_b] = [a, b].map(|e| e.rho_reducing_mol_m3.recip().cbrt());
                let t = (a.t_reducing_k * b.t_reducing_k).sqrt();
                pairs.push(PairTerms {
                    i,
                    j,
                    beta2: [pair.beta_t, pair.beta_v].map(|b| b * b),
                    cross: [
                        2.0 * pair.beta_t * pair.gamma_t * t,
                        2.0 * pair.beta_v * pair.gamma_v * (v_a + v_b).powi(3) / 8.0,
                    ],
                    f: pair.f,
                    departure,
                });
            }
        }
        let terms = fluids.iter().map(|f| &f.residual).chain(&departures);
        let reach = terms.fold(Reach::default(), |r, t| r.with(t.reach()));
        let gas_constant_j_mol_k = if fluids.len() == 1 {
            fluids[0].equation.gas_constant_j_mol_k
        } else {
            GAS_CONSTANT_J_MOL_K
        };
        Ok(Self {
            fluids,
            pairs,
            departures,
            reach,
            gas_constant_j_mol_k,
            assumptions,
            label: composition.label().to_owned(),
        })
    }

    /// The components.
    pub fn fluids(&self) -> &[Arc<Fluid>] {
        &self.fluids
    }
    /// Gas constant of the model, J/(mol K).
    pub fn r(&self) -> f64 {
        self.gas_constant_j_mol_k
    }
    /// Sentences about estimated pairs.
    pub fn assumptions(&self) -> &[String] {
        &self.assumptions
    }
    /// Name of the fuel or blend.
    pub fn label(&self) -> &str {
        &self.label
    }
    /// Whether this is a single fluid.
    pub fn is_pure(&self) -> bool {
        self.fluids.len() == 1
    }

    /// Reducing temperature and density as generic functions of the mole fractions.
    pub fn reducing_generic<D: DualNum<f64> + Copy>(&self, x: &[D]) -> (D, D) {
        let mut t_r = D::zero();
        let mut v_r = D::zero();
        for (fluid, &x) in self.fluids.iter().zip(x) {
            t_r += x * x * fluid.equation.t_reducing_k;
            v_r += x * x / fluid.equation.rho_reducing_mol_m3;
        }
        for pair in &self.pairs {
            let [t_ij, v_ij] = pair.cross;
            t_r += pair_weight(x[pair.i], x[pair.j], pair.beta2[0]).0 * t_ij;
            v_r += pair_weight(x[pair.i], x[pair.j], pair.beta2[1]).0 * v_ij;
        }
        (t_r, v_r.recip())
    }

    /// Everything that depends on the composition alone.
    pub fn mixed(&self, x: &[f64]) -> Mixed {
        let n = self.fluids.len();
        let (mut t_r, mut v_r, mut molar_mass) = (0.0, 0.0, 0.0);
        let mut dt = [0.0; MAX_COMPONENTS];
        let mut dv = [0.0; MAX_COMPONENTS];
        for (i, fluid) in self.fluids.iter().enumerate() {
            let (t_c, v_c) = (
                fluid.equation.t_reducing_k,
                fluid.equation.rho_reducing_mol_m3.recip(),
            );
            t_r += x[i] * x[i] * t_c;
            v_r += x[i] * x[i] * v_c;
            dt[i] += 2.0 * x[i] * t_c;
            dv[i] += 2.0 * x[i] * v_c;
            molar_mass += x[i] * fluid.molar_mass_kg_mol;
        }
        for pair in &self.pairs {
            let [t_ij, v_ij] = pair.cross;
            let (i, j) = (pair.i, pair.j);
            let (g, gi, gj) = pair_weight(x[i], x[j], pair.beta2[0]);
            t_r += t_ij * g;
            dt[i] += t_ij * gi;
            dt[j] += t_ij * gj;
            let (g, gi, gj) = pair_weight(x[i], x[j], pair.beta2[1]);
            v_r += v_ij * g;
            dv[i] += v_ij * gi;
            dv[j] += v_ij * gj;
        }
        let mean_dt: f64 = (0..n).map(|k| x[k] * dt[k]).sum();
        let mean_dv: f64 = (0..n).map(|k| x[k] * dv[k]).sum();
        let mut t_r_slope = [0.0; MAX_COMPONENTS];
        let mut rho_r_slope = [0.0; MAX_COMPONENTS];
        for i in 0..n {
            t_r_slope[i] = (dt[i] - mean_dt) / t_r;
            // ρ_r = 1/v_r
            rho_r_slope[i] = -(dv[i] - mean_dv) / v_r;
        }
        Mixed {
            x: MoleFractions::new(x),
            t_r_k: t_r,
            rho_r_mol_m3: v_r.recip(),
            molar_mass_kg_mol: molar_mass,
            t_r_slope,
            rho_r_slope,
        }
    }

    /// Works out the part in tau at a temperature.
    pub fn isotherm(&self, mixed: &Mixed, t_k: f64) -> MixIsotherm {
        let mut iso = MixIsotherm::default();
        self.isotherm_into(mixed, t_k, &mut iso);
        iso
    }

    /// As [`Model::isotherm`], into storage that exists already.
    pub fn isotherm_into(&self, mixed: &Mixed, t_k: f64, iso: &mut MixIsotherm) {
        iso.t_k = t_k;
        iso.tau = mixed.t_r_k / t_k;
        iso.fluids.resize_with(self.fluids.len(), Isotherm::default);
        iso.departures
            .resize_with(self.departures.len(), Isotherm::default);
        for (fluid, part) in self.fluids.iter().zip(&mut iso.fluids) {
            fluid.residual.isotherm_into(iso.tau, part);
        }
        for (terms, part) in self.departures.iter().zip(&mut iso.departures) {
            terms.isotherm_into(iso.tau, part);
        }
    }

    /// Residual part with all derivatives at a molar density.
    pub fn residual(&self, mixed: &Mixed, iso: &MixIsotherm, rho_mol_m3: f64) -> Alpha {
        let powers = Powers::at(rho_mol_m3 / mixed.rho_r_mol_m3, self.reach);
        let mut out = Alpha::default();
        self.each_present(mixed, iso, |w, terms, part| {
            out.add(w, &terms.residual(&powers, part));
        });
        out
    }

    /// Value, `δ α_δ`, `δ² α_δδ` of the residual part.
    pub fn residual_in_delta(&self, mixed: &Mixed, iso: &MixIsotherm, rho_mol_m3: f64) -> [f64; 3] {
        let powers = Powers::at(rho_mol_m3 / mixed.rho_r_mol_m3, self.reach);
        let mut out = [0.0; 3];
        self.each_present(mixed, iso, |w, terms, part| {
            let a = terms.residual_in_delta(&powers, part);
            (0..3).for_each(|q| out[q] += w * a[q]);
        });
        out
    }

    /// Goes over the fluids and departure functions with their weights, where these are not zero.
    #[inline]
    fn each_present(
        &self,
        mixed: &Mixed,
        iso: &MixIsotherm,
        mut each: impl FnMut(f64, &Terms, &Isotherm),
    ) {
        for ((fluid, part), &x) in self.fluids.iter().zip(&iso.fluids).zip(mixed.x.iter()) {
            if x > 0.0 {
                each(x, &fluid.residual, part);
            }
        }
        let mut weights = [0.0; MAX_PAIRS];
        for pair in &self.pairs {
            if let Some(k) = pair.departure {
                weights[k] += mixed.x[pair.i] * mixed.x[pair.j] * pair.f;
            }
        }
        for ((terms, part), w) in self.departures.iter().zip(&iso.departures).zip(weights) {
            if w != 0.0 {
                each(w, terms, part);
            }
        }
    }

    /// Ideal-gas part: `τ` terms of all components at their own reduced temperature, `Σ x ln x` and
    /// `ln δ` left out; derivatives already in terms of `T` (`t = -T ∂α/∂T`).
    pub fn ideal(&self, mixed: &Mixed, t_k: f64) -> Alpha {
        let mut out = Alpha::default();
        for (k, fluid) in self.fluids.iter().enumerate() {
            if mixed.x[k] > 0.0 {
                let w =
                    mixed.x[k] * fluid.equation.gas_constant_j_mol_k / self.gas_constant_j_mol_k;
                out.add(w, &fluid.ideal.at(fluid.equation.t_reducing_k / t_k));
            }
        }
        out
    }

    /// The part of each component in [`Model::ideal`], for one mole of it.
    pub fn ideal_parts(&self, t_k: f64) -> [Alpha; MAX_COMPONENTS] {
        let mut parts = [Alpha::default(); MAX_COMPONENTS];
        for (part, fluid) in parts.iter_mut().zip(&self.fluids) {
            let w = fluid.equation.gas_constant_j_mol_k / self.gas_constant_j_mol_k;
            part.add(w, &fluid.ideal.at(fluid.equation.t_reducing_k / t_k));
        }
        parts
    }

    /// `Σ x_i (ln x_i + ln(ρ/ρ_reducing,i))`: the rest of the ideal-gas part.
    pub fn ideal_logarithms(&self, mixed: &Mixed, rho_mol_m3: f64) -> f64 {
        self.fluids
            .iter()
            .enumerate()
            .filter(|(k, _)| mixed.x[*k] > 0.0)
            .map(|(k, f)| {
                mixed.x[k] * (mixed.x[k] * rho_mol_m3 / f.equation.rho_reducing_mol_m3).ln()
            })
            .sum()
    }

    /// Sum of the residual part, and for each component `α_i + Σ_k x_k F_ik α_ik` with its `δ ∂/∂δ`.
    fn residual_by_component(
        &self,
        mixed: &Mixed,
        iso: &MixIsotherm,
        rho_mol_m3: f64,
    ) -> (Alpha, [[f64; 2]; MAX_COMPONENTS]) {
        let powers = Powers::at(rho_mol_m3 / mixed.rho_r_mol_m3, self.reach);
        let mut sum = Alpha::default();
        let mut by = [[0.0; 2]; MAX_COMPONENTS];
        for (k, fluid) in self.fluids.iter().enumerate() {
            let r = fluid.residual.residual(&powers, &iso.fluids[k]);
            by[k][0] += r.a;
            by[k][1] += r.d;
            sum.add(mixed.x[k], &r);
        }
        for (k, (terms, part)) in self.departures.iter().zip(&iso.departures).enumerate() {
            let r = terms.residual(&powers, part);
            for pair in self.pairs.iter().filter(|p| p.departure == Some(k)) {
                let (xi, xj) = (mixed.x[pair.i], mixed.x[pair.j]);
                for (q, value) in [r.a, r.d].into_iter().enumerate() {
                    by[pair.i][q] += xj * pair.f * value;
                    by[pair.j][q] += xi * pair.f * value;
                }
                sum.add(xi * xj * pair.f, &r);
            }
        }
        (sum, by)
    }

    /// `ln(f_i / (x_i R T))` of every component, present or absent, at the pressure asked for, from
    /// one evaluation at a density close to it: both the fugacities and the density (returned) are
    /// carried to that pressure along their slopes, so the error is quadratic in the step.
    /// `None` where pressure does not rise with density.
    pub fn ln_fugacity_towards(
        &self,
        mixed: &Mixed,
        iso: &MixIsotherm,
        rho_mol_m3: f64,
        p_pa: f64,
        out: &mut [f64],
    ) -> Option<Towards> {
        let (a, by) = self.residual_by_component(mixed, iso, rho_mol_m3);
        let rt = self.r() * iso.t_k;
        let p = rho_mol_m3 * rt * (1.0 + a.d);
        let slope = rt * (1.0 + 2.0 * a.d + a.dd);
        if !(slope > 0.0 && p.is_finite()) {
            return None;
        }
        // relative change of density, at most 30 %
        let step = ((p_pa - p) / (slope * rho_mol_m3)).clamp(-0.3, 0.3);
        let ln_rho = rho_mol_m3.ln();
        let n = self.fluids.len();
        let mean: [f64; 2] = std::array::from_fn(|q| (0..n).map(|k| mixed.x[k] * by[k][q]).sum());
        for i in 0..n {
            let (kd, kt) = (1.0 - mixed.rho_r_slope[i], mixed.t_r_slope[i]);
            // ∂(n α^r)/∂n_i and its δ ∂/∂δ
            let value = a.a + a.d * kd + a.t * kt + by[i][0] - mean[0];
            let slope = a.d + (a.d + a.dd) * kd + a.dt * kt + by[i][1] - mean[1];
            out[i] = value + ln_rho + (slope + 1.0) * step;
        }
        Some(Towards {
            rho_mol_m3: rho_mol_m3 * (1.0 + step),
            step,
            residual: a,
        })
    }

    /// `ρ α^r(ρ_i, T)` as a generic function of temperature and partial molar densities.
    pub fn residual_density_generic<D: DualNum<f64> + Copy>(
        &self,
        t_k: D,
        x: &[D],
        rho_mol_m3: D,
    ) -> D {
        let (t_r, rho_r) = self.reducing_generic(x);
        let (delta, tau) = (rho_mol_m3 / rho_r, t_r / t_k);
        let mut sum = D::zero();
        for (fluid, &x) in self.fluids.iter().zip(x) {
            sum += fluid.residual.residual_generic(delta, tau) * x;
        }
        for pair in &self.pairs {
            if let Some(k) = pair.departure {
                let departure = self.departures[k].residual_generic(delta, tau);
                sum += departure * x[pair.i] * x[pair.j] * pair.f;
            }
        }
        sum * rho_mol_m3
    }

    /// Density above every liquid density used, mol/m³.
    pub fn rho_max_generic<D: DualNum<f64> + Copy>(&self, x: &[D]) -> D {
        let mut v = D::zero();
        for (fluid, &x) in self.fluids.iter().zip(x) {
            v += x / fluid.equation.rho_max_mol_m3;
        }
        v.recip()
    }
}
