//! The files of a user's own folder: read onto a library, with everything that is wrong in any of them.

use super::blends::{Blend, BlendsFile};
use super::check;
use super::error::{Mistake, Problem};
use super::library::{Departures, Source, Sources, embedded_departures};
use super::pairs::{DeparturesFile, PairsFile, RawPair};
use super::read::{Read, line, read};
use super::{Fuel, FuelError, Library};
use serde::de::DeserializeOwned;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// Keys of a fuel that its properties do not hang on.
const BESIDE_THE_MODEL: [&str; 7] = [
    "name",
    "synonyms",
    "cas",
    "source",
    "summing_factor_15c",
    "combustion",
    "safety",
];

/// A user's fuel files, read onto a library. `eos::check` goes on from here to what the equations give.
#[derive(Debug)]
pub struct UserFiles {
    library: Library,
    departures: Departures,
    /// Those of them that cannot be asked.
    unsound_departures: BTreeSet<String>,
    texts: BTreeMap<String, String>,
    mistakes: Vec<(String, Mistake)>,
    fuels: Vec<(String, Arc<Fuel>)>,
    pairs: Vec<OwnPair>,
}

/// A pair of a user's own.
#[derive(Debug, Clone)]
pub struct OwnPair {
    /// File it stands in.
    pub file: String,
    /// Its key there.
    pub key: String,
    /// Names of both fuels.
    pub fuels: [String; 2],
}

impl UserFiles {
    /// Reads `(file name, text)` onto the library of the program. Files named `sources.toml`, `pairs.toml`,
    /// `departures.toml` and `blends.toml` add to those tables, every other file is one fuel.
    pub fn read(files: Vec<(String, String)>) -> Self {
        Self::onto(Library::embedded(), embedded_departures(), files)
    }

    /// The files of the program themselves, read as a user's.
    pub fn of_the_program() -> Self {
        Self::onto(Library::empty(), Departures::new(), Library::files())
    }

    /// The library as far as it was read.
    pub fn library(&self) -> &Library {
        &self.library
    }

    /// The fuels whose properties can be asked for, with their files.
    pub fn fuels(&self) -> &[(String, Arc<Fuel>)] {
        &self.fuels
    }

    /// The pairs, as far as they are sound.
    pub fn pairs(&self) -> &[OwnPair] {
        &self.pairs
    }

    /// Notes a mistake in a file.
    pub fn note(&mut self, file: &str, mistake: Mistake) {
        self.mistakes.push((file.to_owned(), mistake));
    }

    /// The library.
    ///
    /// # Errors
    /// Everything that is wrong in any of the files, in the order of files and lines.
    pub fn finish(self) -> Result<Library, Vec<FuelError>> {
        if self.mistakes.is_empty() {
            return Ok(self.library);
        }
        let place = |(file, mistake): (String, Mistake)| {
            let text = self.texts.get(&file).map_or("", String::as_str);
            (file, line(text, &mistake.key), mistake)
        };
        let mut all: Vec<_> = self.mistakes.into_iter().map(place).collect();
        all.sort_by(|a, b| (&a.0, a.1).cmp(&(&b.0, b.1)));
        let told = all
            .into_iter()
            .map(|(file, line, mistake)| FuelError::InFile {
                file,
                line,
                mistake: Box::new(mistake),
            });
        Err(told.collect())
    }

    fn onto(library: Library, departures: Departures, files: Vec<(String, String)>) -> Self {
        let mut own = Self {
            library,
            departures,
            unsound_departures: BTreeSet::new(),
            texts: files.iter().cloned().collect(),
            mistakes: Vec::new(),
            fuels: Vec::new(),
            pairs: Vec::new(),
        };
        let base = |file: &str| file.rsplit(['/', '\\']).next().unwrap_or(file).to_owned();
        let tables = [
            "sources.toml",
            "departures.toml",
            "blends.toml",
            "pairs.toml",
        ];
        let (of_tables, of_fuels): (Vec<_>, Vec<_>) = files
            .into_iter()
            .partition(|(file, _)| tables.contains(&base(file).as_str()));
        let table =
            |name: &'static str| of_tables.iter().filter(move |(file, _)| base(file) == name);
        for (file, text) in table("sources.toml") {
            own.sources(file, text);
        }
        for (file, text) in &of_fuels {
            own.fuel(file, text);
        }
        own.without_surrogate();
        for (file, text) in table("departures.toml") {
            own.departures(file, text);
        }
        for (file, text) in table("blends.toml") {
            own.blends(file, text);
        }
        for (file, text) in table("pairs.toml") {
            own.pairs_of(file, text);
        }
        own
    }

