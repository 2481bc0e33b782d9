//! A pressure that is set and gives another flow than the duty asks for.

use super::duty_path;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::quantity::Kind;
use crate::quantity::show::signed;

rule! {
    /// ## Finding
    /// The injector pressure of {it} gives {measured}; the duty asks for {limit}.
    /// ## What it checks
    /// Fuel flow at the pressure that a duty sets before the holes, against the flow that its fuel
    /// target asks for, within 10 %.
    /// ## Why it matters
    /// Pressure, holes and target are three numbers of which two fix the third. If they disagree, the rig will not do
    /// what the file says.
    /// ## What to do
    /// Set the pressure that the duty needs, or drill for this one. `fuelwright injector` shows both.
    "INJ009", "off-target", Injector, [Notice], Choice("about the band of a discharge coefficient"),
    levers ["injector.hole_diameter" Either, "duties.injector_pressure" Either]
}

const MOST: f64 = 0.10;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Ok(plan) = &s.injector else {
        v.not_checked("the holes cannot be computed");
        return;
    };
    let mut any = false;
    for duty in &plan.duties {
        let Ok(injection) = &duty.injection else {
            continue;
        };
        let Some(given) = injection.at_given else {
            continue;
        };
        any = true;
        let off = given.flow.value / injection.at_need.wanted.value - 1.0;
        if off.abs() > MOST {
            let wanted = injection.at_need.wanted.value;
            let says = format!(
                "The injector pressure of {{it}} gives {{measured}} ({} %); the duty asks for {{limit}}.",
                signed(100.0 * off)
            );
            let words = format!("{} within 10 %", s.show(Kind::MassRate, wanted));
            v.says(says).find(
                format!("{}.injector_pressure", duty_path(&duty.name)),
                (Kind::MassRate, given.flow.value),
                Limit::of_words(Kind::MassRate, wanted * (1.0 + MOST.copysign(off)), words),
            );
        }
    }
    if !any {
        v.not_checked("the duties do not set the pressure before the holes");
    }
}
