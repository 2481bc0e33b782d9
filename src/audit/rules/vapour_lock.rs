//! Vapour at the inlet of a pump.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::train::{CheckKind, PartKind, PartProblem, TrainError};

rule! {
    /// ## Finding
    /// {It} gets {measured} above the vapour pressure {when} and needs {limit}: vapour locks it, and the flame goes
    /// out.
    /// ## What it checks
    /// Pressure above the vapour pressure at each pump's inlet against what the pump needs, and whether it has vapour
    /// at its inlet.
    /// ## Why it matters
    /// A pump full of vapour moves nothing: the flame goes out, the pump runs hot, and then it all comes back at once.
    /// ## What to do
    /// Put the pump below and close to the tank, with a short wide inlet line. Keep the tank cool, or put gas pressure
    /// over the liquid if the tank is rated for it.
    "LIQ003", "vapour-lock", Liquid, [Warning], Choice("a pump for liquid moves no vapour"),
    levers ["tube.bore" Up, "hose.bore" Up, "train.length" Down, "train.rise" Down, "train.flow_coefficient" Up]
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if !s.rig.train.parts().iter().any(|p| p.is_pump()) {
        v.not_checked("the train has no pump");
        return;
    }
    let Some(plan) = solved::train(s, v) else {
        return;
    };
    for found in solved::remarked(plan, &[CheckKind::VapourLock]) {
        found.find(s, v, "npsh_required", Limit::AtLeast(found.limit(s)));
    }
    for duty in &plan.duties {
        if let Err(TrainError::Part {
            part,
            problem: problem @ PartProblem::VapourAtPump { .. },
        }) = &duty.solution
        {
            let says = format!(
                "{{It}} is vapour-locked at duty {}: {{measured}}.",
                duty.name
            );
            v.says(says).find(
                solved::part_path(part),
                problem.to_string(),
                Limit::Should("liquid alone"),
            );
        }
    }
    for part in s.rig.train.parts() {
        if let PartKind::Pump(pump) = &part.kind
            && pump.npsh_required.is_none()
        {
            v.not_checked(format!(
                "{} does not say how much pressure it needs above the vapour pressure",
                part.name
            ));
        }
    }
}
