//! Bubble and dew line of a fixed composition, tabulated once, to tell the phase of a state that lies
//! clear of both without an equilibrium calculation.
//!
//! The points are equilibria to a millionth; between them `ln p` is interpolated linearly in `1/T`, and a
//! state counts as clear of a line only beyond `MARGIN_K`. Anything closer, or outside the table, is
//! decided by a full calculation. The table ends well below the critical region, where the lines bend. From there
//! the dew line is followed a little further, for a temperature above which there is no dew point at all.

use super::blend_equilibrium::{self, Split};
use super::mixture::Model;
use super::{MAX_COMPONENTS, MoleFractions, pure_saturation};
use crate::numerics::effort::uncounted;
use std::sync::{Arc, OnceLock};

/// Distance from a line in temperature below which the full calculation decides, K, of a blend and of a pure
/// fluid. The interpolation is off by less than a tenth of this (checked in the tests); the start curves of
/// pure fluids are rougher.
const MARGIN_K: f64 = 0.2;
const PURE_MARGIN_K: f64 = 1.0;
/// Accuracy of the points in the logarithms of partial pressures: a ten-thousandth of the margin.
const ENOUGH: f64 = 1e-6;
/// Points on each line.
const POINTS: usize = 24;
/// Highest reduced temperature of the table.
const T_R_MAX: f64 = 0.88;

/// Beyond the table the dew line is followed in steps of pressure of at most this ratio, halved where they fail.
const DEW_RATIO: f64 = 1.25;
const LEAST_DEW_RATIO: f64 = 1.03;
const MOST_DEW_STEPS: usize = 40;
/// Beyond its last point the dew line bends down over `ln p`: it stays below its tangent there. This much steeper,
/// and this much warmer, K, bounds both from above.
const DEW_STEEPER: f64 = 1.5;
const DEW_WARMER_K: f64 = 2.0;
/// Share of the table's highest temperature that its last point reaches unless it was cut short.
const WHOLE_TABLE: f64 = 0.999;
/// Limits of `d ln p / d ln T` as a step of the search.
const STEEP: (f64, f64) = (2.0, 40.0);

/// One line: `(1/T, ln p)`, temperature rising, and the equilibria there (none for a pure fluid).
#[derive(Debug, Clone, Default)]
struct Line {
    points: Vec<(f64, f64)>,
    splits: Vec<Split>,
}

/// Bubble and dew line of one composition, each tabulated when it is first asked for.
#[derive(Debug, Clone)]
pub struct PhaseLines {
    /// What they are of; `None` for a pure fluid, whose lines are there from the start.
    of: Option<Of>,
    bubble: OnceLock<Line>,
    dew: OnceLock<Line>,
    dew_end: OnceLock<Option<DewEnd>>,
    margin_k: f64,
}

/// Where the dew line was followed to beyond the table, the highest temperature on the way, and the slope
/// `dT/d ln p` at the end, not below zero.
#[derive(Debug, Clone, Copy)]
struct DewEnd {
    ln_p: f64,
    highest_k: f64,
    slope_k: f64,
}

/// A composition and the temperatures of its table, K.
#[derive(Debug, Clone)]
struct Of {
    model: Arc<Model>,
    z: MoleFractions,
    low_k: f64,
    high_k: f64,
}

impl Line {
    fn push(&mut self, t_k: f64, p_pa: f64) -> bool {
        let rising = self.points.last().is_none_or(|&(_, ln_p)| p_pa.ln() > ln_p);
        if rising {
            self.points.push((t_k.recip(), p_pa.ln()));
        }
        rising
    }
    /// Index of the point above a pressure inside the table.
    fn above(&self, ln_p: f64) -> Option<usize> {
        let k = self.points.partition_point(|&(_, l)| l <= ln_p);
        (k > 0 && k < self.points.len()).then_some(k)
    }
    /// Temperature of the line at a pressure inside the table: the cubic through the points around it.
    fn temperature(&self, p_pa: f64) -> Option<f64> {
        let ln_p = p_pa.ln();
        let k = self.above(ln_p)?;
        let first = k.saturating_sub(2).min(self.points.len().saturating_sub(4));
        let near = &self.points[first..self.points.len().min(first + 4)];
        let inverse: f64 = near
            .iter()
            .map(|&(inverse, l)| {
                let others = near.iter().filter(|o| (o.1 - l).abs() > 0.0);
                inverse * others.map(|o| (ln_p - o.1) / (l - o.1)).product::<f64>()
            })
            .sum();
        Some(inverse.recip())
    }
    /// An equilibrium near the one at a pressure, and `d ln p / d ln T` of the line there.
    fn start(&self, p_pa: f64, liquid_given: bool) -> Option<(Split, f64)> {
        let ln_p = p_pa.ln();
        let k = self.above(ln_p)?;
        let (low, high) = (self.splits.get(k - 1)?, self.splits.get(k)?);
        let ((a, la), (b, lb)) = (self.points[k - 1], self.points[k]);
        let t_k = self.temperature(p_pa)?;
        let share = (ln_p - la) / (lb - la);
        let between = |l: f64, h: f64| l + share * (h - l);
        let geometric = |l: f64, h: f64| l * (h / l).powf(share);
        let fractions = |l: &MoleFractions, h: &MoleFractions| {
            let mut w = [0.0; MAX_COMPONENTS];
            for (w, (l, h)) in w.iter_mut().zip(l.iter().zip(h.iter())) {
                *w = between(*l, *h);
            }
            MoleFractions::new(&w[..l.len()])
        };
        let start = Split {
            t_k,
            p_pa,
            x: fractions(&low.x, &high.x),
            y: fractions(&low.y, &high.y),
            liquid_mol_m3: between(low.liquid_mol_m3, high.liquid_mol_m3),
            vapour_mol_m3: geometric(low.vapour_mol_m3, high.vapour_mol_m3),
            vapour_fraction: if liquid_given { 0.0 } else { 1.0 },
        };
        Some((start, (lb - la) / (a - b) / t_k))
    }
}

