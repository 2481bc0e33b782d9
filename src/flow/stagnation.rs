//! A gas at rest and the same gas moving, at one entropy and total enthalpy: the stagnation relation of a real gas.
//!
//! `h + G²/(2 ρ²) = h₀`, `s = s₀`. **Source:** `naca1135` for the relation, of which a perfect gas is a case.

use crate::eos::{Backend, EosError, State};
use crate::quantity::sentence::{flux as mass_flux, pressure, sentence};

/// Newton steps at most.
const MOST_STEPS: usize = 100;
/// Relative change of pressure at which they end.
const SETTLED: f64 = 1e-14;

/// State of a gas that has sped up from rest to a mass flux, kg/(m² s), below the speed of sound; `None` where the
/// flux is more than it can have.
///
/// The flux rises as pressure falls, ever more slowly, so that Newton's steps from rest never go too far.
pub(crate) fn sped_up(
    backend: &dyn Backend,
    rest: &State,
    flux: f64,
) -> Result<Option<State>, EosError> {
    let (h0, s0) = (rest.enthalpy_j_kg, rest.entropy_j_kg_k);
    let mut p_pa = rest.pressure_pa;
    let mut state = *rest;
    let mut last_pa = f64::INFINITY;
    for _ in 0..MOST_STEPS {
        let (rho, w) = (state.density_kg_m3, state.response()?.speed_of_sound_m_s);
        let u2 = 2.0 * (h0 - state.enthalpy_j_kg);
        let mach2 = u2 / (w * w);
        if mach2 >= 1.0 {
            return Ok(None);
        }
        let step_pa = (flux * flux - rho * rho * u2) / (2.0 * rho * (1.0 - mach2));
        // what is left is rounding once the steps no longer shrink
        if step_pa.abs() <= SETTLED * p_pa
            || step_pa.abs() >= last_pa && step_pa.abs() < 1e-9 * p_pa
        {
            return Ok(Some(state));
        }
        last_pa = step_pa.abs();
        p_pa -= step_pa;
        if p_pa <= 0.0 {
            return Ok(None);
        }
        state = backend.state_ps_near(p_pa, s0, &state)?;
    }
    Err(not_converged(
        backend,
        "pressure of a gas that speeds up",
        p_pa,
        flux,
    ))
}

/// Pressure, Pa, that a gas moving with a mass flux, kg/(m² s), has where it is brought to rest without loss.
pub(crate) fn pressure_at_rest_pa(
    backend: &dyn Backend,
    moving: &State,
    flux: f64,
) -> Result<f64, EosError> {
    let u2 = (flux / moving.density_kg_m3).powi(2);
    let h0 = moving.enthalpy_j_kg + 0.5 * u2;
    let mut state = *moving;
    for _ in 0..MOST_STEPS {
        let step_pa = (h0 - state.enthalpy_j_kg) * state.density_kg_m3;
        let p_pa = state.pressure_pa + step_pa;
        if step_pa.abs() <= 1e-12 * p_pa {
            return Ok(p_pa);
        }
        state = backend.state_ps_near(p_pa, moving.entropy_j_kg_k, &state)?;
    }
    let p_pa = state.pressure_pa;
    Err(not_converged(
        backend,
        "pressure of a gas brought to rest",
        p_pa,
        flux,
    ))
}

fn not_converged(backend: &dyn Backend, what: &'static str, p_pa: f64, flux: f64) -> EosError {
    EosError::NotConverged {
        what,
        fuel: backend.composition().label().to_owned(),
        at: sentence!(
            "{}, {}",
            pressure(p_pa).digits(7),
            mass_flux(flux).plain("kg/(m² s)", 1.0)
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::eos;
    use crate::fuel::{Composition, Library};

    // naca1135 (relation from memory): p/p0 = (1 + (γ-1)/2 M²)^(-γ/(γ-1)), worked out by hand for γ = 1.4. Nitrogen
    // at 1.5 bar and 20 °C is a perfect gas with γ 1.40 within 0.2 %.
    #[test]
    fn a_gas_that_speeds_up_falls_to_the_isentropic_pressure() {
        let library = Library::embedded();
        let nitrogen = Composition::parse("nitrogen", &library).expect("in the library");
        let gas = eos::backend(&library, &nitrogen).expect("it has an equation");
        let rest = gas.state_pt(1.5e5, 293.15).expect("gas");
        for (mach, of_rest) in [(0.3, 0.9395), (0.5, 0.8430), (0.8, 0.6560)] {
            let throat = gas
                .state_ps(of_rest * 1.5e5, rest.entropy_j_kg_k)
                .expect("gas");
            let w = throat.response().expect("one phase").speed_of_sound_m_s;
            let flux = throat.density_kg_m3 * mach * w;
            let moving = sped_up(gas.as_ref(), &rest, flux)
                .expect("found")
                .expect("not choked");
            let got = moving.pressure_pa / 1.5e5;
            assert!((got - of_rest).abs() < 2e-3, "{mach}: {got}, not {of_rest}");
            let back = pressure_at_rest_pa(gas.as_ref(), &moving, flux).expect("found");
            assert!((back / 1.5e5 - 1.0).abs() < 1e-10, "{mach}: {back}");
        }
        // G* = p0 √(γ/(R T0)) 0.5787 = 1.5e5 √(1.4/(296.8 × 293.15)) 0.5787 = 348.2 kg/(m² s)
        let within = |flux: f64| sped_up(gas.as_ref(), &rest, flux).expect("found").is_some();
        assert!(within(347.0) && !within(350.0));
    }
}
