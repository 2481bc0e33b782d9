//! Backend of a liquid without a reference equation: published correlations for the liquid, an ideal
//! gas for the vapour, and a vapour-pressure correlation between them.
//!
//! What is consistent: each phase by itself (h, s, cp and density belong to one another exactly), the
//! energy balance across the boiling line (the latent heat of the fuel file at its temperature, moved
//! to others by the heat capacities of both phases), and the phase boundary, which is the vapour
//! pressure of the file. What is not: the entropy of vaporisation equals latent heat over temperature
//! only at the file's temperature of the latent heat, because vapour pressure, latent heat and heat
//! capacity are three independent correlations; for a refinery fuel, which boils over a range and is
//! treated here as one molecule, it drifts by several percent within the range, kerosene's by 12 % when hot.

mod fitted;
mod liquid;
mod miscible;
mod mix;
mod shares;
mod states;
mod vapour;
pub mod vapour_pressure;
pub mod walther;

pub use mix::partial_pressures_pa;

use super::transport::PureViscosity;
use super::{
    Backend, EosError, Equilibrium, MoleFractions, Phase, Response, Side, State, Validity,
};
use crate::fuel::{Composition, Correlation, Fuel, Library, SourceKey};
use crate::quantity::sentence::{Sentence, sentence, temperature};
use crate::quantity::show::{number, percent};
use liquid::Liquid;
use miscible::Split;
use mix::{Mix, surrogate_of};
use std::sync::Arc;
use vapour::Vapour;

/// Highest pressure, as a share of the bulk modulus: past it one constant modulus is too crude.
const MAX_COMPRESSION: f64 = 0.05;
/// Relative uncertainty of the vapour's viscosity: another substance stands in (our choice).
const VAPOUR_VISCOSITY_BAND: f64 = 0.3;

/// A correlated liquid and its vapour.
#[derive(Debug, Clone)]
pub struct Correlated {
    composition: Composition,
    correlation: Correlation,
    molar_mass_kg_mol: f64,
    vapour: Vapour,
    /// Viscosity of the fuel that stands in for the vapour, or why there is none.
    surrogate_viscosity: Result<PureViscosity, EosError>,
    /// Its name.
    surrogate: String,
    validity: Validity,
    assumptions: Vec<String>,
    /// Shares of volume of the fuels that give the surface tension.
    tension: Vec<(f64, Arc<Fuel>)>,
    /// The parts, of a blend.
    mix: Option<Arc<Mix>>,
    /// Where the liquid falls apart.
    split: Option<Split>,
}

impl Correlation {
    /// Where the correlations are from.
    pub fn sources(&self) -> [&SourceKey; 6] {
        [
            &self.density.source,
            &self.bulk_modulus_pa.source,
            &self.heat_capacity.source,
            &self.latent_heat.source,
            self.vapour_pressure.source(),
            &self.viscosity.source,
        ]
    }
}

fn not_available(what: &'static str, fuel: &str, why: impl Into<Sentence>) -> EosError {
    EosError::NotAvailable {
        what,
        fuel: fuel.to_owned(),
        why: why.into(),
    }
}

