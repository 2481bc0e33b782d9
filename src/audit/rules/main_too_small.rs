//! A main that cannot give what a duty takes.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## Finding
    /// {It} takes {measured} from a main that gives {limit}: the main sags, and flames of other appliances on it may go
    /// out.
    /// ## What it checks
    /// Flow of the whole train at each duty against the largest flow that the main is said to give.
    /// ## Why it matters
    /// A main that is asked for more sags. So does every other appliance on it, and their flames may go out.
    /// ## What to do
    /// Ask the supplier for a larger service, or run less.
    "SUP006", "main-too-small", Supply, [Notice], given("mains.max_flow"),
    levers ["duties.target" Down]
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    use crate::train::rig::Supply;
    let Supply::Mains(main) = &s.rig.supply else {
        v.not_checked("the fuel comes from a tank");
        return;
    };
    let Some(most) = main.max_flow else {
        v.not_checked("the rig file does not give `mains.max_flow`");
        return;
    };
    let Some(plan) = solved::train(s, v) else {
        return;
    };
    for duty in &plan.duties {
        let flow = duty.solution.as_ref().map_or(duty.wanted, |x| x.flow);
        if flow.value > most.value {
            v.find(
                super::duty_path(&duty.name),
                (Kind::MassRate, flow.value),
                Limit::at_most(Kind::MassRate, most.value),
            );
        }
    }
}
