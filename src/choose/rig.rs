//! Holes for all duties of a rig, fed as supply and train feed them.

use super::rig_table::{Curve, DutyTable, Feed, Setup, SpreadTable, USUAL_FLUX};
use super::{Asked, AtDuty, Combination, Problem, Space, Target};
use crate::audit::rules::{soft_injector, uneven_holes};
use crate::audit::solution::{Solution, holes, needs, solve};
use crate::audit::{Finding, Group, audit_of};
use crate::eos::EosError;
use crate::fuel::Library;
use crate::injector::drills::Drill;
use crate::injector::duty::FuelTarget;
use crate::injector::plan::{DutyInjection, InjectorPlan};
use crate::injector::spec::{HoleSize, InjectorSpec, ManifoldLayout};
use crate::quantity::show::Units;
use crate::quantity::{AbsolutePressure, Length, ratio};
use crate::train::OutletFlow;
use crate::train::plan::{INJECTOR, TrainNeed, flows};
use crate::train::rig::Rig;
use crate::train::throttle::throttle_of;
use rayon::prelude::*;
use std::collections::BTreeMap;
use std::f64::consts::PI;

/// How far flows of the table may be off: straight lines between its points.
const TABLE_ERROR: f64 = 3e-3;
/// The same of bands alone, where flows are those wanted.
const BAND_ERROR: f64 = 2e-4;
/// The same of what demands are held against: fuel is a few kelvin warmer or colder with other holes.
const SLACK: f64 = 0.01;
/// Most holes that are looked at where no range is asked for.
pub const MOST_HOLES: u32 = 48;

/// What is asked of the holes of a rig.
#[derive(Debug, Clone, PartialEq)]
pub struct Options {
    /// Least and most number of holes.
    pub counts: Option<(u32, u32)>,
    /// Drills.
    pub drills: Vec<Drill>,
    /// Least and most equivalence ratio of every duty, in place of what the rig file aims at.
    pub ratios: Option<(f64, f64)>,
    /// Smallest drill.
    pub smallest_drill: Length,
    /// Demands that need not be met.
    pub given_up: [bool; super::demands::COUNT],
}

/// A rig whose holes are chosen.
pub struct OfRig<'a> {
    rig: Rig,
    library: &'a Library,
    units: Units,
    asked: Asked,
    space: Space,
    duties: Vec<DutyTable>,
    spread: Option<SpreadTable>,
}

impl<'a> OfRig<'a> {
    /// Fills the tables of a rig. `Ok(Err(why))`: no duty can be looked at.
    ///
    /// # Errors
    /// If there is no property model for the fuel.
    pub fn new(
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
        let hole_needs = solution.hole_needs();
        if hole_needs.is_empty() {
            let why = solution.duties.iter().find_map(|d| d.demand.as_ref().err());
            return Ok(Err(why.cloned().unwrap_or_default()));
        }
        let space = Space {
            counts: counts(&rig.injector, options.counts),
            drills: options.drills.clone(),
            pressures_pa: Vec::new(),
        };
        let setup = Setup {
            fluid: solution.fluid.as_ref(),
            spec: &rig.injector,
            bands: solution.hole_bands(),
            wants_gas: solution.wants_vapour(),
            drills: &space.drills,
        };
        let throttle = throttle_of(&rig.train, INJECTOR);
        let tables: Vec<Option<DutyTable>> = hole_needs
            .par_iter()
            .map(|need| {
                let feed = feed_of(&solution, need.name, throttle.as_deref())?;
                DutyTable::new(&setup, need, feed)
            })
            .collect();
        let unfed = tables.iter().position(Option::is_none);
        if let Some(i) = unfed {
            let name = hole_needs[i].name;
            return Ok(Err(format!(
                "nothing is known of what feeds the holes at `{name}`"
            )));
        }
        let duties: Vec<DutyTable> = tables.into_iter().flatten().collect();
        let largest = (hole_needs.iter().zip(&duties))
            .max_by(|a, b| a.0.fuel.value.total_cmp(&b.0.fuel.value));
        let low_pressure = largest.is_some_and(|(need, table)| {
            table.highest_pa() < (1.0 + soft_injector::LEAST) * need.chamber.pascals()
        });
        let targets = hole_needs.iter().map(|need| {
            let range = rig.duty(need.name).and_then(|d| d.ratio_range);
            let aim = need.equivalence_ratio.value;
            let (least, most) = range.map_or((aim, aim), |(a, b)| (a.value, b.value));
            Target {
                name: need.name.to_owned(),
                least,
                most,
                chamber_pa: need.chamber.pascals(),
                over_air_pa: need.chamber.pascals() - rig.site.air_pressure.pascals(),
            }
        });
        let asked = Asked {
            targets: targets.collect(),
            burns: true,
            smallest_drill_m: options.smallest_drill.value,
            quenching_m: quenching_m(&solution),
            spread: rig
                .injector
                .wanted_spread
                .map_or(uneven_holes::USUAL, |s| s.value),
            can_radius_m: can_radius_m(&rig),
            liquid: !solution.wants_vapour(),
            low_pressure,
            given_up: options.given_up,
        };
        let spread = SpreadTable::of(&setup, &hole_needs, &space.counts);
        drop(hole_needs);
        drop(solution);
        Ok(Ok(Self {
            rig,
            library,
            units,
            asked,
            space,
            duties,
            spread,
        }))
    }

