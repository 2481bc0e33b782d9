//! What a size or setting can be changed to: drills and tube that can be bought, sizes of preferred numbers, settings in
//! round steps.

use crate::audit::lever::TARGETS;
use crate::audit::usual::Usual;
use crate::injector::drills::{DrillSeries, HoleTolerance, drills, hole_diameters};
use crate::input::Loaded;
use crate::mass::tube_sizes::tube_sizes;
use crate::quantity::parse::number_and_unit;
use crate::quantity::show::rounded;
use crate::quantity::{Ratio, metres};
use crate::report::remedies::Change;
use crate::train::catalogue::{generic_part, generic_parts};
use crate::train::rig::{Given, Rig};

/// One step away from what is written: the keys that change, and how far that is.
#[derive(Debug, Clone)]
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
/// Digits of a value that is written.
const DIGITS: usize = 3;
/// Bands of what has none in the file. Our choice: what a regulator holds, what a data sheet means.
const SET_BAND: f64 = 0.03;
const COEFFICIENT_BAND: f64 = 0.10;
const AIR_BAND: f64 = 0.05;
/// Kelvin that count as much as twice the value does elsewhere.
const KELVIN_AS_FACTOR: f64 = 50.0;

/// The steps of a key one way, the nearest first; none where the file does not write it, or writes no number.
#[allow(clippy::too_many_lines, reason = "one list")]
pub fn rungs(loaded: &Loaded, given: &Given, upward: bool) -> Vec<Rung> {
    let Some(written) = loaded.written(&given.path) else {
        return of_catalogue(loaded, given, upward);
    };
    let quoted = written.starts_with('"');
    let text = written.trim_matches('"');
    let Some((x, unit)) = number_and_unit(text) else {
        return Vec::new();
    };
    let change = |to: f64, digits: usize| {
        let number = rounded(to, digits);
        let to = if unit.is_empty() {
            number
        } else {
            format!("{number} {unit}")
        };
        Change {
            key: given.path.clone(),
            from: text.to_owned(),
            to,
            quoted,
        }
    };
    let warm = matches!(unit, "degC" | "K" | "degF" | "°C" | "°F");
    let target = TARGETS.contains(&given.key);
    let rung = |to: f64, also: Option<Change>| {
        let size = match () {
            () if warm => (to - x).abs() / KELVIN_AS_FACTOR,
            () if x == 0.0 || to == 0.0 => 1.0 + (to - x).abs().ln_1p(),
            () => (to / x).ln().abs(),
        };
        let band = band(given, &loaded.rig, upward, to, x);
        // with every digit: it is tried, and never written
        let back = (band > 0.0 && !warm).then(|| {
            let nearer = if upward {
                to * (1.0 - band)
            } else {
                to * (1.0 + band)
            };
            [Some(change(nearer, 9)), also.clone()]
                .into_iter()
                .flatten()
                .collect()
        });
        let digits = if given.key == "hole_diameter" {
            DIGITS + 1
        } else {
            DIGITS
        };
        let changes = [Some(change(to, digits)), also]
            .into_iter()
            .flatten()
            .collect();
        Rung {
            changes,
            back,
            size,
            target,
            two: false,
        }
    };
    let beyond = |to: &f64| if upward { *to > x } else { *to < x };
    if given.key == "bore" && given.table == "tube" {
        let tubes = tubes(loaded, given, upward);
        return tubes.into_iter().map(|(to, also)| rung(to, also)).collect();
    }
    let mut values: Vec<f64> = match given.key {
        "hole_diameter" => {
            let per_si = x / given.values[0];
            let inches = unit.starts_with("in");
            let sold = drills()
                .iter()
                .filter(|d| (d.series == DrillSeries::Metric) != inches);
            sold.map(|d| d.diameter.value * per_si).collect()
        }
        "extinguisher_charge" if unit == "kg" => EXTINGUISHERS_KG.to_vec(),
        "gauge_range" => series(&R5, x),
        "flow_coefficient" if given.table == "metering-valve" => series(&R5, x),
        "flow_coefficient" | "wide_open" | "bore" => series(&R10, x),
        key if COUNTS.contains(&key) => counts(x),
        _ if warm => (1..=30)
            .map(|i| x + 5.0 * f64::from(if upward { i } else { -i }))
            .collect(),
        _ if x == 0.0 => series(&ROUND, 30.0),
        _ => round_steps(x, upward),
    };
    values.retain(beyond);
    values.sort_by(|a, b| {
        if upward {
            a.total_cmp(b)
        } else {
            b.total_cmp(a)
        }
    });
    values.dedup();
    let usual = Usual::of(given);
    let far = |to: &f64| {
        if x == 0.0 || warm || unit.contains("(a") {
            return true;
        }
        let usual = usual.is_none_or(|u| !u.is_outside(given.values[0] * to / x));
        usual && (to / x).ln().abs() <= FARTHEST.ln()
    };
    values
        .into_iter()
        .filter(far)
        .map(|to| rung(to, None))
        .collect()
}

