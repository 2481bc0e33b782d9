//! One self-closing shut-off where two in series are asked for.

use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Solution, Verdict};
use crate::quantity::Kind;
use crate::train::Part;

rule! {
    /// ## Finding
    /// Only {it} closes by itself, and {limit} are wanted: if it sticks or leaks, fuel feeds the fire or fills the
    /// duct.
    /// ## What it checks
    /// How many shut-off valves in series close by themselves when their power fails. A throttle is not one. A second
    /// valve that opens without power has a rule of its own.
    /// ## Why it matters
    /// A single valve that sticks or leaks keeps feeding the fire, or fills the duct before the next light-up.
    /// Furnace codes ask for two in series.
    /// ## What to do
    /// Fit a second spring-closed shut-off valve in series.
    "SHU002", "single-shut-off", Shutdown, [Warning], Published("nfpa86")
}

/// The valves of the main line that close by themselves when their power fails.
fn closing<'s>(s: &'s Solution<'_>) -> Vec<&'s str> {
    let parts = s.main_parts().into_iter();
    parts
        .filter(|p| p.shuts_without_power())
        .map(|p| p.name.as_str())
        .collect()
}

/// The valve that this rule names, where it finds one.
pub(super) fn only<'s>(s: &'s Solution<'_>) -> Option<&'s str> {
    match closing(s)[..] {
        [only] => Some(only),
        _ => None,
    }
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if s.main_parts().is_empty() {
        v.not_checked("the rig file has no train");
        return;
    }
    // one that is there and opens without power is told by its own rule
    let opens = |p: &&Part| p.is_shut_off() && super::opens_without_power::opens(p);
    if let Some(only) = only(s)
        && !s.main_parts().iter().any(opens)
    {
        v.find(
            format!("train.{only}"),
            (Kind::Ratio, 1.0, "one valve".to_owned()),
            Limit::AtLeast(Measured::Worded(Kind::Ratio, 2.0, "2 in series".to_owned())),
        );
    }
}
