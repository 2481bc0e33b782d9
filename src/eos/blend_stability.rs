//! The tangent-plane test of a blend [michelsen1982a]: whether a phase of a composition falls apart at pressure and
//! temperature, and the phase that would form.

use super::MAX_COMPONENTS;
use super::blend_equilibrium::{OnePhase, Vector, present, start_liquid_density, start_pressure};
use super::blend_feed::{Branch, End, Feed, Trial};
use super::density;
use super::mixture::{Model, Towards};
use crate::numerics::fixed_point::{Unknowns, fixed_point};

/// Distance below the tangent plane, `ΔG/RT`, that makes a feed unstable.
const BELOW: f64 = 1e-12;

/// The stable single-phase root of a composition: gas or liquid, whichever has the lower Gibbs energy; `true` for a
/// liquid-like one.
pub(super) fn best_root(model: &Model, phase: &mut OnePhase, p_pa: f64) -> Option<bool> {
    let guess = start_liquid_density(model, &phase.mixed, phase.iso.t_k);
    let liquid = density::liquid(model, &phase.mixed, &phase.iso, p_pa, Some(guess));
    let gas = density::gas(model, &phase.mixed, &phase.iso, p_pa, None);
    let gibbs = |rho: f64| {
        let [a, d, _] = model.residual_in_delta(&phase.mixed, &phase.iso, rho);
        a + d + rho.ln()
    };
    let (rho, is_liquid) = match (liquid, gas) {
        (Some(l), Some(g)) => {
            if gibbs(l) < gibbs(g) {
                (l, true)
            } else {
                (g, false)
            }
        }
        (Some(l), None) => (l, true),
        (None, Some(g)) => (g, false),
        (None, None) => {
            let rho = density::only(model, &phase.mixed, &phase.iso, p_pa, None)?;
            (rho, rho > phase.mixed.rho_r_mol_m3)
        }
    };
    phase.rho = rho;
    Some(is_liquid)
}

impl OnePhase {
    /// As [`OnePhase::ln_f`], on the density branch it is on, or the better one where it is on none.
    pub(super) fn ln_f_either(
        &mut self,
        model: &Model,
        p_pa: f64,
        out: &mut Vector,
    ) -> Option<Towards> {
        if self.rho > 0.0 {
            let next = model.ln_fugacity_towards(&self.mixed, &self.iso, self.rho, p_pa, out);
            if let Some(next) = next.filter(|n| n.step.abs() <= 0.2) {
                self.rho = next.rho_mol_m3;
                return Some(next);
            }
        }
        best_root(model, self, p_pa)?;
        let next = model.ln_fugacity_towards(&self.mixed, &self.iso, self.rho, p_pa, out)?;
        self.rho = next.rho_mol_m3;
        Some(next)
    }

    /// [`OnePhase::ln_f_either`] with the density to the last digit.
    pub(super) fn ln_f_settled(
        &mut self,
        model: &Model,
        p_pa: f64,
        out: &mut Vector,
    ) -> Option<()> {
        for _ in 0..40 {
            if self.ln_f_either(model, p_pa, out)?.step.abs() <= 1e-9 {
                return Some(());
            }
        }
        None
    }
}

impl<'a> Feed<'a> {
    pub(super) fn new(model: &'a Model, z: &'a [f64], p_pa: f64, t_k: f64) -> Option<Self> {
        let mut phase = OnePhase::new(model, z, t_k);
        let is_liquid = best_root(model, &mut phase, p_pa)?;
        Self::of_phase(model, z, p_pa, phase, is_liquid)
    }

    /// Of a phase whose density is known.
    pub(super) fn of_phase(
        model: &'a Model,
        z: &'a [f64],
        p_pa: f64,
        mut phase: OnePhase,
        is_liquid: bool,
    ) -> Option<Self> {
        let (index, n) = present(z);
        let mut d = [0.0; MAX_COMPONENTS];
        phase.ln_f(model, p_pa, is_liquid, &mut d)?;
        (0..n).for_each(|k| d[index[k]] += z[index[k]].ln());
        Some(Self {
            model,
            z,
            index,
            n,
            p_pa,
            phase,
            is_liquid,
            d,
        })
    }

