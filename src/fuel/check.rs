//! What is wrong with the numbers of a fuel file: ranges, list lengths, formula against molar mass,
//! heating value against enthalpy of formation.

use super::blends::Blend;
use super::composition::SUM_TOLERANCE_PERCENT;
use super::{
    AncillaryCurve, Correlation, Equation, FedAs, Formula, Fuel, FuelError, IdealTerm, Kind, Nasa,
    ResidualTerm, VapourPressure,
};

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

fn equation_problems(c: &mut Checker, e: &Equation) {
    let positive = [
        ("t_reducing_k", e.t_reducing_k),
        ("rho_reducing_mol_m3", e.rho_reducing_mol_m3),
        ("t_critical_k", e.t_critical_k),
        ("p_critical_pa", e.p_critical_pa),
        ("rho_critical_mol_m3", e.rho_critical_mol_m3),
        ("t_triple_k", e.t_triple_k),
        ("p_max_pa", e.p_max_pa),
    ];
    for (field, value) in positive {
        c.positive(field, value);
    }
    let r = e.gas_constant_j_mol_k;
    c.need(
        (8.3..8.33).contains(&r),
        "gas_constant_j_mol_k",
        r,
        "from 8.30 to 8.33",
    );
    c.need(
        e.t_triple_k < e.t_critical_k,
        "t_triple_k",
        e.t_triple_k,
        "below t_critical_k",
    );
    c.need(
        e.t_max_k > e.t_triple_k,
        "t_max_k",
        e.t_max_k,
        "above t_triple_k",
    );
    let rho = e.rho_max_mol_m3;
    c.need(
        rho > 2.0 * e.rho_critical_mol_m3,
        "rho_max_mol_m3",
        rho,
        "above twice rho_critical_mol_m3",
    );
    c.need(
        (-1.0..2.0).contains(&e.acentric),
        "acentric",
        e.acentric,
        "from -1 to 2",
    );
    c.fraction("uncertainty_density", e.uncertainty_density);
    c.fraction("uncertainty_vapour_pressure", e.uncertainty_vapour_pressure);
    for term in &e.ideal {
        match term {
            IdealTerm::Lead { a1, a2 } => c.finite("ideal", &[*a1, *a2]),
            IdealTerm::LogTau { a } => c.finite("ideal", &[*a]),
            IdealTerm::Power { n, t: x }
            | IdealTerm::PlanckEinstein { n, theta: x }
            | IdealTerm::LogSinh { n, theta: x }
            | IdealTerm::LogCosh { n, theta: x } => c.lists("ideal", &[n, x]),
        }
    }
    let one = |term: fn(&IdealTerm) -> bool| e.ideal.iter().filter(|t| term(t)).count() == 1;
    c.missing(
        !one(|t| matches!(t, IdealTerm::Lead { .. })),
        "one ideal term of type `lead`",
        "an equation",
    );
    c.missing(e.residual.is_empty(), "residual", "an equation");
    for term in &e.residual {
        residual_problems(c, term);
    }
    ancillary_problems(c, "ancillary.vapour_pressure", &e.ancillary.vapour_pressure);
    ancillary_problems(c, "ancillary.liquid_density", &e.ancillary.liquid_density);
    ancillary_problems(c, "ancillary.vapour_density", &e.ancillary.vapour_density);
}

/// List lengths and finite numbers of one residual or departure term.
fn residual_problems(c: &mut Checker, term: &ResidualTerm) {
    match term {
        ResidualTerm::Power { n, d, t, l, g } => {
            c.lists("residual", &[n, d, t, l]);
            if !g.is_empty() {
                c.lists("residual", &[n, g]);
            }
        }
        ResidualTerm::Gaussian {
            n,
            d,
            t,
            eta,
            epsilon,
            beta,
            gamma,
        }
        | ResidualTerm::GergExponential {
            n,
            d,
            t,
            eta,
            epsilon,
            beta,
            gamma,
        } => c.lists("residual", &[n, d, t, eta, epsilon, beta, gamma]),
        ResidualTerm::DoubleExponential {
            n,
            d,
            t,
            gd,
            ld,
            gt,
            lt,
        } => c.lists("residual", &[n, d, t, gd, ld, gt, lt]),
    }
}

fn ancillary_problems(c: &mut Checker, field: &str, a: &AncillaryCurve) {
    c.positive(field, a.t_reducing_k);
    c.positive(field, a.reducing);
    c.lists(field, &[&a.n, &a.t]);
}

fn correlation_problems(c: &mut Checker, k: &Correlation) {
    let [low, high] = k.t_range_k;
    c.need(low > 100.0, "t_range_k", low, "above 100 K");
    c.need(high > low, "t_range_k", high, "above its lower end");
    c.need(
        high < k.t_critical_k,
        "t_range_k",
        high,
        "below t_critical_k",
    );
    c.positive("p_critical_pa", k.p_critical_pa);
    let polynomial = |p: &super::Polynomial, t: f64| p.c.iter().rev().fold(0.0, |s, a| s * t + a);
    for t in [low, high] {
        let rho = polynomial(&k.density, t);
        c.need(
            (300.0..2000.0).contains(&rho),
            "density",
            rho,
            "300 to 2000 kg/m3 in its range",
        );
        let cp = polynomial(&k.heat_capacity, t);
        c.need(
            (500.0..10e3).contains(&cp),
            "heat_capacity",
            cp,
            "500 to 10000 J/(kg K) in its range",
        );
    }
    c.positive("bulk_modulus_pa", k.bulk_modulus_pa.value);
    c.positive("speed_of_sound_m_s", k.speed_of_sound_m_s.value);
    c.positive("latent_heat", k.latent_heat.value_j_kg);
    c.need(
        k.latent_heat.t_k < k.t_critical_k,
        "latent_heat.t_k",
        k.latent_heat.t_k,
        "below t_critical_k",
    );
    c.finite("viscosity", &[k.viscosity.a, k.viscosity.b]);
    let bands = [
        k.density.uncertainty,
        k.heat_capacity.uncertainty,
        k.latent_heat.uncertainty,
        k.viscosity.uncertainty,
        k.bulk_modulus_pa.uncertainty,
        k.speed_of_sound_m_s.uncertainty,
    ];
    for band in bands {
        c.fraction("uncertainty", band);
    }
}

fn nasa_problems(c: &mut Checker, n: &Nasa) {
    let [low, middle, high] = n.t_k;
    c.need(
        0.0 < low && low < middle,
        "nasa.t_k",
        low,
        "below the middle temperature",
    );
    c.need(
        middle < high,
        "nasa.t_k",
        middle,
        "below the highest temperature",
    );
    c.finite("nasa", &n.low);
    c.finite("nasa", &n.high);
    let cp = |a: &[f64; 7]| (0..5).rev().fold(0.0, |s, i| s * middle + a[i]);
    let (below, above) = (cp(&n.low), cp(&n.high));
    c.need(
        below > 2.0,
        "nasa",
        below,
        "a heat capacity above 2 R at the middle temperature",
    );
    c.need(
        (below - above).abs() < 0.02 * below,
        "nasa",
        above,
        "the same heat capacity from both sides within 2 %",
    );
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