    /// The rig with these holes.
    fn with(&self, c: Combination) -> Rig {
        let mut rig = self.rig.clone();
        rig.injector.holes = c.holes;
        rig.injector.size = HoleSize::Diameter(self.space.drills[c.drill].diameter);
        rig
    }
}

/// Quenching distance of the fuel, m.
fn quenching_m(solution: &Solution<'_>) -> Option<f64> {
    let burns = solution.flammability.as_ref().ok()?;
    Some(burns.quenching_distance.as_ref()?.value)
}

/// Radius of a round can of its volume and length, m.
fn can_radius_m(rig: &Rig) -> Option<f64> {
    let (volume, length) = rig.burner.can_volume.zip(rig.burner.can_length)?;
    Some((volume.value / (PI * length.value)).sqrt())
}

/// Numbers of holes: of a ring even ones that every feed has its share of, so that jets face each other; where the places
/// of the holes are given, as many as these.
fn counts(spec: &InjectorSpec, asked: Option<(u32, u32)>) -> Vec<u32> {
    let (step, given) = match spec.manifold.as_ref().map(|m| &m.layout) {
        Some(ManifoldLayout::Ring { feeds, holes, .. }) => {
            let feeds = u32::try_from(feeds.len()).unwrap_or(1).max(1);
            let even = if feeds.is_multiple_of(2) {
                feeds
            } else {
                2 * feeds
            };
            (even, holes.is_some())
        }
        Some(ManifoldLayout::Bar { holes, .. }) => (1, holes.is_some()),
        None => (1, false),
    };
    let (least, most) = asked.unwrap_or((1, MOST_HOLES.max(2 * spec.holes)));
    match (given, least == most) {
        (true, _) => vec![spec.holes],
        (_, true) => vec![least],
        _ => (least..=most).filter(|n| n.is_multiple_of(step)).collect(),
    }
}

