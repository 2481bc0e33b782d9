//! A band of equivalence ratio that crosses stoichiometric.

use super::{duty_path, injections};
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Solution, Verdict};
use crate::quantity::Kind;
use crate::quantity::show::number;

rule! {
    /// ## Finding
    /// With its tolerances {it} runs at an equivalence ratio of {measured}; above {limit} it makes carbon monoxide.
    /// ## What it checks
    /// Whether a duty that is meant to be lean can become rich when hole tolerance, discharge coefficient, supply and
    /// air are all at the bad end of their bands.
    /// ## Why it matters
    /// A lean burner that drifts rich makes carbon monoxide and can carry its flame out of the duct.
    /// ## What to do
    /// Flow-test the drilled holes: that halves the band. Or hold the pressure closer, or plan leaner.
    "INJ010", "band-reaches-rich", Injector, [Caution], Choice("a duty planned lean should stay lean"),
    levers ["duties.target" Down, "duties.throttle" Up, "duties.air_flow" Up, "air.flow" Up]
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    for (name, injection) in injections(s, v) {
        let high = injection.equivalence_ratio_high.value;
        let nominal = s
            .duties
            .iter()
            .find(|d| d.name == name)
            .and_then(|d| d.demand.as_ref().ok())
            .map_or(f64::NAN, |d| d.equivalence_ratio.value);
        if nominal <= 1.0 && high > 1.0 {
            v.find(
                duty_path(name),
                (
                    Kind::Ratio,
                    high,
                    format!(
                        "{} to {}",
                        number(injection.equivalence_ratio_low.value),
                        number(high)
                    ),
                ),
                Limit::AtMost(Measured::Number(1.0)),
            );
        }
    }
}