    /// What a file holds, if it could be read at all, and the mistakes so far.
    fn content<T: DeserializeOwned>(
        &mut self,
        file: &str,
        text: &str,
    ) -> (Option<T>, Vec<Mistake>) {
        let Read {
            value,
            mut mistakes,
            sources,
        } = read::<T>(text);
        for (key, source_key) in sources {
            if self.library.source(&source_key).is_none() {
                mistakes.push(Mistake::new(key, Problem::UnknownSource { source_key }));
            }
        }
        for mistake in &mistakes {
            self.note(file, mistake.clone());
        }
        (value, mistakes)
    }

    /// Notes mistakes of a file but those of what could not be read, or not whole, which has been told.
    fn note_all(&mut self, file: &str, found: Vec<Mistake>, told: &[Mistake]) -> usize {
        let told = |key: &str| {
            let within = |key: &str, other: &str| {
                let behind = key.strip_prefix(other);
                behind.is_some_and(|rest| rest.is_empty() || rest.starts_with(['.', '[']))
            };
            told.iter()
                .any(|t| within(key, &t.key) || within(&t.key, key))
        };
        let new: Vec<Mistake> = found.into_iter().filter(|m| !told(&m.key)).collect();
        let count = new.len();
        for mistake in new {
            self.note(file, mistake);
        }
        count
    }

    fn sources(&mut self, file: &str, text: &str) {
        let (sources, _) = self.content::<Sources>(file, text);
        for (key, source) in sources.unwrap_or_default() {
            let other = |known: Source| known != source;
            if self.library.source(&key).is_some_and(other) {
                let by = "another source".to_owned();
                let name = key.clone();
                self.note(file, Mistake::new(key, Problem::NameTaken { name, by }));
            } else {
                self.library.own.sources.insert(key, source);
            }
        }
    }

    fn fuel(&mut self, file: &str, text: &str) {
        let (fuel, told) = self.content::<Fuel>(file, text);
        let Some(fuel) = fuel else { return };
        let mut found = check::problems(&fuel);
        found.extend(self.names_taken("", &fuel.name, &fuel.synonyms));
        let of_model = |m: &Mistake| {
            let first = m.key.split(['.', '[']).next().unwrap_or_default();
            !BESIDE_THE_MODEL.contains(&first)
        };
        let sound = !told.iter().chain(&found).any(of_model);
        let taken = found
            .iter()
            .any(|m| matches!(m.problem, Problem::NameTaken { .. }));
        self.note_all(file, found, &told);
        let fuel = Arc::new(fuel);
        if !taken {
            self.library.add(&fuel);
            if sound {
                self.fuels.push((file.to_owned(), fuel));
            }
        }
    }

    /// Notes fuels whose vapour is that of a fuel that is not there.
    fn without_surrogate(&mut self) {
        let library = &self.library;
        let missing = |(_, fuel): &(String, Arc<Fuel>)| {
            let c = fuel.correlation.as_ref();
            c.is_some_and(|c| library.fuel(&c.vapour_surrogate).is_err())
        };
        let (without, with): (Vec<_>, Vec<_>) = self.fuels.drain(..).partition(missing);
        self.fuels = with;
        for (file, fuel) in without {
            let key = "correlation.vapour_surrogate";
            let name = fuel
                .correlation
                .as_ref()
                .map(|c| c.vapour_surrogate.as_str());
            self.note(&file, dangling(key, "fuel", name.unwrap_or_default()));
        }
    }

    /// Names that a fuel or blend has already, or that stand here twice.
    fn names_taken(&self, at: &str, name: &str, synonyms: &[String]) -> Vec<Mistake> {
        let mut seen = BTreeSet::new();
        let synonyms = synonyms.iter().enumerate();
        let keys = synonyms.map(|(i, s)| (format!("synonyms[{i}]"), s.as_str()));
        std::iter::once(("name".to_owned(), name))
            .chain(keys)
            .filter_map(|(key, name)| {
                let by = match self.library.named(name) {
                    Some(by) => format!("`{by}`"),
                    None if !seen.insert(name) => "this very fuel".to_owned(),
                    None => return None,
                };
                let name = name.to_owned();
                Some(Mistake::new(
                    format!("{at}{key}"),
                    Problem::NameTaken { name, by },
                ))
            })
            .collect()
    }

