//! Density roots of a mixed composition at pressure and temperature.

use super::alpha::Alpha;
use super::mixture::{MixIsotherm, Mixed, Model};

/// Relative change of density at which an iteration has converged.
const TOLERANCE: f64 = 1e-14;
/// Relative change after which a Newton step leaves nothing but rounding, where pressure rises well with density:
/// what it leaves is about its square.
const LAST_CHANGE: f64 = 1e-9;
/// Share of the ideal slope of pressure with density above which it rises well.
const RISES_WELL: f64 = 0.3;
/// Steps before an iteration gives up.
const MAX_STEPS: usize = 60;
/// Largest `|δα_δ|` and `|δ²α_δδ|` of a thin gas.
const THIN: f64 = 0.2;
/// Steps in a thin gas; three are usual.
const THIN_STEPS: usize = 8;

/// Pressure and its slope with molar density at a state, Pa and Pa m³/mol.
fn pressure(model: &Model, mixed: &Mixed, iso: &MixIsotherm, rho: f64) -> (f64, f64) {
    let [_, d, dd] = model.residual_in_delta(mixed, iso, rho);
    let rt = model.r() * iso.t_k;
    (rho * rt * (1.0 + d), rt * (1.0 + 2.0 * d + dd))
}

/// Pressure of a state whose residual part is known, Pa.
pub fn pressure_pa(model: &Model, t_k: f64, rho_mol_m3: f64, a: &Alpha) -> f64 {
    rho_mol_m3 * model.r() * t_k * (1.0 + a.d)
}

/// Whether a Newton step is the last: nothing but rounding is left after it.
fn is_last(change: f64, rho: f64, slope: f64, rt: f64) -> bool {
    let size = change.abs();
    size <= TOLERANCE * rho || (size <= LAST_CHANGE * rho && slope > RISES_WELL * rt)
}

/// Density of a thin gas, if the gas is one: steps along the virial expansion `p = ρRT(1 + Bρ + Cρ²)` that has the
/// value and the slope of the equation at the last density. From the ideal gas to the root there is nothing but
/// gas then. `None` where the gas is not thin.
fn thin_gas(model: &Model, mixed: &Mixed, iso: &MixIsotherm, p_pa: f64) -> Option<f64> {
    let ideal = p_pa / (model.r() * iso.t_k);
    let mut rho = ideal;
    for _ in 0..THIN_STEPS {
        let [_, d, dd] = model.residual_in_delta(mixed, iso, rho);
        if !(d.abs() < THIN && dd.abs() < THIN) {
            return None;
        }
        let (b, c) = ((d - dd) / rho, dd / (rho * rho));
        let mut next = rho;
        for _ in 0..THIN_STEPS {
            let off = next * (1.0 + next * (b + c * next)) - ideal;
            let by = off / (1.0 + next * (2.0 * b + 3.0 * c * next));
            next -= by;
            if by.abs() <= LAST_CHANGE * next {
                break;
            }
        }
        let change = (next - rho).abs();
        rho = next;
        if change <= LAST_CHANGE * rho {
            return Some(rho);
        }
    }
    None
}

/// Reduced temperature below which a gas lighter and a liquid heavier than the reducing density are
/// told apart by density alone: saturated densities are far from it there.
const APART: f64 = 0.97;

