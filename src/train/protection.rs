//! A regulator that alone fails wide open: what comes on each part behind it, and what keeps it off.

use super::ways::{at_rest, held_along, up_to, ways};
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
        let most = self.part.rated().map(|r| r.0);
        most.filter(|most| *most < pressure)
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
/// * `behind` — what a sound part holds at its inlet pressure with the flow stopped, as [`Part::holds`]
///
/// **Valid:** one failure at a time. **Source:** the tree of the parts; no published formula.
pub fn failed_open<'t>(
    train: &'t Train,
    supply: AbsolutePressure,
    behind: impl Fn(&Part, AbsolutePressure) -> AbsolutePressure,
    kept_by: KeptBy<'_>,
) -> Vec<FailedOpen<'t>> {
    let mut all: Vec<FailedOpen<'_>> = Vec::new();
    for way in ways(train) {
        for (at, before) in regulators(&way, supply, &behind) {
            let zone = zone(&way, at, before, kept_by);
            let same = |f: &&mut FailedOpen<'_>| f.regulator.name == zone.regulator.name;
            match all.iter_mut().find(same) {
                Some(known) => known.join(zone),
                None => all.push(zone),
            }
        }
    }
    all
}

/// The regulators of a way: place, law, and the pressure before them with the flow stopped.
fn regulators<'t>(
    way: &[&'t Part],
    supply: AbsolutePressure,
    behind: impl Fn(&Part, AbsolutePressure) -> AbsolutePressure,
) -> Vec<((usize, &'t Regulator), AbsolutePressure)> {
    let held = held_along(way, supply, behind);
    let parts = way.iter().zip(held).enumerate();
    let laws = parts.filter_map(|(i, (part, before))| match &part.kind {
        PartKind::Regulator(r) => Some(((i, r), before)),
        _ => None,
    });
    laws.collect()
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
    let parts = up_to(&way[at + 1..], Part::is_regulator);
    let is_last = !parts.last().is_some_and(|p| p.is_regulator());
    let switch = kept_by.high_cut_off.filter(|_| is_last);
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

/// Every part with what it has to stand while nothing flows: the pressure before it, and of a pump that behind it. Relief
/// valves behind a pump count.
///
/// **Valid:** relief valves that pass what the pump gives. **Source:** as [`failed_open`].
pub fn stood_at_rest(train: &Train, supply: AbsolutePressure) -> Vec<(&Part, AbsolutePressure)> {
    let on_it = at_rest(train, supply, Part::holds).into_iter().map(|r| {
        let p = if r.part.is_pump() { r.outlet } else { r.inlet };
        (r.part, behind_pump(train, r.part, p))
    });
    on_it.collect()
}

/// What a relief valve leaves of the pressure of a pump on a part behind it, or on the pump itself, with the flow
/// stopped; the pressure given where none protects it, and where no pump stands before it.
fn behind_pump(train: &Train, part: &Part, p: AbsolutePressure) -> AbsolutePressure {
    let mut most = None;
    for way in ways(train) {
        let Some(at) = way.iter().position(|q| q.name == part.name) else {
            continue;
        };
        let Some(pump) = way[..=at].iter().rposition(|q| q.sets_pressure()) else {
            return p;
        };
        if !way[pump].is_pump() {
            return p;
        }
        let behind = up_to(&way[pump + 1..], Part::sets_pressure);
        let zone = &way[pump..=pump + behind.len()];
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
    behind: impl Fn(&Part, AbsolutePressure) -> AbsolutePressure,
) -> Vec<(&Part, FailedOpen<'_>)> {
    let mut all: Vec<(&Part, FailedOpen<'_>)> = Vec::new();
    for way in ways(train) {
        for pair in regulators(&way, supply, &behind).windows(2) {
            let [((first, _), before), (at, _)] = pair else {
                continue;
            };
            let zone = zone(&way, *at, *before, KeptBy::RELIEFS);
            if all
                .iter()
                .all(|(_, f)| f.regulator.name != zone.regulator.name)
            {
                all.push((way[*first], zone));
            }
        }
    }
    all
}
