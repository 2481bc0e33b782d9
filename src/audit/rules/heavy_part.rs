//! One part that weighs more than its share of the train.

use super::weighed_train;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## What it checks
    /// Mass of the heaviest part of the train against a third of the train's, where every part gives its
    /// mass; supply and fuel left out.
    /// ## Why it matters
    /// One part chosen too large carries brackets and vibration with it, and is the first to look at when
    /// the rig must be lighter.
    /// ## What to do
    /// Look for a smaller part of the same rating.
    "MAS004", "heavy-part", Mass, [Notice], Choice("more than a third in one part is worth a look")
}

const MOST: f64 = 1.0 / 3.0;
/// A share means little among few parts.
const LEAST_PARTS: usize = 5;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(parts) = weighed_train(s, v) else {
        return;
    };
    let total: f64 = parts.iter().map(|p| p.1).sum();
    let heaviest = parts.iter().max_by(|a, b| a.1.total_cmp(&b.1));
    let Some((name, mass)) = heaviest.filter(|_| parts.len() >= LEAST_PARTS && total > 0.0) else {
        v.not_checked("a train of so few parts has no share to speak of");
        return;
    };
    let share = mass / total;
    if share > MOST {
        v.find(
            format!("train.{name}"),
            (
                Kind::Ratio,
                share,
                format!(
                    "{}, {} of the train",
                    s.show(Kind::Mass, *mass),
                    s.show(Kind::Ratio, share)
                ),
            ),
            Limit::at_most(Kind::Ratio, MOST),
        );
    }
}
