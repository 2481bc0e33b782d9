//! Products in equilibrium, and where an iteration towards them may begin.

use super::polynomial::Reduced;
use super::species::{ATOMIC_MASS_KG_MOL, ELEMENTS, Element, MAX_SPECIES, Products};
use crate::quantity::GAS_CONSTANT_J_MOL_K;

/// Temperature that the search starts from unless told otherwise, K.
pub const DEFAULT_START_K: f64 = 1800.0;

/// Where the iteration begins; the result does not depend on it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Start {
    /// Temperature, K.
    pub t_k: f64,
    /// Mole fractions in the order of [`Products`]; need not fit the atoms.
    pub mole_fractions: [f64; MAX_SPECIES],
}

impl Default for Start {
    fn default() -> Self {
        let mut start = Self {
            t_k: DEFAULT_START_K,
            mole_fractions: [0.0; MAX_SPECIES],
        };
        let n = Products::embedded().len();
        let share = 1.0 / f64::from(u32::try_from(n).expect("a short table"));
        for x in &mut start.mole_fractions[..n] {
            *x = share;
        }
        start
    }
}

/// Products in equilibrium.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct State {
    /// Temperature, K.
    pub t_k: f64,
    /// Pressure, Pa.
    pub p_pa: f64,
    /// Mole fractions in the order of [`Products`].
    pub mole_fractions: [f64; MAX_SPECIES],
    /// Moles of gas from the amount of reactants given.
    pub moles: f64,
    /// Element potentials over `RT`, in the order of [`Element`]; zero for an element that is absent.
    pub potentials: [f64; ELEMENTS],
    /// Enthalpy of the amount of reactants given, J.
    pub enthalpy_j: f64,
    /// Heat capacity at constant pressure with composition following equilibrium, J/(mol K).
    pub cp_equilibrium_j_mol_k: f64,
    /// Newton steps taken.
    pub steps: usize,
}

impl State {
    /// Mole fraction of a species; zero for one that is not in the table.
    pub fn mole_fraction(&self, name: &str) -> f64 {
        Products::embedded()
            .index(name)
            .map_or(0.0, |i| self.mole_fractions[i])
    }

    /// Mean molar mass from atomic masses, kg/mol.
    pub fn molar_mass_kg_mol(&self) -> f64 {
        let atoms = self.atoms_mol();
        let mass: f64 = atoms
            .iter()
            .zip(ATOMIC_MASS_KG_MOL)
            .map(|(a, m)| a * m)
            .sum();
        mass / self.moles
    }

    /// Moles of atoms in the products, in the order of [`Element`].
    pub fn atoms_mol(&self) -> [f64; ELEMENTS] {
        let table = Products::embedded();
        let mut atoms = [0.0; ELEMENTS];
        for j in 0..table.len() {
            for (sum, a) in atoms.iter_mut().zip(table.atoms(j)) {
                *sum += a * self.mole_fractions[j] * self.moles;
            }
        }
        atoms
    }

    /// Heat capacity at constant pressure and composition, J/(mol K), at a temperature.
    pub fn cp_frozen_j_mol_k(&self, t_k: f64) -> f64 {
        GAS_CONSTANT_J_MOL_K * self.mean(t_k, |r| r.cp)
    }

    /// Molar enthalpy at constant composition, J/mol, at a temperature.
    pub fn enthalpy_frozen_j_mol(&self, t_k: f64) -> f64 {
        GAS_CONSTANT_J_MOL_K * t_k * self.mean(t_k, |r| r.h)
    }

    fn mean(&self, t_k: f64, of: impl Fn(&Reduced) -> f64) -> f64 {
        let table = Products::embedded();
        let mut reduced = [ZERO; MAX_SPECIES];
        table.reduced(t_k, &mut reduced);
        let all = self.mole_fractions[..table.len()].iter().zip(&reduced);
        all.map(|(x, r)| x * of(r)).sum()
    }

    /// Activity of solid carbon by the element potential of carbon: above 1 soot would form at
    /// equilibrium, `a = exp(λ_C − g_C(s)/RT)`; zero without carbon.
    pub fn carbon_activity(&self) -> f64 {
        let lambda = self.potentials[Element::C.index()];
        if lambda.abs() > 0.0 {
            (lambda - Products::embedded().graphite_potential(self.t_k)).exp()
        } else {
            0.0
        }
    }

    /// This state as a start for a neighbouring one.
    pub fn as_start(&self) -> Start {
        Start {
            t_k: self.t_k,
            mole_fractions: self.mole_fractions,
        }
    }
}

pub(super) const ZERO: Reduced = Reduced {
    cp: 0.0,
    h: 0.0,
    s: 0.0,
};
