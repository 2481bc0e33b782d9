//! Seats and small holes without a filter before them.

use super::{solved, train_parts};
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::train::PartKind;

rule! {
    /// ## Finding
    /// No filter stands before {it}: scale, sealant and swarf lodge in its seat or in the holes.
    /// ## What it checks
    /// Whether a filter stands before the first solenoid, metering or needle valve on the way to each outlet.
    /// ## Why it matters
    /// Scale, sealant and swarf lodge in the seat that has to shut, or in the holes.
    /// ## What to do
    /// Fit a filter finer than the smallest hole, behind the tank valve or the regulator. Blow the line through
    /// before joining it.
    "TRN012", "no-filter", Train, [Caution], Choice("common practice of the trade")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if train_parts(s, v).is_none() {
        return;
    }
    let ways = solved::ways(s);
    let mut said: Vec<&str> = Vec::new();
    for way in ways {
        for part in way {
            match part.kind {
                PartKind::Filter(_) => break,
                PartKind::SolenoidValve(_)
                | PartKind::MeteringValve(_)
                | PartKind::NeedleValve(_) => {
                    if !said.contains(&part.name.as_str()) {
                        said.push(&part.name);
                    }
                    break;
                }
                _ => {}
            }
        }
    }
    if let Some(first) = said.first() {
        v.find(
            solved::part_path(first),
            format!("no filter before {}", said.join(", ")),
            Limit::Should("a filter before the first seat that has to shut"),
        );
    }
}