impl Correlated {
    /// The backend of a correlated liquid, or of a blend of liquids by rules.
    ///
    /// # Errors
    /// [`EosError::NotAvailable`] for a fuel without correlations, if the surrogate of its vapour is missing, and
    /// for parts that do not mix or cannot be blended.
    pub fn new(library: &Library, composition: &Composition) -> Result<Self, EosError> {
        let [part] = composition.parts() else {
            let parts = composition.parts().iter();
            let main = parts.max_by(|a, b| a.mole_fraction.total_cmp(&b.mole_fraction));
            let none = || not_available("blend", composition.label(), "it has no parts");
            let main = &main.ok_or_else(none)?.fuel;
            let surrogate = surrogate_of(library, main, composition.label())?;
            let viscosity = PureViscosity::new(library, &surrogate);
            let mix = Mix::new(library, composition)?;
            return Self::blend(mix, surrogate.name.clone(), viscosity);
        };
        let label = composition.label();
        let fuel = &part.fuel;
        let correlation = fuel
            .correlation
            .clone()
            .ok_or_else(|| not_available("liquid correlation", label, "its file has none"))?;
        let surrogate = surrogate_of(library, fuel, label)?;
        let nasa_of = if fuel.nasa.is_some() {
            fuel
        } else {
            &surrogate
        };
        let nasa = nasa_of.nasa.as_ref().ok_or_else(|| {
            not_available(
                "vapour",
                label,
                "neither it nor its surrogate has a heat capacity of the ideal gas",
            )
        })?;
        let gas = Vapour::new(nasa, fuel.molar_mass_kg_mol, nasa_of.molar_mass_kg_mol);
        let viscosity = PureViscosity::new(library, &surrogate);
        let whole = Self::assemble(
            composition.clone(),
            correlation,
            gas,
            (surrogate.name.clone(), viscosity),
        );
        Ok(Self {
            tension: vec![(1.0, Arc::clone(fuel))],
            ..whole
        })
    }

    /// A blend of liquids.
    fn blend(
        mix: Mix,
        surrogate: String,
        viscosity: Result<PureViscosity, EosError>,
    ) -> Result<Self, EosError> {
        let whole = mix.whole()?;
        let composition = mix.composition().clone();
        let m = composition.molar_mass_kg_mol();
        let fuels = composition.parts().iter().map(|p| Arc::clone(&p.fuel));
        let tension = whole.volumes.into_iter().zip(fuels).collect();
        let gas = Vapour::new(&whole.nasa, m, m);
        let mut found = Self::assemble(composition, whole.correlation, gas, (surrogate, viscosity));
        found.tension = tension;
        found.assumptions.push(
            "liquid blended by rules: volumes add, heat by mass [ideal-mixing], viscosity by ASTM D7152 [astm-d7152], \
             vapour pressure by activity coefficients of groups [hansen1991]; it is taken to boil as one liquid, and \
             its light parts leave first"
                .to_owned(),
        );
        if let Some(split) = &whole.split {
            found.assumptions.push(
                sentence!(
                    "below {} the liquid splits in two: {} [{}]",
                    temperature(split.below_k),
                    split.what,
                    &split.source
                )
                .to_string(),
            );
        }
        found.split = whole.split;
        found.mix = Some(Arc::new(mix));
        Ok(found)
    }

    fn assemble(
        composition: Composition,
        correlation: Correlation,
        gas: Vapour,
        (surrogate, surrogate_viscosity): (String, Result<PureViscosity, EosError>),
    ) -> Self {
        // the vapour's zeros: latent heat, and equal Gibbs energy of both phases, at one temperature
        let latent = &correlation.latent_heat;
        let p_pa = correlation.vapour_pressure.at(latent.t_k);
        let base = Liquid::at(&correlation, latent.t_k, p_pa);
        let vapour = gas.anchored(
            latent.t_k,
            p_pa,
            base.enthalpy_j_kg + latent.value_j_kg,
            base.entropy_j_kg_k + latent.value_j_kg / latent.t_k,
        );
        let [lower_k, upper_k] = correlation.t_range_k;
        Self {
            assumptions: assumptions(&correlation, &surrogate, &vapour),
            surrogate_viscosity,
            surrogate,
            validity: Validity {
                temperature_k: lower_k..=upper_k,
                max_pressure_pa: MAX_COMPRESSION * correlation.bulk_modulus_pa.value,
                source: correlation.density.source.clone(),
            },
            molar_mass_kg_mol: composition.molar_mass_kg_mol(),
            composition,
            correlation,
            vapour,
            tension: Vec::new(),
            mix: None,
            split: None,
        }
    }

