//! A blend of liquids: the correlations of the whole, by published rules from its parts.

use super::fitted::{NODES, pressure_line, viscosity_line};
use super::liquid::{P_REFERENCE_PA, T_MODULUS_K};
use super::miscible::{self, Split};
use super::shares::{by, volumes_of};
use super::walther::{kinematic_viscosity, log_log_z};
use super::{Correlated, not_available};
use crate::eos::activity::ln_gamma;
use crate::eos::embedded::Embedded;
use crate::eos::{Backend, EosError, MoleFractions, Phase};
use crate::fuel::{
    Composition, Correlation, Fuel, Groups, LatentHeat, Library, Nasa, Part, Polynomial, Sourced,
    VapourPressure,
};
use crate::numerics::polynomial;
use crate::quantity::sentence::{in_kelvin_2, sentence};
use std::f64::consts::PI;
use std::sync::Arc;

/// Temperatures a blend with an alcohol or water answers at, K: those of the activity model, widened by 30 K
/// to the cold, where nothing else is at hand.
const POLAR_RANGE_K: [f64; 2] = [243.15, 373.15];
/// Temperature of the heat of vaporization, K.
const LATENT_K: f64 = 298.15;
/// Bands of the parts that have an equation, where the equation states none: density, heat capacity, viscosity.
const EQUATION_BANDS: [f64; 3] = [0.005, 0.02, 0.1];
/// What the rules add to the bands of the parts (our choice from the comparisons of the tests).
const EXCESS_VOLUME: f64 = 0.005;
/// Contraction of water and alcohol, over the product of their shares of volume.
const CONTRACTION: f64 = 0.15;
const EXCESS_HEAT_CAPACITY: f64 = 0.08;
const HEAT_OF_MIXING: f64 = 0.02;
const ACTIVITY: f64 = 0.08;
const VISCOSITY: [f64; 2] = [0.05, 0.2];
/// Rise of the viscosity by water in an alcohol, over water's share of volume, and the most of it.
const WATER_VISCOSITY: (f64, f64) = (4.0, 1.5);

/// The parts of a blend.
#[derive(Debug, Clone)]
pub(super) struct Mix {
    composition: Composition,
    parts: Vec<Arc<dyn Backend>>,
    groups: Vec<Groups>,
    nasa: Vec<(Nasa, f64)>,
}

/// What a blend of the parts is.
pub(super) struct Whole {
    pub(super) correlation: Correlation,
    pub(super) nasa: Nasa,
    pub(super) split: Option<Split>,
    /// Shares of the parts by volume.
    pub(super) volumes: Vec<f64>,
}

/// A part of the blend at one temperature.
struct Node {
    density: f64,
    cp: f64,
    log_log_z: f64,
    saturation_pa: f64,
    bulk_modulus_pa: f64,
    viscosity_band: f64,
}

fn vapour_pressure_pa(fuel: &Fuel, t_k: f64) -> Option<f64> {
    let correlated = fuel.correlation.as_ref();
    let correlated = correlated.map(|c| c.vapour_pressure.at(t_k));
    correlated.or_else(|| Some(fuel.equation.as_ref()?.ancillary.vapour_pressure.at(t_k)))
}

/// Partial pressures over a blend of liquids, Pa: `p_i = x_i γ_i p_i°(T)`; `None` where a part has no groups or no
/// vapour pressure.
///
/// **Valid:** as [`ln_gamma`]; total pressure within 8 % and the bands of the parts' own.
/// **Source:** `hansen1991`; that gasoline passes for one substance: `pumphrey2000`
pub fn partial_pressures_pa(fuel: &Composition, t_k: f64) -> Option<Vec<f64>> {
    let groups: Option<Vec<Groups>> = fuel.parts().iter().map(|p| p.fuel.groups).collect();
    let x = fuel.mole_fractions();
    let gamma = ln_gamma(&groups?, &x, t_k);
    let parts = fuel.parts().iter().zip(gamma);
    let of =
        |(p, g): (&Part, f64)| Some(p.mole_fraction * g.exp() * vapour_pressure_pa(&p.fuel, t_k)?);
    parts.map(of).collect()
}

