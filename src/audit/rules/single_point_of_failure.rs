//! One part that, stuck open, keeps the fuel running whatever else fails.

use super::{fed, train_parts};
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::train::Part;

rule! {
    /// ## Finding
    /// If {it} sticks open, fuel keeps flowing to {outlets} {failures}.
    /// ## What it checks
    /// Every failure (power, signal, flame, air, fuel pressure, emergency stop) together with each shut-off valve
    /// stuck open in turn: whether the fuel of every branch still stops. What the rule on single shut-off valves says
    /// of the main line is not said again.
    /// ## Why it matters
    /// Valves stick on dirt, ice and a burnt coil, and nobody sees it until the day they should close.
    /// ## What to do
    /// Put a second shut-off valve in series where all branches pass, and prove both regularly.
    "SHU007", "single-point-of-failure", Shutdown, [Warning], Published("nfpa86")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if train_parts(s, v).is_none() {
        return;
    }
    let mut points: Vec<(&str, Vec<&str>, Vec<&str>)> = Vec::new();
    for row in s.failures() {
        let Some(part) = row.single_point() else {
            continue;
        };
        let at = points.iter().position(|p| p.0 == part).unwrap_or_else(|| {
            points.push((part, Vec::new(), Vec::new()));
            points.len() - 1
        });
        let (_, failures, outlets) = &mut points[at];
        if !failures.contains(&row.failure.words()) {
            failures.push(row.failure.words());
        }
        if !outlets.contains(&row.outlet.as_str()) {
            outlets.push(&row.outlet);
        }
    }
    let told = super::single_shut_off::only(s);
    let shared: Vec<&Part> = super::common_drive::shared(s)
        .into_iter()
        .flatten()
        .collect();
    for (part, failures, outlets) in points {
        if told == Some(part) || shared.iter().any(|p| p.name == part) {
            continue;
        }
        let told: Vec<String> = outlets.iter().map(|o| fed(o)).collect();
        let told = told.join(" and ");
        let when = match failures.as_slice() {
            ["emergency stop"] => "after an emergency stop".to_owned(),
            one_or_two if one_or_two.len() < 3 => format!("when {}", one_or_two.join(" or ")),
            many => format!("in {} kinds of failure", many.len()),
        };
        let says = v.rule.says().replace("{outlets}", &told);
        v.says(says.replace("{failures}", &when)).find(
            format!("train.{part}"),
            format!(
                "stuck open, it keeps fuel flowing to {}: {}",
                outlets.join(", "),
                failures.join(", ")
            ),
            Limit::Should("a second valve behind every valve that may stick open"),
        );
    }
}