    /// With one more sentence among its assumptions.
    #[must_use]
    pub(super) fn remarking(mut self, remark: Option<String>) -> Self {
        self.assumptions.extend(remark);
        self
    }

    fn name(&self) -> String {
        self.composition.label().to_owned()
    }

    /// Refuses a temperature outside the correlations' range.
    fn check_t(&self, t_k: f64) -> Result<(), EosError> {
        if let Some(split) = self.split.as_ref().filter(|s| t_k < s.below_k) {
            return Err(not_available(
                "one liquid",
                self.composition.label(),
                sentence!(
                    "at {} it splits in two, as it does below {}: {} [{}]",
                    temperature(t_k),
                    temperature(split.below_k),
                    split.what,
                    &split.source
                ),
            ));
        }
        self.validity.check_t(self.composition.label(), t_k)
    }

    fn check_p(&self, p_pa: f64) -> Result<(), EosError> {
        self.validity.check_p(
            self.composition.label(),
            p_pa,
            &self.correlation.bulk_modulus_pa.source,
        )
    }

    fn lower_k(&self) -> f64 {
        *self.validity.temperature_k.start()
    }

    fn upper_k(&self) -> f64 {
        *self.validity.temperature_k.end()
    }

    /// Highest temperature of the vapour below the vapour pressure at the top of the range.
    fn vapour_upper_k(&self) -> f64 {
        self.upper_k().max(self.vapour.range_k().1)
    }

    fn saturation_pa(&self, t_k: f64) -> f64 {
        self.correlation.vapour_pressure.at(t_k)
    }

    fn liquid(&self, t_k: f64, p_pa: f64) -> Liquid {
        Liquid::at(&self.correlation, t_k, p_pa)
    }

    fn liquid_state(&self, t_k: f64, p_pa: f64) -> State {
        let l = self.liquid(t_k, p_pa);
        let alpha_k = l.expansion_per_k * l.bulk_modulus_pa;
        let cv = l.cp_j_kg_k - t_k * l.expansion_per_k * alpha_k / l.density_kg_m3;
        State {
            temperature_k: t_k,
            pressure_pa: p_pa,
            density_kg_m3: l.density_kg_m3,
            enthalpy_j_kg: l.enthalpy_j_kg,
            entropy_j_kg_k: l.entropy_j_kg_k,
            phase: Phase::Liquid,
            vapour_mass_fraction: 0.0,
            vapour_mole_fraction: 0.0,
            response: Some(Response {
                cp_j_kg_k: l.cp_j_kg_k,
                cv_j_kg_k: cv,
                speed_of_sound_m_s: (l.cp_j_kg_k / cv * l.bulk_modulus_pa / l.density_kg_m3).sqrt(),
                joule_thomson_k_pa: (t_k * l.expansion_per_k - 1.0)
                    / (l.density_kg_m3 * l.cp_j_kg_k),
                dp_dt_pa_k: alpha_k,
                dp_drho_pa_m3_kg: l.bulk_modulus_pa / l.density_kg_m3,
            }),
            equilibrium: None,
        }
    }

    fn vapour_state(&self, t_k: f64, p_pa: f64) -> State {
        let v = &self.vapour;
        let (cp, r, rho) = (v.cp_j_kg_k(t_k), v.r_j_kg_k, v.density_kg_m3(t_k, p_pa));
        State {
            temperature_k: t_k,
            pressure_pa: p_pa,
            density_kg_m3: rho,
            enthalpy_j_kg: v.enthalpy_j_kg(t_k),
            entropy_j_kg_k: v.entropy_j_kg_k(t_k, p_pa),
            phase: Phase::Gas,
            vapour_mass_fraction: 1.0,
            vapour_mole_fraction: 1.0,
            response: Some(Response {
                cp_j_kg_k: cp,
                cv_j_kg_k: cp - r,
                speed_of_sound_m_s: (cp / (cp - r) * r * t_k).sqrt(),
                joule_thomson_k_pa: 0.0,
                dp_dt_pa_k: rho * r,
                dp_drho_pa_m3_kg: r * t_k,
            }),
            equilibrium: None,
        }
    }

