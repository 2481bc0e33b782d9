//! A regulator that alone fails wide open: what comes on each part behind it, and what keeps it off.

use super::ways::ways;
use super::{Part, PartKind, ReliefValve, Train};
use crate::flow::regulator::Regulator;
use crate::quantity::AbsolutePressure;

/// A regulator that alone fails wide open, and the parts behind it up to the next one.
#[derive(Debug, Clone, PartialEq)]
pub struct FailedOpen<'t> {
    /// Regulator.
    pub regulator: &'t Part,
    /// Pressure before it: what would stand behind it with the flow stopped if nothing held it down.
    pub before: AbsolutePressure,
    /// What it lets through with the flow stopped: that, or the pressure at which its slam-shut closes.
    pub lets_through: AbsolutePressure,
    /// Parts behind it, the next regulator among them; relief valves are left out.
    pub parts: Vec<Exposed<'t>>,
}

/// A part behind a regulator that has failed wide open.
#[derive(Debug, Clone, PartialEq)]
pub struct Exposed<'t> {
    /// Part.
    pub part: &'t Part,
    /// What comes on it with the flow stopped: what the regulator lets through, or a relief valve that opens below.
    pub pressure: AbsolutePressure,
    /// Relief valve that holds it down.
    pub relief: Option<&'t Part>,
    /// Relief valve that does not, since a valve can be shut between the two: relief valve and valve.
    pub shut_from: Option<(&'t Part, &'t Part)>,
    /// Valve before it that the switch for high pressure closes.
    pub cut_off: Option<&'t Part>,
}

impl Exposed<'_> {
    /// What it is made for, where that is less than what comes on it and stays.
    pub fn overloaded(&self) -> Option<AbsolutePressure> {
        self.above(self.pressure).filter(|_| self.cut_off.is_none())
    }
    /// What it is made for, where that is less than a pressure.
    pub fn above(&self, pressure: AbsolutePressure) -> Option<AbsolutePressure> {
        self.part.most_pressure().filter(|most| *most < pressure)
    }
}

/// What keeps the pressure of a failed regulator off.
#[derive(Clone, Copy)]
pub struct KeptBy<'a> {
    /// Pressure of the air, where a switch for high pressure closes the shut-off valves.
    pub high_cut_off: Option<AbsolutePressure>,
    /// Whether a relief valve passes what a regulator does, with that pressure before it.
    pub relief: &'a dyn Fn(&Regulator, AbsolutePressure, &ReliefValve) -> bool,
}

impl KeptBy<'_> {
    /// Relief valves alone, each taken to pass what it has to.
    pub const RELIEFS: Self = Self {
        high_cut_off: None,
        relief: &|_, _, _| true,
    };
}

/// Every regulator that alone fails wide open while the others hold, in the order of the train.
///
/// A relief valve holds down what stands behind it, and what stands before it as far back as no valve can be shut
/// between. The switch for high pressure stands behind the last regulator of its way: one before that fails unseen.
/// It closes the first valve on the way that shuts without power, before the pressure has run up, and what stands behind
/// that valve is kept from it in the time of switch and valve; a valve that has to close against more than it can is
/// none to count on.
///
/// * `supply` — pressure of tank or main
/// * `behind` — what a sound regulator holds at its inlet pressure with the flow stopped
///
/// **Valid:** one failure at a time. **Source:** the tree of the parts; no published formula.
pub fn failed_open<'t>(
    train: &'t Train,
    supply: AbsolutePressure,
    behind: impl Fn(&Regulator, AbsolutePressure) -> AbsolutePressure,
    kept_by: KeptBy<'_>,
) -> Vec<FailedOpen<'t>> {
    let mut all: Vec<FailedOpen<'_>> = Vec::new();
    for way in ways(train) {
        let mut held = supply;
        for (i, part) in way.iter().enumerate() {
            match &part.kind {
                PartKind::Regulator(r) => {
                    let zone = zone(&way, (i, r), held, kept_by);
                    held = behind(r, held);
                    match all.iter_mut().find(|f| f.regulator.name == part.name) {
                        Some(known) => known.join(zone),
                        None => all.push(zone),
                    }
                }
                PartKind::Pump(pump) => held = pump.against_closed(held),
                _ => {}
            }
        }
    }
    all
}

impl<'t> FailedOpen<'t> {
    /// Takes in the same regulator on another way: a part on both is as well off as on the better one.
    fn join(&mut self, other: FailedOpen<'t>) {
        for new in other.parts {
            match self.parts.iter_mut().find(|e| e.part.name == new.part.name) {
                Some(known) if new.pressure < known.pressure => *known = new,
                Some(known) => known.cut_off = known.cut_off.or(new.cut_off),
                None => self.parts.push(new),
            }
        }
    }
}

