//! What is wrong with the numbers of a fuel file: ranges, list lengths, formula against molar mass,
//! heating value against enthalpy of formation.

use super::blends::Blend;
use super::composition::SUM_TOLERANCE_PERCENT;
use super::{FedAs, Formula, Fuel, FuelError, Kind, VapourPressure};
use crate::quantity::printable::{LONGEST_NAME, columns, is_unseen};

mod model;
use model::{correlation_problems, equation_problems, nasa_problems};

/// Largest relative difference between a stated molar mass and that of the formula: refinery fuels
/// state rounded formulas.
const MOLAR_MASS_TOLERANCE: f64 = 1e-3;
/// Largest relative difference between a stated heating value and that from the enthalpy of
/// formation; two good sources differ by 0.05 %, refinery fuels by more.
const HEATING_VALUE_TOLERANCE: f64 = 0.01;

impl Formula {
    /// Molar mass of the formula, kg/mol.
    ///
    /// **Source:** `iupac-masses`
    pub fn molar_mass_kg_mol(self) -> f64 {
        (12.0107 * self.c + 1.00794 * self.h + 15.9994 * self.o + 14.0067 * self.n) * 1e-3
    }

    /// Gross heating value from the enthalpy of formation of the fuel in J/mol: to carbon dioxide
    /// and liquid water at 298.15 K (-393.51 and -285.83 kJ/mol, CODATA key values).
    ///
    /// **Source:** `atct`
    pub fn gross_heating_value_j_mol(self, formation_j_mol: f64) -> f64 {
        self.c * 393_510.0 + self.h / 2.0 * 285_830.0 + formation_j_mol
    }
}

/// Gathers what is wrong in one file.
struct Checker<'a> {
    file: &'a str,
    errors: Vec<FuelError>,
}

impl Checker<'_> {
    fn need(&mut self, ok: bool, field: &str, value: f64, must_be: &'static str) {
        if !(ok && value.is_finite()) {
            self.errors.push(FuelError::OutOfRange {
                file: self.file.to_owned(),
                field: field.to_owned(),
                value,
                must_be,
            });
        }
    }
    fn positive(&mut self, field: &str, value: f64) {
        self.need(value > 0.0, field, value, "above 0");
    }
    fn fraction(&mut self, field: &str, value: f64) {
        self.need((0.0..=1.0).contains(&value), field, value, "from 0 to 1");
    }
    fn finite(&mut self, field: &str, values: &[f64]) {
        for &v in values {
            self.need(true, field, v, "a finite number");
        }
    }
    fn lengths(&mut self, field: &str, expected: usize, length: usize) {
        if length != expected {
            self.errors.push(FuelError::ListLengths {
                file: self.file.to_owned(),
                field: field.to_owned(),
                length,
                expected,
            });
        }
    }
    fn lists(&mut self, field: &str, lists: &[&Vec<f64>]) {
        for list in lists {
            self.lengths(field, lists[0].len(), list.len());
            self.finite(field, list);
        }
    }
    fn missing(&mut self, absent: bool, field: &'static str, needed_by: &'static str) {
        if absent {
            self.errors.push(FuelError::Missing {
                file: self.file.to_owned(),
                field,
                needed_by,
            });
        }
    }
}

/// Everything wrong with a fuel's numbers.
pub(super) fn problems(file: &str, fuel: &Fuel) -> Vec<FuelError> {
    let mut c = Checker {
        file,
        errors: Vec::new(),
    };
    identity(&mut c, fuel);
    burning(&mut c, fuel);
    if let Some(equation) = &fuel.equation {
        equation_problems(&mut c, equation);
    }
    if let Some(correlation) = &fuel.correlation {
        correlation_problems(&mut c, correlation);
    }
    if let Some(s) = &fuel.surface_tension {
        c.positive("surface_tension.t_critical_k", s.t_critical_k);
        c.lists("surface_tension", &[&s.a, &s.n]);
        c.fraction("surface_tension.uncertainty", s.uncertainty);
    }
    if let Some(nasa) = &fuel.nasa {
        nasa_problems(&mut c, nasa);
    }
    c.errors
}

fn identity(c: &mut Checker, fuel: &Fuel) {
    for name in std::iter::once(&fuel.name).chain(&fuel.synonyms) {
        let bad = name.trim() != name
            || name.is_empty()
            || name.contains([':', ',', ';', '@'])
            || name.contains(is_unseen)
            || columns(name) > LONGEST_NAME
            || name.to_lowercase() != *name;
        if bad {
            c.errors.push(FuelError::BadName {
                file: c.file.to_owned(),
                name: name.clone(),
            });
        }
    }
    c.positive("molar_mass_kg_mol", fuel.molar_mass_kg_mol);
    let formula_kg_mol = fuel.formula.molar_mass_kg_mol();
    let off = (fuel.molar_mass_kg_mol - formula_kg_mol).abs();
    if off > MOLAR_MASS_TOLERANCE * formula_kg_mol {
        c.errors.push(FuelError::MolarMass {
            file: c.file.to_owned(),
            stated_kg_mol: fuel.molar_mass_kg_mol,
            formula_kg_mol,
        });
    }
    match fuel.kind {
        Kind::Equation => c.missing(fuel.equation.is_none(), "equation", "kind `equation`"),
        Kind::Correlation => c.missing(
            fuel.correlation.is_none(),
            "correlation",
            "kind `correlation`",
        ),
    }
    if let Some(s) = fuel.summing_factor_15c {
        c.need(
            (-0.1..1.5).contains(&s),
            "summing_factor_15c",
            s,
            "from -0.1 to 1.5",
        );
    }
    let burns = fuel.formula.c > 0.0 || fuel.formula.h > 0.0;
    c.missing(
        burns && fuel.combustion.is_none(),
        "combustion",
        "a fuel that burns",
    );
    c.missing(
        burns && fuel.safety.is_none(),
        "safety",
        "a fuel that burns",
    );
}

