//! Greatest flux along an isentrope that may enter the two-phase region.
//!
//! The flux has a kink where the path enters or leaves the region, because the speed of sound jumps
//! there. The path is therefore cut at each boundary, and the greatest flux is sought on each piece by
//! itself: for a subcooled liquid it lies on the kink, at the flash point.

use super::isentrope::{Isentrope, Point};
use super::one_boundary;
use super::{IsentropicFlux, OrificeError, Stagnation};
use crate::eos::Phase;
use crate::numerics::maximum::maximum;
use crate::numerics::root::brent;
use crate::quantity::AbsolutePressure;

/// Points looked at between supply and back pressure to see the phases of the path.
const GRID: u32 = 24;
/// Points looked at on each two-phase piece before its hump is closed in.
const SAMPLES: u32 = 12;
/// Relative width to which a two-phase hump is closed in; the hump is flat, the flux is then
/// known to about the square of this.
const HUMP_TOLERANCE: f64 = 1e-7;
/// Relative tolerance of the pressure of a phase boundary.
const BOUNDARY_TOLERANCE: f64 = 1e-12;
/// The same where it is found by halving on the phase.
const HALVED_TOLERANCE: f64 = 1e-10;
/// First step up, in ln p, from a back pressure that the properties do not reach, and how closely their end is found.
const LOWEST_POINT_STEP: f64 = 0.223;
/// A throat this much above the back pressure (relative) is choked.
const CHOKED_MARGIN: f64 = 1e-6;
/// Below these shares of critical pressure and above this share of critical temperature a gas can
/// not touch the nose of the two-phase region, except at the end of its path.
const NOSE: (f64, f64) = (0.4, 1.3);

/// Ideal mass flux of a real fluid in equilibrium, with its throat.
///
/// `G(p) = ρ √(2 (h0 − h))` at constant entropy, greatest over `back ≤ p ≤ p0`; liquid and vapour
/// together are in equilibrium at one velocity (homogeneous equilibrium).
///
/// **Valid:** steady, adiabatic, no friction. Two-phase parts: holes long enough for equilibrium; for
/// short ones fed with liquid this is the lower bound, see [`super::liquid_flux`].
/// **Source:** energy and entropy balance; `dyer2007` for the name of the two-phase model.
///
/// # Errors
/// [`OrificeError::BackAboveSupply`], [`OrificeError::NoThroat`], or what the backend says.
pub fn isentropic_flux(
    up: &Stagnation<'_>,
    back: AbsolutePressure,
) -> Result<IsentropicFlux, OrificeError> {
    let back_pa = up.back_pa(back)?;
    let path = Isentrope::through(up);
    if up.is_gas()
        && let Some((point, choked)) = plain_gas(&path, back_pa)?
    {
        return Ok(IsentropicFlux::new(&point.state, point.u_m_s, choked, None));
    }
    // an error there (no equilibrium where one was expected) leaves the long way
    if let Ok(Some(found)) = one_boundary::greatest(&path, up, back_pa) {
        let point = found.point;
        let choked = point.p_pa() > back_pa * (1.0 + CHOKED_MARGIN);
        return Ok(IsentropicFlux::new(
            &point.state,
            point.u_m_s,
            choked,
            found.crossing_pa,
        ));
    }
    by_pieces(&path, back_pa)
}

/// The flux alone, kg/(m² s), and whether it is choked: as [`isentropic_flux`], without asking where the path
/// enters the two-phase region.
///
/// # Errors
/// As there.
pub(crate) fn flux_alone(
    up: &Stagnation<'_>,
    back: AbsolutePressure,
) -> Result<(f64, bool), OrificeError> {
    if up.is_gas()
        && let Ok(back_pa) = up.back_pa(back)
        && let Some(found) = one_boundary::condensing(&Isentrope::through(up), back_pa)
    {
        return Ok(found);
    }
    isentropic_flux(up, back).map(|f| (f.flux.value, f.choked))
}

/// The whole path looked at, whatever it meets.
pub(super) fn by_pieces(
    path: &Isentrope<'_>,
    back_pa: f64,
) -> Result<IsentropicFlux, OrificeError> {
    let pieces = pieces(path, back_pa)?;
    let mut best: Option<Point> = None;
    for piece in &pieces {
        let point = greatest_on(path, piece)?;
        if best.is_none_or(|b| point.flux() > b.flux() * (1.0 + 1e-13)) {
            best = Some(point);
        }
    }
    let best = best.ok_or_else(|| path.no_throat(back_pa))?;
    let choked = best.p_pa() > back_pa * (1.0 + CHOKED_MARGIN);
    let crossing = pieces
        .iter()
        .find(|p| p.kind == PieceKind::TwoPhase)
        .map(|p| p.high.p_pa());
    Ok(IsentropicFlux::new(
        &best.state,
        best.u_m_s,
        choked,
        crossing,
    ))
}

