//! What a fuel is: identity, composition, combustion, safety and property coefficients.
//!
//! One TOML file a fuel in `fuels/`, embedded in the program. Every number carries a source key that
//! stands in `fuels/sources.toml`. The meaning and unit of each field is in `fuels/README.md`.
//!
//! ```
//! use fuelwright::fuel::{Composition, Library};
//!
//! let library = Library::embedded();
//! let lpg = Composition::parse("propane:70,n-butane:30", &library)?;
//! assert_eq!(lpg.parts().len(), 2);
//! assert!((lpg.mole_fractions()[0] - 0.7).abs() < 1e-12);
//! # Ok::<(), fuelwright::fuel::CompositionError>(())
//! ```

mod blends;
mod check;
pub mod composition;
pub mod equation;
pub mod error;
pub mod library;
mod pairs;
mod read;
mod tables;
mod user_files;
mod viscosity;

pub use composition::{Composition, CompositionError, Part};
pub use equation::{Ancillary, AncillaryCurve, Bell, Equation, IdealTerm, ResidualTerm};
pub use error::{FuelError, Mistake, Problem};
pub use library::{Blend, Grade, Library, Pair, PropertyCode, Source};
pub use user_files::{OwnPair, UserFiles};
pub use viscosity::Viscosity;

use serde::Deserialize;

/// A key into `fuels/sources.toml`.
pub type SourceKey = String;

/// One fuel (or inert gas) of the library, as its file tells it.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Fuel {
    /// Name used everywhere, e.g. `n-butane`.
    pub name: String,
    /// Other names accepted on input; all lower case.
    #[serde(default)]
    pub synonyms: Vec<String>,
    /// CAS registry number.
    pub cas: String,
    /// How its properties are computed.
    pub kind: Kind,
    /// Phase it is normally metered in.
    pub fed_as: FedAs,
    /// Atoms in one molecule (average molecule for refinery fuels).
    pub formula: Formula,
    /// Groups of the molecule, where it may be part of a blend of liquids.
    pub groups: Option<Groups>,
    /// Molar mass, kg/mol.
    pub molar_mass_kg_mol: f64,
    /// Source of identity and molar mass.
    pub source: SourceKey,
    /// How much nitrogen a mole of an inert gas stands for where it keeps a fuel from burning (ISO 10156); one
    /// where left out.
    pub nitrogen_equivalent: Option<Sourced>,
    /// Summing factor at 15 °C of ISO 6976:2016 table A.3, dimensionless, where the standard lists it.
    pub summing_factor_15c: Option<f64>,
    /// Heating values and formation enthalpy; absent for inert gases.
    pub combustion: Option<Combustion>,
    /// Flammability and ignition data; absent for inert gases.
    pub safety: Option<Safety>,
    /// Reference Helmholtz-energy equation, for `kind = "equation"`.
    pub equation: Option<Equation>,
    /// Correlations, for `kind = "correlation"`.
    pub correlation: Option<Correlation>,
    /// Viscosity model, for `kind = "equation"`.
    pub viscosity: Option<Viscosity>,
    /// Surface tension `sigma = sum(a_i (1 - T/Tc)^n_i)`, N/m.
    pub surface_tension: Option<SurfaceTension>,
    /// NASA polynomials of the ideal gas.
    pub nasa: Option<Nasa>,
}

/// Temperature at which shares of a blend by volume are stated, K.
const VOLUME_TEMPERATURE_K: f64 = 288.15;

impl Fuel {
    /// Density of the liquid at 15 °C, kg/m³, for shares by volume: of a correlation at 1 atm, of an equation
    /// its start curve of the saturated liquid; `None` where there is no liquid at 15 °C.
    pub fn liquid_density_15c_kg_m3(&self) -> Option<f64> {
        if let Some(c) = &self.correlation {
            return Some(c.density.at(VOLUME_TEMPERATURE_K));
        }
        let e = self.equation.as_ref()?;
        let liquid = (e.t_triple_k..0.98 * e.t_critical_k).contains(&VOLUME_TEMPERATURE_K);
        let molar = e.ancillary.liquid_density.at(VOLUME_TEMPERATURE_K);
        liquid.then_some(molar * self.molar_mass_kg_mol)
    }
}

/// How the properties of a fuel are computed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Kind {
    /// Reference Helmholtz-energy equation of state.
    Equation,
    /// Liquid correlations with a stated range, vapour of a stated surrogate.
    Correlation,
}

/// Phase a fuel is normally metered in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum FedAs {
    /// Metered as gas or vapour.
    Gas,
    /// Metered as liquid.
    Liquid,
}

