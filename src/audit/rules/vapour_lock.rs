//! Vapour at the inlet of a pump.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::train::{CheckKind, PartKind, PartProblem, TrainError};

rule! {
    /// ## What it checks
    /// Pressure above the vapour pressure at each pump's inlet against what the pump needs, and whether
    /// there is vapour at all.
    /// ## Why it matters
    /// A pump full of vapour moves nothing: the flame goes out, the pump runs hot, and then it all
    /// comes back at once.
    /// ## What to do
    /// The pump below and close to the tank, a wide short inlet line, a cool tank, or gas pressure over
    /// the liquid if the tank is rated for it.
    "LIQ003", "vapour-lock", Liquid, [Warning], Choice("a pump for liquid moves no vapour")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if !s.rig.train.parts().iter().any(|p| p.is_pump()) {
        v.not_checked("there is no pump");
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
            v.find(
                solved::part_path(part),
                format!("{problem}, in {}", duty.name),
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
