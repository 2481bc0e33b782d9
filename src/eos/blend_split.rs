//! The stable state of a blend at pressure and temperature: tangent-plane test and two-phase split.

use super::MAX_COMPONENTS;
use super::blend_equilibrium::{
    OnePhase, Split, Vector, present, start_liquid_density, start_pressure,
};
use super::density;
use super::mixture::Model;
use crate::numerics::fixed_point::fixed_point;

/// The stable single-phase root of a composition: gas or liquid, whichever has the lower Gibbs energy.
fn best_root(model: &Model, phase: &mut OnePhase, p_pa: f64) -> Option<bool> {
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

/// What a blend is at pressure and temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Stable {
    /// One phase of this molar density; `true` for a liquid-like root.
    Single(f64, bool),
    /// Two phases.
    Two(Split),
}

/// The stable state at pressure and temperature: tangent-plane test of the better single-phase root
/// against a vapour-like and a liquid-like trial phase, and the split if it fails.
pub fn stable_state(model: &Model, z: &[f64], p_pa: f64, t_k: f64) -> Option<Stable> {
    let (index, n) = present(z);
    let mut feed = OnePhase::new(model, z, t_k);
    let is_liquid = best_root(model, &mut feed, p_pa)?;
    let mut d = [0.0; MAX_COMPONENTS];
    feed.ln_f(model, p_pa, is_liquid, &mut d)?;
    (0..n).for_each(|k| d[index[k]] += z[index[k]].ln());
    for vapour_trial in [is_liquid, !is_liquid] {
        if let Some(k_start) = unstable(model, &index[..n], z, &d, &feed, p_pa, t_k, vapour_trial)
            && let Some(split) = split(model, z, p_pa, t_k, &k_start)
        {
            return Some(Stable::Two(split));
        }
    }
    Some(Stable::Single(feed.rho, is_liquid))
}

/// Tangent-plane test with one trial phase; the K values it found if the feed is unstable.
#[allow(clippy::too_many_arguments)] // one call, all of one computation
fn unstable(
    model: &Model,
    index: &[usize],
    z: &[f64],
    d: &Vector,
    feed: &OnePhase,
    p_pa: f64,
    t_k: f64,
    vapour_trial: bool,
) -> Option<Vector> {
    let n = index.len();
    let count = z.len();
    let mut u = [0.0; MAX_COMPONENTS];
    for k in 0..n {
        let ln_k = start_pressure(model, index[k], t_k).max(1e-12).ln() - p_pa.ln();
        u[k] = z[index[k]].ln() + if vapour_trial { ln_k } else { -ln_k };
    }
    let mut trial = OnePhase {
        mixed: feed.mixed,
        iso: feed.iso.clone(),
        rho: 0.0,
    };
    let mut w = [0.0; MAX_COMPONENTS];
    let mut total = 0.0;
    fixed_point(n, &mut u, |u, image| {
        total = (0..n).map(|k| u[k].exp()).sum();
        if !(total > 0.0 && total.is_finite()) {
            return None;
        }
        (0..n).for_each(|k| w[index[k]] = u[k].exp() / total);
        trial.set(model, &w[..count], t_k);
        let mut f = [0.0; MAX_COMPONENTS];
        trial.ln_f(model, p_pa, !vapour_trial, &mut f)?;
        (0..n).for_each(|k| image[k] = d[index[k]] - f[index[k]]);
        Some(())
    })?;
    total = (0..n).map(|k| u[k].exp()).sum();
    let same = (trial.rho / feed.rho - 1.0).abs() < 1e-6;
    if total <= 1.0 + 1e-10 || same {
        return None;
    }
    let mut k_value = [0.0; MAX_COMPONENTS];
    for k in 0..n {
        let ratio = u[k].exp() / z[index[k]];
        k_value[index[k]] = if vapour_trial { ratio } else { ratio.recip() };
    }
    Some(k_value)
}

/// Whether a liquid falls apart into two at a pressure: tangent-plane test against another liquid, started
/// from nearly pure components.
pub fn liquid_splits(model: &Model, x: &[f64], p_pa: f64, t_k: f64) -> bool {
    /// How pure the start of a trial is.
    const NEARLY_PURE: f64 = 0.98;
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
        let mut trial = OnePhase {
            mixed: feed.mixed,
            iso: feed.iso.clone(),
            rho: 0.0,
        };
        let mut w = [0.0; MAX_COMPONENTS];
        let found = fixed_point(n, &mut u, |u, image| {
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
fn split(model: &Model, z: &[f64], p_pa: f64, t_k: f64, k_start: &Vector) -> Option<Split> {
    let (index, n) = present(z);
    let count = z.len();
    let mut u = [0.0; MAX_COMPONENTS];
    (0..n).for_each(|k| u[k] = k_start[index[k]].ln());
    let mut liquid = OnePhase::new(model, z, t_k);
    let mut vapour = OnePhase {
        mixed: liquid.mixed,
        iso: liquid.iso.clone(),
        rho: 0.0,
    };
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
