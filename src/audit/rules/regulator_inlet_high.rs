//! A regulator that sees more pressure than its maker allows.

use super::{solved, train_parts};
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Source, Verdict};
use crate::train::PartKind;

rule! {
    /// ## What it checks
    /// Pressure before each regulator with the flow stopped, as the supply starts and on the hottest day, against
    /// the highest its maker allows.
    /// ## Why it matters
    /// Above it the diaphragm or seat may fail, and then the whole pressure of the tank stands on what
    /// follows.
    /// ## What to do
    /// A regulator made for the highest pressure before it.
    "REG003", "regulator-inlet-high", Regulator, [Warning], given("max_inlet")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if train_parts(s, v).is_none() {
        return;
    }
    for rest in solved::most_at_rest(s, v) {
        let part = rest.part;
        let PartKind::Regulator(r) = &part.kind else {
            continue;
        };
        let Some(most) = r.max_inlet else {
            let path = format!("train.{}.max_inlet", part.name);
            if s.rig.says_none(&path) {
                v.source(Source::Input(path.into())).find(
                    solved::part_path(&part.name),
                    "no highest inlet pressure is marked on it",
                    Limit::Should("a regulator whose highest inlet pressure is known"),
                );
            } else {
                v.not_checked(format!("{} gives no `max_inlet`", part.name));
            }
            continue;
        };
        // above its pressure rating as well: that rule says it, with the lower of the two
        let rated = part.rating.max_pressure;
        if rest.pressure > most && rated.is_none_or(|rating| rest.pressure <= rating) {
            v.source(Source::of_part(&part.name, "max_inlet")).find(
                solved::part_path(&part.name),
                rest.measured(s),
                Limit::AtMost(s.pressure(most)),
            );
        }
    }
}
