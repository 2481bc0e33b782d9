//! Every release of a rig: leaking joints at each pressure, lines that break, regulators that stick open,
//! a burner that is fed and not lit.

mod breaks;
mod emptying;
mod levels;
mod stuck;
mod unlit;

pub use breaks::{Break, ExcessFlow};
pub use emptying::{TankEmptying, emptying};
pub use levels::{JOINT_LEAKS, JointLeak, Level};
pub use stuck::{KeptOff, RatedBelow, StuckRegulator};
pub use unlit::UnlitDuty;

use super::room::Room;
use super::{Consequences, LeakError, LeakFuel, Release, Surroundings};
use crate::eos::Backend;
use crate::quantity::{AbsolutePressure, Mass, cubic_metres_per_second, pascals_absolute};
use crate::train::Supply as TankState;
use crate::train::cylinder::cylinder;
use crate::train::plan::{
    InjectorHoles, TrainFire, TrainNeed, TrainPlan, gas_over_liquid, supply_of,
};
use crate::train::rig::{Rig, Setting};
use std::sync::Arc;

/// A release with what it does.
#[derive(Debug, Clone)]
pub struct Effect {
    /// What comes out.
    pub release: Release,
    /// What it does.
    pub consequences: Consequences,
}

/// Every release of a rig.
#[derive(Debug)]
pub struct LeakPlan {
    /// Air at the site.
    pub around: Surroundings,
    /// Room the rig stands in; `None` in the open, or where its volume is not given.
    pub room: Option<Room>,
    /// Fuel as it is drawn.
    pub fluid: Arc<dyn Backend>,
    /// The same in the air of the site.
    pub fuel: LeakFuel,
    /// Leaking joints, by pressure and size.
    pub joints: Vec<JointLeak>,
    /// Lines that break.
    pub breaks: Vec<Break>,
    /// Regulators that stick open.
    pub stuck: Vec<StuckRegulator>,
    /// The burner fed and not lit, at each duty.
    pub unlit: Vec<UnlitDuty>,
    /// Fuel in all tanks together; `None` for a main, or where it is not known.
    pub inventory: Option<Mass>,
    /// What was taken for granted.
    pub assumptions: Vec<String>,
}

impl LeakPlan {
    /// The break that lets out most before anything closes.
    pub fn worst_break(&self) -> Option<(&Break, &Effect)> {
        self.breaks
            .iter()
            .filter_map(|b| Some((b, b.effect.as_ref().ok()?)))
            .max_by(|a, b| {
                let flow = |e: &Effect| e.release.flow.value;
                flow(a.1).total_cmp(&flow(b.1))
            })
    }

    /// The break that lets out most and that nothing closes by itself.
    pub fn worst_open_break(&self) -> Option<(&Break, &Effect)> {
        self.breaks
            .iter()
            .filter(|b| b.excess_flow.as_ref().is_none_or(|e| !e.closes))
            .filter_map(|b| Some((b, b.effect.as_ref().ok()?)))
            .max_by(|a, b| {
                let flow = |e: &Effect| e.release.flow.value;
                flow(a.1).total_cmp(&flow(b.1))
            })
    }

    /// The release that lets out most of all that nothing closes: breaks and joints.
    pub fn worst_lasting(&self) -> Option<(String, &Effect)> {
        let joints = (0..JOINT_LEAKS.len())
            .filter_map(|size| self.worst_joint(size))
            .map(|(j, e)| {
                (
                    format!(
                        "a {} at the {}",
                        j.size_name().replace(", ", " of "),
                        j.level.from
                    ),
                    e,
                )
            });
        let breaks = self
            .worst_open_break()
            .map(|(b, e)| (format!("a full-bore break of the {}", b.part), e));
        joints.chain(breaks).max_by(|a, b| {
            let flow = |e: &Effect| e.release.flow.value;
            flow(a.1).total_cmp(&flow(b.1))
        })
    }

    /// The joint leak of a size that lets out most.
    pub fn worst_joint(&self, size: usize) -> Option<(&JointLeak, &Effect)> {
        self.joints
            .iter()
            .filter(|j| j.size == size)
            .filter_map(|j| Some((j, j.effect.as_ref().ok()?)))
            .max_by(|a, b| {
                let flow = |e: &Effect| e.release.flow.value;
                flow(a.1).total_cmp(&flow(b.1))
            })
    }
}

