//! The two phases of a feed that falls apart, by descent of the Gibbs energy [michelsen1982b]: slower than substitution
//! and sure, for what is near a critical point or far from ideal.

use super::MAX_COMPONENTS;
use super::blend_equilibrium::{OnePhase, Split, Vector};
use super::blend_feed::{Branch, End, Feed, Trial};
use crate::numerics::effort;
use nalgebra::{DMatrix, DVector, SymmetricEigen};

/// Steps before it gives up.
const MAX_STEPS: usize = 60;
/// Largest difference of `ln(f_i)` between the phases at the end: about what rounding leaves. Near a critical point
/// the share of vapour hangs on the last digits of it.
const EVEN: f64 = 2e-14;
/// The same where steps no longer help.
const NEARLY_EVEN: f64 = 1e-10;
/// Ratio of densities below which phases are so much alike that substitution leaves their shares open.
const MUCH_ALIKE: f64 = 1.6;
/// Change of a mole number that takes the slopes of fugacities, relative to the phase.
const NUDGE: f64 = 1e-5;
/// Share of a component that a step leaves in each phase at least.
const LEAST_LEFT: f64 = 0.05;
/// Rounding of a Gibbs energy `G/RT`.
const ROUNDING: f64 = 1e-12;
/// Least curvature that a step is taken by, where that of an ideal mixture is one.
const FLAT: f64 = 1e-9;
/// Depth below the tangent plane, `ΔG/RT`, from which on two phases gain more than rounding.
const DEEP: f64 = 1e-7;

/// What becomes of a feed.
pub(super) enum Settled {
    /// Two phases.
    Apart(Split),
    /// One phase within rounding.
    Whole,
    /// Not found.
    Lost,
}

/// Moles of vapour and of liquid.
#[derive(Clone, Copy)]
struct Moles {
    vapour: Vector,
    liquid: Vector,
}

impl Moles {
    fn after(&self, step: &Vector, part: f64, n: usize) -> Self {
        let mut next = *self;
        for (k, step) in step.iter().enumerate().take(n) {
            next.vapour[k] += part * step;
            next.liquid[k] -= part * step;
        }
        next
    }
}

/// `G/RT` of both phases and its slopes with the moles of vapour.
#[derive(Clone, Copy)]
struct Level {
    gibbs: f64,
    slope: Vector,
}

impl Level {
    fn unevenness(&self, n: usize) -> f64 {
        self.slope[..n].iter().fold(0.0, |a, s| a.max(s.abs()))
    }
}

/// `ln(x_i) + ln(f_i/x_i)` of a phase by its mole numbers.
fn potentials(feed: &Feed, phase: &mut OnePhase, moles: &Vector) -> Option<Vector> {
    effort::add(1);
    let n = feed.n;
    let total: f64 = moles[..n].iter().sum();
    let mut x = [0.0; MAX_COMPONENTS];
    (0..n).for_each(|k| x[feed.index[k]] = moles[k] / total);
    phase.set(feed.model, &x[..feed.z.len()], feed.phase.iso.t_k);
    let mut f = [0.0; MAX_COMPONENTS];
    phase.ln_f_settled(feed.model, feed.p_pa, &mut f)?;
    let mut out = [0.0; MAX_COMPONENTS];
    (0..n).for_each(|k| out[k] = x[feed.index[k]].ln() + f[feed.index[k]]);
    Some(out)
}