/// A gas whose path stays clear of the two-phase region down to its throat.
fn plain_gas(path: &Isentrope<'_>, back_pa: f64) -> Result<Option<(Point, bool)>, OrificeError> {
    let near_nose = |(t_critical_k, p_critical_pa): (f64, f64)| {
        path.p0_pa() > NOSE.0 * p_critical_pa && path.start.temperature_k < NOSE.1 * t_critical_k
    };
    // the critical point of a blend is dear: its bounds often tell
    if near_nose(path.fluid.critical_bounds()) && near_nose(path.fluid.critical()) {
        return Ok(None);
    }
    let Some((point, choked)) = path.gas_throat(back_pa)? else {
        return Ok(None);
    };
    // a vapour that starts on its dew line may dip under it and come out again
    if path.start.phase == Phase::TwoPhase {
        let between = path.at((path.p0_pa() * point.p_pa()).sqrt())?;
        if between.is_two_phase() {
            return Ok(None);
        }
    }
    Ok(Some((point, choked)))
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum PieceKind {
    SinglePhase,
    TwoPhase,
}

/// A stretch of the path in one kind of phase.
struct Piece {
    kind: PieceKind,
    high: Point,
    low: Point,
}

/// The path from supply to back pressure, cut at every phase boundary.
fn pieces(path: &Isentrope<'_>, back_pa: f64) -> Result<Vec<Piece>, OrificeError> {
    let lowest = lowest_point(path, back_pa)?;
    let span = (path.p0_pa() / lowest.p_pa()).ln();
    let mut points = vec![path.point(&path.start)];
    for i in 1..GRID {
        let p_pa = path.p0_pa() * (-span * f64::from(i) / f64::from(GRID)).exp();
        // a state flash may fail in a sliver around the critical point: the grid does without it
        if let Ok(point) = path.at(p_pa) {
            points.push(point);
        }
    }
    points.push(lowest);
    let kind_of = |p: &Point| {
        if p.is_two_phase() {
            PieceKind::TwoPhase
        } else {
            PieceKind::SinglePhase
        }
    };
    // a saturated start belongs to the phase that the path enters from it
    let mut kinds: Vec<PieceKind> = points.iter().map(kind_of).collect();
    if path.start.phase == Phase::TwoPhase {
        kinds[0] = kinds[1];
    }
    let mut pieces = Vec::new();
    let mut high = points[0];
    for i in 1..points.len() {
        if kinds[i] != kinds[i - 1] {
            let (single, other) = if kinds[i] == PieceKind::TwoPhase {
                (&points[i - 1], &points[i])
            } else {
                (&points[i], &points[i - 1])
            };
            let cut = boundary(path, single, other)?;
            pieces.push(Piece {
                kind: kinds[i - 1],
                high,
                low: cut,
            });
            high = cut;
        }
    }
    pieces.push(Piece {
        kind: kinds[points.len() - 1],
        high,
        low: points[points.len() - 1],
    });
    Ok(pieces)
}

/// The path's end: the back pressure, or the lowest pressure the properties reach above it.
///
/// The equation may end (for instance at the triple point) before the path does; the throat lies above that, or the
/// search says so. Steps up from the back pressure grow, so that a vacuum costs no more than a few of them; then the
/// last step is halved.
fn lowest_point(path: &Isentrope<'_>, back_pa: f64) -> Result<Point, OrificeError> {
    let error = match path.at(back_pa) {
        Ok(point) => return Ok(point),
        Err(error) => error,
    };
    let top_ln = (0.4 * path.p0_pa()).ln();
    let (mut below_ln, mut step) = (back_pa.ln(), LOWEST_POINT_STEP);
    let (mut found, mut found_ln) = loop {
        if below_ln >= top_ln {
            return Err(error);
        }
        let next_ln = (below_ln + step).min(top_ln);
        match path.at(next_ln.exp()) {
            Ok(point) => break (point, next_ln),
            Err(_) => below_ln = next_ln,
        }
        step *= 2.0;
    };
    while found_ln - below_ln > LOWEST_POINT_STEP {
        let middle_ln = 0.5 * (found_ln + below_ln);
        match path.at(middle_ln.exp()) {
            Ok(point) => (found, found_ln) = (point, middle_ln),
            Err(_) => below_ln = middle_ln,
        }
    }
    Ok(found)
}

/// Where the path meets the saturation line between a single-phase and a two-phase point: there the
/// saturated phase has the entropy of the path.
fn boundary(
    path: &Isentrope<'_>,
    single: &Point,
    two_phase: &Point,
) -> Result<Point, OrificeError> {
    let s0 = path.start.entropy_j_kg_k;
    // the phase that is left whole just inside the region
    let liquid = two_phase_side_is_liquid(single, two_phase);
    let share = if liquid { 0.0 } else { 1.0 };
    let off = |p_pa: f64| -> Result<f64, OrificeError> {
        Ok(path.fluid.state_pq(p_pa, share)?.entropy_j_kg_k - s0)
    };
    let (a, b) = (single.p_pa(), two_phase.p_pa());
    if let Ok(p_pa) = brent(off, a, b, BOUNDARY_TOLERANCE * a) {
        return Ok(path.point(&path.fluid.state_pq(p_pa, share)?));
    }
    // no equilibrium at one end (critical region): halve on the phase itself. The pressures halved are those asked
    // for: the state found may have its own in the last digits.
    let (mut one, mut one_pa, mut two_pa) = (*single, a, b);
    while (one_pa - two_pa).abs() > HALVED_TOLERANCE * one_pa {
        let middle_pa = 0.5 * (one_pa + two_pa);
        let middle = path.at(middle_pa)?;
        if middle.is_two_phase() {
            two_pa = middle_pa;
        } else {
            (one, one_pa) = (middle, middle_pa);
        }
    }
    Ok(one)
}

fn two_phase_side_is_liquid(single: &Point, two_phase: &Point) -> bool {
    match single.state.phase {
        Phase::Liquid => true,
        Phase::Gas => false,
        Phase::Supercritical | Phase::TwoPhase => two_phase.state.vapour_mole_fraction < 0.5,
    }
}

/// The point of greatest flux on a piece, its ends included.
fn greatest_on(path: &Isentrope<'_>, piece: &Piece) -> Result<Point, OrificeError> {
    let (high, low) = (piece.high, piece.low);
    let end = if low.flux() >= high.flux() { low } else { high };
    if high.p_pa() - low.p_pa() <= 1e-9 * high.p_pa() {
        return Ok(end);
    }
    let inner = match piece.kind {
        PieceKind::SinglePhase => sonic_point(path, &high, &low)?,
        PieceKind::TwoPhase => two_phase_hump(path, &high, &low)?,
    };
    Ok(match inner {
        Some(point) if point.flux() > end.flux() => point,
        _ => end,
    })
}

/// Where `u = w` on a single-phase piece, if it is there.
fn sonic_point(
    path: &Isentrope<'_>,
    high: &Point,
    low: &Point,
) -> Result<Option<Point>, OrificeError> {
    // an end on the saturation line counts as two phases: step off it
    let step = 1e-7 * (high.p_pa() - low.p_pa());
    let (mut a, mut b) = (*high, *low);
    if a.is_two_phase() {
        a = path.at(high.p_pa() - step)?;
    }
    if b.is_two_phase() {
        b = path.at(low.p_pa() + step)?;
    }
    if a.is_subsonic() != Some(true) || b.is_subsonic() != Some(false) {
        return Ok(None);
    }
    let off = |p_pa: f64| -> Result<f64, OrificeError> {
        let point = path.at(p_pa)?;
        let w = point.state.response()?.speed_of_sound_m_s;
        Ok(point.u_m_s - w)
    };
    let p_pa = brent(off, b.p_pa(), a.p_pa(), 1e-9 * a.p_pa())
        .map_err(|e| e.or_from(|_| path.no_throat(b.p_pa())))?;
    Ok(Some(path.at(p_pa)?))
}

/// Top of the flux on a two-phase piece, if it is inside.
fn two_phase_hump(
    path: &Isentrope<'_>,
    high: &Point,
    low: &Point,
) -> Result<Option<Point>, OrificeError> {
    let (p_high, p_low) = (high.p_pa(), low.p_pa());
    // denser near the start of flashing, where the hump of a slightly subcooled liquid is narrow
    let at_sample = |i: u32| {
        let x = f64::from(i) / f64::from(SAMPLES);
        p_high - (p_high - p_low) * x * x
    };
    let mut best = (high.flux(), 0);
    let mut fallen = 0;
    for i in 1..=SAMPLES {
        let flux = if i == SAMPLES {
            low.flux()
        } else {
            path.at(at_sample(i))?.flux()
        };
        if flux > best.0 {
            best = (flux, i);
            fallen = 0;
        } else {
            fallen += 1;
            // one hump a piece: past its top the flux only falls
            if fallen >= 3 {
                break;
            }
        }
    }
    let upper = if best.1 == 0 {
        p_high
    } else {
        at_sample(best.1 - 1)
    };
    let lower = at_sample((best.1 + 1).min(SAMPLES));
    let flux = |p_pa: f64| path.at(p_pa).map(|point| point.flux());
    let (p_pa, _) = maximum(flux, lower, upper, HUMP_TOLERANCE * p_high)
        .map_err(|e| e.or_from(|_| path.no_throat(lower)))?;
    Ok(Some(path.at(p_pa)?))
}
