//! A duty with its throttle left where it stands: what a train gives when something else has moved.

use super::network::ENOUGH;
use super::plan::{INJECTOR, InjectorHoles, TrainNeed, set_law, supply_of};
use super::rig::Rig;
use super::solution::{OutletFlow, TrainError};
use super::solve::flow_near;
use super::{Chamber, Conditions, OutletLaw};
use crate::eos::Backend;
use crate::flow::orifice::Expansion;

/// What flows through the injector of a rig's train with one valve at an opening.
///
/// Everything else is as `rig` has it: supply, ambient, openings, regulators. The flow wanted is only where the
/// search begins.
///
/// **Valid:** as [`flow_near`]. **Source:** those of the flow laws.
///
/// # Errors
/// [`TrainError`].
pub fn injector_flow(
    rig: &Rig,
    fuel: &dyn Backend,
    holes: InjectorHoles,
    need: &TrainNeed,
    throttle: Option<(&str, f64)>,
) -> Result<OutletFlow, TrainError> {
    let no_such = |what, name: &str| TrainError::NoSuch {
        what,
        name: name.to_owned(),
    };
    let mut unsaid = Vec::new(); // the plan of the rig has said it
    let (drawn, supply) = supply_of(rig, fuel, &mut unsaid)?;
    let mut train = rig.train.clone();
    let law = OutletLaw::Holes {
        number: holes.number,
        diameter: holes.diameter,
        discharge_coefficient: need.discharge_coefficient,
    };
    set_law(&mut train.run, INJECTOR, law);
    if let Some((name, opening)) = throttle {
        let valve = train.part_mut(name).and_then(|p| p.kind.valve_mut());
        valve.ok_or_else(|| no_such("valve", name))?.opening = opening;
    }
    let conditions = Conditions {
        fuel: drawn.as_ref(),
        supplies: vec![supply; train.sources.len()],
        ambient: rig.site.ambient,
        chambers: vec![Chamber::Fixed(need.chamber)],
        expansion: Expansion::Blend,
    };
    let solution = flow_near(&train, &conditions, need.fuel, ENOUGH)?;
    let outlet = solution.outlet(INJECTOR).cloned();
    outlet.ok_or_else(|| no_such("outlet", INJECTOR))
}
