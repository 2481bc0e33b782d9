//! What a size or setting can be changed to: drills and tube that can be bought, sizes of preferred numbers, settings in
//! round steps.

use crate::audit::Lever;
use crate::audit::lever::TARGETS;
use crate::audit::usual::Usual;
use crate::injector::drills::{DrillSeries, HoleTolerance, drills, hole_diameters};
use crate::input::Loaded;
use crate::mass::tube_sizes::{TubeSize, tube_sizes};
use crate::quantity::parse::number_and_unit;
use crate::quantity::show::rounded;
use crate::quantity::{Ratio, metres};
use crate::report::remedies::Change;
use crate::train::catalogue::{GenericPart, generic_part, generic_parts};
use crate::train::rig::{Given, Rig};

/// One step away from what is written: the keys that change, and how far that is.
#[derive(Debug, Clone, Default)]
pub struct Rung {
    /// What changes: one key, or two that are bought as one, as bore and outside diameter.
    pub changes: Vec<Change>,
    /// The same, back towards what was there by the band of the size or setting; `None` where it has none.
    pub back: Option<Vec<Change>>,
    /// How far it is: the logarithm of the ratio.
    pub size: f64,
    /// Whether it changes what a duty is for.
    pub target: bool,
    /// Whether two levers are moved together.
    pub two: bool,
}

/// How much farther a change of what a duty is for counts than one of the rig: as twice as much.
const TARGET: f64 = std::f64::consts::LN_2;
/// Preferred numbers, every second: gauges, metering valves. **Source:** ISO 3, from memory.
const R5: [f64; 5] = [1.0, 1.6, 2.5, 4.0, 6.0];
/// Preferred numbers: valves, hoses, seats. **Source:** ISO 3, from memory.
const R10: [f64; 10] = [1.0, 1.25, 1.6, 2.0, 2.5, 3.15, 4.0, 5.0, 6.3, 8.0];
/// Round figures, for what begins at nothing.
const ROUND: [f64; 12] = [1.0, 1.2, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0];
/// Extinguishers, kg. **Source:** common practice, no source.
const EXTINGUISHERS_KG: [f64; 7] = [1.0, 2.0, 3.0, 4.0, 6.0, 9.0, 12.0];
/// Keys that are counts.
const COUNTS: [&str; 5] = ["holes", "number", "repeats", "retries", "steps"];
/// Most that a value is multiplied or divided by.
const FARTHEST: f64 = 100.0;
/// Wall that is asked for at most where a tube is changed, m: what small fuel lines have.
const THICKEST_M: f64 = 1e-3;
/// Digits of a value that is written, and of one that is tried alone.
const DIGITS: usize = 3;
const EVERY_DIGIT: usize = 9;
/// Bands of what has none in the file. Our choice: what a regulator holds, what a data sheet means.
const SET_BAND: f64 = 0.03;
const COEFFICIENT_BAND: f64 = 0.10;
const AIR_BAND: f64 = 0.05;
/// Kelvin that count as much as twice the value does elsewhere.
const KELVIN_AS_FACTOR: f64 = 50.0;

/// A number as the file writes it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Written<'a> {
    key: &'a str,
    /// As it stands between the quotes.
    pub(super) text: &'a str,
    quoted: bool,
    pub(super) number: f64,
    pub(super) unit: &'a str,
}

impl<'a> Written<'a> {
    /// What the file writes at a key; `None` where it leaves it out, or writes no number.
    pub(super) fn of(loaded: &'a Loaded, key: &'a str) -> Option<Self> {
        Self::as_text(key, loaded.written(key)?)
    }

    pub(super) fn as_text(key: &'a str, written: &'a str) -> Option<Self> {
        let text = written.trim_matches('"');
        let (number, unit) = number_and_unit(text)?;
        Some(Self {
            key,
            text,
            quoted: written.starts_with('"'),
            number,
            unit,
        })
    }

    /// Another number in its place.
    pub(super) fn to(&self, number: f64, digits: usize) -> Change {
        let to = format!("{} {}", rounded(number, digits), self.unit);
        Change {
            key: self.key.to_owned(),
            from: self.text.to_owned(),
            to: to.trim_end().to_owned(),
            quoted: self.quoted,
        }
    }
}

