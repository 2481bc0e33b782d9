//! A rig that no licensed person has looked at.

use crate::audit::rule::rule;

rule! {
    /// ## Finding
    /// No licensed practitioner has looked at the rig: a file tells only what its writer thought of.
    /// ## What it checks
    /// Whether a licensed gas or pressure practitioner has looked at the rig.
    /// ## Why it matters
    /// A file tells what its writer thought of. A fitter sees the rest.
    /// ## What to do
    /// Have the rig looked at before it is lit. In many places the law asks for it.
    "REC004", "not-reviewed", Records, [Caution], Choice("licensed gas practice decides, not this program");
    asks: |s| s.rig.records.reviewed,
    at: "records.reviewed",
    no: "not yet",
    should: "looked at by a licensed practitioner",
    unknown: "the rig file does not say whether a licensed practitioner has looked at the rig"
}
