//! Parts that a regulator failed wide open puts above their rating, with nothing between.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::quantity::{AbsolutePressure, pascals_absolute};
use crate::train::PartKind;

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
    for (regulator, weak) in weak_parts(s, supply_pa) {
        let Some((name, rating)) = weak.first() else {
            continue;
        };
        let others = match weak.len() - 1 {
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

/// A regulator with the parts behind it that neither their rating nor a relief saves, the weakest first.
type Weak<'s> = (&'s str, Vec<(&'s str, AbsolutePressure)>);

/// Regulators in the order of the train.
fn weak_parts<'s>(s: &'s Solution<'_>, supply_pa: f64) -> Vec<Weak<'s>> {
    let mut all: Vec<Weak<'s>> = Vec::new();
    for way in solved::ways(s) {
        let mut relief_pa = f64::INFINITY;
        let mut behind: Option<&str> = None;
        for part in way {
            if let (Some(regulator), Some(rating)) = (behind, part.rating.max_pressure)
                && rating.pascals() < supply_pa.min(relief_pa)
                && all
                    .iter()
                    .flat_map(|w| &w.1)
                    .all(|(name, _)| *name != part.name)
            {
                let weak = (part.name.as_str(), rating);
                match all.iter_mut().find(|w| w.0 == regulator) {
                    Some(w) => w.1.push(weak),
                    None => all.push((regulator, vec![weak])),
                }
            }
            match &part.kind {
                PartKind::Regulator(_) => behind = Some(&part.name),
                PartKind::ReliefValve(r) if behind.is_some() => {
                    relief_pa = relief_pa.min(r.set_pressure.pascals());
                }
                _ => {}
            }
        }
    }
    for (_, weak) in &mut all {
        weak.sort_by(|a, b| a.1.pascals().total_cmp(&b.1.pascals()));
    }
    all
}