impl FedAs {
    /// Word used in tables, JSON and messages.
    pub fn name(self) -> &'static str {
        match self {
            Self::Gas => "gas",
            Self::Liquid => "liquid",
        }
    }
}

/// Atoms in one molecule; fractional for average molecules.
#[derive(Debug, Clone, Copy, PartialEq, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Formula {
    /// Carbon.
    pub c: f64,
    /// Hydrogen.
    pub h: f64,
    /// Oxygen.
    pub o: f64,
    /// Nitrogen.
    pub n: f64,
    /// Argon.
    pub ar: f64,
}

impl Formula {
    /// Moles of oxygen that burn a mole to carbon dioxide, water and nitrogen; below zero where it gives oxygen off.
    pub fn oxygen(self) -> f64 {
        self.c + self.h / 4.0 - self.o / 2.0
    }
}

/// Groups of a molecule in the group-contribution model of liquid blends; fractional for average molecules.
#[derive(Debug, Clone, Copy, PartialEq, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Groups {
    /// CH3
    pub ch3: f64,
    /// CH2
    pub ch2: f64,
    /// CH
    pub ch: f64,
    /// C without hydrogen
    pub c: f64,
    /// CH of an aromatic ring
    pub ach: f64,
    /// C of an aromatic ring with a CH3 on it
    pub acch3: f64,
    /// C of an aromatic ring with a CH2 on it
    pub acch2: f64,
    /// OH of an alcohol from ethanol up
    pub oh: f64,
    /// Methanol
    pub ch3oh: f64,
    /// Water
    pub h2o: f64,
}

impl Groups {
    /// Atoms of the groups together.
    pub fn formula(self) -> Formula {
        Formula {
            c: self.ch3
                + self.ch2
                + self.ch
                + self.c
                + self.ach
                + 2.0 * (self.acch3 + self.acch2)
                + self.ch3oh,
            h: 3.0 * (self.ch3 + self.acch3)
                + 2.0 * (self.ch2 + self.acch2 + self.h2o)
                + self.ch
                + self.ach
                + self.oh
                + 4.0 * self.ch3oh,
            o: self.oh + self.ch3oh + self.h2o,
            n: 0.0,
            ar: 0.0,
        }
    }

    /// Whether a molecule is an alcohol or water.
    pub fn polar(self) -> bool {
        self.oh + self.ch3oh + self.h2o > 0.0
    }
}

/// Heating values and formation enthalpy.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Combustion {
    /// Gross (higher) heating value at 25 °C in the phase of `fed_as`, J/mol.
    pub gross_25c_j_mol: f64,
    /// Gross heating value at 15 °C of the ideal gas by ISO 6976, J/mol, where the standard lists it.
    pub gross_15c_j_mol: Option<f64>,
    /// Enthalpy of formation of the ideal gas at 298.15 K, J/mol.
    pub formation_enthalpy_gas_j_mol: Option<f64>,
    /// Enthalpy of formation of the liquid at 298.15 K, J/mol.
    pub formation_enthalpy_liquid_j_mol: Option<f64>,
    /// Relative uncertainty of the heating value, as a fraction.
    pub uncertainty: f64,
    /// Source of the heating values.
    pub source: SourceKey,
    /// Source of the formation enthalpy.
    pub formation_source: Option<SourceKey>,
}

/// Flammability and ignition data.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Safety {
    /// One entry a standard; they disagree, both are kept.
    pub limits: Vec<Limits>,
    /// Highest mole fraction in nitrogen at which the mixture cannot burn in air (ISO 10156).
    pub highest_in_nitrogen: Option<Sourced>,
    /// Minimum ignition energy in air, J.
    pub minimum_ignition_energy_j: Option<Sourced>,
    /// Parallel-plate quenching distance at 1 atm, m.
    pub quenching_distance_m: Option<Sourced>,
    /// Maximum laminar burning velocity at 298 K, 1 atm, m/s.
    pub burning_velocity_m_s: Option<Sourced>,
    /// Fraction of the heat of a jet flame that is radiated.
    pub radiant_fraction: Option<Sourced>,
}

/// A value with its source and its band.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Sourced {
    /// The value, SI.
    pub value: f64,
    /// Relative half-width of the band, as a fraction.
    pub uncertainty: f64,
    /// Where it is from.
    pub source: SourceKey,
}

/// Flammability limits and ignition temperatures by one standard.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Limits {
    /// The standard.
    pub source: SourceKey,
    /// Lower flammability limit in air, mole fraction.
    pub lower: Option<f64>,
    /// Upper flammability limit in air, mole fraction.
    pub upper: Option<f64>,
    /// Auto-ignition temperature, K.
    pub autoignition_k: Option<f64>,
    /// Flash point, closed cup, K.
    pub flash_point_k: Option<f64>,
}

