//! A part hotter than it is made for.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::quantity::Kind;
use crate::train::CheckKind;

rule! {
    /// ## What it checks
    /// Highest temperature each part is made for against the fuel in it, the surroundings and the
    /// hottest day.
    /// ## Why it matters
    /// Seals soften, hoses age in weeks, coils of solenoids burn out.
    /// ## What to do
    /// A part made for the heat, or move it away from it. Radiation from the burner is not in this
    /// figure: measure near the can.
    HotterThanPart, "TRN007", "hotter-than-part", Train
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(plan) = solved::train(s, v) else {
        return;
    };
    let running = solved::remarked(plan, &[CheckKind::HotterThanRating]);
    let advice = "a part made for the heat, or another place for it";
    for found in &running {
        v.find(
            Signal::Warning,
            found.at(),
            found.measured(s),
            Limit::AtMost(found.limit(s)),
            found.source("max_temperature", "given by the rig"),
            advice,
        );
    }
    let Some(hottest) = s.rig.site.hottest else {
        v.not_checked("the site gives no `hottest` temperature");
        return;
    };
    for part in s.rig.train.parts() {
        if let Some(limit) = part.rating.max_temperature
            && hottest.value > limit.value
            && running.iter().all(|f| f.check.at != part.name)
        {
            v.find(
                Signal::Warning,
                solved::part_path(&part.name),
                Measured::Worded(
                    Kind::Temperature,
                    hottest.value,
                    format!(
                        "{} on the hottest day",
                        s.show(Kind::Temperature, hottest.value)
                    ),
                ),
                Limit::AtMost(Measured::Quantity(Kind::Temperature, limit.value)),
                Source::Input(format!("train.{}.max_temperature", part.name)),
                advice,
            );
        }
    }
}
