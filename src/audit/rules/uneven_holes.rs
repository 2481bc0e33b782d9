//! A ring or bar that feeds its holes unevenly.

use super::{duty_path, injections};
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Source, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## Finding
    /// At {it} the most and the least fed hole are {measured} apart, over {limit}: it burns rich on one side and lean
    /// on the other.
    /// ## What it checks
    /// Spread between the least and the most fed hole of the ring or bar, hole by hole with friction and momentum
    /// recovery, at every duty, against the spread that is wanted, or 5 %.
    /// ## Why it matters
    /// Uneven holes burn rich on one side and lean on the other: hot streaks on the liner, and carbon monoxide beside
    /// them.
    /// ## What to do
    /// Use a wider tube, or smaller holes at a higher pressure. Or a second feed opposite the first.
    "INJ007", "uneven-holes", Injector, [Notice], Choice("what a flow test of holes resolves"),
    levers ["injector.tube_bore" Up, "injector.hole_diameter" Down, "injector.holes" Down]
}

pub(crate) const USUAL: f64 = 0.05;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(_) = &s.rig.injector.manifold else {
        v.not_checked(
            "the injector does not describe a ring or bar: the holes are taken as fed alike",
        );
        return;
    };
    let wanted = s.rig.injector.wanted_spread;
    let most = wanted.map_or(USUAL, |w| w.value);
    let source = || match wanted {
        Some(_) => Source::given("injector.wanted_spread"),
        None => Source::Choice("what a flow test of holes resolves"),
    };
    let advice = "Use a wider tube, or smaller holes at a higher pressure. Or a second feed opposite the first";
    for (name, injection) in injections(s, v) {
        let spread = match &injection.sharing {
            Some(Ok(d)) => d.spread.value,
            Some(Err(error)) => {
                let says = "At {it} the holes do not share the fuel within {limit}: {measured}.";
                v.source(source()).advice(advice).says(says).find(
                    duty_path(name),
                    s.why(error),
                    Limit::at_most(Kind::Ratio, most),
                );
                continue;
            }
            None => continue,
        };
        if spread > most {
            v.source(source()).advice(advice).find(
                duty_path(name),
                (Kind::Ratio, spread),
                Limit::at_most(Kind::Ratio, most),
            );
        }
    }
}
