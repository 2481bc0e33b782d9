//! What is in a rigid tank that holds given moles and a given energy: one temperature, liquid and
//! vapour in equilibrium, or gas alone.
//!
//! Moles and energy are what the balances integrate; temperature and liquid composition follow from
//! them by a quasi-Newton iteration that costs one bubble point a step and starts from the last
//! solution, so a run needs about two bubble points a slope. Closing the balances then depends on this
//! iteration alone, not on the integrator.

mod gas;

use super::TankError;
use super::error::hard_to_tell;
use super::residual::size;
use crate::eos::{Backend, Equilibrium, MAX_COMPONENTS, MoleFractions, Phase, Side, State};
use crate::numerics::broyden;
use crate::numerics::effort::Allowance;
use crate::quantity::sentence::{in_kelvin_2, pressure, sentence};
use nalgebra::DMatrix;
use std::sync::Arc;

/// Residual at which an iteration is done where slopes and events are asked for; in units of
/// [`T_SCALE_K`] for the energy and of all moles for the species.
pub(crate) const LOOSE: f64 = 1e-8;
/// The same for results.
pub(crate) const TIGHT: f64 = 1e-11;

/// Temperature that weighs as much as a change of composition by one.
const T_SCALE_K: f64 = 100.0;
const MOST_ITERATIONS: usize = 60;
/// Steps of all iterations that one solver may take from first to last: a blend drawn for two hours takes some
/// thousand, one drawn for two months 70 000.
const MOST_EFFORT: u64 = 200_000;
/// Iterations after which the Jacobian is formed anew.
const STALE_AFTER: usize = 6;
/// Difference steps of the Jacobian.
const DT_K: f64 = 1e-2;
const DX: f64 = 1e-5;
/// Largest change a step.
const MOST_DT_K: f64 = 20.0;
const MOST_DX: f64 = 0.2;
/// Heat capacity of light hydrocarbons, J/(kg K): only a scale for residuals.
const USUAL_CP_J_KG_K: f64 = 2000.0;

/// What is looked for where there is liquid.
const CONTENTS: &str = "temperature and liquid composition of the contents";

type Vector = [f64; MAX_COMPONENTS];

/// Moles of each component, and energy of fluid and wall.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Inventory {
    pub(crate) n_mol: Vector,
    pub(crate) energy_j: f64,
}

impl Inventory {
    pub(crate) fn moles(&self) -> f64 {
        self.n_mol.iter().sum()
    }
}

/// Rigid vessel whose wall has the temperature of what it holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Vessel {
    pub(crate) volume_m3: f64,
    pub(crate) wall_j_k: f64,
}

/// A solved state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Point {
    pub(crate) t_k: f64,
    pub(crate) p_pa: f64,
    /// Moles of liquid; slightly negative just past the point where the last liquid went.
    pub(crate) liquid_mol: f64,
    pub(crate) vapour_mol: f64,
    /// `None` if there is gas alone.
    pub(crate) liquid: Option<Side>,
    pub(crate) vapour: Side,
}

impl Point {
    pub(crate) fn liquid_kg(&self) -> f64 {
        self.liquid
            .map_or(0.0, |l| self.liquid_mol * l.molar_mass_kg_mol)
    }
    pub(crate) fn vapour_kg(&self) -> f64 {
        self.vapour_mol * self.vapour.molar_mass_kg_mol
    }
    pub(crate) fn liquid_m3(&self) -> f64 {
        self.liquid.map_or(0.0, |l| {
            self.liquid_mol * l.molar_mass_kg_mol / l.density_kg_m3
        })
    }
}

/// Saturated liquid and its vapour, molar.
#[derive(Debug, Clone, Copy)]
struct Saturated {
    equilibrium: Equilibrium,
    v_l: f64,
    v_v: f64,
    u_l: f64,
    u_v: f64,
}

impl Saturated {
    fn new(e: &Equilibrium) -> Self {
        let v = |s: &Side| s.molar_mass_kg_mol / s.density_kg_m3;
        let u =
            |s: &Side| (s.enthalpy_j_kg - e.pressure_pa / s.density_kg_m3) * s.molar_mass_kg_mol;
        Self {
            v_l: v(&e.liquid),
            v_v: v(&e.vapour),
            u_l: u(&e.liquid),
            u_v: u(&e.vapour),
            equilibrium: *e,
        }
    }
    /// Moles of liquid and vapour that fill the volume.
    fn split(&self, moles: f64, volume_m3: f64) -> (f64, f64) {
        let n_v = (volume_m3 - moles * self.v_l) / (self.v_v - self.v_l);
        (moles - n_v, n_v)
    }
}

