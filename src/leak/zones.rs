//! Pressure zones of a train: what stands under one pressure with the flow stopped, and is tested together.
//! A zone begins at the supply, a regulator or a pump.

use crate::quantity::{AbsolutePressure, Length, Volume, cubic_metres, metres, pascals_absolute};
use crate::train::shutoff::part_volume;
use crate::train::ways::{RestPressure, ways};
use crate::train::{End, JointKind, Part, PartKind, PumpCurve, Run, Train};
use std::f64::consts::PI;

/// Parts from a supply, regulator or pump to the next of them or the holes.
#[derive(Debug, Clone, PartialEq)]
pub struct Zone {
    /// Regulator or pump it lies behind; `None`: the supply.
    pub behind: Option<String>,
    /// Parts, in the order of the train; the regulators and pumps at its end included.
    pub parts: Vec<String>,
    /// Pressure with the flow stopped.
    pub at_rest: AbsolutePressure,
    /// Number of joints.
    pub joints: u32,
    /// What it holds.
    pub volumes: Volumes,
    /// Widest bore.
    pub bore: Length,
    /// Part with the lowest rating, or whose joints stand least; of a regulator at the end its inlet.
    pub weakest: Option<(String, AbsolutePressure)>,
    /// The joints that make it the weakest; `None`: its rating.
    pub weakest_joint: Option<JointKind>,
    /// Parts whose rating is not given.
    pub unrated: Vec<String>,
}

impl Zone {
    /// Where it is, for tables.
    pub fn label(&self) -> String {
        match (&self.behind, self.parts.last()) {
            (Some(part), _) => format!("behind {part}"),
            (None, Some(last)) => format!("supply to {last}"),
            (None, None) => "supply".to_owned(),
        }
    }
}

/// The zones of a train, from the supply on; those of parallel branches behind regulators of their own
/// each by itself. Zones without parts are left out. Behind a pump stands what it holds, or its shut-off head, or
/// what a relief valve there opens at if that is less than the head.
///
/// * `rest` — as [`crate::train::ways::at_rest`] gives
/// * `air` — pressure of the site, for joints that have a limit by gauge
///
/// **Valid:** regulators tight at lock-up. What the outlet side of a regulator stands is not given by its
/// rating: it counts in the zone before it only. **Source:** the tree of the parts; no published formula.
pub fn zones(train: &Train, rest: &[RestPressure<'_>], air: AbsolutePressure) -> Vec<Zone> {
    let supply = rest
        .first()
        .map_or(AbsolutePressure::from_pascals(0.0), |r| r.inlet);
    let mut walk = Walk {
        rest,
        zones: vec![empty(None, supply)],
    };
    let mut joined = 0;
    for source in &train.sources {
        let mut at = 0;
        for part in &source.parts {
            at = walk.pass(part, at);
        }
        joined = at;
    }
    walk.run(&train.run, joined);
    walk.zones.retain(|z| !z.parts.is_empty());
    for zone in &mut walk.zones {
        zone.at_rest = relieved(train, zone);
        let parts: Vec<&Part> = zone.parts.iter().filter_map(|n| train.part(n)).collect();
        zone.volumes = Volumes::of(train, rest, zone.behind.as_deref(), &parts);
        let weakest = weakest(&parts, air);
        zone.weakest_joint = weakest.as_ref().and_then(|w| w.2);
        zone.weakest = weakest.map(|(name, p, _)| (name, p));
    }
    walk.zones
}

/// Names of the parts behind the last valve of each way: open to the holes, so that no pressure stays on them.
pub fn behind_last_valve(train: &Train) -> Vec<&str> {
    let valve = |p: &&Part| p.kind.valve().is_some();
    let open = ways(train).into_iter().flat_map(|way| {
        let last = way.iter().rposition(valve).map_or(0, |i| i + 1);
        way.into_iter().skip(last).map(|p| p.name.as_str())
    });
    open.collect()
}

/// Part with the lowest rating of some, and the joints that make it so. A regulator stands at its inlet what it says of
/// that.
pub(super) fn weakest(
    parts: &[&Part],
    air: AbsolutePressure,
) -> Option<(String, AbsolutePressure, Option<JointKind>)> {
    let mut weakest: Option<(String, AbsolutePressure, Option<JointKind>)> = None;
    for part in parts {
        let of_joints = part.joints.iter().filter_map(|joint| {
            let most = pascals_absolute(air.pascals() + joint.kind.most_gauge_pa()?);
            Some((most, Some(joint.kind)))
        });
        let stands = part.rated().map(|(p, _)| (p, None));
        for (p, joint) in stands.into_iter().chain(of_joints) {
            if weakest.as_ref().is_none_or(|w| p < w.1) {
                weakest = Some((part.name.clone(), p, joint));
            }
        }
    }
    weakest
}

/// Pressure at rest of a zone: a relief valve holds the shut-off head of a pump that holds none itself.
fn relieved(train: &Train, zone: &Zone) -> AbsolutePressure {
    let by_curve = |part: &Part| matches!(&part.kind, PartKind::Pump(pump) if matches!(pump.curve, PumpCurve::Points(_)));
    let pump = zone.behind.as_ref().and_then(|name| train.part(name));
    if !pump.is_some_and(by_curve) {
        return zone.at_rest;
    }
    let parts = zone.parts.iter().filter_map(|name| train.part(name));
    let opens = parts.filter_map(|part| match &part.kind {
        PartKind::ReliefValve(relief) => Some(relief.set_pressure),
        _ => None,
    });
    opens.fold(zone.at_rest, |least, p| if p < least { p } else { least })
}

/// Parts behind one part up to another, in the order of the train; the last is among them, the first is not.
///
/// * `from` — `None`: the supply
/// * `to` — `None`: the next regulators or pumps, or the holes
///
/// Empty where no way leads from the one to the other.
pub fn stretch<'t>(train: &'t Train, from: Option<&str>, to: Option<&str>) -> Vec<&'t Part> {
    let mut found: Vec<&Part> = Vec::new();
    for way in ways(train) {
        let at = |name: &str| way.iter().position(|p| p.name == name);
        let begin = match from.map(at) {
            None => 0,
            Some(Some(i)) => i + 1,
            Some(None) => continue,
        };
        let behind = &way[begin..];
        let end = match to {
            Some(name) => behind.iter().position(|p| p.name == name),
            None => Some(
                behind
                    .iter()
                    .position(|p| p.sets_pressure())
                    .unwrap_or(behind.len()),
            ),
        };
        found.extend(end.map_or(&[][..], |end| &behind[..behind.len().min(end + 1)]));
    }
    let mut all = train.parts();
    all.retain(|p| found.iter().any(|f| f.name == p.name));
    all
}

