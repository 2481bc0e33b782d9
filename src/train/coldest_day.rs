//! The train on the coldest day of the site.

use super::plan::{InjectorHoles, TrainDuty, TrainNeed, flows};
use super::rig::Rig;
use super::solution::TrainError;
use crate::eos::Backend;

/// The duties with the largest and the smallest flow on the coldest day of the site, with tank, surroundings and a main
/// of no stated temperature as cold as the day; a tank in a water bath stays as warm as the bath. Nothing where the site
/// gives no day colder than that of the test.
///
/// # Errors
/// [`TrainError::Supply`] if there is no state of the fuel in the tank.
pub fn on_coldest_day(
    rig: &Rig,
    fuel: &dyn Backend,
    holes: InjectorHoles,
    needs: &[TrainNeed],
) -> Result<Vec<TrainDuty>, TrainError> {
    let Some(cold) = rig
        .site
        .coldest
        .filter(|c| c.value < rig.site.ambient.value)
    else {
        return Ok(Vec::new());
    };
    let mut then = rig.clone();
    then.site.ambient = cold;
    if let super::rig::Supply::Tank(tank) = &mut then.supply {
        tank.temperature = Some(tank.water_bath.unwrap_or(cold));
    }
    // with the throttle nearly shut, the gas is let down there
    let of = |pick: fn(f64, f64) -> f64| needs.iter().map(|n| n.fuel.value).reduce(pick);
    let ends = [of(f64::min), of(f64::max)];
    let asked = needs.iter().filter(|n| ends.contains(&Some(n.fuel.value)));
    let asked: Vec<TrainNeed> = asked.cloned().collect();
    flows(&then, fuel, holes, &asked)
}