impl Rung {
    /// This and then another: of a key that both change the last value stands.
    pub fn and(&self, other: &Self) -> Self {
        let both = |a: &[Change], b: &[Change]| {
            let mut all = a.to_vec();
            for change in b {
                match all.iter_mut().find(|made| made.key == change.key) {
                    Some(made) => made.to.clone_from(&change.to),
                    None => all.push(change.clone()),
                }
            }
            all
        };
        let back = self.back.as_ref().zip(other.back.as_ref());
        let changes = both(&self.changes, &other.changes);
        Self {
            two: changes.len() > self.changes.len(),
            changes,
            back: back.map(|(a, b)| both(a, b)),
            size: self.size + other.size,
            target: self.target || other.target,
        }
    }
}

/// Two keys moved together by as many steps: what two duties want.
pub fn side_by_side(a: &[Rung], b: &[Rung]) -> Vec<Rung> {
    a.iter().zip(b).map(|(a, b)| a.and(b)).collect()
}

/// A series of preferred numbers around a value, two decades down and up.
fn series(base: &[f64], x: f64) -> Vec<f64> {
    #[allow(clippy::cast_possible_truncation, reason = "a decade")]
    let decade = x.abs().log10().floor() as i32;
    let all = (decade - 2..=decade + 2).flat_map(|k| base.iter().map(move |b| b * 10f64.powi(k)));
    all.collect()
}

fn counts(x: f64) -> Vec<f64> {
    let near = (0..=40).map(|i| x - 20.0 + f64::from(i));
    let far = (1..=40).map(|i| (x * 1.1f64.powi(i)).round());
    near.chain(far).filter(|n| *n >= 0.0).collect()
}

/// Round settings at steps of 2 to 5 %.
fn round_steps(x: f64, upward: bool) -> Vec<f64> {
    let mut values = Vec::new();
    let mut now = x;
    while (now / x).ln().abs() < FARTHEST.ln() {
        let most = now.abs() / 20.0 * (1.0 + 1e-9);
        let decade = 10f64.powf(most.log10().floor());
        let step = [5.0, 2.0, 1.0]
            .into_iter()
            .map(|s| s * decade)
            .find(|s| *s <= most);
        let step = step.unwrap_or(decade);
        now = if upward {
            (now / step + 1e-6).floor() + 1.0
        } else {
            (now / step - 1e-6).ceil() - 1.0
        } * step;
        values.push(now);
    }
    values
}

