//! A part that sees more pressure than it is rated for.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::train::CheckKind;

rule! {
    /// ## What it checks
    /// Rated pressure of every part against the pressure it sees running, at rest (tank pressure before
    /// the regulator, lock-up behind it), and before the first regulator against the tank on the
    /// hottest day.
    /// ## Why it matters
    /// A part above its rating leaks first and bursts later.
    /// ## What to do
    /// A part rated for it. Lowering the set pressure helps only behind the regulator.
    RatingExceeded, "TRN005", "pressure-rating-exceeded", Train
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(plan) = solved::train(s, v) else {
        return;
    };
    let kinds = [
        CheckKind::PressureAboveRating,
        CheckKind::PressureAtRestAboveRating,
    ];
    let mut said: Vec<String> = Vec::new();
    for found in solved::remarked(plan, &kinds) {
        if said.contains(&found.check.at) {
            continue;
        }
        said.push(found.check.at.clone());
        v.find(
            Signal::Danger,
            found.at(),
            found.measured(s),
            Limit::AtMost(found.limit(s)),
            found.source("max_pressure", "given by the rig"),
            "a part rated for the pressure it sees",
        );
    }
    for part in s.rig.train.parts() {
        if part.rating.max_pressure.is_none() && part.kind.name() != "fitting" {
            v.not_checked(format!("{} gives no `max_pressure`", part.name));
        }
    }
    let Some(hot) = solved::pressure_when_hot(s, v) else {
        return;
    };
    for part in solved::at_supply_pressure(s) {
        if let Some(rating) = part.rating.max_pressure
            && hot.pascals() > rating.pascals()
            && !said.contains(&part.name)
        {
            v.find(
                Signal::Danger,
                solved::part_path(&part.name),
                Measured::Text(format!("{} on the hottest day", s.gauge(hot))),
                Limit::AtMost(Measured::Text(s.gauge(rating))),
                Source::Input(format!("train.{}.max_pressure", part.name)),
                "a part rated for the tank on the hottest day",
            );
        }
    }
}
