//! The range of every size and setting of a train that would do at all duties, on the coldest day and to the end of the run.

use super::{Search, changed_text};
use crate::audit::registry::RULES;
use crate::audit::solution::solve;
use crate::audit::usual::Usual;
use crate::audit::{Group, Rule, Signal, audit};
use crate::input::{Loaded, parse};
use crate::quantity::Kind;
use crate::quantity::parse::number_and_unit;
use crate::quantity::show::{rounded, show_digits};
use crate::report::ranges::Range;
use crate::report::remedies::Change;
use crate::train::catalogue::{GenericPart, generic_parts};
use crate::train::plan::INJECTOR;
use crate::train::rig::Given;
use crate::train::throttle::throttle_of;
use rayon::prelude::*;
use std::collections::BTreeSet;

/// Sizes and settings: table and key.
const DIALS: [(&str, &str, Kind); 9] = [
    ("metering-valve", "flow_coefficient", Kind::FlowCoefficient),
    ("needle-valve", "flow_coefficient", Kind::FlowCoefficient),
    ("regulator", "set_pressure", Kind::GaugePressure),
    ("regulator", "rated_flow", Kind::MassRate),
    ("regulator", "wide_open", Kind::FlowCoefficient),
    ("tube", "bore", Kind::Length),
    ("hose", "bore", Kind::Length),
    ("tank", "volume", Kind::Volume),
    ("tank", "number", Kind::Ratio),
];
/// Key of a count, and the most that is tried.
const COUNT: &str = "number";
const MOST_COUNT: u32 = 8;
/// How far a value is moved either way, as a logarithm, and in how many steps.
const FARTHEST: f64 = 3.0;
const STEPS: i32 = 8;
/// How close an end is found, as a logarithm.
const CLOSE: f64 = 0.01;
/// Digits of a value that is tried, and of an end that is told.
const DIGITS: usize = 4;
const TOLD_DIGITS: usize = 2;
/// Key of the curve of a valve, and the words for it that need no table.
const CURVE: &str = "curve";
const CURVES: [&str; 2] = ["linear", "equal-percentage"];

/// A value with the rules that find something at it; `None` where the rig is refused.
struct Tried {
    factor: f64,
    found: Option<BTreeSet<&'static str>>,
}

/// One size or setting of a rig.
struct Dial<'a> {
    given: &'a Given,
    kind: Kind,
    number: f64,
    unit: &'a str,
    written: &'a str,
    with: Option<Change>,
    rules: Vec<&'static Rule>,
}

/// What would do of every size and setting that the file writes; `None` where the rig cannot be solved.
pub fn ranges(search: &Search<'_>, loaded: &Loaded) -> Option<Vec<Range>> {
    let before = search.audited(loaded.clone())?;
    let grave = |f: &&crate::audit::Finding| f.signal <= Signal::Warning;
    let known: BTreeSet<&str> = before
        .audit
        .findings
        .iter()
        .filter(grave)
        .map(|f| f.id)
        .collect();
    let dials = dials(loaded);
    let found: Vec<Option<Range>> = dials
        .par_iter()
        .map(|dial| {
            let range = (!(search.stopped)()).then(|| range(search, loaded, dial, &known));
            (search.done)();
            range
        })
        .collect();
    Some(found.into_iter().flatten().collect())
}

/// How many sizes and settings a rig has.
pub fn count(loaded: &Loaded) -> usize {
    dials(loaded).len()
}

fn dials(loaded: &Loaded) -> Vec<Dial<'_>> {
    let rig = &loaded.rig;
    let throttle = throttle_of(&rig.train, INJECTOR);
    let mut all = Vec::new();
    for (table, key, kind) in DIALS {
        for given in rig
            .given
            .iter()
            .filter(|g| g.table == table && g.key == key)
        {
            let part = given
                .path
                .strip_prefix("train.")
                .and_then(|p| p.split('.').next());
            let valve = key == "flow_coefficient";
            if valve && part != throttle.as_deref() {
                continue;
            }
            let Some(written) = loaded.written(&given.path) else {
                continue;
            };
            let Some((number, unit)) = number_and_unit(written.trim_matches('"')) else {
                continue;
            };
            let dial = |with| Dial {
                given,
                kind,
                number,
                unit,
                written,
                with,
                rules: rules(loaded, given),
            };
            all.push(dial(None));
            let curve = given.path.replace(key, CURVE);
            let now = loaded.written(&curve).filter(|_| valve);
            let other = now.and_then(|now| {
                let now = now.trim_matches('"');
                let other = CURVES
                    .iter()
                    .find(|c| **c != now && CURVES.contains(&now))?;
                Some(Change {
                    key: curve.clone(),
                    from: now.to_owned(),
                    to: (*other).to_owned(),
                    quoted: true,
                })
            });
            all.extend(other.map(|change| dial(Some(change))));
        }
    }
    all
}

