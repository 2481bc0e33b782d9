//! Holes that cannot give a duty its fuel at any pressure that makes sense.

use super::{duty_path, injector_plan};
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Source, Verdict};

rule! {
    /// ## What it checks
    /// Whether there is a pressure before the holes at which each duty gets its fuel, with the fuel in
    /// a state that the holes can meter.
    /// ## Why it matters
    /// A duty without such a pressure cannot be run with these holes, whatever the train does.
    /// ## What to do
    /// Change the number or size of the holes, or the duty.
    "INJ004", "duty-not-fed", Injector, [Notice], given("duties")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    for duty in injector_plan(s, v).iter().flat_map(|plan| &plan.duties) {
        if let Err(error) = &duty.injection {
            v.source(Source::Input(duty_path(&duty.name).into())).find(
                duty_path(&duty.name),
                s.why(error),
                Limit::Should("a pressure before the holes that gives the duty its fuel"),
            );
        }
    }
}
