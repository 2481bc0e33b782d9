//! Rules of thumb for what a cylinder or tank vaporises, to set beside the heat-gain model.
//!
//! They are old service-manual figures for commercial propane in still air, with no stated lowest
//! pressure, humidity or duration. Measured in `tests/figures/reference/tank.rs`, the heat-gain model for a draw
//! that is sustainable gives 0.63 to 0.88 of the storage-tank rule from 0 to 20 °F, 1.2 to 1.3 of it
//! at -10 °F and 3.1 to 3.4 at -20 °F, where the rule falls off faster than any heat balance; and 0.37 to
//! 0.75 of the cylinder table from 20 to 70 °F, 0.23 to 0.32 in its coldest column, whose heading is in
//! doubt. The rules count in what tank and liquid give while they cool.

use super::TankError;
use crate::quantity::range::in_range_of;
use crate::quantity::{Length, Mass, Power, Ratio, ThermodynamicTemperature, watts};

const BTU_PER_HOUR_W: f64 = 0.293_071_070_172_222_2;
const INCH_M: f64 = 0.0254;
const POUND_KG: f64 = 0.453_592_37;

/// Band that the cylinder table is to be used with.
///
/// **Source:** the table's heading is partly lost, see `cylinder_table`.
pub const TABLE_BAND: f64 = 0.2;

/// Liquid share of the volume, percent, and factor K.
const K_BY_FILL: [(f64, f64); 6] = [
    (10.0, 45.0),
    (20.0, 60.0),
    (30.0, 70.0),
    (40.0, 80.0),
    (50.0, 90.0),
    (60.0, 100.0),
];
/// Air temperature, °F, and multiplier.
const BY_TEMPERATURE: [(f64, f64); 8] = [
    (-44.0, 0.0),
    (-20.0, 0.125),
    (-15.0, 0.25),
    (-10.0, 0.5),
    (-5.0, 0.75),
    (0.0, 1.0),
    (10.0, 1.5),
    (20.0, 2.0),
];
/// Columns of the cylinder table, °F.
const TABLE_F: [f64; 5] = [0.0, 20.0, 40.0, 60.0, 70.0];
/// Pounds of propane left in a 100 lb cylinder, and Btu/h at each temperature.
const TABLE: [(f64, [f64; 5]); 3] = [
    (10.0, [28e3, 38e3, 49e3, 60e3, 66e3]),
    (50.0, [64e3, 94e3, 125e3, 154e3, 167e3]),
    (100.0, [113e3, 167e3, 214e3, 277e3, 300e3]),
];

fn fahrenheit(t: ThermodynamicTemperature) -> f64 {
    (t.value - 273.15) * 1.8 + 32.0
}

/// Straight line between the two points that enclose `x`; `x` inside.
fn between(points: &[(f64, f64)], x: f64) -> f64 {
    let i = points
        .windows(2)
        .position(|w| x <= w[1].0)
        .unwrap_or(points.len() - 2);
    let ((x0, y0), (x1, y1)) = (points[i], points[i + 1]);
    y0 + (y1 - y0) * (x - x0) / (x1 - x0)
}

/// Heat of the gas a horizontal storage tank vaporises: `D L K` Btu/h at 0 °F with outside diameter and
/// overall length in inches, `K` by filling, times a factor for the air temperature; straight lines
/// between the tabled points.
///
/// **Valid:** propane, 10 to 60 % full, -44 to 20 °F (-42 to -6.7 °C).
/// **Errors:** [`TankError::OutOfRange`] outside.
/// **Source:** `lpgasmanuals` (from memory), the temperature factors from a vehicle manual.
///
/// # Errors
/// As above.
///
/// ```
/// use fuelwright::quantity::{celsius, metres, ratio};
/// use fuelwright::tank::vaporisation_rule::storage_tank;
/// let heat = storage_tank(metres(37.0 * 0.0254), metres(120.0 * 0.0254), ratio(0.2), celsius(-17.777_777_777_777_8))?;
/// assert!((heat.value / 0.293_071_07 - 266_400.0).abs() < 1.0);
/// # Ok::<(), fuelwright::tank::TankError>(())
/// ```
pub fn storage_tank(
    diameter: Length,
    length: Length,
    liquid: Ratio,
    air: ThermodynamicTemperature,
) -> Result<Power, TankError> {
    let (percent, f) = (liquid.value * 100.0, fahrenheit(air));
    in_range_of("liquid share of the volume", percent, 10.0..=60.0, "%")?;
    // a hair of slack for temperatures converted from °F
    in_range_of("air temperature", f, -44.0 - 1e-6..=20.0 + 1e-6, "degF")?;
    let inches = diameter.value / INCH_M * (length.value / INCH_M);
    let btu_h = inches * between(&K_BY_FILL, percent) * between(&BY_TEMPERATURE, f);
    Ok(watts(btu_h * BTU_PER_HOUR_W))
}

