//! Boiling of the new fuel at chamber pressure and the heat that takes, by its own equation or a surrogate's.

use super::liquid::liquid_state;
use crate::eos::{self, Backend, EosError};
use crate::flow::film::{FilmError, FilmVapour};
use crate::fuel::{Composition, Fuel, Library};
use crate::quantity::{
    AbsolutePressure, AvailableEnergy, MassDensity, ThermodynamicTemperature, joules_per_kilogram,
    kelvin, kilograms_per_cubic_metre,
};
use std::sync::Arc;

/// Relative half-width of the band on heat to vaporise when a surrogate gives it: latent heats of jet fuel
/// and n-dodecane differ by about a tenth (common practice, no source).
const SURROGATE_BAND: f64 = 0.15;
/// The same from the fuel's own equation.
const OWN_BAND: f64 = 0.02;

/// A fuel on its way from cold liquid to vapour at one pressure.
#[derive(Debug, Clone)]
pub struct Volatility {
    /// Where it begins to boil.
    pub boiling: ThermodynamicTemperature,
    /// Where the last of it boils; the same for a pure fuel.
    pub dry: ThermodynamicTemperature,
    /// Density of the liquid as it begins to boil.
    pub boiling_density: MassDensity,
    /// Density of the vapour as the last of it boils.
    pub vapour_density: MassDensity,
    /// Heat from the cold liquid to dry vapour.
    pub heat: AvailableEnergy,
    /// Relative half-width of its band.
    pub band: f64,
    /// Fuel that stands in for boiling; `None`: its own equation.
    pub surrogate: Option<String>,
}

/// Boiling of a fuel at chamber pressures.
#[derive(Debug, Clone)]
pub struct Boiling {
    own: Option<Arc<dyn Backend>>,
    stand_in: Option<(String, Arc<dyn Backend>)>,
    film: Result<FilmVapour, FilmError>,
}

impl Boiling {
    /// Of a fuel; a liquid known by correlations takes what they do not reach from its surrogate.
    ///
    /// # Errors
    /// [`EosError::NotAvailable`] if the surrogate is missing.
    pub fn of(library: &Library, fuel: &dyn Backend) -> Result<Self, EosError> {
        let composition = fuel.composition();
        let main = main_part(composition);
        let mut parts = composition.parts().iter();
        let stand_in_fuel: Option<Arc<Fuel>> = match &main.correlation {
            // the largest part of a blend by rules boils for all of it
            None => parts
                .any(|p| p.fuel.correlation.is_some())
                .then(|| Arc::clone(&main)),
            Some(c) => {
                let found = library.fuel(&c.vapour_surrogate);
                Some(found.map_err(|e| EosError::NotAvailable {
                    what: "surrogate",
                    fuel: composition.label().to_owned(),
                    why: e.to_string().into(),
                })?)
            }
        };
        let film = FilmVapour::new(&main, stand_in_fuel.as_ref().unwrap_or(&main));
        let stand_in = match stand_in_fuel {
            None => None,
            Some(f) => Some((
                f.name.clone(),
                eos::backend(library, &Composition::pure(&f))?,
            )),
        };
        let own = fuel.recomposed(&composition.mole_fractions()).ok();
        Ok(Self {
            own,
            stand_in,
            film,
        })
    }

    /// Vapour of the fuel for films; of a blend, that of its largest part.
    ///
    /// # Errors
    /// [`FilmError::Missing`].
    pub fn film(&self) -> Result<&FilmVapour, FilmError> {
        self.film.as_ref().map_err(Clone::clone)
    }

    /// The backend that gives the vapour, and its name where it is a surrogate.
    pub fn vapour(&self, p: AbsolutePressure) -> Option<(&dyn Backend, Option<&str>)> {
        if let Some(own) = &self.own
            && own.dew_p(p.pascals()).is_ok()
        {
            return Some((own.as_ref(), None));
        }
        let (name, backend) = self.stand_in.as_ref()?;
        Some((backend.as_ref(), Some(name)))
    }

