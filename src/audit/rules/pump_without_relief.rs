//! A pump with no relief valve before the first valve behind it.

use super::{solved, train_parts};
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::train::PartKind;

rule! {
    /// ## Finding
    /// {It} has no relief valve before the first valve behind it: with that valve shut, the weakest part gives and oil
    /// sprays.
    /// ## What it checks
    /// That a relief valve stands behind each pump, before the first valve that can shut or throttle its flow.
    /// ## Why it matters
    /// A fuel pump of the usual kind moves its volume whatever stands in the way: with a valve shut and its own bypass
    /// stuck, the weakest part behind it gives, and oil sprays.
    /// ## What to do
    /// Fit a relief valve for the whole flow of the pump right behind it, led back to the tank.
    "LIQ008", "pump-without-relief", Liquid, [Warning],
    Choice("a pump against a shut valve breaks what is weakest; common practice, no source")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if train_parts(s, v).is_none() {
        return;
    }
    let mut told = Vec::new();
    for way in solved::ways(s) {
        for (i, pump) in way.iter().enumerate() {
            if !pump.is_pump() || told.contains(&&pump.name) {
                continue;
            }
            let mut open = way[i + 1..].iter().take_while(|p| p.kind.valve().is_none());
            if open.any(|p| matches!(p.kind, PartKind::ReliefValve(_))) {
                continue;
            }
            told.push(&pump.name);
            v.find(
                solved::part_path(&pump.name),
                "no relief valve before the first valve behind it",
                Limit::Should("a relief valve right behind the pump"),
            );
        }
    }
}
