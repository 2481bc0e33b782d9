//! Holes that choke at some duties and not at others.

use super::injections;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};

rule! {
    /// ## What it checks
    /// Whether the holes are choked at some duties and not at others.
    /// ## Why it matters
    /// A choked hole follows the pressure before it alone; an unchoked one also answers to the chamber.
    /// A rig trimmed at one kind of duty behaves differently at the other.
    /// ## What to do
    /// Nothing, if you know it: trim each duty by itself, and expect the unchoked ones to move with
    /// chamber pressure.
    "INJ005", "choking-changes", Injector, [Notice], Choice("a change of regime is worth knowing before a test")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let all = injections(s, v);
    let named = |choked: bool| {
        let names: Vec<&str> = all
            .iter()
            .filter(|(_, i)| i.at_need.choked == choked)
            .map(|(n, _)| *n)
            .collect();
        names.join(", ")
    };
    let (choked, open) = (named(true), named(false));
    if !choked.is_empty() && !open.is_empty() {
        v.advice(format!(
            "trim each duty by itself; at {open} the flow moves with chamber pressure"
        ))
        .find(
            "injector",
            format!("choked at {choked}; not at {open}"),
            Limit::Should("one kind of flow at all duties"),
        );
    }
}
