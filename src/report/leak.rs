//! One release for people and machines: flow, jet, flame, room, emptying.

pub(super) mod keys;

use super::Report;
use super::record::{Row, table, table_of};
use crate::eos::{Phase, State};
use crate::flow::orifice::Expansion;
use crate::fuel::Library;
use crate::leak::decay::{Decay, Walls};
use crate::leak::jet::{DECAY, JetReach};
use crate::leak::release::{Expanding, SHORT_HOLE_M};
use crate::leak::{Consequences, LeakFuel, Release, Room, Surroundings};
use crate::quantity::show::{Units, show, show_digits};
use crate::quantity::{Kind, MassRate};

/// Rows of an emptying that are shown.
const ROWS: usize = 12;
/// What of a release stands under these headings.
const WHERE: [&str; 8] = [
    "distance_to_half_lfl_m",
    "distance_to_lfl_m",
    "notional_diameter_m",
    "notional_velocity_m_s",
    "momentum_until_m",
    "lower_flammability_limit",
    "relative_density",
    "release_characteristic_m3_s",
];
const RADIATION: [&str; 5] = ["level_w_m2", "meaning", "from_hole_m", "low_m", "high_m"];
const IN_ROOM: [&str; 8] = [
    "time_to_quarter_lfl_s",
    "time_to_lfl_s",
    "steady_mole_fraction",
    "ventilation_needed_m3_s",
    "clears_in_s",
    "does_not_burn",
    "steady_oxygen",
    "time_to_low_oxygen_s",
];
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
    let row = keys::Single::row(told, units);
    report.keys(&row);
    report.facts("Release", row.facts_of(&of_release(told)));
    report.facts("Where it goes", row.facts_of(&WHERE));
    if told.does.fire.is_some() {
        let lit = ["heat_w", "flame_length_m", "radiated"];
        report.facts("If it is lit", row.facts_of(&lit));
        report.table("If it is lit", table_of(row.rows("radiation"), &RADIATION));
    }
    if told.does.room.is_some() {
        report.facts("In the room", row.facts_of(&IN_ROOM));
    }
    if let Some(emptying) = row.row("emptying") {
        report.facts("Emptying", emptying.facts());
        report.table("Emptying", table(&thinned(emptying.rows("series"))));
    }
    remarks(report, told, units);
    assumptions(report, told);
    cite(report, library, told);
}

// ---- people --------------------------------------------------------------------------------------

fn of_release(told: &Told<'_>) -> Vec<&'static str> {
    let mut keys = vec![
        "release_rate_kg_s",
        "before",
        "choked",
        "discharge_coefficient",
        "hole_area_m2",
        "expansion",
        "range",
    ];
    if told.release.liquid || told.upstream.phase == Phase::TwoPhase {
        keys.extend(["vapour_mass_fraction_outside", "temperature_outside_k"]);
    }
    if !told.does.pool {
        keys.push("gas");
    }
    keys
}

fn flow_range(e: &Expanding, units: Units) -> String {
    let flow = |m: MassRate| show(Kind::MassRate, m.value, units);
    format!("{} to {}", flow(e.equilibrium), flow(e.bernoulli))
}

/// Why it is taken to expand so.
fn why_so(e: &Expanding) -> &'static str {
    match e.taken {
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
    }
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

fn weight(fuel: &LeakFuel) -> &'static str {
    if fuel.relative_density > AS_HEAVY.1 {
        "sinks: it gathers in pits, drains and cabinets"
    } else if fuel.relative_density < AS_HEAVY.0 {
        "rises: it gathers under roofs and ceilings"
    } else {
        "about as heavy as air: goes where the air goes"
    }
}

fn thinned(series: &[Row]) -> Vec<Row> {
    let last = series.len().saturating_sub(1);
    let shown = last.clamp(1, ROWS - 1);
    let mut at: Vec<usize> = (0..=shown).map(|i| i * last / shown).collect();
    at.dedup();
    at.into_iter().map(|k| series[k].clone()).collect()
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
        report.remark(if fuel.not_flammable {
            "It is not flammable in air [iso10156], so there are no distances to a lower limit: what counts is the oxygen that it displaces. Beside another flame it burns."
        } else if fuel.heat.is_some() {
            "No standard in the library has flammability limits for this fuel: no distances, no times."
        } else {
            "It does not burn: what counts is the oxygen that it displaces."
        });
    }
    if let Some(own) = &fuel.own_air {
        report.remark(format!("The fuel brings its own air: {}.", own.told()));
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
            report.remark("What the vapour of the pool does to the air of the room is not computed: ventilate, and measure.");
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
