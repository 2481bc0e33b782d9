//! Parts that a regulator failed wide open puts above their rating, with nothing between.

use super::{solved, train_parts};
use crate::audit::finding::capital;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Source, Verdict};
use crate::quantity::AbsolutePressure;
use crate::train::Part;
use crate::train::protection::{Exposed, FailedOpen, KeptBy, failed_open};

rule! {
    /// ## Finding
    /// If the regulator before it fails open, {it} sees {measured}; it is rated for {limit} and not protected.
    /// ## What it checks
    /// One regulator at a time failed wide open while the others hold: rating of every part behind it, and highest
    /// inlet pressure of the next regulator, against the pressure before it (of the supply as it starts and on the
    /// hottest day for the first one, of what the one before it holds for the others), or that at which its slam-shut
    /// closes. A relief valve counts for what no valve can shut off from it. A high-pressure cut-off counts behind the last
    /// regulator, where its switch stands, for what is behind the first shut-off valve that it closes.
    /// ## Why it matters
    /// A seat that does not close, for dirt or ice, puts the pressure of the tank on parts made for a tenth of it.
    /// ## What to do
    /// Fit a relief valve behind the regulator, vented outdoors, with no valve between it and what it protects. Or a
    /// slam-shut, or a shut-off valve on the tank side for the high-pressure cut-off to close, or parts rated for the
    /// tank.
    "REG006", "failed-open-regulator-unprotected", Regulator, [Warning], given("max_pressure"),
    levers ["relief-valve.set_pressure" Down, "relief-valve.bore" Up, "regulator.shut_off_pressure" Down]
}

fn check(s: &Solution<'_>, v: &mut Verdict) -> Option<()> {
    train_parts(s, v)?;
    let supply = solved::highest_supply(s, v)?;
    let switch = s.rig.controls.high_fuel_cutoff == Some(true);
    // a relief valve that passes too little has a rule of its own, and so has a slam-shut
    let kept_by = KeptBy {
        high_cut_off: switch.then_some(s.rig.site.air_pressure),
        ..KeptBy::RELIEFS
    };
    for failed in failed_open(&s.rig.train, supply, Part::holds, kept_by) {
        if failed.lets_through < failed.before {
            continue;
        }
        let mut weak: Vec<&Exposed<'_>> = failed
            .parts
            .iter()
            // a relief valve that stands there and is set too high has a rule of its own
            .filter(|e| e.relief.is_none() && e.overloaded().is_some())
            .collect();
        let rating = |e: &Exposed<'_>| e.overloaded().map_or(0.0, AbsolutePressure::pascals);
        weak.sort_by(|a, b| rating(a).total_cmp(&rating(b)));
        find(s, v, &failed, &weak);
    }
    Some(())
}

/// One finding for a regulator, at the weakest of the parts behind it.
fn find(s: &Solution<'_>, v: &mut Verdict, failed: &FailedOpen<'_>, weak: &[&Exposed<'_>]) {
    let weakest = weak.first().and_then(|e| Some((*e, e.part.rated()?)));
    let Some((weakest, (rating, key))) = weakest else {
        return;
    };
    let others = match weak.len() - 1 {
        0 => String::new(),
        1 => format!(
            " {} is rated too low too.",
            capital(&solved::named(s, &weak[1].part.name))
        ),
        n => format!(" {n} more parts are too weak."),
    };
    let name = &weakest.part.name;
    let protects = weakest.shut_from.map_or_else(
        || "not protected".to_owned(),
        |(relief, valve)| format!("`{}` can cut it off from `{}`", valve.name, relief.name),
    );
    let says = format!(
        "If {} fails open, {{it}} sees {{measured}}; it is rated for {{limit}} and {protects}.{others}",
        solved::named(s, &failed.regulator.name)
    );
    let behind = failed.parts.iter().any(|e| e.cut_off.is_some());
    let pressure = solved::enough_pressure(s, weakest.pressure);
    let advice = if weakest.shut_from.is_some() {
        format!(
            "Move the relief valve to the regulator's side of the valve, or rate the part for {pressure}"
        )
    } else if behind {
        format!(
            "Fit a relief valve or slam-shut, or a part rated for {pressure}. The valve that the high-pressure switch shuts stands behind this part"
        )
    } else {
        format!(
            "Fit a relief valve behind the regulator, or parts for {pressure}. Or a high-pressure cut-off that shuts a valve before it"
        )
    };
    v.source(Source::of_part(name, key))
        .advice(advice)
        .says(says)
        .find(
            solved::part_path(name),
            s.pressure(weakest.pressure),
            Limit::AtMost(s.pressure(rating)),
        );
}