/// The steps of every key that a rule's levers stand for, each way; and of two keys together where one stands for two.
pub(super) fn ladders(loaded: &Loaded, levers: &[Lever], places: &[String]) -> Vec<Vec<Rung>> {
    let mut all = Vec::new();
    for lever in levers {
        let keys = lever.keys(&loaded.rig, places);
        for upward in lever.way.upward() {
            let ladders = keys.iter().map(|given| rungs(loaded, given, *upward));
            let ladders: Vec<Vec<Rung>> = ladders.collect();
            if let [a, b] = &ladders[..] {
                all.push(a.iter().zip(b).map(|(a, b)| a.and(b)).collect());
            }
            all.extend(ladders);
        }
    }
    all.retain(|ladder| !ladder.is_empty());
    all
}

/// The steps of a key one way, the nearest first; none where the file does not write it, or writes no number.
fn rungs(loaded: &Loaded, given: &Given, upward: bool) -> Vec<Rung> {
    let Some(now) = Written::of(loaded, &given.path) else {
        return of_catalogue(loaded, given, upward).unwrap_or_default();
    };
    let x = now.number;
    let warm = matches!(now.unit, "degC" | "K" | "degF" | "°C" | "°F");
    let way = if upward { 1.0 } else { -1.0 };
    let tube = given.key == "bore" && given.table == "tube";
    let mut steps = if tube {
        tubes(loaded, given, now)
    } else {
        let values = values(given, now, way, warm).into_iter();
        values.map(|to| (to, None)).collect()
    };
    let usual = Usual::of(given);
    let near = |to: f64| {
        let usual = usual.is_none_or(|u| !u.is_outside(given.values[0] * to / x));
        x == 0.0 || warm || now.unit.contains("(a") || usual && (to / x).ln().abs() <= FARTHEST.ln()
    };
    steps.retain(|(to, _)| way * (to - x) > 0.0 && near(*to));
    steps.sort_by(|a, b| (way * a.0).total_cmp(&(way * b.0)));
    steps.dedup_by(|a, b| (a.0 - b.0).abs() <= 1e-4 * b.0.abs());
    let digits = DIGITS + usize::from(given.key == "hole_diameter");
    let rung = |(to, also): (f64, Option<Change>)| {
        let band = band(given, &loaded.rig, upward, to, x);
        // with every digit: it is tried, and never written
        let back = now.to(to * (1.0 - way * band), EVERY_DIGIT);
        let with = |own: Change| [own].into_iter().chain(also.clone()).collect();
        Rung {
            back: (band > 0.0 && !warm).then(|| with(back)),
            changes: with(now.to(to, digits)),
            size: match () {
                () if warm => (to - x).abs() / KELVIN_AS_FACTOR,
                () if x == 0.0 || to == 0.0 => 1.0 + (to - x).abs().ln_1p(),
                () => (to / x).ln().abs(),
            },
            target: TARGETS.contains(&given.key),
            two: false,
        }
    };
    steps.into_iter().map(rung).collect()
}

/// Values that a key may have, both ways and in no order.
fn values(given: &Given, now: Written<'_>, way: f64, warm: bool) -> Vec<f64> {
    let x = now.number;
    match given.key {
        "hole_diameter" => {
            let per_si = x / given.values[0];
            let metric = !now.unit.starts_with("in");
            let sold = drills()
                .iter()
                .filter(|d| (d.series == DrillSeries::Metric) == metric);
            sold.map(|d| d.diameter.value * per_si).collect()
        }
        "extinguisher_charge" if now.unit == "kg" => EXTINGUISHERS_KG.to_vec(),
        "gauge_range" => series(&R5, x),
        "flow_coefficient" if given.table == "metering-valve" => series(&R5, x),
        "flow_coefficient" | "wide_open" | "bore" => series(&R10, x),
        key if COUNTS.contains(&key) => {
            let near = (0..=40).map(|i| x - 20.0 + f64::from(i));
            let far = (1..=40).map(|i| (x * 1.1f64.powi(i)).round());
            near.chain(far).filter(|n| *n >= 0.0).collect()
        }
        _ if warm => (1..=30).map(|i| x + way * 5.0 * f64::from(i)).collect(),
        _ if x == 0.0 => series(&ROUND, 30.0),
        _ => round_steps(x, way),
    }
}

