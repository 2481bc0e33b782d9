//! The stable state of a blend at pressure and temperature: tangent-plane test and two-phase split.

use super::MAX_COMPONENTS;
use super::blend_equilibrium::{OnePhase, Split, Vector, present};
use super::blend_feed::{End, Feed};
use super::blend_gibbs::{Settled, settle, sharpened};
use super::mixture::Model;
use crate::numerics::fixed_point::{fixed_point, fixed_point_within};

/// Shares of the reducing density between which a feed is so near a critical point that the usual trials may miss the
/// other phase.
const DENSE: f64 = 0.35;
const NEARLY_FULL: f64 = 2.1;

/// What a blend is at pressure and temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Stable {
    /// Single phase of this molar density.
    Single(f64),
    /// Two phases.
    Two(Split),
    /// Two liquids, with a vapour or without.
    Liquids,
}

/// The stable state at pressure and temperature: tangent-plane test of the better single-phase root
/// against a vapour-like and a liquid-like trial phase, and the split if it fails. `None` where the feed falls
/// apart and the phases are not found: never one phase then.
pub fn stable_state(model: &Model, z: &[f64], p_pa: f64, t_k: f64) -> Option<Stable> {
    let feed = Feed::new(model, z, p_pa, t_k)?;
    let mut clear = true;
    for vapour_trial in [feed.is_liquid, !feed.is_liquid] {
        match feed.usual(vapour_trial) {
            End::Below(trial) => {
                clear = false;
                let ln_k = feed.ln_k(&trial, vapour_trial);
                if let Some(split) = split(model, z, p_pa, t_k, &ln_k) {
                    return Some(named(model, sharpened(&feed, split)));
                }
            }
            End::Lost => clear = false,
            End::Above => {}
        }
    }
    let share = feed.phase.rho / feed.phase.mixed.rho_r_mol_m3;
    let dense = (DENSE..NEARLY_FULL).contains(&share);
    let single = Stable::Single(feed.phase.rho);
    if clear && !dense && !(feed.is_liquid && model.may_split(t_k)) {
        return Some(single);
    }
    let Some(trial) = feed.thorough() else {
        return Some(single);
    };
    match settle(&feed, &trial) {
        Settled::Apart(split) => Some(named(model, split)),
        Settled::Whole => Some(single),
        Settled::Lost => None,
    }
}

/// Two phases as what they are.
fn named(model: &Model, split: Split) -> Stable {
    let t_k = split.t_k;
    let lighter = model.mixed(&split.y);
    let liquid = t_k < lighter.t_r_k && split.vapour_mol_m3 > lighter.rho_r_mol_m3;
    if liquid || (model.may_split(t_k) && liquid_splits(model, &split.x, split.p_pa, t_k)) {
        return Stable::Liquids;
    }
    Stable::Two(split)
}

/// Whether a liquid falls apart into two at a pressure: tangent-plane test against another liquid, started
/// from nearly pure components.
pub fn liquid_splits(model: &Model, x: &[f64], p_pa: f64, t_k: f64) -> bool {
    /// How pure the start of a trial is.
    const NEARLY_PURE: f64 = 0.98;
    /// Accuracy of the trial: the distance from the tangent plane is off by its square.
    const ENOUGH: f64 = 1e-6;
    /// Difference of a mole fraction that makes another liquid of it.
    const OTHER: f64 = 1e-3;
    let (index, n) = present(x);
    let count = x.len();
    let mut feed = OnePhase::new(model, x, t_k);
    let mut d = [0.0; MAX_COMPONENTS];
    if feed.ln_f(model, p_pa, true, &mut d).is_none() {
        return false;
    }
    (0..n).for_each(|k| d[index[k]] += x[index[k]].ln());
    (0..n).any(|pure| {
        let mut u = [0.0; MAX_COMPONENTS];
        for k in 0..n {
            let own = if k == pure { NEARLY_PURE } else { 0.0 };
            u[k] = (own + (1.0 - NEARLY_PURE) * x[index[k]]).ln();
        }
        let mut trial = feed.at_density(0.0);
        let mut w = [0.0; MAX_COMPONENTS];
        let found = fixed_point_within(ENOUGH, n, &mut u, |u, image| {
            let total: f64 = (0..n).map(|k| u[k].exp()).sum();
            if !(total > 0.0 && total.is_finite()) {
                return None;
            }
            (0..n).for_each(|k| w[index[k]] = u[k].exp() / total);
            trial.set(model, &w[..count], t_k);
            let mut f = [0.0; MAX_COMPONENTS];
            trial.ln_f(model, p_pa, true, &mut f)?;
            (0..n).for_each(|k| image[k] = d[index[k]] - f[index[k]]);
            Some(())
        });
        let total: f64 = (0..n).map(|k| u[k].exp()).sum();
        let apart = (0..count).any(|i| (w[i] - x[i]).abs() > OTHER);
        found.is_some() && apart && total > 1.0 + 1e-8
    })
}

