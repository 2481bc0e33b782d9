//! A shut-off valve that takes long to close.

use super::train_parts;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::quantity::Kind;
use crate::train::Actuation;

rule! {
    /// ## Finding
    /// {It} takes {measured} to close, over {limit}: fuel flows on meanwhile to a fire that has gone out.
    /// ## What it checks
    /// Closing time of every shut-off valve moved by a coil or a motor, against 1 s.
    /// ## Why it matters
    /// What flows while it closes reaches a fire that has gone out.
    /// ## What to do
    /// Use a valve made for burners, and keep the slow one for metering.
    "SHU008", "slow-shut-off", Shutdown, [Warning], Unconfirmed("en161")
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
            None => v.not_checked(format!("{} lacks `closing_time`", part.name)),
            Some(time) if time.value > LONGEST_S => v.find(
                format!("train.{}", part.name),
                (Kind::Time, time.value),
                Limit::at_most(Kind::Time, LONGEST_S),
            ),
            Some(_) => {}
        }
    }
}
