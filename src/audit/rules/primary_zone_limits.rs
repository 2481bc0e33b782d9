//! A primary zone outside the flammability limits.

use super::duty_path;
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## What it checks
    /// Share of fuel in the mixture of fuel and primary air, against the flammability limits of the
    /// fuel: the cautious lower and upper limit of the standards. Too lean is graver: what does not burn leaves
    /// as fuel.
    /// ## Why it matters
    /// Outside the limits a mixed zone does not burn. What burns then burns at the edge of the jets,
    /// and the duty hangs on their mixing: it may light late, with a bang, or not at all.
    /// ## What to do
    /// Change the share of air that enters at the flame, or the duty's fuel.
    PrimaryZoneLimits, "FLM002", "primary-zone-outside-limits", Flame
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(primary) = s.rig.burner.primary_air_share else {
        v.not_checked("the burner gives no share of primary air");
        return;
    };
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
        let phi = demand.equivalence_ratio.value / primary.value;
        let share = phi / (phi + stoichiometry.air_fuel_ratio_by_volume.value);
        let (low, high) = (limits.lower.value, limits.upper.map(|u| u.value));
        let limit = if share < low {
            Limit::AtLeast(Measured::Quantity(Kind::Ratio, low))
        } else if high.is_some_and(|high| share > high) {
            Limit::AtMost(Measured::Quantity(Kind::Ratio, high.unwrap_or(1.0)))
        } else {
            continue;
        };
        v.find(
            if share < low {
                Signal::Warning
            } else {
                Signal::Caution
            },
            duty_path(&duty.name),
            Measured::Worded(
                Kind::Ratio,
                share,
                format!(
                    "{} fuel in the primary zone, equivalence ratio {phi:.2}",
                    s.show(Kind::Ratio, share)
                ),
            ),
            limit,
            Source::Choice("the cautious limits of the standards in the fuel file"),
            "change the share of primary air or the duty's fuel; light up where the primary zone is within the limits",
        );
    }
}
