//! A part that opens when power or signal fails.

use super::train_parts;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::train::{OnLoss, Part};

rule! {
    /// ## Finding
    /// {It} {measured}: the burner gets the most fuel when nobody controls it.
    /// ## What it checks
    /// Whether any part of the train opens on loss of power or signal.
    /// ## Why it matters
    /// The fire gets the most fuel at the moment when nobody controls it.
    /// ## What to do
    /// Use a drive that closes, or one that stays put in series with a shut-off valve that closes.
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
        let lost = lost.join(" and ");
        let (says, limit, advice) = if part.is_shut_off() {
            (
                "{It} {measured}: it does not shut the fuel when it has to.".to_owned(),
                "a shut-off valve that its spring closes",
                "Use a valve that closes without power and signal.",
            )
        } else {
            (
                v.rule.says(),
                "closes, or stays behind a valve that closes",
                "Use a drive that closes without power and signal.",
            )
        };
        v.says(says).advice(advice).find(
            format!("train.{}", part.name),
            format!("opens on loss of {lost}"),
            Limit::Should(limit),
        );
    }
}