/// Tube of the same metal, its bore as the file writes it, with the outside diameter where the file gives that too.
fn tubes(loaded: &Loaded, given: &Given, upward: bool) -> Vec<(f64, Option<Change>)> {
    let beside = given.path.replace(".bore", ".outside_diameter");
    let number = |path: &str| number_and_unit(loaded.written(path)?.trim_matches('"'));
    let Some((x, unit)) = number(&given.path) else {
        return Vec::new();
    };
    let inches = unit.starts_with("in");
    let per_si = x / given.values[0];
    let part = loaded
        .rig
        .train
        .parts()
        .into_iter()
        .find(|p| given.path == format!("train.{}.bore", p.name));
    let wetted = part.map_or(&[][..], |p| &p.wetted);
    let outside = loaded.rig.given(&beside);
    // no thicker than is sold, whatever the file says of an odd bore
    let wall = outside.map_or(0.0, |d| ((d - given.values[0]) / 2.0).min(THICKEST_M));
    let mut sold: Vec<(f64, f64)> = tube_sizes()
        .into_iter()
        .filter(|t| wetted.is_empty() || wetted.contains(&t.metal))
        .filter(|t| t.name.contains(" in") == inches && t.wall.value > wall * 0.99)
        .map(|t| (t.bore().value, t.outside.value))
        .filter(|(bore, _)| {
            if upward {
                *bore > given.values[0] * 1.001
            } else {
                *bore < given.values[0] * 0.999
            }
        })
        .collect();
    sold.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    sold.dedup_by(|a, b| (a.0 - b.0).abs() < 1e-6);
    if !upward {
        sold.reverse();
    }
    let with_outside = |outside_m: f64| {
        let written = loaded.written(&beside)?;
        let (x, unit) = number(&beside)?;
        let per_si = x / loaded.rig.given(&beside)?;
        Some(Change {
            key: beside.clone(),
            from: written.trim_matches('"').to_owned(),
            to: format!("{} {unit}", rounded(outside_m * per_si, DIGITS)),
            quoted: true,
        })
    };
    sold.into_iter()
        .map(|(bore, d)| (bore * per_si, with_outside(d)))
        .collect()
}

/// Parts of the catalogue of the same family, for a key that comes from it.
fn of_catalogue(loaded: &Loaded, given: &Given, upward: bool) -> Vec<Rung> {
    let Some((part, _)) = given.path.rsplit_once('.') else {
        return Vec::new();
    };
    let key = format!("{part}.catalogue");
    let Some(now) = loaded
        .written(&key)
        .and_then(|w| generic_part(w.trim_matches('"')))
    else {
        return Vec::new();
    };
    let family = |name: &str| name.replace(|c: char| c.is_ascii_digit() || c == '.', "");
    let value = |p: &crate::train::catalogue::GenericPart| {
        Some(number_and_unit(p.values.get(given.key)?.as_str()?)?.0)
    };
    let Some(x) = value(now) else {
        return Vec::new();
    };
    let same = generic_parts()
        .iter()
        .filter(|p| p.kind == now.kind && family(&p.name) == family(&now.name));
    let mut found: Vec<(f64, Rung)> = same
        .filter_map(|p| Some((value(p)?, p)))
        .filter(|(v, _)| if upward { *v > x } else { *v < x })
        .map(|(v, p)| {
            let change = Change {
                key: key.clone(),
                from: now.name.clone(),
                to: p.name.clone(),
                quoted: true,
            };
            let size = (v / x).ln().abs();
            (
                size,
                Rung {
                    changes: vec![change],
                    back: None,
                    size,
                    target: false,
                    two: false,
                },
            )
        })
        .collect();
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    found.into_iter().map(|(_, rung)| rung).collect()
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
        let up: Vec<String> = round_steps(37.0, true)
            .iter()
            .take(5)
            .map(|x| rounded(*x, DIGITS))
            .collect();
        assert_eq!(up, ["38", "39", "40", "42", "44"]);
        let down: Vec<String> = round_steps(0.93, false)
            .iter()
            .take(4)
            .map(|x| rounded(*x, DIGITS))
            .collect();
        assert_eq!(down, ["0.92", "0.9", "0.88", "0.86"]);
        let all = round_steps(2.5, true);
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
