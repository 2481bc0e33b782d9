//! The tank of a rig emptying through the worst break that nothing closes.

use super::LeakPlan;
use crate::eos::Backend;
use crate::flow::orifice::Stagnation;
use crate::leak::LeakError;
use crate::leak::decay::Decay;
use crate::leak::release::{BOUNDING, Hole, release};
use crate::leak::tank_decay::{LeakingTank, empty_tank};
use crate::quantity::{MassRate, Time, metres, ratio};
use crate::tank::schedule::Drawn;
use crate::tank::vessel::{Charge, Tank};
use crate::train::cylinder::cylinder;
use crate::train::plan::gas_over_liquid;
use crate::train::rig::{Rig, Supply};
use crate::train::{Draw, TrainError};
use std::f64::consts::PI;
use std::sync::Arc;

/// A tank that empties through a break.
#[derive(Debug, Clone)]
pub struct TankEmptying {
    /// Part that broke.
    pub part: String,
    /// Flow of one cylinder at the first moment.
    pub first: MassRate,
    /// One cylinder over time.
    pub decay: Decay,
    /// What was taken for granted.
    pub assumptions: Vec<String>,
}

/// The tank emptying through the worst break that nothing closes: one cylinder, with chilling. `None`
/// without a tank or such a break.
///
/// The train before the break is taken as one hole at the tank that passes the same at the first moment.
///
/// * `fluid` — fuel as the tank is filled with it
/// * `most` — longest time that is looked at
///
/// **Valid:** as [`empty_tank`], of what boils in its tank. **Errors:** [`LeakError`]. **Source:** as there.
///
/// # Errors
/// As above.
pub fn emptying(
    rig: &Rig,
    fluid: &Arc<dyn Backend>,
    plan: &LeakPlan,
    most: Time,
) -> Result<Option<TankEmptying>, LeakError> {
    let (Supply::Tank(spec), Some((broken, effect))) = (&rig.supply, plan.worst_open_break())
    else {
        return Ok(None);
    };
    let t = spec.temperature.unwrap_or(rig.site.ambient);
    if gas_over_liquid(fluid.as_ref(), spec, t).is_some() {
        return Err(LeakError::GasOverLiquid);
    }
    // a break in the parts of one cylinder is fed by that one alone
    let own = rig
        .train
        .sources
        .iter()
        .any(|s| s.parts.iter().any(|p| p.name == broken.part));
    let feeding = if own { 1 } else { spec.number.max(1) };
    let first = effect.release.flow / f64::from(feeding);
    let mut one = cylinder(rig, spec, fluid)?;
    if one.heat.is_err() {
        one.assumptions.push(
            "No heat reaches the leaking tank: neither its size nor its conductance is given."
                .to_owned(),
        );
    }
    let phase = match spec.draw {
        Draw::Vapour => Drawn::Vapour,
        Draw::Liquid => Drawn::Liquid,
    };
    let hole = hole_that_passes(&one.tank, &one.charge, phase, first, plan)?;
    let leaking = LeakingTank {
        tank: one.tank,
        charge: one.charge,
        phase,
        hole,
        outside: plan.around.pressure,
        expansion: BOUNDING,
    };
    Ok(Some(TankEmptying {
        part: broken.part.clone(),
        first,
        decay: empty_tank(&leaking, most)?,
        assumptions: one.assumptions,
    }))
}

/// The hole that passes a flow from a tank as it is.
fn hole_that_passes(
    tank: &Tank,
    charge: &Charge,
    phase: Drawn,
    flow: MassRate,
    plan: &LeakPlan,
) -> Result<Hole, LeakError> {
    use crate::eos::Phase;
    let contents = tank.contents(charge)?;
    let wanted = match (phase, &contents.liquid_composition) {
        (Drawn::Liquid, Some(_)) => Phase::Liquid,
        _ => Phase::Gas,
    };
    let state = plan.fluid.state_pt_in(
        contents.pressure.pascals(),
        contents.temperature.value,
        wanted,
    )?;
    let trial = Hole {
        diameter: metres(1e-3),
        coefficient: Some(ratio(1.0)),
    };
    let up = Stagnation::of(plan.fluid.as_ref(), state);
    let passes = release(&up, plan.around.pressure, &trial, BOUNDING)?;
    let area = flow.value / passes.flux.value;
    if !(area > 0.0 && area.is_finite()) {
        return Err(LeakError::Train(TrainError::Shape {
            why: "the break passes nothing".into(),
        }));
    }
    Ok(Hole {
        diameter: metres((4.0 * area / PI).sqrt()),
        coefficient: Some(ratio(1.0)),
    })
}
