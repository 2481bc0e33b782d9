//! Viscosity and surface tension of the fluids with a reference equation, and of their blends.
//!
//! Each fuel file names one of the models here and lists its coefficients; every model is a function
//! of temperature and molar density. [`PureViscosity`] is one fluid, [`Transport`] a composition.

mod blend;
mod chung;
mod coefficients;
mod conformal;
mod dense;
mod dilute;
mod friction;
mod hard_sphere;
mod surface;
mod water;

pub use blend::{BLEND_RULES, Transport};
pub(super) use chung::dilute_by_critical_constants;
pub(super) use surface::pure as pure_surface_tension_n_m;
pub use surface::surface_tension_n_m;

use super::EosError;
use super::helmholtz::Fluid;
use crate::fuel::{Fuel, Library, SourceKey};
use crate::quantity::sentence::{in_kelvin, in_kelvin_2, sentence};
use crate::quantity::show::number;
use coefficients::Lists;
use std::ops::RangeInclusive;

/// Fluid that the extended corresponding states refer to.
const REFERENCE_FLUID: &str = "propane";

/// Densities, over the critical one, where the older correlations are off by more than in thin gas or
/// liquid: newer ones of propane, ethane and the butanes lie up to 11 % away there and within the
/// other bands outside (`tests/reference/viscosity_papers.csv`; no value between 1 and 1.5).
const DENSE_VAPOUR: RangeInclusive<f64> = 0.2..=1.5;

/// The formula of one fluid.
#[derive(Debug, Clone)]
enum Model {
    /// `η0 (1 + B ρ) + Δη(T, ρ)`
    Additive {
        dilute: dilute::Dilute,
        initial: Option<dilute::InitialDensity>,
        dense: dense::Dense,
    },
    /// See [`friction::Friction`].
    Friction(friction::Friction),
    /// See [`conformal::Conformal`].
    Conformal(Box<conformal::Conformal>),
    /// See [`chung::Chung`].
    Chung(chung::Chung),
    /// See [`hard_sphere::HardSphere`].
    HardSphere(hard_sphere::HardSphere),
    /// See [`water::Water`].
    Water(water::Water),
}

impl Model {
    fn read(lists: &Lists<'_>, molar_mass_kg_mol: f64) -> Result<Self, EosError> {
        match lists.model() {
            "friction-theory" => Ok(Self::Friction(friction::Friction::read(
                lists,
                molar_mass_kg_mol,
            )?)),
            "chung" => Ok(Self::Chung(chung::Chung::read(lists)?)),
            "huber" => Ok(Self::Water(water::Water::read(lists)?)),
            "xiang" => Ok(Self::HardSphere(hard_sphere::HardSphere::read(lists)?)),
            _ => Ok(Self::Additive {
                dilute: dilute::Dilute::read(lists, molar_mass_kg_mol)?,
                initial: dilute::InitialDensity::read(lists)?,
                dense: dense::Dense::read(lists)?,
            }),
        }
    }

    /// Viscosity of the dilute gas, Pa s.
    fn dilute(&self, t_k: f64) -> f64 {
        match self {
            Self::Additive { dilute, .. } => dilute.at(t_k),
            Self::Friction(m) => m.dilute.at(t_k),
            Self::Conformal(m) => m.dilute.at(t_k),
            Self::Chung(m) => m.dilute(t_k),
            Self::HardSphere(m) => m.dilute(t_k),
            Self::Water(m) => m.dilute(t_k),
        }
    }

    /// Whether the model can be asked at a state that need not be stable: friction theory and extended
    /// corresponding states follow the equation of state, which runs wild inside the spinodal.
    fn is_defined_at(&self, fluid: &Fluid, t_k: f64, rho_mol_m3: f64) -> bool {
        if !matches!(self, Self::Friction(_) | Self::Conformal(_)) {
            return true;
        }
        let e = &fluid.equation;
        let tau = e.t_reducing_k / t_k;
        let delta = rho_mol_m3 / e.rho_reducing_mol_m3;
        let residual = fluid.residual_at(delta, tau);
        1.0 + 2.0 * residual.d + residual.dd > 0.0
    }

    /// Viscosity less that of the dilute gas, Pa s.
    fn residual(&self, fluid: &Fluid, t_k: f64, rho_mol_m3: f64) -> f64 {
        let molar_mass = fluid.molar_mass_kg_mol;
        match self {
            Self::Additive {
                dilute,
                initial,
                dense,
            } => {
                let first = initial
                    .as_ref()
                    .map_or(0.0, |b| dilute.at(t_k) * b.at(t_k) * rho_mol_m3);
                first + dense.at(t_k, rho_mol_m3, molar_mass)
            }
            Self::Friction(m) => m.at(fluid, t_k, rho_mol_m3) - self.dilute(t_k),
            Self::Conformal(m) => m.at(fluid, t_k, rho_mol_m3) - self.dilute(t_k),
            Self::Chung(m) => m.at(t_k, rho_mol_m3) - self.dilute(t_k),
            Self::HardSphere(m) => m.at(t_k, rho_mol_m3, molar_mass) - self.dilute(t_k),
            Self::Water(m) => m.at(t_k, rho_mol_m3, molar_mass) - self.dilute(t_k),
        }
    }
}

/// Viscosity of one fluid as a function of temperature and molar density.
#[derive(Debug, Clone)]
pub struct PureViscosity {
    fluid: Fluid,
    model: Model,
    range_k: RangeInclusive<f64>,
    source: SourceKey,
    uncertainty_gas: f64,
    uncertainty_liquid: f64,
    uncertainty_dense_vapour: Option<f64>,
    unread: Vec<String>,
}

