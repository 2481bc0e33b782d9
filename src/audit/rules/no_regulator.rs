//! Gas from a tank or main without a regulator.

use super::{solved, train_parts};
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Source, Verdict};
use crate::train::rig::Supply;

rule! {
    /// ## Finding
    /// No regulator stands between tank and holes: the pressure there doubles between a cold morning and a warm
    /// afternoon.
    /// ## What it checks
    /// Whether a regulator stands between a tank that is drawn as vapour and the holes; and, on a main without one,
    /// whether a relief valve stands below the main's pressure.
    /// ## Why it matters
    /// Without one the pressure before the holes is that of the tank or main. That of a tank doubles between a cold
    /// morning and a warm afternoon, and falls as it chills. That of a main holds a relief valve open that is set for
    /// what a regulator holds.
    /// ## What to do
    /// Fit a regulator set well below the lowest pressure of the tank or main.
    "REG007", "no-regulator", Regulator, [Warning], Choice("vapour pressure changes by about 3 % with every kelvin")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if train_parts(s, v).is_none() {
        return;
    }
    if !s.is_unregulated() {
        return;
    }
    let lasting = s.trapped().as_ref().map_or(&[][..], Vec::as_slice);
    let mut open = lasting.iter().filter_map(|section| {
        let (relief, set) = section.relief.as_ref()?;
        (*set <= section.at_rest).then_some((relief, section.at_rest, *set))
    });
    let blows = open.next();
    let (measured, limit, why) = match &s.rig.supply {
        Supply::Tank(_) => (
            "no regulator between tank and holes",
            "a regulator set below the lowest pressure of the tank",
            "vapour pressure changes by about 3 % with every kelvin",
        ),
        Supply::Mains(_) if blows.is_some() => (
            "no regulator behind the main",
            "a regulator between main and relief valve",
            "a relief valve is set for what a regulator holds; common practice, no source",
        ),
        Supply::Mains(_) => return,
    };
    let found = v.source(Source::Choice(why));
    // a relief valve that blows has figures: the pressure there, and where it opens
    match blows {
        Some((relief, at_rest, set)) => {
            let set = s.pressure(set);
            let says = format!(
                "No regulator stands before {}: it opens at {{limit}}, sees {{measured}} and blows all the time.",
                solved::named(s, relief)
            );
            found
                .says(says)
                .find("train", s.pressure(at_rest), Limit::Figure(set));
        }
        None => found.find("train", measured, Limit::Should(limit)),
    }
}
