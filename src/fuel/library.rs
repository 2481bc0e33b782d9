//! The fuels, blends, binary pairs and citations that come with the program, and a user's own.

use super::blends::BlendsFile;
use super::pairs::{DeparturesFile, PairsFile, RawDeparture};
use super::tables::{Lazily, quoted, tables};
use super::{Fuel, FuelError, Mistake, Problem, ResidualTerm, SourceKey};
use crate::quantity::suggest;
use serde::Deserialize;
use std::collections::BTreeMap;
use std::sync::{Arc, OnceLock};

pub use super::blends::{Basis, Blend, Share};
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
    "1-butene",
    "isobutene",
    "ethane",
    "methane",
    "n-pentane",
    "isopentane",
    "hydrogen",
    "dimethyl-ether",
    "ethanol",
    "methanol",
    "isopropanol",
    "n-hexane",
    "n-heptane",
    "isooctane",
    "n-decane",
    "n-dodecane",
    "kerosene",
    "gasoline",
    "diesel",
    "carbon-monoxide",
    "carbon-dioxide",
    "nitrogen",
    "oxygen",
    "argon",
    "water",
];
/// Fuels that people ask for and get no answer about, with the reason.
const REFUSED: &[(&[&str], &str)] = &[(
    &["acetylene", "ethyne", "c2h2"],
    "it decomposes by itself, without air, under pressure, so cylinders hold it dissolved in acetone in a porous mass; the \
     tanks, trains and holes here are of other kinds. Use acetylene equipment and its maker's tables",
)];
const SOURCES: &str = include_str!("../../fuels/sources.toml");
const PAIRS: &str = include_str!("../../fuels/pairs.toml");
const DEPARTURES: &str = include_str!("../../fuels/departures.toml");
const BLENDS: &str = include_str!("../../fuels/blends.toml");

/// A citation.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Source {
    /// Citation in one line.
    pub citation: String,
    /// Digital object identifier.
    #[serde(default)]
    pub doi: Option<String>,
    /// How far it was looked up; `None` in a file of the user's own that does not say.
    #[serde(default)]
    pub grade: Option<Grade>,
    /// How the numbers were read: from the document, as carried by a library, or from memory.
    #[serde(default)]
    pub note: Option<String>,
}

pub(super) type Departures = BTreeMap<String, Arc<[ResidualTerm]>>;
pub(super) type PairTable = BTreeMap<(String, String), Pair>;
pub(super) type Sources = BTreeMap<SourceKey, Source>;

/// How far a source was looked up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Grade {
    /// Nobody has looked it up.
    Memory,
    /// Our own.
    Choice,
    /// As a named library or listing carries it.
    Carried,
    /// Read in the document, or on a public page that prints it.
    Published,
}

impl Grade {
    /// All, the least looked up first.
    pub const ALL: [Self; 4] = [Self::Memory, Self::Choice, Self::Carried, Self::Published];

    /// The word in `sources.toml`.
    pub fn name(self) -> &'static str {
        match self {
            Self::Memory => "memory",
            Self::Choice => "choice",
            Self::Carried => "carried",
            Self::Published => "published",
        }
    }
}

/// Which code gives the properties of fuels that have a reference equation.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum PropertyCode {
    /// The program's own model.
    #[default]
    Embedded,
    /// The library CoolProp, for a second opinion; in builds with the feature `coolprop`.
    CoolProp,
}

/// One fuel file, read when first asked for.
#[derive(Debug, Clone)]
struct Entry {
    name: String,
    text: &'static str,
    fuel: OnceLock<Result<Arc<Fuel>, FuelError>>,
}

impl Entry {
    fn fuel(&self) -> Result<Arc<Fuel>, FuelError> {
        self.fuel
            .get_or_init(|| {
                let unreadable = |e: toml::de::Error| FuelError::InFile {
                    file: format!("{}.toml", self.name),
                    line: None,
                    mistake: Box::new(Mistake::new(
                        "",
                        Problem::Syntax {
                            message: e.message().to_owned(),
                        },
                    )),
                };
                toml::from_str(self.text).map(Arc::new).map_err(unreadable)
            })
            .clone()
    }
}

