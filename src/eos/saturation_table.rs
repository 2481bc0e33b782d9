//! The saturation line of a pure fluid as Chebyshev series in `√(1 - T/T_c)`, fitted to the solver.
//!
//! In that variable densities, enthalpies and entropies of both phases are smooth up to the critical point
//! (their square-root branch becomes a straight line). A series is kept only where it meets the solver; the
//! rest of the line, and the last tenth of a per cent below the critical temperature, stay with the solver.
//!
//! A table is a function of the equation of state alone. It takes some 200 saturation points to make, so each
//! equation has one for the whole process, made piece by piece where it is asked.

use crate::fuel::Equation;
use crate::numerics::chebyshev::Chebyshev;
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

/// Lanes of the series.
const LANES: usize = 8;
/// Pieces.
const PIECES: usize = 16;
/// `√(1 - T/T_c)` below which the solver is asked.
const NEAREST: f64 = 0.03;
/// Largest miss of a series: of `ln p` and both densities relative, of enthalpy and entropy relative to the
/// change on evaporation.
const TOLERANCE: f64 = 1e-9;

/// Tables kept in one process; the library has 16 equations, a user's folder adds a few.
const MOST_KEPT: usize = 64;

/// One point of the line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// Temperature, K.
    pub t_k: f64,
    /// Pressure, Pa.
    pub p_pa: f64,
    /// Liquid and vapour density, mol/m³.
    pub density_mol_m3: [f64; 2],
    /// Liquid and vapour enthalpy, J/kg.
    pub enthalpy_j_kg: [f64; 2],
    /// Liquid and vapour entropy, J/(kg K).
    pub entropy_j_kg_k: [f64; 2],
}

impl Point {
    fn lanes(&self) -> [f64; LANES] {
        let ([hl, hv], [sl, sv]) = (self.enthalpy_j_kg, self.entropy_j_kg_k);
        let [rl, rv] = self.density_mol_m3;
        [self.p_pa.ln(), rl, rv.ln(), hl, hv, sl, sv, 0.0]
    }
    fn of(t_k: f64, [ln_p, rl, ln_rv, hl, hv, sl, sv, _]: [f64; LANES]) -> Self {
        Self {
            t_k,
            p_pa: ln_p.exp(),
            density_mol_m3: [rl, ln_rv.exp()],
            enthalpy_j_kg: [hl, hv],
            entropy_j_kg_k: [sl, sv],
        }
    }
}

/// The line of one fluid.
#[derive(Debug)]
pub struct SaturationTable {
    t_critical_k: f64,
    lowest_k: f64,
    highest_k: f64,
    molar_mass_kg_mol: f64,
    /// Width of a piece in `√(1 - T/T_c)`.
    width: f64,
    pieces: [OnceLock<Chebyshev<LANES>>; PIECES],
}

/// What gives a point of the line where there is none yet: always the same for the same table.
pub type Solver<'a> = &'a dyn Fn(f64) -> Option<Point>;

impl SaturationTable {
    /// A table without pieces yet.
    pub fn new(equation: &Equation, molar_mass_kg_mol: f64) -> Self {
        let t_c = equation.t_critical_k;
        let farthest = (1.0 - equation.t_triple_k / t_c).sqrt();
        Self {
            t_critical_k: t_c,
            lowest_k: equation.t_triple_k,
            highest_k: t_c * (1.0 - NEAREST * NEAREST),
            molar_mass_kg_mol,
            width: (farthest - NEAREST) / PIECES as f64,
            pieces: std::array::from_fn(|_| OnceLock::new()),
        }
    }

    fn piece(&self, i: usize, solver: Solver<'_>) -> &Chebyshev<LANES> {
        self.pieces[i].get_or_init(|| {
            let low = NEAREST + i as f64 * self.width;
            let tolerance = |lane: usize, want: &[f64; LANES]| match lane {
                1 => TOLERANCE * want[1],
                3 | 4 => TOLERANCE * (want[4] - want[3]).abs(),
                5 | 6 => TOLERANCE * (want[6] - want[5]).abs(),
                _ => TOLERANCE,
            };
            Chebyshev::fit((low, low + self.width), 1, tolerance, |x| {
                // the lowest temperature itself, not a last digit below it
                let t_k = (self.t_critical_k * (1.0 - x * x)).max(self.lowest_k);
                Some(solver(t_k)?.lanes())
            })
        })
    }