impl PureViscosity {
    /// Reads the `[viscosity]` table of a fuel; the library is asked for the reference fluid where the
    /// model needs one.
    ///
    /// # Errors
    /// [`EosError::NotAvailable`] if the fuel has no equation of state or no viscosity model, or if a
    /// coefficient is missing; the message names it.
    pub fn new(library: &Library, fuel: &Fuel) -> Result<Self, EosError> {
        let lists = Lists::of(fuel)?;
        let equation = fuel.equation.as_ref().ok_or_else(|| {
            lists.refuse("it has no equation of state to take the density from".to_owned())
        })?;
        let fluid = Fluid::new(&fuel.name, fuel.molar_mass_kg_mol, equation);
        let model = if lists.model() == "extended-corresponding-states" {
            let reference = library
                .fuel(REFERENCE_FLUID)
                .map_err(|e| lists.refuse(format!("its reference fluid is missing: {e}")))?;
            let of_reference = Self::new(library, &reference)?;
            Model::Conformal(Box::new(conformal::Conformal::read(
                &lists,
                fuel.molar_mass_kg_mol,
                of_reference.fluid,
                of_reference.model,
            )?))
        } else {
            Model::read(&lists, fuel.molar_mass_kg_mol)?
        };
        let [lower_k, upper_k] = lists.array("range_k")?;
        let table = lists.table();
        Ok(Self {
            fluid,
            model,
            range_k: lower_k..=upper_k,
            source: table.source.clone(),
            uncertainty_gas: table.uncertainty_gas,
            uncertainty_liquid: table.uncertainty_liquid,
            uncertainty_dense_vapour: table.uncertainty_dense_vapour,
            unread: lists.unread(),
        })
    }

    /// Names of coefficient lists that its model does not ask for.
    pub(super) fn unread(&self) -> &[String] {
        &self.unread
    }

    /// Temperatures the correlation holds for, K.
    pub fn range_k(&self) -> &RangeInclusive<f64> {
        &self.range_k
    }

    /// Paper of the correlation.
    pub fn source(&self) -> &SourceKey {
        &self.source
    }

    /// Relative uncertainty, as a fraction: that of the gas below the critical density, of the liquid
    /// above it, and no less than that of dense vapour from 0.2 to 1.5 of it, where the fuel has one.
    pub fn uncertainty(&self, rho_mol_m3: f64) -> f64 {
        let rho_r = rho_mol_m3 / self.fluid.equation.rho_critical_mol_m3;
        let plain = if rho_r < 1.0 {
            self.uncertainty_gas
        } else {
            self.uncertainty_liquid
        };
        match self.uncertainty_dense_vapour {
            Some(dense) if DENSE_VAPOUR.contains(&rho_r) => plain.max(dense),
            _ => plain,
        }
    }

    /// Dynamic viscosity, Pa s.
    ///
    /// * `t_k` — temperature, K
    /// * `rho_mol_m3` — molar density, mol/m³, 0 for the dilute gas
    ///
    /// **Valid:** [`PureViscosity::range_k`], single phase, below the density of close packing.
    /// **Errors:** out of range.
    /// **Source:** [`PureViscosity::source`].
    ///
    /// # Errors
    /// [`EosError::NotAvailable`] outside the range, or at a density the correlation does not reach.
    pub fn at(&self, t_k: f64, rho_mol_m3: f64) -> Result<f64, EosError> {
        self.check_temperature(t_k)?;
        let eta = self.model.dilute(t_k) + self.dense_part(t_k, rho_mol_m3);
        self.check_value(eta, t_k, rho_mol_m3)
    }

    /// Viscosity of the dilute gas, Pa s.
    ///
    /// # Errors
    /// [`EosError::NotAvailable`] outside the range.
    pub fn dilute(&self, t_k: f64) -> Result<f64, EosError> {
        self.check_temperature(t_k)?;
        Ok(self.model.dilute(t_k))
    }

    /// Viscosity less that of the dilute gas, Pa s; the range is the caller's business.
    fn dense_part(&self, t_k: f64, rho_mol_m3: f64) -> f64 {
        if rho_mol_m3 > 0.0 {
            self.model.residual(&self.fluid, t_k, rho_mol_m3)
        } else {
            0.0
        }
    }

    /// [`PureViscosity::dense_part`], `None` where the model is not defined.
    fn dense_part_if_defined(&self, t_k: f64, rho_mol_m3: f64) -> Option<f64> {
        self.model
            .is_defined_at(&self.fluid, t_k, rho_mol_m3)
            .then(|| self.dense_part(t_k, rho_mol_m3))
            .filter(|eta| eta.is_finite())
    }

    fn check_temperature(&self, t_k: f64) -> Result<(), EosError> {
        if !t_k.is_finite() {
            return Err(EosError::NotFinite {
                name: "temperature",
            });
        }
        if self.range_k.contains(&t_k) {
            return Ok(());
        }
        Err(EosError::NotAvailable {
            what: "viscosity",
            fuel: self.fluid.name.clone(),
            why: sentence!(
                "{} is outside the range of its correlation, {} to {} [{}]",
                in_kelvin_2(t_k),
                in_kelvin(*self.range_k.start()),
                in_kelvin(*self.range_k.end()),
                &self.source
            ),
        })
    }

    fn check_value(&self, eta: f64, t_k: f64, rho_mol_m3: f64) -> Result<f64, EosError> {
        if eta.is_finite() && eta > 0.0 {
            return Ok(eta);
        }
        Err(EosError::NotAvailable {
            what: "viscosity",
            fuel: self.fluid.name.clone(),
            why: sentence!(
                "the correlation [{}] does not reach {} mol/m³ at {}",
                &self.source,
                &number(rho_mol_m3),
                in_kelvin_2(t_k)
            ),
        })
    }
}
