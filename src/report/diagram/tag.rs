//! The mark of a finding: a number in a circle whose look tells the signal word.

use crate::audit::Signal;
use crate::report::plot::{Anchor, Canvas, number};

/// A number in a circle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Tag {
    pub(super) number: usize,
    pub(super) signal: Signal,
}

/// Half its height.
const R: f64 = 7.1;

impl Tag {
    /// Room that it takes in a line: two digits are in a longer ring.
    pub(super) fn advance(self) -> f64 {
        2.0 * (R + self.longer()) + 3.0
    }

    fn longer(self) -> f64 {
        if self.number < 10 { 0.0 } else { 3.0 }
    }

    pub(super) fn draw(self, c: &mut Canvas, (x, y): (f64, f64)) {
        let (ring, digits) = match self.signal {
            Signal::Danger => ("tag danger", "on"),
            Signal::Warning => ("tag warning", "t"),
            Signal::Caution => ("tag", "t"),
            Signal::Notice => ("tag notice", "t"),
        };
        let half = self.longer();
        let [left, right, top, foot] = [x - half, x + half, y - R, y + R].map(number);
        let d = format!(
            "M{left} {top}H{right}A{R} {R} 0 0 1 {right} {foot}H{left}A{R} {R} 0 0 1 {left} {top}Z"
        );
        c.path(ring, &d);
        let class = format!("{digits} digits");
        c.text(
            &class,
            (x, y + 3.4),
            Anchor::Middle,
            &self.number.to_string(),
        );
    }
}
