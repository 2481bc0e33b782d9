//! Powers of the reduced density and the usual exponentials of it, which the terms of all components of a blend share.

use crate::numerics::exponential::exponentials;

/// Highest integer power of delta that a term may have.
pub(super) const MAX_POWER: u8 = 32;
/// Length of a table of powers.
const POWERS: usize = MAX_POWER as usize + 1;
/// Exponents of the usual exponentials are below this.
pub(super) const EXPONENTIALS: usize = 8;

/// Powers of delta and unit exponentials, shared by all terms of all fluids.
#[derive(Debug)]
pub struct Powers {
    pub(super) delta: f64,
    pub(super) power: [f64; POWERS],
    pub(super) exponential: [f64; EXPONENTIALS],
}

/// How far [`Powers`] are needed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Reach {
    pub(super) power: usize,
    pub(super) exponential: usize,
}

impl Reach {
    /// As far as the farther of two.
    #[must_use]
    pub fn with(self, other: Self) -> Self {
        Self {
            power: self.power.max(other.power),
            exponential: self.exponential.max(other.exponential),
        }
    }
}

impl Powers {
    /// At a reduced density.
    #[inline]
    pub fn at(delta: f64, reach: Reach) -> Self {
        let mut p = Self {
            delta,
            power: [1.0; POWERS],
            exponential: [1.0; EXPONENTIALS],
        };
        let mut power = 1.0;
        for place in &mut p.power[1..=reach.power] {
            power *= delta;
            *place = power;
        }
        let some = &mut p.exponential[..reach.exponential];
        for (e, power) in some.iter_mut().zip(&p.power) {
            *e = -power;
        }
        exponentials(some);
        p
    }
}
