//! One release for people and machines: flow, jet, flame, room, emptying.

pub(super) mod keys;

use super::{Column, Fact, Report, Table, Value};
use crate::eos::{Phase, State};
use crate::flow::orifice::Expansion;
use crate::fuel::Library;
use crate::leak::decay::{Decay, Walls};
use crate::leak::jet::{DECAY, JetReach, Reach};
use crate::leak::release::{Expanding, SHORT_HOLE_M};
use crate::leak::room::{ALARM_SHARE, breathing};
use crate::leak::screening::LIMIT_FACTOR;
use crate::leak::{Consequences, JetFire, LeakFuel, Release, Room, RoomCourse, Surroundings};
use crate::quantity::show::{Units, show, show_digits};
use crate::quantity::{Kind, MassRate, Time};

/// Rows of an emptying that are shown.
const ROWS: usize = 12;
/// Relative density from which a gas is told to be about as heavy as air, and from which it sinks.
const AS_HEAVY: (f64, f64) = (0.95, 1.05);

/// A section or tank that empties.
#[derive(Debug, Clone)]
pub struct Emptying {
    /// Its course.
    pub decay: Decay,
    /// Whether it is a tank.
    pub tank: bool,
    /// Walls of a section.
    pub walls: Option<Walls>,
}

/// A release and everything it does.
#[derive(Debug, Clone, Copy)]
pub struct Told<'a> {
    /// Air.
    pub around: Surroundings,
    /// Room, if any.
    pub room: Option<Room>,
    /// Fuel in the air.
    pub fuel: &'a LeakFuel,
    /// State before the hole.
    pub upstream: &'a State,
    /// What comes out.
    pub release: &'a Release,
    /// What it does.
    pub does: &'a Consequences,
    /// What empties.
    pub emptying: Option<&'a Emptying>,
}

/// Adds all of it to a report.
pub fn release(report: &mut Report, library: &Library, units: Units, told: &Told<'_>) {
    keys::keys(report, told);
    report.facts("Release", release_facts(told, units));
    report.facts("Where it goes", jet_facts(told));
    if let Some(fire) = &told.does.fire {
        report.facts("If it is lit", fire_facts(fire));
        report.table("If it is lit", radiation(fire));
    }
    if let Some(course) = &told.does.room {
        report.facts("In the room", room_facts(course, told.fuel));
    }
    if let Some(emptying) = told.emptying {
        report.facts("Emptying", emptying_facts(emptying));
        report.table("Emptying", course(&emptying.decay));
    }
    remarks(report, told, units);
    assumptions(report, told);
    cite(report, library, told);
}

// ---- people --------------------------------------------------------------------------------------

fn release_facts(told: &Told<'_>, units: Units) -> Vec<Fact> {
    let r = told.release;
    let banded = |fact: Fact, low: f64, high: f64| {
        if high > low {
            fact.between(low, high)
        } else {
            fact
        }
    };
    let c = &r.coefficient;
    let mut facts = vec![
        banded(
            Fact::of("Mass flow", Kind::MassRate, r.flow.value),
            r.low.value,
            r.high.value,
        ),
        Fact::text("Before the hole", before(told, units)),
        Fact::text(
            "Choked",
            if r.choked {
                "yes: the air's pressure does not matter"
            } else {
                "no"
            },
        ),
        banded(Fact::plain("Discharge coefficient", c.value), c.low, c.high)
            .note(c.models.join("; ")),
        Fact::of("Area of the hole", Kind::Area, r.area.value),
    ];
    if let Some(e) = &r.expanding {
        facts.push(expansion(e));
        if e.boils() {
            let flow = |m: MassRate| show(Kind::MassRate, m.value, units);
            facts.push(
                Fact::text(
                    "Range of expansions",
                    format!("{} to {}", flow(e.equilibrium), flow(e.bernoulli)),
                )
                .note("equilibrium to bernoulli, both at that coefficient"),
            );
        }
    }
    if r.liquid || told.upstream.phase == Phase::TwoPhase {
        facts.push(
            Fact::of(
                "Boils at once, by mass",
                Kind::Ratio,
                r.vapour_outside.value,
            )
            .note("when it comes to the pressure outside"),
        );
        facts.push(Fact::of(
            "Temperature then",
            Kind::Temperature,
            r.temperature_outside.value,
        ));
    }
    if !told.does.pool {
        facts.push(Fact::of(
            "Gas it makes",
            Kind::VolumeRate,
            r.flow.value / told.fuel.gas_density.value,
        ));
    }
    facts
}