/// Rules that a size or setting can move: those that name it as a lever, for a tank any of its sizes, and those on what
/// the supply gives.
fn rules(loaded: &Loaded, given: &Given) -> Vec<&'static Rule> {
    let moves = |rule: &&&'static Rule| {
        rule.group == Group::Supply
            || rule.levers.iter().any(|lever| {
                let of_tank = given.table == "tank" && lever.table_and_key().0 == "tank";
                of_tank
                    || lever
                        .keys(&loaded.rig, &[])
                        .iter()
                        .any(|g| g.path == given.path)
            })
    };
    RULES.iter().filter(moves).copied().collect()
}

impl Dial<'_> {
    fn is_count(&self) -> bool {
        self.given.key == COUNT
    }

    fn changes(&self, factor: f64) -> Vec<Change> {
        let number = rounded(self.number * factor, DIGITS);
        let own = Change {
            key: self.given.path.clone(),
            from: self.written.trim_matches('"').to_owned(),
            to: format!("{number} {}", self.unit).trim_end().to_owned(),
            quoted: self.written.starts_with('"'),
        };
        self.with.iter().cloned().chain([own]).collect()
    }

    /// Parts of the catalogue of its kind, with what they have of it over what the file has.
    fn catalogue(&self) -> Vec<(&'static GenericPart, f64)> {
        let parts = generic_parts()
            .iter()
            .filter(|p| p.kind == self.given.table);
        let sold = parts.filter_map(|p| {
            let text = p.values.get(self.given.key)?.as_str()?;
            let (x, unit) = number_and_unit(text)?;
            let curve = p.values.get(CURVE).and_then(|c| c.as_str());
            let fits = self.with.as_ref().zip(curve).is_none_or(|(w, c)| w.to == c);
            (unit == self.unit && fits).then_some((p, x / self.number))
        });
        let mut sold: Vec<_> = sold.collect();
        sold.sort_by(|a, b| a.1.total_cmp(&b.1).then(a.0.name.cmp(&b.0.name)));
        sold
    }
}

/// The rules that find something with a value.
fn tried(
    search: &Search<'_>,
    loaded: &Loaded,
    dial: &Dial<'_>,
    factor: f64,
    known: &BTreeSet<&str>,
) -> Tried {
    let refused = Tried {
        factor,
        found: None,
    };
    let changes = dial.changes(factor);
    let Ok(mut changed) = parse(
        &loaded.path,
        &changed_text(loaded, &changes),
        search.library,
    ) else {
        return refused;
    };
    changed.rig.today = search.today;
    let now = changed.rig.given.iter().find(|g| g.path == dial.given.path);
    let usual = now.and_then(|g| Some((Usual::of(g)?, &g.values)));
    if usual.is_some_and(|(u, values)| values.iter().any(|x| u.is_outside(*x))) {
        return refused;
    }
    let Ok(solution) = solve(&changed.rig, search.library, search.units) else {
        return refused;
    };
    let finds = |rule: &&&'static Rule| !rule.check(&solution).findings.is_empty();
    let mut found: BTreeSet<&'static str> = dial.rules.iter().filter(finds).map(|r| r.id).collect();
    if found.is_empty() {
        // nothing else that is grave may come of it
        let all = audit(&solution);
        let new = all
            .findings
            .iter()
            .filter(|f| f.signal <= Signal::Warning && !known.contains(f.id));
        found.extend(new.map(|f| f.id));
    }
    Tried {
        factor,
        found: Some(found),
    }
}