/// Which phases are looked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Mode {
    /// Liquid and vapour.
    TwoPhase,
    /// Gas alone (it may turn wet: [`Point::liquid`] tells).
    Gas,
}

/// Finds states one after the other, each started from the last.
#[derive(Debug)]
pub(crate) struct Solver {
    backend: Arc<dyn Backend>,
    count: usize,
    vessel: Vessel,
    mode: Mode,
    /// Component whose mole fraction is one less the others.
    dropped: usize,
    saturated: Option<Saturated>,
    /// Inverse Jacobian of the residuals by the scaled unknowns.
    inverse: Option<DMatrix<f64>>,
    gas: Option<(Arc<dyn Backend>, State)>,
    last: Option<(Inventory, f64, Point)>,
    allowance: Allowance,
}

impl Solver {
    pub(crate) fn new(backend: Arc<dyn Backend>, vessel: Vessel) -> Self {
        Self {
            count: backend.composition().parts().len(),
            backend,
            vessel,
            mode: Mode::TwoPhase,
            dropped: 0,
            saturated: None,
            inverse: None,
            gas: None,
            last: None,
            allowance: Allowance::of(MOST_EFFORT),
        }
    }

    /// Refuses to go on once the allowance is spent.
    fn afford(&self, what: &'static str, t_k: f64) -> Result<(), TankError> {
        if !self.allowance.is_spent() {
            return Ok(());
        }
        let (t_critical_k, p_critical_pa) = self.backend.critical();
        Err(TankError::Spent {
            what,
            steps: self.allowance.most(),
            last: Some(sentence!(
                "last at {}; the critical point of {} is {}, {}; {}",
                in_kelvin_2(t_k),
                self.backend.composition().label(),
                in_kelvin_2(t_critical_k),
                pressure(p_critical_pa),
                hard_to_tell()
            )),
        })
    }
    pub(crate) fn vessel(&self) -> Vessel {
        self.vessel
    }
    pub(crate) fn count(&self) -> usize {
        self.count
    }
    pub(crate) fn mode(&self) -> Mode {
        self.mode
    }

    /// State and inventory of a mass of the backend's composition as a whole at a temperature.
    pub(crate) fn start(
        &mut self,
        mass_kg: f64,
        t_k: f64,
    ) -> Result<(Inventory, Point), TankError> {
        let state = self
            .backend
            .state_rho_t(mass_kg / self.vessel.volume_m3, t_k)?;
        let moles = mass_kg / self.backend.molar_mass_kg_mol();
        let mut n_mol = [0.0; MAX_COMPONENTS];
        for (n, x) in n_mol
            .iter_mut()
            .zip(self.backend.composition().mole_fractions())
        {
            *n = moles * x;
        }
        let m = self.backend.molar_mass_kg_mol();
        let point = point_of(&state, moles, m, &n_mol[..self.count]);
        let energy_j =
            mass_kg * state.internal_energy_j_kg() + self.vessel.wall_j_k * state.temperature_k;
        let inventory = Inventory { n_mol, energy_j };
        self.mode = match state.equilibrium {
            Some(e) => {
                self.saturated = Some(Saturated::new(&e));
                Mode::TwoPhase
            }
            None if state.phase == Phase::Liquid => {
                return Err(TankError::LiquidFull {
                    mass_kg,
                    most_kg: self.vessel.volume_m3
                        * self.backend.bubble_t(t_k)?.liquid.density_kg_m3,
                    t_k,
                });
            }
            None => {
                self.gas = Some((Arc::clone(&self.backend), state));
                Mode::Gas
            }
        };
        Ok((inventory, point))
    }

    /// Carries on with gas alone, or with both phases, from the last solution.
    pub(crate) fn switch(&mut self, to: Mode) -> Result<(), TankError> {
        let Some((inventory, _, point)) = self.last else {
            return Ok(());
        };
        self.mode = to;
        self.last = None;
        match to {
            Mode::Gas => {
                let gas = self.recomposed(&inventory)?;
                let mass_kg = inventory.moles() * gas.molar_mass_kg_mol();
                let state = gas.state_rho_t(mass_kg / self.vessel.volume_m3, point.t_k)?;
                self.gas = Some((gas, state));
            }
            Mode::TwoPhase => {
                let wet = self.gas.as_ref().and_then(|(_, s)| s.equilibrium);
                self.saturated = wet.as_ref().map(Saturated::new).or(self.saturated);
                self.inverse = None;
            }
        }
        Ok(())
    }