/// The zone behind the regulator at a place of a way.
fn zone<'t>(
    way: &[&'t Part],
    (at, law): (usize, &Regulator),
    before: AbsolutePressure,
    kept_by: KeptBy<'_>,
) -> FailedOpen<'t> {
    let regulator = way[at];
    let lets_through = match regulator.protection.shut_off_pressure {
        Some(slam) if slam < before => slam,
        _ => before,
    };
    let is_regulator = |p: &&Part| matches!(p.kind, PartKind::Regulator(_));
    let rest = &way[at + 1..];
    let next = rest.iter().position(is_regulator);
    let parts = &rest[..next.map_or(rest.len(), |n| n + 1)];
    let switch = kept_by.high_cut_off.filter(|_| next.is_none());
    let mut cut_off = switch.and_then(|_| {
        let mut before = way[..at].iter().copied();
        before.find(|p| p.shuts_without_power())
    });
    let mut exposed = Vec::new();
    for (k, part) in parts.iter().enumerate() {
        if matches!(part.kind, PartKind::ReliefValve(_)) {
            continue;
        }
        let holds = |relief: &ReliefValve| (kept_by.relief)(law, before, relief);
        let mut one = under_reliefs(parts, k, lets_through, &holds);
        one.cut_off = cut_off;
        if let (Some(air), None) = (switch, cut_off)
            && part.shuts_without_power()
        {
            let against = one.pressure.pascals() - air.pascals();
            let most = part.protection.max_differential;
            let closes = most.is_none_or(|most| against <= most.pascals());
            cut_off = Some(*part).filter(|_| closes);
        }
        exposed.push(one);
    }
    FailedOpen {
        regulator,
        before,
        lets_through,
        parts: exposed,
    }
}

/// A part of a zone under the relief valves of the zone.
fn under_reliefs<'t>(
    parts: &[&'t Part],
    k: usize,
    lets_through: AbsolutePressure,
    holds: &dyn Fn(&ReliefValve) -> bool,
) -> Exposed<'t> {
    let mut one = Exposed {
        part: parts[k],
        pressure: lets_through,
        relief: None,
        shut_from: None,
        cut_off: None,
    };
    for (j, valve) in parts.iter().enumerate() {
        let PartKind::ReliefValve(relief) = &valve.kind else {
            continue;
        };
        if relief.set_pressure >= one.pressure || !holds(relief) {
            continue;
        }
        // what stands behind a relief valve is fed through where that opens
        let between = parts.get(k..j).unwrap_or_default();
        let shut = between.iter().find(|p| p.kind.valve().is_some());
        match shut {
            None => {
                one.pressure = relief.set_pressure;
                one.relief = Some(valve);
            }
            Some(shut) => one.shut_from = one.shut_from.or(Some((valve, shut))),
        }
    }
    if one.relief.is_some() {
        one.shut_from = None;
    }
    one
}

/// What a relief valve leaves of the pressure of a pump on a part behind it, or on the pump itself, with the flow
/// stopped; the pressure given where none protects it, and where no pump stands before it.
///
/// **Valid:** relief valves that pass what the pump gives. **Source:** as [`failed_open`].
pub fn behind_pump(train: &Train, part: &Part, p: AbsolutePressure) -> AbsolutePressure {
    let mut most = None;
    for way in ways(train) {
        let Some(at) = way.iter().position(|q| q.name == part.name) else {
            continue;
        };
        let sets = |q: &&Part| matches!(q.kind, PartKind::Pump(_) | PartKind::Regulator(_));
        let Some(pump) = way[..=at].iter().rposition(sets) else {
            return p;
        };
        if !matches!(way[pump].kind, PartKind::Pump(_)) {
            return p;
        }
        let zone = &way[pump..];
        let end = zone.iter().skip(1).position(sets).map(|i| i + 2);
        let zone = &zone[..end.unwrap_or(zone.len())];
        let held = under_reliefs(zone, at - pump, p, &|_| true).pressure;
        most = Some(most.map_or(held, |m| if held < m { held } else { m }));
    }
    most.unwrap_or(p)
}

/// What is behind the last of two regulators in series that both stand wide open, and the pressure there: that before
/// the first. Two failures at once, told apart from the single ones.
///
/// * `supply`, `behind` — as for [`failed_open`]
pub fn both_failed_open(
    train: &Train,
    supply: AbsolutePressure,
    behind: impl Fn(&Regulator, AbsolutePressure) -> AbsolutePressure,
) -> Vec<(&Part, FailedOpen<'_>)> {
    let mut all: Vec<(&Part, FailedOpen<'_>)> = Vec::new();
    for way in ways(train) {
        let mut held = supply;
        let mut last: Option<(&Part, AbsolutePressure)> = None;
        for (i, part) in way.iter().enumerate() {
            let PartKind::Regulator(r) = &part.kind else {
                continue;
            };
            if let Some((first, before)) = last
                && all.iter().all(|(_, f)| f.regulator.name != part.name)
            {
                all.push((first, zone(&way, (i, r), before, KeptBy::RELIEFS)));
            }
            last = Some((*part, held));
            held = behind(r, held);
        }
    }
    all
}
