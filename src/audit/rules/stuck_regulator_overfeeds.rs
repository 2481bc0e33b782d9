//! A regulator that sticks open and overfeeds the burner with nothing to stop it.

use super::leak_plan;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::quantity::Kind;
use crate::quantity::show::significant;

rule! {
    /// ## Finding
    /// If {it} sticks open, the burner gets {measured} of fuel, over {limit}{rich}: it burns too hot or too rich.
    /// ## What it checks
    /// Flow to the injector with a regulator stuck wide open and the throttle as at the largest duty, against 1.5
    /// times what that duty wants, unless a switch shuts the fuel at high pressure or the regulator has a slam-shut.
    /// ## Why it matters
    /// A grain of dirt on the seat holds a regulator open. The burner then gets a multiple of its fuel: it burns too
    /// hot or too rich, and the flame may stand outside.
    /// ## What to do
    /// Fit a high-pressure cut-off, or a second regulator before it.
    "LEK018", "stuck-regulator-overfeeds", Leak, [Warning], Choice("half as much again as the largest duty"),
    levers ["regulator.wide_open" Down, "relief-valve.set_pressure" Down, "regulator.shut_off_pressure" Down,
        "injector.hole_diameter" Down]
}

const MOST: f64 = 1.5;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if s.rig.controls.high_fuel_cutoff == Some(true) {
        return;
    }
    let Some(plan) = leak_plan(s, v) else { return };
    for stuck in &plan.stuck {
        let part = s.rig.train.part(&stuck.part);
        if part.is_some_and(|p| p.protection.shut_off_pressure.is_some()) {
            continue;
        }
        let Ok(fed) = &stuck.fed else {
            v.not_checked(format!(
                "the flow with {} stuck wide open cannot be computed",
                stuck.part
            ));
            continue;
        };
        let limit = MOST * stuck.wanted.value;
        if fed.flow.value > limit {
            let rich = fed.equivalence_ratio.map_or_else(String::new, |x| {
                format!(", at an equivalence ratio of {}", significant(x.value, 3))
            });
            let says = v.rule.says().replace("{rich}", &rich);
            v.says(says).find(
                format!("train.{}", stuck.part),
                (Kind::MassRate, fed.flow.value),
                Limit::at_most(Kind::MassRate, limit),
            );
        }
    }
}
