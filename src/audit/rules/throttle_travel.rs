//! A throttle that works at the end of its travel.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## Finding
    /// {It} works at {measured} open, and the usable travel ends at {limit}: beyond it the scale means nothing, or
    /// nothing is left.
    /// ## What it checks
    /// Opening of the throttle at each duty against 10 to 90 % of its travel.
    /// ## Why it matters
    /// Near closed a valve leaks about as much as it meters, and its scale means nothing. Near open it has nothing
    /// left.
    /// ## What to do
    /// Fit a valve of another size: `fuelwright train` shows the Kv that makes the travel usable. Or one of another
    /// characteristic.
    "VLV003", "throttle-travel", Valve, [Notice], Choice("common practice of control valves, no source"),
    levers ["train.flow_coefficient" Either, "regulator.set_pressure" Either]
}

/// Lowest opening.
const LOWEST: f64 = 0.10;
/// Highest opening.
const HIGHEST: f64 = 0.90;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some((name, study)) = solved::throttle(s, v) else {
        return;
    };
    let mut low: Vec<(f64, &str)> = Vec::new();
    let mut high: Vec<(f64, &str)> = Vec::new();
    for duty in &study.duties {
        match &duty.opening {
            Ok(h) if *h < LOWEST => low.push((*h, &duty.duty)),
            Ok(h) if *h > HIGHEST => high.push((*h, &duty.duty)),
            Ok(_) => {}
            Err(why) => v.not_checked(format!("{}: {}", duty.duty, s.why(why))),
        }
    }
    let advice = if study.full_open_range.is_some() {
        "Fit a valve of another size: `fuelwright train` shows which"
    } else {
        "Fit two valves, or one of another characteristic: no size of this one fits"
    };
    for (list, limit, says) in [
        (
            low,
            Limit::at_least(Kind::Ratio, LOWEST),
            "{It} is open {measured}, under {limit} of its travel: it leaks about as much as it meters.",
        ),
        (
            high,
            Limit::at_most(Kind::Ratio, HIGHEST),
            "{It} is open {measured}, over {limit} of its travel: it has nothing left.",
        ),
    ] {
        if list.is_empty() {
            continue;
        }
        let off = |h: f64| (h - 0.5).abs();
        let farthest = list.iter().map(|(h, _)| *h);
        let farthest = farthest.max_by(|a, b| off(*a).total_cmp(&off(*b)));
        let farthest = farthest.unwrap_or_default();
        let openings: Vec<String> = list
            .iter()
            .map(|(h, duty)| format!("{} at duty {duty}", s.show(Kind::Ratio, *h)))
            .collect();
        v.advice(advice).says(says).find(
            solved::part_path(name),
            (Kind::Ratio, farthest, openings.join(", ")),
            limit,
        );
    }
}
