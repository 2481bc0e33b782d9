//! Fuel that runs on when power or signal fails, at any of the holes.

use super::{fed, train_parts};
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::leak::{Answer, Failure};
use crate::train::plan::INJECTOR;

rule! {
    /// ## Finding
    /// Fuel keeps flowing to {outlet} when {failures}: no shut-off valve on that way closes by itself.
    /// ## What it checks
    /// Whether the fuel of every branch stops when power fails and when the signal fails, by a valve that shuts off.
    /// A metering valve does not count.
    /// ## Why it matters
    /// A pilot that keeps flowing unlit fills the burner as surely as the main flame, only more slowly.
    /// ## What to do
    /// Fit a spring-closed shut-off valve before the split, or one in each branch.
    "SHU006", "fuel-runs-on", Shutdown, [Danger], Published("nfpa86")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if train_parts(s, v).is_none() {
        return;
    }
    // the rule on valves that close by themselves has said it of the main line
    let told = super::no_fail_closed::none_closes(s);
    let mut runs_on: Vec<(&str, Vec<&str>)> = Vec::new();
    for row in s.failures() {
        let fails = matches!(row.failure, Failure::Power | Failure::Signal)
            && matches!(row.answer, Answer::RunsOn { .. });
        if !fails || told && row.outlet == INJECTOR {
            continue;
        }
        match runs_on.iter_mut().find(|(outlet, _)| *outlet == row.outlet) {
            Some((_, failures)) => failures.push(row.failure.words()),
            None => runs_on.push((&row.outlet, vec![row.failure.words()])),
        }
    }
    for (outlet, failures) in runs_on {
        let failures = failures.join(" or ");
        let says = v.rule.says().replace("{outlet}", &fed(outlet));
        v.says(says.replace("{failures}", &failures)).find(
            "train",
            format!("fuel keeps flowing to {outlet} when {failures}"),
            Limit::Should("a shut-off valve that closes by itself on the way to every hole"),
        );
    }
}
