//! A leak test whose volume is not that of the train.

use super::judged_leak_tests;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::quantity::Kind;
use crate::quantity::show::show_digits;

rule! {
    /// ## What it checks
    /// Stated volume of each leak test against that of the parts it was made of: from half of what they give to twice
    /// what they can hold, parts of unknown volume counted with thirty bores of length. The test is then judged with
    /// the volume of the parts.
    /// ## Why it matters
    /// The leak is the fall times the volume: a slip of mL for L makes a thousandth of it, and any fall passes.
    /// ## What to do
    /// Write the volume that was under test, or leave it out: the parts' own is taken.
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
            format!(
                "about {own}, what the parts of {} hold",
                judged.record.label
            )
        } else {
            format!(
                "{own} to {}, what the parts of {} can hold",
                show(volumes.most.value),
                judged.record.label
            )
        };
        v.find(
            format!("{}.volume", judged.record.test.at),
            (Kind::Volume, stated.value),
            Limit::of_words(Kind::Volume, volumes.known.value, limit),
        );
    }
}
