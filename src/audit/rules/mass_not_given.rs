//! Parts whose mass is not given.

use super::train_parts;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};

rule! {
    /// ## Finding
    /// {It} does not give its mass: the mass of the rig is short of it.
    /// ## What it checks
    /// Whether every part of the train says what it weighs.
    /// ## Why it matters
    /// The mass of the rig is short of theirs, and stands and straps are chosen by it.
    /// ## What to do
    /// Weigh what has none, and write `mass` into the file.
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
        let says = match without.len() - 1 {
            0 => "{It} does not give its mass: the mass of the rig is short of it.".to_owned(),
            1 => "{It} and one more part do not give their mass: the mass of the rig is short of them.".to_owned(),
            n => format!("{{It}} and {n} more parts do not give their mass: the mass of the rig is short of them."),
        };
        v.says(says).find(
            format!("train.{first}"),
            format!("not given: {}", without.join(", ")),
            Limit::Should("the mass of every part"),
        );
    }
}
