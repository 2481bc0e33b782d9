//! Fuel that condenses in a line.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Verdict};
use crate::eos::{Backend, Phase};
use crate::quantity::Kind;
use crate::train::Part;
use crate::train::ways::at_rest;
use std::sync::Arc;

rule! {
    /// ## Finding
    /// {It} cools to {measured} and should stay {limit}: fuel condenses in it and reaches the flame in slugs.
    /// ## What it checks
    /// Dew point of the fuel at the pressure of each gas line behind the first regulator, of what is drawn first and
    /// of what is drawn at the end of the run plan, against the coldest of fuel, surroundings and coldest day. The
    /// line has to be 3 K warmer.
    /// ## Why it matters
    /// Condensed fuel collects in the low places of a line and reaches the flame in slugs. Before the regulator
    /// vapour is always at its dew point: that line slopes back to the tank.
    /// ## What to do
    /// Lower the pressure in it, warm it, or burn less butane.
    "TRN008", "condensation-in-line", Train, [Warning, Caution],
    Choice("3 K for the spread of compositions and temperatures"),
    levers ["regulator.set_pressure" Down]
}

/// Margin wanted, K.
const MARGIN_K: f64 = 3.0;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(plan) = solved::train(s, v) else {
        return;
    };
    let site = &s.rig.site;
    let surroundings_k = site
        .coldest
        .map_or(site.ambient.value, |t| t.value.min(site.ambient.value));
    if site.coldest.is_none() {
        v.not_checked(
            "the rig file does not give `site.coldest`: only the day of the test is checked",
        );
    }
    let upstream: Vec<&str> = solved::at_supply_pressure(s)
        .iter()
        .map(|p| p.name.as_str())
        .collect();
    let last = heaviest(s);
    let mut worst: Option<(f64, f64, String, String)> = None;
    for duty in &plan.duties {
        let Ok(solved) = &duty.solution else { continue };
        for flow in &solved.parts {
            let line = s
                .rig
                .train
                .part(&flow.part)
                .is_some_and(|p| p.kind.line().is_some());
            if !line || upstream.contains(&flow.part.as_str()) || flow.outlet.phase != Phase::Gas {
                continue;
            }
            let p_pa = flow.inlet.pressure.pascals();
            let coldest_k = surroundings_k
                .min(flow.inlet.temperature.value)
                .min(flow.outlet.temperature.value);
            let dew = |fuel: &dyn Backend| {
                let clear = fuel.is_certainly(Phase::Gas, p_pa, coldest_k - MARGIN_K);
                (!clear).then(|| fuel.dew_p(p_pa).map(|e| e.temperature_k).ok())?
            };
            let found = [
                dew(plan.fuel.as_ref()),
                last.as_ref().and_then(|b| dew(b.as_ref())),
            ];
            let Some(dew_k) = found.into_iter().flatten().reduce(f64::max) else {
                continue;
            };
            if worst.as_ref().is_none_or(|w| coldest_k - dew_k < w.0 - w.1) {
                let when = format!("at duty {}", duty.name);
                worst = Some((coldest_k, dew_k, flow.part.clone(), when));
            }
        }
    }
    if plan.duties.iter().all(|d| d.solution.is_err())
        && let Some(supply) = solved::pressure_at_start(s, v)
    {
        // no duty is solved: lines as they stand with the flow stopped
        for rest in at_rest(&s.rig.train, supply, Part::holds) {
            let part = rest.part;
            if part.kind.line().is_none() || upstream.contains(&part.name.as_str()) {
                continue;
            }
            let Ok(dew) = plan.fuel.dew_p(rest.inlet.pascals()) else {
                continue;
            };
            let dew_k = dew.temperature_k;
            if worst
                .as_ref()
                .is_none_or(|w| surroundings_k - dew_k < w.0 - w.1)
            {
                let when = "with the flow stopped".to_owned();
                worst = Some((surroundings_k, dew_k, part.name.clone(), when));
            }
        }
    }
    if let Some((coldest_k, dew_k, part, duty)) = worst
        && coldest_k < dew_k + MARGIN_K
    {
        let dew = s.show(Kind::Temperature, dew_k);
        let (signal, says) = if coldest_k < dew_k {
            let says = format!(
                "{{It}} cools to {{measured}} {duty} and should stay {{limit}}: fuel condenses in it."
            );
            (Signal::Warning, says)
        } else {
            let says = format!(
                "{{It}} cools to {{measured}} {duty} and should stay {{limit}}: fuel may condense in it."
            );
            (Signal::Caution, says)
        };
        v.signal(signal).says(says).find(
            solved::part_path(&part),
            (Kind::Temperature, coldest_k),
            Limit::of_words(
                Kind::Temperature,
                dew_k + MARGIN_K,
                format!("3 K above the dew point of {dew}"),
            ),
        );
    }
}

/// Of a blend: what is drawn at the end of the run plan.
fn heaviest(s: &Solution<'_>) -> Option<Arc<dyn Backend>> {
    if s.fluid.composition().parts().len() < 2 {
        return None;
    }
    let outcome = s.tank().as_ref().ok()?.run.as_ref().ok()?;
    let drawn = outcome.run.rows.iter().rev().find_map(|r| r.drawn)?;
    s.fluid.recomposed(&drawn).ok()
}
