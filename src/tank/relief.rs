//! Design pressure classes, relief flow and wall stress of a container.

use super::TankError;
use crate::quantity::range::{in_range, in_range_of};
use crate::quantity::{
    AbsolutePressure, Area, GaugePressure, Length, PressureDifference, Ratio, VolumeRate,
    cubic_metres_per_second, pascals_difference, pascals_gauge,
};

const PSI_PA: f64 = 6_894.757_293_168;
const SQUARE_FOOT_M2: f64 = 0.092_903_04;
const CUBIC_FOOT_PER_MINUTE_M3_S: f64 = 4.719_474_432e-4;

/// Vapour pressure at 100 °F and least design pressure of the container, psig.
///
/// **Source:** `cfr1910110`, table H-31, newer codes.
const DESIGN_CLASSES_PSIG: [(f64, f64); 6] = [
    (80.0, 100.0),
    (100.0, 125.0),
    (125.0, 156.0),
    (150.0, 187.0),
    (175.0, 219.0),
    (215.0, 250.0),
];

/// Share of the design pressure at which a relief valve may start to discharge: 88 to 100 %.
///
/// **Source:** `cfr1910110`, (b)(10), from memory.
pub const START_TO_DISCHARGE: (f64, f64) = (0.88, 1.0);

/// Least design pressure of a storage container by gauge vapour pressure of its fuel at 100 °F.
///
/// **Errors:** [`TankError::OutOfRange`] above 215 psig, where the table ends.
/// **Source:** `cfr1910110`, table H-31.
///
/// # Errors
/// As above.
///
/// ```
/// use fuelwright::quantity::pascals_gauge;
/// use fuelwright::tank::relief::least_design_pressure;
/// let psi = 6894.757;
/// let design = least_design_pressure(pascals_gauge(174.0 * psi))?;
/// assert!((design.pascals() / psi - 219.0).abs() < 1e-3);
/// # Ok::<(), fuelwright::tank::TankError>(())
/// ```
pub fn least_design_pressure(at_100f: GaugePressure) -> Result<GaugePressure, TankError> {
    let psig = at_100f.pascals() / PSI_PA;
    let highest = DESIGN_CLASSES_PSIG[5].0;
    in_range_of("vapour pressure at 100 degF", psig, -14.7..=highest, "psig")?;
    let class = DESIGN_CLASSES_PSIG
        .iter()
        .find(|(limit, _)| psig <= *limit)
        .unwrap_or(&DESIGN_CLASSES_PSIG[5]);
    Ok(pascals_gauge(class.1 * PSI_PA))
}

/// Air flow a relief valve must pass by the outside area of the container, at 120 % of its set pressure:
/// `q = 53.632 A^0.82`, q in cubic feet of air a minute, A in square feet; 626 up to 20 square feet.
///
/// **Valid:** up to 2000 square feet (186 m²).
/// **Errors:** [`TankError::OutOfRange`].
/// **Source:** `wac296307`, 41025: formula printed in the note of the section.
///
/// # Errors
/// As above.
pub fn relief_air_flow(area: Area) -> Result<VolumeRate, TankError> {
    let square_feet = area.value / SQUARE_FOOT_M2;
    in_range_of("outside area", square_feet, 1e-6..=2000.0, "ft²")?;
    let cfm = 53.632 * square_feet.max(20.0).powf(0.82);
    Ok(cubic_metres_per_second(cfm * CUBIC_FOOT_PER_MINUTE_M3_S))
}

/// Hoop stress of a thin cylinder, `S = p D / (2 t E)`, as a pressure.
///
/// * `joint_efficiency` — of the long seam, 0 to 1
///
/// **Valid:** wall below a tenth of the diameter.
/// **Errors:** [`TankError::OutOfRange`].
/// **Source:** thin-wall formula (textbook knowledge).
///
/// # Errors
/// As above.
pub fn hoop_stress(
    inside: AbsolutePressure,
    outside: AbsolutePressure,
    diameter: Length,
    wall: Length,
    joint_efficiency: Ratio,
) -> Result<PressureDifference, TankError> {
    let ratio = wall.value / diameter.value;
    in_range("wall over diameter", ratio, 1e-5..=0.1)?;
    in_range("joint efficiency", joint_efficiency.value, 0.1..=1.0)?;
    let p_pa = inside.pascals() - outside.pascals();
    Ok(pascals_difference(
        p_pa / (2.0 * ratio * joint_efficiency.value),
    ))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{metres, pascals_absolute, ratio, square_metres};

    fn cfm(square_feet: f64) -> f64 {
        relief_air_flow(square_metres(square_feet * SQUARE_FOOT_M2))
            .expect("inside the table")
            .value
            / CUBIC_FOOT_PER_MINUTE_M3_S
    }

    // Published: WAC 296-307-41025 (SOURCES WE-31), tolerance 0.3 %
    #[test]
    fn relief_flow_by_area() {
        for (area, want) in [(20.0, 626.0), (25.0, 751.0), (100.0, 2340.0)] {
            assert!(
                (cfm(area) / want - 1.0).abs() < 3e-3,
                "{area}: {}",
                cfm(area)
            );
        }
        assert!(
            (cfm(5.0) / cfm(20.0) - 1.0).abs() < 1e-12,
            "20 square feet or less"
        );
        assert!(relief_air_flow(square_metres(0.0)).is_err());
        assert!(relief_air_flow(square_metres(1e3)).is_err());
    }

    // Published: 29 CFR 1910.110 table H-31
    #[test]
    fn design_pressure_goes_by_class() {
        let design = |psig: f64| {
            least_design_pressure(pascals_gauge(psig * PSI_PA)).map(|p| p.pascals() / PSI_PA)
        };
        for (psig, want) in [(37.0, 100.0), (80.0, 100.0), (80.1, 125.0), (188.0, 250.0)] {
            assert!(
                (design(psig).expect("in the table") - want).abs() < 1e-9,
                "{psig}"
            );
        }
        assert!(design(216.0).is_err());
    }

    #[test]
    fn hoop_stress_of_a_thin_wall() {
        // 20 bar over 0.3 m and 3 mm: 2e6 * 0.3 / 0.006 = 100 MPa
        let s = hoop_stress(
            pascals_absolute(2.1e6),
            pascals_absolute(1e5),
            metres(0.3),
            metres(0.003),
            ratio(1.0),
        )
        .expect("thin");
        assert!((s.pascals() - 1e8).abs() < 1.0);
    }
}