    /// Logarithms of the K values of the feed with a trial.
    pub(super) fn ln_k(&self, trial: &Trial, is_vapour: bool) -> Vector {
        let mut ln_k = [0.0; MAX_COMPONENTS];
        for (k, ln_k) in ln_k.iter_mut().enumerate().take(self.n) {
            let ratio = trial.ln_w[k] - self.z[self.index[k]].ln();
            *ln_k = if is_vapour { ratio } else { -ratio };
        }
        ln_k
    }

    /// Whether a trial has less mass in a volume than the feed: of two phases that one is the vapour.
    pub(super) fn is_heavier_than(&self, trial: &Trial) -> bool {
        let mass = |k: usize| self.model.fluids()[self.index[k]].molar_mass_kg_mol;
        let (mut moles, mut kilograms) = (0.0, 0.0);
        for k in 0..self.n {
            let w = trial.ln_w[k].exp();
            moles += w;
            kilograms += w * mass(k);
        }
        trial.rho * kilograms / moles < self.phase.rho * self.phase.mixed.molar_mass_kg_mol
    }

    /// `ln(z_i) + ln(f_i/z_i)` of the component at a place among those present.
    pub(super) fn potential(&self, k: usize) -> f64 {
        self.d[self.index[k]]
    }

    /// `G/RT` of a mole, but for what depends on temperature alone.
    pub(super) fn gibbs(&self) -> f64 {
        (0..self.n)
            .map(|k| self.z[self.index[k]] * self.potential(k))
            .sum()
    }

    /// Logarithms of the K values by vapour pressures.
    fn ln_k_start(&self, i: usize) -> f64 {
        start_pressure(self.model, i, self.phase.iso.t_k)
            .max(1e-12)
            .ln()
            - self.p_pa.ln()
    }

    /// Trial with a vapour or a liquid by K values from vapour pressures.
    pub(super) fn usual(&self, vapour_trial: bool) -> End {
        let sign = if vapour_trial { 1.0 } else { -1.0 };
        let branch = if vapour_trial {
            Branch::Gas
        } else {
            Branch::Liquid
        };
        self.trial(&self.start(sign), branch)
    }

    /// The feed with its K values from vapour pressures to a power.
    fn start(&self, power: f64) -> Vector {
        let mut u = [0.0; MAX_COMPONENTS];
        for (u, &i) in u.iter_mut().zip(&self.index[..self.n]) {
            *u = self.z[i].ln() + power * self.ln_k_start(i);
        }
        u
    }

    /// The feed with so much of a component added.
    fn richer(&self, which: usize, share: f64) -> Vector {
        let mut u = [0.0; MAX_COMPONENTS];
        for (k, u) in u.iter_mut().enumerate().take(self.n) {
            let own = if k == which { share } else { 0.0 };
            *u = (own + (1.0 - share) * self.z[self.index[k]]).ln();
        }
        u
    }

    /// Trials from all sides: the first that ends well below, or the lowest.
    pub(super) fn thorough(&self) -> Option<Trial> {
        /// Depth at which it needs no other.
        const WELL_BELOW: f64 = 1e-3;
        let powers = [1.0, -1.0, 1.0 / 3.0, -1.0 / 3.0];
        let usual = powers.into_iter().map(|power| self.start(power));
        let rich = (0..self.n).flat_map(|which| [0.98, 0.5].map(|share| self.richer(which, share)));
        let mut lowest: Option<Trial> = None;
        for start in usual.chain(rich) {
            if let End::Below(trial) = self.trial(&start, Branch::Either)
                && self.has_meaning(&trial)
            {
                if trial.depth > WELL_BELOW {
                    return Some(trial);
                }
                if lowest.is_none_or(|l| trial.depth > l.depth) {
                    lowest = Some(trial);
                }
            }
        }
        lowest.or_else(|| super::blend_gibbs::along_the_softest(self))
    }

