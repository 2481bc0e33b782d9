//! Fuel behind the last shut-off valve that burns on after it has closed.

use super::{solved, train_parts};
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::quantity::Kind;
use crate::train::OnLoss;

rule! {
    /// ## What it checks
    /// How long the fuel behind the last valve that closes without power feeds the flame after it has closed,
    /// against 3 s; where nobody can say how long, its heat against 100 kJ.
    /// ## Why it matters
    /// A flame that burns on after the stop is a fire that nobody controls; fuel that runs out unlit fills the
    /// duct for the next start.
    /// ## What to do
    /// The last valve close to the burner, a short and narrow line behind it.
    FuelBehindLastValve, "LEK020", "fuel-behind-last-valve", Leak
}

const LONGEST_S: f64 = 3.0;
const MOST_J: f64 = 1e5;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if train_parts(s, v).is_none() {
        return;
    }
    let Some(plan) = solved::train(s, v) else {
        return;
    };
    let Some(last) = plan.shut_offs.iter().flatten().last() else {
        let closes = s.rig.train.parts().into_iter().any(|p| {
            let law = p.closure.as_ref();
            law.is_some_and(|c| c.on_power_loss == OnLoss::Closes)
        });
        let failed = plan.shut_offs.iter().find_map(|x| x.as_ref().err());
        v.not_checked(match failed {
            Some(why) => format!("what stands behind the last valve: {}", s.why(why)),
            None if closes => {
                "the train feeds no duty: what stands behind the last valve is not known".to_owned()
            }
            None => "no valve closes without power".to_owned(),
        });
        return;
    };
    let limit = |kind, si| Limit::AtMost(Measured::Quantity(kind, si));
    let (measured, limit) = match (last.flame_life, last.energy) {
        (Some(life), _) if life.value > LONGEST_S => (
            Measured::Worded(
                Kind::Time,
                life.value,
                format!("{} of flame", s.show(Kind::Time, life.value)),
            ),
            limit(Kind::Time, LONGEST_S),
        ),
        (None, energy) if energy.value > MOST_J => (
            Measured::Quantity(Kind::Energy, energy.value),
            limit(Kind::Energy, MOST_J),
        ),
        _ => return,
    };
    v.find(
        Signal::Caution,
        solved::part_path(&last.valve),
        measured,
        limit,
        Source::Choice("a few seconds of flame after the stop; no published figure"),
        "move the last shut-off valve close to the burner, or shorten and narrow the line behind it",
    );
}
