//! States of a correlated liquid and its vapour: which phase, and the inversions.

use super::{Correlated, Liquid, not_available};
use crate::eos::{EosError, Equilibrium, Phase, State};
use crate::numerics::root::{self, RootError};
use crate::quantity::sentence::{Sentence, density, in_kelvin_2, pressure, sentence};

/// Relative tolerance of a boiling temperature and of the inversions, in kelvin.
const TOLERANCE_K: f64 = 1e-9;

/// Which caloric property is matched.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Caloric {
    Entropy,
    Enthalpy,
}

impl Caloric {
    fn of(self, s: &State) -> f64 {
        match self {
            Self::Entropy => s.entropy_j_kg_k,
            Self::Enthalpy => s.enthalpy_j_kg,
        }
    }
    fn name(self) -> &'static str {
        match self {
            Self::Entropy => "entropy",
            Self::Enthalpy => "enthalpy",
        }
    }
}

impl Correlated {
    pub(super) fn saturation_at_t(&self, t_k: f64) -> Result<Equilibrium, EosError> {
        self.check_boiling_t(t_k)?;
        Ok(self.equilibrium(t_k, self.saturation_pa(t_k)))
    }

    pub(super) fn saturation_at_p(&self, p_pa: f64) -> Result<Equilibrium, EosError> {
        self.check_p(p_pa)?;
        let (t_critical_k, p_critical_pa) = (
            self.correlation.t_critical_k,
            self.correlation.p_critical_pa,
        );
        if p_pa > p_critical_pa {
            return Err(EosError::AboveCritical {
                fuel: self.name(),
                at: sentence!("{}", pressure(p_pa).digits(7)),
                t_critical_k,
                p_critical_pa,
            });
        }
        match self.boiling_point(p_pa)? {
            Boiling::At(t_k) => Ok(self.equilibrium(t_k, p_pa)),
            Boiling::AboveRange | Boiling::BelowRange => Err(not_available(
                "boiling point",
                self.composition.label(),
                sentence!(
                    "its vapour pressure is known from {} ({}) to {} ({}) [{}], not at {}",
                    in_kelvin_2(self.lower_k()),
                    pressure(self.saturation_pa(self.lower_k())),
                    in_kelvin_2(self.upper_k()),
                    pressure(self.saturation_pa(self.upper_k())),
                    self.correlation.vapour_pressure.source(),
                    pressure(p_pa)
                ),
            )),
        }
    }

    fn check_boiling_t(&self, t_k: f64) -> Result<(), EosError> {
        if t_k > self.correlation.t_critical_k {
            return Err(EosError::AboveCritical {
                fuel: self.name(),
                at: sentence!("{}", in_kelvin_2(t_k)),
                t_critical_k: self.correlation.t_critical_k,
                p_critical_pa: self.correlation.p_critical_pa,
            });
        }
        self.check_t(t_k)
    }

    /// Boiling temperature at a pressure, or on which side of the range it lies.
    fn boiling_point(&self, p_pa: f64) -> Result<Boiling, EosError> {
        if p_pa > self.saturation_pa(self.upper_k()) {
            return Ok(Boiling::AboveRange);
        }
        if p_pa < self.saturation_pa(self.lower_k()) {
            return Ok(Boiling::BelowRange);
        }
        let ln_p = p_pa.ln();
        root::brent(
            |t_k| Ok(self.saturation_pa(t_k).ln() - ln_p),
            self.lower_k(),
            self.upper_k(),
            TOLERANCE_K,
        )
        .map(Boiling::At)
        .map_err(|e| {
            self.stuck(
                e,
                "boiling point",
                &sentence!("{}", pressure(p_pa).digits(7)),
            )
        })
    }

    fn stuck(&self, e: RootError<EosError>, what: &'static str, at: &Sentence) -> EosError {
        e.or_from(|failure| EosError::NotConverged {
            what,
            fuel: self.name(),
            at: sentence!("{}: {}", at.clone(), &failure),
        })
    }

    /// Stable state at pressure and temperature. Above the range of the vapour pressure a state is
    /// vapour for sure only below the vapour pressure at the top of that range.
    pub(super) fn stable_state(&self, p_pa: f64, t_k: f64) -> Result<State, EosError> {
        self.check_p(p_pa)?;
        let top = self.upper_k();
        if t_k > top && t_k <= self.vapour_upper_k() && p_pa < self.saturation_pa(top) {
            return Ok(self.vapour_state(t_k, p_pa));
        }
        self.check_t(t_k)?;
        Ok(if p_pa < self.saturation_pa(t_k) {
            self.vapour_state(t_k, p_pa)
        } else {
            self.liquid_state(t_k, p_pa)
        })
    }

