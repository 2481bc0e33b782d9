//! A fire that leaves much of its fuel unburnt.

use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Verdict};
use crate::quantity::Kind;
use crate::train::rig::Setting;

rule! {
    /// ## Finding
    /// {It} burns {measured} of its fuel, under {limit}: the rest leaves as fuel and carbon monoxide.
    /// ## What it checks
    /// Combustion efficiency of the burner against 95 %; below 90 % it is graver, and indoors graver still.
    /// ## Why it matters
    /// What is not burnt leaves as carbon monoxide and unburnt fuel. A few per cent of it poison a room in minutes.
    /// ## What to do
    /// Improve the mixing, use a longer or hotter can, or give less air at the flame. Measure carbon monoxide in the
    /// exhaust before anybody stands near it.
    "FLM007", "poor-burnout", Flame, [Danger, Warning, Caution],
    Choice("burners in order reach 98 % and more; common practice, no source")
}

const LEAST: f64 = 0.95;
const VERY_POOR: f64 = 0.90;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(efficiency) = s.rig.burner.combustion_efficiency else {
        v.not_checked("the rig file does not give `burner.combustion_efficiency`");
        return;
    };
    let indoor = s.rig.site.setting == Setting::Indoor;
    if efficiency.value < LEAST {
        v.signal(match (indoor, efficiency.value < VERY_POOR) {
            (true, true) => Signal::Danger,
            (true, false) | (false, true) => Signal::Warning,
            (false, false) => Signal::Caution,
        })
        .advice(if indoor {
            "Improve the mixing, lead the exhaust outside, and measure carbon monoxide"
        } else {
            "Improve the mixing, and keep people out of the exhaust"
        })
        .find(
            "burner.combustion_efficiency",
            (Kind::Ratio, efficiency.value),
            Limit::at_least(Kind::Ratio, LEAST),
        );
    }
}
