//! From the file as written to the rig as meant: every contradiction is found in one pass.

mod duties;
mod fixed_parts;
mod flow_test;
mod injector;
mod papers;
mod parts;
mod site;
mod supply;
mod train;

use super::diagnostic::{Diagnostic, Label};
use super::field::{Field, quoted};
use super::key::{AnyKey, Key};
use super::raw::RigFile;
use super::reader::{Entry, Reader, is_name};
use super::value::FieldValue;
use crate::fuel::{Composition, Library};
use crate::quantity::printable::{cut_name, name as shown};
use crate::quantity::sentence::Sentence;
use crate::quantity::suggest::nearest;
use crate::quantity::{AbsolutePressure, PressureLevel, Ratio, ThermodynamicTemperature, ratio};
use crate::train::rig::{FuelSpec, Rig};
use std::ops::Range;

/// Checks a file that was read and builds the rig, with what was assumed before; `None` if there was any mistake, which `reader` has.
pub fn check(
    raw: &RigFile,
    reader: &mut Reader,
    library: &Library,
    assumed: Vec<Sentence>,
) -> Option<Rig> {
    let mut checker = Checker {
        reader,
        library,
        ambient: AbsolutePressure::STANDARD_ATMOSPHERE,
        air_outside: (None, ratio(0.0)),
        assumptions: assumed,
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

/// One of several keys or tables that exclude each other, and where it stands if it is given.
type Choice<'a> = (&'a str, Option<&'a Range<usize>>);

fn choices<'k>(keys: &[&'k dyn AnyKey]) -> Vec<Choice<'k>> {
    keys.iter().map(|k| (k.field().key, k.span())).collect()
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
        let mut injector = self.injector(raw);
        let flow_tests = self.flow_tests(raw, injector.as_mut());
        let supply = self.supply(raw);
        let train = self.train(raw);
        let limits = site::limits(&raw.limits);
        let leak_tests = self.leak_tests(raw);
        let records = self.records(raw.records.as_ref());
        let proof_tests = self.proof_tests(&raw.proof_tests, raw.records.as_ref());
        let suppressed = self.suppressions(&raw.suppress);
        let timetable = self.timetable(raw);
        let switch = self.switch(raw.switch.as_ref());
        let tolerances = raw.tolerance.clone().unwrap_or_default().model();
        Some(Rig {
            name: cut_name(&raw.rig.name.value()?),
            notes: raw.rig.notes.value(),
            site: site?,
            fuel: fuel?,
            air: air?,
            burner: burner?,
            controls: controls?,
            duties: duties?,
            injector: injector?,
            supply: supply?,
            train: train?,
            limits: limits?,
            leak_tests: leak_tests?,
            flow_tests: flow_tests?,
            records: records?,
            proof_tests: proof_tests?,
            suppressed: suppressed?,
            timetable: timetable?,
            switch: switch?,
            tolerances: tolerances?,
            assumptions: std::mem::take(&mut self.assumptions),
            none: self.reader.none.clone(),
            today: None,
            given: raw.given(self.ambient),
        })
    }

    fn fuel(&mut self, raw: &RigFile) -> Option<FuelSpec> {
        let written = raw.fuel.composition.entry.as_ref()?;
        Some(FuelSpec {
            composition: self.composition(written)?,
            written: written.value.clone(),
            odorised: raw.fuel.odorised.value(),
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

    /// A level above vacuum; `None` where it is not given or wrong.
    fn absolute(&mut self, level: &Key<PressureLevel>) -> Option<AbsolutePressure> {
        self.maybe_absolute(level)?
    }

    /// A level above vacuum where one is given: `Some(None)` where it is not, `None` where it is wrong.
    #[allow(
        clippy::option_option,
        reason = "absent and wrong are different things: the first is no mistake"
    )]
    fn maybe_absolute(&mut self, level: &Key<PressureLevel>) -> Option<Option<AbsolutePressure>> {
        let Some(level) = &level.entry else {
            return Some(None);
        };
        match level.value.absolute(self.ambient) {
            Ok(p) => Some(Some(p)),
            Err(error) => {
                self.wrong("E206", error.to_string(), &level.span, "below vacuum", None);
                None
            }
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
    fn missing(&mut self, key: &dyn AnyKey, because: &str) {
        if key.wrong() {
            return;
        }
        let Field {
            key: name, example, ..
        } = key.field();
        self.wrong(
            "E204",
            format!("`{name}` is missing: {because}"),
            key.table(),
            "it belongs here",
            Some(format!("add a line such as `{name} = {example}`")),
        );
    }

    /// A value that the rest of its table needs.
    fn need<'k, T: FieldValue>(&mut self, key: &'k Key<T>, because: &str) -> Option<&'k Entry<T>> {
        if !key.is_given() {
            self.missing(key, because);
        }
        key.entry.as_ref()
    }

    /// Index of the one key that is given; notes if it is none or more.
    fn exactly_one(&mut self, keys: &[&dyn AnyKey], what: &str) -> Option<usize> {
        if keys.iter().any(|key| key.wrong()) {
            return None;
        }
        self.one_of(&choices(keys), keys.first()?.table(), what)
    }

    /// Index of the key that is given, if one is; notes if it is more.
    #[allow(
        clippy::option_option,
        reason = "no key and too many keys are different things: the first is no mistake"
    )]
    fn at_most_one(&mut self, keys: &[&dyn AnyKey], what: &str) -> Option<Option<usize>> {
        let choices = choices(keys);
        let given = choices.iter().position(|(_, span)| span.is_some());
        given.map_or(Some(None), |_| {
            self.one_of(&choices, &(0..0), what).map(Some)
        })
    }

    /// Index of the one that is given; notes, at `table`, if it is none, or if it is more.
    fn one_of(
        &mut self,
        choices: &[Choice<'_>],
        table: &Range<usize>,
        what: &str,
    ) -> Option<usize> {
        let given = || {
            choices
                .iter()
                .filter_map(|(name, span)| Some((*name, (*span)?)))
        };
        if given().next().is_none() {
            let names: Vec<&str> = choices.iter().map(|(name, _)| *name).collect();
            let message = format!("{what}: give one of {}", quoted(&names));
            self.wrong("E302", message, table, "none of them is here", None);
            return None;
        }
        if given().count() == 1 {
            return choices.iter().position(|(_, span)| span.is_some());
        }
        let names: Vec<&str> = given().map(|(name, _)| name).collect();
        let words = std::iter::once("this one").chain(std::iter::repeat("or this one"));
        let labels = given()
            .zip(words)
            .map(|((_, span), word)| Label::new(span.clone(), word));
        self.reader.mistakes.push(Diagnostic {
            code: "E301",
            message: format!("{what}: {} are given, but one is enough", quoted(&names)),
            labels: labels.collect(),
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

    /// Notes that two keys contradict each other, each with a word about it, where `contradict` says so.
    fn hold_against<A, B>(
        &mut self,
        (first, a): (&Key<A>, &str),
        (second, b): (&Key<B>, &str),
        contradict: impl Fn(&A, &B) -> bool,
        message: &str,
    ) {
        if let (Some(x), Some(y)) = (&first.entry, &second.entry)
            && contradict(&x.value, &y.value)
        {
            self.disagree(message, (&x.span, a), (&y.span, b), None);
        }
    }

    /// Notes that a key has no meaning beside another.
    fn out_of_place(&mut self, key: &dyn AnyKey, beside: &dyn AnyKey) {
        if let (Some(span), Some(other)) = (key.span(), beside.span()) {
            let (key, beside) = (key.field().key, beside.field().key);
            self.disagree(
                format!("`{key}` has no meaning with this `{beside}`"),
                (span, "has no meaning"),
                (other, "because of this"),
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

    /// Whether there is a duty of this name; notes if not.
    fn duty_is_defined(&mut self, name: &Entry<String>, file: &RigFile) -> bool {
        let names = file.duties.iter().filter_map(|d| d.name.entry.as_ref());
        let names: Vec<&str> = names.map(|n| n.value.as_str()).collect();
        let defined = names.contains(&name.value.as_str());
        if !defined {
            self.undefined("duty", name, names);
        }
        defined
    }

    /// Notes names that are no names or stand twice.
    fn names(&mut self, what: &str, plural: &str, names: &[&Key<String>]) {
        let mut seen: std::collections::BTreeMap<&str, &Range<usize>> =
            std::collections::BTreeMap::new();
        for name in names.iter().filter_map(|n| n.entry.as_ref()) {
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
