//! A part that opens when power or signal fails.

use super::train_parts;
use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Source, Verdict};
use crate::train::OnLoss;

rule! {
    /// ## What it checks
    /// Whether any part of the train opens on loss of power or of signal.
    /// ## Why it matters
    /// The moment nobody controls the fire is the moment it gets the most fuel.
    /// ## What to do
    /// Use a drive that closes, or stays and has a shut-off valve in series that closes.
    OpensWithoutPower, "SHU013", "opens-without-power", Shutdown
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(parts) = train_parts(s, v) else {
        return;
    };
    for part in parts {
        let Some(closure) = &part.closure else {
            continue;
        };
        let losses = [
            (closure.on_power_loss, "power"),
            (closure.on_signal_loss, "signal"),
        ];
        let lost: Vec<&str> = losses
            .iter()
            .filter(|(does, _)| *does == OnLoss::Opens)
            .map(|(_, what)| *what)
            .collect();
        if !lost.is_empty() {
            v.find(
                Signal::Warning,
                format!("train.{}", part.name),
                format!("opens on loss of {}", lost.join(" and of ")),
                Limit::Should("closes, or stays behind a valve that closes"),
                Source::Choice("fuel without control is worse than none"),
                "use a drive that closes without power and signal",
            );
        }
    }
}
