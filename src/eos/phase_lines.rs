//! Bubble and dew line of a fixed composition, tabulated once, to tell the phase of a state that lies
//! clear of both without an equilibrium calculation.
//!
//! The points are converged equilibria; between them `ln p` is interpolated linearly in `1/T`, and a
//! state counts as clear of a line only beyond `MARGIN_K`. Anything closer, or outside the table, is
//! decided by a full calculation. The table ends well below the critical region, where the lines bend.

use super::blend_equilibrium::{self, Split};
use super::mixture::Model;
use super::pure_saturation;

/// Distance from a line in temperature below which the full calculation decides, K. The interpolation
/// is off by less than a tenth of this (checked in the tests).
const MARGIN_K: f64 = 1.0;
/// Points on each line.
const POINTS: usize = 24;
/// Highest reduced temperature of the table.
const T_R_MAX: f64 = 0.88;

/// One line: `(1/T, ln p)`, temperature rising.
#[derive(Debug, Clone, Default)]
struct Line(Vec<(f64, f64)>);

/// Bubble and dew line of one composition.
#[derive(Debug, Clone)]
pub struct PhaseLines {
    bubble: Line,
    dew: Line,
}

impl Line {
    fn push(&mut self, t_k: f64, p_pa: f64) -> bool {
        let rising = self.0.last().is_none_or(|&(_, ln_p)| p_pa.ln() > ln_p);
        if rising {
            self.0.push((t_k.recip(), p_pa.ln()));
        }
        rising
    }
    /// Temperature of the line at a pressure inside the table.
    fn temperature(&self, p_pa: f64) -> Option<f64> {
        let ln_p = p_pa.ln();
        let k = self.0.partition_point(|&(_, l)| l <= ln_p);
        if k == 0 || k >= self.0.len() {
            return None;
        }
        let ((a, la), (b, lb)) = (self.0[k - 1], self.0[k]);
        Some((a + (b - a) * (ln_p - la) / (lb - la)).recip())
    }
}

impl PhaseLines {
    /// Tabulates both lines of a composition; a line that fails is cut short there.
    pub fn new(model: &Model, z: &[f64], t_r_k: f64, t_min_k: f64) -> Self {
        // from where the lightest vapour pressure is worth a table
        let low = t_min_k.max(0.35 * t_r_k);
        let high = T_R_MAX * t_r_k;
        let line = |liquid_given: bool| {
            let mut line = Line::default();
            let mut last: Option<Split> = None;
            for k in 0..POINTS {
                // even steps in 1/T
                let share = k as f64 / (POINTS - 1) as f64;
                let t_k = (low.recip() + share * (high.recip() - low.recip())).recip();
                let found =
                    blend_equilibrium::own_incipient(model, z, t_k, liquid_given, last.as_ref());
                match found {
                    Some(s) if line.push(t_k, s.p_pa) => last = Some(s),
                    // not started yet: a cold end without solution is skipped
                    _ if line.0.is_empty() => {}
                    _ => break,
                }
            }
            line
        };
        Self {
            bubble: line(true),
            dew: line(false),
        }
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
            bubble: line.clone(),
            dew: line,
        }
    }

    /// Dew temperature at a pressure, about; `None` outside the table.
    pub fn dew_k(&self, p_pa: f64) -> Option<f64> {
        self.dew.temperature(p_pa)
    }
    /// Bubble temperature at a pressure, about; `None` outside the table.
    pub fn bubble_k(&self, p_pa: f64) -> Option<f64> {
        self.bubble.temperature(p_pa)
    }
    /// Lowest temperature at which the fluid is certainly gas at this pressure.
    pub fn gas_above_k(&self, p_pa: f64) -> Option<f64> {
        self.dew_k(p_pa).map(|t| t + MARGIN_K)
    }
    /// Highest temperature at which the fluid is certainly liquid at this pressure.
    pub fn liquid_below_k(&self, p_pa: f64) -> Option<f64> {
        self.bubble_k(p_pa).map(|t| t - MARGIN_K)
    }
}
