//! The fuels, binary pairs and citations that come with the program, and a user's own folder.

use super::pairs::{DeparturesFile, PairsFile};
use super::{Fuel, ResidualTerm, SourceKey, check};
use serde::Deserialize;
use std::collections::BTreeMap;
use std::sync::{Arc, OnceLock};

pub use super::pairs::Pair;

/// A fuel file as text, by the name of the fuel.
macro_rules! embedded {
    ($($name:literal),+ $(,)?) => {
        &[$(($name, include_str!(concat!("../../fuels/", $name, ".toml")))),+]
    };
}

/// The fuels that come with the program, in the order of [`Library::names`].
const FUELS: &[(&str, &str)] = embedded![
    "propane",
    "n-butane",
    "isobutane",
    "propylene",
    "ethane",
    "methane",
    "n-pentane",
    "isopentane",
    "hydrogen",
    "dimethyl-ether",
    "ethanol",
    "methanol",
    "n-heptane",
    "n-decane",
    "n-dodecane",
    "nitrogen",
];
const SOURCES: &str = include_str!("../../fuels/sources.toml");
const PAIRS: &str = include_str!("../../fuels/pairs.toml");
const DEPARTURES: &str = include_str!("../../fuels/departures.toml");

/// A citation.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Source {
    /// Citation in one line.
    pub citation: String,
    /// Digital object identifier.
    #[serde(default)]
    pub doi: Option<String>,
    /// How the numbers were read: from the document, as carried by a library, or from memory.
    #[serde(default)]
    pub note: Option<String>,
}

/// Why a fuel could not be had.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum FuelError {
    /// No such fuel.
    #[error("there is no fuel named `{name}`{}", did_you_mean(suggestion.as_ref()))]
    Unknown {
        /// As typed.
        name: String,
        /// Nearest name in the library.
        suggestion: Option<String>,
    },
    /// The file is no TOML of the shape wanted: a field missing, unknown or of the wrong type.
    #[error("fuel file `{file}` cannot be read: {message}")]
    Malformed {
        /// File.
        file: String,
        /// What the reader says, with the line.
        message: String,
    },
    /// A number outside what it can be.
    #[error("fuel file `{file}`: `{field}` is {value}, but must be {must_be}")]
    OutOfRange {
        /// File.
        file: String,
        /// Field.
        field: String,
        /// Value.
        value: f64,
        /// What is accepted.
        must_be: &'static str,
    },
    /// Two lists that belong together have different lengths.
    #[error("fuel file `{file}`: `{field}` has {length} numbers, but its partner has {expected}")]
    ListLengths {
        /// File.
        file: String,
        /// Field.
        field: String,
        /// Numbers in it.
        length: usize,
        /// Numbers in the first list of the group.
        expected: usize,
    },
    /// Molar mass does not follow from the formula.
    #[error(
        "fuel file `{file}`: molar mass {stated_kg_mol} kg/mol, but the formula gives {formula_kg_mol:.7} kg/mol"
    )]
    MolarMass {
        /// File.
        file: String,
        /// In the file, kg/mol.
        stated_kg_mol: f64,
        /// From the formula, kg/mol.
        formula_kg_mol: f64,
    },
    /// A part of the file that its kind needs is missing.
    #[error("fuel file `{file}`: `{field}` is missing, and {needed_by} needs it")]
    Missing {
        /// File.
        file: String,
        /// Table or field.
        field: &'static str,
        /// Which kind of fuel needs it.
        needed_by: &'static str,
    },
    /// A source key that no sources file explains.
    #[error(
        "fuel file `{file}`: `{field}` names the source `{key}`, which sources.toml does not have"
    )]
    UnknownSource {
        /// File.
        file: String,
        /// Field.
        field: String,
        /// Key.
        key: SourceKey,
    },
    /// A name that another fuel already has.
    #[error("fuel file `{file}`: the name `{name}` is taken by `{by}`")]
    NameTaken {
        /// File.
        file: String,
        /// Name or synonym.
        name: String,
        /// Fuel that has it.
        by: String,
    },
    /// A name with characters that compositions need for themselves, or capitals.
    #[error(
        "fuel file `{file}`: `{name}` cannot be a fuel name; use lower case without `:`, `,`, `;` and `@`"
    )]
    BadName {
        /// File.
        file: String,
        /// Name or synonym.
        name: String,
    },
    /// A pair, blend or surrogate that names a fuel or departure function that is not there.
    #[error("fuel file `{file}`: there is no {what} named `{name}`")]
    Dangling {
        /// File.
        file: String,
        /// Kind of thing named.
        what: &'static str,
        /// Name.
        name: String,
    },
}

fn did_you_mean(s: Option<&String>) -> String {
    s.map_or(String::new(), |s| format!("; did you mean `{s}`?"))
}

/// One fuel file, read when first asked for.
#[derive(Debug)]
struct Entry {
    name: String,
    text: &'static str,
    fuel: OnceLock<Result<Arc<Fuel>, FuelError>>,
}

impl Entry {
    fn fuel(&self) -> Result<Arc<Fuel>, FuelError> {
        self.fuel
            .get_or_init(|| check::read(&format!("{}.toml", self.name), self.text).map(Arc::new))
            .clone()
    }
}

type PairTable = BTreeMap<(String, String), Pair>;

