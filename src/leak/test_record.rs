//! Leak tests on record: which parts each was made of, and what it had to reach.

use super::sections::closes;
use super::test_zone::{ZoneTest, test_pressure};
use super::zones::{Volumes, Zone, stretch, weakest};
use crate::quantity::{AbsolutePressure, Length, metres, pascals_absolute};
use crate::train::rig::{LeakTest, Rig, TestMethod};
use crate::train::ways::RestPressure;
use crate::train::{Part, PartKind, Train};

/// Share of a pressure that rounding of a file written in other units takes.
const HAIR: f64 = 1e-3;

/// A record, and where it belongs.
#[derive(Debug, Clone, PartialEq)]
pub struct Placed {
    /// As it was read.
    pub test: LeakTest,
    /// What was tested, in words.
    pub label: String,
    /// Parts that were under test.
    pub parts: Vec<String>,
    /// Why the record belongs to no part of this train: what it was made of has been changed.
    pub nowhere: Option<String>,
    /// The record does not say where: it is taken to be of the zone that its pressure fits.
    pub guessed: bool,
    /// Highest pressure with the flow stopped of the zones it touches, on the hottest day.
    pub working: AbsolutePressure,
    /// Test pressure that the plan asks of them.
    pub planned: Option<AbsolutePressure>,
    /// Pressure that it had to reach: of soap that of the work on any day, else the highest of the work.
    pub least: AbsolutePressure,
    /// What the parts hold.
    pub volumes: Volumes,
    /// Widest bore.
    pub bore: Length,
    /// Part with the lowest rating.
    pub weakest: Option<(String, AbsolutePressure)>,
}

impl Placed {
    /// Whether every part of a zone that a test has to reach was under this one.
    pub fn covers(&self, zone: &Zone) -> bool {
        !zone.parts.is_empty() && zone.parts.iter().all(|p| self.parts.contains(p))
    }

    /// Relief valves that open below the pressure of the test: out or plugged then, and in and free before any fuel.
    pub fn plugged<'r>(&self, rig: &'r Rig) -> Vec<&'r str> {
        let (air, pressure) = (rig.site.air_pressure, self.test.pressure.pascals());
        let opens = |part: &&Part| matches!(&part.kind, PartKind::ReliefValve(r) if r.set_pressure.gauge(air).pascals() < pressure);
        let inside = self.parts.iter().filter_map(|name| rig.train.part(name));
        inside.filter(opens).map(|p| p.name.as_str()).collect()
    }

    /// Whether the pressure of the test stays below another.
    pub fn short_of(&self, least: AbsolutePressure, rig: &Rig) -> bool {
        let least_pa = least.gauge(rig.site.air_pressure).pascals();
        self.test.pressure.pascals() < least_pa * (1.0 - HAIR)
    }

    /// Whether both temperatures were read, by which a fall is corrected.
    pub fn temperatures_read(&self) -> bool {
        self.test.start_temperature.is_some() && self.test.end_temperature.is_some()
    }

    /// Whether soap was put on the joints, and nothing was held.
    pub fn soaped(&self) -> bool {
        matches!(self.test.method, TestMethod::Soap { .. })
    }
}

/// Parts of a zone that a test has to reach: at the supply those behind the valve that closes it off, whose own
/// joints are soaped whenever the cylinder is changed.
pub fn to_be_tested<'z>(train: &Train, zone: &'z Zone) -> &'z [String] {
    let valve = |name: &String| {
        let part = train.part(name);
        part.is_some_and(|p| closes(p) && p.kind.valve().is_some())
    };
    let first = zone.parts.iter().position(valve);
    match first.filter(|_| zone.behind.is_none()) {
        Some(i) => &zone.parts[i + 1..],
        None => &zone.parts,
    }
}