    fn side(&self, s: &State, mole_fractions: MoleFractions) -> Side {
        Side {
            density_kg_m3: s.density_kg_m3,
            enthalpy_j_kg: s.enthalpy_j_kg,
            entropy_j_kg_k: s.entropy_j_kg_k,
            molar_mass_kg_mol: self.molar_mass_kg_mol,
            mole_fractions,
        }
    }

    fn equilibrium(&self, t_k: f64, p_pa: f64) -> Equilibrium {
        let own = MoleFractions::new(&self.composition.mole_fractions());
        let first = self.mix.as_ref().map_or(own, |m| m.first_vapour(t_k));
        Equilibrium {
            temperature_k: t_k,
            pressure_pa: p_pa,
            liquid: self.side(&self.liquid_state(t_k, p_pa), own),
            vapour: self.side(&self.vapour_state(t_k, p_pa), first),
        }
    }
}

/// What had to be assumed, one sentence each.
fn assumptions(c: &Correlation, surrogate: &str, vapour: &Vapour) -> Vec<String> {
    let modulus = &c.bulk_modulus_pa;
    let (gpa, source) = (number(modulus.value / 1e9), &modulus.source);
    let modulus = match c.bulk_modulus_softens_k {
        None => format!(
            "the liquid has one bulk modulus, {gpa} GPa, at all temperatures and pressures [{source}]"
        ),
        Some(_) => format!(
            "the liquid has one bulk modulus at all pressures, {gpa} GPa at 20 °C and less when warmer [{source}]"
        ),
    };
    let mut out = vec![
        "the vapour is an ideal gas".to_owned(),
        format!("the viscosity of the vapour is that of dilute {surrogate}"),
        modulus,
        "pressure does not change the kinematic viscosity of the liquid".to_owned(),
        format!(
            "vapour pressure is known to {} [{}]",
            percent(c.vapour_pressure.uncertainty()),
            c.vapour_pressure.source()
        ),
    ];
    if vapour.range_k().0 > c.t_range_k[0] {
        out.push(format!(
            "the heat capacity of the vapour is extended from {} K down to {} K",
            number(vapour.range_k().0),
            number(c.t_range_k[0])
        ));
    }
    out
}

impl Backend for Correlated {
    fn composition(&self) -> &Composition {
        &self.composition
    }
    fn molar_mass_kg_mol(&self) -> f64 {
        self.molar_mass_kg_mol
    }
    fn validity(&self) -> &Validity {
        &self.validity
    }
    fn critical(&self) -> (f64, f64) {
        (
            self.correlation.t_critical_k,
            self.correlation.p_critical_pa,
        )
    }
    fn model(&self) -> String {
        let c = &self.correlation;
        format!(
            "liquid correlations: density [{}], heat capacity [{}], vapour pressure [{}], latent heat \
             [{}], viscosity [{}]; ideal-gas vapour",
            c.density.source,
            c.heat_capacity.source,
            c.vapour_pressure.source(),
            c.latent_heat.source,
            c.viscosity.source
        )
    }
    fn assumptions(&self) -> &[String] {
        &self.assumptions
    }
    fn recomposed(&self, mole_fractions: &[f64]) -> Result<Arc<dyn Backend>, EosError> {
        if let Some(mix) = &self.mix
            && mole_fractions.len() == self.composition.parts().len()
        {
            let other = mix.with(mole_fractions);
            let viscosity = self.surrogate_viscosity.clone();
            return Ok(Arc::new(Self::blend(
                other,
                self.surrogate.clone(),
                viscosity,
            )?));
        }
        if let [x] = mole_fractions
            && (x - 1.0).abs() < 1e-9
        {
            return Ok(Arc::new(self.clone()));
        }
        Err(not_available(
            "other composition",
            self.composition.label(),
            "it has other parts",
        ))
    }