    /// The stable phase, where the vapour pressure is known.
    pub(super) fn stable_phase(&self, p_pa: f64, t_k: f64) -> Option<Phase> {
        let boils = p_pa < self.saturation_pa(t_k);
        (self.lower_k()..=self.upper_k())
            .contains(&t_k)
            .then_some(if boils { Phase::Gas } else { Phase::Liquid })
    }

    pub(super) fn named_state(&self, p_pa: f64, t_k: f64, phase: Phase) -> Result<State, EosError> {
        self.check_p(p_pa)?;
        match phase {
            Phase::Liquid => {
                self.check_t(t_k)?;
                Ok(self.liquid_state(t_k, p_pa))
            }
            Phase::Gas if (self.upper_k()..=self.vapour_upper_k()).contains(&t_k) => {
                Ok(self.vapour_state(t_k, p_pa))
            }
            Phase::Gas => {
                self.check_t(t_k)?;
                Ok(self.vapour_state(t_k, p_pa))
            }
            Phase::Supercritical | Phase::TwoPhase => Err(not_available(
                "state",
                self.composition.label(),
                format!(
                    "one pressure and temperature do not name a {} state",
                    phase.name()
                ),
            )),
        }
    }

    /// State at pressure and enthalpy or entropy.
    pub(super) fn caloric_state(
        &self,
        p_pa: f64,
        wanted: f64,
        which: Caloric,
    ) -> Result<State, EosError> {
        self.check_p(p_pa)?;
        if !wanted.is_finite() {
            return Err(EosError::NotFinite { name: which.name() });
        }
        match self.boiling_point(p_pa)? {
            Boiling::At(t_k) => {
                let liquid = which.of(&self.liquid_state(t_k, p_pa));
                let vapour = which.of(&self.vapour_state(t_k, p_pa));
                let q = (wanted - liquid) / (vapour - liquid);
                if q < 0.0 {
                    self.liquid_between(p_pa, wanted, which, t_k)
                } else if q > 1.0 {
                    self.vapour_between(p_pa, wanted, which, t_k)
                } else {
                    self.mixed(&self.equilibrium(t_k, p_pa), q)
                }
            }
            Boiling::AboveRange => self.liquid_between(p_pa, wanted, which, self.upper_k()),
            Boiling::BelowRange => self.vapour_between(p_pa, wanted, which, self.lower_k()),
        }
    }

    fn liquid_between(
        &self,
        p_pa: f64,
        wanted: f64,
        which: Caloric,
        top_k: f64,
    ) -> Result<State, EosError> {
        let at = |t_k: f64| self.liquid_state(t_k, p_pa);
        self.invert(at, wanted, which, (self.lower_k(), top_k), p_pa)
    }

    fn vapour_between(
        &self,
        p_pa: f64,
        wanted: f64,
        which: Caloric,
        bottom_k: f64,
    ) -> Result<State, EosError> {
        let at = |t_k: f64| self.vapour_state(t_k, p_pa);
        self.invert(at, wanted, which, (bottom_k, self.vapour_upper_k()), p_pa)
    }

    /// Temperature at which a single phase has the wanted value, by Newton's method: the slope of
    /// enthalpy is cp, that of entropy cp/T.
    fn invert(
        &self,
        at: impl Fn(f64) -> State,
        wanted: f64,
        which: Caloric,
        (low_k, high_k): (f64, f64),
        p_pa: f64,
    ) -> Result<State, EosError> {
        let out_of_range = |t_k: f64| EosError::TemperatureOutOfRange {
            fuel: self.name(),
            t_k,
            lower_k: low_k,
            upper_k: high_k,
            source_key: self.validity.source.clone(),
        };
        // where the wanted value lies beyond an end, say about where it would be
        let slope = |s: &State| {
            let cp = s.response.expect("a single phase").cp_j_kg_k;
            match which {
                Caloric::Enthalpy => cp,
                Caloric::Entropy => cp / s.temperature_k,
            }
        };
        for (end_k, beyond) in [(low_k, -1.0), (high_k, 1.0)] {
            let s = at(end_k);
            let off = wanted - which.of(&s);
            if beyond * off > 1e-9 * slope(&s) * end_k {
                return Err(out_of_range(end_k + off / slope(&s)));
            }
            if off.abs() <= 1e-9 * slope(&s) * end_k {
                return Ok(s);
            }
        }
        let t_k = root::newton(
            |t_k| {
                let s = at(t_k);
                Ok::<_, EosError>((which.of(&s) - wanted, slope(&s)))
            },
            low_k,
            high_k,
            0.5 * (low_k + high_k),
            TOLERANCE_K,
        )
        .map_err(|e| {
            let at = sentence!("{}, {} {}", pressure(p_pa).digits(7), which.name(), &wanted);
            self.stuck(e, "temperature", &at)
        })?;
        Ok(at(t_k))
    }