    #[inline]
    fn lanes(&self, t_k: f64, solver: Solver<'_>) -> Option<[f64; LANES]> {
        let x = (1.0 - t_k / self.t_critical_k).sqrt();
        let place = (x - NEAREST) / self.width;
        if !(place >= 0.0 && place <= PIECES as f64) {
            return None;
        }
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "between zero and the number of pieces, as just seen"
        )]
        // the far end belongs to the last piece
        let i = (place as usize).min(PIECES - 1);
        let low = NEAREST + i as f64 * self.width;
        // what rounding puts beside the piece stands at its end
        let x = x.clamp(low, low + self.width);
        self.piece(i, solver).values(x)
    }

    /// The table of an equation, one for the process.
    pub fn of(equation: &Equation, molar_mass_kg_mol: f64) -> Arc<Self> {
        static MADE: Mutex<Vec<(Equation, Arc<SaturationTable>)>> = Mutex::new(Vec::new());
        let same = |(e, table): &&(Equation, Arc<Self>)| {
            // the bits, not nearly: another value would be another table
            e == equation && table.molar_mass_kg_mol.to_bits() == molar_mass_kg_mol.to_bits()
        };
        let mut made = MADE.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((_, table)) = made.iter().find(same) {
            return Arc::clone(table);
        }
        let table = Arc::new(Self::new(equation, molar_mass_kg_mol));
        if made.len() >= MOST_KEPT {
            made.remove(0);
        }
        made.push((equation.clone(), Arc::clone(&table)));
        table
    }

    /// The line at a temperature; `None` where the solver is to be asked.
    #[inline]
    pub fn at(&self, t_k: f64, solver: Solver<'_>) -> Option<Point> {
        Some(Point::of(t_k, self.lanes(t_k, solver)?))
    }

    /// The line at a pressure, from a temperature near by: Newton with the Clapeyron slope, in `ln p` against
    /// `1/T`; `None` where the solver is to be asked.
    pub fn at_pressure(&self, p_pa: f64, near_k: f64, solver: Solver<'_>) -> Option<Point> {
        /// Steps before it gives up.
        const MAX_STEPS: usize = 12;
        /// Relative change of the temperature whose square is below the last digit.
        const CLOSE: f64 = 1e-8;
        let ln_p = p_pa.ln();
        let mut t_k = near_k.clamp(self.lowest_k, self.highest_k);
        for _ in 0..MAX_STEPS {
            let lanes = self.lanes(t_k, solver)?;
            let p = Point::of(t_k, lanes);
            let [rl, rv] = p.density_mol_m3;
            let [hl, hv] = p.enthalpy_j_kg;
            let per_mole = (rv.recip() - rl.recip()) / self.molar_mass_kg_mol;
            // d ln p/d(1/T) = -T Δh/(p Δv)
            let slope = -t_k * (hv - hl) / (p.p_pa * per_mole);
            let change = (ln_p - lanes[0]) / slope;
            let next = (t_k.recip() + change)
                .recip()
                .clamp(self.lowest_k, self.highest_k);
            if (next - t_k).abs() <= CLOSE * t_k {
                // an end of the line that is not at this pressure is no answer
                return self
                    .at(next, solver)
                    .filter(|p| (p.p_pa / p_pa - 1.0).abs() < 1e-9)
                    .map(|p| Point { p_pa, ..p });
            }
            t_k = next;
        }
        None
    }

    /// Share of the line that has a series.
    pub fn coverage(&self, solver: Solver<'_>) -> f64 {
        let each = (0..PIECES).map(|i| self.piece(i, solver).coverage());
        each.sum::<f64>() / PIECES as f64
    }
}
