//! Bragg's table: how compressibility raises the coefficient of a hole that contracts its jet.

use super::{DischargeError, Model};

const MODEL: Model = Model {
    name: "compressible contraction table",
    source_key: "bragg1960",
};

/// Low-speed coefficients of the rows.
const LOW_SPEED: [f64; 9] = [0.60, 0.65, 0.70, 0.75, 0.80, 0.85, 0.90, 0.95, 1.00];

/// Pressure ratios p2/p1 of the columns.
const RATIO: [f64; 19] = [
    0.00, 0.10, 0.15, 0.20, 0.25, 0.30, 0.35, 0.40, 0.45, 0.50, 0.55, 0.60, 0.65, 0.70, 0.75, 0.80,
    0.85, 0.90, 1.00,
];

/// The table for γ = 1.4. Two entries of the first row (0.828, 0.827) and one of the row 0.85 (0.949)
/// look like slips of transcription; they are carried as found.
#[rustfmt::skip]
const COEFFICIENT: [[f64; 19]; 9] = [
    [0.870, 0.855, 0.846, 0.828, 0.827, 0.815, 0.801, 0.786, 0.769, 0.749, 0.725, 0.704, 0.685, 0.670, 0.654, 0.641, 0.630, 0.619, 0.600],
    [0.902, 0.890, 0.882, 0.875, 0.867, 0.855, 0.842, 0.830, 0.811, 0.792, 0.773, 0.751, 0.732, 0.718, 0.700, 0.689, 0.678, 0.668, 0.650],
    [0.929, 0.920, 0.912, 0.908, 0.900, 0.890, 0.880, 0.869, 0.852, 0.835, 0.815, 0.794, 0.778, 0.761, 0.749, 0.736, 0.725, 0.716, 0.700],
    [0.952, 0.946, 0.940, 0.936, 0.930, 0.921, 0.913, 0.903, 0.889, 0.873, 0.854, 0.836, 0.820, 0.808, 0.796, 0.785, 0.775, 0.766, 0.750],
    [0.970, 0.966, 0.962, 0.958, 0.953, 0.948, 0.941, 0.935, 0.923, 0.909, 0.890, 0.874, 0.860, 0.849, 0.838, 0.829, 0.820, 0.812, 0.800],
    [0.983, 0.9805, 0.98, 0.978, 0.975, 0.970, 0.965, 0.958, 0.950, 0.949, 0.926, 0.911, 0.900, 0.890, 0.881, 0.874, 0.867, 0.860, 0.850],
    [0.992, 0.991, 0.990, 0.989, 0.988, 0.985, 0.981, 0.980, 0.973, 0.967, 0.956, 0.943, 0.935, 0.928, 0.920, 0.915, 0.910, 0.907, 0.900],
    [0.999, 0.999, 0.998, 0.998, 0.998, 0.997, 0.995, 0.992, 0.990, 0.988, 0.981, 0.975, 0.970, 0.964, 0.960, 0.958, 0.954, 0.952, 0.950],
    [1.000, 1.000, 1.000, 1.000, 1.000, 1.000, 1.000, 1.000, 1.000, 1.000, 1.000, 1.000, 1.000, 1.000, 1.000, 1.000, 1.000, 1.000, 1.000],
];

/// Coefficient of a contracting hole at a pressure ratio, bilinear in Bragg's table.
///
/// * `c_i` — coefficient at low speed
/// * `r` — pressure downstream over pressure upstream
///
/// **Valid:** γ = 1.4, `0.60 ≤ C_i ≤ 1`, `0 ≤ r ≤ 1`; jets that leave the hole contracted.
/// **Source:** `bragg1960`.
///
/// # Errors
/// [`DischargeError::OutOfRange`].
///
/// ```
/// use fuelwright::flow::discharge::bragg_coefficient;
/// assert!((bragg_coefficient(0.60, 0.5)? - 0.749).abs() < 1e-9);
/// # Ok::<(), fuelwright::flow::discharge::DischargeError>(())
/// ```
pub fn bragg_coefficient(c_i: f64, r: f64) -> Result<f64, DischargeError> {
    let c_i = MODEL.inside("low-speed coefficient", c_i, 0.60, 1.0)?;
    let r = MODEL.inside("pressure ratio", r, 0.0, 1.0)?;
    let (row, across) = place(&LOW_SPEED, c_i);
    let (column, along) = place(&RATIO, r);
    let in_row = |i: usize| {
        COEFFICIENT[i][column] + along * (COEFFICIENT[i][column + 1] - COEFFICIENT[i][column])
    };
    Ok(in_row(row) + across * (in_row(row + 1) - in_row(row)))
}

/// Index of the interval of `grid` that holds `x`, and the share of the interval below `x`.
fn place(grid: &[f64], x: f64) -> (usize, f64) {
    let i = grid.partition_point(|&g| g <= x).clamp(1, grid.len() - 1) - 1;
    (i, (x - grid[i]) / (grid[i + 1] - grid[i]))
}
