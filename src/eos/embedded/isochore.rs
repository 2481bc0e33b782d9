//! States at density and temperature or internal energy.

use super::{Embedded, NEAR_CRITICAL};
use crate::eos::blend_flash::{split_of_density, start_from};
use crate::eos::{EosError, Equilibrium, Phase, Side, State};
use crate::numerics::root;
use crate::quantity::sentence::{density, in_kelvin, sentence};

impl Embedded {
    pub(super) fn density_checked(&self, rho_kg_m3: f64) -> Result<f64, EosError> {
        if !rho_kg_m3.is_finite() {
            return Err(EosError::NotFinite { name: "density" });
        }
        let rho = rho_kg_m3 / self.mixed.molar_mass_kg_mol;
        let top = self.model.rho_max_generic::<f64>(&self.mixed.x);
        if rho > 0.0 && rho <= top {
            return Ok(rho);
        }
        Err(EosError::NotAvailable {
            what: "state",
            fuel: self.label(),
            why: sentence!(
                "density {} is outside the equation, above 0 and up to {}",
                density(rho_kg_m3).plain("kg/m³", 1.0),
                density(top * self.mixed.molar_mass_kg_mol).fixed("kg/m³", 1.0, 1)
            ),
        })
    }

    /// Two-phase state of given density at a temperature.
    pub(super) fn blend_rho_t(&self, rho: f64, t_k: f64) -> Result<State, EosError> {
        let iso = self.isotherm(t_k);
        let (side, p_pa, response) = self.caloric(&self.mixed, &iso, rho);
        let mechanically_stable = response.dp_drho_pa_m3_kg > 0.0 && p_pa > 0.0;
        if mechanically_stable && p_pa <= self.validity.max_pressure_pa {
            let stable = self.blend_pt(p_pa, t_k)?;
            if stable.phase != Phase::TwoPhase
                && (stable.density_kg_m3 / side.density_kg_m3 - 1.0).abs() < 1e-7
            {
                return Ok(State {
                    pressure_pa: p_pa,
                    ..self.single(&iso, p_pa, rho, stable.phase)
                });
            }
        } else if mechanically_stable && !self.is_below_bubble_density(side.density_kg_m3, t_k) {
            return Err(EosError::PressureOutOfRange {
                fuel: self.label(),
                p_pa,
                upper_pa: self.validity.max_pressure_pa,
                source_key: self.validity.source.clone(),
            });
        }
        // two phases: the pressure at which the split has this density
        let bubble = self.incipient_t(t_k, true)?;
        if let Some(state) = self.two_phase_rho(rho, &bubble) {
            return Ok(state);
        }
        let bubble = bubble.pressure_pa;
        let dew = self.incipient_t(t_k, false)?.pressure_pa;
        let target = (rho * self.mixed.molar_mass_kg_mol).recip();
        let off = |p: f64| {
            self.blend_pt(p, t_k)
                .map(|s| (s.density_kg_m3.recip() - target) / target)
        };
        let p_pa =
            root::brent(off, dew * (1.0 - 1e-9), bubble * (1.0 + 1e-9), 1e-13).map_err(|e| {
                e.or_from(|_| {
                    self.stuck(
                        "two-phase state",
                        sentence!("{} mol/m³, {}", &rho, in_kelvin(t_k)),
                    )
                })
            })?;
        self.blend_pt(p_pa, t_k)
    }

    /// Liquid and vapour of a mean density, from the bubble point at their temperature.
    fn two_phase_rho(&self, rho: f64, bubble: &Equilibrium) -> Option<State> {
        let (l, g) = (&bubble.liquid, &bubble.vapour);
        let molar = |s: &Side| s.molar_mass_kg_mol / s.density_kg_m3;
        let (v_l, v_g) = (molar(l), molar(g));
        let share = (rho.recip() - v_l) / (v_g - v_l);
        if !(share > 0.0 && share < 1.0) {
            return None;
        }
        let start = start_from(bubble, share, bubble.pressure_pa, self.model.r());
        let split = split_of_density(&self.model, &self.mixed.x, rho, &start)?;
        let e = self.blend_equilibrium(&split);
        (split.p_pa <= self.validity.max_pressure_pa)
            .then(|| State::two_phase(&e, split.vapour_fraction))
    }

