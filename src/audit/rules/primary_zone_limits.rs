//! A primary zone outside the flammability limits.

use super::duty_path;
use crate::audit::rule::rule;
use crate::audit::{DutySolution, Limit, Signal, Solution, Verdict};
use crate::quantity::Kind;
use crate::quantity::show::number;

rule! {
    /// ## Finding
    /// The primary zone of {it} is {measured} fuel by volume, outside its flammability limits: it may light late, with
    /// a bang, or not at all.
    /// ## What it checks
    /// Share of fuel in the mixture of fuel and primary air, against the flammability limits of the fuel: the cautious
    /// lower and upper limit of the standards. Too lean is graver: what does not burn leaves as fuel. Where the share
    /// of primary air is not given, all the fuel with all the air is held against the lower limit.
    /// ## Why it matters
    /// Outside the limits a mixed zone does not burn. What burns then burns at the edge of the jets, and the duty hangs
    /// on their mixing: it may light late, with a bang, or not at all.
    /// ## What to do
    /// Change the share of air that enters at the flame, or the duty's fuel.
    "FLM002", "primary-zone-outside-limits", Flame, [Caution, Warning],
    Choice("the cautious limits of the standards in the fuel file"),
    levers ["burner.primary_air_share" Either, "duties.target" Either]
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let primary = s.rig.burner.primary_air_share;
    if primary.is_none() {
        v.not_checked("the rig file does not give `burner.primary_air_share`");
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
            v.not_checked(format!("duty {} has no fuel flow", duty.name));
            continue;
        };
        let phi = demand.equivalence_ratio.value / primary.map_or(1.0, |share| share.value);
        let share = phi / (phi + stoichiometry.air_fuel_ratio_by_volume.value);
        if primary.is_none() {
            if share < limits.lower.value {
                overall_too_lean(v, duty, (share, limits.lower.value));
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
        let (signal, side) = if share < low {
            (Signal::Warning, "under the lower")
        } else {
            (Signal::Caution, "over the upper")
        };
        let says = format!(
            "The primary zone of {{it}} is {{measured}} fuel by volume (equivalence ratio {}), {side} flammability limit of {{limit}}: it may light with a bang.",
            number(phi)
        );
        v.signal(signal)
            .advice("Change the primary air or the fuel. Light up where the primary zone is within the limits")
            .says(says)
            .find(duty_path(&duty.name), (Kind::Ratio, share), limit);
    }
}

/// All the fuel with all the air makes a mixture that does not burn, and nothing says that the flame gets less air.
fn overall_too_lean(v: &mut Verdict, duty: &DutySolution, (share, low): (f64, f64)) {
    v.advice("Give `primary_air_share` in `[burner]`: less air at the flame")
        .says("With all its air {it} is {measured} fuel by volume, under the lower flammability limit of {limit}: it burns only if the flame gets less air.")
        .find(duty_path(&duty.name), (Kind::Ratio, share), Limit::at_least(Kind::Ratio, low));
}
