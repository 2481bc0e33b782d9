//! Axes: the unit that suits, ticks at round numbers, and where a value lies.

use super::Axis;
use crate::quantity::show::{Shown, Units, fixed, round_step, rounded};

/// An axis with its range.
#[derive(Debug, Clone)]
pub(super) struct Scale {
    label: String,
    shown: Option<Shown>,
    /// Ticks in the unit shown.
    pub(super) ticks: Vec<f64>,
    decimals: usize,
    /// Ends in pixels.
    from: f64,
    to: f64,
}

impl Scale {
    /// An axis over values in SI units, with at most about `most` ticks.
    pub(super) fn new(
        axis: &Axis,
        values: impl Iterator<Item = f64>,
        units: Units,
        most: usize,
    ) -> Self {
        let (mut low, mut high, mut largest) = (f64::INFINITY, f64::NEG_INFINITY, 0.0_f64);
        for v in values.filter(|v| v.is_finite()) {
            low = low.min(v);
            high = high.max(v);
            largest = largest.max(v.abs());
        }
        if low > high {
            (low, high) = (0.0, 1.0);
        }
        let shown = axis.kind.map(|kind| Shown::suited(kind, largest, units));
        let convert = |si: f64| shown.as_ref().map_or(si, |s| s.convert(si));
        let (mut low, mut high) = (convert(low), convert(high));
        if axis.from_zero {
            (low, high) = (low.min(0.0), high.max(0.0));
        }
        if high - low <= 1e-9 * high.abs().max(low.abs()) {
            let half = if high == 0.0 { 0.5 } else { high.abs() * 0.05 };
            (low, high) = (low - half, high + half);
        }
        let step = round_step((high - low) / most.max(1) as f64);
        let first = (low / step + 1e-9).floor();
        let last = (high / step - 1e-9).ceil();
        let mut ticks = Vec::new();
        let mut i = first;
        while i <= last {
            ticks.push(i * step);
            i += 1.0;
        }
        Self {
            label: axis.label.clone(),
            shown,
            ticks,
            decimals: decimals(step),
            from: 0.0,
            to: 1.0,
        }
    }

    /// Which runs between these pixels.
    pub(super) fn between(mut self, from: f64, to: f64) -> Self {
        (self.from, self.to) = (from, to);
        self
    }

    /// Label with unit.
    pub(super) fn title(&self) -> String {
        match &self.shown {
            Some(shown) if self.label.is_empty() => shown.symbol(),
            Some(shown) => format!("{}, {}", self.label, shown.symbol()),
            None => self.label.clone(),
        }
    }

    /// Place of a value in SI units.
    pub(super) fn at(&self, si: f64) -> f64 {
        self.at_shown(self.convert(si))
    }

    /// Place of a value in the unit shown.
    pub(super) fn at_shown(&self, value: f64) -> f64 {
        let (Some(low), Some(high)) = (self.ticks.first(), self.ticks.last()) else {
            return self.from;
        };
        self.from + (value - low) / (high - low) * (self.to - self.from)
    }

    /// A value in the unit shown.
    pub(super) fn convert(&self, si: f64) -> f64 {
        self.shown.as_ref().map_or(si, |s| s.convert(si))
    }

    /// A value in the unit of the axis, to so many digits.
    pub(super) fn told(&self, si: f64, digits: usize) -> String {
        let number = rounded(self.convert(si), digits);
        match &self.shown {
            Some(shown) => format!("{number} {}", shown.symbol()),
            None => number,
        }
    }

    /// Text of a tick.
    pub(super) fn tick(&self, value: f64) -> String {
        fixed(value, self.decimals)
    }
}

/// Digits behind the point that tell two ticks apart.
fn decimals(step: f64) -> usize {
    let digits = -(step * (1.0 + 1e-9)).log10().floor();
    (0..9).find(|&d| d as f64 >= digits).unwrap_or(9)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Kind;

    #[test]
    fn ticks_are_round_and_hold_the_values() {
        for (low, high) in [(0.0, 1.0), (3.1, 4.9), (-12.0, 7.0), (0.0012, 0.0019)] {
            let scale = Scale::new(&Axis::plain("x"), [low, high].into_iter(), Units::Si, 5);
            let (first, last) = (scale.ticks[0], scale.ticks[scale.ticks.len() - 1]);
            assert!(first <= low + 1e-9 && last >= high - 1e-9, "{scale:?}");
            assert!((2..=8).contains(&scale.ticks.len()), "{scale:?}");
            let texts: Vec<String> = scale.ticks.iter().map(|t| scale.tick(*t)).collect();
            let mut once = texts.clone();
            once.dedup();
            assert_eq!(texts, once);
        }
    }

    #[test]
    fn one_value_still_has_an_axis_and_its_unit() {
        let axis = Axis::of("pressure", Kind::GaugePressure);
        let scale = Scale::new(&axis, std::iter::once(2e5), Units::Si, 5).between(10.0, 20.0);
        assert_eq!(scale.title(), "pressure, bar(g)");
        assert!((10.0..=20.0).contains(&scale.at(2e5)));
    }
}
