//! A relief valve behind a regulator that opens too early, too late, or too little.

use super::{solved, train_parts};
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Source, Verdict};
use crate::flow::regulator::Regulator;
use crate::leak::relief::relief_duty;
use crate::quantity::{AbsolutePressure, Kind};
use crate::train::{Part, PartKind, ways};

rule! {
    /// ## Finding
    /// {It} opens at {measured} and sees {limit} with the flow stopped: it vents at every stop.
    /// ## What it checks
    /// Set pressure of every relief valve behind a regulator or pump: above the most that holds with the flow stopped,
    /// full supply or nearly spent; of one before the regulator: above the highest pressure of the supply; and not
    /// higher than the weakest part it protects, the next regulator among them. What it passes, for vapour, at a tenth
    /// above set (gauge), through its bore with a discharge coefficient of 0.8 (our choice), against what the regulator
    /// before it lets through wide open.
    /// ## Why it matters
    /// One that opens at every stop vents fuel beside the fire until somebody plugs it. One that opens above the
    /// weakest part protects nothing: that part gives first.
    /// ## What to do
    /// Set it between lock-up pressure and the weakest rating, with a tenth to either side, and vent it outdoors.
    "REG008", "relief-behind-regulator", Regulator, [Warning],
    Choice("a relief valve stays shut in ordinary work; common practice, no source"),
    levers ["relief-valve.set_pressure" Either, "relief-valve.bore" Up, "regulator.set_pressure" Down,
        "pump.outlet_pressure" Down]
}

/// A relief valve with what it stands behind and what it protects.
struct Relieved<'s> {
    valve: &'s Part,
    set: AbsolutePressure,
    held: AbsolutePressure,
    /// The regulator before it, and the pressure before that.
    fed_by: Option<(&'s Regulator, AbsolutePressure)>,
    weakest: Option<(&'s Part, (AbsolutePressure, &'static str))>,
}

fn check(s: &Solution<'_>, v: &mut Verdict) -> Option<()> {
    train_parts(s, v)?;
    let supply = solved::highest_supply(s, v)?;
    before_regulator(s, v, supply);
    for relief in relieved(s, supply) {
        if relief.set <= relief.held {
            let held = solved::enough_pressure(s, relief.held);
            let advice = match relief.weakest {
                Some((weakest, (rating, _))) if rating <= relief.held => format!(
                    "Bring that pressure below {}, the rating of {}, or change that part",
                    s.gauge(rating),
                    solved::named(s, &weakest.name)
                ),
                Some((weakest, (rating, _))) => format!(
                    "Set it above {held} and below {}, the rating of {}",
                    s.gauge(rating),
                    solved::named(s, &weakest.name)
                ),
                None if relief.fed_by.is_none() => format!("Set it above {held}"),
                None => format!("Set it above {held}, or mend the regulator's lock-up"),
            };
            v.advice(advice).find(
                solved::part_path(&relief.valve.name),
                s.pressure(relief.set),
                Limit::AtLeast(s.pressure(relief.held)),
            );
        }
        passes_too_little(s, v, &relief);
        if let Some((weakest, (rating, key))) = relief.weakest
            && relief.set > rating
        {
            let says = format!(
                "{{It}} opens at {{measured}}; {}, the weakest that it protects, is rated for {{limit}} and gives first.",
                solved::named(s, &weakest.name)
            );
            v.source(Source::of_part(&weakest.name, key))
                .advice(format!(
                    "Set it to {} or less, or change that part",
                    s.gauge(rating)
                ))
                .says(says)
                .find(
                    solved::part_path(&relief.valve.name),
                    s.pressure(relief.set),
                    Limit::AtMost(s.pressure(rating)),
                );
        }
    }
    Some(())
}