/// Heat of the gas a 100 lb propane cylinder vaporises continuously; straight lines between the tabled
/// points. Use with [`TABLE_BAND`].
///
/// **Valid:** 10 to 100 lb left, 0 to 70 °F (-17.8 to 21.1 °C).
/// **Errors:** [`TankError::OutOfRange`] outside.
/// **Source:** `lpgastable`; one column heading is lost and aligned by its neighbours.
///
/// # Errors
/// As above.
pub fn cylinder_table(left: Mass, air: ThermodynamicTemperature) -> Result<Power, TankError> {
    let (pounds, f) = (left.value / POUND_KG, fahrenheit(air));
    in_range_of("propane left", pounds, 10.0 - 1e-6..=100.0 + 1e-6, "lb")?;
    in_range_of("air temperature", f, -1e-6..=70.0 + 1e-6, "degF")?;
    let at: Vec<(f64, f64)> = TABLE
        .iter()
        .map(|(lb, row)| {
            let points: Vec<(f64, f64)> =
                TABLE_F.iter().copied().zip(row.iter().copied()).collect();
            (*lb, between(&points, f))
        })
        .collect();
    Ok(watts(between(&at, pounds) * BTU_PER_HOUR_W))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{kelvin, kilograms, metres, ratio};

    fn at_f(f: f64) -> ThermodynamicTemperature {
        kelvin((f - 32.0) / 1.8 + 273.15)
    }

    // SOURCES WE-27: 37 by 120 in, 20 % full: 266 400 Btu/h at 0 °F, 532 800 at 20 °F, exact
    #[test]
    fn storage_rule_gives_the_worked_example() {
        let btu_h = |f: f64| {
            storage_tank(
                metres(37.0 * INCH_M),
                metres(120.0 * INCH_M),
                ratio(0.2),
                at_f(f),
            )
            .expect("inside the rule")
            .value
                / BTU_PER_HOUR_W
        };
        assert!((btu_h(0.0) / 266_400.0 - 1.0).abs() < 1e-9);
        assert!((btu_h(20.0) / 532_800.0 - 1.0).abs() < 1e-9);
        assert!(btu_h(-44.0).abs() < 1.0);
    }

    // SOURCES WE-26, table points
    #[test]
    fn cylinder_table_is_read_at_its_points() {
        let btu_h = |lb: f64, f: f64| {
            cylinder_table(kilograms(lb * POUND_KG), at_f(f))
                .expect("inside the table")
                .value
                / BTU_PER_HOUR_W
        };
        for (lb, f, want) in [(100.0, 0.0, 113e3), (50.0, 40.0, 125e3), (10.0, 70.0, 66e3)] {
            assert!((btu_h(lb, f) / want - 1.0).abs() < 1e-9, "{lb} lb {f} degF");
        }
        assert!(
            (btu_h(75.0, 0.0) / 88_500.0 - 1.0).abs() < 1e-9,
            "half way between two rows"
        );
    }

    #[test]
    fn rules_end_where_their_tables_end() {
        let d = metres(1.0);
        assert!(storage_tank(d, d, ratio(0.7), at_f(0.0)).is_err());
        assert!(storage_tank(d, d, ratio(0.3), at_f(40.0)).is_err());
        assert!(cylinder_table(kilograms(1.0), at_f(40.0)).is_err());
        assert!(cylinder_table(kilograms(20.0), at_f(90.0)).is_err());
    }
}
