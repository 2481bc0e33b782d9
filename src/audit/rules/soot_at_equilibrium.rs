//! A mixture with solid carbon at equilibrium.

use crate::audit::rule::{Judges, rule};

rule! {
    /// ## Finding
    /// {It} has a carbon activity of {measured}, over {limit}: solid carbon forms, and the temperature is rough.
    /// ## What it checks
    /// Activity of carbon in the burnt gas at equilibrium, against graphite.
    /// ## Why it matters
    /// The sums take gases alone: with solid carbon beside them they are off.
    /// ## What to do
    /// Give it more air, or take composition and temperature as rough.
    RULE, "FLM011", "soot-at-equilibrium", Flame, [Caution], Words("equilibrium with graphite");
    Judges::Flame
}
