//! Gas from a tank or main without a regulator.

use super::train_parts;
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Solution, Source, Verdict};
use crate::quantity::Kind;
use crate::train::rig::Supply;

rule! {
    /// ## What it checks
    /// Whether a regulator stands between a tank that is drawn as vapour and the holes; and, on a main without one,
    /// whether a relief valve stands below the main's pressure.
    /// ## Why it matters
    /// Without one the pressure before the holes is that of the tank or main. That of a tank doubles between a cold
    /// morning and a warm afternoon, and falls as it chills; that of a main keeps a relief valve open that is set for
    /// a regulator's.
    /// ## What to do
    /// A regulator set well below the lowest pressure of the tank or main.
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
        (*set <= section.at_rest).then(|| {
            let text = format!(
                "; `{relief}` opens at {} and blows all the time",
                s.gauge(*set)
            );
            (text, section.at_rest.pascals(), set.pascals())
        })
    });
    let blows = open.next();
    let (measured, limit, why) = match &s.rig.supply {
        Supply::Tank(_) => (
            "no regulator between tank and holes".to_owned(),
            "a regulator set below the lowest pressure of the tank",
            "vapour pressure changes by about 3 % with every kelvin",
        ),
        Supply::Mains(main) if blows.is_some() => (
            format!(
                "nothing regulates the {} of the main",
                s.gauge(main.pressure)
            ),
            "a regulator between main and relief valve",
            "a relief valve is set for what a regulator holds; common practice, no source",
        ),
        Supply::Mains(_) => return,
    };
    // a relief valve that blows has figures: the pressure there, and where it opens
    let (measured, limit) = match blows {
        Some((text, at_rest_pa, set_pa)) => (
            Measured::Worded(Kind::AbsolutePressure, at_rest_pa, measured + &text),
            Limit::of_words(Kind::AbsolutePressure, set_pa, limit),
        ),
        None => (Measured::Text(measured), Limit::Should(limit)),
    };
    v.source(Source::Choice(why)).find("train", measured, limit);
}