    /// Whether the density of a trial is that of a gas or a liquid of its composition: inside the dome the equations
    /// have roots without meaning, and a trial that keeps its branch may end on one.
    pub(super) fn has_meaning(&self, trial: &Trial) -> bool {
        /// Closeness of a density that is the same.
        const SAME: f64 = 1e-3;
        let n = self.n;
        let total: f64 = trial.ln_w[..n].iter().map(|w| w.exp()).sum();
        let mut w = [0.0; MAX_COMPONENTS];
        (0..n).for_each(|k| w[self.index[k]] = trial.ln_w[k].exp() / total);
        let phase = OnePhase::new(self.model, &w[..self.z.len()], self.phase.iso.t_k);
        let (model, mixed, iso) = (self.model, &phase.mixed, &phase.iso);
        let guess = start_liquid_density(model, mixed, iso.t_k);
        let gas = || density::gas(model, mixed, iso, self.p_pa, None);
        let liquid = || density::liquid(model, mixed, iso, self.p_pa, Some(guess));
        let only = || density::only(model, mixed, iso, self.p_pa, None);
        let is = |rho: Option<f64>| rho.is_some_and(|rho| (trial.rho / rho - 1.0).abs() < SAME);
        is(gas()) || is(liquid()) || (gas().is_none() && liquid().is_none() && is(only()))
    }

    /// One trial from a start, by successive substitution; what lies below the plane on the way there counts too.
    pub(super) fn trial(&self, start: &Vector, branch: Branch) -> End {
        let n = self.n;
        let count = self.z.len();
        let mut u: Unknowns = *start;
        let mut phase = self.phase.at_density(0.0);
        let mut lowest: Option<Trial> = None;
        let converged = fixed_point(n, &mut u, |u, image| {
            let total: f64 = (0..n).map(|k| u[k].exp()).sum();
            if !(total > 0.0 && total.is_finite()) {
                return None;
            }
            let mut w = [0.0; MAX_COMPONENTS];
            (0..n).for_each(|k| w[self.index[k]] = u[k].exp() / total);
            phase.set(self.model, &w[..count], self.phase.iso.t_k);
            let mut f = [0.0; MAX_COMPONENTS];
            let towards = match branch {
                Branch::Gas => phase.ln_f(self.model, self.p_pa, false, &mut f)?,
                Branch::Liquid => phase.ln_f(self.model, self.p_pa, true, &mut f)?,
                Branch::Either => phase.ln_f_either(self.model, self.p_pa, &mut f)?,
            };
            (0..n).for_each(|k| image[k] = self.d[self.index[k]] - f[self.index[k]]);
            // distance from the tangent plane of the composition at hand
            let ln_total = total.ln();
            let off: f64 = (0..n)
                .map(|k| w[self.index[k]] * (u[k] - ln_total - image[k]))
                .sum();
            let deepest = lowest.map_or(Trial::LEAST_DEPTH, |l: Trial| l.depth);
            if -off > deepest && towards.step.abs() < 1e-5 {
                lowest = Some(Trial {
                    ln_w: *u,
                    rho: phase.rho,
                    depth: -off,
                });
            }
            Some(())
        });
        let total: f64 = (0..n).map(|k| u[k].exp()).sum();
        let other = (phase.rho / self.phase.rho - 1.0).abs() >= 1e-6;
        if converged.is_some() && total > 1.0 + BELOW && other {
            return End::Below(Trial {
                ln_w: u,
                rho: phase.rho,
                depth: total.ln(),
            });
        }
        let last = || self.depth(&mut phase, &u, total);
        match lowest.or_else(last) {
            Some(trial) => End::Below(trial),
            None if converged.is_some() => End::Above,
            None => End::Lost,
        }
    }

    /// A composition as a trial, if it is below the plane with its density to the last digit.
    fn depth(&self, phase: &mut OnePhase, u: &Vector, total: f64) -> Option<Trial> {
        let n = self.n;
        let mut w = [0.0; MAX_COMPONENTS];
        (0..n).for_each(|k| w[self.index[k]] = u[k].exp() / total);
        phase.set(self.model, &w[..self.z.len()], self.phase.iso.t_k);
        let mut f = [0.0; MAX_COMPONENTS];
        phase.ln_f_settled(self.model, self.p_pa, &mut f)?;
        let above = |k: usize| {
            let i = self.index[k];
            w[i] * (w[i].ln() + f[i] - self.d[i])
        };
        let depth = -(0..n).map(above).sum::<f64>();
        (depth > Trial::LEAST_DEPTH).then_some(Trial {
            ln_w: *u,
            rho: phase.rho,
            depth,
        })
    }
}
