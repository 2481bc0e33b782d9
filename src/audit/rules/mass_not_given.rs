//! Parts whose mass is not given.

use super::train_parts;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};

rule! {
    /// ## What it checks
    /// Whether every part of the train says what it weighs.
    /// ## Why it matters
    /// The mass of the rig is short of theirs, and stands and straps are chosen by it.
    /// ## What to do
    /// Weigh them and write it into the file.
    "MAS003", "mass-not-given", Mass, [Notice], Choice("a sum is as good as what is in it")
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
            format!("train.{first}"),
            format!("no mass given for {}", without.join(", ")),
            Limit::Should("the mass of every part"),
        );
    }
}
