//! A plain law that stands in for the holes while a flow is sought, and is brought to agree with them at
//! the flow found.
//!
//! A hole fed with vapour at its dew point is dear: its flux is sought along an isentrope with two phases.
//! The search asks for it some hundred times. Here the search asks a gas of constant isentropic exponent,
//! times a factor; at the answer the holes themselves are asked, the factor is set by them, and the search
//! is repeated until both agree. The answer then is that of the holes.

use super::law::Node;
use super::layout::Outlet;
use super::network::Network;
use super::records::Records;
use super::rows::key_of;
use super::solution::TrainError;
use crate::eos::{Phase, State};
use std::cell::RefCell;

/// Relative difference of the two flows that is none.
const AGREED: f64 = 1e-9;
/// Tolerance of flows in the first round, and at least: later rounds are a hundred times finer than what they
/// have to correct.
const FIRST: f64 = 1e-4;
const FINEST: f64 = 1e-12;
/// Most rounds; four or five are usual.
const ROUNDS: usize = 12;
/// Isentropic exponent of a stream with two phases, and bounds of the others'.
const WET: f64 = 1.1;
const EXPONENTS: (f64, f64) = (1.02, 1.67);
/// Largest power of pressure that the factor is taken to follow.
const STEEPEST: f64 = 2.0;

/// Factor on the plain law of an outlet: `factor (p/p_pa)^slope`.
#[derive(Debug, Clone, Copy)]
struct Factor {
    outlet: usize,
    value: f64,
    p_pa: f64,
    slope: f64,
}

/// The plain law of every outlet with its factor.
#[derive(Debug)]
pub(super) struct StandIn {
    factors: RefCell<Vec<Factor>>,
    /// Factor of an outlet before it has its own.
    usual: f64,
}

impl Default for StandIn {
    fn default() -> Self {
        Self {
            factors: RefCell::new(Vec::new()),
            usual: 1.0,
        }
    }
}

/// What an answer teaches for one like it: the flow of the first run and the factor of its one outlet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Near {
    pub(super) flow_kg_s: f64,
    factor: f64,
}

impl Default for Near {
    fn default() -> Self {
        Self {
            flow_kg_s: 0.0,
            factor: 1.0,
        }
    }
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
            .map_or(self.usual, |f| f.value * (p_pa / f.p_pa).powf(f.slope));
        (factor * flux, ratio <= critical)
    }

    /// Sets the factor so that the flow at a pressure is `by` times what it was.
    fn correct(&self, outlet: &Outlet, p_pa: f64, by: f64) {
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
                value: self.usual * by,
                p_pa,
                slope: 0.0,
            }),
        }
    }
}

impl<'a> Network<'a> {
    /// As [`Network::solve`], by way of the plain law; `None` where that leads nowhere.
    ///
    /// * `near` — what an answer like this one taught; this one's is left there
    pub(super) fn solve_by_stand_in(
        &mut self,
        tanks: &[Node],
        near: &mut Near,
    ) -> Option<Records<'a>> {
        let wet = |s: &State| s.phase == Phase::TwoPhase && s.vapour_mass_fraction < 0.5;
        if tanks
            .iter()
            .any(|t| t.state.phase == Phase::Liquid || wet(&t.state))
        {
            return None;
        }
        let mut stand_in = StandIn {
            usual: near.factor,
            ..StandIn::default()
        };
        if near.flow_kg_s > 0.0 {
            self.remember(key_of(&self.train.run), near.flow_kg_s);
        }
        self.tolerance = FIRST;
        for _ in 0..ROUNDS {
            self.stand_in = Some(stand_in);
            let records = self.solve(tanks);
            stand_in = self.stand_in.take()?;
            let mut records = records.ok()?;
            let off = self.agree(&stand_in, &mut records).ok()?;
            if off <= AGREED && self.tolerance <= AGREED {
                near.flow_kg_s = records.flow;
                if let [only] = stand_in.factors.borrow().as_slice() {
                    near.factor = only.value;
                }
                return Some(records);
            }
            self.tolerance = (0.01 * off * off).clamp(FINEST, 0.01 * FIRST);
        }
        None
    }

    /// Asks the holes themselves at the flows found; corrects the plain law where it does not agree.
    /// The largest relative difference.
    fn agree(&self, stand_in: &StandIn, records: &mut Records<'a>) -> Result<f64, TrainError> {
        let mut worst = 0.0_f64;
        for record in &mut records.outlets {
            if record.flow <= 0.0 {
                continue;
            }
            let (passes, choked) = self.holes(record.outlet, record.inlet, record.flow)?;
            record.choked = choked;
            let off = passes / record.flow;
            if !(off > 0.0 && off.is_finite()) {
                return Ok(f64::INFINITY);
            }
            worst = worst.max((off - 1.0).abs());
            if (off - 1.0).abs() > AGREED {
                stand_in.correct(record.outlet, record.inlet.state.pressure_pa, off);
            }
        }
        Ok(worst)
    }
}