/// Start of the next point of a line from the last two: `ln p` and compositions carried on straight in `1/T`.
fn ahead(before: &Split, last: &Split, t_k: f64) -> Split {
    let share = (t_k.recip() - last.t_k.recip()) / (last.t_k.recip() - before.t_k.recip());
    let on = |a: f64, b: f64| b + share * (b - a);
    let fractions = |a: &MoleFractions, b: &MoleFractions| {
        let mut w = [0.0; MAX_COMPONENTS];
        for (w, (a, b)) in w.iter_mut().zip(a.iter().zip(b.iter())) {
            *w = on(*a, *b).max(0.5 * b);
        }
        let sum: f64 = w.iter().sum();
        for w in &mut w {
            *w /= sum;
        }
        MoleFractions::new(&w[..a.len()])
    };
    let p_pa = on(before.p_pa.ln(), last.p_pa.ln()).exp();
    Split {
        t_k,
        p_pa,
        x: fractions(&before.x, &last.x),
        y: fractions(&before.y, &last.y),
        liquid_mol_m3: on(before.liquid_mol_m3, last.liquid_mol_m3),
        vapour_mol_m3: on(before.vapour_mol_m3.ln(), last.vapour_mol_m3.ln()).exp(),
        vapour_fraction: last.vapour_fraction,
    }
}

impl Of {
    /// One line; where a point fails it is cut short.
    fn line(&self, liquid_given: bool) -> Line {
        let mut line = Line::default();
        for k in 0..POINTS {
            // even steps in 1/T
            let share = k as f64 / (POINTS - 1) as f64;
            let t_k =
                (self.low_k.recip() + share * (self.high_k.recip() - self.low_k.recip())).recip();
            let start = match line.splits.as_slice() {
                [.., before, last] => Some(ahead(before, last, t_k)),
                [last] => Some(*last),
                [] => None,
            };
            let solve = |start: Option<&Split>| {
                let (model, z) = (&self.model, &self.z);
                blend_equilibrium::incipient_about(ENOUGH, model, z, t_k, liquid_given, start)
            };
            let found = solve(start.as_ref()).or_else(|| start.and_then(|_| solve(None)));
            match found {
                Some(s) if line.push(t_k, s.p_pa) => line.splits.push(s),
                // not started yet: a cold end without solution is skipped
                _ if line.points.is_empty() => {}
                _ => break,
            }
        }
        line
    }
}

/// A dew point at a pressure a little above those of two, and `d ln p / d ln T` there, by carrying on straight.
fn dew_ahead(before: &Split, last: &Split, p_pa: f64) -> (Split, f64) {
    let share = (p_pa / last.p_pa).ln() / (last.p_pa / before.p_pa).ln();
    let rise = (last.p_pa / before.p_pa).ln() / (last.t_k / before.t_k).ln();
    let t_k = last.t_k + share * (last.t_k - before.t_k);
    let start = Split {
        p_pa,
        ..ahead(before, last, t_k)
    };
    (start, rise)
}

impl Of {
    /// The dew line followed from the end of its table to where the solver gives up.
    fn dew_end(&self, table: &Line) -> Option<DewEnd> {
        let (mut before, mut last) = match table.splits.as_slice() {
            [.., before, last] if last.t_k > WHOLE_TABLE * self.high_k => (*before, *last),
            // further down the line still bends up
            _ => return None,
        };
        let (mut ratio, mut highest_k) = (DEW_RATIO, last.t_k);
        for _ in 0..MOST_DEW_STEPS {
            let p_pa = last.p_pa * ratio;
            let (start, rise) = dew_ahead(&before, &last, p_pa);
            let next = blend_equilibrium::incipient_near_pressure(
                &self.model,
                &self.z,
                p_pa,
                false,
                &start,
                rise.clamp(STEEP.0, STEEP.1),
            );
            match next {
                Some(next) if next.t_k > last.t_k => (before, last) = (last, next),
                // past the highest temperature there is nothing more to learn
                Some(_) => break,
                None => {
                    ratio = 1.0 + 0.5 * (ratio - 1.0);
                    if ratio < LEAST_DEW_RATIO {
                        break;
                    }
                }
            }
            highest_k = highest_k.max(last.t_k);
        }
        Some(DewEnd {
            ln_p: last.p_pa.ln(),
            highest_k,
            slope_k: (last.t_k - before.t_k) / (last.p_pa / before.p_pa).ln(),
        })
    }
}

