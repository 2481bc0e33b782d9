//! A mixture that soots before equilibrium does.

use crate::audit::rule::{Judges, rule};

rule! {
    /// ## Finding
    /// {It} has {measured} atoms of carbon to one of oxygen, over {limit}: real flames soot there though equilibrium
    /// does not.
    /// ## What it checks
    /// Atoms of carbon over atoms of oxygen in the mixture, against one half.
    /// ## Why it matters
    /// Soot blocks ducts, burns in them later, and hides a flame from its detector.
    /// ## What to do
    /// Give it more air, or expect deposits and a luminous flame.
    RULE, "FLM012", "soot-likely", Flame, [Caution], Words("our choice, from memory of premixed laboratory flames");
    Judges::Flame
}
