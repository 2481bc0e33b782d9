//! Bubble points, dew points, stability and two-phase split of a blend.
//!
//! All are fixed points of successive substitution, sped up by Anderson mixing. The unknowns are
//! chosen so that an ideal system converges in one step: `ln(y_i p)` for a bubble point,
//! `ln(x_i / p)` for a dew point. Where this gives up, the backend asks `feos-core` (see `feos_bridge`).

use super::density;
use super::mixture::{MixIsotherm, Mixed, Model, Towards};
use super::{Equilibrium, MAX_COMPONENTS, MoleFractions, pure_saturation};
use crate::numerics::fixed_point::{MAX_UNKNOWNS, fixed_point_ahead, fixed_point_within};
use std::cell::Cell;

pub(super) type Vector = [f64; MAX_COMPONENTS];

/// Liquid and vapour in equilibrium, molar.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Split {
    /// Temperature, K.
    pub t_k: f64,
    /// Pressure, Pa.
    pub p_pa: f64,
    /// Liquid composition.
    pub x: MoleFractions,
    /// Vapour composition.
    pub y: MoleFractions,
    /// Liquid density, mol/m³.
    pub liquid_mol_m3: f64,
    /// Vapour density, mol/m³.
    pub vapour_mol_m3: f64,
    /// Moles of vapour per mole of feed.
    pub vapour_fraction: f64,
}

/// Vapour pressure of a component, extended above its critical temperature by the Wilson rule
/// [wilson1969]; a start value only.
pub(in crate::eos) fn start_pressure(model: &Model, i: usize, t_k: f64) -> f64 {
    let e = &model.fluids()[i].equation;
    if t_k < e.t_critical_k {
        pure_saturation::ancillary(&e.ancillary.vapour_pressure, t_k)
    } else {
        e.p_critical_pa * (5.373 * (1.0 + e.acentric) * (1.0 - e.t_critical_k / t_k)).exp()
    }
}

/// Start value of the liquid density of a mixed composition, mol/m³.
pub fn start_liquid_density(model: &Model, mixed: &Mixed, t_k: f64) -> f64 {
    let v: f64 = model
        .fluids()
        .iter()
        .enumerate()
        .filter(|(i, _)| mixed.x[*i] > 0.0)
        .map(|(i, f)| {
            let e = &f.equation;
            let t = t_k.clamp(e.t_triple_k, 0.85 * e.t_critical_k);
            mixed.x[i] / pure_saturation::ancillary(&e.ancillary.liquid_density, t)
        })
        .sum();
    v.recip()
}

/// One phase on an isotherm: composition, temperature part and density.
pub(super) struct OnePhase {
    pub(super) mixed: Mixed,
    pub(super) iso: MixIsotherm,
    pub(super) rho: f64,
}

impl OnePhase {
    /// The same at another density; zero where it is not known.
    pub(super) fn at_density(&self, rho: f64) -> Self {
        Self {
            mixed: self.mixed,
            iso: self.iso.clone(),
            rho,
        }
    }
    pub(super) fn new(model: &Model, x: &[f64], t_k: f64) -> Self {
        let mixed = model.mixed(x);
        let iso = model.isotherm(&mixed, t_k);
        Self {
            mixed,
            iso,
            rho: 0.0,
        }
    }
    pub(super) fn set(&mut self, model: &Model, x: &[f64], t_k: f64) {
        self.mixed = model.mixed(x);
        model.isotherm_into(&self.mixed, t_k, &mut self.iso);
    }
    pub(super) fn liquid(&mut self, model: &Model, p_pa: f64) -> Option<()> {
        let guess = if self.rho > 0.0 {
            self.rho
        } else {
            start_liquid_density(model, &self.mixed, self.iso.t_k)
        };
        self.rho = density::liquid(model, &self.mixed, &self.iso, p_pa, Some(guess))?;
        Some(())
    }
    pub(super) fn gas(&mut self, model: &Model, p_pa: f64) -> Option<()> {
        let guess = (self.rho > 0.0).then_some(self.rho);
        self.rho = density::gas(model, &self.mixed, &self.iso, p_pa, guess)?;
        Some(())
    }
    /// On the branch asked for: from the last density if there is one (left alone: the fugacities
    /// bring it along), by a full solution if not.
    pub(super) fn on_branch(&mut self, model: &Model, p_pa: f64, is_liquid: bool) -> Option<()> {
        if self.rho > 0.0 {
            return Some(());
        }
        if is_liquid {
            self.liquid(model, p_pa)
        } else {
            self.gas(model, p_pa)
        }
    }
    /// `ln(f_i / x_i)` less `ln RT` at a pressure, and the density brought to that pressure; if the
    /// last density has become useless, a full solution first.
    pub(super) fn ln_f(
        &mut self,
        model: &Model,
        p_pa: f64,
        is_liquid: bool,
        out: &mut Vector,
    ) -> Option<Towards> {
        self.on_branch(model, p_pa, is_liquid)?;
        let mut next = model.ln_fugacity_towards(&self.mixed, &self.iso, self.rho, p_pa, out);
        if next.is_none_or(|n| n.step.abs() > 0.2) {
            self.rho = 0.0;
            self.on_branch(model, p_pa, is_liquid)?;
            next = model.ln_fugacity_towards(&self.mixed, &self.iso, self.rho, p_pa, out);
        }
        let next = next?;
        self.rho = next.rho_mol_m3;
        Some(next)
    }
}