    /// State that holds this inventory, to a residual of `tolerance` ([`LOOSE`] or [`TIGHT`]).
    pub(crate) fn solve(&mut self, i: &Inventory, tolerance: f64) -> Result<Point, TankError> {
        if let Some((inventory, reached, point)) = &self.last
            && inventory == i
            && *reached <= tolerance
        {
            return Ok(*point);
        }
        if i.moles() <= 0.0 {
            return Err(TankError::Empty);
        }
        let point = match self.mode {
            Mode::TwoPhase => self.solve_two_phase(i, tolerance),
            Mode::Gas => self.solve_gas(i, tolerance),
        }?;
        self.last = Some((*i, tolerance, point));
        Ok(point)
    }

    fn recomposed(&self, i: &Inventory) -> Result<Arc<dyn Backend>, TankError> {
        let moles = i.moles();
        let mut z = i.n_mol;
        for z in &mut z {
            *z /= moles;
        }
        Ok(self.backend.recomposed(&z[..self.count])?)
    }

    /// Heat capacity of wall and contents, J/K, roughly.
    fn capacity_j_k(&self, i: &Inventory) -> f64 {
        let mass_kg: f64 = self
            .backend
            .composition()
            .parts()
            .iter()
            .zip(i.n_mol)
            .map(|(p, n)| p.fuel.molar_mass_kg_mol * n)
            .sum();
        self.vessel.wall_j_k + USUAL_CP_J_KG_K * mass_kg
    }

    // ---- liquid and vapour ------------------------------------------------------------------

    fn saturated_at(&self, t_k: f64, x: &Vector, near: &Saturated) -> Result<Saturated, TankError> {
        let e = if self.count == 1 {
            self.backend.bubble_t(t_k)?
        } else {
            let liquid = self.backend.recomposed(&x[..self.count])?;
            liquid.bubble_t_near(t_k, &near.equilibrium)?
        };
        Ok(Saturated::new(&e))
    }

    /// Residuals: energy first, then each species but the dropped one.
    fn residuals(&self, s: &Saturated, i: &Inventory, capacity_j_k: f64) -> Vector {
        let moles = i.moles();
        let (n_l, n_v) = s.split(moles, self.vessel.volume_m3);
        let energy_j =
            n_l * s.u_l + n_v * s.u_v + self.vessel.wall_j_k * s.equilibrium.temperature_k;
        let mut r = [0.0; MAX_COMPONENTS];
        r[0] = (energy_j - i.energy_j) / (capacity_j_k * T_SCALE_K);
        for (row, k) in self.kept().enumerate() {
            let x = s.equilibrium.liquid.mole_fractions[k];
            let y = s.equilibrium.vapour.mole_fractions[k];
            r[row + 1] = (n_l * x + n_v * y - i.n_mol[k]) / moles;
        }
        r
    }

    /// Components whose mole fractions are unknowns.
    fn kept(&self) -> impl Iterator<Item = usize> + use<> {
        let dropped = self.dropped;
        (0..self.count).filter(move |&k| k != dropped)
    }

    /// Temperature and liquid composition of a saturated state after a change of the scaled unknowns.
    fn moved(&self, from: &Saturated, change: &[f64]) -> (f64, Vector) {
        let mut x = [0.0; MAX_COMPONENTS];
        x[..self.count].copy_from_slice(&from.equilibrium.liquid.mole_fractions);
        for (k, dx) in self.kept().zip(&change[1..]) {
            x[k] = (x[k] + dx).clamp(0.0, 1.0);
        }
        let others: f64 = self.kept().map(|k| x[k]).sum();
        x[self.dropped] = (1.0 - others).max(0.0);
        let sum = others + x[self.dropped];
        for x in &mut x {
            *x /= sum;
        }
        (from.equilibrium.temperature_k + change[0] * T_SCALE_K, x)
    }

