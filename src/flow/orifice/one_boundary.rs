//! Paths that meet the two-phase region once and stay in it: liquid, wet fuel, vapour that condenses.
//!
//! These need no look at the whole path. Past the boundary the flux has one hump: with the equation of
//! state linear in `1/p` (the omega method, `leung1986`), `u² − w²` rises all along the expansion once
//! it flashes, so a flow that is faster than sound at the boundary is greatest there, and another has
//! one throat below.

use super::isentrope::{Isentrope, Point};
use super::{OrificeError, Stagnation};
use crate::eos::Phase;
use crate::fuel::Equation;
use crate::numerics::maximum::{maximum, peak_near};
use crate::numerics::root::brent;

/// Reduced temperature and, for what is not liquid, reduced pressure up to which paths are this plain.
const PLAIN: (f64, f64) = (0.95, 0.4);
/// Share of the critical points of its parts below which a blend is below its own.
const FAR_BELOW: f64 = 0.9;
/// Throats are sought down to this share of the pressure at the boundary; the homogeneous equilibrium
/// of any quality chokes well above.
const DEEPEST: f64 = 0.3;
/// Step below the boundary that tells which way the flux goes.
const STEP: f64 = 1e-4;
/// Relative width to which the hump is closed in: the flux is then known to about its square.
const HUMP_TOLERANCE: f64 = 1e-5;
/// Throat pressure over supply pressure of a vapour that condenses, about, and how far round it the search
/// begins.
const USUAL_THROAT: f64 = 0.6;
const WIDTH: f64 = 0.04;
/// Difference of entropy that is rounding of the flashes, J/(kg K).
const ON_THE_LINE: f64 = 1e-6;
/// Relative tolerance of the pressure of the boundary.
const BOUNDARY_TOLERANCE: f64 = 1e-11;

/// Greatest flux on such a path.
pub(super) struct Found {
    pub(super) point: Point,
    /// Pressure of the boundary; `None` if the back pressure is above it.
    pub(super) crossing_pa: Option<f64>,
}

/// Greatest flux between supply and back pressure; `None` where the path may not be of this kind.
pub(super) fn greatest(
    path: &Isentrope<'_>,
    up: &Stagnation<'_>,
    back_pa: f64,
) -> Result<Option<Found>, OrificeError> {
    let liquid = up.is_liquid();
    if !is_plain(path, liquid) {
        return Ok(None);
    }
    let boundary = if path.start.response.is_none() {
        // saturated or wet: in the region from the start
        path.point(&path.start)
    } else {
        match boundary(path, liquid, back_pa)? {
            Boundary::At(p_pa) => {
                let share = if liquid { 0.0 } else { 1.0 };
                path.point(&path.fluid.state_pq(p_pa, share)?)
            }
            Boundary::Below if liquid => {
                // a liquid that stays one: far from sonic
                let exit = path.at(back_pa)?;
                return Ok(Some(Found {
                    point: exit,
                    crossing_pa: None,
                }));
            }
            Boundary::Below | Boundary::Unclear => return Ok(None),
        }
    };
    let p_boundary_pa = boundary.p_pa();
    if !liquid && path.start.response.is_some() && !subsonic_gas(path, &boundary)? {
        // the throat lies before the boundary
        return Ok(None);
    }
    let found = |point: Point| {
        Ok(Some(Found {
            point,
            crossing_pa: Some(p_boundary_pa),
        }))
    };
    let just_below = p_boundary_pa * (1.0 - STEP);
    if back_pa >= just_below {
        let exit = path.at(back_pa)?;
        let best = if exit.flux() > boundary.flux() {
            exit
        } else {
            boundary
        };
        return found(best);
    }
    let below = path.at(just_below)?;
    if !below.is_two_phase() {
        return Ok(None);
    }
    if below.flux() < boundary.flux() {
        return found(boundary);
    }
    let lowest = back_pa.max(DEEPEST * p_boundary_pa);
    if let Some(hump) = usual_hump(path, lowest, just_below)? {
        return found(hump);
    }
    let flux = |p_pa: f64| path.at(p_pa).map(|point| point.flux());
    let (p_pa, _) = maximum(flux, lowest, just_below, HUMP_TOLERANCE * p_boundary_pa)
        .map_err(|e| e.or_from(|_| path.no_throat(lowest)))?;
    let end = path.at(lowest)?;
    let hump = path.at(p_pa)?;
    if end.flux() >= hump.flux() {
        // not choked; or, if the search was cut short of the back pressure, not of this kind
        return if lowest > back_pa || !end.is_two_phase() {
            Ok(None)
        } else {
            found(end)
        };
    }
    if !hump.is_two_phase() {
        return Ok(None);
    }
    found(hump)
}