/// Indices of the components that are present.
pub(super) fn present(z: &[f64]) -> ([usize; MAX_COMPONENTS], usize) {
    let mut index = [0; MAX_COMPONENTS];
    let mut n = 0;
    for (i, &z) in z.iter().enumerate() {
        if z > 0.0 {
            index[n] = i;
            n += 1;
        }
    }
    (index, n)
}

/// What a search of many steps within steps may still spend: counted in steps of the innermost.
struct Budget(Cell<usize>);

impl Budget {
    fn of(steps: usize) -> Self {
        Self(Cell::new(steps))
    }
    /// One step less; `None` once there is none left.
    fn spend(&self) -> Option<()> {
        self.0.set(self.0.get().checked_sub(1)?);
        Some(())
    }
}

/// Bubble (`liquid_given`) or dew point at a temperature, as a part of a search with a budget, to the last digits or to a largest change of its unknowns, the
/// logarithms of partial pressures.
fn incipient_within(
    budget: &Budget,
    about: Option<f64>,
    model: &Model,
    z: &[f64],
    t_k: f64,
    liquid_given: bool,
    start: Option<&Split>,
) -> Option<Split> {
    let (index, n) = present(z);
    let count = model.fluids().len();
    let sign = if liquid_given { 1.0 } else { -1.0 };
    let mut u = [0.0; MAX_COMPONENTS];
    let mut given = OnePhase::new(model, z, t_k);
    let mut other = given.at_density(0.0);
    if let Some(s) = start {
        let (w, given_rho, other_rho) = if liquid_given {
            (&s.y, s.liquid_mol_m3, s.vapour_mol_m3)
        } else {
            (&s.x, s.vapour_mol_m3, s.liquid_mol_m3)
        };
        given.rho = given_rho;
        other.rho = other_rho;
        (0..n).for_each(|k| u[k] = w[index[k]].max(1e-300).ln() + sign * s.p_pa.ln());
    } else {
        for k in 0..n {
            let p_i = start_pressure(model, index[k], t_k).max(1e-12);
            u[k] = z[index[k]].ln() + sign * p_i.ln();
        }
    }
    let mut w = [0.0; MAX_COMPONENTS];
    let mut p = 0.0;
    let step = |u: &Vector, w: &mut Vector, p: &mut f64| {
        let sum: f64 = (0..n).map(|k| u[k].exp()).sum();
        *p = if liquid_given { sum } else { sum.recip() };
        for k in 0..n {
            w[index[k]] = u[k].exp() / sum;
        }
    };
    let image_of = |u: &Vector, image: &mut Vector| {
        budget.spend()?;
        step(u, &mut w, &mut p);
        other.set(model, &w[..count], t_k);
        let (mut fg, mut fo) = ([0.0; MAX_COMPONENTS], [0.0; MAX_COMPONENTS]);
        given.ln_f(model, p, liquid_given, &mut fg)?;
        other.ln_f(model, p, !liquid_given, &mut fo)?;
        if (given.rho / other.rho - 1.0).abs() < 1e-3 {
            // both phases are becoming one
            return None;
        }
        let ln_p = p.ln();
        for k in 0..n {
            image[k] = z[index[k]].ln() + fg[index[k]] - fo[index[k]] + sign * ln_p;
        }
        Some(())
    };
    match about {
        Some(within) => fixed_point_within(within, n, &mut u, image_of),
        None => fixed_point_ahead(n, &mut u, image_of),
    }?;
    step(&u, &mut w, &mut p);
    other.set(model, &w[..count], t_k);
    incipient_split(model, p, given, other, liquid_given)
}

/// The split of a bubble or dew point whose temperature and compositions are found: densities to the last
/// digit; `None` where both phases are one.
fn incipient_split(
    model: &Model,
    p_pa: f64,
    mut given: OnePhase,
    mut other: OnePhase,
    liquid_given: bool,
) -> Option<Split> {
    let (liquid, vapour) = if liquid_given {
        given.liquid(model, p_pa)?;
        other.gas(model, p_pa)?;
        (given, other)
    } else {
        given.gas(model, p_pa)?;
        other.liquid(model, p_pa)?;
        (other, given)
    };
    let alike = |(x, y): (&f64, &f64)| (x - y).abs() < 1e-4;
    let trivial = liquid.rho < 1.02 * vapour.rho
        && liquid.mixed.x.iter().zip(vapour.mixed.x.iter()).all(alike);
    (!trivial && liquid.rho > vapour.rho).then_some(Split {
        t_k: liquid.iso.t_k,
        p_pa,
        x: liquid.mixed.x,
        y: vapour.mixed.x,
        liquid_mol_m3: liquid.rho,
        vapour_mol_m3: vapour.rho,
        vapour_fraction: if liquid_given { 0.0 } else { 1.0 },
    })
}