/// Slopes of the potentials of a phase with its mole numbers: its part in the curvature of the Gibbs energy.
fn curvature(feed: &Feed, phase: &OnePhase, moles: &Vector) -> Option<DMatrix<f64>> {
    let n = feed.n;
    let total: f64 = moles[..n].iter().sum();
    let mut slopes = DMatrix::zeros(n, n);
    for j in 0..n {
        let by = NUDGE * total;
        // where there is too little of it, to one side only
        let (up, down) = (by, if moles[j] > 2.0 * by { by } else { 0.0 });
        let mut excess = [[0.0; MAX_COMPONENTS]; 2];
        for (end, change) in excess.iter_mut().zip([up, -down]) {
            let mut other = phase.at_density(phase.rho);
            let mut m = *moles;
            m[j] += change;
            let p = potentials(feed, &mut other, &m)?;
            (0..n).for_each(|k| end[k] = p[k] - (m[k] / (total + change)).ln());
        }
        (0..n).for_each(|k| slopes[(k, j)] = (excess[0][k] - excess[1][k]) / (up + down));
    }
    // the ideal part exactly
    Some(DMatrix::from_fn(n, n, |i, j| {
        let ideal = if i == j { moles[i].recip() } else { 0.0 };
        ideal - total.recip() + 0.5 * (slopes[(i, j)] + slopes[(j, i)])
    }))
}

/// Two phases of a feed.
struct Sides<'a> {
    feed: &'a Feed<'a>,
    liquid: OnePhase,
    vapour: OnePhase,
}

impl Sides<'_> {
    fn level(&mut self, moles: &Moles) -> Option<Level> {
        let of_v = potentials(self.feed, &mut self.vapour, &moles.vapour)?;
        let of_l = potentials(self.feed, &mut self.liquid, &moles.liquid)?;
        let mut level = Level {
            gibbs: 0.0,
            slope: [0.0; MAX_COMPONENTS],
        };
        for k in 0..self.feed.n {
            level.slope[k] = of_v[k] - of_l[k];
            level.gibbs += moles.vapour[k] * of_v[k] + moles.liquid[k] * of_l[k];
        }
        Some(level)
    }

    /// Step downhill in the moles of vapour, and the part of it that leaves some of each component in both phases.
    fn step(&self, moles: &Moles, level: &Level) -> Option<(Vector, f64)> {
        let n = self.feed.n;
        let curvature = curvature(self.feed, &self.vapour, &moles.vapour)?
            + curvature(self.feed, &self.liquid, &moles.liquid)?;
        // in units in which an ideal mixture has slopes of about one
        let scale: Vec<f64> = (0..n)
            .map(|k| {
                let (v, l) = (moles.vapour[k], moles.liquid[k]);
                (v * l / (v + l)).sqrt()
            })
            .collect();
        let scaled = DMatrix::from_fn(n, n, |i, j| scale[i] * scale[j] * curvature[(i, j)]);
        let down = DVector::from_fn(n, |k, _| -scale[k] * level.slope[k]);
        let eigen = SymmetricEigen::try_new(scaled, 1e-15, 200)?;
        let mut by = DVector::zeros(n);
        for (value, vector) in eigen
            .eigenvalues
            .iter()
            .zip(eigen.eigenvectors.column_iter())
        {
            by += vector * (vector.dot(&down) / value.abs().max(FLAT));
        }
        let mut step = [0.0; MAX_COMPONENTS];
        let mut part: f64 = 1.0;
        for k in 0..n {
            step[k] = scale[k] * by[k];
            let room = if step[k] < 0.0 {
                moles.vapour[k]
            } else {
                moles.liquid[k]
            };
            part = part.min((1.0 - LEAST_LEFT) * room / step[k].abs());
        }
        step[..n]
            .iter()
            .all(|s| s.is_finite())
            .then_some((step, part))
    }
}

