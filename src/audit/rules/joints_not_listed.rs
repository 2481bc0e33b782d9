//! Parts that list no joints.

use super::{few, train_parts};
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};

rule! {
    /// ## Finding
    /// No joints are listed for {parts}: a joint on no list gets no soap.
    /// ## What it checks
    /// Whether every part of the train lists its joints.
    /// ## Why it matters
    /// A joint on no list gets no soap.
    /// ## What to do
    /// Count the joints on the rig, part by part, and list them. A joint between two parts counts with the one
    /// downstream.
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
        let says = v.rule.says().replace("{parts}", &few(&bare));
        v.says(says).find(
            format!("train.{first}"),
            format!("no joints of {}", bare.join(", ")),
            Limit::Should("the joints of every part"),
        );
    }
}