/// Bubble or dew point at a pressure from one near it, composition and temperature found together.
///
/// * `rise` — `d ln p / d ln T` of the line, about
pub fn incipient_near_pressure(
    model: &Model,
    z: &[f64],
    p_pa: f64,
    liquid_given: bool,
    start: &Split,
    rise: f64,
) -> Option<Split> {
    let (index, n) = present(z);
    let count = model.fluids().len();
    if n + 1 > MAX_UNKNOWNS || !(rise > 1.0) {
        return None;
    }
    let mut given = OnePhase::new(model, z, start.t_k);
    let mut other = given.at_density(0.0);
    let sign = if liquid_given { -1.0 } else { 1.0 };
    let w_start = if liquid_given {
        (given.rho, other.rho) = (start.liquid_mol_m3, start.vapour_mol_m3);
        &start.y
    } else {
        (given.rho, other.rho) = (start.vapour_mol_m3, start.liquid_mol_m3);
        &start.x
    };
    let mut u = [0.0; MAX_UNKNOWNS];
    (0..n).for_each(|k| u[k] = w_start[index[k]].max(1e-300).ln());
    // the last unknown is the temperature, in units that make a step of it as large as one of ln w
    u[n] = 0.0;
    let temperature = |u_n: f64| start.t_k * (u_n / rise).exp();
    let set = |u: &Vector, given: &mut OnePhase, other: &mut OnePhase| {
        let t_k = temperature(u[n]);
        let sum: f64 = (0..n).map(|k| u[k].exp()).sum();
        let mut w = [0.0; MAX_COMPONENTS];
        (0..n).for_each(|k| w[index[k]] = u[k].exp() / sum);
        model.isotherm_into(&given.mixed, t_k, &mut given.iso);
        other.set(model, &w[..count], t_k);
    };
    fixed_point_ahead(n + 1, &mut u, |u, image| {
        if !(u[n].abs() < 1.0) {
            return None;
        }
        set(u, &mut given, &mut other);
        let (mut fg, mut fo) = ([0.0; MAX_COMPONENTS], [0.0; MAX_COMPONENTS]);
        given.ln_f(model, p_pa, liquid_given, &mut fg)?;
        other.ln_f(model, p_pa, !liquid_given, &mut fo)?;
        if (given.rho / other.rho - 1.0).abs() < 1e-3 {
            return None;
        }
        let mut sum = 0.0;
        for k in 0..n {
            image[k] = z[index[k]].ln() + fg[index[k]] - fo[index[k]];
            sum += image[k].exp();
        }
        let ln_sum = sum.ln();
        (0..n).for_each(|k| image[k] -= ln_sum);
        image[n] = u[n] + sign * ln_sum;
        Some(())
    })?;
    set(&u, &mut given, &mut other);
    incipient_split(model, p_pa, given, other, liquid_given)
}

/// Bubble or dew point by our own solver alone, for callers that can do without.
pub fn own_incipient(
    model: &Model,
    z: &[f64],
    t_k: f64,
    liquid_given: bool,
    start: Option<&Split>,
) -> Option<Split> {
    let budget = Budget::of(usize::MAX);
    incipient_within(&budget, None, model, z, t_k, liquid_given, start)
}

/// [`own_incipient`] about: the logarithms of its partial pressures to `within`.
pub fn incipient_about(
    within: f64,
    model: &Model,
    z: &[f64],
    t_k: f64,
    liquid_given: bool,
    start: Option<&Split>,
) -> Option<Split> {
    let budget = Budget::of(usize::MAX);
    incipient_within(&budget, Some(within), model, z, t_k, liquid_given, start)
}

