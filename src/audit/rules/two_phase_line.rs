//! Liquid and vapour together in the train.

use crate::audit::rule::rule;

rule! {
    /// ## Finding
    /// {It} carries liquid and vapour together, {measured} of it vapour {when}: it flows in slugs.
    /// ## What it checks
    /// Whether the fuel is part liquid and part vapour anywhere in the train at a duty.
    /// ## Why it matters
    /// Two phases flow in slugs. Nothing meters them, and the figures here are bounds, not flows.
    /// ## What to do
    /// Vaporise all of it, or keep it liquid with more pressure.
    "TRN009", "two-phases-in-train", Train, [Warning], Choice("no flow law holds for two phases"),
    levers ["regulator.set_pressure" Down, "pump.outlet_pressure" Up];
    reads: [TwoPhase],
    given: "bore",
    limit: |f, _| f.limit_in_words("one phase")
}