/// The gas root: Newton from the ideal-gas density (or a guess). In the gas `p(ρ)` is concave, so
/// from below the steps never pass the root; a step that does has left the gas. At low temperatures
/// the equations have roots without meaning between gas and liquid; none of those is returned.
/// `None` where there is no gas root.
pub fn gas(
    model: &Model,
    mixed: &Mixed,
    iso: &MixIsotherm,
    p_pa: f64,
    guess: Option<f64>,
) -> Option<f64> {
    if guess.is_none()
        && let Some(rho) = thin_gas(model, mixed, iso, p_pa)
    {
        return Some(rho);
    }
    let rt = model.r() * iso.t_k;
    let ideal = p_pa / rt;
    let apart = iso.t_k < APART * mixed.t_r_k;
    let top = if apart {
        0.75 * mixed.rho_r_mol_m3
    } else {
        f64::INFINITY
    };
    let mut cold = guess.is_none();
    let mut rho = guess.unwrap_or(ideal);
    if rho >= top && !cold {
        (rho, cold) = (ideal, true);
    }
    let mut step = 0;
    while step < MAX_STEPS {
        step += 1;
        if rho >= top {
            return None;
        }
        let (p, slope) = pressure(model, mixed, iso, rho);
        let sound = slope > 0.0 && p.is_finite();
        // from below and still concave: never past the pressure asked for
        let passed = cold && apart && step > 1 && p > p_pa * (1.0 + 1e-9);
        if !sound || passed {
            if cold {
                return None;
            }
            (rho, cold, step) = (ideal, true, 0);
            continue;
        }
        let change = (p_pa - p) / slope;
        rho = if change < -0.9 * rho {
            0.1 * rho
        } else {
            rho + change
        };
        // stalled at rounding: the last steps no longer shrink
        if is_last(change, rho, slope, rt) || (step > 20 && change.abs() <= 1e-11 * rho) {
            return Some(rho);
        }
    }
    None
}

/// The liquid root: Newton from a guess of the saturated-liquid density, or from the highest
/// density. In the liquid `p(ρ)` is convex, so from above the steps never pass the root.
/// `None` where there is no such root.
pub fn liquid(
    model: &Model,
    mixed: &Mixed,
    iso: &MixIsotherm,
    p_pa: f64,
    guess: Option<f64>,
) -> Option<f64> {
    let top = model.rho_max_generic::<f64>(&mixed.x);
    let rt = model.r() * iso.t_k;
    let mut rho = guess.unwrap_or(top).min(top);
    let mut from_top = guess.is_none();
    let mut step = 0;
    while step < MAX_STEPS {
        step += 1;
        let (p, slope) = pressure(model, mixed, iso, rho);
        let unsound = !(slope > 0.0 && p.is_finite());
        if unsound {
            if from_top {
                return None;
            }
            from_top = true;
            rho = top;
            continue;
        }
        let mut change = (p_pa - p) / slope;
        let last = is_last(change, rho, slope, rt);
        if change > 0.0 && rho + change > top {
            // beyond the highest density of the equation: creep up to it, then give up
            if rho >= top {
                return None;
            }
            change = top - rho;
        }
        if change < -0.3 * rho {
            change = -0.3 * rho;
        }
        rho += change;
        if last || (step > 25 && change.abs() <= 1e-11 * rho) {
            // the Newton from a guess may have slid down to the gas root
            return (rho > 1.05 * mixed.rho_r_mol_m3 || from_top || iso.t_k > 0.9 * mixed.t_r_k)
                .then_some(rho);
        }
    }
    None
}

/// The one root where pressure rises with density all the way (above the critical temperature, or
/// wherever the caller knows there is only one): Newton kept in a bracket.
pub fn only(
    model: &Model,
    mixed: &Mixed,
    iso: &MixIsotherm,
    p_pa: f64,
    guess: Option<f64>,
) -> Option<f64> {
    let (mut low, mut high) = (0.0, model.rho_max_generic::<f64>(&mixed.x));
    if guess.is_none()
        && let Some(rho) = thin_gas(model, mixed, iso, p_pa)
    {
        return Some(rho);
    }
    let rt = model.r() * iso.t_k;
    let ideal = p_pa / rt;
    let mut rho = guess.unwrap_or(ideal).min(0.6 * high);
    for step in 0..200 {
        let (p, slope) = pressure(model, mixed, iso, rho);
        if p > p_pa {
            high = rho;
        } else {
            low = rho;
        }
        let newton = rho + (p_pa - p) / slope;
        let by_newton = slope > 0.0 && newton > low && newton < high;
        let next = if by_newton {
            newton
        } else {
            0.5 * (low + high)
        };
        let change = (next - rho).abs();
        let last = change <= TOLERANCE * next || (by_newton && is_last(change, next, slope, rt));
        rho = next;
        if last || (step > 60 && change <= 1e-12 * rho) {
            let (p, _) = pressure(model, mixed, iso, rho);
            return ((p - p_pa).abs() <= 1e-6 * p_pa.max(1.0)).then_some(rho);
        }
    }
    None
}