/// Whether a path keeps clear of the critical point.
fn is_plain(path: &Isentrope<'_>, liquid: bool) -> bool {
    let plain = |t_critical_k: f64, p_critical_pa: f64| {
        path.start.temperature_k <= PLAIN.0 * t_critical_k
            && (liquid || path.p0_pa() <= PLAIN.1 * p_critical_pa)
    };
    // far below the critical point of each part there is no need to look for that of the blend
    let parts = path.fluid.composition().parts();
    let clear = |e: &Equation| plain(FAR_BELOW * e.t_critical_k, FAR_BELOW * e.p_critical_pa);
    if (parts.iter()).all(|p| p.fuel.equation.as_ref().is_some_and(clear)) {
        return true;
    }
    let (t_critical_k, p_critical_pa) = path.fluid.critical();
    plain(t_critical_k, p_critical_pa)
}

/// Greatest flux of a vapour that condenses on its way, and whether it is choked, where it is plain.
///
/// A gas that is faster than sound where it meets the region is faster still in it, and its flux only falls
/// there: a hump inside the region is thus the greatest flux of the whole path, and where the flux still rises
/// at the back pressure, inside the region, it is greatest there.
pub(super) fn condensing(path: &Isentrope<'_>, back_pa: f64) -> Option<(f64, bool)> {
    // clear of the region down there: not this kind
    let look_pa = USUAL_THROAT * path.p0_pa();
    if stays_gas(path, look_pa.max(back_pa)) {
        return None;
    }
    let exit = path.at(look_pa.max(back_pa)).ok()?;
    if !exit.is_two_phase() || !is_plain(path, false) {
        return None;
    }
    if look_pa <= back_pa * (1.0 + 2.0 * WIDTH) {
        let exit = path.at(back_pa).ok()?;
        let before = path.at(back_pa * (1.0 + STEP)).ok()?;
        let rises = before.is_two_phase() && exit.flux() > before.flux();
        return rises.then(|| (exit.flux(), false));
    }
    let lowest = back_pa.max(DEEPEST * path.p0_pa());
    let throat = usual_hump(path, lowest, path.p0_pa()).ok()??;
    Some((throat.flux(), true))
}

/// Whether a gas is certainly one at a pressure: at no less than `T_0 (p/p_0)^n` with `n = (∂ln T/∂ln p)_s`.
fn stays_gas(path: &Isentrope<'_>, p_pa: f64) -> bool {
    /// By which the exponent is taken too high, and the temperature too low, K.
    const STEEPER: f64 = 1.1;
    const COLDER_K: f64 = 2.0;
    let (p0_pa, s) = (path.p0_pa(), &path.start);
    s.response.is_some_and(|r| {
        let expands = r.dp_dt_pa_k / (r.dp_drho_pa_m3_kg * s.density_kg_m3);
        let n = p0_pa * expands / (s.density_kg_m3 * r.cp_j_kg_k);
        let t_k = s.temperature_k * (p_pa / p0_pa).powf(STEEPER * n) - COLDER_K;
        path.fluid.is_certainly(Phase::Gas, p_pa, t_k)
    })
}

/// The hump where it is when most of the flow is vapour, closed in by parabolas; `None` if it is not there.
fn usual_hump(
    path: &Isentrope<'_>,
    lowest: f64,
    just_below: f64,
) -> Result<Option<Point>, OrificeError> {
    let start = USUAL_THROAT * path.p0_pa();
    if path.start.vapour_mole_fraction < 0.5
        || start * (1.0 - 2.0 * WIDTH) <= lowest
        || start * (1.0 + 2.0 * WIDTH) >= just_below
    {
        return Ok(None);
    }
    let flux = |ln_p: f64| path.at(ln_p.exp()).map(|point| point.flux());
    let range = (lowest.ln(), just_below.ln());
    let Some(ln_p) = peak_near(flux, start.ln(), WIDTH, range, HUMP_TOLERANCE)? else {
        return Ok(None);
    };
    let point = path.at(ln_p.exp())?;
    Ok(point.is_two_phase().then_some(point))
}

enum Boundary {
    /// There, Pa.
    At(f64),
    /// Not above the back pressure.
    Below,
    /// Cannot be told from the ends.
    Unclear,
}