/// How it is taken to expand, and why.
fn expansion(e: &Expanding) -> Fact {
    let why = match e.taken {
        _ if !e.boils() => "next to nothing boils in the hole: all expansions are one",
        Expansion::Bernoulli => {
            "no vapour forms in the hole: the most that a short one passes, which is what a hazard is planned with"
        }
        Expansion::Equilibrium => {
            "asked for: the least that passes; plan with bernoulli, which bounds the release"
        }
        Expansion::Blend => {
            "asked for: a best estimate between the ends; plan with bernoulli, which bounds the release"
        }
    };
    Fact::text("Expansion", e.taken.name()).note(why)
}

/// How long a hole counts as short, for whoever reads a release of liquid that may boil.
pub(super) fn short_hole(units: Units) -> String {
    format!(
        "A hole counts as short up to a length of {}: along a longer one liquid boils on its way, and the flow falls towards equilibrium [fauske-epstein1988].",
        show_digits(Kind::Length, SHORT_HOLE_M, units, 2)
    )
}

fn before(told: &Told<'_>, units: Units) -> String {
    let state = told.upstream;
    let phase = match state.phase {
        Phase::TwoPhase if told.release.liquid => "boiling liquid",
        Phase::TwoPhase if told.release.gas => "saturated vapour",
        phase => phase.name(),
    };
    format!(
        "{phase} at {}, {}",
        show(Kind::AbsolutePressure, state.pressure_pa, units),
        show(Kind::Temperature, state.temperature_k, units)
    )
}

fn reach_fact(name: &str, reach: &Reach) -> Fact {
    Fact::of(name, Kind::Length, reach.value.value).between(reach.low.value, reach.high.value)
}

fn jet_facts(told: &Told<'_>) -> Vec<Fact> {
    let fuel = told.fuel;
    let mut facts = Vec::new();
    if let Some(jet) = &told.does.jet {
        let half = reach_fact("To half the lower limit", &jet.half_limit);
        facts.push(if told.release.is_bounding() {
            half.note("plan with this")
        } else {
            half.note("not what bounds the release")
        });
        facts.push(reach_fact("To the lower limit", &jet.lower_limit));
        facts.push(
            Fact::of(
                "Expanded jet, diameter",
                Kind::Length,
                jet.jet.diameter.value,
            )
            .note(jet.jet.notional.name()),
        );
        facts.push(Fact::of(
            "Expanded jet, speed",
            Kind::Velocity,
            jet.jet.velocity.value,
        ));
        if let Some(x) = jet.momentum_until {
            facts.push(
                Fact::of("Momentum rules up to", Kind::Length, x.value).note(if fuel.is_heavy() {
                    "then it sinks"
                } else {
                    "then it rises"
                }),
            );
        }
    }
    if let Some(limits) = &fuel.limits {
        let mut fact = Fact::of("Lower limit", Kind::Ratio, limits.lower.value)
            .note("the lowest of the standards");
        if limits.lower_highest > limits.lower {
            fact = fact.between(limits.lower.value, limits.lower_highest.value);
        }
        facts.push(fact);
    }
    let weight = Fact::plain("Density over that of air", fuel.relative_density);
    facts.push(weight.note(if fuel.relative_density > AS_HEAVY.1 {
        "sinks: it gathers in pits, drains and cabinets"
    } else if fuel.relative_density < AS_HEAVY.0 {
        "rises: it gathers under roofs and ceilings"
    } else {
        "about as heavy as air: goes where the air goes"
    }));
    if let Some(q) = told.does.characteristic {
        facts.push(
            Fact::of("Release characteristic", Kind::VolumeRate, q.value)
                .note(format!(
                    "screening value with k = {LIMIT_FACTOR}; classifies nothing"
                ))
                .from_source("iec60079-10-1"),
        );
    }
    facts
}

fn fire_facts(fire: &JetFire) -> Vec<Fact> {
    vec![
        Fact::of("Heat", Kind::Power, fire.heat.value),
        Fact::of("Flame length", Kind::Length, fire.length.value)
            .within(crate::leak::fire::LENGTH_BAND)
            .from_source("delichatsios1993"),
        Fact::of("Radiated", Kind::Ratio, fire.radiant_fraction.value)
            .from_source("radiant-fraction-memory"),
    ]
}

