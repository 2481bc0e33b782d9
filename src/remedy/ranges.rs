//! The range of every size and setting of a train that would do at all duties, on the coldest day and to the end of the run.

use super::{Search, changed_text};
use crate::audit::registry::RULES;
use crate::audit::solution::solve;
use crate::audit::usual::Usual;
use crate::audit::{Group, Rule, Signal, audit};
use crate::input::{Loaded, parse};
use crate::quantity::Kind;
use crate::quantity::parse::number_and_unit;
use crate::quantity::show::rounded;
use crate::report::ranges::Range;
use crate::report::remedies::Change;
use crate::train::catalogue::{GenericPart, generic_parts};
use crate::train::plan::INJECTOR;
use crate::train::rig::Given;
use crate::train::throttle::throttle_of;
use rayon::prelude::*;
use std::collections::{BTreeMap, BTreeSet};

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
const STEPS: i32 = 6;
/// How close an end is found, as a logarithm.
const CLOSE: f64 = 0.02;
/// Digits of a value that is tried, and of an end that is told.
const DIGITS: usize = 4;
const TOLD_DIGITS: usize = 2;
/// Key of the curve of a valve, and the words for it that need no table.
const CURVE: &str = "curve";
const CURVES: [&str; 2] = ["linear", "equal-percentage"];

/// Rules that find something, each with its gravest signal word.
type Finds = BTreeMap<&'static str, Signal>;

/// A value with the rules that find something at it; `None` where the rig is refused.
struct Tried {
    factor: f64,
    found: Option<Finds>,
}

impl Tried {
    /// How much would have to give way for it: the graver the more. Those are left out that find something anyway.
    fn cost(&self, always: &BTreeSet<&str>) -> Option<u32> {
        let found = self.found.as_ref()?;
        let moved = found.iter().filter(|(id, _)| !always.contains(*id));
        let weight = |signal: Signal| match signal {
            Signal::Danger => 1000,
            Signal::Warning => 100,
            Signal::Caution => 10,
            Signal::Notice => 1,
        };
        Some(moved.map(|(_, signal)| weight(*signal)).sum())
    }

    /// How far it is from what the file has, as a logarithm.
    fn off(&self) -> f64 {
        self.factor.ln().abs()
    }

    /// Whether nothing but these finds anything.
    fn does(&self, gives_way: &BTreeSet<&str>) -> bool {
        let found = self.found.as_ref();
        found.is_some_and(|f| f.keys().all(|id| gives_way.contains(id)))
    }
}

/// One size or setting of a rig.
struct Dial<'a> {
    given: Given,
    kind: Kind,
    number: f64,
    unit: &'a str,
    written: &'a str,
    /// Key that it is written behind, where the file leaves it out, with what is written there.
    behind: Option<(String, &'a str)>,
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
                given: given.clone(),
                kind,
                number,
                unit,
                written,
                behind: None,
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
    all.extend(one_tank(loaded));
    all
}

/// The number of tanks, where the file leaves it out.
fn one_tank(loaded: &Loaded) -> Option<Dial<'_>> {
    let (path, beside) = (format!("tank.{COUNT}"), "tank.volume");
    if loaded.written(&path).is_some() {
        return None;
    }
    let given = Given {
        table: "tank".to_owned(),
        key: COUNT,
        path,
        values: vec![1.0],
    };
    Some(Dial {
        rules: rules(loaded, &given),
        given,
        kind: Kind::Ratio,
        number: 1.0,
        unit: "",
        written: "1",
        behind: Some((beside.to_owned(), loaded.written(beside)?)),
        with: None,
    })
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
        let own = match &self.behind {
            Some((key, written)) => Change {
                key: key.clone(),
                from: (*written).to_owned(),
                to: format!("{written}\n{} = {number}", self.given.key),
                quoted: false,
            },
            None => Change {
                key: self.given.path.clone(),
                from: self.written.trim_matches('"').to_owned(),
                to: format!("{number} {}", self.unit).trim_end().to_owned(),
                quoted: self.written.starts_with('"'),
            },
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
    let mut found = Finds::new();
    for f in audit(&solution).findings {
        let moved = dial.rules.iter().any(|rule| rule.id == f.id);
        // nothing else that is grave may come of it
        let new = f.signal <= Signal::Warning && !known.contains(f.id);
        if moved || new {
            let gravest = found.entry(f.id).or_insert(f.signal);
            *gravest = f.signal.min(*gravest);
        }
    }
    Tried {
        factor,
        found: Some(found),
    }
}

