//! Flow coefficient of a valve: Kv and Cv.

use super::Length;

/// `Kv = 0.865 Cv`, the rounded factor of the control-valve standard (`iec60534-2-1`).
///
/// By the definitions alone: 1 US gal/min at 1 psi is 0.22712 m³/h at 0.068948 bar, which makes 0.86498.
pub const KV_PER_CV: f64 = 0.865;

/// How much a valve passes. Kv is in m³/h of water at 1 bar, Cv in US gal/min at 1 psi.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct FlowCoefficient {
    kv_m3_h: f64,
}

impl FlowCoefficient {
    /// From Kv, m³/h.
    pub const fn from_kv(kv_m3_h: f64) -> Self {
        Self { kv_m3_h }
    }
    /// From Cv, US units.
    pub const fn from_cv(cv_us: f64) -> Self {
        Self {
            kv_m3_h: cv_us * KV_PER_CV,
        }
    }
    /// More than any valve of a bore passes: that of the bore alone with a loss coefficient of 0.01, half of what a
    /// smooth tube as long as it is wide has.
    ///
    /// Water of 1000 kg/m³ at 1 bar with a loss coefficient `ζ`: `Kv = A √(2 Δp/(ζ ρ))`.
    ///
    /// ```
    /// use fuelwright::quantity::{FlowCoefficient, metres};
    ///
    /// // 0.04 d²/√ζ with d in mm
    /// let most = FlowCoefficient::beyond(metres(6e-3)).kv();
    /// assert!((most / (0.04 * 36.0 / 0.1) - 1.0).abs() < 1e-3);
    /// ```
    pub fn beyond(bore: Length) -> Self {
        const LOSS: f64 = 0.01;
        let velocity_m_s = (2.0 * 1e5 / (LOSS * 1000.0)).sqrt();
        let area_m2 = 0.25 * std::f64::consts::PI * bore.value * bore.value;
        Self::from_kv(area_m2 * velocity_m_s * 3600.0)
    }
    /// Kv, m³/h.
    pub const fn kv(self) -> f64 {
        self.kv_m3_h
    }
    /// Cv, US units.
    pub const fn cv(self) -> f64 {
        self.kv_m3_h / KV_PER_CV
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn kv_is_0_865_of_cv() {
        // IEC 60534-2-1 gives N1 = 0.1 (kPa, Kv) and 0.0865 (kPa, Cv): the ratio is 0.865.
        assert!((FlowCoefficient::from_cv(1.0).kv() - 0.0865 / 0.1).abs() < 1e-12);
        assert!((FlowCoefficient::from_kv(0.865).cv() - 1.0).abs() < 1e-12);
    }
}