impl Mix {
    pub(super) fn new(library: &Library, composition: &Composition) -> Result<Self, EosError> {
        let label = composition.label();
        let (mut parts, mut groups, mut nasa) = (Vec::new(), Vec::new(), Vec::new());
        for part in composition.parts() {
            let fuel = &part.fuel;
            groups.push(fuel.groups.ok_or_else(|| {
                not_available(
                    "blend",
                    label,
                    format!(
                        "{} cannot be blended into a liquid without an equation of state: it is a gas at room \
                         temperature, or its file names no groups",
                        fuel.name
                    ),
                )
            })?);
            let stand_in = match &fuel.correlation {
                Some(c) => library.fuel(&c.vapour_surrogate).ok(),
                None => None,
            };
            let gas = [Some(fuel), stand_in.as_ref()].into_iter().flatten();
            let polynomials = gas.filter_map(|f| {
                Some((
                    f.nasa.clone()?,
                    fuel.molar_mass_kg_mol / f.molar_mass_kg_mol,
                ))
            });
            nasa.push(polynomials.into_iter().next().ok_or_else(|| {
                let why = format!("{} has no heat capacity of the ideal gas", fuel.name);
                not_available("vapour", label, why)
            })?);
            let alone = Composition::pure(fuel);
            let backend: Arc<dyn Backend> = if fuel.correlation.is_some() {
                Arc::new(Correlated::new(library, &alone)?)
            } else {
                Arc::new(Embedded::new(library, &alone)?)
            };
            parts.push(backend);
        }
        Ok(Self {
            composition: composition.clone(),
            parts,
            groups,
            nasa,
        })
    }

    pub(super) fn composition(&self) -> &Composition {
        &self.composition
    }

    pub(super) fn with(&self, x: &[f64]) -> Self {
        Self {
            composition: self.composition.with_mole_fractions(x),
            ..self.clone()
        }
    }

    /// First vapour over the liquid, by mole.
    pub(super) fn first_vapour(&self, t_k: f64) -> MoleFractions {
        let partial = partial_pressures_pa(&self.composition, t_k).unwrap_or_default();
        let all: f64 = partial.iter().sum();
        let y: Vec<f64> = partial.iter().map(|p| p / all).collect();
        MoleFractions::new(&y)
    }

    fn polar(&self) -> bool {
        self.groups.iter().any(|g| g.polar())
    }

    /// Temperatures that all parts reach.
    fn range_k(&self) -> Result<[f64; 2], EosError> {
        let mut range = if self.polar() {
            POLAR_RANGE_K
        } else {
            [0.0, f64::MAX]
        };
        for part in &self.parts {
            let own = &part.validity().temperature_k;
            range[0] = range[0].max(*own.start());
            range[1] = range[1].min(*own.end()).min(0.9 * part.critical().0);
        }
        if range[0] < range[1] {
            return Ok(range);
        }
        Err(not_available(
            "blend",
            self.composition.label(),
            "its parts are not liquid at one temperature",
        ))
    }

    fn node(&self, part: &dyn Backend, t_k: f64) -> Result<Node, EosError> {
        let saturation_pa = part.bubble_t(t_k)?.pressure_pa;
        let s = part.state_pt_in(saturation_pa.max(P_REFERENCE_PA), t_k, Phase::Liquid)?;
        let response = s.response()?;
        let nu_mm2_s = part.viscosity_pa_s(&s)? / s.density_kg_m3 * 1e6;
        let log_log_z = log_log_z(nu_mm2_s);
        if !log_log_z.is_finite() {
            return Err(not_available(
                "viscosity",
                self.composition.label(),
                sentence!(
                    "{} at {} is too thin for the rule of blending [astm-d7152]",
                    part.composition().label(),
                    in_kelvin_2(t_k)
                ),
            ));
        }
        Ok(Node {
            density: s.density_kg_m3,
            cp: response.cp_j_kg_k,
            log_log_z,
            saturation_pa,
            bulk_modulus_pa: s.density_kg_m3 * response.dp_drho_pa_m3_kg,
            viscosity_band: part.viscosity_uncertainty(&s).unwrap_or(EQUATION_BANDS[2]),
        })
    }