/// Surface tension correlation.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SurfaceTension {
    /// Paper.
    pub source: SourceKey,
    /// Critical temperature of the correlation, K.
    pub t_critical_k: f64,
    /// Factors, N/m.
    pub a: Vec<f64>,
    /// Exponents.
    pub n: Vec<f64>,
    /// Relative uncertainty, as a fraction.
    pub uncertainty: f64,
}

/// Seven-coefficient NASA polynomials of the ideal gas in two ranges, divided by R.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Nasa {
    /// Source.
    pub source: SourceKey,
    /// Lowest, middle and highest temperature, K.
    pub t_k: [f64; 3],
    /// Coefficients below the middle temperature.
    pub low: [f64; 7],
    /// Coefficients above it.
    pub high: [f64; 7],
}

/// Liquid correlations of a fuel without a reference equation.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Correlation {
    /// Lowest and highest temperature all correlations hold for, K.
    pub t_range_k: [f64; 2],
    /// Fuel whose ideal-gas vapour stands in for this one's.
    pub vapour_surrogate: String,
    /// Critical temperature, K.
    pub t_critical_k: f64,
    /// Critical pressure, Pa.
    pub p_critical_pa: f64,
    /// Liquid density: `sum c_i (T/K)^i`, kg/m³ at 1 atm.
    pub density: Polynomial,
    /// Isothermal bulk modulus used for pressure, Pa.
    pub bulk_modulus_pa: Sourced,
    /// Kelvin over which the bulk modulus falls to 1/e, `K exp(-(T - 293.15 K)/this)`; left out: it does not.
    pub bulk_modulus_softens_k: Option<f64>,
    /// Liquid heat capacity: `sum c_i (T/K)^i`, J/(kg K).
    pub heat_capacity: Polynomial,
    /// Latent heat at the normal boiling point with Watson exponent 0.38.
    pub latent_heat: LatentHeat,
    /// Vapour pressure, Wagner 3-6 form.
    pub vapour_pressure: VapourPressure,
    /// Kinematic viscosity by ASTM D341, `log10 log10 Z = A - B log10 T`, nu in mm²/s.
    pub viscosity: WaltherLine,
    /// Speed of sound in the liquid, m/s, near 20 °C.
    pub speed_of_sound_m_s: Sourced,
}

/// A polynomial in T/K, lowest power first.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Polynomial {
    /// Source.
    pub source: SourceKey,
    /// Coefficients, lowest power first.
    pub c: Vec<f64>,
    /// Relative uncertainty, as a fraction.
    pub uncertainty: f64,
}

impl Polynomial {
    /// Value at `t_k` in K; the range is the caller's.
    pub fn at(&self, t_k: f64) -> f64 {
        self.c.iter().rev().fold(0.0, |sum, c| sum * t_k + c)
    }
}

/// Latent heat with Watson scaling.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LatentHeat {
    /// Source.
    pub source: SourceKey,
    /// Reference temperature, K.
    pub t_k: f64,
    /// Latent heat there, J/kg.
    pub value_j_kg: f64,
    /// Relative uncertainty, as a fraction.
    pub uncertainty: f64,
}

/// Vapour-pressure correlation of a liquid.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields, tag = "type", rename_all = "kebab-case")]
pub enum VapourPressure {
    /// `ln(p/pc) = (a τ + b τ^1.5 + c τ³ + d τ⁶)/(1-τ)`, `τ = 1 - T/Tc`
    Wagner36 {
        /// Coefficient of τ.
        a: f64,
        /// Coefficient of τ^1.5.
        b: f64,
        /// Coefficient of τ³.
        c: f64,
        /// Coefficient of τ⁶.
        d: f64,
        /// Critical temperature of the fit, K.
        t_critical_k: f64,
        /// Critical pressure of the fit, Pa.
        p_critical_pa: f64,
        /// Relative uncertainty, as a fraction.
        uncertainty: f64,
        /// Source.
        source: SourceKey,
    },
    /// `log10(p/Pa) = a - b/(T/K + c)`
    Antoine {
        /// Constant.
        a: f64,
        /// Factor, K.
        b: f64,
        /// Offset, K.
        c: f64,
        /// Relative uncertainty, as a fraction.
        uncertainty: f64,
        /// Source.
        source: SourceKey,
    },
}

/// A line on the ASTM D341 chart.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WaltherLine {
    /// Source.
    pub source: SourceKey,
    /// Intercept.
    pub a: f64,
    /// Slope.
    pub b: f64,
    /// Relative uncertainty, as a fraction.
    pub uncertainty: f64,
}
