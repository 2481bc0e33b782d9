//! The product species: their atoms and thermodynamic data, read once from `fuels/species.toml`.

use super::polynomial::{Reduced, Temperature};
use crate::fuel::{Nasa, SourceKey};
use serde::Deserialize;
use std::sync::OnceLock;

/// Number of elements covered.
pub const ELEMENTS: usize = 5;
/// Most product species; the table has fewer.
pub const MAX_SPECIES: usize = 32;

/// An element that reactants and products are made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Element {
    /// Carbon.
    C,
    /// Hydrogen.
    H,
    /// Oxygen.
    O,
    /// Nitrogen.
    N,
    /// Argon.
    Ar,
}

impl Element {
    /// Place in arrays by element.
    pub const fn index(self) -> usize {
        self as usize
    }
}

/// Standard atomic masses, abridged, kg/mol, in the order of [`Element`].
/// **Source:** `iupac-masses`.
pub const ATOMIC_MASS_KG_MOL: [f64; ELEMENTS] =
    [12.011e-3, 1.008e-3, 15.999e-3, 14.007e-3, 39.95e-3];

#[derive(Debug, Clone, Copy, PartialEq, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
struct Atoms {
    c: f64,
    h: f64,
    o: f64,
    n: f64,
    ar: f64,
}

impl Atoms {
    fn array(self) -> [f64; ELEMENTS] {
        [self.c, self.h, self.o, self.n, self.ar]
    }
}

/// One product species as its file tells it.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
struct Species {
    name: String,
    atoms: Atoms,
    nasa: Nasa,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    species: Vec<Species>,
    graphite: Species,
}

/// The products that equilibrium may form, in the order of the file.
#[derive(Debug)]
pub struct Products {
    species: Vec<Species>,
    graphite: Species,
    atoms: Vec<[f64; ELEMENTS]>,
    t_range_k: [f64; 2],
}

/// Lowest temperature products are computed at, K: below it water would long have condensed, and some
/// polynomials end here.
pub const LOWEST_PRODUCT_TEMPERATURE_K: f64 = 300.0;

impl Products {
    /// The table that comes with the program; read at the first call.
    ///
    /// # Panics
    /// Never with the embedded table, which the tests read.
    pub fn embedded() -> &'static Self {
        static TABLE: OnceLock<Products> = OnceLock::new();
        TABLE.get_or_init(|| {
            let file: File = toml::from_str(include_str!("../../../fuels/species.toml"))
                .expect("the embedded table of products is read by a test");
            Self::from_file(file)
        })
    }

    fn from_file(file: File) -> Self {
        assert!(
            file.species.len() <= MAX_SPECIES,
            "the embedded table fits the arrays"
        );
        let highest = file
            .species
            .iter()
            .map(|s| s.nasa.t_k[2])
            .fold(f64::INFINITY, f64::min);
        Self {
            atoms: file.species.iter().map(|s| s.atoms.array()).collect(),
            species: file.species,
            graphite: file.graphite,
            t_range_k: [LOWEST_PRODUCT_TEMPERATURE_K, highest],
        }
    }

    /// Number of species.
    pub fn len(&self) -> usize {
        self.species.len()
    }

    /// Whether there are none (there are).
    pub fn is_empty(&self) -> bool {
        self.species.is_empty()
    }

    /// Names, in order.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.species.iter().map(|s| s.name.as_str())
    }

    /// Place of a species.
    pub fn index(&self, name: &str) -> Option<usize> {
        self.species.iter().position(|s| s.name == name)
    }

    /// Atoms in one molecule of a species, in the order of [`Element`].
    pub fn atoms(&self, index: usize) -> &[f64; ELEMENTS] {
        &self.atoms[index]
    }

    /// Polynomials of a species, `None` if it is not in the table.
    pub fn nasa(&self, name: &str) -> Option<&Nasa> {
        self.index(name).map(|i| &self.species[i].nasa)
    }

    /// Lowest and highest temperature of the products, K.
    pub fn temperature_range_k(&self) -> [f64; 2] {
        self.t_range_k
    }

    /// Keys of all sources that the table names.
    pub fn sources(&self) -> impl Iterator<Item = &SourceKey> {
        let own = self.species.iter().map(|s| &s.nasa.source);
        own.chain(std::iter::once(&self.graphite.nasa.source))
    }

    /// Reduced properties of all species at a temperature.
    pub(crate) fn reduced(&self, t_k: f64, out: &mut [Reduced; MAX_SPECIES]) {
        let t = Temperature::new(t_k);
        for (s, o) in self.species.iter().zip(out.iter_mut()) {
            let a = if t_k < s.nasa.t_k[1] {
                &s.nasa.low
            } else {
                &s.nasa.high
            };
            *o = t.reduced(a);
        }
    }

    /// `g/(RT)` of solid carbon.
    pub(crate) fn graphite_potential(&self, t_k: f64) -> f64 {
        let r = super::polynomial::reduced(&self.graphite.nasa, t_k);
        r.h - r.s
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn polynomials_join_at_their_middle_temperature() {
        // the published sets are constrained to meet; a digit lost in copying would show
        for s in &Products::embedded().species {
            let t = Temperature::new(s.nasa.t_k[1]);
            let (low, high) = (t.reduced(&s.nasa.low), t.reduced(&s.nasa.high));
            for (l, h, what) in [
                (low.cp, high.cp, "cp"),
                (low.h, high.h, "h"),
                (low.s, high.s, "s"),
            ] {
                assert!(
                    (l - h).abs() < 2e-3 * l.abs().max(1.0),
                    "{}: {what} {l} {h}",
                    s.name
                );
            }
        }
    }

    #[test]
    fn elements_in_their_reference_state_have_no_enthalpy_at_25_celsius() {
        let table = Products::embedded();
        for name in ["N2", "O2", "H2", "AR"] {
            let nasa = table.nasa(name).expect("in the table");
            let h = super::super::polynomial::enthalpy_j_mol(nasa, 298.15);
            assert!(h.abs() < 1.0, "{name}: {h} J/mol");
        }
        let carbon = super::super::polynomial::enthalpy_j_mol(&table.graphite.nasa, 298.15);
        assert!(carbon.abs() < 1.0, "{carbon}");
    }

    #[test]
    fn formation_enthalpies_agree_with_codata() {
        // Cox, Wagman, Medvedev: CODATA Key Values for Thermodynamics (1989), kJ/mol, from memory;
        // polynomials and key values differ by their own uncertainties, 0.2 kJ/mol here
        for (name, h) in [
            ("CO2", -393.51),
            ("H2O", -241.826),
            ("CO", -110.53),
            ("H", 217.998),
            ("O", 249.18),
            ("N", 472.68),
            ("NH3", -45.94),
        ] {
            let nasa = Products::embedded().nasa(name).expect("in the table");
            let got = super::super::polynomial::enthalpy_j_mol(nasa, 298.15) / 1e3;
            assert!((got - h).abs() < 0.2, "{name}: {got} kJ/mol, want {h}");
        }
    }
}
