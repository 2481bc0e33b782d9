//! Holes that cannot give a duty its fuel at any pressure that makes sense.

use super::{duty_path, injector_plan};
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Source, Verdict};
use crate::injector::error::InjectorError;
use crate::quantity::{Kind, pascals_absolute};

rule! {
    /// ## Finding
    /// {It} is not fed by these holes: {measured}.
    /// ## What it checks
    /// Whether there is a pressure before the holes at which each duty gets its fuel, with the fuel in
    /// a state that the holes can meter.
    /// ## Why it matters
    /// These holes cannot run such a duty, whatever the train does.
    /// ## What to do
    /// Change the number or size of the holes, or the duty.
    "INJ004", "duty-not-fed", Injector, [Notice], given("duties"),
    levers ["injector.hole_diameter" Up, "injector.holes" Up, "regulator.set_pressure" Up, "injector.pressure" Up,
        "pump.outlet_pressure" Up, "duties.target" Down]
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    for duty in injector_plan(s, v).iter().flat_map(|plan| &plan.duties) {
        if let Err(error) = &duty.injection {
            let at = duty_path(&duty.name);
            let found = v.source(Source::Input(at.clone().into()));
            if let InjectorError::FlowOutOfReach {
                wanted_kg_s: wanted,
                least_kg_s: least,
                most_kg_s: most,
                highest_pa,
                limit: why,
                ..
            } = *error
            {
                let (pass, limit) = if wanted > most {
                    let p = s.gauge(pascals_absolute(highest_pa));
                    let pass = format!("at most {{limit}}, with {p} before them ({why})");
                    (pass, Limit::at_most(Kind::MassRate, most))
                } else {
                    let limit = Limit::at_least(Kind::MassRate, least);
                    ("{limit} or more".to_owned(), limit)
                };
                let says = format!("{{It}} wants {{measured}} and these holes pass {pass}.");
                found.says(says).find(at, (Kind::MassRate, wanted), limit);
            } else {
                let limit = "a pressure before the holes that gives the duty its fuel";
                found.find(at, s.why(error), Limit::Should(limit));
            }
        }
    }
}
