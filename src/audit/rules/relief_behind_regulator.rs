//! A relief valve behind a regulator that opens too early, too late, or too little.

use super::{solved, train_parts};
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Source, Verdict};
use crate::flow::regulator::Regulator;
use crate::leak::relief::relief_duty;
use crate::quantity::{AbsolutePressure, Kind};
use crate::train::{Part, PartKind, ways};

rule! {
    /// ## What it checks
    /// Set pressure of every relief valve behind a regulator or pump: above the most that holds with the flow stopped,
    /// full supply or nearly spent; of one before the regulator: above the highest pressure of the supply;
    /// and no higher than the weakest part it protects, the next regulator among them. What it passes, for vapour, at
    /// a tenth above set (gauge), through its bore with a discharge coefficient of 0.8 (our choice), against what the
    /// regulator before it lets through wide open.
    /// ## Why it matters
    /// One that opens at every stop vents fuel beside the fire until somebody plugs it. One that opens above the
    /// weakest part protects nothing: that part is the relief.
    /// ## What to do
    /// Set it between lock-up and the weakest rating, with a tenth to either side; vent it outdoors.
    "REG008", "relief-behind-regulator", Regulator, [Warning],
    Choice("a relief valve stays shut in ordinary work; common practice, no source")
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
            v.advice(match relief.weakest {
                    Some((_, (rating, _))) if rating <= relief.held => {
                        "no setting lies above the pressure with the flow stopped and below the weakest part: bring that pressure \
                         down, or change that part"
                    }
                    _ if relief.fed_by.is_none() => {
                        "set it above the pressure with the flow stopped and below the weakest part"
                    }
                    _ => "set it above the pressure with the flow stopped and below the weakest part, or mend the regulator's lock-up",
                }).find(solved::part_path(&relief.valve.name), s.pressure(relief.set), Limit::AtLeast(s.gauged(relief.held, |x| format!("above {x}, with the flow stopped"))));
        }
        passes_too_little(s, v, &relief);
        if let Some((weakest, (rating, key))) = relief.weakest
            && relief.set > rating
        {
            v.source(Source::of_part(&weakest.name, key))
                .advice("set the relief valve below the weakest part, or change that part")
                .find(
                    solved::part_path(&relief.valve.name),
                    s.pressure(relief.set),
                    Limit::AtMost(
                        s.gauged(rating, |x| format!("{x}, the rating of {}", weakest.name)),
                    ),
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
            v.advice("it blows at the pressure of the supply: put it behind the regulator that it protects against").find(solved::part_path(&part.name), s.pressure(relief.set_pressure), Limit::AtLeast(s.gauged(supply, |x| format!("above {x}, the highest pressure of the supply"))));
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
            .advice("a relief valve that passes what the regulator does wide open")
            .find(
                solved::part_path(&relief.valve.name),
                s.worded(Kind::MassRate, duty.passes.value, |x| {
                    format!(
                        "it passes {x} at {} through its bore of {}",
                        s.gauge(duty.relieving),
                        s.show(Kind::Length, bore.value)
                    )
                }),
                Limit::AtLeast(s.worded(Kind::MassRate, duty.arrives.value, |x| {
                    format!(
                        "{x}, what the regulator lets through wide open, and a bore of {}",
                        s.show(Kind::Length, duty.bore_needed.value)
                    )
                })),
            ),
        Ok(_) => {}
        Err(why) => v.not_checked(format!("what {} has to pass: {why}", relief.valve.name)),
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