/// Vapour fraction by Rachford and Rice [rachford1952]; outside 0..1 where the feed is single-phase.
fn vapour_fraction(z: &[f64], k_value: &Vector) -> Option<f64> {
    let (mut k_min, mut k_max) = (f64::INFINITY, 0.0_f64);
    for (i, &z) in z.iter().enumerate() {
        if z > 0.0 {
            k_min = k_min.min(k_value[i]);
            k_max = k_max.max(k_value[i]);
        }
    }
    if !(k_max > 1.0 && k_min < 1.0) {
        return None;
    }
    let (mut low, mut high) = ((1.0 - k_max).recip(), (1.0 - k_min).recip());
    let mut v = if low < 0.5 && high > 0.5 {
        0.5
    } else {
        0.5 * (low + high)
    };
    for _ in 0..100 {
        let (mut g, mut slope) = (0.0, 0.0);
        for (i, &z) in z.iter().enumerate() {
            if z > 0.0 {
                let q = (k_value[i] - 1.0) / (1.0 + v * (k_value[i] - 1.0));
                g += z * q;
                slope -= z * q * q;
            }
        }
        if g > 0.0 {
            low = v;
        } else {
            high = v;
        }
        let next = v - g / slope;
        let next = if next > low && next < high {
            next
        } else {
            0.5 * (low + high)
        };
        if (next - v).abs() <= 1e-15 * (1.0 + v.abs()) {
            return Some(next);
        }
        v = next;
    }
    Some(v)
}

/// A feed parted by K values, given by their logarithms for the components of `index`: vapour fraction, liquid and
/// vapour.
pub(super) fn parted(
    z: &[f64],
    index: &[usize],
    ln_k: &[f64],
) -> Option<(f64, [f64; MAX_COMPONENTS], [f64; MAX_COMPONENTS])> {
    let mut k_value = [0.0; MAX_COMPONENTS];
    for (&i, ln_k) in index.iter().zip(ln_k) {
        k_value[i] = ln_k.exp();
    }
    let v = vapour_fraction(z, &k_value)?.clamp(-0.05, 1.05);
    let (mut x, mut y) = ([0.0; MAX_COMPONENTS], [0.0; MAX_COMPONENTS]);
    for &i in index {
        x[i] = z[i] / (1.0 + v * (k_value[i] - 1.0));
        y[i] = k_value[i] * x[i];
    }
    let (sx, sy): (f64, f64) = (x.iter().sum(), y.iter().sum());
    for (x, y) in x.iter_mut().zip(&mut y) {
        *x /= sx;
        *y /= sy;
    }
    Some((v, x, y))
}

/// Two-phase split at pressure and temperature from start K values.
fn split(model: &Model, z: &[f64], p_pa: f64, t_k: f64, ln_k: &Vector) -> Option<Split> {
    let (index, n) = present(z);
    let count = z.len();
    let mut u = *ln_k;
    let mut liquid = OnePhase::new(model, z, t_k);
    let mut vapour = liquid.at_density(0.0);
    let mut v = 0.0;
    fixed_point(n, &mut u, |u, image| {
        let (share, x, y) = parted(z, &index[..n], u)?;
        v = share;
        liquid.set(model, &x[..count], t_k);
        vapour.set(model, &y[..count], t_k);
        let (mut fl, mut fv) = ([0.0; MAX_COMPONENTS], [0.0; MAX_COMPONENTS]);
        liquid.ln_f(model, p_pa, true, &mut fl)?;
        vapour.ln_f(model, p_pa, false, &mut fv)?;
        (0..n).for_each(|k| image[k] = fl[index[k]] - fv[index[k]]);
        Some(())
    })?;
    liquid.liquid(model, p_pa)?;
    vapour.gas(model, p_pa)?;
    ((0.0..=1.0).contains(&v) && liquid.rho > vapour.rho).then_some(Split {
        t_k,
        p_pa,
        x: liquid.mixed.x,
        y: vapour.mixed.x,
        liquid_mol_m3: liquid.rho,
        vapour_mol_m3: vapour.rho,
        vapour_fraction: v,
    })
}
