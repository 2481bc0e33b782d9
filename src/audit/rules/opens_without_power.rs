//! A part that opens when power or signal fails.

use super::train_parts;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::train::{OnLoss, Part};

rule! {
    /// ## What it checks
    /// Whether any part of the train opens on loss of power or of signal.
    /// ## Why it matters
    /// The moment nobody controls the fire is the moment it gets the most fuel.
    /// ## What to do
    /// Use a drive that closes, or stays and has a shut-off valve in series that closes.
    "SHU013", "opens-without-power", Shutdown, [Warning], Choice("fuel without control is worse than none")
}

/// What a part loses that makes it open.
fn losses(part: &Part) -> Vec<&'static str> {
    let Some(closure) = &part.closure else {
        return Vec::new();
    };
    let losses = [
        (closure.on_power_loss, "power"),
        (closure.on_signal_loss, "signal"),
    ];
    let opening = losses.iter().filter(|(does, _)| *does == OnLoss::Opens);
    opening.map(|(_, what)| *what).collect()
}

/// Whether a part opens on loss of power.
pub(super) fn opens(part: &Part) -> bool {
    losses(part).contains(&"power")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(parts) = train_parts(s, v) else {
        return;
    };
    for part in parts {
        let lost = losses(part);
        if lost.is_empty() {
            continue;
        }
        let lost = lost.join(" and of ");
        let (measured, limit, advice) = if part.is_shut_off() {
            (
                format!("opens on loss of {lost}: it is no shut-off"),
                "a shut-off valve that its spring closes",
                "use a valve that closes without power and signal",
            )
        } else {
            (
                format!("opens on loss of {lost}: the most fuel when nobody controls it"),
                "closes, or stays behind a valve that closes",
                "use a drive that closes without power and signal",
            )
        };
        v.advice(advice).find(
            format!("train.{}", part.name),
            measured,
            Limit::Should(limit),
        );
    }
}
