//! A relief valve that blows in ordinary work.

use super::trapped_sections;
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## What it checks
    /// Set pressure of the relief valve of every section that can be isolated, against the pressure there
    /// with the flow stopped, where a regulator sets that or liquid is drawn.
    /// ## Why it matters
    /// It vents fuel whenever the rig stands, and is soon plugged by somebody who has had enough of it.
    /// ## What to do
    /// A relief valve set well above the pressure with the flow stopped on the hottest day, and below
    /// the weakest part.
    ReliefOpensAtWork, "TRP003", "relief-opens-at-work", Trapped
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let sections = trapped_sections(s, v);
    // then it is the regulator that is missing, and the rule on that says so
    if s.is_unregulated() {
        return;
    }
    let air = s.rig.site.air_pressure;
    let mut said = Vec::new();
    for section in sections {
        let Some((relief, set)) = &section.relief else {
            continue;
        };
        if *set <= section.at_rest && !said.contains(&relief) {
            said.push(relief);
            v.find(
                Signal::Warning,
                format!("train.{relief}"),
                Measured::Quantity(Kind::GaugePressure, set.gauge(air).pascals()),
                Limit::AtLeast(Measured::Worded(
                    Kind::AbsolutePressure,
                    section.at_rest.pascals(),
                    format!("above {}, with the flow stopped", s.gauge(section.at_rest)),
                )),
                Source::Choice("a relief valve is for what should not happen"),
                "set it above the pressure of the hottest day and below the weakest part",
            );
        }
    }
}
