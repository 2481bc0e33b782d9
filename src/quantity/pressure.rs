//! Pressure in its three kinds: absolute level, gauge level, difference.

use super::QuantityError;
use std::cmp::Ordering;
use std::ops::{Add, Mul, Neg, Sub};

/// Standard atmosphere, Pa, by definition (`cgpm1954`).
pub const STANDARD_ATMOSPHERE_PA: f64 = 101_325.0;

/// Declares a newtype over pascals.
macro_rules! pressure {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
        pub struct $name {
            p_pa: f64,
        }

        impl $name {
            /// From a figure in Pa.
            pub const fn from_pascals(p_pa: f64) -> Self {
                Self { p_pa }
            }
            /// The figure in Pa.
            pub const fn pascals(self) -> f64 {
                self.p_pa
            }
            /// The figure in bar.
            pub fn bar(self) -> f64 {
                self.p_pa / 1e5
            }
            /// Order of two pressures, a total order for sorting.
            pub fn total_cmp(&self, other: &Self) -> Ordering {
                self.p_pa.total_cmp(&other.p_pa)
            }
        }
    };
}

pressure! {
    /// A pressure above vacuum.
    AbsolutePressure
}
pressure! {
    /// A pressure above (or, negative, below) that of the surroundings.
    GaugePressure
}
pressure! {
    /// A difference between two pressures.
    PressureDifference
}

impl AbsolutePressure {
    /// One standard atmosphere.
    pub const STANDARD_ATMOSPHERE: Self = Self::from_pascals(STANDARD_ATMOSPHERE_PA);

    /// This pressure as a gauge beside it would read it.
    #[must_use]
    pub fn gauge(self, ambient: Self) -> GaugePressure {
        GaugePressure::from_pascals(self.p_pa - ambient.p_pa)
    }
}

impl GaugePressure {
    /// This pressure above vacuum, `p_ambient + p_gauge`.
    ///
    /// # Errors
    /// [`QuantityError::GaugeBelowVacuum`] if the sum is not above zero.
    pub fn absolute(self, ambient: AbsolutePressure) -> Result<AbsolutePressure, QuantityError> {
        let p_pa = self.p_pa + ambient.p_pa;
        if p_pa > 0.0 && p_pa.is_finite() {
            Ok(AbsolutePressure::from_pascals(p_pa))
        } else {
            Err(QuantityError::GaugeBelowVacuum {
                gauge_pa: self.p_pa,
                ambient_pa: ambient.p_pa,
            })
        }
    }
}

impl Sub for AbsolutePressure {
    type Output = PressureDifference;
    fn sub(self, other: Self) -> PressureDifference {
        PressureDifference::from_pascals(self.p_pa - other.p_pa)
    }
}

impl Sub<PressureDifference> for AbsolutePressure {
    type Output = Self;
    fn sub(self, drop: PressureDifference) -> Self {
        Self::from_pascals(self.p_pa - drop.p_pa)
    }
}

impl Add<PressureDifference> for AbsolutePressure {
    type Output = Self;
    fn add(self, rise: PressureDifference) -> Self {
        Self::from_pascals(self.p_pa + rise.p_pa)
    }
}

impl Add for PressureDifference {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self::from_pascals(self.p_pa + other.p_pa)
    }
}

impl Sub for PressureDifference {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self::from_pascals(self.p_pa - other.p_pa)
    }
}

impl Neg for PressureDifference {
    type Output = Self;
    fn neg(self) -> Self {
        Self::from_pascals(-self.p_pa)
    }
}

impl Mul<f64> for PressureDifference {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self::from_pascals(self.p_pa * factor)
    }
}

/// A pressure level as a person gives it: by gauge or above vacuum.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PressureLevel {
    /// Above vacuum.
    Absolute(AbsolutePressure),
    /// Above the surroundings.
    Gauge(GaugePressure),
}

impl PressureLevel {
    /// The level above vacuum, with the pressure of the surroundings for a gauge level.
    ///
    /// # Errors
    /// [`QuantityError::GaugeBelowVacuum`] if a gauge level lies below vacuum.
    pub fn absolute(self, ambient: AbsolutePressure) -> Result<AbsolutePressure, QuantityError> {
        match self {
            Self::Absolute(p) => Ok(p),
            Self::Gauge(p) => p.absolute(ambient),
        }
    }
}

impl From<AbsolutePressure> for PressureLevel {
    fn from(p: AbsolutePressure) -> Self {
        Self::Absolute(p)
    }
}

impl From<GaugePressure> for PressureLevel {
    fn from(p: GaugePressure) -> Self {
        Self::Gauge(p)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn gauge_and_absolute_differ_by_the_surroundings() {
        let ambient = AbsolutePressure::from_pascals(90_000.0);
        let p = GaugePressure::from_pascals(3e5)
            .absolute(ambient)
            .expect("above vacuum");
        assert!((p.pascals() - 390_000.0).abs() < 1e-9);
        assert!((p.gauge(ambient).pascals() - 3e5).abs() < 1e-9);
        assert!(((p - ambient).pascals() - 3e5).abs() < 1e-9);
    }

    #[test]
    fn a_gauge_level_below_vacuum_is_refused() {
        let ambient = AbsolutePressure::STANDARD_ATMOSPHERE;
        let level = PressureLevel::Gauge(GaugePressure::from_pascals(-1.1e5));
        assert!(matches!(
            level.absolute(ambient),
            Err(QuantityError::GaugeBelowVacuum { .. })
        ));
    }
}
