//! Pressure zones of a train: what stands under one pressure with the flow stopped, and is tested together.

use super::RestPressure;
use crate::quantity::{AbsolutePressure, Length, Volume, cubic_metres, metres, pascals_absolute};
use crate::train::shutoff::part_volume;
use crate::train::{End, JointKind, Part, PartKind, Run, Train};

/// Parts from a supply or regulator to the next regulators or the holes.
#[derive(Debug, Clone, PartialEq)]
pub struct Zone {
    /// Regulator it lies behind; `None`: the supply.
    pub behind: Option<String>,
    /// Parts, in the order of the train; the regulators at its end included.
    pub parts: Vec<String>,
    /// Pressure with the flow stopped.
    pub at_rest: AbsolutePressure,
    /// Number of joints.
    pub joints: u32,
    /// Volume as far as it is known.
    pub volume: Volume,
    /// Parts whose volume is not known.
    pub volume_unknown: Vec<String>,
    /// Widest bore.
    pub bore: Length,
    /// Part with the lowest rating, or whose joints stand least.
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
            (Some(regulator), _) => format!("behind {regulator}"),
            (None, Some(last)) => format!("supply to {last}"),
            (None, None) => "supply".to_owned(),
        }
    }
}

/// The zones of a train, from the supply on; those of parallel branches behind regulators of their own
/// each by itself. Zones without parts are left out.
///
/// * `rest` — as [`super::pressures_at_rest`] gives
/// * `air` — pressure of the site, for joints that have a limit by the gauge
///
/// **Valid:** regulators tight at lock-up. What the outlet side of a regulator stands is not given by its
/// rating: it counts in the zone before it only. **Source:** the tree of the parts; no published formula.
pub fn zones(train: &Train, rest: &[RestPressure], air: AbsolutePressure) -> Vec<Zone> {
    let supply = rest
        .first()
        .map_or(AbsolutePressure::from_pascals(0.0), |r| r.inlet);
    let mut walk = Walk {
        rest,
        air,
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
    walk.zones
}

fn empty(behind: Option<String>, at_rest: AbsolutePressure) -> Zone {
    Zone {
        behind,
        parts: Vec::new(),
        at_rest,
        joints: 0,
        volume: cubic_metres(0.0),
        volume_unknown: Vec::new(),
        bore: metres(0.0),
        weakest: None,
        weakest_joint: None,
        unrated: Vec::new(),
    }
}

struct Walk<'a> {
    rest: &'a [RestPressure],
    air: AbsolutePressure,
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
        let rest = self.rest.iter().find(|r| r.part == part.name);
        let copies = rest.map_or(1, |r| r.copies);
        let zone = &mut self.zones[at];
        zone.parts.push(part.name.clone());
        zone.joints += copies * part.joints.iter().map(|j| j.count).sum::<u32>();
        match part_volume(part) {
            Some(v) => zone.volume += v * f64::from(copies),
            None if part.kind.bore().is_some() => zone.volume_unknown.push(part.name.clone()),
            None => {}
        }
        if let Some(bore) = part.kind.bore()
            && bore > zone.bore
        {
            zone.bore = bore;
        }
        let of_joints = part.joints.iter().filter_map(|joint| {
            let most = pascals_absolute(self.air.pascals() + joint.kind.most_gauge_pa()?);
            Some((most, Some(joint.kind)))
        });
        let rating = part.rating.max_pressure;
        for (p, joint) in rating.map(|p| (p, None)).into_iter().chain(of_joints) {
            if zone.weakest.as_ref().is_none_or(|w| p < w.1) {
                zone.weakest = Some((part.name.clone(), p));
                zone.weakest_joint = joint;
            }
        }
        if rating.is_none() {
            zone.unrated.push(part.name.clone());
        }
        match (&part.kind, rest) {
            (PartKind::Regulator(_), Some(rest)) => {
                let behind = empty(Some(part.name.clone()), rest.outlet);
                self.zones.push(behind);
                self.zones.len() - 1
            }
            _ => at,
        }
    }
}
