//! A rig, solved: what every rule may look at.

mod duties;
mod injector;
mod leaks;
mod tank;
mod tank_study;
mod tightness;
mod train;

pub use tank::{RunOutcome, TankDuty, TankSolution};
pub use tank_study::{
    Asked, DutyStudy, Emptied, Emptying, FIRST_COIL_BORE_M, PAST_FULL_K, Strength, StudiedRun,
    TankStudy, Unusable, WallStress, Warmth, outside_area, tank_study, wall_density,
    wall_thickness,
};
pub use train::{holes, needs, train_with_curve};

use super::Measured;
use crate::combustion::flame::fuel_feed::usual_phase;
use crate::combustion::flame::{Burner, Flame};
use crate::combustion::{Flammability, Stoichiometry};
use crate::eos::{Backend, EosError};
use crate::fuel::{Composition, FedAs, Library};
use crate::injector::duty::Demand;
use crate::injector::plan::InjectorPlan;
use crate::leak::rig::LeakPlan;
use crate::mass::Inventory;
use crate::quantity::sentence::Told;
use crate::quantity::show::{Show, Units, show};
use crate::quantity::{AbsolutePressure, Kind, MassRate, Power, Ratio, ThermodynamicTemperature};
use crate::train::plan::{INJECTOR, gas_over_liquid};
use crate::train::rig::Rig;
use crate::train::{Draw, Part, PartKind, TrainDuty, TrainPlan};
use std::sync::{Arc, OnceLock};

/// A rig with everything that was computed of it. What could not be had says why.
#[derive(Debug)]
pub struct Solution<'a> {
    /// The rig.
    pub rig: &'a Rig,
    /// Fuel properties.
    pub fluid: Arc<dyn Backend>,
    /// Air and heat of the fuel.
    pub stoichiometry: Result<Stoichiometry, String>,
    /// Limits of the fuel in air.
    pub flammability: Result<Flammability, String>,
    /// Duties, in the order of the file.
    pub duties: Vec<DutySolution>,
    /// The holes at every duty.
    pub injector: Result<InjectorPlan, String>,
    /// Units of texts.
    pub units: Units,
    /// What was taken for granted.
    pub assumptions: Vec<String>,
    /// The train, worked out when first asked for.
    train: OnceLock<Result<TrainPlan, String>>,
    /// The train on the coldest day, worked out when first asked for.
    cold_day: OnceLock<Result<Vec<TrainDuty>, String>>,
    /// Every release, worked out when first asked for.
    leaks: OnceLock<Result<LeakPlan, String>>,
    /// The tank, worked out when first asked for.
    tank: OnceLock<Result<TankSolution, String>>,
    /// The gas of the leak test.
    nitrogen: Option<Arc<dyn Backend>>,
    /// What keeps the fuel in and stops it, worked out when first asked for.
    tightness: tightness::Tightness,
}

/// One duty.
#[derive(Debug, Clone)]
pub struct DutySolution {
    /// Name.
    pub name: String,
    /// Air flow, moist; `None` if neither duty nor blower gives it.
    pub air: Option<MassRate>,
    /// Share of it that is dry air.
    pub dry_share: Ratio,
    /// Temperature of the air at the fire.
    pub air_temperature: ThermodynamicTemperature,
    /// Pressure behind the holes.
    pub chamber: AbsolutePressure,
    /// Fuel and heat, or why not.
    pub demand: Result<Demand, String>,
    /// Gas that leaves, of all the fuel with all the air, less the heat not set free and what the walls take, or why
    /// not.
    pub exit: Result<Flame, String>,
    /// Flame of the primary zone; `None` where the burner gives no share of primary air.
    pub primary: Option<Result<Flame, String>>,
    /// The fire, for flames at other mixtures.
    fire: Result<Burner, String>,
}

/// A duty with the fuel that the train gives it, where no valve sets it to what the duty wants.
#[derive(Debug, Clone)]
pub struct AsFed {
    /// Fuel flow through the holes of the injector.
    pub fuel: MassRate,
    /// Equivalence ratio with the air of the duty.
    pub equivalence_ratio: Ratio,
    /// Gas that leaves, of all that fuel with all the air, as in [`DutySolution::exit`].
    pub exit: Result<Flame, String>,
}

