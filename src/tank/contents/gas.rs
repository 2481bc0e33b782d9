//! Gas alone: the temperature at which a given density holds a given energy.

use super::{Inventory, MOST_DT_K, MOST_ITERATIONS, Point, Solver, T_SCALE_K, point_of};
use crate::tank::TankError;

/// Residual that is accepted where it no longer shrinks.
const STALLED: f64 = 1e-7;
/// Change of a mole fraction that is no change: gas alone is drawn as it is, and a backend that is kept
/// answers sooner.
const DRIFT: f64 = 1e-10;
/// What is looked for.
const GAS: &str = "temperature of the gas of the contents";

impl Solver {
    /// Newton in temperature at the density that is given: slope `m cv + C`.
    pub(super) fn solve_gas(&mut self, i: &Inventory, tolerance: f64) -> Result<Point, TankError> {
        let (mut gas, mut state) = self.gas.clone().ok_or(TankError::Unsolved {
            what: "no start value",
            t_k: f64::NAN,
            residual: f64::NAN,
        })?;
        let moles = i.moles();
        let held = gas.composition().mole_fractions();
        let drifted = (0..self.count).any(|k| (held[k] - i.n_mol[k] / moles).abs() > DRIFT);
        if drifted {
            gas = self.recomposed(i)?;
        }
        let mass_kg = moles * gas.molar_mass_kg_mol();
        let rho = mass_kg / self.vessel.volume_m3;
        let capacity = self.capacity_j_k(i);
        let mut t_k = state.temperature_k;
        let mut residual = f64::NAN;
        let mut secant: Option<(f64, f64)> = None;
        let mut smallest = f64::INFINITY;
        let (mut cold, mut warm) = (0.0_f64, f64::INFINITY);
        for iteration in 1..=MOST_ITERATIONS {
            self.afford(GAS, t_k)?;
            state = gas.state_rho_t(rho, t_k)?;
            let off =
                mass_kg * state.internal_energy_j_kg() + self.vessel.wall_j_k * t_k - i.energy_j;
            residual = off / (capacity * T_SCALE_K);
            // the flash of a wet blend is only so fine: what no longer shrinks is as good as it gets
            let stalled = residual.abs() <= STALLED && residual.abs() >= 0.5 * smallest;
            smallest = smallest.min(residual.abs());
            if residual.abs() <= tolerance || stalled {
                let m = gas.molar_mass_kg_mol();
                let point = point_of(&state, moles, m, &i.n_mol[..self.count]);
                self.gas = Some((gas, state));
                return Ok(point);
            }
            // wet gas has no heat capacity of its own: secant, or a guess that is damped
            let slope = match (state.response, secant) {
                (Some(r), _) => mass_kg * r.cv_j_kg_k + self.vessel.wall_j_k,
                (None, Some((t, o))) if (t - t_k).abs() > 0.0 => (off - o) / (t_k - t),
                (None, _) => 2.0 * capacity,
            };
            secant = Some((t_k, off));
            // energy rises with temperature: keep the root between what was too cold and too warm
            if off > 0.0 {
                warm = warm.min(t_k);
            } else {
                cold = cold.max(t_k);
            }
            let next_k = t_k - (off / slope).clamp(-MOST_DT_K, MOST_DT_K);
            // at the dew point the slope jumps many times over: every third step halves the bracket
            let trusted = iteration % 3 != 0 || !warm.is_finite();
            t_k = if trusted && (cold..=warm).contains(&next_k) {
                next_k
            } else {
                0.5 * (cold.max(t_k - MOST_DT_K) + warm.min(t_k + MOST_DT_K))
            };
        }
        Err(TankError::Unsolved {
            what: GAS,
            t_k,
            residual,
        })
    }
}