    /// From liquid at `t` to dry vapour at `p`.
    ///
    /// `q = h_vapour(T_dry) − h_liquid(T)`. Where the fuel's own data end below its boiling point, the liquid
    /// is heated with its own heat capacity as far as they reach and with the surrogate's from there, and
    /// boils as the surrogate does.
    ///
    /// **Valid:** pressures below critical. **Source:** those of the backends.
    ///
    /// # Errors
    /// [`EosError`]: out of range.
    pub fn at(
        &self,
        p: AbsolutePressure,
        t: ThermodynamicTemperature,
    ) -> Result<Volatility, EosError> {
        let own_answer = self
            .own
            .as_ref()
            .map(|own| own_volatility(own.as_ref(), p, t));
        match (own_answer, &self.stand_in) {
            (Some(Ok(found)), _) => Ok(found),
            (Some(Err(e)), None) => Err(e),
            (_, Some((name, backend))) => self.surrogate_volatility(name, backend.as_ref(), p, t),
            (None, None) => Err(EosError::NotAvailable {
                what: "boiling point",
                fuel: "the new fuel".to_owned(),
                why: "it has neither an equation nor a surrogate".into(),
            }),
        }
    }

    fn surrogate_volatility(
        &self,
        name: &str,
        backend: &dyn Backend,
        p: AbsolutePressure,
        t: ThermodynamicTemperature,
    ) -> Result<Volatility, EosError> {
        let boiling = backend.bubble_p(p.pascals())?;
        let t_boil_k = boiling.temperature_k;
        // the fuel's own heat capacity as far as its data reach
        let mut own_j_kg = 0.0;
        let mut from_k = t.value;
        if let Some(own) = &self.own {
            let to_k = own.validity().temperature_k.end().min(t_boil_k);
            let cold = liquid_state(own.as_ref(), p, t)?;
            let warm = liquid_state(own.as_ref(), p, kelvin(to_k))?;
            if to_k > from_k {
                own_j_kg = warm.enthalpy_j_kg - cold.enthalpy_j_kg;
                from_k = to_k;
            }
        }
        let start = liquid_state(backend, p, kelvin(from_k))?;
        let heat_j_kg = own_j_kg + boiling.vapour.enthalpy_j_kg - start.enthalpy_j_kg;
        Ok(Volatility {
            boiling: kelvin(t_boil_k),
            dry: kelvin(t_boil_k),
            boiling_density: kilograms_per_cubic_metre(boiling.liquid.density_kg_m3),
            vapour_density: kilograms_per_cubic_metre(boiling.vapour.density_kg_m3),
            heat: joules_per_kilogram(heat_j_kg),
            band: SURROGATE_BAND,
            surrogate: Some(name.to_owned()),
        })
    }
}

/// The part of a blend with the most moles.
fn main_part(composition: &Composition) -> Arc<Fuel> {
    let parts = composition.parts();
    let most = parts
        .iter()
        .max_by(|a, b| a.mole_fraction.total_cmp(&b.mole_fraction));
    Arc::clone(&most.unwrap_or(&parts[0]).fuel)
}

fn own_volatility(
    own: &dyn Backend,
    p: AbsolutePressure,
    t: ThermodynamicTemperature,
) -> Result<Volatility, EosError> {
    let bubble = own.bubble_p(p.pascals())?;
    let dew = own.dew_p(p.pascals())?;
    let cold = liquid_state(own, p, t)?;
    Ok(Volatility {
        boiling: kelvin(bubble.temperature_k),
        dry: kelvin(dew.temperature_k),
        boiling_density: kilograms_per_cubic_metre(bubble.liquid.density_kg_m3),
        vapour_density: kilograms_per_cubic_metre(dew.vapour.density_kg_m3),
        heat: joules_per_kilogram(dew.vapour.enthalpy_j_kg - cold.enthalpy_j_kg),
        band: OWN_BAND,
        surrogate: None,
    })
}
