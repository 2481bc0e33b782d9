//! Holes for all duties of a rig, fed as supply and train feed them.

use super::table::{Curve, Duty, DutyTable, Feed, SpreadTable};
use super::{Asked, AtDuty, Combination, MOST_HOLES, Options, Problem, Space, Subject, Target};
use crate::audit::rules::{soft_injector, uneven_holes};
use crate::audit::solution::{Solution, holes, needs, solve};
use crate::eos::EosError;
use crate::flow::orifice::Expansion;
use crate::fuel::Library;
use crate::injector::duty::FuelTarget;
use crate::injector::plan::{DutyInjection, DutyNeed, InjectorPlan};
use crate::injector::size::{InjectorInput, Supply};
use crate::injector::spec::{HoleSize, InjectorSpec, ManifoldLayout};
use crate::quantity::show::Units;
use crate::quantity::{AbsolutePressure, ratio};
use crate::train;
use crate::train::plan::{INJECTOR, TrainNeed, flows};
use crate::train::rig::Rig;
use crate::train::throttle::throttle_of;
use rayon::prelude::*;
use std::f64::consts::PI;

/// How far flows of the table may be off: straight lines between its points.
const TABLE_ERROR: f64 = 3e-3;
/// The same of bands alone, where flows are those wanted.
const BAND_ERROR: f64 = 2e-4;
/// The same of what demands are held against: fuel is a few kelvin warmer or colder with other holes.
const SLACK: f64 = 0.01;
/// Flux of holes of a first guess where the rig's own cannot be solved, kg/(m² s).
const USUAL_FLUX: f64 = 500.0;

impl<'a> Problem<'a> {
    /// The holes of a rig. `Ok(Err(why))`: no duty can be looked at.
    ///
    /// # Errors
    /// If there is no property model for the fuel.
    pub fn of_rig(
        rig: &Rig,
        library: &'a Library,
        units: Units,
        options: &Options,
    ) -> Result<Result<Self, String>, EosError> {
        let mut rig = rig.clone();
        // what was tested are the holes that are there
        rig.injector.tested = None;
        if let Some((low, high)) = options.ratios {
            for duty in &mut rig.duties {
                duty.target = FuelTarget::EquivalenceRatio(ratio(0.5 * (low + high)));
                duty.ratio_range = Some((ratio(low), ratio(high)));
            }
        }
        // of a duty that stands alone that is the pressure it is fed at
        if let ([duty], true) = (&mut rig.duties[..], rig.train.parts().is_empty()) {
            duty.injector_pressure = duty.injector_pressure.or(rig.injector.pressure);
        }
        let solution = solve(&rig, library, units)?;
        let made = tables(&solution, options);
        drop(solution);
        Ok(made.map(|(asked, space, duties, spread)| Self {
            table_error: if duties.iter().any(DutyTable::is_fed_as_it_stands) {
                TABLE_ERROR
            } else {
                BAND_ERROR
            },
            slack: SLACK,
            asked,
            space,
            duties,
            spread,
            subject: Subject::Rig(Box::new(rig), library, units),
        }))
    }
}

/// The rig with a combination of holes.
pub(super) fn with(rig: &Rig, space: &Space, c: Combination) -> Rig {
    let mut rig = rig.clone();
    rig.injector.holes = c.holes;
    rig.injector.size = HoleSize::Diameter(space.diameter(c));
    rig
}

/// What is asked and searched, and its tables.
type Tables = (Asked, Space, Vec<DutyTable>, Option<SpreadTable>);