    /// Liquid and vapour together in a proportion.
    pub(super) fn mixed(&self, e: &Equilibrium, q: f64) -> Result<State, EosError> {
        if !(0.0..=1.0).contains(&q) {
            return Err(not_available(
                "state",
                self.composition.label(),
                format!("a vapour fraction lies between 0 and 1, not {q}"),
            ));
        }
        let mix = |liquid: f64, vapour: f64| (1.0 - q) * liquid + q * vapour;
        Ok(State {
            temperature_k: e.temperature_k,
            pressure_pa: e.pressure_pa,
            density_kg_m3: 1.0 / mix(1.0 / e.liquid.density_kg_m3, 1.0 / e.vapour.density_kg_m3),
            enthalpy_j_kg: mix(e.liquid.enthalpy_j_kg, e.vapour.enthalpy_j_kg),
            entropy_j_kg_k: mix(e.liquid.entropy_j_kg_k, e.vapour.entropy_j_kg_k),
            phase: Phase::TwoPhase,
            vapour_mass_fraction: q,
            vapour_mole_fraction: q,
            response: None,
            equilibrium: Some(*e),
        })
    }

    fn check_density(&self, rho_kg_m3: f64) -> Result<(), EosError> {
        if !rho_kg_m3.is_finite() {
            return Err(EosError::NotFinite { name: "density" });
        }
        if rho_kg_m3 > 0.0 {
            return Ok(());
        }
        Err(not_available(
            "state",
            self.composition.label(),
            format!("a density is above 0 kg/m³, not {rho_kg_m3}"),
        ))
    }

    pub(super) fn state_at_density(&self, rho_kg_m3: f64, t_k: f64) -> Result<State, EosError> {
        self.check_density(rho_kg_m3)?;
        self.check_t(t_k)?;
        let s = self.state_at_density_unchecked(rho_kg_m3, t_k)?;
        self.check_p(s.pressure_pa)?;
        Ok(s)
    }

    /// As [`Correlated::state_at_density`], pressure not checked: for iterations.
    fn state_at_density_unchecked(&self, rho_kg_m3: f64, t_k: f64) -> Result<State, EosError> {
        let e = self.equilibrium(t_k, self.saturation_pa(t_k));
        if rho_kg_m3 >= e.liquid.density_kg_m3 {
            let p_pa = Liquid::pressure_pa(&self.correlation, t_k, rho_kg_m3);
            return Ok(self.liquid_state(t_k, p_pa));
        }
        if rho_kg_m3 <= e.vapour.density_kg_m3 {
            return Ok(self.vapour_state(t_k, rho_kg_m3 * self.vapour.r_j_kg_k * t_k));
        }
        let volume = |rho: f64| 1.0 / rho;
        let (v_l, v_v) = (
            volume(e.liquid.density_kg_m3),
            volume(e.vapour.density_kg_m3),
        );
        self.mixed(&e, (volume(rho_kg_m3) - v_l) / (v_v - v_l))
    }

    /// State at density and internal energy; energy rises with temperature at constant density.
    pub(super) fn state_at_density_and_energy(
        &self,
        rho_kg_m3: f64,
        u_j_kg: f64,
    ) -> Result<State, EosError> {
        self.check_density(rho_kg_m3)?;
        if !u_j_kg.is_finite() {
            return Err(EosError::NotFinite {
                name: "internal energy",
            });
        }
        let off = |t_k: f64| -> Result<f64, EosError> {
            let s = self.state_at_density_unchecked(rho_kg_m3, t_k)?;
            Ok(s.internal_energy_j_kg() - u_j_kg)
        };
        let (low_k, high_k) = (self.lower_k(), self.upper_k());
        let (off_low, off_high) = (off(low_k)?, off(high_k)?);
        if off_low > 0.0 || off_high < 0.0 {
            let (t_k, off, next_k) = if off_low > 0.0 {
                (low_k, off_low, low_k + 1.0)
            } else {
                (high_k, off_high, high_k - 1.0)
            };
            let cv = (self
                .state_at_density_unchecked(rho_kg_m3, next_k)?
                .internal_energy_j_kg()
                - u_j_kg
                - off)
                / (next_k - t_k);
            return Err(EosError::TemperatureOutOfRange {
                fuel: self.name(),
                t_k: t_k - off / cv,
                lower_k: low_k,
                upper_k: high_k,
                source_key: self.validity.source.clone(),
            });
        }
        let t_k = root::brent(off, low_k, high_k, TOLERANCE_K).map_err(|e| {
            let at = sentence!(
                "{}, {} J/kg",
                density(rho_kg_m3).plain("kg/m³", 1.0),
                &u_j_kg
            );
            self.stuck(e, "temperature", &at)
        })?;
        self.state_at_density(rho_kg_m3, t_k)
    }
}

/// Where a liquid boils at a pressure.
enum Boiling {
    /// Temperature, K.
    At(f64),
    /// Above the range of the correlations: liquid throughout it.
    AboveRange,
    /// Below the range: vapour throughout it.
    BelowRange,
}
