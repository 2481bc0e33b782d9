//! The range of every size and setting of a train that would do at all duties, on the coldest day and to the end of the run.

use super::Search;
use super::ladder::{Written, sold};
use super::probe::{Audited, is_grave, new_in};
use crate::audit::registry::RULES;
use crate::audit::{Group, Rule, Signal};
use crate::input::Loaded;
use crate::quantity::Kind;
use crate::quantity::show::rounded;
use crate::report::ranges::Range;
use crate::report::remedies::Change;
use crate::train::plan::INJECTOR;
use crate::train::rig::Given;
use crate::train::throttle::throttle_of;
use rayon::prelude::*;
use std::collections::{BTreeMap, BTreeSet};

/// Sizes and settings: table and key.
const DIALS: [(&str, &str, Kind); 9] = [
    ("metering-valve", VALVE, Kind::FlowCoefficient),
    ("needle-valve", VALVE, Kind::FlowCoefficient),
    ("regulator", "set_pressure", Kind::GaugePressure),
    ("regulator", "rated_flow", Kind::MassRate),
    ("regulator", "wide_open", Kind::FlowCoefficient),
    ("tube", "bore", Kind::Length),
    ("hose", "bore", Kind::Length),
    ("tank", "volume", Kind::Volume),
    ("tank", COUNT, Kind::Ratio),
];
/// Key of a count, and the most that is tried.
const COUNT: &str = "number";
const MOST_COUNT: u32 = 8;
/// Key of a valve's size, which counts of the throttle alone; of its curve; and the words for that which need no table.
const VALVE: &str = "flow_coefficient";
const CURVE: &str = "curve";
const CURVES: [&str; 2] = ["linear", "equal-percentage"];
/// How far a value is moved either way, as a logarithm, and in how many steps.
const FARTHEST: f64 = 3.0;
const STEPS: i32 = 6;
/// How close an end is found, as a logarithm.
const CLOSE: f64 = 0.02;
/// Digits of a value that is tried, and of an end that is told.
const DIGITS: usize = 4;
const TOLD_DIGITS: usize = 2;

/// A value tried.
struct Tried {
    factor: f64,
    /// Rules that it moves and that find something, each with its gravest signal word; `None` where the rig is refused.
    found: Option<BTreeMap<&'static str, Signal>>,
    /// Rules of which it raises a DANGER or WARNING that the rig as it is has not.
    raises: BTreeSet<&'static str>,
}

impl Tried {
    /// How much would have to give way for it, the graver the more, but for these; `None` where it cannot be.
    fn cost(&self, stays: &BTreeSet<&str>) -> Option<u32> {
        let found = self.found.as_ref().filter(|_| self.raises.is_empty())?;
        let moved = found.iter().filter(|(id, _)| !stays.contains(*id));
        Some(
            moved
                .map(|(_, signal)| [1000, 100, 10, 1][*signal as usize])
                .sum(),
        )
    }

    /// How far it is from what the file has, as a logarithm.
    fn off(&self) -> f64 {
        self.factor.ln().abs()
    }
}

/// One size or setting of a rig.
#[derive(Clone)]
struct Dial<'a> {
    given: Given,
    kind: Kind,
    now: Written<'a>,
    /// Key that it is written behind, where the file leaves it out, with what is written there.
    behind: Option<(&'static str, &'a str)>,
    with: Option<Change>,
    rules: Vec<&'static Rule>,
}

/// What would do of every size and setting that the file writes; `None` where the rig cannot be solved.
pub fn ranges(search: &Search<'_>, loaded: &Loaded) -> Option<Vec<Range>> {
    let before = search.audited(loaded.clone())?;
    let one = |dial: &Dial<'_>| {
        let range = (!(search.stopped)()).then(|| range(search, &before, dial));
        (search.done)();
        range
    };
    let found: Vec<Option<Range>> = dials(loaded).par_iter().map(one).collect();
    Some(found.into_iter().flatten().collect())
}

/// How many sizes and settings a rig has.
pub fn count(loaded: &Loaded) -> usize {
    dials(loaded).len()
}

fn dials(loaded: &Loaded) -> Vec<Dial<'_>> {
    let throttle = throttle_of(&loaded.rig.train, INJECTOR);
    let mut all = Vec::new();
    for (table, key, kind) in DIALS {
        let of_key = |g: &&Given| g.table == table && g.key == key;
        for given in loaded.rig.given.iter().filter(of_key) {
            let part = given.path.trim_start_matches("train.").split('.').next();
            if key == VALVE && part != throttle.as_deref() {
                continue;
            }
            let Some(now) = Written::of(loaded, &given.path) else {
                continue;
            };
            let dial = Dial {
                given: given.clone(),
                kind,
                now,
                behind: None,
                with: None,
                rules: rules(loaded, given),
            };
            let other = other_curve(loaded, given).map(|change| Dial {
                with: Some(change),
                ..dial.clone()
            });
            all.extend([dial].into_iter().chain(other));
        }
    }
    all.extend(one_tank(loaded));
    all
}

