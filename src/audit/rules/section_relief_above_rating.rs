//! A relief valve that opens only above what the weakest part stands.

use super::relief_behind_regulator::finds_above_weakest;
use super::trapped_sections;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Source, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## Finding
    /// {It} opens at {measured}, above {limit}: that part gives way first.
    /// ## What it checks
    /// Set pressure of the relief valve of every section that can be isolated, against the lowest rating of its parts
    /// and ends.
    /// ## Why it matters
    /// A part weaker than the relief valve gives way before the relief valve opens.
    /// ## What to do
    /// Set the relief valve below the weakest part, or change that part.
    "TRP002", "section-relief-above-rating", Trapped, [Warning], given("max_pressure"),
    levers ["relief-valve.set_pressure" Down]
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let air = s.rig.site.air_pressure;
    let mut said = Vec::new();
    for section in trapped_sections(s, v) {
        let Some((relief, set)) = &section.relief else {
            continue;
        };
        let Some((weakest, rating)) = &section.weakest else {
            v.not_checked(format!(
                "no part from {} has a `max_pressure`",
                section.section.label()
            ));
            continue;
        };
        if set > rating
            && !said.contains(&(relief, weakest))
            // of one behind a regulator or pump that rule has said it
            && !finds_above_weakest(s, relief)
        {
            said.push((relief, weakest));
            v.source(Source::of_part(weakest, "max_pressure")).find(
                format!("train.{relief}"),
                (Kind::GaugePressure, set.gauge(air).pascals()),
                Limit::AtMost(s.gauged(*rating, |x| format!("the {x} rating of {weakest}"))),
            );
        }
    }
}
