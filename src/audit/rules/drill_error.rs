//! No drill comes near enough to the diameter.

use super::injections;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::quantity::Kind;
use crate::quantity::show::number;

rule! {
    /// ## Finding
    /// With the nearest drill the flow is off by {measured}, over {limit}.
    /// ## What it checks
    /// Flow error of the nearest drill in the table, at the duty where it is worst, against 3 %. Only where the holes
    /// are sized and not given.
    /// ## Why it matters
    /// Holes are made with the drills there are. Flow goes with the square of the diameter, so a small hole turns a
    /// near miss into a large one.
    /// ## What to do
    /// Change the number of holes until a drill fits, or ream to size.
    "INJ002", "drill-error", Injector, [Notice], Choice("half the band that a good flow test leaves"),
    levers ["injector.hole_diameter" Either]
}

const MOST: f64 = 0.03;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if let Ok(plan) = &s.injector
        && plan.sized_at.is_none()
    {
        return;
    }
    let all = injections(s, v);
    let Some((_, first)) = all.first() else {
        return;
    };
    // of every drill the worst duty, of those the best drill
    let worst = |name: &str| {
        let errors = all.iter().filter_map(|(duty, injection)| {
            let same = injection.drills.iter().find(|d| d.drill.name == name)?;
            Some((*duty, same.flow_error.value))
        });
        errors.max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()))
    };
    let best = first
        .drills
        .iter()
        .filter_map(|d| Some((d.drill, worst(&d.drill.name)?)))
        .min_by(|a, b| a.1.1.abs().total_cmp(&b.1.1.abs()));
    let Some((drill, (duty, error))) = best else {
        v.not_checked("the table has no drill near the diameter");
        return;
    };
    judge(
        "injector.holes",
        &drill.name,
        error,
        &format!(" of duty {duty}"),
        v,
    );
}

/// Holds the nearest drill against what it should miss the flow by at most.
pub(super) fn judge(at: &str, drill: &str, error: f64, duty: &str, v: &mut Verdict) {
    if error.abs() > MOST {
        let sign = if error > 0.0 { "+" } else { "" };
        let percent = format!("{sign}{} %", number(100.0 * error));
        let says = format!(
            "With the nearest drill, {drill}, the flow{duty} is off by {{measured}}, over {{limit}}: a small hole turns a near miss into a large one."
        );
        let limit = Limit::at_most(Kind::Ratio, MOST);
        v.says(says)
            .find(at, (Kind::Ratio, error.abs(), percent), limit);
    }
}
