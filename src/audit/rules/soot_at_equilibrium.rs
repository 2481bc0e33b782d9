//! A mixture with solid carbon at equilibrium.

use crate::audit::rule::{Judges, rule};

rule! {
    /// ## What it checks
    /// Activity of carbon in the burnt gas at equilibrium, against graphite.
    /// ## Why it matters
    /// The sums take gases alone: with solid carbon beside them they are off.
    /// ## What to do
    /// Solid carbon forms; the composition without it is not the stable one, and the temperature is rough.
    RULE, "FLM011", "soot-at-equilibrium", Flame, [Caution], Words("equilibrium with graphite");
    Judges::Flame
}