/// Holds relief valves that see the supply against it.
fn before_regulator(s: &Solution<'_>, v: &mut Verdict, supply: AbsolutePressure) {
    // without a regulator it is that which is missing; liquid in a section is another rule's
    if s.is_unregulated() || !s.wants_vapour() {
        return;
    }
    for part in ways::at_supply_pressure(&s.rig.train) {
        if let PartKind::ReliefValve(relief) = &part.kind
            && relief.set_pressure <= supply
        {
            v.advice("Put it behind the regulator that it protects against")
                .says("{It} opens at {measured} and the supply reaches {limit}: it vents at the pressure of the supply.")
                .find(
                    solved::part_path(&part.name),
                    s.pressure(relief.set_pressure),
                    Limit::AtLeast(s.pressure(supply)),
                );
        }
    }
}

/// Holds the bore of a relief valve against what its regulator passes wide open.
fn passes_too_little(s: &Solution<'_>, v: &mut Verdict, relief: &Relieved<'_>) {
    let PartKind::ReliefValve(law) = &relief.valve.kind else {
        return;
    };
    let (Some((regulator, inlet)), Some(bore)) = (relief.fed_by, law.bore) else {
        return;
    };
    if !s.wants_vapour() {
        return;
    }
    let site = &s.rig.site;
    let duty = relief_duty(
        s.fluid.as_ref(),
        regulator,
        inlet,
        (site.ambient, site.air_pressure),
        (relief.set, bore),
    );
    match duty {
        Ok(duty) if duty.passes < duty.arrives => v
            .source(Source::Published("api520"))
            .advice(format!(
                "Fit a relief valve with a bore of {} or more",
                solved::enough(s, Kind::Length, duty.bore_needed.value)
            ))
            .says(format!(
                "{{It}} passes {{measured}} at {} through its bore of {}; the regulator lets {{limit}} through wide open, so the pressure rises on.",
                s.gauge(duty.relieving),
                s.show(Kind::Length, bore.value)
            ))
            .find(
                solved::part_path(&relief.valve.name),
                (Kind::MassRate, duty.passes.value),
                Limit::at_least(Kind::MassRate, duty.arrives.value),
            ),
        Ok(_) => {}
        Err(why) => v.not_checked(format!("what {} has to pass is not known: {why}", relief.valve.name)),
    }
}

/// Whether this rule finds the relief valve of this name above the weakest part it protects.
pub(super) fn finds_above_weakest(s: &Solution<'_>, relief: &str) -> bool {
    let Some(supply) = solved::highest_supply(s, &mut Verdict::new(&RULE)) else {
        return false;
    };
    relieved(s, supply).iter().any(|r| {
        let above = r.weakest.is_some_and(|(_, (rating, _))| r.set > rating);
        above && r.valve.name == relief
    })
}

/// Every relief valve behind a regulator or pump, once. What stands before the first is protected by the tank's own.
fn relieved<'s>(s: &'s Solution<'_>, supply: AbsolutePressure) -> Vec<Relieved<'s>> {
    let highest = |part: &Part, inlet| match &part.kind {
        PartKind::Regulator(r) => r.highest_lock_up(inlet),
        _ => part.holds(inlet),
    };
    let mut found: Vec<Relieved<'_>> = Vec::new();
    for way in ways::ways(&s.rig.train) {
        let held = ways::held_along(&way, supply, highest);
        for (i, valve) in way.iter().enumerate() {
            let PartKind::ReliefValve(relief) = &valve.kind else {
                continue;
            };
            let Some(holder) = way[..i].iter().rposition(|p| p.sets_pressure()) else {
                continue;
            };
            if found.iter().any(|f| f.valve.name == valve.name) {
                continue;
            }
            let zone = ways::up_to(&way[holder + 1..], Part::sets_pressure).iter();
            let rated = zone.filter_map(|p| Some((*p, p.rated()?)));
            found.push(Relieved {
                valve,
                set: relief.set_pressure,
                held: held[i],
                fed_by: match &way[holder].kind {
                    PartKind::Regulator(r) => Some((r, held[holder])),
                    _ => None,
                },
                weakest: rated.min_by(|a, b| a.1.0.pascals().total_cmp(&b.1.0.pascals())),
            });
        }
    }
    found
}
