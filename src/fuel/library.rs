//! The fuels, blends, binary pairs and citations that come with the program, and a user's own.

use super::blends::BlendsFile;
use super::pairs::{DeparturesFile, PairsFile, RawDeparture, RawPair};
use super::{Fuel, FuelError, ResidualTerm, SourceKey, check};
use crate::quantity::suggest;
use serde::Deserialize;
use serde::de::DeserializeOwned;
use std::collections::BTreeMap;
use std::sync::{Arc, OnceLock};

pub use super::blends::{Blend, Share};
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
    "isopropanol",
    "n-heptane",
    "n-decane",
    "n-dodecane",
    "nitrogen",
    "kerosene",
    "gasoline",
    "diesel",
];
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
    /// How the numbers were read: from the document, as carried by a library, or from memory.
    #[serde(default)]
    pub note: Option<String>,
}

type Departures = BTreeMap<String, Arc<[ResidualTerm]>>;
type PairTable = BTreeMap<(String, String), Pair>;
type Sources = BTreeMap<SourceKey, Source>;

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
            .get_or_init(|| read(&format!("{}.toml", self.name), self.text).map(Arc::new))
            .clone()
    }
}

/// What a user's folder adds.
#[derive(Debug, Clone, Default)]
struct Own {
    pairs: PairTable,
    blends: Vec<Blend>,
    sources: Sources,
}

/// Fuels, blends, pairs and citations, and which code is to give properties.
#[derive(Debug, Clone)]
pub struct Library {
    entries: Vec<Entry>,
    synonyms: OnceLock<BTreeMap<String, usize>>,
    pairs: OnceLock<PairTable>,
    blends: OnceLock<Vec<Blend>>,
    sources: OnceLock<Sources>,
    own: Own,
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

    /// The embedded library with a user's files added: `(file name, text)`. Files named
    /// `sources.toml`, `pairs.toml`, `departures.toml` and `blends.toml` add to those tables, every
    /// other file is one fuel. All are read and checked at once; a name already taken is refused.
    ///
    /// # Errors
    /// Everything that is wrong in any of the files.
    ///
    /// ```
    /// use fuelwright::fuel::{FuelError, Library};
    /// let files = vec![("mine.toml".to_owned(), "name = \"mine\"".to_owned())];
    /// let errors = Library::with_user_files(files).unwrap_err();
    /// assert!(matches!(errors[0], FuelError::Malformed { .. }));
    /// ```
    pub fn with_user_files(files: Vec<(String, String)>) -> Result<Self, Vec<FuelError>> {
        let mut library = Self::embedded();
        let mut errors = Vec::new();
        let mut departures = embedded_departures();
        let mut raw_pairs = Vec::new();
        let mut fuels: Vec<(String, Fuel)> = Vec::new();
        for (file, text) in files {
            let base = file.rsplit(['/', '\\']).next().unwrap_or(&file);
            let outcome = match base {
                "sources.toml" => read::<Sources>(&file, &text).map(|s| library.own.sources = s),
                "departures.toml" => read::<DeparturesFile>(&file, &text).map(|d| {
                    departures.extend(d.departure.into_iter().map(RawDeparture::named));
                }),
                "pairs.toml" => {
                    read::<PairsFile>(&file, &text).map(|p| raw_pairs.push((file.clone(), p)))
                }
                "blends.toml" => {
                    read::<BlendsFile>(&file, &text).map(|b| library.own.blends = b.blend)
                }
                _ => read::<Fuel>(&file, &text).map(|f| fuels.push((file.clone(), f))),
            };
            errors.extend(outcome.err());
        }
        for (file, fuel) in fuels {
            errors.extend(library.add(&file, fuel));
        }
        for (file, pairs) in raw_pairs {
            for pair in pairs.pair {
                errors.extend(library.add_pair(&file, pair, &departures));
            }
        }
        errors.extend(library.problems_with_own_blends());
        if errors.is_empty() {
            Ok(library)
        } else {
            Err(errors)
        }
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
    /// [`FuelError::Unknown`] with the nearest name; or what is wrong with the fuel's file.
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
            None => Err(FuelError::Unknown {
                name: name.trim().to_owned(),
                suggestion: self.nearest(&wanted),
            }),
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
        let asked = (a.name.clone(), b.name.clone());
        let swapped = (b.name.clone(), a.name.clone());
        let find = |key| self.own.pairs.get(key).or_else(|| self.pairs().get(key));
        find(&asked)
            .cloned()
            .or_else(|| find(&swapped).map(Pair::swapped))
            .or_else(|| Pair::estimate(&a, &b))
    }

    /// A citation by key.
    pub fn source(&self, key: &str) -> Option<Source> {
        self.sources()
            .get(key)
            .or_else(|| self.own.sources.get(key))
            .cloned()
    }

    /// Names of all fuels, in order.
    pub fn names(&self) -> Vec<&str> {
        self.entries.iter().map(|e| e.name.as_str()).collect()
    }

