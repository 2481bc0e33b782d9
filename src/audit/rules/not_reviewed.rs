//! A rig that no licensed person has looked at.

use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Source, Verdict};

rule! {
    /// ## What it checks
    /// Whether a licensed gas or pressure practitioner has looked at the rig.
    /// ## Why it matters
    /// A file tells what its writer thought of. A fitter sees the rest.
    /// ## What to do
    /// Have the rig looked at before it is lit; in many places the law asks for it.
    NotReviewed, "REC004", "not-reviewed", Records
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    match s.rig.records.reviewed {
        Some(true) => {}
        Some(false) => v.find(
            Signal::Caution,
            "records.reviewed",
            "not yet",
            Limit::Should("looked at by a licensed practitioner"),
            Source::Choice("licensed gas practice decides, not this program"),
            "have the rig looked at before it is lit",
        ),
        None => v.not_checked(
            "the rig file does not say whether a licensed practitioner has looked at the rig",
        ),
    }
}
