//! A state sought along one coordinate, temperature or pressure, among stable states: the sure way, taken where the
//! short ones do not end on a stable state.

use crate::eos::{EosError, Phase, State};
use crate::numerics::effort::Allowance;

/// Stable states that a search may ask for.
const MAX_STATES: usize = 60;
/// Places where there is no state that it goes round.
const MOST_GAPS: u32 = 8;
/// What is left to be made up at the end, as a share.
const EXACT: f64 = 1e-11;
/// The same where places no longer differ.
const NEARLY_EXACT: f64 = 1e-10;
/// Places that differ by less, relative, are one.
const ONE_PLACE: f64 = 4e-16;
/// First step where only one side is known, relative, and how it grows.
const FIRST_STEP: f64 = 0.02;
const GROWTH: f64 = 2.0;
/// Shares of vapour, and densities, relative, that differ by less are one.
const ALIKE: f64 = 1e-7;

/// Whether two states at one pressure and temperature are one.
pub(super) fn alike(a: &State, b: &State) -> bool {
    let two = |s: &State| s.phase == Phase::TwoPhase;
    two(a) == two(b)
        && (a.density_kg_m3 / b.density_kg_m3 - 1.0).abs() <= ALIKE
        && (a.vapour_mole_fraction - b.vapour_mole_fraction).abs() <= ALIKE
}

/// The stable state at a place, or, where it is that one, the guess there.
type StateAt<'a> = dyn Fn(f64, Option<&State>) -> Result<State, EosError> + 'a;

/// What is sought, and how.
pub(super) struct Search<'a> {
    /// Ends of the coordinate.
    pub(super) range: (f64, f64),
    /// Where to begin.
    pub(super) start: f64,
    /// The coordinate of a state.
    pub(super) place: fn(&State) -> f64,
    /// The stable state at a place, or, where it is that one, the guess there.
    pub(super) at: &'a StateAt<'a>,
    /// What a state still lacks, as a share: falls as the coordinate rises.
    pub(super) lacks: &'a dyn Fn(&State) -> f64,
    /// The state sought as it would be in the phases of a state, not tested.
    pub(super) guess: &'a dyn Fn(&State) -> Option<State>,
    /// What it may do.
    pub(super) allowance: Allowance,
    /// What it says when that is spent.
    pub(super) spent: &'a dyn Fn() -> EosError,
}

/// One side of the bracket.
#[derive(Clone, Copy)]
struct End {
    place: f64,
    lacks: Option<f64>,
}

impl Search<'_> {
    /// The state, or `None` where it lies beyond the range.
    pub(super) fn run(&self) -> Result<Option<State>, EosError> {
        let end = |place| End { place, lacks: None };
        let (mut low, mut high) = (end(self.range.0), end(self.range.1));
        let mut here = self.start.clamp(low.place, high.place);
        let mut guess: Option<State> = None;
        let mut last_good: Option<f64> = None;
        let mut closest: Option<(f64, State)> = None;
        let (mut gaps, mut step) = (0_u32, FIRST_STEP);
        let mut width = f64::INFINITY;
        for count in 0..MAX_STATES {
            if self.allowance.is_spent() {
                return Err((self.spent)());
            }
            let state = match (self.at)(here, guess.as_ref()) {
                Ok(state) => state,
                Err(why) => {
                    gaps += 1;
                    if gaps > MOST_GAPS {
                        return Err(why);
                    }
                    guess = None;
                    here = if let Some(good) = last_good {
                        0.5 * (here + good)
                    } else {
                        // through the range from where the start was, now below, now above
                        let (a, b) = (self.range.0.ln(), self.range.1.ln());
                        let share = (f64::from(gaps) * 0.618_034).fract();
                        (a + share * (b - a)).exp()
                    };
                    continue;
                }
            };
            last_good = Some(here);
            let lacks = (self.lacks)(&state);
            if lacks.abs() <= EXACT {
                return Ok(Some(state));
            }
            if closest.as_ref().is_none_or(|c| lacks.abs() < c.0.abs()) {
                closest = Some((lacks, state));
            }
            let beyond = if lacks > 0.0 {
                here >= self.range.1
            } else {
                here <= self.range.0
            };
            if beyond {
                return Ok(None);
            }
            let side = if lacks > 0.0 { &mut low } else { &mut high };
            *side = End {
                place: here,
                lacks: Some(lacks),
            };
            if high.place - low.place <= ONE_PLACE * high.place {
                break;
            }
            guess = (self.guess)(&state).filter(|g| {
                let place = (self.place)(g);
                place > low.place && place < high.place
            });
            let wide = high.place - low.place;
            let slow = count % 4 == 3 && wide > 0.5 * width;
            if count % 4 == 3 {
                width = wide;
            }
            here = match (&guess, low.lacks, high.lacks) {
                (_, Some(_), Some(_)) if slow => {
                    guess = None;
                    0.5 * (low.place + high.place)
                }
                (Some(g), ..) => (self.place)(g),
                (None, Some(a), Some(b)) => {
                    let straight = low.place + wide * a / (a - b);
                    // not onto an end itself
                    straight.clamp(low.place + 0.02 * wide, high.place - 0.02 * wide)
                }
                (None, Some(_), None) => {
                    step *= GROWTH;
                    (here * (1.0 + step)).min(high.place)
                }
                (None, None, _) => {
                    step *= GROWTH;
                    (here / (1.0 + step)).max(low.place)
                }
            };
        }
        Ok(closest.filter(|c| c.0.abs() <= NEARLY_EXACT).map(|c| c.1))
    }
}
