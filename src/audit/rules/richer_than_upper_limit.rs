//! A mixture richer than its upper flammability limit.

use crate::audit::rule::{Judges, rule};

rule! {
    /// ## What it checks
    /// Fuel in fuel and air of a flame against the upper flammability limit, the highest of the standards.
    /// ## Why it matters
    /// Fuel that finds no air at the flame finds it at the exit, beside whoever stands there.
    /// ## What to do
    /// No flame holds in cold premixed fuel and air there, and what leaves burns where it meets air; give it
    /// more air.
    RULE, "FLM010", "richer-than-upper-limit", Flame, [Caution], Words("highest of the standards in the library");
    Judges::Flame
}
