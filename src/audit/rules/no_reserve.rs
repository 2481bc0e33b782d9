//! A throttle or train that has nothing left above the largest duty.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Solution, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## What it checks
    /// Flow coefficient that each duty needs against that of the open throttle, less a tenth.
    /// ## Why it matters
    /// Holes, regulators and valves come out up to a tenth below their figures: the duty is then not
    /// reached.
    /// ## What to do
    /// The next larger valve.
    "VLV004", "throttle-too-small", Valve, [Notice],
    Choice("a tenth for what holes, regulators and valves come out below their figures")
}

/// Share of the open flow coefficient that may be used.
const RESERVE: f64 = 0.9;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some((name, study)) = solved::throttle(s, v) else {
        return;
    };
    let valve = s.rig.train.part(name).and_then(|p| p.kind.valve());
    let Some(valve) = valve else {
        v.not_checked("the throttle is no valve");
        return;
    };
    let most = RESERVE * valve.full_open.kv();
    for duty in &study.duties {
        let Some(kv) = duty.kv else {
            v.not_checked(format!(
                "{}: no flow coefficient gives it its flow",
                duty.duty
            ));
            continue;
        };
        if kv.kv() > most {
            v.find(
                solved::part_path(name),
                (
                    Kind::FlowCoefficient,
                    kv.kv(),
                    format!("Kv {:.3} m3/h needed in {}", kv.kv(), duty.duty),
                ),
                Limit::AtMost(Measured::Worded(
                    Kind::FlowCoefficient,
                    most,
                    format!("{most:.3} m3/h, nine tenths of the open valve"),
                )),
            );
        }
    }
}