    /// Whether a density is below that of the boiling liquid. Between the phases the equation of a blend
    /// may loop up to any pressure; that is no state.
    fn is_below_bubble_density(&self, rho_kg_m3: f64, t_k: f64) -> bool {
        self.incipient_t(t_k, true)
            .is_ok_and(|e| rho_kg_m3 < e.liquid.density_kg_m3)
    }

    pub(super) fn pure_rho_t(&self, rho: f64, t_k: f64) -> Result<State, EosError> {
        let iso = self.isotherm(t_k);
        if t_k < self.equation().t_critical_k * (1.0 - NEAR_CRITICAL) {
            let sat = self.pure_saturation(&iso)?;
            if rho > sat.vapour_mol_m3 && rho < sat.liquid_mol_m3 {
                let e = self.pure_equilibrium(&iso, &sat);
                let (vl, vv) = (
                    e.liquid.density_kg_m3.recip(),
                    e.vapour.density_kg_m3.recip(),
                );
                let q = ((rho * self.mixed.molar_mass_kg_mol).recip() - vl) / (vv - vl);
                return Ok(State::two_phase(&e, q));
            }
        }
        let p_pa = self.caloric(&self.mixed, &iso, rho).1;
        self.check_p(p_pa)?;
        Ok(self.single(&iso, p_pa, rho, self.critical_phase(p_pa, t_k, rho)))
    }

    pub(super) fn rho_t(&self, rho: f64, t_k: f64) -> Result<State, EosError> {
        if self.model.is_pure() {
            self.pure_rho_t(rho, t_k)
        } else {
            self.blend_rho_t(rho, t_k)
        }
    }

    /// State at density and internal energy.
    pub(super) fn rho_u(&self, rho_kg_m3: f64, u_j_kg: f64) -> Result<State, EosError> {
        let rho = self.density_checked(rho_kg_m3)?;
        if !u_j_kg.is_finite() {
            return Err(EosError::NotFinite {
                name: "internal energy",
            });
        }
        let fail = || {
            self.stuck(
                "state",
                sentence!(
                    "{} and internal energy {}",
                    density(rho_kg_m3).plain("kg/m³", 1.0),
                    &u_j_kg
                ),
            )
        };
        // u rises with T along an isochore; outside the pressure range there is no answer, so the
        // bracket grows from the middle of the range and stops at its ends
        let off = |t_k: f64| {
            self.rho_t(rho, t_k)
                .map(|s| s.internal_energy_j_kg() - u_j_kg)
        };
        let (start, end) = (
            *self.validity.temperature_k.start(),
            *self.validity.temperature_k.end(),
        );
        let (mut low, mut high) = (start, end);
        let scale = 1.0 / (self.model.r() / self.mixed.molar_mass_kg_mol);
        // find a temperature where the isochore can be evaluated, from the critical temperature down
        let mut t_k = (0.8 * self.mixed.t_r_k).clamp(low, high);
        let mut f = off(t_k);
        for k in 0..30 {
            if f.is_ok() {
                break;
            }
            // too hot for a full vessel, too cold for none: halve towards the cold end
            high = t_k;
            t_k = if k < 29 { 0.5 * (low + t_k) } else { low };
            f = off(t_k);
        }
        let mut f = f?;
        let direction = if f < 0.0 { 1.0 } else { -1.0 };
        let (mut a, mut fa) = (t_k, f);
        for _ in 0..80 {
            let mut step = (f.abs() * scale / 8.0).clamp(1e-6 * t_k, 40.0) * direction;
            let mut next = (t_k + step).clamp(low, high);
            let mut g = off(next);
            for _ in 0..40 {
                if g.is_ok() {
                    break;
                }
                if direction > 0.0 {
                    high = next;
                } else {
                    low = next;
                }
                step *= 0.5;
                next = (t_k + step).clamp(low, high);
                g = off(next);
            }
            let g = g?;
            if (g < 0.0) != (fa < 0.0) || g == 0.0 {
                let t = root::brent_from(
                    |t| off(t).map_err(root::RootError::Function),
                    (a, fa),
                    (next, g),
                    1e-14,
                )
                .map_err(|e| e.or_from(|_| fail()))?;
                return self.rho_t(rho, t);
            }
            if (next - t_k).abs() < 1e-12 * t_k {
                break;
            }
            (t_k, f) = (next, g);
            (a, fa) = (t_k, f);
        }
        Err(fail())
    }
}
