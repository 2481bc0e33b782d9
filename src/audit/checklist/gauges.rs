//! What the gauges of a rig show: with the flow stopped, and at a duty.

use super::Reading;
use super::parts::scale;
use crate::audit::Solution;
use crate::quantity::{AbsolutePressure, GaugePressure, Kind};
use crate::train::{Part, PartKind, TrainDuty};

/// Share of the scale below which a needle shows nothing: as TRN016 has it.
const LEAST_SHARE: f64 = 0.1;
/// How far the flow may be off: as TRN002 lets pass.
pub(super) const OFF_WANTED: f64 = 0.1;

/// A gauge on the way to the injector, and where it stands.
pub(super) struct Gauge<'s> {
    /// The tapping it sits on.
    pub(super) part: &'s Part,
    /// Shut-offs between the supply's own valve and it.
    pub(super) behind: Vec<&'s Part>,
    /// Whether a shut-off stands behind it.
    pub(super) held: bool,
    /// Regulator whose pressure it shows, if any.
    regulator: Option<&'s Part>,
    /// Whether the flow is set before it.
    after_throttle: bool,
}

/// All gauges on the way to the injector, from the supply on.
pub(super) fn gauges<'s>(s: &'s Solution<'_>) -> Vec<Gauge<'s>> {
    let parts = s.main_parts();
    let throttle = s.train().as_ref().ok().and_then(|p| p.throttle.as_deref());
    let first = parts.iter().position(|p| p.is_shut_off());
    let shuts = |i: usize| Some(i) != first && parts[i].is_shut_off();
    let mut found = Vec::new();
    for (i, part) in parts.iter().enumerate() {
        if scale(part).is_none() {
            continue;
        }
        found.push(Gauge {
            part,
            behind: (0..i).filter(|k| shuts(*k)).map(|k| parts[k]).collect(),
            held: (i + 1..parts.len()).any(shuts),
            regulator: parts[..i].iter().rev().find(|p| p.is_regulator()).copied(),
            after_throttle: parts[..i].iter().any(|p| Some(p.name.as_str()) == throttle),
        });
    }
    found
}

impl Gauge<'_> {
    /// What it shows with the fuel on and the next shut-off shut; `None` where that is not known, or off its scale.
    pub(super) fn at_rest(&self, s: &Solution<'_>) -> Option<Reading> {
        let gauge = |p: AbsolutePressure| p.gauge(s.rig.site.air_pressure).pascals();
        let (low, high) = if let Some(PartKind::Regulator(r)) = self.regulator.map(|p| &p.kind) {
            let set = gauge(r.set_pressure);
            (set, set + r.lock_up.pascals())
        } else {
            let plan = s.leak_test_plan().as_ref().ok()?;
            let mut zones = plan.zones.iter().map(|z| &z.zone);
            let rest = gauge(zones.find(|z| z.parts.contains(&self.part.name))?.at_rest);
            (rest, rest)
        };
        self.shows(high)
            .then(|| Reading::between(&self.part.name, Kind::GaugePressure, low, high))
    }

    fn shows(&self, pa: f64) -> bool {
        let top = scale(self.part).map_or(0.0, GaugePressure::pascals);
        pa >= LEAST_SHARE * top && pa <= top
    }
}

/// What is read at a duty, or words on why nothing is.
pub(super) fn at_duty(s: &Solution<'_>, duty: &TrainDuty) -> Result<Reading, String> {
    let none = || "no gauge here".to_owned();
    let flow = duty.solution.as_ref().map_err(|_| none())?;
    let gauges = gauges(s);
    let nearest = gauges.last().ok_or_else(none)?;
    let at = flow.part(&nearest.part.name).ok_or_else(none)?;
    let air = s.rig.site.air_pressure;
    let pa = at.inlet.pressure.gauge(air).pascals();
    if !nearest.shows(pa) {
        let [pa, top] = [pa, scale(nearest.part).map_or(0.0, GaugePressure::pascals)]
            .map(|pa| s.show(Kind::GaugePressure, pa));
        return Err(format!(
            "no gauge here shows {pa} ({} goes to {top})",
            nearest.part.name
        ));
    }
    let chamber = flow.outlet(crate::train::plan::INJECTOR);
    let chamber_pa = chamber.map_or(0.0, |o| o.chamber.gauge(air).pascals());
    let (low, high) = match nearest.regulator.map(|p| &p.kind) {
        // the drop over the holes goes with the square of the flow
        _ if nearest.after_throttle => {
            let ends = [1.0 - OFF_WANTED, 1.0 + OFF_WANTED];
            let [low, high] = ends.map(|x| chamber_pa + (pa - chamber_pa) * x * x);
            (low, high)
        }
        Some(PartKind::Regulator(r)) => {
            let set = r.set_pressure.gauge(air).pascals();
            let low = set - r.droop.pascals();
            (low.min(pa), (set + r.lock_up.pascals()).max(pa))
        }
        _ => {
            let off = s.rig.tolerances.supply_pressure.map_or(0.0, |x| x.value);
            (pa * (1.0 - off), pa * (1.0 + off))
        }
    };
    Ok(Reading::between(
        &nearest.part.name,
        Kind::GaugePressure,
        low,
        high,
    ))
}
