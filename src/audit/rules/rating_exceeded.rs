//! A part that sees more pressure than it is rated for.

use super::{solved, train_parts};
use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Source, Verdict};
use crate::train::CheckKind;

rule! {
    /// ## Finding
    /// {It} sees {measured}, above its rating of {limit}: it leaks first and bursts later.
    /// ## What it checks
    /// Rated pressure of every part against the pressure it sees: running; at rest (tank pressure before the
    /// regulator, lock-up pressure behind it, and behind a pump its shut-off pressure or what a relief valve leaves
    /// of that); and before the first regulator the tank on the hottest day.
    /// ## Why it matters
    /// A part above its rating leaks first and bursts later.
    /// ## What to do
    /// Fit a part rated for that pressure or more. Lowering the set pressure helps only behind the regulator.
    "TRN005", "pressure-rating-exceeded", Train, [Danger, Warning], given("max_pressure"),
    levers ["regulator.set_pressure" Down, "pump.outlet_pressure" Down]
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
                    .says("{It} has no pressure rating marked on it: nobody knows what it withstands.")
                    .advice("Fit a part marked with a rating above the pressure it sees.")
                    .find(
                        solved::part_path(&part.name),
                        "no rating marked",
                        Limit::Should("a rating marked on the part"),
                    );
            } else if part.kind.name() != "fitting" {
                v.not_checked(format!("{} lacks `max_pressure`", part.name));
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
                "Fit a regulator before it, or a part rated for that pressure or more."
            } else {
                "Fit a part rated for that pressure or more."
            })
            .find(
                solved::part_path(&part.name),
                measured,
                Limit::AtMost(s.pressure(rating)),
            );
    }
}
