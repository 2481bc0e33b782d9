//! Discharge coefficient of a pressure-swirl nozzle from its geometry.

use super::{AtomizeError, Correlation};
use crate::quantity::{Area, Length, Ratio, metres, ratio, square_metres};

const RIZK_LEFEBVRE: Correlation = Correlation {
    name: "Rizk-Lefebvre swirl discharge",
    source_key: "rizk-lefebvre-1985",
    scatter: 0.15,
};

/// Geometry of a pressure-swirl nozzle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SwirlChamber {
    /// Area of all inlet ports together.
    pub port_area: Area,
    /// Diameter of the swirl chamber.
    pub chamber_diameter: Length,
    /// Diameter of the exit hole.
    pub exit_diameter: Length,
}

impl SwirlChamber {
    /// Swirl chamber over exit diameter, and port area over both; our choice in the middle of what is made.
    pub const CHAMBER_OVER_EXIT: f64 = 4.0;
    /// Area of the ports over chamber times exit diameter; our choice too.
    pub const PORTS_OVER_DIAMETERS: f64 = 0.4;

    /// A nozzle of the usual proportions. Its coefficient is the same for every exit.
    pub fn usual(exit_diameter: Length) -> Self {
        let chamber_diameter = Self::CHAMBER_OVER_EXIT * exit_diameter;
        let ports_m2 = Self::PORTS_OVER_DIAMETERS * chamber_diameter.value * exit_diameter.value;
        Self {
            port_area: square_metres(ports_m2),
            chamber_diameter: metres(chamber_diameter.value),
            exit_diameter,
        }
    }
}

/// A discharge coefficient of the exit hole with its band.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SwirlDischarge {
    /// Best estimate.
    pub value: Ratio,
    /// Lower end of the band.
    pub low: Ratio,
    /// Upper end of the band.
    pub high: Ratio,
}

/// Discharge coefficient of a pressure-swirl nozzle; low because of its air core.
///
/// `C_d = 0.35 √(A_p/(D_s d_o)) (D_s/d_o)^0.25`
///
/// **Valid:** `D_s/d_o` from 1 to 10, `A_p/(D_s d_o)` from 0.02 to 2 (our choice), ±15 %; thin liquids.
/// Small nozzles with thick liquids pass more.
/// **Source:** `rizk-lefebvre-1985`.
///
/// # Errors
/// [`AtomizeError::OutOfRange`].
///
/// ```
/// use fuelwright::flow::atomize::{SwirlChamber, swirl_discharge};
/// use fuelwright::quantity::{metres, square_metres};
/// let nozzle = SwirlChamber {
///     port_area: square_metres(1e-6),
///     chamber_diameter: metres(4e-3),
///     exit_diameter: metres(1e-3),
/// };
/// assert!((swirl_discharge(&nozzle)?.value.value - 0.247).abs() < 1e-3);
/// # Ok::<(), fuelwright::flow::atomize::AtomizeError>(())
/// ```
pub fn swirl_discharge(nozzle: &SwirlChamber) -> Result<SwirlDischarge, AtomizeError> {
    let (a_p, d_s, d_o) = (
        nozzle.port_area.value,
        nozzle.chamber_diameter.value,
        nozzle.exit_diameter.value,
    );
    let widening =
        RIZK_LEFEBVRE.inside("chamber over exit diameter", "", d_s / d_o, [1.0, 10.0])?;
    let opening = RIZK_LEFEBVRE.inside(
        "port area over diameters",
        "",
        a_p / (d_s * d_o),
        [0.02, 2.0],
    )?;
    let value = 0.35 * opening.sqrt() * widening.powf(0.25);
    Ok(SwirlDischarge {
        value: ratio(value),
        low: ratio(value * (1.0 - RIZK_LEFEBVRE.scatter)),
        high: ratio(value * (1.0 + RIZK_LEFEBVRE.scatter)),
    })
}
