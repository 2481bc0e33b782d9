//! A part hotter than it is made for.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Source, Verdict};
use crate::quantity::Kind;
use crate::train::CheckKind;

rule! {
    /// ## Finding
    /// {It} reaches {measured}, above the {limit} it is made for: seals soften and hoses age in weeks.
    /// ## What it checks
    /// Highest temperature each part is made for against the fuel in it, the surroundings and the hottest day.
    /// ## Why it matters
    /// Seals soften, hoses age in weeks, solenoid coils burn out.
    /// ## What to do
    /// Fit a part rated for the heat, or move it away from the heat. Radiation from the burner is not counted here:
    /// measure near the can.
    "TRN007", "hotter-than-part", Train, [Warning], given("max_temperature")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(plan) = solved::train(s, v) else {
        return;
    };
    let running = solved::remarked(plan, &[CheckKind::HotterThanRating]);
    for found in &running {
        found.find(s, v, "max_temperature", Limit::AtMost(found.limit(s)));
    }
    let Some(hottest) = s.rig.site.hottest else {
        v.not_checked("the rig file does not give `site.hottest`");
        return;
    };
    for part in s.rig.train.parts() {
        if let Some(limit) = part.rating.max_temperature
            && hottest.value > limit.value
            && running.iter().all(|f| f.check.at != part.name)
        {
            v.source(Source::of_part(&part.name, "max_temperature"))
                .find(
                    solved::part_path(&part.name),
                    s.worded(Kind::Temperature, hottest.value, |x| {
                        format!("{x} on the hottest day")
                    }),
                    Limit::at_most(Kind::Temperature, limit.value),
                );
        }
    }
}
