//! A mixture richer than its upper flammability limit.

use crate::audit::rule::{Judges, rule};

rule! {
    /// ## Finding
    /// {It} has an equivalence ratio of {measured}, over the upper flammability limit of {limit}: what leaves burns
    /// where it meets air.
    /// ## What it checks
    /// Fuel in the fuel and air of a flame against the upper flammability limit, the highest of the standards.
    /// ## Why it matters
    /// Fuel that finds no air at the flame finds it at the exit, beside whoever stands there.
    /// ## What to do
    /// Give it more air: cold premixed fuel and air do not hold a flame there.
    RULE, "FLM010", "richer-than-upper-limit", Flame, [Caution], Words("highest of the standards in the library");
    Judges::Flame
}