    /// The whole, by the rules:
    ///
    /// * density: volumes add, `1/ρ = Σ w_i/ρ_i`; compressibilities by volume, `1/K = Σ φ_i/K_i`
    /// * heat capacity and heat of vaporization: by mass
    /// * viscosity: `log log Z = Σ w_i log log Z_i`, by mass
    /// * vapour pressure: `p = Σ x_i γ_i p_i°`
    ///
    /// Density and heat capacity are polynomials through six temperatures, vapour pressure an Antoine line through
    /// three, viscosity a line through two; what the lines miss is in their bands.
    ///
    /// **Valid:** temperatures that all parts reach, with an alcohol or water 243 to 373 K.
    /// **Source:** `ideal-mixing`, `astm-d7152`, `hansen1991`
    pub(super) fn whole(&self) -> Result<Whole, EosError> {
        let label = self.composition.label();
        let x = self.composition.mole_fractions();
        let m = self.composition.molar_mass_kg_mol();
        let fuels: Vec<&Fuel> = self.composition.parts().iter().map(|p| &*p.fuel).collect();
        let masses = x.iter().zip(&fuels);
        let w: Vec<f64> = masses.map(|(x, f)| x * f.molar_mass_kg_mol / m).collect();
        let volumes = volumes_of(&fuels, &w);
        let split = miscible::split(self.composition.parts(), &volumes)
            .map_err(|why| not_available("blend", label, why))?;
        let [low_k, high_k] = self.range_k()?;
        let Sampled {
            t_k,
            density,
            cp,
            nu_mm2_s,
            saturation_pa,
            bulk_modulus_pa,
            thickness_band,
            pressure_band,
        } = self.sampled((low_k, high_k), &x, &w, &fuels)?;
        let polar = self.polar();
        let water = by(&volumes, &|i| f64::from(u8::from(self.groups[i].h2o > 0.0)));
        let of_parts = |share: &[f64], of: &dyn Fn(&Correlation) -> f64, else_: f64| {
            by(share, &|i| fuels[i].correlation.as_ref().map_or(else_, of))
        };
        let when = |holds: bool, band: f64| if holds { band } else { 0.0 };

        let softer = (bulk_modulus_pa[0] / bulk_modulus_pa[NODES - 1]).ln();
        let softens_k = (high_k - low_k) / softer.max(1e-6);
        let latent_k = LATENT_K.clamp(low_k, high_k);
        let latent = self.latent_j_kg(latent_k)?;
        let critical = |pick: fn((f64, f64)) -> f64| by(&x, &|i| pick(self.parts[i].critical()));
        let key = |name: &str| name.to_owned();
        let mut correlation = Correlation {
            t_range_k: [
                split
                    .as_ref()
                    .map_or(low_k, |s| s.below_k.clamp(low_k, high_k)),
                high_k,
            ],
            vapour_surrogate: String::new(),
            t_critical_k: critical(|c| c.0),
            p_critical_pa: critical(|c| c.1),
            density: Polynomial {
                source: key("ideal-mixing"),
                c: polynomial::through(&t_k, density).to_vec(),
                uncertainty: of_parts(&volumes, &|c| c.density.uncertainty, EQUATION_BANDS[0])
                    + when(polar, EXCESS_VOLUME)
                    + CONTRACTION * water * (1.0 - water),
            },
            bulk_modulus_softens_k: Some(softens_k),
            bulk_modulus_pa: Sourced {
                value: bulk_modulus_pa[0] * ((t_k[0] - T_MODULUS_K) / softens_k).exp(),
                uncertainty: of_parts(
                    &volumes,
                    &|c| c.bulk_modulus_pa.uncertainty,
                    EQUATION_BANDS[1],
                ),
                source: key("ideal-mixing"),
            },
            heat_capacity: Polynomial {
                source: key("ideal-mixing"),
                c: polynomial::through(&t_k, cp).to_vec(),
                uncertainty: of_parts(&w, &|c| c.heat_capacity.uncertainty, EQUATION_BANDS[1])
                    + when(polar, EXCESS_HEAT_CAPACITY),
            },
            latent_heat: LatentHeat {
                source: key("ideal-mixing"),
                t_k: latent_k,
                value_j_kg: by(&w, &|i| latent[i]),
                uncertainty: of_parts(&w, &|c| c.latent_heat.uncertainty, EQUATION_BANDS[1])
                    + HEAT_OF_MIXING,
            },
            vapour_pressure: pressure_line(
                &t_k,
                &saturation_pa,
                pressure_band + when(polar, ACTIVITY),
            ),
            viscosity: viscosity_line(
                &t_k,
                &nu_mm2_s,
                thickness_band
                    + VISCOSITY[usize::from(polar)]
                    + (WATER_VISCOSITY.0 * water).min(WATER_VISCOSITY.1),
            ),
            speed_of_sound_m_s: Sourced {
                value: (bulk_modulus_pa[NODES / 2] / density[NODES / 2]).sqrt(),
                uncertainty: EQUATION_BANDS[2],
                source: key("ideal-mixing"),
            },
        };
        for band in correlation.bands() {
            *band = (100.0 * *band).ceil() / 100.0;
        }
        Ok(Whole {
            correlation,
            nasa: self.mixed_nasa(&x),
            split,
            volumes,
        })
    }

    /// Heats of vaporization of the parts, J/kg.
    fn latent_j_kg(&self, t_k: f64) -> Result<Vec<f64>, EosError> {
        let of = |p: &Arc<dyn Backend>| Ok(p.bubble_t(t_k)?.latent_heat_j_kg());
        self.parts.iter().map(of).collect()
    }

