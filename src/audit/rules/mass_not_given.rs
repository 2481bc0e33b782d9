//! Parts whose mass is not given.

use super::train_parts;
use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Source, Verdict};

rule! {
    /// ## What it checks
    /// Whether every part of the train says what it weighs.
    /// ## Why it matters
    /// The mass of the rig is short of theirs, and stands and straps are chosen by it.
    /// ## What to do
    /// Weigh them and write it into the file.
    MassNotGiven, "MAS003", "mass-not-given", Mass
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(parts) = train_parts(s, v) else {
        return;
    };
    let without: Vec<&str> = parts
        .iter()
        .filter(|p| p.mass.is_none())
        .map(|p| p.name.as_str())
        .collect();
    if let Some(first) = without.first() {
        v.find(
            Signal::Notice,
            format!("train.{first}"),
            format!("no mass given for {}", without.join(", ")),
            Limit::Should("the mass of every part"),
            Source::Choice("a sum is as good as what is in it"),
            "weigh them",
        );
    }
}