fn radiation(fire: &JetFire) -> Table {
    let mut table = Table::new(vec![
        Column::of("radiation", Kind::HeatFlux).digits(3),
        Column::new("stands for"),
        Column::of("from the hole", Kind::Length).digits(3),
        Column::of("at least", Kind::Length).digits(3).optional(),
        Column::of("at most", Kind::Length).digits(3),
    ]);
    for d in &fire.distances {
        table.row(vec![
            Value::of(Kind::HeatFlux, d.threshold.level_w_m2),
            Value::Text(d.threshold.meaning.to_owned()),
            Value::of(Kind::Length, d.from_hole.value),
            Value::of(Kind::Length, d.low.value),
            Value::of(Kind::Length, d.high.value),
        ]);
    }
    table
}

fn when(name: &str, time: Option<Time>) -> Fact {
    match time {
        Some(t) => Fact::of(name, Kind::Time, t.value),
        None => Fact::text(name, "never, well mixed"),
    }
}

fn room_facts(course: &RoomCourse, fuel: &LeakFuel) -> Vec<Fact> {
    let mut facts = Vec::new();
    if fuel.limits.is_some() {
        facts.push(when(
            "To a quarter of the lower limit",
            course.quarter_limit,
        ));
        facts.push(when("To the lower limit", course.lower_limit));
    }
    facts.push(Fact::of(
        "After a long time",
        Kind::Ratio,
        course.steady.value,
    ));
    if let Some(needed) = course.ventilation_needed {
        facts.push(
            Fact::of("Fresh air needed", Kind::VolumeRate, needed.value).note(format!(
                "for {:.0} % of the lower limit",
                100.0 * ALARM_SHARE
            )),
        );
    }
    facts.push(match course.clears_in {
        Some(t) if t.value > 0.0 => {
            Fact::of("Clears after the leak is shut in", Kind::Time, t.value)
                .note("from its highest to a quarter of the lower limit")
        }
        Some(_) => Fact::text("Clears after the leak is shut in", "no need: never above"),
        None if fuel.limits.is_none() => Fact::text("Clears", "not asked: it does not burn"),
        None => Fact::text(
            "Clears after the leak is shut in",
            "never without fresh air",
        ),
    });
    facts.push(
        Fact::of("Oxygen after a long time", Kind::Ratio, course.oxygen.value)
            .note(breathing(course.oxygen))
            .from_source("osha-oxygen"),
    );
    facts.push(when("To too little oxygen", course.oxygen_low));
    facts
}

fn emptying_facts(e: &Emptying) -> Vec<Fact> {
    let inside = Fact::of("Inside at the start", Kind::Mass, e.decay.inside.value);
    let time = |name: &str, t: Option<Time>| match t {
        Some(t) => Fact::of(name, Kind::Time, t.value),
        None => Fact::text(name, "not within the time looked at"),
    };
    let gone = if e.tank {
        "Pressure gone in"
    } else {
        "Empty in"
    };
    let mut facts = vec![
        inside,
        time("Flow halves in", e.decay.half_flow),
        time(gone, e.decay.empty).note("to a hundredth of its pressure over the air"),
    ];
    if let (true, Some(last)) = (e.tank, e.decay.course.last()) {
        let left = (e.decay.inside.value - last.left.value).max(0.0);
        facts.push(
            Fact::of("Still inside then", Kind::Mass, left)
                .note("cold liquid goes on boiling as heat comes in"),
        );
    }
    facts
}

fn course(decay: &Decay) -> Table {
    let mut table = Table::new(vec![
        Column::of("time", Kind::Time).digits(3),
        Column::of("pressure", Kind::AbsolutePressure).digits(4),
        Column::of("temperature", Kind::Temperature).digits(3),
        Column::of("flow", Kind::MassRate).digits(3),
        Column::of("out so far", Kind::Mass).digits(3),
    ]);
    let last = decay.course.len().saturating_sub(1);
    let shown = last.clamp(1, ROWS - 1);
    let mut before = None;
    for i in 0..=shown {
        let k = i * last / shown;
        if before == Some(k) {
            continue;
        }
        before = Some(k);
        let m = &decay.course[k];
        table.row(vec![
            Value::of(Kind::Time, m.time.value),
            Value::of(Kind::AbsolutePressure, m.pressure.pascals()),
            Value::of(Kind::Temperature, m.temperature.value),
            Value::of(Kind::MassRate, m.flow.value),
            Value::of(Kind::Mass, m.left.value),
        ]);
    }
    table
}

