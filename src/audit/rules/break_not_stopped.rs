//! A line fed from a tank whose break nothing closes by itself.

use super::leak_plan;
use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Verdict};
use crate::quantity::Kind;
use crate::train::part_protection::Drive;
use crate::train::rig::Supply;
use crate::train::rig::supply::VENTED_PA;
use crate::train::ways::ways;
use crate::train::{Part, PartKind};

rule! {
    /// ## Finding
    /// A full-bore break of {it} lets out {measured}, and no excess-flow valve stops it.
    /// ## What it checks
    /// That a full-bore break of a hose fed from a tank closes an excess-flow valve before it.
    /// ## Why it matters
    /// Otherwise the tank empties through the hose until a hand reaches its valve, through the gas or the fire.
    /// Behind a pump it is less grave: stopping the pump stops the spray. Where the switch for low fuel pressure
    /// stops it, nothing is found: `driven_by` of pump and shut-off valve then has one name.
    /// ## What to do
    /// Fit an excess-flow valve at the tank that closes well below the flow of the break and well above the largest
    /// duty.
    "LEK009", "hose-break-not-stopped", Leak, [Warning, Caution],
    Choice("what gas practice asks of cylinder hoses; the local code decides"),
    levers ["excess-flow-valve.closing_flow" Down]
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if matches!(s.rig.supply, Supply::Mains(_)) {
        v.not_checked("the fuel comes from a main, and the rig file does not say what closes that");
        return;
    }
    let Some(plan) = leak_plan(s, v) else { return };
    for broken in &plan.breaks {
        let part = s.rig.train.part(&broken.part);
        if !part.is_some_and(|p| matches!(p.kind, PartKind::Hose(_))) {
            continue;
        }
        let Ok(effect) = &broken.effect else {
            v.not_checked(format!(
                "the full-bore break of {} cannot be computed",
                broken.part
            ));
            continue;
        };
        let pumped = is_pumped(s, &broken.part);
        let (limit, says, advice) = match &broken.excess_flow {
            Some(e) if e.closes => continue,
            _ if pumped && pump_stops(s) => continue,
            Some(e) => (
                e.closing.value,
                format!(
                    "A full-bore break of {{it}} lets out {{measured}}, and {} closes only at {}.",
                    e.part,
                    s.show(Kind::MassRate, e.closing.value)
                ),
                "Fit an excess-flow valve that closes below the flow of the break.",
            ),
            None => (
                0.0,
                if pumped {
                    "A full-bore break of {it} lets out {measured}, and the pump keeps running."
                        .to_owned()
                } else {
                    v.rule.says()
                },
                if pumped {
                    "Let the low-pressure switch stop the pump too. Give the pump and a shut-off valve one name in `driven_by`."
                } else {
                    "Fit an excess-flow valve at the tank."
                },
            ),
        };
        v.signal(if pumped {
            Signal::Caution
        } else {
            Signal::Warning
        })
        .says(says)
        .advice(advice)
        .find(
            format!("train.{}", broken.part),
            (Kind::MassRate, effect.release.flow.value),
            Limit::of_words(
                Kind::MassRate,
                limit,
                if pumped {
                    "the pump stops when the hose breaks"
                } else {
                    "an excess-flow valve closes when the hose breaks"
                },
            ),
        );
    }
}

/// Whether a part stands behind a pump that draws from a vented tank: the tank alone presses nothing out.
fn is_pumped(s: &Solution<'_>, name: &str) -> bool {
    let air_pa = s.rig.site.air_pressure.pascals();
    if s.pad().is_none_or(|p| p.pascals() > air_pa + VENTED_PA) {
        return false;
    }
    ways(&s.rig.train).iter().any(|way| {
        let before = way.iter().take_while(|p| p.name != name);
        let mut before = before.filter(|p| p.is_pump());
        before.next().is_some() && way.iter().any(|p| p.name == name)
    })
}

/// Whether what shuts a valve when the fuel pressure falls stops every pump too.
fn pump_stops(s: &Solution<'_>) -> bool {
    let parts = s.rig.train.parts();
    let drive = |p: &Part| p.protection.driven_by.clone();
    let shut: Vec<Drive> = (parts.iter())
        .filter(|p| p.shuts_without_power())
        .filter_map(|p| drive(p))
        .collect();
    let mut pumps = parts.iter().filter(|p| p.is_pump());
    s.rig.controls.low_fuel_cutoff == Some(true)
        && pumps.all(|p| drive(p).is_some_and(|d| shut.contains(&d)))
}