fn tables(solution: &Solution<'_>, options: &Options) -> Result<Tables, String> {
    let (rig, fluid) = (solution.rig, solution.fluid.as_ref());
    let needs = solution.hole_needs();
    if needs.is_empty() {
        let why = solution.duties.iter().find_map(|d| d.demand.as_ref().err());
        return Err(why.cloned().unwrap_or_default());
    }
    let space = Space {
        counts: counts(&rig.injector, options.counts)?,
        drills: options.drills.clone(),
        pressures_pa: Vec::new(),
    };
    let (bands, wants_gas) = (solution.hole_bands(), solution.wants_vapour());
    let throttle = throttle_of(&rig.train, INJECTOR);
    let table = |need: &DutyNeed<'_>| {
        let input = InjectorInput {
            fluid,
            supply_pressure: None,
            supply: Supply::Temperature(need.temperature),
            chamber: need.chamber,
            holes: None,
            diameter: None,
            flow: None,
            make: bands.make(&rig.injector),
            expansion: Expansion::Blend,
            phase: None,
        };
        let duty = Duty {
            input,
            bands,
            wants_gas,
            wanted_kg_s: need.fuel.value,
            ratio: need.equivalence_ratio.value,
            cross_flow: need.cross_flow.zip(rig.injector.mixing_length),
            feed: feed_of(solution, need.name, throttle.as_deref())?,
        };
        DutyTable::new(duty, &space.drills).ok()
    };
    let made = needs.par_iter().map(|need| {
        let unknown = || {
            format!(
                "nothing is known of what feeds the holes at `{}`",
                need.name
            )
        };
        table(need).ok_or_else(unknown)
    });
    let made: Vec<Result<DutyTable, String>> = made.collect();
    let duties = made.into_iter().collect::<Result<Vec<_>, _>>()?;
    let largest =
        (needs.iter().zip(&duties)).max_by(|a, b| a.0.fuel.value.total_cmp(&b.0.fuel.value));
    let low_pressure = largest.is_some_and(|(need, table)| {
        table.highest_pa < (1.0 + soft_injector::LEAST) * need.chamber.pascals()
    });
    let target = |need: &DutyNeed<'_>| {
        let range = rig.duty(need.name).and_then(|d| d.ratio_range);
        let aim = need.equivalence_ratio;
        let (least, most) = range.unwrap_or((aim, aim));
        Target {
            name: need.name.to_owned(),
            least: least.value,
            most: most.value,
            chamber_pa: need.chamber.pascals(),
            over_air_pa: need.chamber.pascals() - rig.site.air_pressure.pascals(),
        }
    };
    let burns = solution.flammability.as_ref().ok();
    let can = rig.burner.can_volume.zip(rig.burner.can_length);
    let wanted_spread = rig.injector.wanted_spread;
    let asked = Asked {
        targets: needs.iter().map(target).collect(),
        burns: true,
        options: options.clone(),
        quenching_m: burns.and_then(|f| Some(f.quenching_distance.as_ref()?.value)),
        spread: wanted_spread.map_or(uneven_holes::USUAL, |s| s.value),
        // that of a round one
        can_radius_m: can.map(|(volume, length)| (volume.value / (PI * length.value)).sqrt()),
        liquid: !wants_gas,
        low_pressure,
    };
    let spread = SpreadTable::of(fluid, &rig.injector, &bands, &needs, &space.counts);
    Ok((asked, space, duties, spread))
}

/// Numbers of holes: of a ring even ones that every feed has its share of, so that jets face each other; where the places
/// of the holes are given, as many as these.
fn counts(spec: &InjectorSpec, asked: Option<(u32, u32)>) -> Result<Vec<u32>, String> {
    let (step, given) = match spec.manifold.as_ref().map(|m| &m.layout) {
        Some(ManifoldLayout::Ring { feeds, holes, .. }) => {
            let feeds = u32::try_from(feeds.len()).unwrap_or(1).max(1);
            (feeds * (1 + feeds % 2), holes.is_some())
        }
        Some(ManifoldLayout::Bar { holes, .. }) => (1, holes.is_some()),
        None => (1, false),
    };
    let (least, most) = asked.unwrap_or((1, MOST_HOLES.max(2 * spec.holes)));
    let counts: Vec<u32> = match (given, least == most) {
        (true, _) => vec![spec.holes],
        (_, true) => vec![least],
        _ => (least..=most).filter(|n| n.is_multiple_of(step)).collect(),
    };
    if counts.is_empty() {
        return Err(format!(
            "no number from {least} to {most} gives every feed of the ring its share: they go in steps of {step}"
        ));
    }
    Ok(counts)
}

