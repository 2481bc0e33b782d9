//! Shut-off valves in series that one coil, relay or switch drives.

use super::{few, train_parts};
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Solution, Verdict};
use crate::leak::shutdown::{fail_together, ways};
use crate::quantity::Kind;
use crate::train::Part;

rule! {
    /// ## Finding
    /// One drive, {drive}, holds {valves} open: a fault such as a welded relay then shuts neither.
    /// ## What it checks
    /// Whether all shut-off valves on the way to the holes that close by themselves name the same coil, relay or
    /// switch in `driven_by`. Capitals and blanks around it make no difference.
    /// ## Why it matters
    /// A relay whose contacts weld holds both valves open. Two in series are then one.
    /// ## What to do
    /// Give each valve a relay or contact of its own, with the interlock chain in series with both.
    "SHU017", "common-drive", Shutdown, [Warning],
    Choice("no single fault keeps both shut-off valves open; common practice, no source")
}

/// Shut-offs of every way whose shut-offs one drive holds, two or more.
pub(super) fn shared<'s>(s: &'s Solution<'_>) -> Vec<Vec<&'s Part>> {
    let closing = ways(&s.rig.train).into_iter().map(|(_, way)| {
        let shut = way.into_iter().filter(|p| p.shuts_without_power());
        shut.collect::<Vec<&Part>>()
    });
    let together =
        |parts: &Vec<&Part>| parts.len() > 1 && parts.iter().all(|p| fail_together(p, parts[0]));
    closing.filter(together).collect()
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if train_parts(s, v).is_none() {
        return;
    }
    for parts in shared(s) {
        let names: Vec<&str> = parts.iter().map(|p| p.name.as_str()).collect();
        let drive = parts[0].protection.driven_by.as_ref().map_or("", |d| &d.0);
        let says = v.rule.says().replace("{drive}", drive);
        v.says(says.replace("{valves}", &few(&names))).find(
            format!("train.{}", names[0]),
            (Kind::Ratio, 1.0, format!("one drive, {drive}")),
            Limit::AtLeast(Measured::Worded(Kind::Ratio, 2.0, "two drives".to_owned())),
        );
    }
}