    fn solve_two_phase(&mut self, i: &Inventory, tolerance: f64) -> Result<Point, TankError> {
        let n = self.count;
        let capacity = self.capacity_j_k(i);
        let mut s = self.saturated.ok_or(TankError::Unsolved {
            what: "no start value",
            t_k: f64::NAN,
            residual: f64::NAN,
        })?;
        let mut r = self.residuals(&s, i, capacity);
        for iteration in 1..=MOST_ITERATIONS {
            if size(&r[..n]) <= tolerance {
                self.saturated = Some(s);
                return Ok(self.point(&s, i));
            }
            self.afford(CONTENTS, s.equilibrium.temperature_k)?;
            let mut inverse = match self.inverse.take() {
                Some(inverse) if iteration % STALE_AFTER != 0 => inverse,
                _ => self.inverse_jacobian(&s, &r, i, capacity)?,
            };
            let mut step = vec![0.0; n];
            for (a, step) in step.iter_mut().enumerate() {
                *step = -(0..n).map(|b| inverse[(a, b)] * r[b]).sum::<f64>();
            }
            limit(&mut step);
            let (t_k, x) = self.moved(&s, &step);
            let next = self.saturated_at(t_k, &x, &s)?;
            let after = self.residuals(&next, i, capacity);
            let change: Vec<f64> = (0..n).map(|a| after[a] - r[a]).collect();
            broyden::update_inverse(&mut inverse, &step, &change);
            self.inverse = Some(inverse);
            (s, r) = (next, after);
        }
        self.inverse = None;
        Err(TankError::Unsolved {
            what: CONTENTS,
            t_k: s.equilibrium.temperature_k,
            residual: size(&r[..n]),
        })
    }

    fn point(&self, s: &Saturated, i: &Inventory) -> Point {
        let (liquid_mol, vapour_mol) = s.split(i.moles(), self.vessel.volume_m3);
        let e = &s.equilibrium;
        Point {
            t_k: e.temperature_k,
            p_pa: e.pressure_pa,
            liquid_mol,
            vapour_mol,
            liquid: Some(e.liquid),
            vapour: e.vapour,
        }
    }

    fn inverse_jacobian(
        &mut self,
        s: &Saturated,
        r: &Vector,
        i: &Inventory,
        capacity: f64,
    ) -> Result<DMatrix<f64>, TankError> {
        let n = self.count;
        // the largest share of the liquid follows from the others with the least rounding
        let x = s.equilibrium.liquid.mole_fractions;
        let largest = (0..n).fold(0, |best, k| if x[k] > x[best] { k } else { best });
        let r = if largest == self.dropped {
            *r
        } else {
            self.dropped = largest;
            self.residuals(s, i, capacity)
        };
        let mut jacobian = DMatrix::zeros(n, n);
        let mut change = vec![0.0; n];
        for column in 0..n {
            let h = if column == 0 { DT_K / T_SCALE_K } else { DX };
            change.fill(0.0);
            change[column] = h;
            let (t_k, x) = self.moved(s, &change);
            let moved = self.residuals(&self.saturated_at(t_k, &x, s)?, i, capacity);
            for row in 0..n {
                jacobian[(row, column)] = (moved[row] - r[row]) / h;
            }
        }
        jacobian.try_inverse().ok_or(TankError::Unsolved {
            what: CONTENTS,
            t_k: s.equilibrium.temperature_k,
            residual: size(&r[..n]),
        })
    }
}

/// Scales a step down to the largest change allowed.
fn limit(step: &mut [f64]) {
    let over_t = step[0].abs() * T_SCALE_K / MOST_DT_K;
    let over_x = step[1..].iter().fold(0.0_f64, |m, s| m.max(s.abs())) / MOST_DX;
    let over = over_t.max(over_x);
    if over > 1.0 {
        for s in step {
            *s /= over;
        }
    }
}

/// A backend state as contents of `moles` in all.
fn point_of(state: &State, moles: f64, molar_mass_kg_mol: f64, n_mol: &[f64]) -> Point {
    let vapour_mol = moles * state.vapour_mole_fraction;
    let (liquid, vapour) = if let Some(e) = state.equilibrium {
        (Some(e.liquid), e.vapour)
    } else {
        let z: Vec<f64> = n_mol.iter().map(|n| n / moles).collect();
        let whole = Side {
            density_kg_m3: state.density_kg_m3,
            enthalpy_j_kg: state.enthalpy_j_kg,
            entropy_j_kg_k: state.entropy_j_kg_k,
            molar_mass_kg_mol,
            mole_fractions: MoleFractions::new(&z),
        };
        (None, whole)
    };
    Point {
        t_k: state.temperature_k,
        p_pa: state.pressure_pa,
        liquid_mol: moles - vapour_mol,
        vapour_mol,
        liquid,
        vapour,
    }
}
