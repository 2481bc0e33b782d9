//! Saturation line of water, for humidity and for the dew point of exhaust.

use std::convert::Infallible;

/// Triple point of water, K (`iapws-r14`).
pub const TRIPLE_K: f64 = 273.16;
/// Critical point of water, K and Pa (`wagner-pruss-1993`).
pub const CRITICAL_K: f64 = 647.096;
const CRITICAL_PA: f64 = 22.064e6;

/// Saturation pressure over liquid water, Pa.
///
/// `ln(p/pc) = (Tc/T) (a1 τ + a2 τ^1.5 + a3 τ³ + a4 τ^3.5 + a5 τ⁴ + a6 τ^7.5)`, `τ = 1 − T/Tc`
///
/// **Valid:** triple to critical point; `None` outside.
/// **Source:** `wagner-pruss-1993`.
///
/// ```
/// use fuelwright::eos::water::saturation_pressure_pa;
/// let p_pa = saturation_pressure_pa(373.15).expect("between triple and critical point");
/// assert!((p_pa - 101_418.0).abs() < 10.0);
/// ```
pub fn saturation_pressure_pa(t_k: f64) -> Option<f64> {
    if !(TRIPLE_K..=CRITICAL_K).contains(&t_k) {
        return None;
    }
    let tau: f64 = 1.0 - t_k / CRITICAL_K;
    let sum = -7.859_517_83 * tau + 1.844_082_59 * tau.powf(1.5) - 11.786_649_7 * tau.powi(3)
        + 22.680_741_1 * tau.powf(3.5)
        - 15.961_871_9 * tau.powi(4)
        + 1.801_225_02 * tau.powf(7.5);
    Some(CRITICAL_PA * (CRITICAL_K / t_k * sum).exp())
}

/// Temperature at which water of a partial pressure begins to condense, K: the inverse of
/// [`saturation_pressure_pa`].
///
/// **Valid:** triple to critical pressure (0.0061 bar to 220.6 bar); `None` outside, where frost forms
/// instead or nothing condenses.
/// **Source:** `wagner-pruss-1993`.
///
/// ```
/// use fuelwright::eos::water::saturation_temperature_k;
/// let t_k = saturation_temperature_k(15_000.0).expect("between triple and critical point");
/// assert!((t_k - 327.12).abs() < 0.02); // 53.97 degC in steam tables, from memory
/// ```
pub fn saturation_temperature_k(p_pa: f64) -> Option<f64> {
    let ln_p = p_pa.ln();
    let error = |t_k: f64| {
        let saturated_pa = saturation_pressure_pa(t_k).unwrap_or(f64::NAN);
        Ok::<_, Infallible>(saturated_pa.ln() - ln_p)
    };
    crate::numerics::root::brent(error, TRIPLE_K, CRITICAL_K, 1e-9).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn saturation_pressure_meets_the_anchors_of_the_release() {
        // Triple, normal boiling and critical point as IAPWS SR1-86(1992) states them, from memory;
        // its own statement of uncertainty is 0.025 % in the middle.
        for (t_k, p_pa) in [
            (273.16, 611.657),
            (373.1243, 101_325.0),
            (647.096, 22.064e6),
        ] {
            let got = saturation_pressure_pa(t_k).expect("in range");
            assert!((got / p_pa - 1.0).abs() < 1e-4, "{t_k} K: {got} Pa");
        }
        // Code to code: CoolProp 8.0.0, IAPWS-95.
        for (t_k, p_pa) in [(400.0, 245_769.345_57), (500.0, 2_639_195.871_76)] {
            let got = saturation_pressure_pa(t_k).expect("in range");
            assert!((got / p_pa - 1.0).abs() < 1e-4, "{t_k} K: {got} Pa");
        }
    }

    #[test]
    fn temperature_undoes_pressure() {
        for t_k in [273.2, 300.0, 330.0, 373.15, 450.0, 640.0] {
            let p_pa = saturation_pressure_pa(t_k).expect("in range");
            let back = saturation_temperature_k(p_pa).expect("in range");
            assert!((back - t_k).abs() < 1e-6, "{t_k} K came back as {back} K");
        }
        assert_eq!(saturation_temperature_k(500.0), None);
        assert_eq!(saturation_pressure_pa(270.0), None);
    }
}
