//! Surface tension of a saturated liquid, pure and blended.

use crate::eos::EosError;
use crate::fuel::{Composition, Equation, Fuel};
use crate::quantity::sentence::{in_kelvin_2, sentence};

/// Liquid densities near the critical point are taken at this reduced temperature: they are only
/// weights, and the curve is steep there.
const WEIGHT_REDUCED_T: f64 = 0.95;

/// Surface tension of a saturated pure liquid, N/m: `σ = Σ a_i (1 - T/Tc)^n_i`; zero from the critical
/// temperature up.
pub(in crate::eos) fn pure(fuel: &Fuel, t_k: f64) -> Result<f64, EosError> {
    let s = fuel
        .surface_tension
        .as_ref()
        .ok_or_else(|| EosError::NotAvailable {
            what: "surface tension",
            fuel: fuel.name.clone(),
            why: "its file has no correlation".into(),
        })?;
    let theta = 1.0 - t_k / s.t_critical_k;
    if theta <= 0.0 {
        return Ok(0.0);
    }
    let sum: f64 = s.a.iter().zip(&s.n).map(|(a, n)| a * theta.powf(*n)).sum();
    Ok(sum.max(0.0))
}

/// Molar volume of the saturated liquid, m³/mol, as a weight.
fn liquid_volume(e: &Equation, t_k: f64) -> f64 {
    let t_k = t_k.min(WEIGHT_REDUCED_T * e.t_critical_k);
    1.0 / e.ancillary.liquid_density.at(t_k)
}

/// Surface tension of the saturated liquid of a composition, N/m.
///
/// Pure: `σ = Σ a_i (1 - T/Tc)^n_i` (`mulero2012`). Blend:
/// `σ = Σ_i Σ_j x_i x_j V_i V_j √(σ_i σ_j) / (Σ_i x_i V_i)² = (Σ x_i V_i √σ_i / Σ x_i V_i)²`
/// with the molar volumes of the pure saturated liquids (`winterfeld1978`); a component above its
/// critical temperature adds volume but no tension.
///
/// * `t_k` — temperature, K
///
/// **Valid:** from the triple point to the critical point. Pure 1 to 5 % (each fuel's file); blends of
/// hydrocarbons ±10 %, with alcohols or with a component above its critical temperature ±30 % (our
/// choice: no measured blend was at hand).
/// **Errors:** [`EosError::TemperatureOutOfRange`], [`EosError::AboveCritical`],
/// [`EosError::NotAvailable`].
/// **Source:** `mulero2012`, `winterfeld1978`.
///
/// # Errors
/// No correlation, below every triple point, or at and above the critical temperature.
pub fn surface_tension_n_m(composition: &Composition, t_k: f64) -> Result<f64, EosError> {
    if !t_k.is_finite() {
        return Err(EosError::NotFinite {
            name: "temperature",
        });
    }
    let (mut weighted, mut volume) = (0.0, 0.0);
    let (mut t_pseudo_critical_k, mut p_pseudo_critical_pa, mut t_lowest_k) = (0.0, 0.0, f64::MAX);
    let mut source_key = String::new();
    for part in composition.parts().iter().filter(|p| p.mole_fraction > 0.0) {
        let e = part
            .fuel
            .equation
            .as_ref()
            .ok_or_else(|| EosError::NotAvailable {
                what: "surface tension",
                fuel: part.fuel.name.clone(),
                why: "it has no equation of state".into(),
            })?;
        let x_v = part.mole_fraction * liquid_volume(e, t_k);
        weighted += x_v * pure(&part.fuel, t_k)?.sqrt();
        volume += x_v;
        t_pseudo_critical_k += part.mole_fraction * e.t_critical_k;
        p_pseudo_critical_pa += part.mole_fraction * e.p_critical_pa;
        if e.t_triple_k < t_lowest_k {
            t_lowest_k = e.t_triple_k;
            source_key.clone_from(&e.source);
        }
    }
    if t_k < t_lowest_k {
        return Err(EosError::TemperatureOutOfRange {
            fuel: composition.label().to_owned(),
            t_k,
            lower_k: t_lowest_k,
            upper_k: t_pseudo_critical_k,
            source_key,
        });
    }
    let sigma = (weighted / volume).powi(2);
    if sigma > 0.0 {
        return Ok(sigma);
    }
    Err(EosError::AboveCritical {
        fuel: composition.label().to_owned(),
        at: sentence!("{}", in_kelvin_2(t_k)),
        t_critical_k: t_pseudo_critical_k,
        p_critical_pa: p_pseudo_critical_pa,
    })
}
