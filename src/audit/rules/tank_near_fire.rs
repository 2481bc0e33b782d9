//! A tank near the fire or another source of ignition.

use super::leak_plan;
use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Source, Verdict};
use crate::quantity::Kind;
use crate::train::rig::Supply;
use crate::train::{Part, PartKind};

rule! {
    /// ## Finding
    /// The tank stands {measured} from the fire, within {limit}: gas from it finds the fire, and the fire warms it.
    /// ## What it checks
    /// Distance from the tank to the fire or the nearest other source of ignition, against 3 m and against the
    /// distance at which a jet at the tank is thinned to half its lower flammability limit: from a loose joint at
    /// tank pressure, or from a full-bore break of the first line behind the tank where nothing closes by itself.
    /// ## Why it matters
    /// Gas from the tank's own valve must not find the fire, and the fire must not warm the tank.
    /// ## What to do
    /// Move the tank away, or put a wall that does not burn between them.
    "LEK017", "tank-near-fire", Leak, [Danger, Warning], Choice("near the distances that gas codes keep between a cylinder and ignition; the local code decides"),
    levers ["site.tank_to_fire" Up]
}

const LEAST_M: f64 = 3.0;
/// Beside the fire: the tank is warmed by it, m. Our choice.
const BESIDE_M: f64 = 1.0;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if matches!(s.rig.supply, Supply::Mains(_)) {
        return;
    }
    let Some(distance) = s.rig.site.tank_to_fire else {
        v.not_checked("the rig file does not give `site.tank_to_fire`");
        return;
    };
    let Some(plan) = leak_plan(s, v) else { return };
    // the first level is that of the tank
    let joints = plan
        .joints
        .iter()
        .take_while(|j| j.level == plan.joints[0].level)
        .filter_map(|j| {
            Some((
                "a loose joint at the tank".to_owned(),
                j.effect.as_ref().ok()?,
            ))
        });
    let torn = first_line(s).and_then(|line| plan.breaks.iter().find(|b| b.part == line));
    let torn = torn.filter(|b| b.excess_flow.as_ref().is_none_or(|e| !e.closes));
    let torn = torn.and_then(|b| {
        let what = format!("a full-bore break of the {}", b.part);
        Some((what, b.effect.as_ref().ok()?))
    });
    let reach = joints
        .chain(torn)
        .filter_map(|(what, e)| Some((what, e.consequences.jet?.half_limit.value.value)))
        .max_by(|a, b| a.1.total_cmp(&b.1));
    let reach = reach.filter(|r| r.1 > LEAST_M);
    let least = reach.as_ref().map_or(LEAST_M, |r| r.1);
    if distance.value < least {
        let says = match &reach {
            Some((what, _)) => format!(
                "The tank stands {{measured}} from the fire; a jet from {what} can burn out to {{limit}}, and the fire warms the tank."
            ),
            None => v.rule.says(),
        };
        v.says(says).signal(if distance.value < BESIDE_M {
                Signal::Danger
            } else {
                Signal::Warning
            }).source(match &reach {
                Some(_) => Source::Published("chen-rodi1980"),
                None => Source::Choice(
                    "near the distances that gas codes keep between a cylinder and ignition; the local code decides",
                ),
            }).find("site.tank_to_fire", (Kind::Length, distance.value), Limit::at_least(Kind::Length, least));
    }
}

/// The first hose or tube outside the tank.
fn first_line<'s>(s: &'s Solution<'_>) -> Option<&'s str> {
    let line = |p: &&&Part| matches!(p.kind, PartKind::Hose(_) | PartKind::Tube(_));
    let parts = s.main_parts();
    parts.iter().find(line).map(|p| p.name.as_str())
}
