//! A leak test whose volume is not that of the train.

use super::{judged_leak_tests, tested};
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::quantity::Kind;
use crate::quantity::show::show_digits;

rule! {
    /// ## Finding
    /// A leak test states a volume of {measured}, and its parts hold {limit}: its leak is off by as much.
    /// ## What it checks
    /// Stated volume of each leak test against that of its parts: from half of what they give to twice what they can
    /// hold, with parts of unknown volume counted as thirty bores long. The test is then judged with the volume of
    /// the parts.
    /// ## Why it matters
    /// The leak is the drop times the volume. A slip of mL for L makes it a thousandth, and any drop passes.
    /// ## What to do
    /// Write the volume under test, or leave it out. That of the parts is then taken.
    "LEK021", "leak-test-volume", Leak, [Warning], Choice("more than twice apart is a slip, not a measurement")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    for judged in judged_leak_tests(s, v) {
        let Some(stated) = judged.record.test.volume.filter(|_| judged.volume_off) else {
            continue;
        };
        let volumes = &judged.record.volumes;
        let show = |m3: f64| show_digits(Kind::Volume, m3, s.units, 2);
        let own = show(volumes.known.value);
        let limit = if volumes.unknown.is_empty() {
            format!("about {own}")
        } else {
            format!("{own} to {}", show(volumes.most.value))
        };
        let says = format!(
            "{} states {{measured}}, and its parts hold {{limit}}: its leak is off by as much.",
            tested("leak test", &judged.record.label)
        );
        v.says(says).find(
            format!("{}.volume", judged.record.test.at),
            (Kind::Volume, stated.value),
            Limit::of_words(Kind::Volume, volumes.known.value, limit),
        );
    }
}
