//! A train without a throttle that gives another flow than a duty wants.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## What it checks
    /// Where no valve sets the flow: what the solved train gives the holes with its valves as they
    /// stand, against what each duty wants; 10 % is let pass.
    /// ## Why it matters
    /// A duty that differs only in the file is no duty: the burner runs at what the train gives, with
    /// the mixture that follows.
    /// ## What to do
    /// A throttle or a second stage with its own valve, another set pressure, or duties as they really
    /// are.
    "TRN002", "flow-not-as-wanted", Train, [Warning], Choice("as much as the holes themselves are uncertain by")
}

/// Largest deviation let pass.
const MOST: f64 = 0.10;

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
            v.find(
                super::duty_path(&duty.name),
                s.worded(Kind::MassRate, holes.flow.value, |x| {
                    format!(
                        "{x}, {} {} than wanted",
                        s.show(Kind::Ratio, off.abs()),
                        if off > 0.0 { "more" } else { "less" }
                    )
                }),
                Limit::of_words(
                    Kind::MassRate,
                    duty.wanted.value * (1.0 + MOST.copysign(off)),
                    "within 10 % of the fuel flow of the duty",
                ),
            );
        }
    }
}
