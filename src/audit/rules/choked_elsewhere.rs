//! A part other than the throttle that chokes.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Solution, Verdict};
use crate::train::CheckKind;

rule! {
    /// ## Finding
    /// {It} chokes {when}, with {measured} behind it: it sets the flow there, not throttle or holes.
    /// ## What it checks
    /// Whether any part other than the throttle and the regulators is choked at a duty.
    /// ## Why it matters
    /// A choked part sets the flow by itself, whatever the throttle or the holes do, and nobody sized it for that.
    /// ## What to do
    /// Fit a larger part where it chokes.
    "TRN004", "choked-elsewhere", Train, [Notice], Choice("what chokes sets the flow"),
    levers ["train.flow_coefficient" Up, "tube.bore" Up, "hose.bore" Up]
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(plan) = solved::train(s, v) else {
        return;
    };
    for found in solved::remarked(plan, &[CheckKind::Choked]) {
        if plan.throttle.as_ref() == Some(&found.check.at) || found.check.is_regulator(&s.rig.train)
        {
            continue;
        }
        let limit = found.limit_in_words("choking in the throttle only");
        found.find(s, v, "flow_coefficient", limit);
    }
}
