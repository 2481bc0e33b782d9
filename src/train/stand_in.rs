//! A plain law that stands in for the holes while a flow is sought, and is brought to agree with them at
//! the flow found.
//!
//! A hole fed with vapour at its dew point is dear: its flux is sought along an isentrope with two phases.
//! The search asks for it some hundred times. Here the search asks a gas of constant isentropic exponent,
//! times a factor; at the answer the holes themselves are asked, the factor is set by them, and the search
//! is repeated until both agree. The answer then is that of the holes.

use super::layout::Outlet;
use crate::eos::State;
use std::cell::RefCell;

/// Isentropic exponent of a stream with two phases, and bounds of the others'.
const WET: f64 = 1.1;
const EXPONENTS: (f64, f64) = (1.02, 1.67);
/// Largest power of pressure that the factor is taken to follow.
const STEEPEST: f64 = 2.0;

/// Factor on the plain law of an outlet: `factor (p/p_pa)^slope`.
#[derive(Debug, Clone, Copy)]
pub(super) struct Factor {
    outlet: usize,
    value: f64,
    p_pa: f64,
    slope: f64,
}

/// The plain law of every outlet with its factor.
#[derive(Debug, Default)]
pub(super) struct StandIn {
    factors: RefCell<Vec<Factor>>,
}

fn key(outlet: &Outlet) -> usize {
    std::ptr::from_ref(outlet) as usize
}

impl StandIn {
    /// Flux from rest, kg/(m² s), and whether it is choked by the plain law.
    pub(super) fn flux(&self, outlet: &Outlet, at_rest: &State, back_pa: f64) -> (f64, bool) {
        let (p_pa, rho) = (at_rest.pressure_pa, at_rest.density_kg_m3);
        let k = at_rest.response.map_or(WET, |r| {
            let own = rho * r.speed_of_sound_m_s.powi(2) / p_pa;
            own.clamp(EXPONENTS.0, EXPONENTS.1)
        });
        let critical = (2.0 / (k + 1.0)).powf(k / (k - 1.0));
        let ratio = (back_pa / p_pa).max(critical);
        let shape = ratio.powf(2.0 / k) - ratio.powf((k + 1.0) / k);
        let flux = (2.0 * k / (k - 1.0) * p_pa * rho * shape.max(0.0)).sqrt();
        let factors = self.factors.borrow();
        let factor = factors
            .iter()
            .find(|f| f.outlet == key(outlet))
            .map_or(1.0, |f| f.value * (p_pa / f.p_pa).powf(f.slope));
        (factor * flux, ratio <= critical)
    }

    /// Sets the factor so that the flow at a pressure is `by` times what it was.
    pub(super) fn correct(&self, outlet: &Outlet, p_pa: f64, by: f64) {
        let mut factors = self.factors.borrow_mut();
        match factors.iter_mut().find(|f| f.outlet == key(outlet)) {
            Some(f) => {
                let way = (p_pa / f.p_pa).ln();
                let here = f.value * (f.slope * way).exp() * by;
                if way.abs() > 1e-9 {
                    f.slope = ((here / f.value).ln() / way).clamp(-STEEPEST, STEEPEST);
                }
                (f.value, f.p_pa) = (here, p_pa);
            }
            None => factors.push(Factor {
                outlet: key(outlet),
                value: by,
                p_pa,
                slope: 0.0,
            }),
        }
    }
}
