//! A shut-off valve that takes long to close.

use super::train_parts;
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::quantity::Kind;
use crate::train::Actuation;

rule! {
    /// ## What it checks
    /// Closing time of every shut-off valve that a coil or a motor moves, against 1 s.
    /// ## Why it matters
    /// What flows while it closes reaches a fire that is no longer there.
    /// ## What to do
    /// Use a valve made for burners; keep the slow one for metering.
    SlowShutOff, "SHU008", "slow-shut-off", Shutdown
}

const LONGEST_S: f64 = 1.0;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(parts) = train_parts(s, v) else {
        return;
    };
    for part in parts {
        let Some(closure) = &part.closure else {
            continue;
        };
        let by_hand_or_itself =
            matches!(closure.actuation, Actuation::Manual | Actuation::SelfActing);
        if by_hand_or_itself || !part.is_shut_off() {
            continue;
        }
        match closure.closing_time {
            None => v.not_checked(format!("{} gives no closing time", part.name)),
            Some(time) if time.value > LONGEST_S => v.find(
                Signal::Warning,
                format!("train.{}", part.name),
                Measured::Quantity(Kind::Time, time.value),
                Limit::AtMost(Measured::Quantity(Kind::Time, LONGEST_S)),
                Source::Unconfirmed("en161"),
                "use a shut-off valve made for burners",
            ),
            Some(_) => {}
        }
    }
}