/// Fuels, pairs and citations.
#[derive(Debug)]
pub struct Library {
    entries: Vec<Entry>,
    synonyms: OnceLock<BTreeMap<String, usize>>,
    pairs: OnceLock<PairTable>,
    sources: OnceLock<BTreeMap<SourceKey, Source>>,
}

impl Library {
    /// The library embedded in the program; files are read when first asked for.
    pub fn embedded() -> Self {
        let entry = |&(name, text): &(&str, &'static str)| Entry {
            name: name.to_owned(),
            text,
            fuel: OnceLock::new(),
        };
        Self {
            entries: FUELS.iter().map(entry).collect(),
            synonyms: OnceLock::new(),
            pairs: OnceLock::new(),
            sources: OnceLock::new(),
        }
    }

    /// A fuel by name or synonym, in upper or lower case.
    ///
    /// # Errors
    /// [`FuelError::Unknown`] with the nearest name; or what is wrong with the fuel's file.
    ///
    /// ```
    /// let library = fuelwright::fuel::Library::embedded();
    /// assert_eq!(library.fuel("DME")?.name, "dimethyl-ether");
    /// # Ok::<(), fuelwright::fuel::library::FuelError>(())
    /// ```
    pub fn fuel(&self, name: &str) -> Result<Arc<Fuel>, FuelError> {
        let wanted = name.trim().to_lowercase();
        let by_name = self.entries.iter().position(|e| e.name == wanted);
        match by_name.or_else(|| self.synonyms().get(&wanted).copied()) {
            Some(i) => self.entries[i].fuel(),
            None => Err(FuelError::Unknown {
                name: name.trim().to_owned(),
                suggestion: self.nearest(&wanted),
            }),
        }
    }

    /// Parameters of a binary pair by fuel names; where nothing is published, the estimate, marked
    /// as such. `None` where one of the fuels is not in the library or has no equation of state.
    pub fn pair(&self, first: &str, second: &str) -> Option<Pair> {
        let (a, b) = (self.fuel(first).ok()?, self.fuel(second).ok()?);
        if a.equation.is_none() || b.equation.is_none() {
            return None;
        }
        let pairs = self.pairs();
        let key = (a.name.clone(), b.name.clone());
        if let Some(pair) = pairs.get(&key) {
            return Some(pair.clone());
        }
        let swapped = (key.1, key.0);
        Some(
            pairs
                .get(&swapped)
                .map_or_else(Pair::estimate, Pair::swapped),
        )
    }

    /// A citation by key.
    pub fn source(&self, key: &str) -> Option<Source> {
        self.sources().get(key).cloned()
    }

    /// Names of all fuels, in order.
    pub fn names(&self) -> Vec<&str> {
        self.entries.iter().map(|e| e.name.as_str()).collect()
    }

    fn synonyms(&self) -> &BTreeMap<String, usize> {
        self.synonyms.get_or_init(|| {
            let of = |(i, e): (usize, &Entry)| {
                let all = e.fuel().map(|f| f.synonyms.clone()).unwrap_or_default();
                all.into_iter().map(move |s| (s, i))
            };
            self.entries.iter().enumerate().flat_map(of).collect()
        })
    }

    fn sources(&self) -> &BTreeMap<SourceKey, Source> {
        self.sources
            .get_or_init(|| toml::from_str(SOURCES).expect("the embedded sources are tested"))
    }

    fn pairs(&self) -> &PairTable {
        self.pairs.get_or_init(|| {
            let d: DeparturesFile =
                toml::from_str(DEPARTURES).expect("the embedded departures are tested");
            let departures: BTreeMap<String, Arc<[ResidualTerm]>> = d
                .departure
                .into_iter()
                .map(|d| (d.name, d.terms.into()))
                .collect();
            let p: PairsFile = toml::from_str(PAIRS).expect("the embedded pairs are tested");
            let resolve = |p: super::pairs::RawPair| {
                p.resolve(&departures)
                    .expect("the embedded pairs are tested")
            };
            p.pair.into_iter().map(resolve).collect()
        })
    }

    /// Nearest name or synonym: at most three edits away, or containing what was typed.
    fn nearest(&self, wanted: &str) -> Option<String> {
        let synonyms = self.synonyms();
        let all = || {
            self.names()
                .into_iter()
                .chain(synonyms.keys().map(String::as_str))
        };
        let close = all()
            .map(|n| (edit_distance(n, wanted), n))
            .filter(|&(d, n)| d <= 3 && d < n.len().max(wanted.len()).div_ceil(2))
            .min_by_key(|&(d, _)| d)
            .map(|(_, n)| n);
        let part = || {
            let long_enough = wanted.len() >= 3;
            all()
                .find(|n| long_enough && (n.contains(wanted) || wanted.contains(n) && n.len() >= 3))
        };
        close.or_else(part).map(str::to_owned)
    }
}

/// Fewest single-character insertions, deletions and replacements from one text to the other.
fn edit_distance(a: &str, b: &str) -> usize {
    let b: Vec<char> = b.chars().collect();
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, ca) in a.chars().enumerate() {
        let mut diagonal = row[0];
        row[0] = i + 1;
        for (j, &cb) in b.iter().enumerate() {
            let replaced = diagonal + usize::from(ca != cb);
            diagonal = row[j + 1];
            row[j + 1] = replaced.min(row[j] + 1).min(diagonal + 1);
        }
    }
    row[b.len()]
}
