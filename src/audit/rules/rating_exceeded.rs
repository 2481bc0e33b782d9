//! A part that sees more pressure than it is rated for.

use super::{solved, train_parts};
use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Source, Verdict};
use crate::train::CheckKind;

rule! {
    /// ## What it checks
    /// Rated pressure of every part against the pressure it sees running, at rest (tank pressure before
    /// the regulator, lock-up behind it; behind a pump what it makes against shut valves, or what a relief valve leaves of
    /// that), and before the first regulator against the tank on the hottest day.
    /// ## Why it matters
    /// A part above its rating leaks first and bursts later.
    /// ## What to do
    /// A part rated for it. Lowering the set pressure helps only behind the regulator.
    "TRN005", "pressure-rating-exceeded", Train, [Danger, Warning], given("max_pressure")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if train_parts(s, v).is_none() {
        return;
    }
    let at_rest = solved::most_at_rest(s, v);
    let running = s.train().as_ref().ok().map_or_else(Vec::new, |plan| {
        solved::remarked(plan, &[CheckKind::PressureAboveRating])
    });
    for part in s.rig.train.parts() {
        let Some(rating) = part.rating.max_pressure else {
            let path = format!("train.{}.max_pressure", part.name);
            if s.rig.says_none(&path) {
                v.signal(Signal::Warning)
                    .source(Source::Input(path.into()))
                    .advice("a part rated for the pressure it sees")
                    .find(
                        solved::part_path(&part.name),
                        "no rating is marked on it",
                        Limit::Should("a part whose rating is known"),
                    );
            } else if part.kind.name() != "fitting" {
                v.not_checked(format!("{} gives no `max_pressure`", part.name));
            }
            continue;
        };
        let at_rest = at_rest.iter().find(|r| r.part.name == part.name);
        let at_work = running.iter().find(|r| r.check.at == part.name);
        let measured = match (at_rest, at_work) {
            (Some(r), at_work)
                if r.pressure > rating
                    && at_work.is_none_or(|w| w.check.measured <= r.pressure.pascals()) =>
            {
                r.measured(s)
            }
            (_, Some(at_work)) => at_work.measured(s),
            _ => continue,
        };
        v.source(Source::of_part(&part.name, "max_pressure"))
            .advice(if s.is_unregulated() {
                "a regulator before it, or a part rated for the pressure it sees"
            } else {
                "a part rated for the pressure it sees"
            })
            .find(
                solved::part_path(&part.name),
                measured,
                Limit::AtMost(s.pressure(rating)),
            );
    }
}