fn range(search: &Search<'_>, loaded: &Loaded, dial: &Dial<'_>, known: &BTreeSet<&str>) -> Range {
    let look = |factor: f64| tried(search, loaded, dial, factor, known);
    let mut factors: Vec<f64> = if dial.is_count() {
        (1..=MOST_COUNT)
            .map(|n| f64::from(n) / dial.number)
            .collect()
    } else {
        let step = FARTHEST / f64::from(STEPS);
        let even = (-STEPS..=STEPS).map(|i| (step * f64::from(i)).exp());
        let sold = dial.catalogue().into_iter().map(|(_, factor)| factor);
        even.chain(sold.filter(|f| f.ln().abs() < FARTHEST))
            .collect()
    };
    factors.sort_by(f64::total_cmp);
    factors.dedup_by(|a, b| (*a / *b - 1.0).abs() < CLOSE);
    let all: Vec<Tried> = factors.into_iter().map(look).collect();
    // what finds something whatever the value is not moved by it
    let mut always = all.iter().filter_map(|t| t.found.clone());
    let first = always.next().unwrap_or_default();
    let always: BTreeSet<&str> = always.fold(first, |a, b| &a & &b);
    let does = |t: &Tried| t.found.as_ref().is_some_and(|f| f.is_subset(&always));
    let stretch = nearest_stretch(&all, &does);
    let close = |inside: f64, outside: f64| {
        let (mut inside, mut outside) = (inside, outside);
        while !dial.is_count() && (outside / inside).ln().abs() > CLOSE {
            let middle = (inside * outside).sqrt();
            if does(&look(middle)) {
                inside = middle;
            } else {
                outside = middle;
            }
        }
        inside
    };
    let ends = stretch.map(|(from, to)| {
        let least = from
            .checked_sub(1)
            .map(|i| close(all[from].factor, all[i].factor));
        let most = all.get(to + 1).map(|t| close(all[to].factor, t.factor));
        (least, most)
    });
    told(search, dial, &all, &does, ends, &always)
}

/// First and last of the values next to each other that do: those around what the file has, else the nearest.
fn nearest_stretch(all: &[Tried], does: &dyn Fn(&Tried) -> bool) -> Option<(usize, usize)> {
    let doing = (0..all.len()).filter(|i| does(&all[*i]));
    let near = doing.min_by(|a, b| {
        let off = |i: &usize| all[*i].factor.ln().abs();
        off(a).total_cmp(&off(b))
    })?;
    let from = (0..near)
        .rev()
        .take_while(|i| does(&all[*i]))
        .last()
        .unwrap_or(near);
    let to = (near..all.len())
        .take_while(|i| does(&all[*i]))
        .last()
        .unwrap_or(near);
    Some((from, to))
}

/// Least and most factor that would do; an end that was not found is left out.
type Ends = (Option<f64>, Option<f64>);

fn told(
    search: &Search<'_>,
    dial: &Dial<'_>,
    all: &[Tried],
    does: &dyn Fn(&Tried) -> bool,
    ends: Option<Ends>,
    always: &BTreeSet<&str>,
) -> Range {
    let si = dial.given.values.first().copied().unwrap_or(dial.number);
    let show = |factor: f64| {
        if dial.is_count() {
            rounded(dial.number * factor, DIGITS)
        } else {
            show_digits(dial.kind, si * factor, search.units, TOLD_DIGITS)
        }
    };
    let own = all.iter().find(|t| (t.factor - 1.0).abs() < CLOSE);
    let would_do = ends.map(|ends| match ends {
        (Some(least), Some(most)) => format!("{} to {}", show(least), show(most)),
        (Some(least), None) => format!("{} or more", show(least)),
        (None, Some(most)) => format!("{} or less", show(most)),
        (None, None) => "any that was tried".to_owned(),
    });
    let inside = |factor: f64| {
        ends.is_some_and(|(least, most)| {
            least.is_none_or(|l| factor >= l * (1.0 - CLOSE))
                && most.is_none_or(|m| factor <= m * (1.0 + CLOSE))
        })
    };
    let sold = dial
        .catalogue()
        .into_iter()
        .filter(|(_, factor)| inside(*factor));
    // where no value does, the fewest that would have to give way
    let fewest = || {
        let tried = all.iter().filter_map(|t| t.found.as_ref());
        tried.min_by_key(|f| f.len()).cloned().unwrap_or_default()
    };
    let gives_way: BTreeSet<&str> = if ends.is_some() {
        always.clone()
    } else {
        fewest()
    };
    Range {
        key: dial.given.path.clone(),
        with: dial.with.as_ref().map(|c| c.to.clone()),
        have: dial.written.trim_matches('"').to_owned(),
        does: dial.with.is_none() && own.is_some_and(does),
        would_do,
        kind: dial.kind,
        least: ends.and_then(|e| e.0).map(|f| si * f),
        most: ends.and_then(|e| e.1).map(|f| si * f),
        catalogue: sold.map(|(p, _)| p.name.clone()).collect(),
        gives_way: gives_way.into_iter().map(str::to_owned).collect(),
    }
}
