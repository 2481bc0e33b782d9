//! A figure held between two limits, for rules that hold values against one another.

use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::quantity::Kind;
use crate::quantity::show::{Units, show_digits, significant};

/// A figure between two limits, with its sentence; finds it where it is outside.
pub(super) struct Held<'a> {
    pub(super) at: &'a str,
    pub(super) signal: Signal,
    pub(super) kind: Kind,
    pub(super) si: f64,
    /// What it says, with places for the figure and its limit.
    pub(super) says: String,
    pub(super) limits: (f64, f64),
    pub(super) source: Source,
    pub(super) advice: &'a str,
}

impl Held<'_> {
    pub(super) fn find(self, s: &Solution<'_>, v: &mut Verdict) -> Option<()> {
        let (low, high) = self.limits;
        let shown = |si| Measured::Worded(self.kind, si, figure(s, self.kind, si));
        let limit = if self.si < low {
            Limit::AtLeast(shown(low))
        } else if self.si > high {
            Limit::AtMost(shown(high))
        } else {
            return None;
        };
        let found = v.signal(self.signal).source(self.source).says(self.says);
        let found = found.advice(self.advice);
        found.find(self.at, shown(self.si), limit);
        Some(())
    }
}

/// A figure as text. A stress is told in megapascals, as the trade does.
pub(super) fn figure(s: &Solution<'_>, kind: Kind, si: f64) -> String {
    if kind == Kind::PressureDifference && s.units == Units::Si {
        return format!("{} MPa", significant(si / 1e6, 3));
    }
    // weather is a matter of per cents
    let digits = if kind == Kind::AbsolutePressure { 4 } else { 3 };
    show_digits(kind, si, s.units, digits)
}