impl Rung {
    /// How far it counts.
    pub fn size(&self) -> f64 {
        self.size + if self.target { TARGET } else { 0.0 }
    }

    /// This and then another.
    pub fn and(&self, other: &Self) -> Self {
        let changes = merged(&self.changes, &other.changes);
        let back = self.back.as_ref().zip(other.back.as_ref());
        Self {
            two: changes.len() > self.changes.len(),
            changes,
            back: back.map(|(a, b)| merged(a, b)),
            size: self.size + other.size,
            target: self.target || other.target,
        }
    }
}

/// Changes and then others: of a key that both change the last value stands.
pub(super) fn merged(first: &[Change], then: &[Change]) -> Vec<Change> {
    let mut all = first.to_vec();
    for change in then {
        match all.iter_mut().find(|made| made.key == change.key) {
            Some(made) => made.to.clone_from(&change.to),
            None => all.push(change.clone()),
        }
    }
    all
}

/// A series of preferred numbers around a value, two decades down and up.
fn series(base: &[f64], x: f64) -> Vec<f64> {
    let decade = x.abs().log10().floor();
    let decades = (-2..=2).map(|k| 10f64.powf(decade + f64::from(k)));
    decades
        .flat_map(|ten| base.iter().map(move |b| b * ten))
        .collect()
}

/// Round settings at steps of 2 to 5 %.
fn round_steps(x: f64, way: f64) -> Vec<f64> {
    let mut values = Vec::new();
    let mut now = x;
    while (now / x).ln().abs() < FARTHEST.ln() {
        let most = now.abs() / 20.0 * (1.0 + 1e-9);
        let decade = 10f64.powf(most.log10().floor());
        let steps = [5.0, 2.0, 1.0].map(|s| s * decade);
        let step = steps.into_iter().find(|s| *s <= most).unwrap_or(decade);
        // the next multiple of the step that way
        now = way * ((way * now / step + 1e-6).floor() + 1.0) * step;
        values.push(now);
    }
    values
}

/// Tube of the same metal, its bore as the file writes it, with the outside diameter where the file gives that too.
fn tubes(loaded: &Loaded, given: &Given, now: Written<'_>) -> Vec<(f64, Option<Change>)> {
    let beside = given.path.replace(".bore", ".outside_diameter");
    let (bore_m, outside_m) = (given.values[0], loaded.rig.given(&beside));
    let mut parts = loaded.rig.train.parts().into_iter();
    let part = parts.find(|p| given.path == format!("train.{}.bore", p.name));
    let wetted = part.map_or(&[][..], |p| &p.wetted);
    let inches = now.unit.starts_with("in");
    // no thicker than is sold, whatever the file says of an odd bore
    let wall_m = outside_m.map_or(0.0, |d| ((d - bore_m) / 2.0).min(THICKEST_M));
    let mut sold = tube_sizes();
    sold.retain(|t| {
        let fits = wetted.is_empty() || wetted.contains(&t.metal);
        let other = (t.bore().value / bore_m - 1.0).abs() > 1e-3;
        fits && other && t.name.contains(" in") == inches && t.wall.value > wall_m * 0.99
    });
    // of one bore the thinnest
    sold.sort_by(|a, b| a.outside.value.total_cmp(&b.outside.value));
    let outside = Written::of(loaded, &beside).zip(outside_m);
    let also = |d_m: f64| outside.map(|(o, now_m)| o.to(d_m * o.number / now_m, DIGITS));
    let step = |t: &TubeSize| (t.bore().value * now.number / bore_m, also(t.outside.value));
    sold.iter().map(step).collect()
}

