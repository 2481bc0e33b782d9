//! A blend as its tank empties, and the heavy rest that a duty cannot use.

use crate::audit::solution::Solution;
use crate::audit::solution::tank::TankSolution;
use crate::eos::{Backend, MoleFractions};
use crate::quantity::{
    AbsolutePressure, Mass, Ratio, ThermodynamicTemperature, kilograms, pascals_absolute, ratio,
};
use crate::tank::TankError;
use crate::tank::record::dew_point_of_drawn;
use crate::tank::vapour_pressure::{NEARLY_EMPTY, boiled_down};
use crate::train::Draw;
use crate::train::rig::TankSpec;
use std::sync::Arc;

/// Shares of the liquid at which an emptying blend is looked at, the last one nearly empty.
const SHARES: [f64; 7] = [1.0, 0.8, 0.6, 0.4, 0.2, 0.1, NEARLY_EMPTY];
const BISECTIONS: usize = 20;

/// A blend that is drawn as vapour until it is nearly empty, slowly and at one temperature.
#[derive(Debug, Clone)]
pub struct Emptying {
    /// That temperature: of what surrounds the tank.
    pub temperature: ThermodynamicTemperature,
    /// Pressure of the line for which dew points are given; the highest of all duties.
    pub line: Option<AbsolutePressure>,
    /// What is in the tank and what is drawn.
    pub rows: Vec<Emptied>,
    /// What each duty leaves in the tank, in the order of the duties.
    pub unusable: Vec<Option<Unusable>>,
}

/// A blend partly drawn off.
#[derive(Debug, Clone, Copy)]
pub struct Emptied {
    /// Moles of liquid over those at the start.
    pub left: Ratio,
    /// Composition of the liquid.
    pub liquid: MoleFractions,
    /// Composition of what is drawn.
    pub vapour: MoleFractions,
    /// Pressure.
    pub pressure: AbsolutePressure,
    /// Dew point of what is drawn at the pressure of the line.
    pub dew_point: Option<ThermodynamicTemperature>,
}

/// The heavy rest that a duty cannot use.
#[derive(Debug, Clone, Copy)]
pub struct Unusable {
    /// Mass of liquid left in one cylinder when the pressure is down to what the duty needs; that of the
    /// nearly empty tank if it is used to there.
    pub mass: Mass,
    /// Share of the liquid at the start, by mass.
    pub share: Ratio,
    /// Its composition.
    pub liquid: MoleFractions,
    /// Whether the duty is still fed there: the tank was looked at no further.
    pub still_fed: bool,
}

/// Follows it; `None` for a pure fuel, for liquid that is drawn, and for gas alone.
pub(super) fn emptying(
    solution: &Solution<'_>,
    spec: &TankSpec,
    solved: &TankSolution,
) -> Option<Result<Emptying, String>> {
    let start = solved.start.as_ref().ok()?;
    let first = start.liquid_composition?;
    if first.len() < 2 || spec.draw == Draw::Liquid {
        return None;
    }
    let temperature = spec.water_bath.unwrap_or(solution.rig.site.ambient);
    let line = solved
        .duties
        .iter()
        .filter_map(|d| d.line_pressure)
        .max_by(|a, b| a.pascals().total_cmp(&b.pascals()));
    let found = emptied(solution, solved, &first, temperature, line);
    Some(found.map_err(|e| solution.why(&e)))
}

fn emptied(
    solution: &Solution<'_>,
    solved: &TankSolution,
    first: &MoleFractions,
    temperature: ThermodynamicTemperature,
    line: Option<AbsolutePressure>,
) -> Result<Emptying, TankError> {
    let mut backends: Vec<Arc<dyn Backend>> = Vec::with_capacity(SHARES.len());
    let mut rows = Vec::with_capacity(SHARES.len());
    for (k, &left) in SHARES.iter().enumerate() {
        let backend = match backends.last() {
            None => solution.fluid.recomposed(first)?,
            Some(before) => boiled_down(before.as_ref(), ratio(left / SHARES[k - 1]), temperature)?,
        };
        let e = backend.bubble_t(temperature.value)?;
        let vapour = e.vapour.mole_fractions;
        rows.push(Emptied {
            left: ratio(left),
            liquid: e.liquid.mole_fractions,
            vapour,
            pressure: pascals_absolute(e.pressure_pa),
            dew_point: line
                .and_then(|p| dew_point_of_drawn(&solved.cylinder.tank, &vapour, p).ok()),
        });
        backends.push(backend);
    }
    let unusable = solved
        .duties
        .iter()
        .map(|d| {
            let least_pa = d.lowest.as_ref().ok()?.pressure.pascals();
            unusable(solved, &rows, &backends, temperature, least_pa)
        })
        .collect();
    Ok(Emptying {
        temperature,
        line,
        rows,
        unusable,
    })
}

/// Where the pressure is down to what a duty needs; between two rows by bisection.
fn unusable(
    solved: &TankSolution,
    rows: &[Emptied],
    backends: &[Arc<dyn Backend>],
    temperature: ThermodynamicTemperature,
    least_pa: f64,
) -> Option<Unusable> {
    let start_kg = solved.start.as_ref().ok()?.liquid.value;
    let molar = |b: &dyn Backend| b.molar_mass_kg_mol();
    let of = |left: f64, rest: &dyn Backend, still_fed: bool| {
        let share = left * molar(rest) / molar(backends[0].as_ref());
        Unusable {
            mass: kilograms(start_kg * share),
            share: ratio(share),
            liquid: MoleFractions::new(&rest.composition().mole_fractions()),
            still_fed,
        }
    };
    let Some(k) = rows.iter().position(|r| r.pressure.pascals() < least_pa) else {
        let (last, rest) = (rows.last()?, backends.last()?);
        return Some(of(last.left.value, rest.as_ref(), true));
    };
    if k == 0 {
        return Some(of(1.0, backends[0].as_ref(), false));
    }
    let before = backends[k - 1].as_ref();
    let from = rows[k - 1].left.value;
    let (mut fed, mut not) = (from, rows[k].left.value);
    let mut rest = Arc::clone(&backends[k - 1]);
    for _ in 0..BISECTIONS {
        let middle = 0.5 * (fed + not);
        let trial = boiled_down(before, ratio(middle / from), temperature).ok()?;
        if trial.bubble_t(temperature.value).ok()?.pressure_pa >= least_pa {
            (fed, rest) = (middle, trial);
        } else {
            not = middle;
        }
    }
    Some(of(fed, rest.as_ref(), false))
}
