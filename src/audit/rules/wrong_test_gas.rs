//! A leak test with a gas that must not be used.

use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Source, Verdict};
use crate::combustion::flame::fuel_feed::usual_phase;
use crate::fuel::FedAs;
use crate::train::rig::TestMethod;

rule! {
    /// ## Finding
    /// A leak test was made with {measured}, which may burn or feed a fire.
    /// ## What it checks
    /// The gas of each leak test on record: nitrogen, air, helium, argon or carbon dioxide.
    /// ## Why it matters
    /// Under pressure oxygen lights grease and seals. Fuel as a test gas leaks fuel.
    /// ## What to do
    /// Test with nitrogen. Use air only before any fuel has been in the line.
    "LEK005", "wrong-test-gas", Leak, [Caution, Danger, Warning],
    Choice("oxygen lights grease under pressure, and fuel leaks fuel")
}

const INERT: [&str; 8] = [
    "nitrogen",
    "n2",
    "air",
    "helium",
    "argon",
    "carbon dioxide",
    "co2",
    "forming gas",
];

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if s.rig.leak_tests.is_empty() {
        v.not_checked("no leak test is on record");
        return;
    }
    let liquid = usual_phase(&s.rig.fuel.composition) == FedAs::Liquid;
    for test in &s.rig.leak_tests {
        let soap = matches!(test.method, TestMethod::Soap { .. });
        let Some(gas) = &test.gas else {
            if !soap {
                v.not_checked("the record of the leak test does not name the gas");
            }
            continue;
        };
        let lower = gas.to_lowercase();
        let words: Vec<&str> = lower
            .split(|c: char| !c.is_alphanumeric())
            .filter(|w| !w.is_empty())
            .collect();
        let oxygen = lower.contains("oxygen") || lower.trim() == "o2";
        let inert = !oxygen && INERT.iter().any(|name| words.join(" ").contains(*name));
        // soap at working pressure stands on the fuel itself
        if oxygen || !inert && !soap {
            v.signal(if oxygen {
                Signal::Danger
            } else {
                Signal::Warning
            })
            .says(if oxygen {
                "A leak test was made with {measured}: under pressure it lights grease and seals."
            } else {
                "A leak test was made with {measured}: what leaks may burn."
            })
            .advice(if oxygen {
                "Clean what oxygen has been in, and test with nitrogen."
            } else {
                "Test with nitrogen."
            })
            .find(
                format!("{}.gas", test.at),
                gas.clone(),
                Limit::Should("nitrogen or another gas that neither burns nor feeds fire"),
            );
        }
        if liquid && words.contains(&"air") {
            v.says("A leak test was made with {measured} in a line wetted by liquid fuel: oil mist in compressed air can go off.")
            .source(Source::Choice(
                "oil mist in compressed air can go off by itself; common practice, no source",
            ))
            .advice("Test with nitrogen, or with the fuel itself under pump pressure.")
            .find(
                format!("{}.gas", test.at),
                gas.clone(),
                Limit::Should("nitrogen in a line that liquid fuel has wetted"),
            );
        }
    }
}
