//! A flow test of other holes than the injector has.

use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## Finding
    /// The flow test of {date} is void: it was made of {holes}, and the injector has others now.
    /// ## What it checks
    /// Number and diameter of the holes of each flow test on record against those of the injector.
    /// ## Why it matters
    /// A test finds coefficient times area of the holes that were tested. Others fall back on the model and its wide band.
    /// ## What to do
    /// Test the holes that are there now, or take the test out of the file.
    "INJ013", "flow-test-void", Injector, [Notice], Choice("a test is of the holes that were tested")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    for test in s.rig.flow_tests.iter().filter(|t| t.says.is_none()) {
        let bench = &test.test.bench;
        let diameter = s.show(Kind::Length, bench.diameter.value);
        let holes = format!("{} holes of {diameter}", bench.holes);
        let says = v.rule.says().replace("{date}", &test.date.to_string());
        v.says(says.replace("{holes}", &holes)).find(
            test.at.clone(),
            "of other holes",
            Limit::Should("of the holes that the injector has"),
        );
    }
}
