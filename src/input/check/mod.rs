//! From the file as written to the rig as meant: every contradiction is found in one pass.

mod duties;
mod fixed_parts;
mod injector;
mod papers;
mod parts;
mod site;
mod supply;
mod train;

use super::diagnostic::{Diagnostic, Label};
use super::field::quoted;
use super::raw::RigFile;
use super::reader::{Entry, Reader, is_name};
use super::section::Place;
use crate::fuel::{Composition, Library};
use crate::quantity::printable::{cut_name, name as shown};
use crate::quantity::sentence::Sentence;
use crate::quantity::suggest::nearest;
use crate::quantity::{AbsolutePressure, PressureLevel, Ratio, ThermodynamicTemperature, ratio};
use crate::train::rig::{FuelSpec, Rig};
use std::ops::Range;

/// Checks a file that was read and builds the rig; `None` if there was any mistake, which `reader` has.
pub fn check(raw: &RigFile, reader: &mut Reader, library: &Library) -> Option<Rig> {
    let mut checker = Checker {
        reader,
        library,
        ambient: AbsolutePressure::STANDARD_ATMOSPHERE,
        air_outside: (None, ratio(0.0)),
        assumptions: Vec::new(),
    };
    let rig = checker.rig(raw);
    if reader.mistakes.is_empty() {
        rig
    } else {
        None
    }
}

/// What the checks share.
struct Checker<'a> {
    reader: &'a mut Reader,
    library: &'a Library,
    /// Air pressure at the site, once known: what gauges stand on.
    ambient: AbsolutePressure,
    /// Temperature of that air, once known, and its relative humidity.
    air_outside: (Option<ThermodynamicTemperature>, Ratio),
    assumptions: Vec<Sentence>,
}

/// One of several keys that exclude each other.
type Choice<'a> = (&'a str, Option<&'a Range<usize>>);

/// A key and its place, if it is given.
fn choice<'a, T>(key: &'a str, entry: Option<&'a Entry<T>>) -> Choice<'a> {
    (key, entry.map(|e| &e.span))
}

