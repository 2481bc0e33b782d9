//! Size of a residual: its largest part.

/// Largest absolute value; not a number if any part is none.
pub(super) fn size(r: &[f64]) -> f64 {
    // written so that a value that is not a number is never small
    r.iter()
        .fold(0.0, |m: f64, r| if r.abs() <= m { m } else { r.abs() })
}
