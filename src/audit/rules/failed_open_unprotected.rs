//! Parts that a regulator failed wide open puts above their rating, with nothing between.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::quantity::pascals_absolute;
use crate::train::ways::weak_if_failed_open;

rule! {
    /// ## What it checks
    /// Rating of every part behind a regulator against the pressure of the supply as it starts and on
    /// the hottest day, unless a relief valve set below the rating or a high-pressure cut-off stands
    /// between.
    /// ## Why it matters
    /// A seat that does not close, for dirt or ice, puts the pressure of the tank on parts made for a
    /// tenth of it.
    /// ## What to do
    /// A relief behind the regulator, vented outdoors, or a high-pressure cut-off that shuts the tank
    /// side; or parts rated for the tank.
    FailedOpenUnprotected, "REG006", "failed-open-regulator-unprotected", Regulator
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(plan) = solved::train(s, v) else {
        return;
    };
    if s.rig.controls.high_fuel_cutoff == Some(true) {
        return;
    }
    let start = plan
        .duties
        .iter()
        .filter_map(|d| d.solution.as_ref().ok())
        .flat_map(|x| &x.sources)
        .map(|x| x.tank.pressure.pascals());
    let hot = s.tank().iter().filter_map(|t| t.hottest.as_ref().ok());
    let Some(supply_pa) = start
        .chain(hot.map(|h| h.pressure.pascals()))
        .reduce(f64::max)
    else {
        v.not_checked("the pressure of the supply is not known");
        return;
    };
    for weak in weak_if_failed_open(&s.rig.train, pascals_absolute(supply_pa)) {
        let Some((name, rating)) = weak.parts.first() else {
            continue;
        };
        let regulator = weak.regulator;
        let others = match weak.parts.len() - 1 {
            0 => String::new(),
            1 => "; one more part is rated below it".to_owned(),
            n => format!("; {n} more parts are rated below it"),
        };
        v.find(
            Signal::Warning,
            solved::part_path(name),
            Measured::Text(format!(
                "{} if `{regulator}` fails open{others}",
                s.gauge(pascals_absolute(supply_pa))
            )),
            Limit::AtMost(Measured::Text(s.gauge(*rating))),
            Source::Input(format!("train.{name}.max_pressure")),
            "a relief behind the regulator, a high-pressure cut-off, or parts rated for the supply",
        );
    }
}