impl PhaseLines {
    /// The lines of a composition.
    pub fn new(model: &Arc<Model>, z: &MoleFractions, t_r_k: f64, t_min_k: f64) -> Self {
        Self {
            of: Some(Of {
                model: Arc::clone(model),
                z: *z,
                // from where the lightest vapour pressure is worth a table
                low_k: t_min_k.max(0.35 * t_r_k),
                high_k: T_R_MAX * t_r_k,
            }),
            bubble: OnceLock::new(),
            dew: OnceLock::new(),
            dew_end: OnceLock::new(),
            margin_k: MARGIN_K,
        }
    }

    /// Whether the dew line is tabulated already.
    pub fn has_dew(&self) -> bool {
        self.dew.get().is_some()
    }

    fn bubble(&self) -> &Line {
        let of = self.of.as_ref();
        self.bubble
            .get_or_init(|| of.map_or_else(Line::default, |of| uncounted(|| of.line(true))))
    }

    fn dew(&self) -> &Line {
        let of = self.of.as_ref();
        self.dew
            .get_or_init(|| of.map_or_else(Line::default, |of| uncounted(|| of.line(false))))
    }

    /// For a pure fluid, from its start curve (good to 0.5 % or better in pressure).
    pub fn pure(model: &Model) -> Self {
        let e = &model.fluids()[0].equation;
        let (low, high) = (
            e.t_triple_k.max(0.35 * e.t_critical_k),
            0.98 * e.t_critical_k,
        );
        let mut line = Line::default();
        for k in 0..3 * POINTS {
            let share = k as f64 / (3 * POINTS - 1) as f64;
            let t_k = (low.recip() + share * (high.recip() - low.recip())).recip();
            line.push(
                t_k,
                pure_saturation::ancillary(&e.ancillary.vapour_pressure, t_k),
            );
        }
        Self {
            of: None,
            bubble: OnceLock::from(line.clone()),
            dew: OnceLock::from(line),
            dew_end: OnceLock::from(None),
            margin_k: PURE_MARGIN_K,
        }
    }

    /// A bubble or dew point near the one at a pressure, and `d ln p / d ln T` there.
    pub fn start(&self, p_pa: f64, liquid_given: bool) -> Option<(Split, f64)> {
        let line = if liquid_given {
            self.bubble()
        } else {
            self.dew()
        };
        line.start(p_pa, liquid_given)
    }

    /// Dew temperature at a pressure, about; `None` outside the table.
    pub fn dew_k(&self, p_pa: f64) -> Option<f64> {
        self.dew().temperature(p_pa)
    }
    /// Bubble temperature at a pressure, about; `None` outside the table.
    pub fn bubble_k(&self, p_pa: f64) -> Option<f64> {
        self.bubble().temperature(p_pa)
    }
    /// A temperature above which a blend has no dew point at a pressure beyond the table.
    pub fn no_dew_above_k(&self, p_pa: f64) -> Option<f64> {
        let table = self.dew();
        let (_, top_ln_p) = table.points.last()?;
        let end = self
            .dew_end
            .get_or_init(|| uncounted(|| self.of.as_ref()?.dew_end(table)));
        let (end, ln_p) = ((*end)?, p_pa.ln());
        (ln_p >= *top_ln_p).then(|| {
            end.highest_k + DEW_WARMER_K + DEW_STEEPER * end.slope_k * (ln_p - end.ln_p).max(0.0)
        })
    }
    /// Lowest temperature at which the fluid is certainly gas at this pressure.
    pub fn gas_above_k(&self, p_pa: f64) -> Option<f64> {
        self.dew_k(p_pa).map(|t| t + self.margin_k)
    }
    /// Highest temperature at which the fluid is certainly liquid at this pressure. Above the table the bubble line is warmer
    /// still than its end.
    pub fn liquid_below_k(&self, p_pa: f64) -> Option<f64> {
        let beyond = || {
            let &(inverse, ln_p) = self.bubble().points.last()?;
            (p_pa.ln() >= ln_p).then(|| inverse.recip())
        };
        self.bubble_k(p_pa)
            .or_else(beyond)
            .map(|t| t - self.margin_k)
    }
}
