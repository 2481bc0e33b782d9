//! A regulator whose droop moves the mixture between the duties.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## Finding
    /// The droop of {it} takes {measured} off the flow between the duties, over {limit}: the mixture moves with the
    /// throttle left alone.
    /// ## What it checks
    /// Pressure behind the last regulator at the duty with the least flow and at the one with the most: what its droop
    /// does to the flow at an unchanged throttle, against 10 %. Flow goes with the absolute pressure where the throttle
    /// is choked, and with the root of the drop where it is not.
    /// ## Why it matters
    /// A throttle set by its scale, or a mixture tuned at one duty, is off at the others by as much as
    /// the regulator droops.
    /// ## What to do
    /// Fit a regulator with less droop, or set the throttle by a measured flow and not by its scale.
    "REG004", "droop-moves-mixture", Regulator, [Notice], Choice("as much as the holes themselves are uncertain by"),
    levers ["regulator.rated_flow" Up, "regulator.set_pressure" Up]
}

/// Largest change of flow.
const MOST: f64 = 0.10;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(plan) = solved::train(s, v) else {
        return;
    };
    let Some((regulator, _)) = s.last_set_pressure() else {
        v.not_checked("the train has no regulator");
        return;
    };
    let mut behind: Vec<(f64, f64, f64, bool, &str)> = Vec::new();
    for duty in &plan.duties {
        let Ok(solved) = &duty.solution else { continue };
        let (Some(part), Some(holes)) = (
            solved.part(&regulator.name),
            solved.outlet(crate::train::plan::INJECTOR),
        ) else {
            continue;
        };
        let throttle = plan.throttle.as_ref().and_then(|name| solved.part(name));
        behind.push((
            part.flow.value,
            part.outlet.pressure.pascals(),
            holes.chamber.pascals(),
            throttle.map_or(holes.choked, |t| t.choked),
            &duty.name,
        ));
    }
    let least = behind.iter().min_by(|a, b| a.0.total_cmp(&b.0));
    let most = behind.iter().max_by(|a, b| a.0.total_cmp(&b.0));
    let (Some(least), Some(most)) = (least, most) else {
        v.not_checked("the train is not solved for any duty");
        return;
    };
    let change = if least.3 {
        1.0 - most.1 / least.1
    } else {
        1.0 - ((most.1 - least.2).max(0.0) / (least.1 - least.2)).sqrt()
    };
    if change > MOST {
        let says = format!(
            "At one throttle opening the droop of {{it}} takes {{measured}} off the flow from duty {} to {}, over {{limit}}: the mixture moves.",
            least.4, most.4
        );
        v.says(says).find(
            solved::part_path(&regulator.name),
            (Kind::Ratio, change),
            Limit::at_most(Kind::Ratio, MOST),
        );
    }
}
