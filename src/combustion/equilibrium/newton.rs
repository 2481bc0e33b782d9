//! Newton's method on the element potentials at one temperature.
//!
//! In an ideal-gas mixture at equilibrium each species' chemical potential is the sum of its elements'
//! potentials, `μ_j = Σ a_ij λ_i`, so that a handful of potentials fixes every mole number, however
//! small. At a given temperature the problem is convex with one solution. Newton's method on the
//! potentials and the logarithm of the total moles, with logarithms of mole numbers as iterates and a
//! limit on the step, finds it from any start. Each step solves for *changes* of the potentials, so that
//! rounding stays with the small corrections and atoms balance to the last digits.
//!
//! **Source:** `nasa-rp1311` for the equations and the step limits.

use super::polynomial::{Reduced, STANDARD_PRESSURE_PA};
use super::reactants::{EquilibriumError, Reactants};
use super::species::{ELEMENTS, MAX_SPECIES, Products};
use super::state::{Start, State, ZERO};
use crate::numerics::linear;
use crate::quantity::GAS_CONSTANT_J_MOL_K;

/// Atoms of each element balance to this share of the element's own amount.
const ATOM_TOLERANCE: f64 = 1e-13;
/// Mole fractions add up to one within this.
const SUM_TOLERANCE: f64 = 1e-13;
/// Most Newton steps at one temperature.
const MAX_STEPS: usize = 100;
/// Most Newton steps of one flame, at all its temperatures together; the hardest of some thousand took 300.
const MOST_IN_ALL: usize = 2000;

/// Temperature that a second attempt begins at, K, and the factor by which it cools from there.
const HOT_K: f64 = 3000.0;
const COOLING: f64 = 0.8;

/// Unknowns of the linear system: element potentials and the total moles.
const UNKNOWNS: usize = ELEMENTS + 1;
/// Place of the total moles among the unknowns.
const TOTAL: usize = ELEMENTS;
/// `ln` of the mole fraction below which a species is minor for the step limit.
const LN_MINOR: f64 = -18.420_681;
/// `ln` of the mole fraction that a minor species may grow to in one step.
const LN_GROWTH_CAP: f64 = -9.210_340_4;
/// Mole fractions are taken as at least this, so that every logarithm is finite.
const LEAST_START: f64 = 1e-20;
/// Largest rise of `ln n` in one step.
const LARGEST_STEP: f64 = 2.0;

/// Sum over the elements; the total moles may follow in the second list.
fn dot(atoms: &[f64; ELEMENTS], of_elements: &[f64]) -> f64 {
    atoms.iter().zip(of_elements).map(|(a, l)| a * l).sum()
}

/// Everything the iteration works on, for one mole of atoms.
pub(super) struct Work {
    table: &'static Products,
    b: [f64; ELEMENTS],
    amount: f64,
    pub(super) h_wanted: f64,
    p_pa: f64,
    ln_p: f64,
    t_k: f64,
    reduced: [Reduced; MAX_SPECIES],
    ln_n: [f64; MAX_SPECIES],
    n_j: [f64; MAX_SPECIES],
    ln_total: f64,
    pub(super) n: f64,
    potentials: [f64; ELEMENTS],
    /// `Σ n_j h_j/(RT)`
    pub(super) h_total: f64,
    d_ln_n: [f64; MAX_SPECIES],
    d_ln_total: f64,
    steps: usize,
    worst: f64,
}

impl Work {
    /// Ready to iterate; the reactants are checked by the caller.
    pub(super) fn new(reactants: &Reactants, start: &Start) -> Self {
        let amount: f64 = reactants.atoms_mol.iter().sum();
        let table = Products::embedded();
        let mut work = Work {
            table,
            b: reactants.atoms_mol.map(|b| b / amount),
            amount,
            h_wanted: reactants.enthalpy_j / amount,
            p_pa: reactants.pressure_pa,
            ln_p: (reactants.pressure_pa / STANDARD_PRESSURE_PA).ln(),
            t_k: start.t_k,
            reduced: [ZERO; MAX_SPECIES],
            ln_n: [f64::NEG_INFINITY; MAX_SPECIES],
            n_j: [0.0; MAX_SPECIES],
            ln_total: 0.0,
            n: 0.0,
            potentials: [0.0; ELEMENTS],
            h_total: 0.0,
            d_ln_n: [0.0; MAX_SPECIES],
            d_ln_total: 0.0,
            steps: 0,
            worst: f64::INFINITY,
        };
        work.begin(start);
        work
    }

