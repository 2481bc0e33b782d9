//! Holes that choke at some duties and not at others.

use super::injections;
use super::solved::of_duties;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};

rule! {
    /// ## Finding
    /// The holes are {measured}: unchoked, the flow also answers to the chamber.
    /// ## What it checks
    /// Whether the holes are choked at some duties and not at others.
    /// ## Why it matters
    /// A choked hole follows the pressure before it alone; an unchoked one also answers to the chamber. A rig trimmed
    /// at one kind of duty behaves differently at the other.
    /// ## What to do
    /// Trim each duty by itself. Expect the unchoked ones to move with chamber pressure.
    "INJ005", "choking-changes", Injector, [Notice], Choice("a change of regime is worth knowing before a test"),
    levers ["injector.hole_diameter" Either, "injector.holes" Either, "duties.target" Either]
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let all = injections(s, v);
    let named = |choked: bool| {
        let names = all.iter().filter(|(_, i)| i.at_need.choked == choked);
        names.map(|(n, _)| *n).collect::<Vec<_>>()
    };
    let (choked, open) = (named(true), named(false));
    if !choked.is_empty() && !open.is_empty() {
        let [choked, open] = [choked, open].map(|names| of_duties(&names));
        v.says(format!(
            "The holes are choked at {choked} and not at {open}: there the flow also answers to the chamber."
        ))
        .find(
            "injector",
            format!("choked at {choked}, not at {open}"),
            Limit::Should("one kind of flow at all duties"),
        );
    }
}
