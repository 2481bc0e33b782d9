//! What a relief valve or regulator blows off, and where it goes.

use super::{solved, train_parts};
use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Source, Verdict};
use crate::train::rig::Setting;
use crate::train::ways::at_rest;
use crate::train::{Part, PartKind, VentsTo};

rule! {
    /// ## What it checks
    /// Where relief valves and vents of regulators blow off (`vents_to`): into the room, for a rig or part indoors; oil
    /// anywhere but back; back to a tank or a suction line that stands at the pressure the relief valve opens at, or above
    /// it; and round the pump alone.
    /// ## Why it matters
    /// A relief valve that opens beside the fire feeds it; one that blows against a pressure as high as its own never
    /// opens.
    /// ## What to do
    /// Pipe it outdoors, away from doors, drains and air inlets; liquid back to a tank without pressure.
    "REG009", "blows-off-amiss", Regulator, [Warning, Caution],
    Choice("a relief valve opens against less than it holds; common practice, no source")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if train_parts(s, v).is_none() {
        return;
    }
    let start = solved::pressure_at_start(s, v);
    let oil = s.draws_oil();
    let indoors = s.rig.site.setting == Setting::Indoor;
    for part in s.rig.train.parts() {
        let Some(to) = part.protection.vents_to else {
            continue;
        };
        let relief = match &part.kind {
            PartKind::ReliefValve(r) => Some(r.set_pressure),
            _ => None,
        };
        match (to, relief) {
            (VentsTo::Room, Some(_)) if oil && indoors => {
                let found = "blows off into the room, where the fire is";
                spilt(v, part, Signal::Warning, found);
            }
            (VentsTo::Outdoors, Some(_)) if oil => {
                spilt(
                    v,
                    part,
                    Signal::Caution,
                    "blows off onto the ground outdoors",
                );
            }
            (VentsTo::Room, _) if indoors => into_the_room(v, part, relief.is_some()),
            _ => {}
        }
        let (Some(set), VentsTo::Tank | VentsTo::Suction) = (relief, to) else {
            continue;
        };
        if to == VentsTo::Suction {
            if pumped(s, part) {
                round_the_pump(v, part);
            } else {
                let name = &part.name;
                v.not_checked(format!(
                    "{name}: said to lead back into a suction line, and there is none"
                ));
            }
        }
        let back = if to == VentsTo::Tank {
            start
        } else {
            start.and_then(|p| {
                let rest = at_rest(&s.rig.train, p, Part::holds);
                rest.iter().find(|r| r.part.is_pump()).map(|r| r.inlet)
            })
        };
        if let Some(back) = back.filter(|back| *back >= set) {
            v.advice(if oil {
                "lead it to a tank without pressure"
            } else {
                "lead it outdoors, or to a tank without pressure"
            })
            .find(
                solved::part_path(&part.name),
                s.gauged(set, |x| format!("opens at {x}")),
                Limit::AtLeast(s.gauged(back, |x| {
                    format!("above {x}, the pressure it blows against")
                })),
            );
        }
    }
}

/// Oil that blows off anywhere but into its tank.
fn spilt(v: &mut Verdict, part: &Part, signal: Signal, found: &str) {
    v.signal(signal)
        .source(Source::Choice(
            "oil that blows off runs back to its tank; common practice, no source",
        ))
        .advice("pipe it back to the tank, above the level of the oil")
        .find(
            solved::part_path(&part.name),
            found,
            Limit::Should("a pipe back to the tank"),
        );
}

fn into_the_room(v: &mut Verdict, part: &Part, relief: bool) {
    v.signal(if relief {
        Signal::Warning
    } else {
        Signal::Caution
    })
    .source(Source::Choice(
        "what blows off goes where nothing lights it; common practice, no source",
    ))
    .advice("pipe it outdoors, away from doors, drains and air inlets")
    .find(
        solved::part_path(&part.name),
        if relief {
            "blows off into the room, where the fire is"
        } else {
            "its vent opens into the room, and lets gas out if the diaphragm tears"
        },
        Limit::Should("a pipe into the open"),
    );
}

fn round_the_pump(v: &mut Verdict, part: &Part) {
    v.signal(Signal::Caution).source(Source::Choice(
            "oil that goes round carries its heat away in the tank; common practice, no source",
        )).advice("lead it back to the tank, or stop the pump when the valves shut").find(solved::part_path(&part.name), "leads back into the suction: while the valves are shut the power of the pump goes round in little oil, and heats it", Limit::Should("a way back to the tank, or a pump that stops with the valves"));
}

/// Whether a pump stands on a way of a part.
fn pumped(s: &Solution<'_>, part: &Part) -> bool {
    let ways = solved::ways(s);
    ways.iter().any(|way| {
        let mut pumps = way.iter().filter(|p| p.is_pump());
        way.iter().any(|p| p.name == part.name) && pumps.next().is_some()
    })
}
