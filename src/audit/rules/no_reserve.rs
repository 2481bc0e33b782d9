//! A throttle or train that has nothing left above the largest duty.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## Finding
    /// {It} needs a flow coefficient of {measured}; nine tenths of its open one are {limit}, so the duty may not be
    /// reached.
    /// ## What it checks
    /// Flow coefficient that each duty needs against that of the open throttle, less a tenth.
    /// ## Why it matters
    /// Holes, regulators and valves come out up to a tenth below their figures, and then the duty is not reached.
    /// ## What to do
    /// Fit the next larger valve.
    "VLV004", "throttle-too-small", Valve, [Notice],
    Choice("a tenth for what holes, regulators and valves come out below their figures"),
    levers ["train.flow_coefficient" Up, "regulator.set_pressure" Up, "duties.target" Down]
}

/// Share of the open flow coefficient that may be used.
const RESERVE: f64 = 0.9;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some((name, study)) = solved::throttle(s, v) else {
        return;
    };
    let valve = s.rig.train.part(name).and_then(|p| p.kind.valve());
    let Some(valve) = valve else {
        v.not_checked("the throttle is not a valve");
        return;
    };
    let most = RESERVE * valve.full_open.kv();
    for duty in &study.duties {
        let Some(kv) = duty.kv else {
            v.not_checked(format!(
                "{}: no flow coefficient of the throttle gives it its flow",
                duty.duty
            ));
            continue;
        };
        if kv.kv() > most {
            let says = format!(
                "Duty {} needs {{measured}} of {{it}}, and nine tenths of the open valve are {{limit}}: the duty may not be reached.",
                duty.duty
            );
            let larger = solved::enough(s, Kind::FlowCoefficient, kv.kv() / RESERVE);
            v.advice(format!("Fit a valve of {larger} or more"))
                .says(says)
                .find(
                    solved::part_path(name),
                    (Kind::FlowCoefficient, kv.kv()),
                    Limit::at_most(Kind::FlowCoefficient, most),
                );
        }
    }
}