/// Start values of a bubble point from a neighbouring one: each `K_i = y_i / x_i` carried along the
/// Clausius-Clapeyron line of the blend as a whole. `None` for a pure fluid, or where a component that is
/// present now was absent there.
pub fn bubble_start_near(x: &[f64], t_k: f64, near: &Equilibrium) -> Option<Split> {
    let (l, v) = (&near.liquid, &near.vapour);
    if x.len() < 2 || x.len() != l.mole_fractions.len() {
        return None;
    }
    let latent_j_mol =
        v.enthalpy_j_kg * v.molar_mass_kg_mol - l.enthalpy_j_kg * l.molar_mass_kg_mol;
    let rise = latent_j_mol / crate::quantity::GAS_CONSTANT_J_MOL_K
        * (near.temperature_k.recip() - t_k.recip());
    let p_pa = near.pressure_pa * rise.clamp(-2.0, 2.0).exp();
    let mut partial = [0.0; MAX_COMPONENTS];
    for (i, &x) in x.iter().enumerate() {
        if x > 0.0 {
            if l.mole_fractions[i] <= 0.0 || v.mole_fractions[i] <= 0.0 {
                return None;
            }
            partial[i] = x * v.mole_fractions[i] / l.mole_fractions[i] * p_pa;
        }
    }
    let sum: f64 = partial.iter().sum();
    for y in &mut partial {
        *y /= sum;
    }
    Some(Split {
        t_k,
        p_pa: sum,
        x: MoleFractions::new(x),
        y: MoleFractions::new(&partial[..x.len()]),
        liquid_mol_m3: l.density_kg_m3 / l.molar_mass_kg_mol,
        vapour_mol_m3: v.density_kg_m3 / v.molar_mass_kg_mol * sum / near.pressure_pa,
        vapour_fraction: 0.0,
    })
}

/// A pressure this far, in ln p, below the ideal one at the lowest temperature has no bubble or dew point above it:
/// the ideal one is within a small factor of the true one.
const FAR_BELOW: f64 = 7.0;

/// Steps of the fixed point that the search for a bubble or dew point at a pressure may take in all.
const MOST_STEPS: usize = 1000;

/// Bubble or dew point at a pressure: secant in `ln p` against `1/T`, each step started from the last.
pub fn at_pressure(
    model: &Model,
    z: &[f64],
    p_pa: f64,
    liquid_given: bool,
    (t_min_k, t_max_k): (f64, f64),
) -> Option<Split> {
    let budget = Budget::of(MOST_STEPS);
    let solve = |t_k: f64, start: Option<&Split>| {
        let from = |start| incipient_within(&budget, None, model, z, t_k, liquid_given, start);
        from(start).or_else(|| start.and_then(|_| from(None)))
    };
    // start temperature: ideal bubble or dew condition with the start pressures
    let estimate = |t_k: f64| -> f64 {
        let sum: f64 = z
            .iter()
            .enumerate()
            .filter(|(_, z)| **z > 0.0)
            .map(|(i, &z)| {
                let p_i = start_pressure(model, i, t_k);
                if liquid_given { z * p_i } else { z / p_i }
            })
            .sum();
        if liquid_given { sum.ln() } else { -sum.ln() }
    };
    let ln_p = p_pa.ln();
    if ln_p < estimate(t_min_k) - FAR_BELOW {
        return None;
    }
    let (mut low, mut high) = (t_min_k, t_max_k);
    for _ in 0..60 {
        let mid = 0.5 * (low + high);
        if estimate(mid) < ln_p {
            low = mid;
        } else {
            high = mid;
        }
        if high - low < 1e-3 * high {
            break;
        }
    }
    let mut t_k = 0.5 * (low + high);
    let mut split = solve(t_k, None).or_else(|| {
        // too close to the critical region: walk down in temperature until there is a solution
        (1..12).find_map(|k| {
            t_k *= 1.0 - 0.01 * f64::from(k);
            solve(t_k, None)
        })
    })?;
    // d ln p / d(1/T) = -Δh/R: about 10 times the critical temperature for a start
    let mut slope = {
        let t2 = t_k * (1.0 - 1e-4);
        let s2 = solve(t2, Some(&split))?;
        (split.p_pa.ln() - s2.p_pa.ln()) / (t_k.recip() - t2.recip())
    };
    for _ in 0..40 {
        let off = ln_p - split.p_pa.ln();
        if off.abs() <= 1e-13 * ln_p.abs().max(1.0) {
            return Some(split);
        }
        let mut inverse = t_k.recip() + off / slope;
        // no more than 15 % at once
        inverse = inverse.clamp(t_k.recip() / 1.15, t_k.recip() * 1.15);
        let t_next = inverse.recip();
        let mut next = solve(t_next, Some(&split));
        let mut t_tried = t_next;
        for _ in 0..8 {
            if next.is_some() {
                break;
            }
            t_tried = 0.5 * (t_tried + t_k);
            next = solve(t_tried, Some(&split));
        }
        let next = next?;
        let change = t_tried.recip() - t_k.recip();
        if change.abs() <= 1e-15 * t_k.recip() {
            return (off.abs() < 1e-9).then_some(next);
        }
        let new_slope = (next.p_pa.ln() - split.p_pa.ln()) / change;
        if new_slope < 0.0 && change.abs() > 1e-9 * t_k.recip() {
            slope = new_slope;
        }
        t_k = t_tried;
        split = next;
    }
    None
}
