//! An extinguisher too small to matter.

use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::quantity::Kind;
use crate::train::rig::Extinguisher;

rule! {
    /// ## Finding
    /// The extinguisher holds {measured}, under {limit}: it is empty within a few seconds.
    /// ## What it checks
    /// Charge of the extinguisher against 2 kg.
    /// ## Why it matters
    /// Half a kilogram of powder is gone in a few seconds. What burns beside the rig after the fuel is shut needs
    /// more.
    /// ## What to do
    /// Keep 6 kg of powder within reach on the way out, or as much foam for liquid fuel, and never less than 2 kg.
    "SIT009", "small-extinguisher", Site, [Caution], Choice("common practice, no source; the local fire code decides"),
    levers ["site.extinguisher_charge" Up]
}

const LEAST_KG: f64 = 2.0;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if matches!(s.rig.site.extinguisher, None | Some(Extinguisher::None)) {
        return;
    }
    let Some(charge) = s.rig.site.extinguisher_charge else {
        v.not_checked("the rig file does not give `site.extinguisher_charge`");
        return;
    };
    if charge.value < LEAST_KG {
        v.find(
            "site.extinguisher_charge",
            (Kind::Mass, charge.value),
            Limit::at_least(Kind::Mass, LEAST_KG),
        );
    }
}
