//! A slam-shut that closes in ordinary work, or above what it protects.

use super::{solved, train_parts};
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Source, Verdict};
use crate::train::protection::{KeptBy, failed_open};
use crate::train::{Part, PartKind};

rule! {
    /// ## Finding
    /// The slam-shut of {it} closes at {measured}, and with the flow stopped it sees {limit}: it trips at every stop.
    /// ## What it checks
    /// Pressure at which the slam-shut of a regulator closes (`shut_off_pressure`): above the most that the regulator
    /// holds with the flow stopped, and not above the rating of the weakest part behind it, up to the next regulator.
    /// ## Why it matters
    /// One that trips at every stop is wedged open by somebody. One set above the weakest part closes after that has
    /// burst.
    /// ## What to do
    /// Set it between lock-up pressure and the weakest rating, above a relief valve that stands there.
    "REG010", "slam-shut-amiss", Regulator, [Warning], given("max_pressure"),
    levers ["regulator.shut_off_pressure" Either, "regulator.set_pressure" Down]
}

fn check(s: &Solution<'_>, v: &mut Verdict) -> Option<()> {
    train_parts(s, v)?;
    let slams = |p: &&Part| p.protection.shut_off_pressure.is_some();
    if !s.rig.train.parts().iter().any(slams) {
        return None;
    }
    let supply = solved::highest_supply(s, v)?;
    let trips =
        Source::Choice("a slam-shut stays open in ordinary work; common practice, no source");
    for failed in failed_open(&s.rig.train, supply, Part::holds, KeptBy::RELIEFS) {
        let part = failed.regulator;
        let (Some(set), PartKind::Regulator(r)) = (part.protection.shut_off_pressure, &part.kind)
        else {
            continue;
        };
        let at = solved::part_path(&part.name);
        let closes = s.pressure(set);
        let most = r.highest_lock_up(failed.before);
        if set <= most {
            v.source(trips.clone())
                .advice(format!(
                    "Set it above {} and below the weakest part behind it",
                    solved::enough_pressure(s, most)
                ))
                .find(at, closes, Limit::AtLeast(s.pressure(most)));
            continue;
        }
        let rated = failed.parts.iter().filter(|e| e.relief.is_none());
        let rated = rated.filter_map(|e| Some((e.part, e.part.rated()?)));
        let weakest = rated.min_by(|a, b| a.1.0.pascals().total_cmp(&b.1.0.pascals()));
        if let Some((weakest, (rating, key))) = weakest.filter(|(_, (rating, _))| set > *rating) {
            let says = format!(
                "The slam-shut of {{it}} closes at {{measured}}; {} behind it is rated for {{limit}} and bursts first.",
                solved::named(s, &weakest.name)
            );
            v.source(Source::of_part(&weakest.name, key))
                .advice(format!(
                    "Set it to {} or less, or change that part",
                    s.gauge(rating)
                ))
                .says(says)
                .find(at, closes, Limit::AtMost(s.pressure(rating)));
        }
    }
    Some(())
}