    /// Everything that is wrong with the files of the library as it stands; empty for a sound one.
    pub fn problems(&self) -> Vec<FuelError> {
        let of = |e: &Entry| match e.fuel() {
            Ok(fuel) => self.problems_with(&format!("{}.toml", e.name), &fuel),
            Err(error) => vec![error],
        };
        let mut all: Vec<FuelError> = self.entries.iter().flat_map(of).collect();
        let blends: Vec<&Blend> = self.blends().collect();
        all.extend(blends.into_iter().flat_map(|b| self.problems_with_blend(b)));
        for pair in self.pairs().values() {
            all.extend(self.unknown_source("pairs.toml", "source", &pair.source));
        }
        all
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

    fn sources(&self) -> &Sources {
        self.sources
            .get_or_init(|| toml::from_str(SOURCES).expect("the embedded sources are tested"))
    }

    fn pairs(&self) -> &PairTable {
        self.pairs.get_or_init(|| {
            let departures = embedded_departures();
            let file: PairsFile = toml::from_str(PAIRS).expect("the embedded pairs are tested");
            let resolve = |p: RawPair| {
                p.resolve(&departures)
                    .expect("the embedded pairs are tested")
            };
            file.pair.into_iter().map(resolve).collect()
        })
    }

    fn nearest(&self, wanted: &str) -> Option<String> {
        let fuels = self.entries.iter().map(|e| e.name.as_str());
        let blends = self.blends().map(|b| b.name.as_str());
        let synonyms = self.synonyms().keys().map(String::as_str);
        suggest::nearest(wanted, fuels.chain(blends).chain(synonyms)).map(str::to_owned)
    }

    /// Takes a user's fuel in, or says what is wrong with it.
    fn add(&mut self, file: &str, fuel: Fuel) -> Vec<FuelError> {
        let mut errors = self.problems_with(file, &fuel);
        for name in std::iter::once(&fuel.name).chain(&fuel.synonyms) {
            let fuel_by = self.position(name).map(|i| self.entries[i].name.clone());
            let by = fuel_by.or_else(|| self.blend(name).map(|b| b.name.clone()));
            errors.extend(by.map(|by| FuelError::NameTaken {
                file: file.to_owned(),
                name: name.clone(),
                by,
            }));
        }
        if errors.is_empty() {
            self.synonyms.take();
            self.entries.push(Entry {
                name: fuel.name.clone(),
                text: "",
                fuel: OnceLock::from(Ok(Arc::new(fuel))),
            });
        }
        errors
    }

    fn add_pair(&mut self, file: &str, pair: RawPair, departures: &Departures) -> Vec<FuelError> {
        let dangling = |what, name: &str| FuelError::Dangling {
            file: file.to_owned(),
            what,
            name: name.to_owned(),
        };
        let mut errors: Vec<FuelError> = [&pair.first, &pair.second]
            .into_iter()
            .filter(|n| self.position(n).is_none())
            .map(|n| dangling("fuel", n))
            .collect();
        errors.extend(self.unknown_source(file, "source", &pair.source));
        errors.extend(pair.out_of_range(file));
        match pair.resolve(departures) {
            Err(name) => errors.push(dangling("departure function", &name)),
            Ok((key, pair)) if errors.is_empty() => {
                self.own.pairs.insert(key, pair);
            }
            Ok(_) => {}
        }
        errors
    }

    fn problems_with(&self, file: &str, fuel: &Fuel) -> Vec<FuelError> {
        let mut errors = check::problems(file, fuel);
        for (field, key) in check::source_keys(fuel) {
            errors.extend(self.unknown_source(file, &field, key));
        }
        if let Some(c) = &fuel.correlation
            && self.position(&c.vapour_surrogate).is_none()
        {
            errors.push(FuelError::Dangling {
                file: file.to_owned(),
                what: "fuel",
                name: c.vapour_surrogate.clone(),
            });
        }
        errors
    }

    fn problems_with_own_blends(&self) -> Vec<FuelError> {
        let of = |b| self.problems_with_blend(b);
        self.own.blends.iter().flat_map(of).collect()
    }

    fn problems_with_blend(&self, blend: &Blend) -> Vec<FuelError> {
        let file = "blends.toml";
        let mut errors: Vec<FuelError> = blend
            .parts
            .iter()
            .filter(|s| self.position(&s.fuel).is_none())
            .map(|s| FuelError::Dangling {
                file: file.to_owned(),
                what: "fuel",
                name: s.fuel.clone(),
            })
            .collect();
        errors.extend(check::blend_problems(file, blend));
        errors.extend(self.unknown_source(file, "source", &blend.source));
        errors
    }

    fn unknown_source(&self, file: &str, field: &str, key: &str) -> Option<FuelError> {
        let known = self.sources().contains_key(key) || self.own.sources.contains_key(key);
        (!known).then(|| FuelError::UnknownSource {
            file: file.to_owned(),
            field: field.to_owned(),
            key: key.to_owned(),
        })
    }
}

fn embedded_blends() -> Vec<Blend> {
    let file: BlendsFile = toml::from_str(BLENDS).expect("the embedded blends are tested");
    file.blend
}

fn embedded_departures() -> Departures {
    let file: DeparturesFile =
        toml::from_str(DEPARTURES).expect("the embedded departures are tested");
    file.departure
        .into_iter()
        .map(RawDeparture::named)
        .collect()
}

/// A file of a known shape.
fn read<T: DeserializeOwned>(file: &str, text: &str) -> Result<T, FuelError> {
    toml::from_str(text).map_err(|e| {
        let at = e.span().map_or(text.len(), |span| span.start);
        let before = text.get(..at).unwrap_or_default();
        let line = before.matches('\n').count() + 1;
        FuelError::Malformed {
            file: file.to_owned(),
            message: format!("line {line}: {}", e.message()),
        }
    })
}
