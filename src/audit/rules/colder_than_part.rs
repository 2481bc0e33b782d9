//! A part colder than it is made for.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Source, Verdict};
use crate::quantity::Kind;
use crate::train::CheckKind;

rule! {
    /// ## Finding
    /// {It} falls to {measured}, below the {limit} it is made for: seals harden and it leaks.
    /// ## What it checks
    /// Lowest temperature each part is made for against: the fuel in it at each duty today; the fuel at the largest
    /// and smallest duty on the coldest day, with the tank as cold as the day; the coldest day itself; and, before
    /// the first regulator, the chilled tank of the run plan.
    /// ## Why it matters
    /// Rubber hardens and no longer seals. Some metals turn brittle. The leak comes on the coldest morning.
    /// ## What to do
    /// Fit a part rated for that cold, or keep it warmer. Keep the tank from chilling.
    "TRN006", "colder-than-part", Train, [Warning], given("min_temperature"),
    levers ["tank.water_bath" Up, "regulator.set_pressure" Up]
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(plan) = solved::train(s, v) else {
        return;
    };
    let running = solved::remarked_when_cold(s, plan, CheckKind::ColderThanRating, v);
    for found in &running {
        found.find(s, v, "min_temperature", Limit::AtLeast(found.limit(s)));
    }
    let chilled = s
        .tank()
        .as_ref()
        .ok()
        .and_then(|t| t.run.as_ref().ok())
        .map(|o| o.coldest.temperature);
    if s.rig.site.coldest.is_none() {
        v.not_checked("the rig file does not give `site.coldest`");
    }
    let by_tank: Vec<&str> = solved::at_supply_pressure(s)
        .iter()
        .map(|p| p.name.as_str())
        .collect();
    for part in s.rig.train.parts() {
        let Some(limit) = part.rating.min_temperature else {
            continue;
        };
        if running.iter().any(|f| f.check.at == part.name) {
            continue;
        }
        let tank = chilled.filter(|_| by_tank.contains(&part.name.as_str()));
        let places = [
            (s.rig.site.coldest, "on the coldest day"),
            (tank, "in the run plan"),
        ];
        let coldest = places
            .into_iter()
            .filter_map(|(t, when)| Some((t?.value, when)))
            .min_by(|a, b| a.0.total_cmp(&b.0));
        if let Some((t_k, when)) = coldest
            && t_k < limit.value
        {
            v.source(Source::of_part(&part.name, "min_temperature"))
                .find(
                    solved::part_path(&part.name),
                    s.worded(Kind::Temperature, t_k, |x| format!("{x} {when}")),
                    Limit::at_least(Kind::Temperature, limit.value),
                );
        }
    }
}
