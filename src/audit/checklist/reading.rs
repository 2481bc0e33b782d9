//! A reading of the list: where it is read, in which unit, what is expected, and a place to write it.

use crate::quantity::Kind;
use crate::quantity::show::{Shown, Units, fixed, number, significant};

/// What is read at a line and written beside it.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// Where it is read: a gauge of the rig by its name, a scale, a stop-watch.
    pub at: String,
    /// What it is.
    pub kind: Kind,
    /// Least that is expected, in SI units, pressures by gauge; `None`: no lower end.
    pub low: Option<f64>,
    /// Most that is expected; `None`: no upper end.
    pub high: Option<f64>,
}

impl Reading {
    /// Between two ends.
    pub(super) fn between(at: impl Into<String>, kind: Kind, low: f64, high: f64) -> Self {
        Self {
            at: at.into(),
            kind,
            low: Some(low),
            high: Some(high),
        }
    }

    /// One figure.
    pub(super) fn of(at: impl Into<String>, kind: Kind, si: f64) -> Self {
        Self::between(at, kind, si, si)
    }

    fn suited(&self, units: Units) -> Shown {
        let ends = self.low.into_iter().chain(self.high);
        Shown::suited(self.kind, ends.fold(0.0, |a: f64, b| a.max(b.abs())), units)
    }

    /// Unit it is written in.
    pub fn unit(&self, units: Units) -> String {
        self.suited(units).symbol()
    }

    /// What is expected, in that unit: to two digits of the band, or to three of a single figure.
    pub fn expected(&self, units: Units) -> String {
        let shown = self.suited(units);
        let single = |si: f64| number(shown.convert(si));
        match (self.low, self.high) {
            (Some(low), Some(high)) if high > low => {
                let (low, high) = (shown.convert(low), shown.convert(high));
                let decimals = decimals_of_band(high - low);
                format!("{} to {}", fixed(low, decimals), fixed(high, decimals))
            }
            (Some(figure), Some(_)) => single(figure),
            (Some(low), None) => format!("{} or more", single(low)),
            (None, Some(high)) => format!("{} or less", single(high)),
            (None, None) => String::new(),
        }
    }
}

/// Decimals that show two digits of a band.
fn decimals_of_band(width: f64) -> usize {
    let two = significant(width, 2);
    two.split_once('.').map_or(0, |(_, behind)| behind.len())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_band_has_two_digits_and_one_unit() {
        let of = |low, high| {
            let r = Reading::between("gauge", Kind::GaugePressure, low, high);
            format!("{} {}", r.expected(Units::Si), r.unit(Units::Si))
        };
        assert_eq!(of(200_000.0, 230_000.0), "2.00 to 2.30 bar(g)");
        assert_eq!(of(81_234.0, 121_000.0), "0.81 to 1.21 bar(g)");
        assert_eq!(of(4_410.0, 6_580.0), "44 to 66 mbar(g)");
        assert_eq!(of(0.0, 0.0), "0 bar(g)");
        assert_eq!(of(580_000.0, 580_000.0), "5.8 bar(g)");
    }
}