/// Volume of parts that stand together. A regulator or pump counts with the zone behind it: its body is there.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Volumes {
    /// Sum of what the parts give.
    pub known: Volume,
    /// The same and what the others hold at most: thirty bores of length each, a regulator or pump 100 mL. Our choice: a
    /// filter bowl, a large valve.
    pub most: Volume,
    /// Parts whose volume is not known.
    pub unknown: Vec<String>,
}

/// Bores of length of a part whose volume is not known, at most.
const UNKNOWN_BORES: f64 = 30.0;
/// Volume of a regulator or pump that gives none, at most, m³.
const UNKNOWN_BODY_M3: f64 = 1e-4;
/// How far a stated volume may be from that of the parts, either way. Our choice: a slip of the unit is a thousand.
const STATED_TIMES: f64 = 2.0;

impl Volumes {
    /// Those of some parts that stand behind another.
    pub fn of(
        train: &Train,
        rest: &[RestPressure<'_>],
        behind: Option<&str>,
        parts: &[&Part],
    ) -> Self {
        let mut all = Self::default();
        let begin = behind
            .and_then(|name| train.part(name))
            .filter(|p| p.sets_pressure());
        for part in begin
            .into_iter()
            .chain(parts.iter().copied().filter(|p| !p.sets_pressure()))
        {
            let copies = rest
                .iter()
                .find(|r| r.part.name == part.name)
                .map_or(1, |r| r.copies);
            let known = part_volume(part);
            let at_most = match part.kind.bore() {
                Some(bore) => PI / 4.0 * UNKNOWN_BORES * bore.value.powi(3),
                None if part.sets_pressure() => UNKNOWN_BODY_M3,
                None => 0.0,
            };
            if known.is_none() && at_most > 0.0 {
                all.unknown.push(part.name.clone());
            }
            let known_m3 = known.map_or(0.0, |v| v.value);
            let most_m3 = known.map_or(at_most, |v| v.value);
            all.known += cubic_metres(f64::from(copies) * known_m3);
            all.most += cubic_metres(f64::from(copies) * most_m3);
        }
        all
    }

    /// Whether a stated volume can be that of the parts. Where no part gives one, any can.
    pub fn hold(&self, stated: Volume) -> bool {
        let (least, most) = (self.known.value, self.most.value);
        most <= 0.0 || stated.value * STATED_TIMES >= least && stated.value <= most * STATED_TIMES
    }
}

fn empty(behind: Option<String>, at_rest: AbsolutePressure) -> Zone {
    Zone {
        behind,
        parts: Vec::new(),
        at_rest,
        joints: 0,
        volumes: Volumes::default(),
        bore: metres(0.0),
        weakest: None,
        weakest_joint: None,
        unrated: Vec::new(),
    }
}

struct Walk<'a> {
    rest: &'a [RestPressure<'a>],
    zones: Vec<Zone>,
}

impl Walk<'_> {
    fn run(&mut self, run: &Run, mut at: usize) {
        for part in &run.parts {
            at = self.pass(part, at);
        }
        if let End::Split(runs) = &run.end {
            for branch in runs {
                self.run(branch, at);
            }
        }
    }

    /// Adds a part to its zone and gives the zone behind it.
    fn pass(&mut self, part: &Part, at: usize) -> usize {
        let rest = self.rest.iter().find(|r| r.part.name == part.name);
        let copies = rest.map_or(1, |r| r.copies);
        let zone = &mut self.zones[at];
        zone.parts.push(part.name.clone());
        zone.joints += copies * part.joints.iter().map(|j| j.count).sum::<u32>();
        if let Some(bore) = part.kind.bore()
            && bore > zone.bore
        {
            zone.bore = bore;
        }
        let rating = part.rating.max_pressure;
        if rating.is_none() {
            zone.unrated.push(part.name.clone());
        }
        match rest.filter(|_| part.sets_pressure()) {
            Some(rest) => {
                let behind = empty(Some(part.name.clone()), rest.outlet);
                self.zones.push(behind);
                self.zones.len() - 1
            }
            None => at,
        }
    }
}
