//! Equilibrium at given temperature or enthalpy.
//!
//! Newton's method on the element potentials (`newton.rs`) solves at a temperature. Around it a bracketed
//! Newton iteration moves the temperature until the enthalpy fits; the enthalpy of an equilibrium mixture
//! rises with temperature, so that there is one solution. Nothing is allocated.

use super::newton::Work;
use super::reactants::{EquilibriumError, Reactants};
use super::species::Products;
use super::state::{Start, State};
use crate::quantity::GAS_CONSTANT_J_MOL_K;

/// Enthalpy balances to this share of `n R T`.
pub const ENTHALPY_TOLERANCE: f64 = 1e-12;
/// Most temperatures tried.
pub const MAX_TEMPERATURES: usize = 100;

impl Reactants {
    /// Equilibrium at constant pressure and enthalpy: the adiabatic flame.
    ///
    /// Finds `T` with `Σ n_j h_j(T) = H` and `n` at equilibrium at `T` and `p`.
    ///
    /// **Valid:** ideal gases, no condensed phase, products from 300 K to 3500 K.
    /// **Source:** `nasa-rp1311`; species data `gri30`, `tm4513`.
    ///
    /// # Errors
    /// [`EquilibriumError`]: temperature out of range, impossible input, not converged.
    ///
    /// ```
    /// use fuelwright::combustion::equilibrium::{Reactants, Start};
    /// // one mole of hydrogen and half a mole of oxygen at 298.15 K, 1 atm
    /// let reactants = Reactants { atoms_mol: [0.0, 2.0, 1.0, 0.0, 0.0], enthalpy_j: 0.0, pressure_pa: 101_325.0 };
    /// let flame = reactants.at_enthalpy(&Start::default())?;
    /// assert!((flame.t_k - 3077.0).abs() < 10.0); // 3080 K in textbooks, from memory
    /// # Ok::<(), fuelwright::combustion::equilibrium::EquilibriumError>(())
    /// ```
    pub fn at_enthalpy(&self, start: &Start) -> Result<State, EquilibriumError> {
        let [t_low, t_high] = Products::embedded().temperature_range_k();
        let mut work = self.work(start)?;
        let (mut lower, mut upper) = (t_low, t_high);
        let mut t_k = start.t_k.clamp(t_low, t_high);
        for _ in 0..MAX_TEMPERATURES {
            let slope = work.solve_at(t_k)?;
            // surplus of enthalpy over n R T, and the Newton step that removes it
            let surplus = work.h_total - work.h_wanted / (GAS_CONSTANT_J_MOL_K * t_k);
            if surplus.abs() <= ENTHALPY_TOLERANCE * work.n {
                return Ok(work.state(slope));
            }
            if surplus > 0.0 {
                if t_k <= t_low {
                    return Err(EquilibriumError::TooCold { limit_k: t_low });
                }
                upper = t_k;
            } else {
                if t_k >= t_high {
                    return Err(EquilibriumError::TooHot { limit_k: t_high });
                }
                lower = t_k;
            }
            let newton = t_k * (1.0 - surplus / slope);
            let next = if newton > lower && newton < upper {
                newton
            } else if newton >= t_high && upper >= t_high {
                t_high
            } else if newton <= t_low && lower <= t_low {
                t_low
            } else {
                0.5 * (lower + upper)
            };
            if (next - t_k).abs() <= f64::EPSILON * t_k {
                return Ok(work.state(slope));
            }
            work.move_to(next / t_k);
            t_k = next;
        }
        Err(work.not_converged())
    }

    /// Equilibrium at constant pressure and a given temperature; `enthalpy_j` of the reactants is not used.
    ///
    /// **Valid:** as [`Reactants::at_enthalpy`].
    /// **Source:** `nasa-rp1311`.
    ///
    /// # Errors
    /// [`EquilibriumError`]: temperature out of range, impossible input, not converged.
    pub fn at_temperature(&self, t_k: f64, start: &Start) -> Result<State, EquilibriumError> {
        let [lower_k, upper_k] = Products::embedded().temperature_range_k();
        if !(lower_k..=upper_k).contains(&t_k) {
            return Err(EquilibriumError::TemperatureOutOfRange {
                t_k,
                lower_k,
                upper_k,
            });
        }
        let mut work = self.work(start)?;
        let slope = work.solve_at(t_k)?;
        Ok(work.state(slope))
    }

    fn work(&self, start: &Start) -> Result<Work, EquilibriumError> {
        let positive = |what, value: f64| {
            if value > 0.0 && value.is_finite() {
                Ok(value)
            } else {
                Err(EquilibriumError::Impossible { what, value })
            }
        };
        positive("pressure", self.pressure_pa)?;
        positive("the start temperature", start.t_k)?;
        if !self.enthalpy_j.is_finite() {
            return Err(EquilibriumError::Impossible {
                what: "enthalpy",
                value: self.enthalpy_j,
            });
        }
        for &value in &self.atoms_mol {
            if !(value >= 0.0 && value.is_finite()) {
                return Err(EquilibriumError::Impossible {
                    what: "moles of atoms",
                    value,
                });
            }
        }
        positive("moles of atoms", self.atoms_mol.iter().sum())?;
        let [carbon, hydrogen, oxygen, ..] = self.atoms_mol;
        // carbon monoxide holds one carbon an oxygen; acetylene and hydrogen cyanide one a hydrogen
        if carbon > 0.0 && carbon >= oxygen + hydrogen {
            return Err(EquilibriumError::TooMuchCarbon {
                carbon,
                oxygen,
                hydrogen,
            });
        }
        Ok(Work::new(self, start))
    }
}
