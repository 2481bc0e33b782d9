//! What is wrong with the numbers of a fuel file by themselves: ranges, list lengths, formula against molar mass,
//! heating value against enthalpy of formation. What an equation gives is checked by `eos::check`.
//!
//! A value that could not be read is not a number here and has been told already.

use super::blends::Blend;
use super::composition::{MAX_COMPONENTS, SUM_TOLERANCE_PERCENT};
use super::error::{Mistake, Problem};
use super::pairs::RawPair;
use super::{Formula, Fuel, Kind};
use crate::quantity::show::short;
use std::ops::RangeInclusive;

mod burning;
mod correlation;
mod equation;

pub(super) use equation::departure_problems;

/// Largest relative difference between a stated molar mass and that of the formula: refinery fuels
/// state rounded formulas.
const MOLAR_MASS_TOLERANCE: f64 = 1e-3;
/// Longest name of a fuel or blend, letters.
const MOST_LETTERS: usize = 60;
/// Most other names of a fuel or blend.
const MOST_SYNONYMS: usize = 50;

impl Formula {
    /// Molar mass of the formula, kg/mol.
    ///
    /// **Source:** `iupac-masses`
    pub fn molar_mass_kg_mol(self) -> f64 {
        (12.0107 * self.c
            + 1.00794 * self.h
            + 15.9994 * self.o
            + 14.0067 * self.n
            + 39.948 * self.ar)
            * 1e-3
    }

    /// Gross heating value from the enthalpy of formation of the fuel in J/mol: to carbon dioxide
    /// and liquid water at 298.15 K (-393.51 and -285.83 kJ/mol, CODATA key values).
    ///
    /// **Source:** `atct`
    pub fn gross_heating_value_j_mol(self, formation_j_mol: f64) -> f64 {
        self.c * 393_510.0 + self.h / 2.0 * 285_830.0 + formation_j_mol
    }

    fn burns(self) -> bool {
        self.oxygen() > 1e-9
    }
}

/// Gathers what is wrong in one file.
#[derive(Default)]
struct Checker {
    mistakes: Vec<Mistake>,
}

