//! A network solved by way of the plain law that stands in for its holes, round by round until both agree.

use super::law::Node;
use super::network::Network;
use super::records::Records;
use super::solution::TrainError;
use super::stand_in::StandIn;
use crate::eos::{Phase, State};

/// Relative difference of the two flows that is none.
const AGREED: f64 = 1e-9;
/// Tolerance of flows in the first round, and at least: later rounds are a hundred times finer than what they
/// have to correct.
const FIRST: f64 = 1e-4;
const FINEST: f64 = 1e-12;
/// Most rounds; four or five are usual.
const ROUNDS: usize = 12;
impl<'a> Network<'a> {
    /// As [`Network::solve`], by way of the plain law; `None` where that leads nowhere.
    pub(super) fn solve_by_stand_in(&mut self, tanks: &[Node]) -> Option<Records<'a>> {
        let wet = |s: &State| s.phase == Phase::TwoPhase && s.vapour_mass_fraction < 0.5;
        if tanks
            .iter()
            .any(|t| t.state.phase == Phase::Liquid || wet(&t.state))
        {
            return None;
        }
        let mut stand_in = StandIn::default();
        self.tolerance = FIRST;
        for _ in 0..ROUNDS {
            self.stand_in = Some(stand_in);
            let records = self.solve(tanks);
            stand_in = self.stand_in.take()?;
            let mut records = records.ok()?;
            let off = self.agree(&stand_in, &mut records).ok()?;
            if off <= AGREED && self.tolerance <= AGREED {
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