/// Every record with the parts it covers.
///
/// A record that names its ends is of the parts between them. One that does not is taken to be of a zone: of those
/// whose working pressure it reaches the one whose test pressure it is nearest to; of those that are as near the one
/// whose volume is nearest, and of those the last.
pub(super) fn placed(rig: &Rig, rest: &[RestPressure<'_>], zones: &[ZoneTest]) -> Vec<Placed> {
    let mut taken: Vec<usize> = Vec::new();
    let mut all = Vec::new();
    for test in &rig.leak_tests {
        let (from, to) = (test.from.as_deref(), test.to.as_deref());
        let named = from.is_some() || to.is_some();
        let guess = if named {
            None
        } else {
            nearest(rig, test, zones, &taken)
        };
        taken.extend(guess);
        let zone = guess.map(|i| &zones[i].zone);
        let parts = match zone {
            Some(zone) => zone
                .parts
                .iter()
                .filter_map(|n| rig.train.part(n))
                .collect(),
            None => stretch(&rig.train, from, to),
        };
        let behind = from.or(zone.and_then(|z| z.behind.as_deref()));
        let label = zone.map_or_else(|| between(test, &parts), Zone::label);
        let found = place(rig, rest, zones, test, &parts, behind);
        let placed = found.unwrap_or_else(|| lost(rig, test));
        all.push(Placed {
            label,
            guessed: guess.is_some() && zones.len() > 1,
            ..placed
        });
    }
    all
}

/// A record whose ends this train has not, or the other way round.
fn lost(rig: &Rig, test: &LeakTest) -> Placed {
    let ends = [&test.from, &test.to].into_iter().flatten();
    let missing = ends.clone().find(|name| rig.train.part(name).is_none());
    let names: Vec<&str> = ends.map(String::as_str).collect();
    let why = match (missing, &names[..]) {
        (Some(name), _) => format!("the train has no part `{name}`"),
        (None, [from, to]) => format!("`{to}` does not stand behind `{from}`"),
        (None, _) => "no part stands there".to_owned(),
    };
    let air = rig.site.air_pressure;
    Placed {
        test: test.clone(),
        label: String::new(),
        parts: Vec::new(),
        nowhere: Some(why),
        guessed: false,
        working: air,
        planned: None,
        least: air,
        volumes: Volumes::default(),
        bore: metres(0.0),
        weakest: None,
    }
}

/// A stretch in words.
fn between(test: &LeakTest, parts: &[&Part]) -> String {
    let to = test.to.as_deref().or(parts.last().map(|p| p.name.as_str()));
    let from = test.from.as_deref().unwrap_or("supply");
    format!("{from} to {}", to.unwrap_or("holes"))
}

/// The zone that a record fits which does not name its ends.
fn nearest(rig: &Rig, test: &LeakTest, zones: &[ZoneTest], taken: &[usize]) -> Option<usize> {
    const ALIKE: f64 = 1e-3;
    let air = rig.site.air_pressure;
    let off = |a: f64, b: f64| (a / b).ln().abs();
    let p_pa = test.pressure.pascals();
    let rank = |i: usize| {
        let zone = &zones[i];
        let reached = p_pa * (1.0 + 1e-9) >= zone.working.gauge(air).pascals();
        let wanted = zone.pressure.unwrap_or(zone.working).gauge(air).pascals();
        let pressure = off(p_pa, wanted.max(1.0));
        let volume = test.volume.map_or(0.0, |v| {
            let own = zone.zone.volumes.known.value;
            if own > 0.0 {
                off(v.value, own)
            } else {
                f64::INFINITY
            }
        });
        (
            taken.contains(&i),
            !reached,
            (pressure / ALIKE).round(),
            volume,
        )
    };
    let later = (0..zones.len()).rev();
    later.min_by(|a, b| {
        let (a, b) = (rank(*a), rank(*b));
        let first = (a.0, a.1).cmp(&(b.0, b.1));
        first.then(a.2.total_cmp(&b.2)).then(a.3.total_cmp(&b.3))
    })
}

fn place(
    rig: &Rig,
    rest: &[RestPressure<'_>],
    zones: &[ZoneTest],
    test: &LeakTest,
    parts: &[&Part],
    behind: Option<&str>,
) -> Option<Placed> {
    let touched: Vec<&ZoneTest> = zones
        .iter()
        .filter(|z| parts.iter().any(|p| z.zone.parts.contains(&p.name)))
        .collect();
    let highest = |p: &dyn Fn(&ZoneTest) -> AbsolutePressure| {
        touched
            .iter()
            .map(|z| p(z).pascals())
            .reduce(f64::max)
            .map(pascals_absolute)
    };
    let working = highest(&|z| z.working)?;
    let soap = matches!(test.method, TestMethod::Soap { .. });
    let air = rig.site.air_pressure;
    let weakest = weakest(parts, air).map(|(name, p, _)| (name, p));
    Some(Placed {
        test: test.clone(),
        label: String::new(),
        parts: parts.iter().map(|p| p.name.clone()).collect(),
        nowhere: None,
        guessed: false,
        working,
        planned: test_pressure(air, working, weakest.as_ref().map(|w| w.1)),
        least: if soap {
            highest(&|z| z.soap_least)?
        } else {
            working
        },
        volumes: Volumes::of(&rig.train, rest, behind, parts),
        bore: metres(
            parts
                .iter()
                .filter_map(|p| p.kind.bore())
                .map(|b| b.value)
                .fold(0.0, f64::max),
        ),
        weakest,
    })
}
