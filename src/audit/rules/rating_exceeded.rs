//! A part that sees more pressure than it is rated for.

use super::{solved, train_parts};
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::leak::pressures_at_rest;
use crate::quantity::{AbsolutePressure, Kind};
use crate::train::protection::behind_pump;
use crate::train::{CheckKind, Part, PartKind};

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
    // by the file alone: nothing that cannot be solved hides a weak part
    let start = solved::pressure_at_start(s, v);
    let hot = solved::pressure_when_hot(s, v);
    let hot_day = solved::hottest_day(s);
    let mut worst: Vec<(&Part, AbsolutePressure, &str)> = Vec::new();
    for (supply, when) in [(start, "with the flow stopped"), (hot, hot_day.as_str())] {
        let Some(supply) = supply else { continue };
        let rest = pressures_at_rest(&s.rig.train, supply);
        for (part, rest) in s.rig.train.parts().into_iter().zip(rest) {
            // a pump stands what it makes itself
            let on_it = match part.kind {
                PartKind::Pump(_) => rest.outlet,
                _ => rest.inlet,
            };
            let on_it = behind_pump(&s.rig.train, part, on_it);
            match worst.iter_mut().find(|w| w.0.name == part.name) {
                Some(w) if w.1 < on_it => *w = (part, on_it, when),
                Some(_) => {}
                None => worst.push((part, on_it, when)),
            }
        }
    }
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
        let at_rest = worst.iter().find(|w| w.0.name == part.name);
        let at_work = running.iter().find(|r| r.check.at == part.name);
        let measured = match (at_rest, at_work) {
            (Some((_, p, when)), at_work)
                if *p > rating && at_work.is_none_or(|r| r.check.measured.si <= p.pascals()) =>
            {
                let text = format!("{} {when}", s.gauge(*p));
                Measured::Worded(Kind::AbsolutePressure, p.pascals(), text)
            }
            (_, Some(at_work)) => at_work.measured(s),
            _ => continue,
        };
        v.source(Source::Input(
            format!("train.{}.max_pressure", part.name).into(),
        ))
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
