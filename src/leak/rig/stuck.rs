//! A regulator that sticks wide open: what the burner gets, and what the parts behind it see.

use super::breaks::{changed, wide_open};
use super::{Case, Duties};
use crate::flow::regulator::Regulator;
use crate::leak::release::BOUNDING;
use crate::leak::relief::{ReliefDuty, relief_duty};
use crate::quantity::{
    AbsolutePressure, MassRate, Power, Ratio, Time, pascals_absolute, ratio, watts,
};
use crate::train::plan::{INJECTOR, TrainNeed};
use crate::train::protection::{Exposed, FailedOpen, KeptBy, both_failed_open, failed_open};
use crate::train::ways::ways;
use crate::train::{
    Chamber, Conditions, End, OutletLaw, Part, PartKind, ReliefValve, Run, Train, TrainError,
    flow_by_stand_in,
};

/// A regulator that sticks wide open while the rig runs at its largest duty.
#[derive(Debug)]
pub struct StuckRegulator {
    /// Regulator.
    pub part: String,
    /// Duty whose settings it is taken at.
    pub duty: String,
    /// Flow that this duty wants.
    pub wanted: MassRate,
    /// What then flows to the injector, or why that is not known.
    pub fed: Result<Overfeed, TrainError>,
    /// Pressure before it, which comes behind it when the flow is stopped downstream: of the supply as it starts or on
    /// the hottest day, whichever is more; behind another regulator, of what that holds.
    pub dead_end: AbsolutePressure,
    /// What comes on the first part behind it: that, or what a slam-shut or a relief valve that passes enough holds.
    pub held_at: AbsolutePressure,
    /// What the relief valves behind it pass of it, by name.
    pub reliefs: Vec<(String, ReliefDuty)>,
    /// Parts behind it, the next regulator among them, that are rated below the dead end.
    pub rated_below: Vec<RatedBelow>,
    /// The regulator before it, and what comes behind this one if both fail at once; `None`: it is the first.
    pub with_the_one_before: Option<(String, AbsolutePressure)>,
}

impl StuckRegulator {
    /// Parts that come above their rating, with nothing that keeps it off.
    pub fn overloaded(&self) -> impl Iterator<Item = &RatedBelow> {
        self.rated_below.iter().filter(|p| p.kept_off.is_none())
    }
}

/// What flows with a regulator wide open.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Overfeed {
    /// Flow to the injector.
    pub flow: MassRate,
    /// Pressure before the holes.
    pub pressure: AbsolutePressure,
    /// Heat of that flow, if all of it burnt; `None` where the heat is not known.
    pub heat: Option<Power>,
    /// Equivalence ratio with the air of the duty.
    pub equivalence_ratio: Option<Ratio>,
}

/// A part that is rated below what a stuck regulator lets through.
#[derive(Debug, Clone, PartialEq)]
pub struct RatedBelow {
    /// Part.
    pub part: String,
    /// Its rating.
    pub rating: AbsolutePressure,
    /// What keeps the pressure off; `None`: nothing.
    pub kept_off: Option<KeptOff>,
}

/// What keeps the pressure of a stuck regulator off a part.
#[derive(Debug, Clone, PartialEq)]
pub enum KeptOff {
    /// A relief valve, which passes what the regulator does, or a slam-shut in the regulator.
    Holds(String),
    /// A valve that the switch for high pressure closes, in this time; `None`: its closing time is not given.
    CutOff(String, Option<Time>),
}

pub(super) fn stuck_regulators(case: &Case<'_>, duties: &Duties<'_>) -> Vec<StuckRegulator> {
    let Some(need) = duties
        .needs
        .iter()
        .max_by(|a, b| a.fuel.value.total_cmp(&b.fuel.value))
    else {
        return Vec::new();
    };
    let setting = duties
        .train
        .and_then(|t| t.duties.iter().find(|d| d.name == need.name))
        .and_then(|d| d.setting.clone());
    let mut base = case.rig.train.clone();
    set_law(
        &mut base.run,
        OutletLaw::Holes {
            number: duties.holes.number,
            diameter: duties.holes.diameter,
            discharge_coefficient: need.discharge_coefficient,
        },
    );
    if let Some(setting) = &setting
        && let Some(valve) = base
            .part_mut(&setting.throttle)
            .and_then(|p| p.kind.valve_mut())
    {
        valve.opening = setting.opening;
    }
    let supply_pa = highest_supply(case);
    let train = &case.rig.train;
    let switch = case.rig.controls.high_fuel_cutoff == Some(true);
    let site = (case.around.temperature, case.around.pressure);
    let duty = |r: &Regulator, inlet, relief: &ReliefValve| {
        let sized = (relief.set_pressure, relief.bore?);
        relief_duty(case.fluid, r, inlet, site, sized).ok()
    };
    let enough = |r: &Regulator, inlet, relief: &ReliefValve| {
        // of one that nobody can work out its own rule says so
        duty(r, inlet, relief).is_none_or(|d| d.passes >= d.arrives)
    };
    let kept_by = KeptBy {
        high_cut_off: switch.then_some(case.around.pressure),
        relief: &enough,
    };
    let failed = failed_open(train, supply_pa, Part::holds, kept_by);
    let both = both_failed_open(train, supply_pa, Part::holds);
    let names: Vec<String> = base
        .parts()
        .iter()
        .filter(|p| p.is_regulator())
        .map(|p| p.name.clone())
        .collect();
    names
        .into_iter()
        .map(|name| {
            let stuck = stick(&base, &name);
            let fed = overfeed(case, duties, need, &stuck);
            let failed = failed.iter().find(|f| f.regulator.name == name);
            let both = both.iter().find(|(_, f)| f.regulator.name == name);
            StuckRegulator {
                duty: need.name.clone(),
                wanted: need.fuel,
                part: name,
                fed,
                dead_end: failed.map_or(supply_pa, |f| f.before),
                held_at: failed.map_or(supply_pa, |f| {
                    f.parts.first().map_or(f.lets_through, |e| e.pressure)
                }),
                reliefs: failed.map_or_else(Vec::new, |f| {
                    reliefs_behind(train, f.regulator)
                        .into_iter()
                        .filter_map(|(name, r, relief)| Some((name, duty(r, f.before, relief)?)))
                        .collect()
                }),
                rated_below: failed.map_or_else(Vec::new, rated_below),
                with_the_one_before: both.map(|(first, f)| (first.name.clone(), f.lets_through)),
            }
        })
        .collect()
}