    /// Starts from half a mole of gas a mole of atoms in the proportions given. That they add up to the total
    /// matters far more than what they are.
    fn begin(&mut self, start: &Start) {
        self.ln_total = 0.5_f64.ln();
        self.potentials = [0.0; ELEMENTS];
        let mut sum = 0.0;
        for j in 0..self.table.len() {
            let atoms = self.table.atoms(j).iter().zip(&self.b);
            if atoms.into_iter().all(|(&a, &b)| a <= 0.0 || b > 0.0) {
                let x = start.mole_fractions[j].max(LEAST_START);
                sum += x;
                self.ln_n[j] = self.ln_total + x.ln();
            }
        }
        for ln_n in &mut self.ln_n {
            *ln_n -= sum.ln();
        }
    }

    /// Equilibrium at a temperature; `(dH/dT)/R` there.
    ///
    /// A cold start far from balance can leave the linear system without a say on some potential. Then the
    /// way leads from a hot mixture, where all species are there, down to the temperature wanted.
    pub(super) fn solve_at(&mut self, t_k: f64) -> Result<f64, EquilibriumError> {
        self.set_temperature(t_k);
        if self.equilibrate().is_ok() {
            return Ok(self.temperature_derivative());
        }
        self.begin(&Start::default());
        let mut t_now_k = t_k.max(HOT_K);
        loop {
            self.set_temperature(t_now_k);
            self.equilibrate()?;
            let slope = self.temperature_derivative();
            if t_now_k <= t_k {
                return Ok(slope);
            }
            let next_k = (COOLING * t_now_k).max(t_k);
            self.move_to(next_k / t_now_k);
            t_now_k = next_k;
        }
    }

    fn set_temperature(&mut self, t_k: f64) {
        self.t_k = t_k;
        self.table.reduced(t_k, &mut self.reduced);
    }

    fn present(&self, j: usize) -> bool {
        self.ln_n[j] > f64::NEG_INFINITY
    }

    /// Mole numbers from their logarithms; how far atoms and the sum are off.
    fn balance(&mut self) -> ([f64; ELEMENTS], f64) {
        let mut residual = self.b;
        let mut sum = 0.0;
        self.n = self.ln_total.exp();
        for j in 0..self.table.len() {
            let n_j = self.ln_n[j].exp();
            self.n_j[j] = n_j;
            sum += n_j;
            for (r, a) in residual.iter_mut().zip(self.table.atoms(j)) {
                *r -= a * n_j;
            }
        }
        (residual, self.n - sum)
    }