/// Parts of the catalogue of a kind with what they have of a key, as number and unit, the smallest first.
pub(super) fn sold(kind: &str, key: &str) -> Vec<(&'static GenericPart, f64, &'static str)> {
    let of_kind = generic_parts().iter().filter(|p| p.kind == kind);
    let mut sold: Vec<_> = of_kind
        .filter_map(|p| {
            let (x, unit) = number_and_unit(p.values.get(key)?.as_str()?)?;
            Some((p, x, unit))
        })
        .collect();
    sold.sort_by(|a, b| a.1.total_cmp(&b.1).then(a.0.name.cmp(&b.0.name)));
    sold
}

/// Parts of the catalogue of the same family, for a key that comes from it.
fn of_catalogue(loaded: &Loaded, given: &Given, upward: bool) -> Option<Vec<Rung>> {
    let key = format!("{}.catalogue", given.path.rsplit_once('.')?.0);
    let now = generic_part(loaded.written(&key)?.trim_matches('"'))?;
    let family = |name: &str| name.replace(|c: char| c.is_ascii_digit() || c == '.', "");
    let mut same = sold(&now.kind, given.key);
    same.retain(|(p, ..)| family(&p.name) == family(&now.name));
    let x = same.iter().find(|(p, ..)| p.name == now.name)?.1;
    same.retain(|(_, to, _)| if upward { *to > x } else { *to < x });
    let rung = |(p, to, _): (&GenericPart, f64, &str)| Rung {
        changes: vec![Change {
            key: key.clone(),
            from: now.name.clone(),
            to: p.name.clone(),
            quoted: true,
        }],
        size: (to / x).ln().abs(),
        ..Rung::default()
    };
    let mut rungs: Vec<Rung> = same.into_iter().map(rung).collect();
    rungs.sort_by(|a, b| a.size.total_cmp(&b.size));
    Some(rungs)
}

/// How far a size or setting may lie from what it is meant to be, back towards what is there now, relative: the band
/// that `[tolerance]` gives it, else the usual one; none for a count, a distance or a time, which are as they are read.
fn band(given: &Given, rig: &Rig, upward: bool, to: f64, x: f64) -> f64 {
    let bands = &rig.tolerances;
    let or = |band: Option<Ratio>, usual: f64| band.map_or(usual, |r| r.value);
    match given.key {
        "set_pressure" | "shut_off_pressure" | "outlet_pressure" => {
            or(bands.set_pressure, SET_BAND)
        }
        "injector_pressure" | "pressure" => or(bands.supply_pressure, SET_BAND),
        "flow_coefficient" | "wide_open" => or(bands.flow_coefficient, COEFFICIENT_BAND),
        "air_flow" | "flow" | "throttle" => or(bands.air_flow, AIR_BAND),
        key if TARGETS.contains(&key) => or(bands.air_flow, AIR_BAND),
        // a drilled hole is never under its drill
        "hole_diameter" if !upward => {
            let d = metres(given.values[0] * to / x);
            hole_diameters(d, HoleTolerance::H12)
                .map_or(0.0, |(_, most)| most.value / d.value - 1.0)
        }
        _ => 0.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn settings_go_in_round_steps_of_few_digits() {
        let up: Vec<String> = round_steps(37.0, 1.0)
            .iter()
            .take(5)
            .map(|x| rounded(*x, DIGITS))
            .collect();
        assert_eq!(up, ["38", "39", "40", "42", "44"]);
        let down: Vec<String> = round_steps(0.93, -1.0)
            .iter()
            .take(4)
            .map(|x| rounded(*x, DIGITS))
            .collect();
        assert_eq!(down, ["0.92", "0.9", "0.88", "0.86"]);
        let all = round_steps(2.5, 1.0);
        assert!(all.windows(2).all(|w| w[1] > w[0] && w[1] / w[0] < 1.06));
        // over a factor of a hundred, in steps of 2 % at least
        assert!(all.len() < 233, "{}", all.len());
    }

    #[test]
    fn sizes_are_preferred_numbers() {
        let near: Vec<String> = series(&R10, 0.8)
            .iter()
            .filter(|x| (0.7..3.0).contains(*x))
            .map(|x| rounded(*x, 3))
            .collect();
        assert_eq!(near, ["0.8", "1", "1.25", "1.6", "2", "2.5"]);
    }
}