/// What a user's folder adds.
#[derive(Debug, Clone, Default)]
pub(super) struct Own {
    pub(super) pairs: PairTable,
    pub(super) blends: Vec<Blend>,
    pub(super) sources: Sources,
}

/// Fuels, blends, pairs and citations, and which code is to give properties.
#[derive(Debug, Clone)]
pub struct Library {
    entries: Vec<Entry>,
    synonyms: OnceLock<BTreeMap<String, usize>>,
    /// Text of each published pair.
    pairs: OnceLock<BTreeMap<(&'static str, &'static str), &'static str>>,
    blends: OnceLock<Vec<Blend>>,
    sources: OnceLock<BTreeMap<&'static str, Lazily<Source>>>,
    pub(super) own: Own,
    property_code: PropertyCode,
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
            blends: OnceLock::new(),
            sources: OnceLock::new(),
            own: Own::default(),
            property_code: PropertyCode::default(),
        }
    }

    /// A library without anything in it.
    pub(super) fn empty() -> Self {
        Self {
            entries: Vec::new(),
            pairs: OnceLock::from(BTreeMap::new()),
            blends: OnceLock::from(Vec::new()),
            sources: OnceLock::from(BTreeMap::new()),
            ..Self::embedded()
        }
    }

    /// The files of the program, by name, as text.
    pub(super) fn files() -> Vec<(String, String)> {
        let tables = [
            ("sources", SOURCES),
            ("pairs", PAIRS),
            ("departures", DEPARTURES),
            ("blends", BLENDS),
        ];
        let all = FUELS.iter().chain(&tables);
        all.map(|(name, text)| (format!("{name}.toml"), (*text).to_owned()))
            .collect()
    }

    /// The same library for another property code; `eos::backend` goes by it.
    #[must_use]
    pub fn with_property_code(self, property_code: PropertyCode) -> Self {
        Self {
            property_code,
            ..self
        }
    }

    /// Which code is to give properties.
    pub fn property_code(&self) -> PropertyCode {
        self.property_code
    }

    /// A fuel by name or synonym, in upper or lower case.
    ///
    /// # Errors
    /// [`FuelError::Unknown`] with the nearest name; [`FuelError::Refused`] with the reason; or what is wrong with the fuel's file.
    ///
    /// ```
    /// let library = fuelwright::fuel::Library::embedded();
    /// assert_eq!(library.fuel("DME")?.name, "dimethyl-ether");
    /// let typo = library.fuel("propnae").unwrap_err();
    /// assert!(typo.to_string().ends_with("did you mean `propane`?"));
    /// # Ok::<(), fuelwright::fuel::FuelError>(())
    /// ```
    pub fn fuel(&self, name: &str) -> Result<Arc<Fuel>, FuelError> {
        let wanted = name.trim().to_lowercase();
        match self.position(&wanted) {
            Some(i) => self.entries[i].fuel(),
            None => Err(self.without(name.trim(), &wanted)),
        }
    }

    /// Why there is no fuel of a name.
    fn without(&self, name: &str, wanted: &str) -> FuelError {
        let name = name.to_owned();
        match REFUSED.iter().find(|(names, _)| names.contains(&wanted)) {
            Some((_, why)) => FuelError::Refused { name, why },
            None => FuelError::Unknown {
                suggestion: self.nearest(wanted),
                name,
            },
        }
    }

    /// A named blend, such as `lpg-propane`, by name or synonym, in upper or lower case.
    pub fn blend(&self, name: &str) -> Option<&Blend> {
        let wanted = name.trim().to_lowercase();
        self.blends()
            .find(|b| b.name == wanted || b.synonyms.contains(&wanted))
    }

    /// All named blends, a user's own last.
    pub fn blends(&self) -> impl Iterator<Item = &Blend> + Clone {
        let embedded = self.blends.get_or_init(embedded_blends);
        embedded.iter().chain(&self.own.blends)
    }

    /// Parameters of a binary pair by fuel names; where nothing is published, the estimate, marked
    /// as such. `None` where one of the fuels is not in the library or has no equation of state.
    pub fn pair(&self, first: &str, second: &str) -> Option<Pair> {
        let (a, b) = (self.fuel(first).ok()?, self.fuel(second).ok()?);
        self.found(&a.name, &b.name)
            .or_else(|| Some(self.found(&b.name, &a.name)?.swapped()))
            .or_else(|| Pair::estimate(&a, &b))
    }

    /// The pair as it is written in this order.
    fn found(&self, first: &str, second: &str) -> Option<Pair> {
        let own = self.own.pairs.get(&(first.to_owned(), second.to_owned()));
        own.cloned().or_else(|| {
            let text = self.pairs().get(&(first, second))?;
            let file: PairsFile = toml::from_str(text).expect("the embedded pairs are tested");
            let pair = file.pair.into_iter().next()?;
            let of_name = |name: &str| {
                tables(DEPARTURES)
                    .find(|t| quoted(t) == name)
                    .map(departures)
            };
            let named = pair.departure.as_deref().and_then(of_name);
            let resolved = pair.resolve(&named.unwrap_or_default());
            Some(resolved.expect("the embedded pairs are tested").1)
        })
    }

    /// A citation by key.
    pub fn source(&self, key: &str) -> Option<Source> {
        let embedded = self.sources().get(key).map(|s| s.get(one_source));
        embedded.or_else(|| self.own.sources.get(key)).cloned()
    }

    /// Names of all fuels, in order.
    pub fn names(&self) -> Vec<&str> {
        self.entries.iter().map(|e| e.name.as_str()).collect()
    }

    /// Every source of the program by its key.
    pub fn all_sources(&self) -> impl Iterator<Item = (&str, &Source)> {
        self.sources().iter().map(|(k, s)| (*k, s.get(one_source)))
    }

    fn position(&self, wanted: &str) -> Option<usize> {
        let by_name = self.entries.iter().position(|e| e.name == wanted);
        by_name.or_else(|| self.synonyms().get(wanted).copied())
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

    fn sources(&self) -> &BTreeMap<&'static str, Lazily<Source>> {
        self.sources.get_or_init(|| {
            let entry = |text: &'static str| {
                let key = text.strip_prefix('[')?.split_once(']')?.0;
                Some((key, Lazily::new(text)))
            };
            tables(SOURCES).filter_map(entry).collect()
        })
    }

    fn pairs(&self) -> &BTreeMap<(&'static str, &'static str), &'static str> {
        self.pairs.get_or_init(|| {
            let entry = |text: &'static str| {
                let mut lines = text.lines().skip(1).map(quoted);
                Some(((lines.next()?, lines.next()?), text))
            };
            tables(PAIRS).filter_map(entry).collect()
        })
    }

    fn nearest(&self, wanted: &str) -> Option<String> {
        let fuels = self.entries.iter().map(|e| e.name.as_str());
        let blends = self.blends().map(|b| b.name.as_str());
        let synonyms = self.synonyms().keys().map(String::as_str);
        suggest::nearest(wanted, fuels.chain(blends).chain(synonyms)).map(str::to_owned)
    }

    /// Takes a user's fuel in.
    pub(super) fn add(&mut self, fuel: &Arc<Fuel>) {
        self.synonyms.take();
        self.entries.push(Entry {
            name: fuel.name.clone(),
            text: "",
            fuel: OnceLock::from(Ok(Arc::clone(fuel))),
        });
    }

    /// The fuel or blend that has a name.
    pub(super) fn named(&self, name: &str) -> Option<&str> {
        let fuel = self.position(name).map(|i| self.entries[i].name.as_str());
        fuel.or_else(|| self.blend(name).map(|b| b.name.as_str()))
    }
}

fn embedded_blends() -> Vec<Blend> {
    let file: BlendsFile = toml::from_str(BLENDS).expect("the embedded blends are tested");
    file.blend
}

/// The one source of a table.
fn one_source(text: &str) -> Source {
    let one: Sources = toml::from_str(text).expect("the embedded sources are tested");
    one.into_values().next().expect("a table with its key")
}

pub(super) fn embedded_departures() -> Departures {
    departures(DEPARTURES)
}

fn departures(text: &str) -> Departures {
    let file: DeparturesFile = toml::from_str(text).expect("the embedded departures are tested");
    file.departure
        .into_iter()
        .map(RawDeparture::named)
        .collect()
}