/// The other curve that a valve may have, where its own needs no table.
fn other_curve(loaded: &Loaded, given: &Given) -> Option<Change> {
    let key = (given.key == VALVE).then(|| given.path.replace(VALVE, CURVE))?;
    let from = loaded.written(&key)?.trim_matches('"').to_owned();
    let place = CURVES.iter().position(|curve| *curve == from)?;
    Some(Change {
        key,
        from,
        to: CURVES[1 - place].to_owned(),
        quoted: true,
    })
}

/// The number of tanks, where the file leaves it out.
fn one_tank(loaded: &Loaded) -> Option<Dial<'_>> {
    let (path, beside) = ("tank.number", "tank.volume");
    if loaded.written(path).is_some() {
        return None;
    }
    let given = Given {
        table: "tank".to_owned(),
        key: COUNT,
        path: path.to_owned(),
        values: vec![1.0],
    };
    Some(Dial {
        rules: rules(loaded, &given),
        given,
        kind: Kind::Ratio,
        now: Written::as_text(path, "1")?,
        behind: Some((beside, loaded.written(beside)?)),
        with: None,
    })
}

/// Rules that a size or setting can move: those that name it as a lever, for a tank any of its sizes, and those on what
/// the supply gives.
fn rules(loaded: &Loaded, given: &Given) -> Vec<&'static Rule> {
    let moves = |rule: &&&'static Rule| {
        let mut levers = rule.levers.iter();
        rule.group == Group::Supply
            || levers.any(|lever| {
                let of_tank = given.table == "tank" && lever.table_and_key().0 == "tank";
                let mut keys = lever.keys(&loaded.rig, &[]).into_iter();
                of_tank || keys.any(|g| g.path == given.path)
            })
    };
    RULES.iter().filter(moves).copied().collect()
}

impl Dial<'_> {
    fn is_count(&self) -> bool {
        self.given.key == COUNT
    }

    fn changes(&self, factor: f64) -> Vec<Change> {
        let own = self.now.to(self.now.number * factor, DIGITS);
        let own = match self.behind {
            Some((key, written)) => Change {
                key: key.to_owned(),
                from: written.to_owned(),
                to: format!("{written}\n{} = {}", self.given.key, own.to),
                quoted: false,
            },
            None => own,
        };
        self.with.iter().cloned().chain([own]).collect()
    }

    /// What rules find with a value.
    fn tried(&self, search: &Search<'_>, before: &Audited, factor: f64) -> Tried {
        let changed = search.changed(&before.loaded, &self.changes(factor));
        let after = changed
            .and_then(|l| search.audited(l))
            .map(|after| after.audit);
        let raises = after
            .iter()
            .flat_map(|after| new_in(after, &before.audit).filter(|f| is_grave(f)));
        let raises = raises.map(|f| f.id).collect();
        let found = after.map(|after| {
            let moved = |id: &str| self.rules.iter().any(|rule| rule.id == id);
            // the gravest stands first, so that it is put in last
            let own = after.findings.iter().rev().filter(|f| moved(f.id));
            own.map(|f| (f.id, f.signal)).collect()
        });
        Tried {
            factor,
            found,
            raises,
        }
    }
}

/// Least and most factor that would do; an end that was not found is left out.
type Ends = (Option<f64>, Option<f64>);