/// What flows through a train with a regulator wide open.
fn overfeed(
    case: &Case<'_>,
    duties: &Duties<'_>,
    need: &TrainNeed,
    stuck: &Train,
) -> Result<Overfeed, TrainError> {
    let conditions = Conditions {
        fuel: case.fluid,
        supplies: vec![case.supply; stuck.sources.len()],
        ambient: case.rig.site.ambient,
        chambers: vec![Chamber::Fixed(need.chamber)],
        expansion: BOUNDING,
    };
    let solution = flow_by_stand_in(stuck, &conditions)?;
    let outlet = solution
        .outlet(INJECTOR)
        .or(solution.outlets.first())
        .ok_or_else(|| TrainError::NoSuch {
            what: "outlet",
            name: INJECTOR.to_owned(),
        })?;
    let heat = duties
        .fire
        .map(|f| watts(outlet.flow.value * f.heating_value.value));
    let equivalence_ratio = duties
        .fire
        .zip(need.air)
        .map(|(f, air)| ratio(outlet.flow.value * f.air_fuel_ratio / air.value));
    Ok(Overfeed {
        flow: outlet.flow,
        pressure: outlet.inlet.pressure,
        heat,
        equivalence_ratio,
    })
}

/// Pressure of the supply as it starts or on the hottest day, whichever is more.
fn highest_supply(case: &Case<'_>) -> AbsolutePressure {
    let source = case.rig.train.sources.first();
    let draw = source.map_or(crate::train::Draw::Vapour, |s| s.draw);
    let name = source.map_or("", |s| s.name.as_str());
    let start = case.supply.state(case.fluid, draw, name);
    let start = start.map_or(case.around.pressure, |s| pascals_absolute(s.pressure_pa));
    match case.hottest {
        Some(hot) if hot > start => hot,
        _ => start,
    }
}

/// Relief valves on the way behind a regulator, up to the next one, with its law.
fn reliefs_behind<'t>(
    train: &'t Train,
    regulator: &'t Part,
) -> Vec<(String, &'t Regulator, &'t ReliefValve)> {
    let PartKind::Regulator(law) = &regulator.kind else {
        return Vec::new();
    };
    let mut found: Vec<(String, &Regulator, &ReliefValve)> = Vec::new();
    for way in ways(train) {
        let behind = way.iter().skip_while(|p| p.name != regulator.name).skip(1);
        let zone = behind.take_while(|p| !p.is_regulator());
        for part in zone {
            if let PartKind::ReliefValve(relief) = &part.kind
                && found.iter().all(|f| f.0 != part.name)
            {
                found.push((part.name.clone(), law, relief));
            }
        }
    }
    found
}

/// The train with one regulator wide open.
fn stick(train: &Train, name: &str) -> Train {
    let mut copy = changed(train, &mut |_| {});
    if let Some(PartKind::Regulator(r)) = copy.part_mut(name).map(|p| &mut p.kind) {
        wide_open(r);
    }
    copy
}

/// Parts behind a stuck regulator that are rated below what it lets through.
fn rated_below(failed: &FailedOpen<'_>) -> Vec<RatedBelow> {
    let below = |e: &Exposed<'_>| {
        let rating = e.above(failed.before)?;
        let slam = Some(failed.regulator).filter(|_| failed.lets_through < failed.before);
        let holds = e.relief.or(slam);
        let holds = holds.filter(|_| e.above(e.pressure).is_none());
        let closing = |valve: &Part| valve.closure.as_ref()?.closing_time;
        Some(RatedBelow {
            part: e.part.name.clone(),
            rating,
            kept_off: holds.map(|r| KeptOff::Holds(r.name.clone())).or_else(|| {
                e.cut_off
                    .map(|v| KeptOff::CutOff(v.name.clone(), closing(v)))
            }),
        })
    };
    failed.parts.iter().filter_map(below).collect()
}

fn set_law(run: &mut Run, law: OutletLaw) {
    match &mut run.end {
        End::Outlet(o) if o.name == INJECTOR => o.law = law,
        End::Outlet(_) => {}
        End::Split(runs) => {
            for branch in runs {
                set_law(branch, law);
            }
        }
    }
}
