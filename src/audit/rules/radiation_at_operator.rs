//! Radiation of a lit release where the operator stands.

use super::{leak_plan, worst_radiation};
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::leak::fire::THRESHOLDS;
use crate::quantity::Kind;

rule! {
    /// ## What it checks
    /// Radiation at the operator's place from the largest release that nothing closes by itself, lit:
    /// CAUTION above 1.58 kW/m2, WARNING above 4.73 kW/m2. The distance to the fire is taken as that to the
    /// release, which may blow towards the operator. Nobody stands within 1 m of the fire, whatever is released.
    /// ## Why it matters
    /// At 4.73 kW/m2 a person in working clothes has time for a brief act only, and the shut-off may be
    /// on the way to the flame.
    /// ## What to do
    /// Stand farther off or behind a screen, put the shut-off there, fit an excess-flow valve.
    RadiationAtOperator, "LEK013", "radiation-at-operator", Leak
}

/// Nearest place of an operator at a burner, m.
const LEAST_M: f64 = 1.0;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(distance) = s.rig.site.operator_distance else {
        v.not_checked("the rig file gives no distance to the operator");
        return;
    };
    if distance.value < LEAST_M {
        v.find(
            Signal::Warning,
            "site.operator_distance",
            Measured::Quantity(Kind::Length, distance.value),
            Limit::AtLeast(Measured::Quantity(Kind::Length, LEAST_M)),
            Source::Choice("out of reach of a flame that lights late; common practice, no source"),
            "stand farther off, and have the shut-off there",
        );
    }
    let Some(plan) = leak_plan(s, v) else { return };
    let Some((what, found)) = worst_radiation(plan, distance, v) else {
        return;
    };
    let (signal, limit) = if found.value > THRESHOLDS[1].level_w_m2 {
        (Signal::Warning, THRESHOLDS[1])
    } else if found.value > THRESHOLDS[0].level_w_m2 {
        (Signal::Caution, THRESHOLDS[0])
    } else {
        return;
    };
    v.find(
        signal,
        "site.operator_distance",
        Measured::Quantity(Kind::HeatFlux, found.value),
        Limit::AtMost(Measured::Quantity(Kind::HeatFlux, limit.level_w_m2)),
        Source::Published("api521"),
        format!("{what} and lit: stand farther off, and have the shut-off there"),
    );
}
