//! More fuel than the air can burn.

use super::duty_path;
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Verdict};
use crate::train::rig::Setting;

rule! {
    /// ## Finding
    /// {It} burns at an equivalence ratio of {measured}; above {limit} fuel finds no air and leaves as carbon monoxide.
    /// ## What it checks
    /// Overall equivalence ratio of every duty against 1; where no valve sets the flow, the richer of two:
    /// with the fuel that the duty wants, and with what the train gives.
    /// ## Why it matters
    /// Fuel that finds no air leaves as carbon monoxide, hydrogen and soot, and burns where it meets air again: behind
    /// the duct, in the room.
    /// ## What to do
    /// Burn less fuel or give more air. Never run it indoors without a flue that takes the exhaust outside.
    "FLM001", "rich-mixture", Flame, [Danger, Warning], Choice("fuel that finds no air leaves as carbon monoxide"),
    levers ["duties.target" Down, "duties.throttle" Up, "duties.air_flow" Up, "air.flow" Up]
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    for duty in &s.duties {
        let demand = match &duty.demand {
            Ok(demand) => demand,
            Err(why) => {
                v.not_checked(format!("duty {} has no fuel flow: {why}", duty.name));
                continue;
            }
        };
        let wanted = demand.equivalence_ratio.value;
        let fed = s.as_fed(duty).map(|f| f.equivalence_ratio.value);
        let phi = fed.map_or(wanted, |fed| fed.max(wanted));
        if phi > 1.0 {
            let of_page = v.rule.says();
            let indoor = s.rig.site.setting == Setting::Indoor;
            v.signal(if indoor {
                Signal::Danger
            } else {
                Signal::Warning
            })
            .advice(if indoor {
                "Burn less fuel or give more air: indoors this fills the room with carbon monoxide"
            } else {
                "Burn less fuel or give more air, and keep people out of the exhaust"
            })
            .says(if phi > wanted {
                "With what the train gives, {it} burns at an equivalence ratio of {measured}; above {limit} fuel leaves as carbon monoxide."
                    .to_owned()
            } else {
                of_page
            })
            .find(
                duty_path(&duty.name),
                Measured::Number(phi),
                Limit::AtMost(Measured::Number(1.0)),
            );
        }
    }
}
