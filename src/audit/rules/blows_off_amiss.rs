//! What a relief valve or regulator blows off, and where it goes.

use super::{solved, train_parts};
use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Source, Verdict};
use crate::train::rig::Setting;
use crate::train::ways::at_rest;
use crate::train::{Part, PartKind, VentsTo};

rule! {
    /// ## Finding
    /// {It} does not blow off to where its fuel does no harm.
    /// ## What it checks
    /// Where relief valves and vents of regulators blow off (`vents_to`): into the room, for a rig or part indoors; oil
    /// anywhere but back; back to a tank or a suction line that stands at the pressure the relief valve opens at, or
    /// above it; and round the pump alone.
    /// ## Why it matters
    /// A relief valve that opens beside the fire feeds it. One that blows against a pressure as high as its own never
    /// opens.
    /// ## What to do
    /// Pipe it outdoors, away from doors, drains and air inlets; pipe liquid back to a tank without pressure.
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
                let says = "{It} blows oil off into the room, and feeds the fire.";
                spilt(v, part, Signal::Warning, ("blows off into the room", says));
            }
            (VentsTo::Outdoors, Some(_)) if oil => {
                let says = "{It} blows oil off onto the ground outdoors, not back into its tank.";
                spilt(
                    v,
                    part,
                    Signal::Caution,
                    ("blows off onto the ground", says),
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
                    "{name} is said to lead back into a suction line, and there is none"
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
                "Lead it to a tank without pressure"
            } else {
                "Lead it outdoors, or to a tank without pressure"
            })
            .says("{It} is set to {measured} and blows against {limit}: it never opens.")
            .find(
                solved::part_path(&part.name),
                s.pressure(set),
                Limit::AtLeast(s.pressure(back)),
            );
        }
    }
}

/// Oil that blows off anywhere but into its tank.
fn spilt(v: &mut Verdict, part: &Part, signal: Signal, (found, says): (&str, &'static str)) {
    v.signal(signal)
        .source(Source::Choice(
            "oil that blows off runs back to its tank; common practice, no source",
        ))
        .advice("Pipe it back to the tank, above the level of the oil")
        .says(says)
        .find(
            solved::part_path(&part.name),
            found,
            Limit::Should("a pipe back to the tank"),
        );
}

fn into_the_room(v: &mut Verdict, part: &Part, relief: bool) {
    let (signal, found, says) = if relief {
        let says = "{It} blows off into the room, and feeds the fire.";
        (Signal::Warning, "blows off into the room", says)
    } else {
        let says =
            "The vent of {it} opens into the room, and lets gas out there if the diaphragm tears.";
        (Signal::Caution, "its vent opens into the room", says)
    };
    v.signal(signal)
        .source(Source::Choice(
            "what blows off goes where nothing lights it; common practice, no source",
        ))
        .advice("Pipe it outdoors, away from doors, drains and air inlets")
        .says(says)
        .find(
            solved::part_path(&part.name),
            found,
            Limit::Should("a pipe into the open"),
        );
}

fn round_the_pump(v: &mut Verdict, part: &Part) {
    v.signal(Signal::Caution).source(Source::Choice(
            "oil that goes round carries its heat away in the tank; common practice, no source",
        )).advice("Lead it back to the tank, or stop the pump when the valves shut").says("{It} leads back into the suction: while the valves are shut, the power of the pump heats the little oil that goes round.").find(solved::part_path(&part.name), "leads back into the suction", Limit::Should("a way back to the tank, or a pump that stops with the valves"));
}

/// Whether a pump stands on a way of a part.
fn pumped(s: &Solution<'_>, part: &Part) -> bool {
    let ways = solved::ways(s);
    ways.iter().any(|way| {
        let mut pumps = way.iter().filter(|p| p.is_pump());
        way.iter().any(|p| p.name == part.name) && pumps.next().is_some()
    })
}
