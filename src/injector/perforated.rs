//! The handbook rule for a perforated pipe: how uneven its holes feed.

use crate::quantity::{Ratio, ratio};

/// Momentum recovery of the rule: the header's velocity pressure comes back in full where the flow is
/// taken off to standstill (`perry-distributor`).
pub const MOMENTUM_RECOVERY: f64 = 0.5;

/// Area ratio up to which the rule calls a distributor even, and above which it fails
/// (`perry-distributor`).
pub const AREA_RATIO_GOOD: f64 = 0.25;
/// See [`AREA_RATIO_GOOD`].
pub const AREA_RATIO_FAIL: f64 = 0.5;

/// Unevenness of a pipe with many equal holes, fed at one end and closed at the other.
///
/// `spread = 1 − √(1 − |Δp| / Δp_hole)`, with `Δp = (f L / 3 D − 2 K) ρ V² / 2` (Darcy's `f`) and
/// `Δp_hole = ρ V_hole² / (2 C²)`, so that `Δp / Δp_hole = (C AR)² (f L / 3 D − 2 K)`.
///
/// * `area_ratio` — area of all holes over the area of the bore
/// * `discharge` — discharge coefficient of the holes as drilled
/// * `friction_length` — `f L / D` of the pipe, with `f` at its inlet; 0 leaves friction out
///
/// **Valid:** many small holes, incompressible flow, spread up to about 10 %; above that the rule
/// overstates (the exact friction-free answer is `1 − cos(C AR)`).
/// **Source:** `perry-distributor`.
///
/// # Errors
/// `None` where the pressure change along the pipe is as large as the drop of a hole: the rule has no
/// answer there.
///
/// ```
/// use fuelwright::injector::perforated::spread;
/// use fuelwright::quantity::ratio;
///
/// let s = spread(ratio(0.25), ratio(0.80), ratio(0.0)).expect("small");
/// assert!((s.value - 0.0202).abs() < 1e-4);
/// ```
pub fn spread(area_ratio: Ratio, discharge: Ratio, friction_length: Ratio) -> Option<Ratio> {
    let c_ar = discharge.value * area_ratio.value;
    let change = c_ar * c_ar * (friction_length.value / 3.0 - 2.0 * MOMENTUM_RECOVERY);
    (change.abs() < 1.0).then(|| ratio(1.0 - (1.0 - change.abs()).sqrt()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_rule_gives_the_worked_examples() {
        // SOURCES WE-14 and WE-50: arithmetic of the rule, to 0.01 percentage point; the rule itself is
        // from memory of Perry's Handbook, section 6 (Senecal 1957).
        for (area_ratio, c, percent) in [
            (0.25, 0.62, 1.21),
            (0.25, 0.80, 2.02),
            (1.0, 0.62, 21.5),
            (0.5, 0.62, 4.93),
            (0.5, 0.80, 8.35),
            (0.10, 0.62, 0.19),
        ] {
            let got = spread(ratio(area_ratio), ratio(c), ratio(0.0))
                .expect("small")
                .value;
            // 21.5 is printed to 0.1
            let limit = if percent > 20.0 { 0.05 } else { 0.01 };
            assert!(
                (100.0 * got - percent).abs() <= limit,
                "{area_ratio} {c}: {got}"
            );
        }
    }

    #[test]
    fn the_rule_has_no_answer_where_the_pipe_eats_the_drop() {
        assert!(spread(ratio(2.0), ratio(0.8), ratio(0.0)).is_none());
        assert!(spread(ratio(1.0), ratio(0.8), ratio(10.0)).is_none());
    }

    #[test]
    fn friction_and_recovery_can_cancel() {
        assert!(
            spread(ratio(1.0), ratio(0.8), ratio(3.0))
                .expect("small")
                .value
                < 1e-12
        );
    }
}
