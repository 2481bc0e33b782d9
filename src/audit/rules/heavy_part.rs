//! One part that weighs more than its share of the train.

use super::weighed_train;
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Solution, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## Finding
    /// {It} makes up {measured} of the mass of the train, over {limit}: it carries brackets and vibration with it.
    /// ## What it checks
    /// Mass of the heaviest part of the train as a share of the train's, against a third, where every part gives its
    /// mass; supply and fuel left out.
    /// ## Why it matters
    /// One part chosen too large carries brackets and vibration with it, and is the first to look at when the rig has
    /// to be lighter.
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
        v.not_checked("a train of fewer than five parts is not judged by shares");
        return;
    };
    let share = mass / total;
    if share > MOST {
        let says = format!(
            "{{It}} weighs {}, {{measured}} of the train and over {{limit}}: it carries brackets and vibration with it.",
            s.show(Kind::Mass, *mass)
        );
        v.says(says).find(
            format!("train.{name}"),
            (Kind::Ratio, share),
            Limit::AtMost(Measured::Worded(Kind::Ratio, MOST, "a third".to_owned())),
        );
    }
}
