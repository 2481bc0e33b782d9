//! A relief valve that blows in ordinary work.

use super::trapped_sections;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::quantity::Kind;
use crate::train::Part;
use crate::train::ways::ways;

rule! {
    /// ## Finding
    /// {It} opens at {measured}, and {limit} stands on it with the flow stopped: it vents fuel in ordinary work.
    /// ## What it checks
    /// Set pressure of the relief valve of every section that can be isolated, against the pressure there with the
    /// flow stopped: before the first regulator or pump, and where liquid is drawn. Behind a regulator or pump REG008
    /// does the same.
    /// ## Why it matters
    /// It vents fuel whenever the rig stands, and soon somebody plugs it.
    /// ## What to do
    /// Fit one set well above that on the hottest day, and below the weakest part.
    "TRP003", "relief-opens-at-work", Trapped, [Warning], Choice("a relief valve is for what should not happen"),
    levers ["relief-valve.set_pressure" Up, "regulator.set_pressure" Down, "pump.outlet_pressure" Down]
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
        if *set <= section.at_rest && !said.contains(&relief) && !behind_holder(s, relief) {
            said.push(relief);
            v.find(
                format!("train.{relief}"),
                (Kind::GaugePressure, set.gauge(air).pascals()),
                Limit::AtLeast(s.pressure(section.at_rest)),
            );
        }
    }
}

/// Whether a part stands behind a regulator or pump on some way.
fn behind_holder(s: &Solution<'_>, name: &str) -> bool {
    let holds = |p: &&Part| p.sets_pressure();
    ways(&s.rig.train).iter().any(|way| {
        let mut before = way.iter().take_while(|p| p.name != name);
        way.iter().any(|p| p.name == name) && before.any(holds)
    })
}