    /// The matrix of the reduced system: `Σ a_ki a_ij n_j` bordered by `Σ a_kj n_j` and `Σ n_j − n`.
    #[expect(
        clippy::needless_range_loop,
        reason = "two indices of one symmetric matrix"
    )]
    fn matrix(&self, sum_short: f64) -> [[f64; UNKNOWNS]; UNKNOWNS] {
        let mut m = [[0.0; UNKNOWNS]; UNKNOWNS];
        for j in 0..self.table.len() {
            let (n_j, a) = (self.n_j[j], self.table.atoms(j));
            for k in 0..ELEMENTS {
                let an = a[k] * n_j;
                for i in k..ELEMENTS {
                    m[k][i] += an * a[i];
                }
                m[k][TOTAL] += an;
            }
        }
        for k in 0..ELEMENTS {
            if self.b[k] <= 0.0 {
                m[k][k] = 1.0;
            }
            for i in 0..k {
                m[k][i] = m[i][k];
            }
            m[TOTAL][k] = m[k][TOTAL];
        }
        m[TOTAL][TOTAL] = -sum_short;
        m
    }

    /// How far a species' chemical potential over `RT`, `h/RT − s/R + ln x + ln p`, is above the sum of
    /// its elements' potentials.
    fn excess(&self, j: usize) -> f64 {
        let own = self.reduced[j].h - self.reduced[j].s + self.ln_n[j] - self.ln_total + self.ln_p;
        own - dot(self.table.atoms(j), &self.potentials)
    }

    /// Newton's method at the current temperature.
    fn equilibrate(&mut self) -> Result<(), EquilibriumError> {
        let mut whole_step = false;
        for step in 0..MAX_STEPS {
            let (residual, sum_short) = self.balance();
            self.worst = 0.0;
            for (r, b) in residual.iter().zip(&self.b) {
                if *b > 0.0 {
                    self.worst = self.worst.max((r / b).abs());
                }
            }
            if whole_step
                && self.worst <= ATOM_TOLERANCE
                && sum_short.abs() <= SUM_TOLERANCE * self.n
            {
                return Ok(());
            }
            let spent = step + 1 == MAX_STEPS || self.steps >= MOST_IN_ALL;
            if spent || !self.worst.is_finite() {
                break;
            }
            whole_step = self.newton_step(&residual, sum_short);
            self.steps += 1;
        }
        Err(self.not_converged())
    }

    /// One step; whether it was taken whole.
    fn newton_step(&mut self, residual: &[f64; ELEMENTS], sum_short: f64) -> bool {
        let mut m = self.matrix(sum_short);
        let mut rhs = [[0.0; UNKNOWNS]];
        rhs[0][..ELEMENTS].copy_from_slice(residual);
        rhs[0][TOTAL] = sum_short;
        let mut excess = [0.0; MAX_SPECIES];
        for (j, excess_j) in excess.iter_mut().enumerate().take(self.table.len()) {
            if !self.present(j) {
                continue;
            }
            *excess_j = self.excess(j);
            let weighted = self.n_j[j] * *excess_j;
            for (r, a) in rhs[0].iter_mut().zip(self.table.atoms(j)) {
                *r += a * weighted;
            }
            rhs[0][TOTAL] += weighted;
        }
        linear::solve(&mut m, &mut rhs);
        let [unknowns] = rhs;
        let d_total = unknowns[TOTAL];
        let mut change = [0.0; MAX_SPECIES];
        let mut largest = 5.0 * d_total.abs();
        let mut share: f64 = 1.0;
        for (j, change_j) in change.iter_mut().enumerate().take(self.table.len()) {
            if !self.present(j) {
                continue;
            }
            let change = dot(self.table.atoms(j), &unknowns) + d_total - excess[j];
            *change_j = change;
            let ln_x = self.ln_n[j] - self.ln_total;
            if ln_x > LN_MINOR {
                largest = largest.max(change);
            } else if change > 0.0 && change > d_total {
                let room = (LN_GROWTH_CAP - ln_x) / (change - d_total);
                share = share.min(room.abs());
            }
        }
        if largest > LARGEST_STEP {
            share = share.min(LARGEST_STEP / largest);
        }
        for (ln_n, change) in self.ln_n.iter_mut().zip(change) {
            *ln_n += share * change;
        }
        self.ln_total += share * d_total;
        // the potentials are the linear part of the problem and always take the whole step
        for (l, d) in self.potentials.iter_mut().zip(&unknowns) {
            *l += d;
        }
        share >= 1.0
    }

    /// `d(ln n)/d(ln T)` along equilibrium at constant pressure, kept for [`Work::move_to`], and
    /// `(dH/dT)/R`, also for one mole of atoms.
    fn temperature_derivative(&mut self) -> f64 {
        let mut m = self.matrix(0.0);
        let mut rhs = [[0.0; UNKNOWNS]];
        self.h_total = 0.0;
        for j in 0..self.table.len() {
            let n_h = self.n_j[j] * self.reduced[j].h;
            for (r, a) in rhs[0].iter_mut().zip(self.table.atoms(j)) {
                *r -= a * n_h;
            }
            rhs[0][TOTAL] -= n_h;
            self.h_total += n_h;
        }
        linear::solve(&mut m, &mut rhs);
        let [unknowns] = rhs;
        self.d_ln_total = unknowns[TOTAL];
        let mut slope = 0.0;
        for j in 0..self.table.len() {
            self.d_ln_n[j] =
                self.reduced[j].h + dot(self.table.atoms(j), &unknowns) + self.d_ln_total;
            slope += self.n_j[j] * (self.reduced[j].cp + self.reduced[j].h * self.d_ln_n[j]);
        }
        slope
    }

    /// Carries mole numbers along equilibrium to a temperature `factor` times the present one.
    pub(super) fn move_to(&mut self, factor: f64) {
        let d_ln_t = factor.ln();
        for j in 0..self.table.len() {
            // a guess only; limited so that no species leaves the range of exp
            self.ln_n[j] += (self.d_ln_n[j] * d_ln_t).clamp(-50.0, 5.0);
        }
        self.ln_total += self.d_ln_total * d_ln_t;
    }

    pub(super) fn not_converged(&self) -> EquilibriumError {
        EquilibriumError::NotConverged {
            steps: self.steps,
            t_k: self.t_k,
            worst: self.worst,
        }
    }

    pub(super) fn state(&self, slope: f64) -> State {
        let sum: f64 = self.n_j[..self.table.len()].iter().sum();
        let mut mole_fractions = self.n_j;
        for x in &mut mole_fractions {
            *x /= sum;
        }
        State {
            t_k: self.t_k,
            p_pa: self.p_pa,
            mole_fractions,
            moles: sum * self.amount,
            potentials: self.potentials,
            enthalpy_j: self.h_total * self.amount * GAS_CONSTANT_J_MOL_K * self.t_k,
            cp_equilibrium_j_mol_k: slope * GAS_CONSTANT_J_MOL_K / sum,
            steps: self.steps,
        }
    }
}