/// How a duty is fed; `None` where that is not known.
fn feed_of(solution: &Solution<'_>, name: &str, throttle: Option<&str>) -> Option<Feed> {
    let rig = solution.rig;
    let duty = rig.duty(name)?;
    let solved = solution.duties.iter().find(|d| d.name == name)?;
    if solution.main_parts().is_empty() {
        return match (duty.injector_pressure, rig.injector.pressure) {
            (Some(p), _) => Some(Feed::Fixed(p.pascals())),
            (None, Some(p)) => Some(Feed::UpTo(p.pascals())),
            (None, None) => supply_pa(solution).map(Feed::UpTo),
        };
    }
    let fuel = solved.demand.as_ref().ok()?.fuel;
    let need = TrainNeed {
        name: name.to_owned(),
        fuel,
        air: None,
        chamber: duty.chamber,
        discharge_coefficient: 1.0,
    };
    let flux = solution.injector.as_ref().ok().and_then(|plan| {
        let injection = planned(plan, name)?;
        Some(injection.at_need.flux.value)
    });
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
        crate::train::rig::Supply::Mains(main) => Some(main.pressure.pascals()),
        crate::train::rig::Supply::Tank(tank) => {
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

impl Problem for OfRig<'_> {
    fn asked(&self) -> &Asked {
        &self.asked
    }

    fn space(&self) -> &Space {
        &self.space
    }

    fn table_error(&self) -> f64 {
        if self.duties.iter().any(DutyTable::is_fed_as_it_stands) {
            TABLE_ERROR
        } else {
            BAND_ERROR
        }
    }

    fn slack(&self) -> f64 {
        SLACK
    }

    fn by_table(&self, c: Combination, duties: &mut Vec<AtDuty>) {
        let d_m = self.space.drills[c.drill].diameter.value;
        duties.clear();
        duties.extend(self.duties.iter().enumerate().map(|(i, table)| AtDuty {
            spread: self.spread.as_ref().and_then(|s| s.at(c.holes, d_m, i)),
            ..table.at(c.holes, c.drill, d_m)
        }));
    }

    fn in_full(&self, c: Combination) -> Option<Vec<AtDuty>> {
        let rig = self.with(c);
        let solution = solve(&rig, self.library, self.units).ok()?;
        let plan = solution.injector.as_ref().ok()?;
        let train = !solution.main_parts().is_empty();
        let throttled = throttle_of(&rig.train, INJECTOR).is_some();
        let fluid = solution.fluid.as_ref();
        let mut given: BTreeMap<String, OutletFlow> = BTreeMap::new();
        if train {
            let duties = flows(&rig, fluid, holes(plan), &needs(&solution)).ok()?;
            given.extend(duties.into_iter().filter_map(|d| {
                let outlet = d.solution.ok()?.outlet(INJECTOR)?.clone();
                Some((d.name, outlet))
            }));
        }
        let at = |target: &Target, table: &DutyTable| {
            let Some(injection) = planned(plan, &target.name) else {
                return table.unfed();
            };
            let need = &injection.at_need;
            let (wanted, needed_pa) = (need.wanted.value, need.supply.pressure_pa);
            // what is set, or given by the train; else what the duty needs
            let (flow_kg_s, pressure_pa, fed) = match (given.get(&target.name), &injection.at_given)
            {
                (None, _) if train => (wanted, needed_pa, false),
                (Some(_), _) if throttled => (wanted, needed_pa, true),
                (Some(outlet), _) => (outlet.flow.value, outlet.inlet.pressure.pascals(), true),
                (None, Some(set)) => (set.flow.value, set.pressure.pascals(), true),
                (None, None) => (wanted, needed_pa, table.gives(needed_pa)),
            };
            let share = flow_kg_s / wanted;
            let gas = need.subcooling.is_none() && need.supply.vapour_mass_fraction >= 1.0;
            AtDuty {
                fed: fed && (gas || !solution.wants_vapour()),
                flow_kg_s,
                pressure_pa,
                ratio: table.ratio * share,
                ratio_low: injection.equivalence_ratio_low.value * share,
                ratio_high: injection.equivalence_ratio_high.value * share,
                stiffness: pressure_pa / target.chamber_pa - 1.0,
                over_choking: (pressure_pa / table.chokes_at_pa).ln(),
                superheat_k: need.superheat.map(|k| k.value),
                spread: injection
                    .sharing
                    .as_ref()
                    .map(|s| s.as_ref().map_or(1.0, |d| d.spread.value)),
                reach_m: injection
                    .reach
                    .as_ref()
                    .and_then(|r| Some(r.as_ref().ok()?.depth.value)),
            }
        };
        let targets = self.asked.targets.iter().zip(&self.duties);
        Some(targets.map(|(target, table)| at(target, table)).collect())
    }

    fn findings(&self, c: Combination) -> Vec<Finding> {
        let rig = self.with(c);
        let solved = solve(&rig, self.library, self.units).ok();
        solved.map_or_else(Vec::new, |s| audit_of(&s, &[Group::Injector]).findings)
    }
}