/// The phases of a feed, from a phase below its tangent plane.
pub(super) fn settle(feed: &Feed, trial: &Trial) -> Settled {
    let n = feed.n;
    let is_vapour = feed.is_heavier_than(trial);
    let densities = if is_vapour {
        (feed.phase.rho, trial.rho)
    } else {
        (trial.rho, feed.phase.rho)
    };
    let mut sides = Sides {
        feed,
        liquid: feed.phase.at_density(densities.0),
        vapour: feed.phase.at_density(densities.1),
    };
    // as much of the new phase as lowers the Gibbs energy
    let whole = feed.gibbs();
    let total: f64 = trial.ln_w[..n].iter().map(|w| w.exp()).sum();
    let w = |k: usize| trial.ln_w[k].exp() / total;
    let z = |k: usize| feed.z[feed.index[k]];
    let most = (0..n).fold(f64::INFINITY, |m: f64, k| m.min(z(k) / w(k)));
    let start = (1..40).find_map(|halvings| {
        let share = most * 0.5_f64.powi(halvings);
        let (mut new, mut rest) = ([0.0; MAX_COMPONENTS], [0.0; MAX_COMPONENTS]);
        for k in 0..n {
            new[k] = share * w(k);
            rest[k] = z(k) - new[k];
        }
        let (vapour, liquid) = if is_vapour { (new, rest) } else { (rest, new) };
        let moles = Moles { vapour, liquid };
        (sides.liquid.rho, sides.vapour.rho) = densities;
        let level = sides.level(&moles)?;
        (level.gibbs < whole).then_some((moles, level))
    });
    match start {
        Some((moles, level)) => descend(sides, moles, level),
        None if trial.depth < DEEP => Settled::Whole,
        None => Settled::Lost,
    }
}

/// Phases found by substitution, to the last digits where they are much alike.
pub(super) fn sharpened(feed: &Feed, split: Split) -> Split {
    if split.liquid_mol_m3 > MUCH_ALIKE * split.vapour_mol_m3 {
        return split;
    }
    let mut sides = Sides {
        feed,
        liquid: feed.phase.at_density(split.liquid_mol_m3),
        vapour: feed.phase.at_density(split.vapour_mol_m3),
    };
    let v = split.vapour_fraction;
    let mut moles = Moles {
        vapour: [0.0; MAX_COMPONENTS],
        liquid: [0.0; MAX_COMPONENTS],
    };
    for k in 0..feed.n {
        moles.vapour[k] = v * split.y[feed.index[k]];
        moles.liquid[k] = feed.z[feed.index[k]] - moles.vapour[k];
    }
    let there = |m: &Vector| m[..feed.n].iter().all(|m| *m > 0.0);
    if !(there(&moles.vapour) && there(&moles.liquid)) {
        return split;
    }
    let Some(level) = sides.level(&moles) else {
        return split;
    };
    match descend(sides, moles, level) {
        Settled::Apart(sharp) => sharp,
        Settled::Whole | Settled::Lost => split,
    }
}

/// Downhill from two phases to those in equilibrium.
fn descend(mut sides: Sides, mut moles: Moles, mut level: Level) -> Settled {
    let feed = sides.feed;
    let n = feed.n;
    for _ in 0..MAX_STEPS {
        if level.unevenness(n) <= EVEN {
            break;
        }
        let Some((step, mut part)) = sides.step(&moles, &level) else {
            return Settled::Lost;
        };
        let before = (sides.liquid.rho, sides.vapour.rho);
        let mut next = None;
        // at the end only whole steps help
        let trials = if level.unevenness(n) <= NEARLY_EVEN {
            1
        } else {
            30
        };
        for _ in 0..trials {
            let there = moles.after(&step, part, n);
            if let Some(found) = sides.level(&there) {
                let lower = found.gibbs < level.gibbs;
                let even = found.gibbs < level.gibbs + ROUNDING * (1.0 + level.gibbs.abs())
                    && found.unevenness(n) < level.unevenness(n);
                if lower || even {
                    next = Some((there, found));
                    break;
                }
            }
            (sides.liquid.rho, sides.vapour.rho) = before;
            part *= 0.4;
        }
        let Some((there, found)) = next else { break };
        let slow = found.unevenness(n) > 0.5 * level.unevenness(n);
        let last = slow && level.unevenness(n) <= NEARLY_EVEN;
        (moles, level) = (there, found);
        if last {
            break;
        }
    }
    // the phases of the last point tried may be others
    let Some(level) = sides.level(&moles) else {
        return Settled::Lost;
    };
    if level.unevenness(n) > NEARLY_EVEN {
        return Settled::Lost;
    }
    let (liquid, vapour) = (&sides.liquid, &sides.vapour);
    let alike = (0..n).all(|k| {
        let i = feed.index[k];
        (liquid.mixed.x[i] / vapour.mixed.x[i] - 1.0).abs() < 1e-6
    });
    if alike {
        return Settled::Whole;
    }
    Settled::Apart(Split {
        t_k: feed.phase.iso.t_k,
        p_pa: feed.p_pa,
        x: liquid.mixed.x,
        y: vapour.mixed.x,
        liquid_mol_m3: liquid.rho,
        vapour_mol_m3: vapour.rho,
        vapour_fraction: moles.vapour[..n].iter().sum(),
    })
}

