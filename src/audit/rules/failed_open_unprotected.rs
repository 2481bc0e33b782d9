//! Parts that a regulator failed wide open puts above their rating, with nothing between.

use super::{solved, train_parts};
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::flow::regulator::Regulator;
use crate::quantity::Kind;
use crate::train::ways::weak_if_failed_open;

rule! {
    /// ## What it checks
    /// Rating of every part behind a regulator against the pressure before that regulator, of the supply as it
    /// starts and on the hottest day for the first one, of what the one before it holds for the others: one failure
    /// at a time. A relief valve in between counts, and a high-pressure cut-off for what stands behind the first
    /// shut-off valve that it closes, if that valve stands the pressure.
    /// ## Why it matters
    /// A seat that does not close, for dirt or ice, puts the pressure of the tank on parts made for a
    /// tenth of it.
    /// ## What to do
    /// A relief behind the regulator, vented outdoors, or a high-pressure cut-off that shuts the tank
    /// side; or parts rated for the tank.
    FailedOpenUnprotected, "REG006", "failed-open-regulator-unprotected", Regulator
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if train_parts(s, v).is_none() {
        return;
    }
    let Some(supply) = solved::highest_supply(s, v) else {
        return;
    };
    let held = |r: &Regulator, inlet| r.lock_up_pressure(inlet);
    let cut_off = s.rig.controls.high_fuel_cutoff == Some(true);
    for weak in weak_if_failed_open(&s.rig.train, supply, held, cut_off) {
        // a relief valve that stands there and is set too high has a rule of its own
        let Some((name, rating)) = weak.parts.first().filter(|_| !weak.relieved) else {
            continue;
        };
        let others = match weak.parts.len() - 1 {
            0 => String::new(),
            1 => "; one more part is rated below it".to_owned(),
            n => format!("; {n} more parts are rated below it"),
        };
        v.find(
            Signal::Warning,
            solved::part_path(name),
            Measured::Worded(
                Kind::AbsolutePressure,
                weak.stands.pascals(),
                format!(
                    "{} if `{}` fails open{others}",
                    s.gauge(weak.stands),
                    weak.regulator
                ),
            ),
            Limit::AtMost(s.pressure(*rating)),
            Source::Input(format!("train.{name}.max_pressure")),
            if cut_off {
                "a relief valve between regulator and this part, or a part rated for it: the high-pressure switch closes a valve that is itself in the way, or stands behind it"
            } else {
                "a relief behind the regulator, a high-pressure cut-off, or parts rated for it"
            },
        );
    }
}