fn range(search: &Search<'_>, loaded: &Loaded, dial: &Dial<'_>, known: &BTreeSet<&str>) -> Range {
    let look = |factor: f64| tried(search, loaded, dial, factor, known);
    let factors: Vec<f64> = if dial.is_count() {
        (1..=MOST_COUNT)
            .map(|n| f64::from(n) / dial.number)
            .collect()
    } else {
        let step = FARTHEST / f64::from(STEPS);
        (-STEPS..=STEPS)
            .map(|i| (step * f64::from(i)).exp())
            .collect()
    };
    let all: Vec<Tried> = factors.into_iter().map(look).collect();
    // what finds something whatever the value is not moved by it; where no value does, the mildest gives way
    let mut sets = all
        .iter()
        .filter_map(|t| t.found.as_ref())
        .map(|f| f.keys().copied().collect::<BTreeSet<_>>());
    let first = sets.next().unwrap_or_default();
    let mut gives_way: BTreeSet<&str> = sets.fold(first, |a, b| &a & &b);
    let mildest = all.iter().filter_map(|t| Some((t.cost(&gives_way)?, t)));
    let mildest = mildest.min_by(|a, b| a.0.cmp(&b.0).then(a.1.off().total_cmp(&b.1.off())));
    gives_way.extend(
        mildest
            .iter()
            .filter_map(|(_, t)| t.found.as_ref())
            .flat_map(|f| f.keys().copied()),
    );
    let does = |t: &Tried| t.does(&gives_way);
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
    told(dial, &all, ends, &gives_way)
}

/// First and last of the values next to each other that do: those around what the file has, else the nearest.
fn nearest_stretch(all: &[Tried], does: &dyn Fn(&Tried) -> bool) -> Option<(usize, usize)> {
    let doing = (0..all.len()).filter(|i| does(&all[*i]));
    let near = doing.min_by(|a, b| all[*a].off().total_cmp(&all[*b].off()))?;
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

/// A figure to some digits, up (1) or down (−1).
fn inward(x: f64, digits: usize, way: f64) -> String {
    /// Of the last digit: just not enough to move what is exact.
    const HALF: f64 = 0.499_999;
    #[allow(clippy::cast_precision_loss)] // some digits
    let last = 10_f64.powf(x.abs().log10().floor() - digits as f64 + 1.0);
    rounded(x + way * HALF * last, digits)
}

/// Least and most factor that would do; an end that was not found is left out.
type Ends = (Option<f64>, Option<f64>);

fn told(dial: &Dial<'_>, all: &[Tried], ends: Option<Ends>, gives_way: &BTreeSet<&str>) -> Range {
    let si = dial.given.values.first().copied().unwrap_or(dial.number);
    let digits = if dial.is_count() { DIGITS } else { TOLD_DIGITS };
    // inward: what is told would do
    let show = |factor: f64, way: f64| inward(dial.number * factor, digits, way);
    let own = all.iter().find(|t| t.off() < CLOSE);
    let would_do = ends.map(|ends| {
        let with_unit = |range: String| format!("{range} {}", dial.unit).trim_end().to_owned();
        match ends {
            (Some(least), Some(most)) => {
                let (least, most) = (show(least, 1.0), show(most, -1.0));
                with_unit(if least == most {
                    least
                } else {
                    format!("{least} to {most}")
                })
            }
            (Some(least), None) => with_unit(show(least, 1.0)) + " or more",
            (None, Some(most)) => match show(most, -1.0) {
                most if dial.is_count() && most == "1" => most,
                most if dial.is_count() => format!("1 to {most}"),
                most => with_unit(most) + " or less",
            },
            (None, None) => "any that was tried".to_owned(),
        }
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
    Range {
        key: dial.given.path.clone(),
        with: dial.with.as_ref().map(|c| c.to.clone()),
        have: dial.written.trim_matches('"').to_owned(),
        does: dial.with.is_none() && own.is_some_and(|t| t.does(gives_way)),
        would_do,
        kind: dial.kind,
        least: ends.and_then(|e| e.0).map(|f| si * f),
        most: ends.and_then(|e| e.1).map(|f| si * f),
        catalogue: sold.map(|(p, _)| p.name.clone()).collect(),
        gives_way: gives_way.iter().map(|id| (*id).to_owned()).collect(),
    }
}