fn remarks(report: &mut Report, told: &Told<'_>, units: Units) {
    let fuel = told.fuel;
    for note in &told.release.coefficient.notes {
        report.remark(note.as_str());
    }
    if told.release.expanding.is_some_and(|e| e.boils()) {
        report.remark(short_hole(units));
    }
    if fuel.limits.is_none() {
        report.remark(if fuel.heat.is_some() {
            "No standard in the library has flammability limits for this fuel: no distances, no times."
        } else {
            "It does not burn: what counts is the oxygen that it displaces."
        });
    }
    if told.does.pool {
        let warm = if fuel.vapour_can_ignite() {
            "its vapour over the pool can ignite at this temperature"
        } else {
            "its vapour over the pool does not reach the lower limit at this temperature, but a spray or mist of it ignites below its flash point, and so does a pool that is warmed"
        };
        report.remark(format!(
            "The liquid does not boil at {} and makes a pool: no distance of a jet is given; {warm}.",
            show(Kind::Temperature, told.around.temperature.value, units)
        ));
        if told.room.is_some() {
            report.remark("What the vapour of the pool does to the air of the room is not worked out: ventilate, and measure.");
        }
    } else if told.release.liquid {
        report.remark("A liquid release is taken as evaporated at once, with its momentum: what rains out makes a cold pool and a heavy cloud along the floor that reach farther.");
    }
    if let Some(jet) = &told.does.jet {
        beyond_momentum(report, told, jet);
    }
    if told.does.room.is_some() && (fuel.relative_density - 1.0).abs() > 0.05 {
        report.remark(if fuel.relative_density > 1.0 {
            "The room is taken as well mixed; heavy gas lies on the floor and reaches its limits there much sooner."
        } else {
            "The room is taken as well mixed; light gas lies under the ceiling and reaches its limits there much sooner."
        });
    }
    if let Some(e) = told.emptying
        && let Some(why) = &e.decay.ended_by
    {
        report.remark(format!(
            "The emptying is followed until the model ends: {why}."
        ));
    }
}

fn beyond_momentum(report: &mut Report, told: &Told<'_>, jet: &JetReach) {
    if let Some(until) = jet.momentum_until
        && until < jet.half_limit.value
    {
        report.remark(if told.fuel.is_heavy() {
            "The jet loses its momentum before it is thinned to half the lower limit: from there the gas sinks and spreads along the ground, farther than the figure."
        } else {
            "The jet loses its momentum before it is thinned to half the lower limit: from there the gas rises."
        });
    }
}

fn assumptions(report: &mut Report, told: &Told<'_>) {
    if told.release.coefficient.models != ["given by the user"] {
        report.assume("the hole is round, square-edged and as deep as wide; the band of the flow runs from a sharp thin edge to a rounded one [iec60079-10-1]");
    }
    if told.does.jet.is_some() {
        report.assume(format!(
            "a free jet without wind or obstacle; decay constant {} on the axis, {} at the far end of the band [chen-rodi1980, papanikolaou2012]; the near end has the highest of the lower limits and the momentum of the jet kept [birch1987]",
            DECAY.0, DECAY.1
        ));
        report.assume("hazard-extent curves of the area-classification standard are not carried: no extent of a zone is given");
    }
    if told.does.fire.is_some() {
        report.assume("radiation as from a point in the middle of the flame [nureg1805], levels of [api521]; small fast leaks often do not hold a flame");
    }
    if told.does.room.is_some() {
        report.assume("the room is well mixed, the leak steady");
    }
    if let Some(e) = told.emptying {
        report.assume(match (e.tank, e.walls) {
            (true, _) => "liquid, vapour and wall of the tank stay at one temperature in equilibrium; the vapour that leaves a real tank is colder",
            (false, Some(Walls::Isothermal)) => "the walls hold the gas at its temperature",
            (false, _) => "the walls give no heat: a section that empties slowly stays warmer and takes longer (--warm-walls)",
        });
    }
}

fn cite(report: &mut Report, library: &Library, told: &Told<'_>) {
    let mut keys = vec!["iec60079-10-1"];
    if told.release.expanding.is_some_and(|e| e.boils()) {
        keys.push("fauske-epstein1988");
    }
    if told.does.jet.is_some() {
        keys.extend(["birch1984", "chen-rodi1980", "papanikolaou2012"]);
    }
    if told.does.fire.is_some() {
        keys.extend(["delichatsios1993", "nureg1805", "api521"]);
    }
    for key in keys {
        report.cite(library, key);
    }
}