fn range(search: &Search<'_>, before: &Audited, dial: &Dial<'_>) -> Range {
    let look = |factor: f64| dial.tried(search, before, factor);
    let all: Vec<Tried> = if dial.is_count() {
        let counts = (1..=MOST_COUNT).map(|n| f64::from(n) / dial.now.number);
        counts.map(look).collect()
    } else {
        let step = FARTHEST / f64::from(STEPS);
        let steps = (-STEPS..=STEPS).map(|i| (step * f64::from(i)).exp());
        steps.map(look).collect()
    };
    // what finds something whatever the value is not moved by it; where no value does, the mildest gives way
    let ids = |t: &Tried| t.found.iter().flat_map(BTreeMap::keys).copied().collect();
    let solved = || all.iter().filter(|t| t.found.is_some());
    let stays = solved().map(ids).reduce(|a: BTreeSet<&str>, b| &a & &b);
    let mut gives_way = stays.unwrap_or_default();
    let possible = all.iter().filter_map(|t| Some((t.cost(&gives_way)?, t)));
    let mildest = possible.min_by(|a, b| a.0.cmp(&b.0).then(a.1.off().total_cmp(&b.1.off())));
    let nearest = || solved().min_by(|a, b| a.off().total_cmp(&b.off()));
    match mildest.map(|(_, t)| t) {
        Some(mildest) => gives_way.extend(ids(mildest)),
        None => gives_way.extend(nearest().iter().flat_map(|t| &t.raises)),
    }
    let does = |t: &Tried| t.cost(&gives_way) == Some(0);
    let close = |mut inside: f64, mut outside: f64| {
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
    let ends = nearest_stretch(&all, &does).map(|(from, to)| {
        let below = from.checked_sub(1).map(|i| all[i].factor);
        let above = all.get(to + 1).map(|t| t.factor);
        let least = below.map(|outside| close(all[from].factor, outside));
        (least, above.map(|outside| close(all[to].factor, outside)))
    });
    let own = all.iter().find(|t| t.off() < CLOSE);
    told(dial, ends, own.is_some_and(does), &gives_way)
}

/// First and last of the values next to each other that do: those around what the file has, else the nearest.
fn nearest_stretch(all: &[Tried], does: &dyn Fn(&Tried) -> bool) -> Option<(usize, usize)> {
    let doing = (0..all.len()).filter(|i| does(&all[*i]));
    let near = doing.min_by(|a, b| all[*a].off().total_cmp(&all[*b].off()))?;
    let run = |places: &mut dyn Iterator<Item = usize>| {
        places.take_while(|i| does(&all[*i])).last().unwrap_or(near)
    };
    Some((run(&mut (0..near).rev()), run(&mut (near..all.len()))))
}

/// A figure to some digits, up (1) or down (−1).
fn inward(x: f64, digits: usize, way: f64) -> String {
    /// Of the last digit: just not enough to move what is exact.
    const HALF: f64 = 0.499_999;
    #[allow(clippy::cast_precision_loss)] // some digits
    let last = 10_f64.powf(x.abs().log10().floor() - digits as f64 + 1.0);
    rounded(x + way * HALF * last, digits)
}

fn told(dial: &Dial<'_>, ends: Option<Ends>, does: bool, gives_way: &BTreeSet<&str>) -> Range {
    let (number, unit) = (dial.now.number, dial.now.unit);
    let digits = if dial.is_count() { DIGITS } else { TOLD_DIGITS };
    // inward, so that what is told would do; a count is as it is
    let exact = if dial.is_count() { 0.0 } else { 1.0 };
    let show = |factor: Option<f64>, way: f64| Some(inward(number * factor?, digits, exact * way));
    let words = |(least, most): Ends| {
        let one = most.filter(|_| dial.is_count()).map(|_| 1.0 / number);
        let (range, more) = match (show(least.or(one), 1.0), show(most, -1.0)) {
            (Some(least), Some(most)) if least == most => (least, ""),
            (Some(least), Some(most)) => (format!("{least} to {most}"), ""),
            (Some(least), None) => (least, " or more"),
            (None, Some(most)) => (most, " or less"),
            (None, None) => return "any that was tried".to_owned(),
        };
        format!("{range} {unit}").trim_end().to_owned() + more
    };
    let mut sold = sold(&dial.given.table, dial.given.key);
    sold.retain(|(p, x, of)| {
        let curve = p.values.get(CURVE).and_then(|c| c.as_str());
        let fits = dial.with.as_ref().zip(curve).is_none_or(|(w, c)| w.to == c);
        let inside = ends.is_some_and(|(least, most)| {
            least.is_none_or(|l| x / number >= l * (1.0 - CLOSE))
                && most.is_none_or(|m| x / number <= m * (1.0 + CLOSE))
        });
        *of == unit && fits && inside
    });
    let si = dial.given.values.first().copied().unwrap_or(number);
    Range {
        key: dial.given.path.clone(),
        with: dial.with.as_ref().map(|c| c.to.clone()),
        have: dial.now.text.to_owned(),
        does: dial.with.is_none() && does,
        would_do: ends.map(words),
        kind: dial.kind,
        least: ends.and_then(|e| e.0).map(|f| si * f),
        most: ends.and_then(|e| e.1).map(|f| si * f),
        catalogue: sold.iter().map(|(p, ..)| p.name.clone()).collect(),
        gives_way: gives_way.iter().map(|id| (*id).to_owned()).collect(),
    }
}
