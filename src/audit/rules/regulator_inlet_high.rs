//! A regulator that sees more pressure than its maker allows.

use super::{solved, train_parts};
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Source, Verdict};
use crate::train::PartKind;

rule! {
    /// ## Finding
    /// {It} sees {measured} with the flow stopped; its maker allows {limit}, and above that its diaphragm or seat may
    /// fail.
    /// ## What it checks
    /// Pressure before each regulator with the flow stopped, as the supply starts and on the hottest day, against
    /// the highest its maker allows.
    /// ## Why it matters
    /// Above it the diaphragm or seat may fail, and then the whole pressure of the tank stands on what follows.
    /// ## What to do
    /// Fit a regulator made for the highest pressure before it.
    "REG003", "regulator-inlet-high", Regulator, [Warning], given("max_inlet"),
    levers ["regulator.set_pressure" Down]
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
                let says = "{It} has no highest inlet pressure marked on it: nobody can tell whether its diaphragm or seat stands the supply.";
                v.source(Source::Input(path.into())).says(says).find(
                    solved::part_path(&part.name),
                    "not marked",
                    Limit::Should("a regulator whose highest inlet pressure is known"),
                );
            } else {
                v.not_checked(format!("{} does not give `max_inlet`", part.name));
            }
            continue;
        };
        // above its pressure rating as well: that rule says it, with the lower of the two
        let rated = part.rating.max_pressure;
        if rest.pressure > most && rated.is_none_or(|rating| rest.pressure <= rating) {
            let says = format!(
                "{{It}} sees {{measured}} {}; its maker allows {{limit}}, and above that its diaphragm or seat may fail.",
                rest.when
            );
            let advice = format!(
                "Fit a regulator made for {} or more before it",
                solved::enough_pressure(s, rest.pressure)
            );
            v.source(Source::of_part(&part.name, "max_inlet"))
                .says(says)
                .advice(advice)
                .find(
                    solved::part_path(&part.name),
                    s.pressure(rest.pressure),
                    Limit::AtMost(s.pressure(most)),
                );
        }
    }
}
