//! A train without a throttle that gives another flow than a duty wants.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## Finding
    /// {It} gets {measured} of fuel and wants {limit}: no valve sets the flow, so the mixture is off.
    /// ## What it checks
    /// Where no valve sets the flow: what the solved train gives the holes with its valves as they stand, against
    /// what each duty wants, with 10 % allowed.
    /// ## Why it matters
    /// Without a valve the burner runs at what the train gives, and at the mixture that follows, whatever the file
    /// says.
    /// ## What to do
    /// Fit a throttle, or a second stage with its own valve. Or change the set pressure, or write the duties as they
    /// really run.
    "TRN002", "flow-not-as-wanted", Train, [Warning], Choice("as much as the holes themselves are uncertain by"),
    levers ["regulator.set_pressure" Either, "injector.hole_diameter" Either, "train.flow_coefficient" Either,
        "pump.outlet_pressure" Either, "duties.target" Either]
}

/// Largest deviation let pass.
pub(crate) const MOST: f64 = 0.10;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(plan) = solved::train(s, v) else {
        return;
    };
    if plan.throttle.is_some() {
        return;
    }
    for duty in &plan.duties {
        let Some(holes) = duty
            .solution
            .as_ref()
            .ok()
            .and_then(|x| x.outlet(crate::train::plan::INJECTOR))
        else {
            continue;
        };
        let off = holes.flow.value / duty.wanted.value - 1.0;
        if off.abs() > MOST {
            let wanted = s.show(Kind::MassRate, duty.wanted.value);
            v.find(
                super::duty_path(&duty.name),
                (Kind::MassRate, holes.flow.value),
                Limit::of_words(
                    Kind::MassRate,
                    duty.wanted.value * (1.0 + MOST.copysign(off)),
                    format!("{wanted} within 10 %"),
                ),
            );
        }
    }
}
