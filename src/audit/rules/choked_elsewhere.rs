//! A part other than the throttle that chokes.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Solution, Verdict};
use crate::train::CheckKind;

rule! {
    /// ## What it checks
    /// Whether any part other than the throttle and the regulators is choked at a duty.
    /// ## Why it matters
    /// Behind a choked part the flow no longer answers to the throttle or the holes: the part sets it,
    /// and nobody sized it for that.
    /// ## What to do
    /// A larger part where it chokes.
    "TRN004", "choked-elsewhere", Train, [Notice], Choice("what chokes sets the flow")
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
        let limit = found.limit_in_words("choked nowhere but in the throttle");
        found.find(s, v, "flow_coefficient", limit);
    }
}
