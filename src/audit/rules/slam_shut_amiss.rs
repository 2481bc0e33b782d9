//! A slam-shut that closes in ordinary work, or above what it protects.

use super::{solved, train_parts};
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Solution, Source, Verdict};
use crate::flow::regulator::Regulator;
use crate::quantity::Kind;
use crate::train::PartKind;
use crate::train::protection::{KeptBy, failed_open};

rule! {
    /// ## What it checks
    /// Pressure at which the slam-shut of a regulator closes (`shut_off_pressure`): above the most that the regulator
    /// holds with the flow stopped, and no higher than the weakest part behind it stands, up to the next regulator.
    /// ## Why it matters
    /// One that trips at every stop is wedged open by somebody; one set above the weakest part closes after that has
    /// burst.
    /// ## What to do
    /// Set it between lock-up and the weakest rating, above a relief valve that stands there.
    "REG010", "slam-shut-amiss", Regulator, [Warning], given("max_pressure")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if train_parts(s, v).is_none() {
        return;
    }
    let slams = |p: &&crate::train::Part| p.protection.shut_off_pressure.is_some();
    if !s.rig.train.parts().iter().any(slams) {
        return;
    }
    let Some(supply) = solved::highest_supply(s, v) else {
        return;
    };
    let held = |r: &Regulator, inlet| r.lock_up_pressure(inlet);
    let trips =
        Source::Choice("a slam-shut stays open in ordinary work; common practice, no source");
    for failed in failed_open(&s.rig.train, supply, held, KeptBy::RELIEFS) {
        let part = failed.regulator;
        let (Some(set), PartKind::Regulator(r)) = (part.protection.shut_off_pressure, &part.kind)
        else {
            continue;
        };
        let at = solved::part_path(&part.name);
        let closes = Measured::Worded(
            Kind::AbsolutePressure,
            set.pascals(),
            format!("closes at {}", s.gauge(set)),
        );
        let before = solved::rest_before(s, &part.name, supply).unwrap_or(supply);
        let most = r.highest_lock_up(before);
        if set <= most {
            v.source(trips.clone()).advice("set it above the pressure with the flow stopped and below the weakest part behind it").find(at, closes, Limit::AtLeast(Measured::Worded(
                    Kind::AbsolutePressure,
                    most.pascals(),
                    format!("above {}, with the flow stopped", s.gauge(most)),
                )));
            continue;
        }
        let rated = failed.parts.iter().filter(|e| e.relief.is_none());
        let rated = rated.filter_map(|e| Some((e.part, e.part.most_pressure()?)));
        let weakest = rated.min_by(|a, b| a.1.pascals().total_cmp(&b.1.pascals()));
        if let Some((weakest, rating)) = weakest.filter(|(_, rating)| set > *rating) {
            v.source(Source::Input(
                format!("train.{}.max_pressure", weakest.name).into(),
            ))
            .advice("set it below the weakest part behind it, or change that part")
            .find(
                at,
                closes,
                Limit::AtMost(Measured::Worded(
                    Kind::AbsolutePressure,
                    rating.pascals(),
                    format!("{}, the rating of {}", s.gauge(rating), weakest.name),
                )),
            );
        }
    }
}