/// What the duties are, for the releases that depend on them.
#[derive(Debug, Clone, Copy)]
pub struct Duties<'a> {
    /// Holes of the injector.
    pub holes: InjectorHoles,
    /// What each duty wants.
    pub needs: &'a [TrainNeed],
    /// Heat and air of the fuel.
    pub fire: Option<TrainFire>,
    /// The train at each duty, for the settings of its throttle.
    pub train: Option<&'a TrainPlan>,
}

/// Everything a release case needs.
pub(super) struct Case<'a> {
    rig: &'a Rig,
    fluid: &'a dyn Backend,
    supply: TankState,
    around: Surroundings,
    fuel: LeakFuel,
    room: Option<Room>,
    /// Pressure of a tank of liquefied gas on the hottest day, no higher than its relief valve lets it be.
    hottest: Option<AbsolutePressure>,
}

impl Case<'_> {
    fn effect(&self, release: Release) -> Result<Effect, LeakError> {
        let consequences =
            super::consequences(&release, &self.fuel, &self.around, self.room.as_ref())?;
        Ok(Effect {
            release,
            consequences,
        })
    }
}

/// Every release of a rig.
///
/// Without duties (their holes or flows not known) the releases that need none are computed.
///
/// **Valid:** each as its own type says. **Errors:** [`LeakError::Train`] if the tank has no state; a
/// release that cannot be had says why in its place. **Source:** those of `leak` and `train`.
///
/// # Errors
/// As above.
pub fn plan(
    rig: &Rig,
    fluid: &Arc<dyn Backend>,
    duties: Option<&Duties<'_>>,
) -> Result<LeakPlan, LeakError> {
    let (drawn, supply) = supply_of(rig, fluid.as_ref(), &mut Vec::new())?;
    let around = Surroundings {
        pressure: rig.site.air_pressure,
        temperature: rig.site.ambient,
    };
    let fuel = LeakFuel::of(drawn.as_ref(), &around)?;
    let mut assumptions = vec![
        "Breaks and leaks are at the first moment, with the tank as the file has it; every valve before a break is open and every regulator before it wide open.".to_owned(),
    ];
    let room = room_of(rig, &mut assumptions);
    let case = Case {
        rig,
        fluid: drawn.as_ref(),
        supply,
        around,
        fuel,
        room,
        hottest: hottest(rig, fluid.as_ref()),
    };
    let joints = levels::joint_leaks(&case)?;
    let breaks = breaks::breaks(&case)?;
    let stuck = duties.map_or_else(Vec::new, |d| stuck::stuck_regulators(&case, d));
    let unlit = duties.map_or_else(Vec::new, |d| unlit::unlit_duties(&case, d));
    Ok(LeakPlan {
        around,
        room,
        fuel,
        joints,
        breaks,
        stuck,
        unlit,
        inventory: inventory(rig, fluid),
        assumptions,
        fluid: Arc::clone(&drawn),
    })
}

fn hottest(rig: &Rig, fluid: &dyn Backend) -> Option<AbsolutePressure> {
    let tank = rig.supply.tank()?;
    let start = tank.temperature.unwrap_or(rig.site.ambient);
    let day = rig.site.hottest?;
    if gas_over_liquid(fluid, tank, start).is_some() {
        return None;
    }
    let vapour_pa = fluid.bubble_t(day.value).ok()?.pressure_pa;
    let relief_pa = tank
        .relief_pressure
        .map_or(f64::INFINITY, AbsolutePressure::pascals);
    Some(pascals_absolute(vapour_pa.min(relief_pa)))
}

fn inventory(rig: &Rig, fluid: &Arc<dyn Backend>) -> Option<Mass> {
    let spec = rig.supply.tank()?;
    let one = cylinder(rig, spec, fluid).ok()?;
    Some(one.charge.mass * f64::from(spec.number.max(1)))
}

fn room_of(rig: &Rig, assumptions: &mut Vec<String>) -> Option<Room> {
    let site = &rig.site;
    if site.setting == Setting::Outdoor {
        return None;
    }
    let volume = site.room_volume?;
    if site.ventilation.is_none() {
        assumptions.push("The room is taken as closed: the site gives no ventilation.".to_owned());
    }
    Some(Room {
        volume,
        ventilation: site
            .ventilation
            .unwrap_or_else(|| cubic_metres_per_second(0.0)),
    })
}