    /// Properties of the whole at temperatures between two.
    ///
    /// * `x`, `w` — shares by mole and by mass
    fn sampled(
        &self,
        (low_k, high_k): (f64, f64),
        x: &[f64],
        w: &[f64],
        fuels: &[&Fuel],
    ) -> Result<Sampled, EosError> {
        let t_k: [f64; NODES] = std::array::from_fn(|i| {
            let angle = PI * (1.0 - i as f64 / (NODES - 1) as f64);
            let t_k = 0.5 * (low_k + high_k + (high_k - low_k) * angle.cos());
            t_k.clamp(low_k, high_k)
        });
        let mut density = [0.0; NODES];
        let mut cp = [0.0; NODES];
        let mut nu_mm2_s = [0.0; NODES];
        let mut saturation_pa = [0.0; NODES];
        let mut bulk_modulus_pa = [0.0; NODES];
        let (mut thickness_band, mut pressure_band) = (0.0_f64, 0.0_f64);
        for (k, &t) in t_k.iter().enumerate() {
            let nodes = self.parts.iter().map(|p| self.node(p.as_ref(), t));
            let nodes: Vec<Node> = nodes.collect::<Result<_, _>>()?;
            density[k] = 1.0 / by(w, &|i| 1.0 / nodes[i].density);
            cp[k] = by(w, &|i| nodes[i].cp);
            nu_mm2_s[k] = kinematic_viscosity(by(w, &|i| nodes[i].log_log_z), 0.0, t) * 1e6;
            let gamma = ln_gamma(&self.groups, x, t);
            let partial = |i: usize| gamma[i].exp() * nodes[i].saturation_pa;
            saturation_pa[k] = by(x, &partial);
            pressure_band = pressure_band
                .max(by(x, &|i| partial(i) * pressure_uncertainty(fuels[i])) / saturation_pa[k]);
            thickness_band = thickness_band.max(by(w, &|i| nodes[i].viscosity_band));
            let compressed =
                |i: usize| w[i] / nodes[i].density * density[k] / nodes[i].bulk_modulus_pa;
            bulk_modulus_pa[k] = 1.0 / (0..w.len()).map(compressed).sum::<f64>();
        }
        Ok(Sampled {
            t_k,
            density,
            cp,
            nu_mm2_s,
            saturation_pa,
            bulk_modulus_pa,
            thickness_band,
            pressure_band,
        })
    }

    /// Heat capacity of the ideal gas of the whole: by moles.
    fn mixed_nasa(&self, x: &[f64]) -> Nasa {
        let mut mixed = Nasa {
            source: "ideal-mixing".to_owned(),
            t_k: self.nasa[0].0.t_k,
            low: [0.0; 7],
            high: [0.0; 7],
        };
        for ((nasa, scale), x) in self.nasa.iter().zip(x) {
            mixed.t_k[0] = mixed.t_k[0].max(nasa.t_k[0]);
            mixed.t_k[2] = mixed.t_k[2].min(nasa.t_k[2]);
            // polynomials that change elsewhere are taken as far as both have their lower range
            if (nasa.t_k[1] - mixed.t_k[1]).abs() > 1.0 {
                mixed.t_k[1] = mixed.t_k[1].min(nasa.t_k[1]);
                mixed.t_k[2] = mixed.t_k[1];
            }
            for k in 0..7 {
                mixed.low[k] += x * scale * nasa.low[k];
                mixed.high[k] += x * scale * nasa.high[k];
            }
        }
        mixed
    }
}

/// The fuel that stands in for the vapour of another; its own where that has an equation.
pub(super) fn surrogate_of(
    library: &Library,
    fuel: &Arc<Fuel>,
    label: &str,
) -> Result<Arc<Fuel>, EosError> {
    let Some(c) = &fuel.correlation else {
        return Ok(Arc::clone(fuel));
    };
    let found = library.fuel(&c.vapour_surrogate);
    found.map_err(|e| not_available("vapour", label, format!("the surrogate of its vapour: {e}")))
}

impl Correlation {
    /// The bands that a blend computes, to be rounded up to whole percent.
    fn bands(&mut self) -> [&mut f64; 6] {
        let (VapourPressure::Antoine { uncertainty, .. }
        | VapourPressure::Wagner36 { uncertainty, .. }) = &mut self.vapour_pressure;
        [
            &mut self.density.uncertainty,
            &mut self.bulk_modulus_pa.uncertainty,
            &mut self.heat_capacity.uncertainty,
            &mut self.latent_heat.uncertainty,
            uncertainty,
            &mut self.viscosity.uncertainty,
        ]
    }
}

fn pressure_uncertainty(fuel: &Fuel) -> f64 {
    let correlated = fuel.correlation.as_ref();
    let correlated = correlated.map(|c| c.vapour_pressure.uncertainty());
    let equation = fuel.equation.as_ref();
    correlated.unwrap_or_else(|| equation.map_or(0.0, |e| e.uncertainty_vapour_pressure))
}

/// Properties of a blend at some temperatures.
struct Sampled {
    t_k: [f64; NODES],
    density: [f64; NODES],
    cp: [f64; NODES],
    nu_mm2_s: [f64; NODES],
    saturation_pa: [f64; NODES],
    bulk_modulus_pa: [f64; NODES],
    thickness_band: f64,
    pressure_band: f64,
}
