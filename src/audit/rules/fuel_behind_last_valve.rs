//! Fuel behind the last shut-off valve that burns on after it has closed.

use super::{solved, train_parts};
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::quantity::Kind;
use crate::train::ShutOff;

rule! {
    /// ## What it checks
    /// How long the fuel behind the last shut-off valve before each of the holes feeds the flame after that valve has
    /// closed, from the largest flow, with what lines, ring or bar hold, against `burner.burn_on_limit`, or 3 s where that
    /// is left out (common practice, no source). A throttle is no shut-off. Where liquid does not boil away, the heat of all
    /// that hangs in the line against 100 kJ. Three times the limit is graver.
    /// ## Why it matters
    /// A flame that burns on after the stop is a fire that nobody controls; fuel that runs out unlit fills the
    /// duct for the next start.
    /// ## What to do
    /// The last valve close to the burner, a short and narrow line behind it.
    FuelBehindLastValve, "LEK020", "fuel-behind-last-valve", Leak
}

const MOST_J: f64 = 1e5;
/// From this many limits on it is a WARNING.
const GRAVE: f64 = 3.0;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if train_parts(s, v).is_none() {
        return;
    }
    let Some(plan) = solved::train(s, v) else {
        return;
    };
    if plan.shut_offs.iter().flatten().next().is_none() {
        let parts = s.rig.train.parts();
        let failed = plan.shut_offs.iter().find_map(|x| x.as_ref().err());
        v.not_checked(match failed {
            Some(why) => format!("what stands behind the last valve: {}", s.why(why)),
            None if parts.iter().any(|p| p.shuts_without_power()) => {
                "the train feeds no duty: what stands behind the last valve is not known".to_owned()
            }
            None => "no valve closes without power".to_owned(),
        });
        return;
    }
    let mut told: Vec<&str> = Vec::new();
    for way in solved::ways(s) {
        let last = way.iter().rev().find_map(|part| {
            let mut behind = plan.shut_offs.iter().flatten();
            behind.find(|x| x.valve == part.name)
        });
        if let Some(last) = last.filter(|x| !told.contains(&x.valve.as_str())) {
            told.push(&last.valve);
            find(s, v, last);
        }
    }
}

fn find(s: &Solution<'_>, v: &mut Verdict, last: &ShutOff) {
    let longest = s.rig.burner.longest_burn_on();
    let limit = |kind, si| Limit::AtMost(Measured::Quantity(kind, si));
    let burner = &s.rig.burner;
    let (share, measured, limit) = match (last.flame_life, last.energy) {
        (Some(life), _) => (
            life.value / longest.value,
            Measured::Worded(
                Kind::Time,
                life.value,
                format!("{} of flame", s.show(Kind::Time, life.value)),
            ),
            limit(Kind::Time, longest.value),
        ),
        (None, energy) => (
            energy.value / MOST_J,
            Measured::Quantity(Kind::Energy, energy.value),
            limit(Kind::Energy, MOST_J),
        ),
    };
    if share <= super::ROUNDING {
        return;
    }
    let timed = last.flame_life.is_some();
    v.find(
        if timed && share > GRAVE {
            Signal::Warning
        } else {
            Signal::Caution
        },
        solved::part_path(&last.valve),
        measured,
        limit,
        if timed && burner.burn_on_limit.is_some() {
            Source::Input("burner.burn_on_limit".to_owned())
        } else {
            Source::Choice("a few seconds of flame after the stop; common practice, no source")
        },
        "move the last shut-off valve close to the burner, or shorten and narrow the line behind it",
    );
}