fn burning(c: &mut Checker, fuel: &Fuel) {
    if let Some(b) = &fuel.combustion {
        c.positive("combustion.gross_25c_j_mol", b.gross_25c_j_mol);
        c.fraction("combustion.uncertainty", b.uncertainty);
        let formation = match fuel.fed_as {
            FedAs::Gas => b.formation_enthalpy_gas_j_mol,
            FedAs::Liquid => b.formation_enthalpy_liquid_j_mol,
        };
        let from_formation = formation.map(|h| fuel.formula.gross_heating_value_j_mol(h));
        if let Some(formation_j_mol) = from_formation
            && (formation_j_mol - b.gross_25c_j_mol).abs()
                > HEATING_VALUE_TOLERANCE * b.gross_25c_j_mol
        {
            c.errors.push(FuelError::HeatingValue {
                file: c.file.to_owned(),
                stated_j_mol: b.gross_25c_j_mol,
                formation_j_mol,
            });
        }
    }
    let Some(safety) = &fuel.safety else { return };
    for l in &safety.limits {
        for (field, limit) in [("lower", l.lower), ("upper", l.upper)] {
            if let Some(x) = limit {
                c.need(
                    x > 0.0 && x < 1.0,
                    field,
                    x,
                    "a mole fraction between 0 and 1",
                );
            }
        }
        if let (Some(lower), Some(upper)) = (l.lower, l.upper) {
            c.need(lower < upper, "lower", lower, "below the upper limit");
        }
        for (field, t) in [
            ("autoignition_k", l.autoignition_k),
            ("flash_point_k", l.flash_point_k),
        ] {
            if let Some(t) = t {
                c.need(
                    (100.0..1500.0).contains(&t),
                    field,
                    t,
                    "a temperature in kelvin",
                );
            }
        }
    }
    let values = [
        (
            "minimum_ignition_energy_j",
            &safety.minimum_ignition_energy_j,
            1.0,
        ),
        ("quenching_distance_m", &safety.quenching_distance_m, 0.1),
        ("burning_velocity_m_s", &safety.burning_velocity_m_s, 20.0),
        ("radiant_fraction", &safety.radiant_fraction, 1.0),
    ];
    for (field, value, most) in values {
        if let Some(v) = value {
            c.need(
                v.value > 0.0 && v.value <= most,
                field,
                v.value,
                "above 0 and of the size its SI unit gives",
            );
            c.fraction(field, v.uncertainty);
        }
    }
}

/// Everything wrong with the numbers of a named blend.
pub(super) fn blend_problems(file: &str, blend: &Blend) -> Vec<FuelError> {
    let mut c = Checker {
        file,
        errors: Vec::new(),
    };
    for share in &blend.parts {
        c.need(
            share.percent > 0.0 && share.percent <= 100.0,
            &blend.name,
            share.percent,
            "above 0 and up to 100",
        );
    }
    let sum: f64 = blend.parts.iter().map(|s| s.percent).sum();
    c.need(
        (sum - 100.0).abs() <= SUM_TOLERANCE_PERCENT,
        &blend.name,
        sum,
        "percentages that add up to 100",
    );
    c.errors
}

/// Every source key of a fuel with the field it stands in.
pub(super) fn source_keys(fuel: &Fuel) -> Vec<(String, &str)> {
    let mut keys: Vec<(&str, &str)> = vec![("source", &fuel.source)];
    if let Some(b) = &fuel.combustion {
        keys.push(("combustion.source", &b.source));
        keys.extend(
            b.formation_source
                .iter()
                .map(|s| ("combustion.formation_source", s.as_str())),
        );
    }
    if let Some(s) = &fuel.safety {
        keys.extend(
            s.limits
                .iter()
                .map(|l| ("safety.limits", l.source.as_str())),
        );
        let values = [
            &s.minimum_ignition_energy_j,
            &s.quenching_distance_m,
            &s.burning_velocity_m_s,
            &s.radiant_fraction,
        ];
        keys.extend(
            values
                .into_iter()
                .flatten()
                .map(|v| ("safety", v.source.as_str())),
        );
    }
    keys.extend(
        fuel.equation
            .iter()
            .map(|e| ("equation.source", e.source.as_str())),
    );
    if let Some(k) = &fuel.correlation {
        let vapour_pressure = match &k.vapour_pressure {
            VapourPressure::Wagner36 { source, .. } | VapourPressure::Antoine { source, .. } => {
                source
            }
        };
        keys.extend([
            ("correlation.density", k.density.source.as_str()),
            ("correlation.bulk_modulus_pa", &k.bulk_modulus_pa.source),
            ("correlation.heat_capacity", &k.heat_capacity.source),
            ("correlation.latent_heat", &k.latent_heat.source),
            ("correlation.vapour_pressure", vapour_pressure),
            ("correlation.viscosity", &k.viscosity.source),
            (
                "correlation.speed_of_sound_m_s",
                &k.speed_of_sound_m_s.source,
            ),
        ]);
    }
    keys.extend(
        fuel.viscosity
            .iter()
            .map(|v| ("viscosity.source", v.source.as_str())),
    );
    keys.extend(
        fuel.surface_tension
            .iter()
            .map(|v| ("surface_tension.source", v.source.as_str())),
    );
    keys.extend(fuel.nasa.iter().map(|v| ("nasa.source", v.source.as_str())));
    keys.into_iter().map(|(f, k)| (f.to_owned(), k)).collect()
}
