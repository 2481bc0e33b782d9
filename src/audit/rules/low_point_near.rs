//! Pits or drains near a rig whose fuel is heavier than air.

use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::flow::air::DRY_AIR_KG_MOL;
use crate::quantity::Kind;
use crate::quantity::show::significant;

rule! {
    /// ## Finding
    /// A pit or drain lies {measured} from the rig, within {limit}: vapour {heavier} times as heavy as air runs into
    /// it and waits for a spark.
    /// ## What it checks
    /// Distance to the nearest pit, drain or cellar opening, for a fuel whose vapour is heavier than air, against 3
    /// m.
    /// ## Why it matters
    /// Heavy vapour runs along the floor into low places and waits there for a spark. A small leak fills a drain in
    /// minutes.
    /// ## What to do
    /// Move rig and tank away, or cover and seal the opening, and put a gas detector low down.
    "SIT002", "low-point-near", Site, [Warning], Choice("near the distances that gas codes keep to openings below; the local code decides"),
    levers ["site.low_point_distance" Up]
}

const LEAST_M: f64 = 3.0;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let molar_mass = s.fluid.molar_mass_kg_mol();
    if molar_mass <= DRY_AIR_KG_MOL {
        return;
    }
    let site = &s.rig.site;
    let heavier = molar_mass / DRY_AIR_KG_MOL;
    let says = v.rule.says().replace("{heavier}", &significant(heavier, 2));
    match (site.low_points, site.low_point_distance) {
        (Some(false), _) => {}
        (None, None) => {
            v.not_checked("the rig file does not give `site.low_points`");
        }
        (Some(true), None) => v.says("Pits or drains are near, at a distance the file does not give; within {limit} heavy vapour runs into them.").find(
            "site.low_points",
            "near",
            Limit::at_least(Kind::Length, LEAST_M),
        ),
        (_, Some(distance)) => {
            if distance.value < LEAST_M {
                v.says(says).find(
                    "site.low_point_distance",
                    (Kind::Length, distance.value),
                    Limit::at_least(Kind::Length, LEAST_M),
                );
            }
        }
    }
}
