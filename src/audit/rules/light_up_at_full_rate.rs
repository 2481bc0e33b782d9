//! A light-up with as much fuel as the largest duty.

use super::duty_path;
use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Verdict};
use crate::quantity::Kind;
use crate::train::rig::Setting;

rule! {
    /// ## Finding
    /// {It} lights the burner with {measured}, over {limit}, three quarters of the largest other duty: it lights with
    /// a bang.
    /// ## What it checks
    /// Heat of the first duty, which lights the burner, against three quarters of that of the largest other duty.
    /// Indoors, or with more than that duty, it is a WARNING.
    /// ## Why it matters
    /// What flows before the flame stands goes off at once. At full rate that is several times as much as at a
    /// light-up rate, and the burner lights with a bang.
    /// ## What to do
    /// Light up with a third of the largest duty or less. Use a pilot, a throttle stop, or a first duty of its own.
    "SHU016", "light-up-at-full-rate", Shutdown, [Warning, Caution],
    Choice("three quarters of the largest duty; common practice lights at a third or less, no source"),
    levers ["duties.target" Down, "duties.throttle" Down, "duties.air_flow" Down]
}

/// Largest share of the fuel of the largest duty.
const MOST: f64 = 0.75;
/// A light-up with more than the largest running duty, relative.
const ABOVE_ALL: f64 = 1.2;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let heats: Vec<Option<f64>> = s
        .duties
        .iter()
        .map(|d| Some(d.demand.as_ref().ok()?.fuel_heat.value))
        .collect();
    let [first, others @ ..] = heats.as_slice() else {
        return;
    };
    let Some(first) = first else {
        v.not_checked("the first duty, which lights the burner, has no fuel flow");
        return;
    };
    let Some(most) = others.iter().flatten().copied().reduce(f64::max) else {
        return;
    };
    if *first > MOST * most {
        v.signal(
            if *first > ABOVE_ALL * most || s.rig.site.setting == Setting::Indoor {
                Signal::Warning
            } else {
                Signal::Caution
            },
        )
        .find(
            duty_path(&s.duties[0].name),
            (Kind::Power, *first),
            Limit::at_most(Kind::Power, MOST * most),
        );
    }
}
