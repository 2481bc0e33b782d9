//! A primary zone outside the flammability limits.

use super::duty_path;
use crate::audit::rule::rule;
use crate::audit::{DutySolution, Limit, Signal, Solution, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## What it checks
    /// Share of fuel in the mixture of fuel and primary air, against the flammability limits of the
    /// fuel: the cautious lower and upper limit of the standards. Too lean is graver: what does not burn leaves
    /// as fuel. Where no share of primary air is given, all the fuel with all the air is held against the lower limit.
    /// ## Why it matters
    /// Outside the limits a mixed zone does not burn. What burns then burns at the edge of the jets,
    /// and the duty hangs on their mixing: it may light late, with a bang, or not at all.
    /// ## What to do
    /// Change the share of air that enters at the flame, or the duty's fuel.
    "FLM002", "primary-zone-outside-limits", Flame, [Caution, Warning],
    Choice("the cautious limits of the standards in the fuel file")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let primary = s.rig.burner.primary_air_share;
    if primary.is_none() {
        v.not_checked("the burner gives no share of primary air");
    }
    let (limits, stoichiometry) = match (&s.flammability, &s.stoichiometry) {
        (Ok(limits), Ok(stoichiometry)) => (limits, stoichiometry),
        (Err(why), _) | (_, Err(why)) => {
            v.not_checked(why.clone());
            return;
        }
    };
    for duty in &s.duties {
        let Ok(demand) = &duty.demand else {
            v.not_checked(format!("the duty {} has no fuel flow", duty.name));
            continue;
        };
        let phi = demand.equivalence_ratio.value / primary.map_or(1.0, |share| share.value);
        let share = phi / (phi + stoichiometry.air_fuel_ratio_by_volume.value);
        if primary.is_none() {
            if share < limits.lower.value {
                overall_too_lean(s, v, duty, (share, limits.lower.value));
            }
            continue;
        }
        let (low, high) = (limits.lower.value, limits.upper.map(|u| u.value));
        let limit = if share < low {
            Limit::at_least(Kind::Ratio, low)
        } else if high.is_some_and(|high| share > high) {
            Limit::at_most(Kind::Ratio, high.unwrap_or(1.0))
        } else {
            continue;
        };
        v.signal(if share < low {
                Signal::Warning
            } else {
                Signal::Caution
            }).advice("change the share of primary air or the duty's fuel; light up where the primary zone is within the limits").find(duty_path(&duty.name), s.worded(Kind::Ratio, share, |x| format!("{x} fuel in the primary zone, equivalence ratio {phi:.2}")), limit);
    }
}

/// All the fuel with all the air makes a mixture that does not burn, and nothing says that the flame gets less air.
fn overall_too_lean(
    s: &Solution<'_>,
    v: &mut Verdict,
    duty: &DutySolution,
    (share, low): (f64, f64),
) {
    v.advice("give `primary_air_share` in `[burner]`, and let only so much of the air in at the flame that the mixture there burns").find(duty_path(&duty.name), s.worded(Kind::Ratio, share, |x| format!("{x} fuel in all the air of the duty: it will not burn unless the zone at the flame is richer, and no share of primary air is given")), Limit::at_least(Kind::Ratio, low));
}
