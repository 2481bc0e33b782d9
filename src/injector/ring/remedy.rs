//! What would make a manifold even: a wider tube or smaller holes.

use super::{Distribution, Feed, HoleLaw, Manifold, RingError};
use crate::numerics::root::brent;
use crate::quantity::{Length, Ratio, metres, ratio};

impl Manifold {
    /// Bore that brings the spread down to `wanted`, holes and feed pressure as they are.
    ///
    /// # Errors
    /// [`RingError::NoRemedy`] if no bore up to 20 times as large does; else as
    /// [`Manifold::distribution`].
    pub fn bore_for_spread(
        &self,
        feed: &Feed,
        law: &HoleLaw,
        wanted: Ratio,
    ) -> Result<Length, RingError> {
        let factor = factor_for_spread("bore", wanted, |factor| {
            let mut larger = self.clone();
            larger.bore = metres(self.bore.value * factor);
            larger.distribution(feed, law)
        })?;
        Ok(metres(self.bore.value * factor))
    }

    /// Factor on the area of every hole that brings the spread down to `wanted`, feed pressure and bore
    /// as they are. The total falls with it: to keep it, the feed pressure must rise.
    ///
    /// # Errors
    /// [`RingError::NoRemedy`] if no area down to a four-hundredth does; else as
    /// [`Manifold::distribution`].
    pub fn hole_area_factor_for_spread(
        &self,
        feed: &Feed,
        law: &HoleLaw,
        wanted: Ratio,
    ) -> Result<Ratio, RingError> {
        let factor = factor_for_spread("drop in hole area", wanted, |factor| {
            self.distribution_with(feed, law, 1.0 / (factor * factor), true)
        })?;
        Ok(ratio(1.0 / (factor * factor)))
    }
}

/// Largest factor on a bore (or, squared, on the smallness of the holes) that is tried as a remedy.
const LARGEST_FACTOR: f64 = 20.0;

/// Smallest factor from 1 to [`LARGEST_FACTOR`] at which the spread is at most `wanted`.
fn factor_for_spread(
    what: &'static str,
    wanted: Ratio,
    solve: impl Fn(f64) -> Result<Distribution, RingError>,
) -> Result<f64, RingError> {
    // a tube too small to be solved counts as fully uneven
    let excess = |factor: f64| match solve(factor) {
        Ok(d) => Ok(d.spread.value - wanted.value),
        Err(RingError::BoreTooSmall { .. } | RingError::AboveSampled { .. }) => Ok(1.0),
        Err(e) => Err(e),
    };
    if excess(1.0)? <= 0.0 {
        return Ok(1.0);
    }
    let no_remedy = RingError::NoRemedy {
        what,
        factor: LARGEST_FACTOR,
        wanted: wanted.value,
    };
    if excess(LARGEST_FACTOR)? > 0.0 {
        return Err(no_remedy);
    }
    brent(|x| excess(x.exp()), 0.0, LARGEST_FACTOR.ln(), 1e-9)
        .map(f64::exp)
        .map_err(|e| e.or_from(|_| no_remedy))
}