    fn bubble_t(&self, t_k: f64) -> Result<Equilibrium, EosError> {
        self.saturation_at_t(t_k)
    }
    fn bubble_p(&self, p_pa: f64) -> Result<Equilibrium, EosError> {
        self.saturation_at_p(p_pa)
    }
    fn dew_t(&self, t_k: f64) -> Result<Equilibrium, EosError> {
        self.saturation_at_t(t_k)
    }
    fn dew_p(&self, p_pa: f64) -> Result<Equilibrium, EosError> {
        self.saturation_at_p(p_pa)
    }
    fn state_pt(&self, p_pa: f64, t_k: f64) -> Result<State, EosError> {
        self.stable_state(p_pa, t_k)
    }
    fn state_pt_in(&self, p_pa: f64, t_k: f64, phase: Phase) -> Result<State, EosError> {
        self.named_state(p_pa, t_k, phase)
    }
    fn state_ps(&self, p_pa: f64, s_j_kg_k: f64) -> Result<State, EosError> {
        self.caloric_state(p_pa, s_j_kg_k, states::Caloric::Entropy)
    }
    fn state_ph(&self, p_pa: f64, h_j_kg: f64) -> Result<State, EosError> {
        self.caloric_state(p_pa, h_j_kg, states::Caloric::Enthalpy)
    }
    fn is_certainly(&self, phase: Phase, p_pa: f64, t_k: f64) -> bool {
        self.stable_phase(p_pa, t_k) == Some(phase)
    }
    fn state_rho_t(&self, rho_kg_m3: f64, t_k: f64) -> Result<State, EosError> {
        self.state_at_density(rho_kg_m3, t_k)
    }
    fn state_rho_u(&self, rho_kg_m3: f64, u_j_kg: f64) -> Result<State, EosError> {
        self.state_at_density_and_energy(rho_kg_m3, u_j_kg)
    }
    fn state_pq(&self, p_pa: f64, vapour_mole_fraction: f64) -> Result<State, EosError> {
        let e = self.saturation_at_p(p_pa)?;
        self.mixed(&e, vapour_mole_fraction)
    }
    fn state_tq(&self, t_k: f64, vapour_mole_fraction: f64) -> Result<State, EosError> {
        let e = self.saturation_at_t(t_k)?;
        self.mixed(&e, vapour_mole_fraction)
    }

    fn viscosity_pa_s(&self, state: &State) -> Result<f64, EosError> {
        match state.phase {
            Phase::TwoPhase => Err(EosError::TwoPhase {
                t_k: state.temperature_k,
                p_pa: state.pressure_pa,
            }),
            Phase::Liquid => {
                self.check_t(state.temperature_k)?;
                let viscosity = &self.correlation.viscosity;
                Ok(viscosity.kinematic_viscosity_m2_s(state.temperature_k) * state.density_kg_m3)
            }
            Phase::Gas | Phase::Supercritical => self
                .surrogate_viscosity
                .as_ref()
                .map_err(Clone::clone)?
                .dilute(state.temperature_k),
        }
    }
    fn viscosity_uncertainty(&self, state: &State) -> Option<f64> {
        match state.phase {
            Phase::TwoPhase => None,
            Phase::Liquid => Some(self.correlation.viscosity.uncertainty),
            Phase::Gas | Phase::Supercritical => Some(VAPOUR_VISCOSITY_BAND),
        }
    }
    fn surface_tension_n_m(&self, t_k: f64) -> Result<f64, EosError> {
        self.check_t(t_k)?;
        let mut root = 0.0;
        for (share, fuel) in &self.tension {
            root += share * super::transport::pure_surface_tension_n_m(fuel, t_k)?.sqrt();
        }
        Ok(root * root)
    }
}
