//! A mixture leaner than its lower flammability limit.

use crate::audit::rule::{Judges, rule};

rule! {
    /// ## Finding
    /// {It} has an equivalence ratio of {measured}, under the lower flammability limit of {limit}: cold premixed fuel
    /// and air do not burn there.
    /// ## What it checks
    /// Fuel in the fuel and air of a flame against the lower flammability limit, the lowest of the standards.
    /// ## Why it matters
    /// A mixture that does not burn leaves as it came, and burns where it meets something hot.
    /// ## What to do
    /// Give it a richer zone, less air at the flame, or hot air.
    RULE, "FLM009", "leaner-than-lower-limit", Flame, [Caution], Words("lowest of the standards in the library");
    Judges::Flame
}
