//! Radiation of a lit release where the operator stands.

use super::{leak_plan, worst_radiation};
use crate::audit::finding::capital;
use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Source, Verdict};
use crate::leak::fire::THRESHOLDS;
use crate::quantity::Kind;

rule! {
    /// ## Finding
    /// {What}, once lit, puts {measured} on the operator, over {limit}: it leaves time for a brief act only.
    /// ## What it checks
    /// Radiation at the operator's place from the largest release that nothing closes by itself, once lit: CAUTION
    /// above 1.58 kW/m2, WARNING above 4.73 kW/m2. The distance to the fire is taken as that to the release, which
    /// may blow towards the operator. Nobody stands within 1 m of the fire, whatever is released.
    /// ## Why it matters
    /// At 4.73 kW/m2 a person in working clothes has time for a brief act only, and the shut-off may lie towards the
    /// flame.
    /// ## What to do
    /// Stand farther off, or behind a screen. Have the shut-off there, and fit an excess-flow valve.
    "LEK013", "radiation-at-operator", Leak, [Warning, Caution], Published("api521"),
    levers ["site.operator_distance" Up]
}

/// Nearest place of an operator at a burner, m.
pub(super) const BESIDE_M: f64 = 1.0;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(distance) = s.rig.site.operator_distance else {
        v.not_checked("the rig file does not give `site.operator_distance`");
        return;
    };
    let near = distance.value < BESIDE_M;
    let radiation = leak_plan(s, v).and_then(|plan| worst_radiation(plan, distance, v));
    let over = radiation.and_then(|(what, found)| {
        let limit = THRESHOLDS[..2]
            .iter()
            .rposition(|t| found.value > t.level_w_m2)?;
        Some((what, found.value, limit))
    });
    if let Some((what, found, limit)) = over {
        let place = if near {
            format!("the operator at {}", s.show(Kind::Length, distance.value))
        } else {
            "the operator".to_owned()
        };
        let says = if limit > 0 {
            v.rule
                .says()
                .replace("{What}", &capital(&what))
                .replace("the operator", &place)
        } else {
            let what = capital(&what);
            format!("{what}, once lit, puts {{measured}} on {place}, over {{limit}}.")
        };
        v.signal(if near || limit > 0 {
            Signal::Warning
        } else {
            Signal::Caution
        })
        .says(says)
        .find(
            "site.operator_distance",
            (Kind::HeatFlux, found),
            Limit::at_most(Kind::HeatFlux, THRESHOLDS[limit].level_w_m2),
        );
    } else if near {
        v.source(Source::Choice(
            "out of reach of a flame that lights late; common practice, no source",
        ))
        .says("The operator stands {measured} from the fire, within {limit}: a flame that lights late reaches there.")
        .advice("Stand farther off, and have the shut-off there.")
        .find(
            "site.operator_distance",
            (Kind::Length, distance.value),
            Limit::at_least(Kind::Length, BESIDE_M),
        );
    }
}
