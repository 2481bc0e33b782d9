//! Duties, holes or a train that could not be worked out.

use super::duty_path;
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Solution, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## Finding
    /// {It} cannot be computed and so is not checked: {measured}.
    /// ## What it checks
    /// Whether every duty has a fuel flow, and whether the holes and the train can be computed.
    /// ## Why it matters
    /// What is not computed is not checked either: an audit without findings would mean nothing.
    /// ## What to do
    /// Change the rig or its file until this can be computed.
    "INJ012", "not-worked-out", Injector, [Warning], Choice("what cannot be computed cannot be checked"),
    levers ["duties.target" Either, "injector.hole_diameter" Either]
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let mut find = |at: String, why: &str| {
        v.find(
            at,
            Measured::Text(why.to_owned()),
            Limit::Should("figures to check"),
        );
    };
    for duty in &s.duties {
        if let Err(why) = &duty.demand {
            find(duty_path(&duty.name), why);
        }
    }
    if let Err(why) = &s.injector {
        // a straight length far beyond every model is a length in the wrong unit more often than a hole
        let length = s.rig.injector.hole_length;
        match length.filter(|_| why.contains("length over diameter")) {
            Some(length) => {
                let shown = s.show(Kind::Length, length.value);
                let why = format!("`hole_length` is {shown}; {why}");
                find("injector.hole_length".to_owned(), &why);
            }
            None => find("injector".to_owned(), why),
        }
    } else if !s.main_parts().is_empty()
        && s.no_vapour().is_none()
        && let Err(why) = s.train()
    {
        let at = if s.no_pad().is_some() {
            "tank"
        } else {
            "train"
        };
        find(at.to_owned(), why);
    }
}