/// Where the saturated phase has the entropy of the path.
fn boundary(path: &Isentrope<'_>, liquid: bool, back_pa: f64) -> Result<Boundary, OrificeError> {
    let s0 = path.start.entropy_j_kg_k;
    let share = if liquid { 0.0 } else { 1.0 };
    let off = |p_pa: f64| -> Result<f64, OrificeError> {
        Ok(path.fluid.state_pq(p_pa, share)?.entropy_j_kg_k - s0)
    };
    // the liquid cools a little as it expands: it flashes just under its vapour pressure upstream
    let (low_pa, high_pa) = if liquid {
        let vapour_pa = path.fluid.bubble_t(path.start.temperature_k)?.pressure_pa;
        (back_pa.max(0.3 * vapour_pa), vapour_pa)
    } else {
        (back_pa.max(DEEPEST * path.p0_pa()), path.p0_pa())
    };
    if low_pa >= high_pa {
        return Ok(Boundary::Below);
    }
    // inside the region the entropy lies above that of the liquid and below that of the vapour
    let sign = if liquid { 1.0 } else { -1.0 };
    let (at_low, at_high) = (sign * off(low_pa)?, sign * off(high_pa)?);
    if at_high < 0.0 {
        // a vapour at its dew point starts on the boundary
        return Ok(if !liquid && at_high > -ON_THE_LINE {
            Boundary::At(high_pa)
        } else {
            Boundary::Unclear
        });
    }
    if at_low > 0.0 {
        return Ok(if low_pa > back_pa {
            Boundary::Unclear
        } else {
            Boundary::Below
        });
    }
    let p_pa = brent(off, low_pa, high_pa, BOUNDARY_TOLERANCE * high_pa)
        .map_err(|e| e.or_from(|_| path.no_throat(high_pa)))?;
    Ok(Boundary::At(p_pa))
}

/// Whether a gas is still slower than sound where it meets the boundary.
fn subsonic_gas(path: &Isentrope<'_>, boundary: &Point) -> Result<bool, OrificeError> {
    let just_above = path.at(boundary.p_pa() * (1.0 + 1e-7))?;
    Ok(just_above.is_subsonic() == Some(true))
}

#[cfg(test)]
mod tests {
    use super::super::isentrope::Isentrope;
    use super::super::pieces::by_pieces;
    use super::super::{Stagnation, isentropic_flux};
    use crate::eos::{self, Backend};
    use crate::fuel::{Composition, Library};
    use crate::quantity::{kelvin, pascals_absolute};
    use proptest::prelude::*;
    use std::sync::{Arc, LazyLock};

    static FLUIDS: LazyLock<Vec<Arc<dyn Backend>>> = LazyLock::new(|| {
        let library = Library::embedded();
        [
            "propane",
            "n-butane",
            "n-heptane",
            "methanol",
            "dimethyl-ether",
        ]
        .iter()
        .map(|name| {
            let composition = Composition::parse(name, &library).expect("a fuel");
            eos::backend(&library, &composition).expect("a backend")
        })
        .collect()
    });

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(200))]

        #[test]
        fn the_short_way_and_the_long_way_agree(
            which in 0..5_usize, reduced in 0.02..0.9_f64, off_k in -40.0..40.0_f64,
            quality in prop_oneof![2 => Just(None), 1 => (0.0..=1.0_f64).prop_map(Some)],
            back in 0.03..0.98_f64,
        ) {
            let fluid = FLUIDS[which].as_ref();
            let p0 = reduced * fluid.critical().1;
            let line_k = fluid.bubble_p(p0).expect("below critical").temperature_k;
            let up = match quality {
                Some(q) => Stagnation::saturated(fluid, pascals_absolute(p0), q),
                None => Stagnation::at(fluid, pascals_absolute(p0), kelvin(line_k + off_k)),
            }.expect("a state");
            let short = isentropic_flux(&up, pascals_absolute(back * p0)).expect("a flux");
            let long = by_pieces(&Isentrope::through(&up), back * p0).expect("a flux");
            // the flux is flat at its top: both are true to far better than their throat pressure
            let off = short.flux.value / long.flux.value - 1.0;
            prop_assert!(off.abs() < 1e-7, "{off}: {short:?} {long:?}");
            let p_off = short.throat.pressure.pascals() / long.throat.pressure.pascals() - 1.0;
            prop_assert!(p_off.abs() < 1e-3, "{p_off}: {short:?} {long:?}");
        }
    }
}
