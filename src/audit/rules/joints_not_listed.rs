//! Parts that list no joints.

use super::train_parts;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};

rule! {
    /// ## What it checks
    /// Whether every part of the train says what joints it brings.
    /// ## Why it matters
    /// A joint that is on no list gets no soap.
    /// ## What to do
    /// Count the joints on the rig, part by part, and write them down; a joint between two parts counts
    /// with the one downstream.
    "LEK007", "joints-not-listed", Leak, [Notice], Choice("a joint that is on no list gets no soap")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(parts) = train_parts(s, v) else {
        return;
    };
    let bare: Vec<&str> = parts
        .iter()
        .filter(|p| p.joints.is_empty())
        .map(|p| p.name.as_str())
        .collect();
    if let Some(first) = bare.first() {
        v.find(
            format!("train.{first}"),
            format!("no joints given for {}", bare.join(", ")),
            Limit::Should("the joints of every part"),
        );
    }
}