    fn departures(&mut self, file: &str, text: &str) {
        let (content, told) = self.content::<DeparturesFile>(file, text);
        let mut found = Vec::new();
        let list = content.map_or(Vec::new(), |c| c.departure);
        for (i, departure) in list.into_iter().enumerate() {
            let key = format!("departure[{i}]");
            let wrong = check::departure_problems(&format!("{key}.terms"), &departure.terms);
            let sound = wrong.is_empty() && told.is_empty();
            found.extend(wrong);
            let (name, terms) = departure.named();
            if self.departures.contains_key(&name) {
                let by = "another departure function".to_owned();
                let taken = Problem::NameTaken { name, by };
                found.push(Mistake::new(format!("{key}.name"), taken));
            } else {
                if !sound {
                    self.unsound_departures.insert(name.clone());
                }
                self.departures.insert(name, terms);
            }
        }
        self.note_all(file, found, &told);
    }

    fn blends(&mut self, file: &str, text: &str) {
        let (content, told) = self.content::<BlendsFile>(file, text);
        let list = content.map_or(Vec::new(), |c| c.blend);
        for (i, blend) in list.into_iter().enumerate() {
            let at = format!("blend[{i}].");
            let mut found = check::blend_problems(&blend);
            for mistake in &mut found {
                mistake.key.insert_str(0, &at);
            }
            found.extend(self.names_taken(&at, &blend.name, &blend.synonyms));
            found.extend(self.parts_problems(&at, &blend));
            if self.note_all(file, found, &told) == 0 {
                self.library.own.blends.push(blend);
            }
        }
    }

    /// Fuels of a blend that are not there, or are there twice.
    fn parts_problems(&self, at: &str, blend: &Blend) -> Vec<Mistake> {
        let mut found = Vec::new();
        let mut seen = BTreeSet::new();
        for (i, part) in blend.parts.iter().enumerate() {
            let key = format!("{at}parts[{i}].fuel");
            match self.library.fuel(&part.fuel) {
                Err(_) => found.push(dangling(&key, "fuel", &part.fuel)),
                Ok(fuel) if !seen.insert(fuel.name.clone()) => {
                    let by = "another part of this blend".to_owned();
                    let name = fuel.name.clone();
                    found.push(Mistake::new(key, Problem::NameTaken { name, by }));
                }
                Ok(_) => {}
            }
        }
        found
    }

    fn pairs_of(&mut self, file: &str, text: &str) {
        let (content, told) = self.content::<PairsFile>(file, text);
        let list = content.map_or(Vec::new(), |c| c.pair);
        for (i, mut pair) in list.into_iter().enumerate() {
            let key = format!("pair[{i}]");
            let mut found = check::pair_problems(&key, &pair);
            found.extend(self.fuels_of_pair(&key, &mut pair));
            let fuels = [pair.first.clone(), pair.second.clone()];
            let departure = pair.departure.clone().unwrap_or_default();
            let sound = found.is_empty() && told.is_empty();
            let sound = sound && !self.unsound_departures.contains(&departure);
            match pair.resolve(&self.departures) {
                Err(name) => {
                    let key = format!("{key}.departure");
                    found.push(dangling(&key, "departure function", &name));
                }
                Ok((names, pair)) if sound => {
                    self.library.own.pairs.insert(names, pair);
                    let file = file.to_owned();
                    self.pairs.push(OwnPair { file, key, fuels });
                }
                Ok(_) => {}
            }
            self.note_all(file, found, &told);
        }
    }

    /// Gives both fuels of a pair the names they have in the library; says which are not there, or not new.
    fn fuels_of_pair(&self, key: &str, pair: &mut RawPair) -> Vec<Mistake> {
        let mut found = Vec::new();
        for (field, name) in [("first", &mut pair.first), ("second", &mut pair.second)] {
            match self.library.fuel(name) {
                Ok(fuel) => name.clone_from(&fuel.name),
                Err(_) => found.push(dangling(&format!("{key}.{field}"), "fuel", name)),
            }
        }
        let own = &self.library.own.pairs;
        let (a, b) = (pair.first.clone(), pair.second.clone());
        let by = if a == b {
            "the other of this pair".to_owned()
        } else if own.contains_key(&(a.clone(), b.clone())) || own.contains_key(&(b, a)) {
            "another pair with the same other fuel".to_owned()
        } else {
            return found;
        };
        let name = pair.second.clone();
        found.push(Mistake::new(
            format!("{key}.second"),
            Problem::NameTaken { name, by },
        ));
        found
    }
}

fn dangling(key: &str, what: &'static str, name: &str) -> Mistake {
    let name = name.to_owned();
    Mistake::new(key, Problem::Dangling { what, name })
}