/// Trials along the direction in which a feed resists least: near a critical point the other phase lies there.
pub(super) fn along_the_softest(feed: &Feed) -> Option<Trial> {
    let n = feed.n;
    let mut z = [0.0; MAX_COMPONENTS];
    (0..n).for_each(|k| z[k] = feed.z[feed.index[k]]);
    let curvature = curvature(feed, &feed.phase, &z)?;
    let scaled = DMatrix::from_fn(n, n, |i, j| (z[i] * z[j]).sqrt() * curvature[(i, j)]);
    let eigen = SymmetricEigen::try_new(scaled, 1e-15, 200)?;
    // that of adding more of the same has none at all
    let same = DVector::from_fn(n, |k, _| z[k].sqrt());
    let (softest, _) = eigen
        .eigenvectors
        .column_iter()
        .zip(eigen.eigenvalues.iter())
        .filter(|(vector, _)| vector.dot(&same).abs() < 0.5)
        .min_by(|a, b| a.1.total_cmp(b.1))?;
    let mut best: Option<Trial> = None;
    for sign in [1.0, -1.0] {
        let mut phase = feed.phase.at_density(feed.phase.rho);
        // how far below the plane, by the resistance near the feed, so that the least does not lie there
        let mut at = |far: f64| {
            let mut w = [0.0; MAX_COMPONENTS];
            (0..n).for_each(|k| w[k] = z[k] + sign * far * z[k].sqrt() * softest[k]);
            if w[..n].iter().any(|w| !(*w > 0.0)) {
                return None;
            }
            let total: f64 = w[..n].iter().sum();
            (0..n).for_each(|k| w[k] /= total);
            let p = potentials(feed, &mut phase, &w)?;
            let off: f64 = (0..n).map(|k| w[k] * (p[k] - feed.potential(k))).sum();
            let mut ln_w = [0.0; MAX_COMPONENTS];
            (0..n).for_each(|k| ln_w[k] = w[k].ln());
            let trial = Trial {
                ln_w,
                rho: phase.rho,
                depth: -off,
            };
            Some((off / (far * far), far, trial))
        };
        let mut lowest: Option<(f64, f64, Trial)> = None;
        for far in [0.01, 0.02, 0.04, 0.08, 0.15, 0.3, 0.5] {
            let Some(here) = at(far) else { break };
            if lowest.as_ref().is_none_or(|l| here.0 < l.0) {
                lowest = Some(here);
            }
        }
        let Some(mut lowest) = lowest else { continue };
        // where the other phase is close and shallow, only a narrow stretch is below
        for factor in [1.4, 1.2, 1.1, 1.05] {
            let far = lowest.1;
            for far in [far / factor, far * factor] {
                if let Some(here) = at(far).filter(|here| here.0 < lowest.0) {
                    lowest = here;
                }
            }
        }
        // the rest of the way downhill; below the plane is below, though the way leads back to the feed
        let there = match feed.trial(&lowest.2.ln_w, Branch::Either) {
            End::Below(trial) => Some(trial),
            _ => Some(lowest.2).filter(|t| t.depth > Trial::LEAST_DEPTH),
        };
        if let Some(trial) = there.filter(|t| feed.has_meaning(t))
            && best.as_ref().is_none_or(|b| trial.depth > b.depth)
        {
            best = Some(trial);
        }
    }
    best
}