/// The hotter exit of a duty: with the fuel that is wanted, or with what the train gives.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HotterExit {
    /// Its temperature.
    pub temperature: ThermodynamicTemperature,
    /// The fuel flow of the train, if that is the hotter one.
    pub as_fed: Option<MassRate>,
}

/// What a duty burns: what the train gives where no valve sets the flow, else what is wanted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Burns {
    /// Fuel flow.
    pub fuel: MassRate,
    /// Equivalence ratio with the air of the duty.
    pub equivalence_ratio: Ratio,
    /// Heat that is set free.
    pub heat_release: Power,
    /// Temperature of the gas that leaves.
    pub exit: Option<ThermodynamicTemperature>,
}

impl DutySolution {
    /// What it burns, as the train feeds it or else as wanted; `None` without a fuel flow.
    pub fn burns(&self, fed: Option<&AsFed>) -> Option<Burns> {
        let demand = self.demand.as_ref().ok()?;
        Some(match fed {
            None => Burns {
                fuel: demand.fuel,
                equivalence_ratio: demand.equivalence_ratio,
                heat_release: demand.heat_release,
                exit: self.exit_temperature(),
            },
            Some(fed) => Burns {
                fuel: fed.fuel,
                equivalence_ratio: fed.equivalence_ratio,
                heat_release: demand.heat_release * (fed.fuel.value / demand.fuel.value),
                exit: fed.exit.as_ref().ok().map(|flame| flame.temperature),
            },
        })
    }

    /// Temperature of the gas that leaves.
    pub fn exit_temperature(&self) -> Option<ThermodynamicTemperature> {
        self.exit.as_ref().ok().map(|f| f.temperature)
    }
}

/// Solves a rig as far as it goes.
///
/// # Errors
/// If there is no property model for the fuel; anything else is an answer of its own.
pub fn solve<'a>(rig: &'a Rig, library: &Library, units: Units) -> Result<Solution<'a>, EosError> {
    let fluid = crate::eos::backend(library, &rig.fuel.composition)?;
    let fluid = fluid.recomposed_to_stay(&rig.fuel.composition.mole_fractions())?;
    let mut solution = Solution {
        rig,
        stoichiometry: Stoichiometry::of(&rig.fuel.composition).map_err(|e| e.told().show(units)),
        flammability: Flammability::of(&rig.fuel.composition).map_err(|e| e.told().show(units)),
        duties: Vec::new(),
        injector: Err(String::new()),
        units,
        assumptions: rig.assumptions.iter().map(|a| a.show(units)).collect(),
        fluid,
        train: OnceLock::new(),
        cold_day: OnceLock::new(),
        tank: OnceLock::new(),
        leaks: OnceLock::new(),
        nitrogen: Composition::parse("nitrogen", library)
            .ok()
            .and_then(|gas| crate::eos::backend(library, &gas).ok()),
        tightness: tightness::Tightness::default(),
    };
    for sentence in solution.fluid.assumptions().to_vec() {
        solution.assume(sentence);
    }
    solution.duties = solution.solved_duties();
    solution.plan_injector();
    if let Ok(plan) = &solution.injector {
        for sentence in plan.assumptions.clone() {
            solution.assume(sentence.show(units));
        }
    }
    Ok(solution)
}