impl Checker {
    fn note(&mut self, key: &str, problem: Problem) {
        self.mistakes.push(Mistake::new(key, problem));
    }
    /// Notes a number for which something does not hold.
    fn need(
        &mut self,
        holds: bool,
        key: &str,
        value: f64,
        must_be: impl Into<String>,
        meant: &'static str,
    ) {
        if !(holds || value.is_nan()) {
            let must_be = must_be.into();
            self.note(
                key,
                Problem::OutOfRange {
                    value,
                    must_be,
                    meant,
                },
            );
        }
    }
    /// Notes what follows from a value where something does not hold.
    fn gives(
        &mut self,
        holds: bool,
        key: &str,
        (what, value, unit): (&str, f64, &'static str),
        must_be: impl Into<String>,
        look_at: &'static str,
    ) {
        if !(holds || value.is_nan()) {
            let problem = Problem::Gives {
                what: what.to_owned(),
                value,
                unit,
                must_be: must_be.into(),
                look_at,
            };
            self.note(key, problem);
        }
    }
    fn too_many(&mut self, key: &str, what: &'static str, count: usize, most: usize) {
        if count > most {
            self.note(key, Problem::TooMany { what, count, most });
        }
    }
    fn within(&mut self, key: &str, value: f64, range: RangeInclusive<f64>, meant: &'static str) {
        let must_be = format!("from {} to {}", short(*range.start()), short(*range.end()));
        self.need(range.contains(&value), key, value, must_be, meant);
    }
    fn positive(&mut self, key: &str, value: f64, meant: &'static str) {
        self.need(value > 0.0, key, value, "above 0", meant);
    }
    fn below(&mut self, key: &str, value: f64, limit: f64, what: &str, meant: &'static str) {
        // of a limit that could not be read nothing is known
        let holds = value < limit || limit.is_nan();
        let must_be = format!("below {what}, {}", short(limit));
        self.need(holds, key, value, must_be, meant);
    }
    fn above(&mut self, key: &str, value: f64, limit: f64, what: &str, meant: &'static str) {
        let holds = value > limit || limit.is_nan();
        let must_be = format!("above {what}, {}", short(limit));
        self.need(holds, key, value, must_be, meant);
    }
    fn near(
        &mut self,
        key: &str,
        value: f64,
        (want, what): (f64, &str),
        by: f64,
        meant: &'static str,
    ) {
        let holds = (value - want).abs() <= by * want.abs() || want.is_nan();
        let percent = short(100.0 * by);
        let must_be = format!("within {percent} % of {what}, {}", short(want));
        self.need(holds, key, value, must_be, meant);
    }
    fn band(&mut self, key: &str, value: f64) {
        self.within(
            key,
            value,
            0.0..=1.0,
            "a relative uncertainty, as a fraction",
        );
    }
    /// Lists that belong together, with what each number of them can be.
    fn lists(
        &mut self,
        key: &str,
        lists: &[(&'static str, &[f64], RangeInclusive<f64>, &'static str)],
    ) {
        let (partner, first, ..) = lists[0];
        if first.is_empty() {
            self.note(
                &format!("{key}.{partner}"),
                Problem::Missing { needed_by: None },
            );
            return;
        }
        for (name, list, range, meant) in lists {
            let key = format!("{key}.{name}");
            if list.len() != first.len() {
                let problem = Problem::ListLengths {
                    length: list.len(),
                    partner,
                    expected: first.len(),
                };
                self.note(&key, problem);
            }
            for (i, value) in list.iter().enumerate() {
                self.within(&format!("{key}[{i}]"), *value, range.clone(), meant);
            }
        }
    }
    fn missing(&mut self, absent: bool, key: &str, needed_by: &'static str) {
        if absent {
            let needed_by = Some(needed_by);
            self.note(key, Problem::Missing { needed_by });
        }
    }
    fn names(&mut self, name: &str, synonyms: &[String]) {
        self.name("name", name);
        self.too_many("synonyms", "names", synonyms.len(), MOST_SYNONYMS);
        for (i, synonym) in synonyms.iter().enumerate() {
            self.name(&format!("synonyms[{i}]"), synonym);
        }
    }
    fn name(&mut self, key: &str, name: &str) {
        let bad = name.trim() != name
            || name.is_empty()
            || name.chars().count() > MOST_LETTERS
            || name.contains([':', ',', ';', '@'])
            || name.to_lowercase() != *name;
        if bad {
            let name = name.chars().take(MOST_LETTERS).collect();
            let most = MOST_LETTERS;
            self.note(key, Problem::BadName { name, most });
        }
    }
}

/// Everything wrong with a fuel's numbers.
pub(super) fn problems(fuel: &Fuel) -> Vec<Mistake> {
    let mut c = Checker::default();
    identity(&mut c, fuel);
    burning::combustion_problems(&mut c, fuel);
    burning::safety_problems(&mut c, fuel);
    if let Some(e) = &fuel.equation {
        equation::equation_problems(&mut c, e);
    }
    if let Some(k) = &fuel.correlation {
        correlation::correlation_problems(&mut c, k);
    }
    if let Some(s) = &fuel.surface_tension {
        correlation::surface_tension_problems(&mut c, fuel, s);
    }
    if let Some(n) = &fuel.nasa {
        burning::nasa_problems(&mut c, fuel, n);
    }
    if let Some(v) = &fuel.viscosity {
        c.band("viscosity.uncertainty_gas", v.uncertainty_gas);
        c.band("viscosity.uncertainty_liquid", v.uncertainty_liquid);
        if let Some(band) = v.uncertainty_dense_vapour {
            c.band("viscosity.uncertainty_dense_vapour", band);
        }
    }
    c.mistakes
}

fn identity(c: &mut Checker, fuel: &Fuel) {
    c.names(&fuel.name, &fuel.synonyms);
    let f = fuel.formula;
    for (key, atoms) in [
        ("formula.c", f.c),
        ("formula.h", f.h),
        ("formula.o", f.o),
        ("formula.n", f.n),
        ("formula.ar", f.ar),
    ] {
        c.within(key, atoms, 0.0..=200.0, "atoms in one molecule");
    }
    let formula_kg_mol = f.molar_mass_kg_mol();
    c.gives(
        formula_kg_mol > 0.0,
        "formula",
        ("a molar mass", formula_kg_mol, "kg/mol"),
        "above 0",
        "a molecule has at least one atom",
    );
    let key = "molar_mass_kg_mol";
    let meant = "the mass of a mole in kilogram";
    c.within(key, fuel.molar_mass_kg_mol, 0.001..=1.0, meant);
    c.near(
        key,
        fuel.molar_mass_kg_mol,
        (formula_kg_mol, "what the formula gives"),
        MOLAR_MASS_TOLERANCE,
        meant,
    );
    if let Some(groups) = fuel.groups {
        let (own, of_groups) = (f.molar_mass_kg_mol(), groups.formula().molar_mass_kg_mol());
        let meant = "the groups of the molecule; look at their numbers";
        c.near(
            "groups",
            of_groups,
            (own, "the molar mass of the formula"),
            MOLAR_MASS_TOLERANCE,
            meant,
        );
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
        c.within("summing_factor_15c", s, -0.1..=1.5, "√b of ISO 6976");
    }
    if let Some(k) = &fuel.nitrogen_equivalent {
        let meant = "the nitrogen that a mole of it stands for";
        c.within("nitrogen_equivalent.value", k.value, 0.1..=10.0, meant);
        c.band("nitrogen_equivalent.uncertainty", k.uncertainty);
    }
    let by = "a fuel that burns";
    c.missing(f.burns() && fuel.combustion.is_none(), "combustion", by);
    c.missing(f.burns() && fuel.safety.is_none(), "safety", by);
}

/// Everything wrong with the names and numbers of a named blend.
pub(super) fn blend_problems(blend: &Blend) -> Vec<Mistake> {
    let mut c = Checker::default();
    c.names(&blend.name, &blend.synonyms);
    c.too_many("parts", "fuels", blend.parts.len(), MAX_COMPONENTS);
    let meant = "a share in percent";
    for (i, share) in blend.parts.iter().enumerate() {
        let key = format!("parts[{i}].percent");
        c.positive(&key, share.percent, meant);
    }
    let sum: f64 = blend.parts.iter().map(|s| s.percent).sum();
    c.gives(
        (sum - 100.0).abs() <= SUM_TOLERANCE_PERCENT,
        "parts",
        ("a sum", sum, "%"),
        "100 %",
        "look at the shares of the fuels",
    );
    c.mistakes
}

/// Everything wrong with the numbers of a pair.
pub(super) fn pair_problems(key: &str, pair: &RawPair) -> Vec<Mistake> {
    let mut c = Checker::default();
    for (field, value, range, meant) in [
        (
            "beta_t",
            pair.beta_t,
            0.5..=2.0,
            "asymmetry of the reducing temperature",
        ),
        (
            "gamma_t",
            pair.gamma_t,
            0.4..=5.0,
            "the reducing temperature over that of plain means",
        ),
        (
            "beta_v",
            pair.beta_v,
            0.4..=2.5,
            "asymmetry of the reducing volume",
        ),
        (
            "gamma_v",
            pair.gamma_v,
            0.5..=2.0,
            "the reducing volume over that of plain means",
        ),
        (
            "f",
            pair.f,
            -2.0..=2.0,
            "the weight of the departure function",
        ),
    ] {
        c.within(&format!("{key}.{field}"), value, range, meant);
    }
    if let Some(band) = pair.band {
        c.band(&format!("{key}.band"), band);
    }
    let key = format!("{key}.departure");
    c.missing(
        pair.departure.is_none() && pair.f != 0.0,
        &key,
        "a pair with `f`",
    );
    if pair.departure.is_some() && pair.f == 0.0 {
        let meant = "the weight of the departure function named; zero leaves it out";
        c.need(
            false,
            &key.replace("departure", "f"),
            pair.f,
            "other than 0",
            meant,
        );
    }
    c.mistakes
}
