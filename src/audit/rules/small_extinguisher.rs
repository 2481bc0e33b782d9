//! An extinguisher too small to matter.

use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::quantity::Kind;
use crate::train::rig::Extinguisher;

rule! {
    /// ## What it checks
    /// Mass of what is in the extinguisher against 2 kg.
    /// ## Why it matters
    /// Half a kilogram of powder is gone in a few seconds; what burns beside the rig after the fuel is shut needs more.
    /// ## What to do
    /// Have 6 kg of powder, or as much foam for liquid fuel, within reach on the way out; 2 kg at the
    /// least.
    "SIT009", "small-extinguisher", Site, [Caution], Choice("common practice, no source; the local fire code decides")
}

const LEAST_KG: f64 = 2.0;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if matches!(s.rig.site.extinguisher, None | Some(Extinguisher::None)) {
        return;
    }
    let Some(charge) = s.rig.site.extinguisher_charge else {
        v.not_checked("the rig file does not say how much is in the extinguisher");
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