impl Solution<'_> {
    fn assume(&mut self, sentence: impl Into<String>) {
        let sentence = sentence.into();
        if !self.assumptions.contains(&sentence) {
            self.assumptions.push(sentence);
        }
    }

    /// The train at every duty, its throttle and its shut-offs; without the points of the throttle curve
    /// ([`train_with_curve`] has them).
    pub fn train(&self) -> &Result<TrainPlan, String> {
        self.train.get_or_init(|| train_with_curve(self, 0))
    }

    /// The train on the coldest day of the site, at the duties with the largest and the smallest flow; none where
    /// there is no colder day.
    pub fn cold_day(&self) -> &Result<Vec<TrainDuty>, String> {
        self.cold_day.get_or_init(|| train::cold_day(self))
    }

    /// The tank: what the duties ask of it, the run of the schedule, filling, the hottest day.
    pub fn tank(&self) -> &Result<TankSolution, String> {
        self.tank.get_or_init(|| tank::solved_tank(self))
    }

    /// Every release of the rig: joints, breaks, stuck regulators, the burner fed and not lit.
    pub fn leaks(&self) -> &Result<LeakPlan, String> {
        self.leaks.get_or_init(|| leaks::planned(self))
    }

    /// Why something could not be had, as text.
    pub fn why(&self, error: &impl Told) -> String {
        let air_pa = self.rig.site.air_pressure.pascals();
        error.told().by_gauge(air_pa).show(self.units)
    }

    /// A duty as the train feeds it; `None` where a valve sets the flow to what is wanted, and where the train is
    /// not solved.
    pub fn as_fed(&self, duty: &DutySolution) -> Option<AsFed> {
        let plan = self.train().as_ref().ok()?;
        if plan.throttle.is_some() || self.main_parts().is_empty() {
            return None;
        }
        let of_train = plan.duties.iter().find(|d| d.name == duty.name)?;
        let fuel = of_train.solution.as_ref().ok()?.outlet(INJECTOR)?.flow;
        let demand = duty.demand.as_ref().ok()?;
        let equivalence_ratio = demand.equivalence_ratio * (fuel.value / demand.fuel.value);
        let exit = duty.fire.as_ref().map_err(Clone::clone);
        let exit = exit.and_then(|f| f.flame(equivalence_ratio).map_err(|e| e.to_string()));
        Some(AsFed {
            fuel,
            equivalence_ratio,
            exit,
        })
    }

    /// The hotter exit of a duty, of those that are known.
    pub fn hotter_exit(&self, duty: &DutySolution) -> Option<HotterExit> {
        let wanted = duty.exit_temperature().map(|temperature| HotterExit {
            temperature,
            as_fed: None,
        });
        let fed = self.as_fed(duty).and_then(|fed| {
            Some(HotterExit {
                temperature: fed.exit.ok()?.temperature,
                as_fed: Some(fed.fuel),
            })
        });
        match (wanted, fed) {
            (Some(a), Some(b)) if b.temperature.value <= a.temperature.value => Some(a),
            (a, b) => b.or(a),
        }
    }

    /// The duty with the hottest primary zone, of those that are known.
    pub fn hottest_zone(&self) -> Option<(&DutySolution, ThermodynamicTemperature)> {
        let zone = |d| {
            let duty: &DutySolution = d;
            Some((duty, duty.primary.as_ref()?.as_ref().ok()?.temperature))
        };
        let zones = self.duties.iter().filter_map(zone);
        zones.max_by(|a, b| a.1.value.total_cmp(&b.1.value))
    }

    /// A quantity as text.
    pub fn show(&self, kind: Kind, si: f64) -> String {
        show(kind, si, self.units)
    }

    /// A figure with words around it.
    pub fn worded(&self, kind: Kind, si: f64, words: impl FnOnce(String) -> String) -> Measured {
        Measured::Worded(kind, si, words(self.show(kind, si)))
    }

    /// A pressure as a gauge at the site reads it, with words around it.
    pub fn gauged(&self, p: AbsolutePressure, words: impl FnOnce(String) -> String) -> Measured {
        Measured::Worded(Kind::AbsolutePressure, p.pascals(), words(self.gauge(p)))
    }

    /// A pressure as a gauge at the site reads it.
    pub fn pressure(&self, p: AbsolutePressure) -> Measured {
        self.gauged(p, |x| x)
    }

    /// What a path of the rig is about, in words: "hose `pigtail`", "duty `full`", "tank".
    pub fn subject(&self, at: &str) -> String {
        let mut steps = at.split('.');
        match (steps.next().unwrap_or(at), steps.next()) {
            ("train", Some(name)) => {
                let kind = self.rig.train.part(name).map(|p| p.kind.name());
                format!("{} `{name}`", kind.unwrap_or("part").replace('-', " "))
            }
            ("train", None) => "fuel train".to_owned(),
            ("duties", Some(name)) => format!("duty `{name}`"),
            ("site", Some(key)) => key.replace('_', " "),
            (table, _) => table.replace('_', " "),
        }
    }

    /// A pressure as a gauge at the site reads it.
    pub fn gauge(&self, p: AbsolutePressure) -> String {
        p.gauge(self.rig.site.air_pressure).show(self.units)
    }

    /// Pressure of the air or gas over a liquid in the tank; `None` for liquefied gas and for a main.
    pub fn pad(&self) -> Option<AbsolutePressure> {
        let tank = self.rig.supply.tank()?;
        let t = tank.temperature.unwrap_or(self.rig.site.ambient);
        gas_over_liquid(self.fluid.as_ref(), tank, t)
    }

    /// Why no vapour can be drawn from a tank of liquid fuel that is to give it; `None` where it can, and where liquid
    /// is drawn.
    pub fn no_vapour(&self) -> Option<String> {
        let tank = self.rig.supply.tank()?;
        let fuel = &self.rig.fuel.composition;
        if tank.draw == Draw::Liquid || usual_phase(fuel) != FedAs::Liquid {
            return None;
        }
        let start = tank.temperature.unwrap_or(self.rig.site.ambient).value;
        let t_k = tank.water_bath.map_or(start, |bath| bath.value.max(start));
        let own_pa = self.fluid.bubble_t(t_k).ok()?.pressure_pa;
        let t = self.show(Kind::Temperature, t_k);
        (own_pa < self.rig.site.air_pressure.pascals())
            .then(|| format!("{} gives no vapour to draw at {t}", fuel.label()))
    }

    /// Whether liquid is drawn that does not boil at the pressure of the air: its own vapour presses nothing out.
    pub fn draws_oil(&self) -> bool {
        let Some(tank) = self.rig.supply.tank() else {
            return false;
        };
        let t = tank.temperature.unwrap_or(self.rig.site.ambient);
        let boils = |pa: f64| pa >= self.rig.site.air_pressure.pascals();
        let own = self.fluid.bubble_t(t.value);
        tank.draw == Draw::Liquid
            && usual_phase(&self.rig.fuel.composition) == FedAs::Liquid
            && !own.is_ok_and(|e| boils(e.pressure_pa))
    }

    /// What has to be known of a tank of liquid fuel that states no pressure; `None` where it is stated, and where
    /// the vapour of the fuel stands in the tank.
    pub fn no_pad(&self) -> Option<String> {
        let stated = (self.rig.supply.tank()).is_some_and(|t| t.pressure.is_some());
        (!stated && self.draws_oil())
            .then(|| "is the tank vented, or under what gas pressure? (`tank.pressure`)".to_owned())
    }

    /// Whether the liquid of a liquefied gas is drawn under its own pressure.
    pub fn draws_liquefied_gas(&self) -> bool {
        let tank = self.rig.supply.tank();
        tank.is_some_and(|t| t.draw == Draw::Liquid) && self.pad().is_none()
    }

    /// Parts from the supply to the injector, side branches left out.
    pub fn main_parts(&self) -> Vec<&Part> {
        use crate::train::End;
        let train = &self.rig.train;
        let mut parts: Vec<&Part> = train.sources.iter().flat_map(|s| &s.parts).collect();
        let mut run = &train.run;
        loop {
            parts.extend(&run.parts);
            match &run.end {
                End::Outlet(_) => return parts,
                End::Split(runs) => match runs.first() {
                    // the first branch is that of the injector: the reader builds it so
                    Some(first) => run = first,
                    None => return parts,
                },
            }
        }
    }

    /// Set pressure of the last regulator before the injector.
    pub fn last_set_pressure(&self) -> Option<(&Part, AbsolutePressure)> {
        let mut parts = self.main_parts();
        parts.reverse();
        parts.into_iter().find_map(|part| match &part.kind {
            PartKind::Regulator(r) => Some((part, r.set_pressure)),
            _ => None,
        })
    }

    /// Whether gas comes from tank or main with no regulator on the way.
    pub fn is_unregulated(&self) -> bool {
        let liquid = self
            .rig
            .supply
            .tank()
            .is_some_and(|t| t.draw == Draw::Liquid);
        !liquid && self.no_vapour().is_none() && self.last_set_pressure().is_none()
    }

    /// What everything weighs, with the fuel in the tank.
    pub fn inventory(&self) -> Inventory {
        Inventory::of(self.rig, self.fluid.as_ref())
    }
}