impl Checker<'_> {
    fn rig(&mut self, raw: &RigFile) -> Option<Rig> {
        // the site first: gauge pressures of all other tables stand on its air
        let site = self.site(&raw.site);
        let fuel = self.fuel(raw);
        let air = self.air(raw.air.as_ref());
        let burner = self.burner(raw.burner.as_ref());
        let controls = self.controls(raw.controls.as_ref());
        let duties = self.duties(raw);
        let injector = self.injector(raw);
        let supply = self.supply(raw);
        let train = self.train(raw);
        let limits = site::limits(&raw.limits);
        let leak_tests = self.leak_tests(raw);
        let records = self.records(raw.records.as_ref());
        let proof_tests = self.proof_tests(&raw.proof_tests, raw.records.as_ref());
        let suppressed = self.suppressions(&raw.suppress);
        let timetable = self.timetable(raw);
        let switch = self.switch(raw.switch.as_ref());
        let tolerances = papers::tolerances(raw.tolerance.as_ref());
        Some(Rig {
            name: cut_name(&raw.rig.name.as_ref()?.value),
            notes: raw.rig.notes.as_ref().map(|n| n.value.clone()),
            site: site?,
            fuel: fuel?,
            air: air?,
            burner,
            controls,
            duties: duties?,
            injector: injector?,
            supply: supply?,
            train: train?,
            limits: limits?,
            leak_tests: leak_tests?,
            records,
            proof_tests: proof_tests?,
            suppressed: suppressed?,
            timetable: timetable?,
            switch: switch?,
            tolerances,
            assumptions: std::mem::take(&mut self.assumptions),
            none: self.reader.none.clone(),
            today: None,
            given: raw.given(self.ambient),
        })
    }

    fn fuel(&mut self, raw: &RigFile) -> Option<FuelSpec> {
        let written = raw.fuel.composition.as_ref()?;
        Some(FuelSpec {
            composition: self.composition(written)?,
            written: written.value.clone(),
            odorised: raw.fuel.odorised.as_ref().map(|o| o.value),
        })
    }

    fn composition(&mut self, written: &Entry<String>) -> Option<Composition> {
        match Composition::parse(&written.value, self.library) {
            Ok(composition) => Some(composition),
            Err(error) => {
                self.wrong(
                    "E210",
                    error.to_string(),
                    &written.span,
                    "fuel or blend",
                    Some("the command `fuels` lists every fuel".to_owned()),
                );
                None
            }
        }
    }

    /// A level above vacuum.
    fn absolute(&mut self, level: &Entry<PressureLevel>) -> Option<AbsolutePressure> {
        match level.value.absolute(self.ambient) {
            Ok(p) => Some(p),
            Err(error) => {
                self.wrong("E206", error.to_string(), &level.span, "below vacuum", None);
                None
            }
        }
    }

    /// A level above vacuum where one is given: `Some(None)` where it is not, `None` where it is wrong.
    #[allow(
        clippy::option_option,
        reason = "absent and wrong are different things: the first is no mistake"
    )]
    fn maybe_absolute(
        &mut self,
        level: Option<&Entry<PressureLevel>>,
    ) -> Option<Option<AbsolutePressure>> {
        match level {
            None => Some(None),
            Some(level) => self.absolute(level).map(Some),
        }
    }

    fn wrong(
        &mut self,
        code: &'static str,
        message: impl Into<String>,
        span: &Range<usize>,
        label: &str,
        help: Option<String>,
    ) {
        self.reader
            .mistake(code, message, span.clone(), label, help);
    }

    /// Notes that a key is missing that the rest of its table needs.
    fn missing(&mut self, key: &str, at: &Place, because: &str, example: &str) {
        if at.wrong.contains(&key) {
            return;
        }
        self.wrong(
            "E204",
            format!("`{key}` is missing: {because}"),
            &at.span,
            "it belongs here",
            Some(format!("add a line such as `{key} = {example}`")),
        );
    }

    /// A value that the rest of its table needs.
    fn need<'e, T>(
        &mut self,
        entry: Option<&'e Entry<T>>,
        key: &str,
        at: &Place,
        because: &str,
        example: &str,
    ) -> Option<&'e Entry<T>> {
        if entry.is_none() {
            self.missing(key, at, because, example);
        }
        entry
    }

    /// Index of the one key that is given; notes if it is none or more.
    fn exactly_one(&mut self, choices: &[Choice<'_>], at: &Place, what: &str) -> Option<usize> {
        if choices.iter().any(|(key, _)| at.wrong.contains(key)) {
            return None;
        }
        if choices.iter().all(|(_, span)| span.is_none()) {
            let keys: Vec<&str> = choices.iter().map(|(k, _)| *k).collect();
            self.wrong(
                "E302",
                format!("{what}: give one of {}", quoted(&keys)),
                &at.span,
                "none of them is here",
                None,
            );
            return None;
        }
        self.at_most_one(choices, what)?
    }

    /// Index of the key that is given, if one is; notes if it is more.
    #[allow(
        clippy::option_option,
        reason = "no key and too many keys are different things: the first is no mistake"
    )]
    fn at_most_one(&mut self, choices: &[Choice<'_>], what: &str) -> Option<Option<usize>> {
        let given: Vec<(usize, &str, &Range<usize>)> = choices
            .iter()
            .enumerate()
            .filter_map(|(i, (key, span))| span.map(|s| (i, *key, s)))
            .collect();
        if given.len() < 2 {
            return Some(given.first().map(|g| g.0));
        }
        let keys: Vec<&str> = given.iter().map(|g| g.1).collect();
        let labels = given
            .iter()
            .enumerate()
            .map(|(i, g)| {
                let text = if i == 0 { "this one" } else { "or this one" };
                Label::new(g.2.clone(), text)
            })
            .collect();
        self.reader.mistakes.push(Diagnostic {
            code: "E301",
            message: format!("{what}: {} are given, but one is enough", quoted(&keys)),
            labels,
            help: Some(
                "keep the one you know and leave out the others: they follow from it".to_owned(),
            ),
        });
        None
    }

    /// Notes that two values contradict each other.
    fn disagree(
        &mut self,
        message: impl Into<String>,
        first: (&Range<usize>, &str),
        second: (&Range<usize>, &str),
        help: Option<&str>,
    ) {
        self.reader.mistakes.push(Diagnostic {
            code: "E303",
            message: message.into(),
            labels: vec![
                Label::new(first.0.clone(), first.1),
                Label::new(second.0.clone(), second.1),
            ],
            help: help.map(str::to_owned),
        });
    }

    /// Notes that a key has no meaning beside another.
    fn out_of_place<A, B>(
        &mut self,
        key: &str,
        entry: Option<&Entry<A>>,
        beside: (&str, Option<&Entry<B>>),
    ) {
        if let (Some(entry), Some(other)) = (entry, beside.1) {
            self.disagree(
                format!("`{key}` has no meaning with this `{}`", beside.0),
                (&entry.span, "has no meaning"),
                (&other.span, "because of this"),
                None,
            );
        }
    }

    /// Notes a name that is not defined.
    fn undefined<'n>(
        &mut self,
        what: &str,
        name: &Entry<String>,
        defined: impl IntoIterator<Item = &'n str>,
    ) {
        let defined: Vec<&str> = defined.into_iter().collect();
        let help = nearest(&name.value, defined.iter().copied()).map_or_else(
            || format!("there is {}", quoted(&defined)),
            |near| format!("did you mean `{near}`?"),
        );
        self.wrong(
            "E304",
            format!("there is no {what} named `{}`", shown(&name.value)),
            &name.span,
            "not defined",
            Some(help),
        );
    }

    /// Notes names that are no names or stand twice.
    fn names(&mut self, what: &str, plural: &str, names: &[&Entry<String>]) {
        let mut seen: std::collections::BTreeMap<&str, &Range<usize>> =
            std::collections::BTreeMap::new();
        for name in names {
            if !is_name(&name.value) {
                self.wrong(
                    "E206",
                    format!(
                        "`{}` cannot name a {what}: use up to 60 letters, digits and dashes",
                        shown(&name.value)
                    ),
                    &name.span,
                    "name",
                    None,
                );
            }
            if let Some(first) = seen.get(name.value.as_str()) {
                self.reader.mistakes.push(Diagnostic {
                    code: "E305",
                    message: format!("two {plural} are named `{}`", shown(&name.value)),
                    labels: vec![
                        Label::new(name.span.clone(), "used again here"),
                        Label::new((*first).clone(), "first used here"),
                    ],
                    help: Some("give each its own name".to_owned()),
                });
            } else {
                seen.insert(&name.value, &name.span);
            }
        }
    }

    fn assume(&mut self, sentence: impl Into<Sentence>) {
        let sentence = sentence.into();
        if !self.assumptions.contains(&sentence) {
            self.assumptions.push(sentence);
        }
    }
}