/// How a duty is fed; `None` where that is not known.
fn feed_of(solution: &Solution<'_>, name: &str, throttle: Option<&str>) -> Option<Feed> {
    let rig = solution.rig;
    let duty = rig.duty(name)?;
    if solution.main_parts().is_empty() {
        return match (duty.injector_pressure, rig.injector.pressure) {
            (Some(p), _) => Some(Feed::Set(vec![p.pascals()])),
            (None, Some(p)) => Some(Feed::UpTo(p.pascals())),
            (None, None) => supply_pa(solution).map(Feed::UpTo),
        };
    }
    let solved = solution.duties.iter().find(|d| d.name == name)?;
    let fuel = solved.demand.as_ref().ok()?.fuel;
    let need = TrainNeed {
        name: name.to_owned(),
        fuel,
        air: None,
        chamber: duty.chamber,
        discharge_coefficient: 1.0,
    };
    let plan = solution.injector.as_ref().ok();
    let flux = plan.and_then(|plan| Some(planned(plan, name)?.at_need.flux.value));
    let area_m2 = fuel.value / flux.unwrap_or(USUAL_FLUX);
    let curve = Curve::of(rig, solution.fluid.as_ref(), &need, throttle, area_m2)?;
    Some(match throttle {
        Some(_) => Feed::Throttled(curve),
        None => Feed::AsItStands(curve),
    })
}

/// Pressure of a supply that stands before the holes by itself, Pa.
fn supply_pa(solution: &Solution<'_>) -> Option<f64> {
    let rig = solution.rig;
    match &rig.supply {
        train::rig::Supply::Mains(main) => Some(main.pressure.pascals()),
        train::rig::Supply::Tank(tank) => {
            let t = tank.temperature.unwrap_or(rig.site.ambient);
            let own = || Some(solution.fluid.bubble_t(t.value).ok()?.pressure_pa);
            solution.pad().map(AbsolutePressure::pascals).or_else(own)
        }
    }
}

fn planned<'p>(plan: &'p InjectorPlan, name: &str) -> Option<&'p DutyInjection> {
    let duty = plan.duties.iter().find(|d| d.name == name)?;
    duty.injection.as_ref().ok()
}

/// Every duty of a rig whose holes are given.
pub(super) fn in_full(
    solution: &Solution<'_>,
    targets: &[Target],
    tables: &[DutyTable],
) -> Option<Vec<AtDuty>> {
    let (rig, fluid) = (solution.rig, solution.fluid.as_ref());
    let plan = solution.injector.as_ref().ok()?;
    let throttled = throttle_of(&rig.train, INJECTOR).is_some();
    let train = if solution.main_parts().is_empty() {
        None
    } else {
        Some(flows(rig, fluid, holes(plan), &needs(solution)).ok()?)
    };
    let at = |(target, table): (&Target, &DutyTable)| {
        let Some(injection) = planned(plan, &target.name) else {
            return table.unfed();
        };
        let need = &injection.at_need;
        let (wanted, needed_pa) = (need.wanted.value, need.supply.pressure_pa);
        // what is set, or given by the train; else what the duty needs
        let (flow_kg_s, pressure_pa, fed) = match (&train, &injection.at_given) {
            (None, Some(set)) => (set.flow.value, set.pressure.pascals(), true),
            (None, None) => (wanted, needed_pa, table.gives(needed_pa)),
            (Some(duties), _) => {
                let duty = duties.iter().find(|d| d.name == target.name);
                let solved = duty.and_then(|d| d.solution.as_ref().ok()?.outlet(INJECTOR));
                match solved {
                    Some(outlet) if !throttled => {
                        (outlet.flow.value, outlet.inlet.pressure.pascals(), true)
                    }
                    fed => (wanted, needed_pa, fed.is_some()),
                }
            }
        };
        let share = flow_kg_s / wanted;
        let gas = need.subcooling.is_none() && need.supply.vapour_mass_fraction >= 1.0;
        let sharing = injection.sharing.as_ref();
        let reach = injection.reach.as_ref();
        AtDuty {
            fed: fed && (gas || !solution.wants_vapour()),
            ratio_low: injection.equivalence_ratio_low.value * share,
            ratio_high: injection.equivalence_ratio_high.value * share,
            superheat_k: need.superheat.map(|k| k.value),
            spread: sharing.map(|s| s.as_ref().map_or(1.0, |d| d.spread.value)),
            reach_m: reach.and_then(|r| Some(r.as_ref().ok()?.depth.value)),
            ..table.given(fed, flow_kg_s, pressure_pa, (1.0, 1.0))
        }
    };
    Some(targets.iter().zip(tables).map(at).collect())
}
