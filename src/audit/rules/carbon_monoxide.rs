//! Carbon monoxide in the burnt gas.

use crate::audit::rule::{Judges, rule};

rule! {
    /// ## Finding
    /// {It} holds {measured} of carbon monoxide in its dry gas at equilibrium, over {limit}: a few breaths of so much
    /// are too many.
    /// ## What it checks
    /// Carbon monoxide in the dry burnt gas at equilibrium, against 1000 ppm.
    /// ## Why it matters
    /// It has no smell, and a few breaths of so much are too many.
    /// ## What to do
    /// Burn it out with more air before it reaches people. Work in open air or with forced exhaust, and with an alarm.
    RULE, "FLM013", "carbon-monoxide", Flame, [Caution], Words("our choice; common practice");
    Judges::Flame
}
