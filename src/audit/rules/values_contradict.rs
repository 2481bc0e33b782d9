//! Figures of the file that cannot both be true.

use super::between::{Held, figure};
use super::tank_contradicts as tank;
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::flow::air::standard_pressure;
use crate::injector::spec::ManifoldLayout;
use crate::quantity::show::significant;
use crate::quantity::{Kind, metres};
use crate::train::End;
use crate::train::rig::{FlameDetection, Ignition};
use std::f64::consts::PI;

rule! {
    /// ## Finding
    /// {It} has {measured}, and the other figures of the file allow {limit}: one of them is wrong.
    /// ## What it checks
    /// Pairs of figures that rule each other out: altitude and air pressure; conductance of the tank and its surface;
    /// its wall and its rating; purge air and blower; holes and the length they share; many holes and a fine drill; a
    /// pilot that lights and is not there; a thermocouple and its time; can or passage and air flow; ventilation and
    /// room; dip tube and tank; cylinders drawn together and changed over.
    /// ## Why it matters
    /// One of the two is wrong, and the file does not tell which. Sums that use the wrong one are wrong too.
    /// ## What to do
    /// Measure or read both again, and correct the one that is wrong.
    "VAL002", "values-contradict", Values, [Caution, Notice],
    Choice("finer drills break, finer holes clog, and the next drill is 10 % of the flow off")
}

/// Every pair.
const PAIRS: &[fn(&Solution<'_>, &mut Verdict) -> Option<()>] = &[
    air_pressure,
    tank::conductance,
    tank::wall,
    purge_air,
    room_for_holes,
    many_fine_holes,
    pilot,
    thermocouple,
    can,
    air_passage,
    ventilation,
    tank::dip_tube,
    tank::short_dip_tube,
    tank::change_over,
];

fn check(s: &Solution<'_>, v: &mut Verdict) {
    for pair in PAIRS {
        // a pair of which one is not given contradicts nothing
        let _ = pair(s, v);
    }
}

/// Most by which the weather moves the air pressure either way: see [`standard_pressure`].
const WEATHER: f64 = 0.04;

fn air_pressure(s: &Solution<'_>, v: &mut Verdict) -> Option<()> {
    s.rig.given("site.air_pressure")?;
    let altitude = metres(s.rig.given("site.altitude")?);
    let standard = standard_pressure(altitude).ok()?.pascals();
    let given = s.rig.site.air_pressure.pascals();
    let says = format!(
        "Air pressure of {{measured}} at {}, where the standard atmosphere has {}, is beyond {{limit}}: weather does not explain it.",
        figure(s, Kind::Length, altitude.value),
        figure(s, Kind::AbsolutePressure, standard)
    );
    let held = Held {
        at: "site.air_pressure",
        signal: Signal::Notice,
        kind: Kind::AbsolutePressure,
        si: given,
        says,
        limits: (standard * (1.0 - WEATHER), standard * (1.0 + WEATHER)),
        source: Source::Published("iso2533"),
        advice: "Read the barometer at the site: weather services reduce theirs to sea level.",
    };
    held.find(s, v)
}

/// Purge air over air at full speed of the blower: nothing is in the way of it, so somewhat more may pass. Common practice, no
/// source.
const MOST_PURGE: f64 = 1.2;

fn purge_air(s: &Solution<'_>, v: &mut Verdict) -> Option<()> {
    let purge = s.rig.controls.purge_air_flow?.value;
    let full = s.full_air()?;
    let held = Held {
        at: "controls.purge_air_flow",
        signal: Signal::Caution,
        kind: Kind::MassRate,
        si: purge,
        says: format!(
            "The purge takes {{measured}} of air, and the blower gives {}, {{limit}} at most: the purge clears less than stated.",
            figure(s, Kind::MassRate, full)
        ),
        limits: (0.0, MOST_PURGE * full),
        source: Source::Choice("a blower gives a little more where no burner is in its way"),
        advice: "Measure the air while it purges.",
    };
    held.find(s, v)
}

/// Diameter of a hole, given or as they were sized.
fn hole_diameter(s: &Solution<'_>) -> Option<f64> {
    let planned = || Some(s.injector.as_ref().ok()?.diameter.value);
    s.rig.given("injector.hole_diameter").or_else(planned)
}

/// Least distance of two holes' centres over their diameter: half a diameter of wall between them. Common practice, no
/// source.
const LEAST_PITCH: f64 = 1.5;

fn room_for_holes(s: &Solution<'_>, v: &mut Verdict) -> Option<()> {
    let injector = &s.rig.injector;
    let length = match &injector.manifold.as_ref()?.layout {
        ManifoldLayout::Ring { diameter, .. } => PI * diameter.value,
        ManifoldLayout::Bar { length, .. } => length.value,
    };
    let diameter = hole_diameter(s)?;
    let pitch = length / f64::from(injector.holes);
    let held = Held {
        at: "injector.holes",
        signal: Signal::Notice,
        kind: Kind::Length,
        si: pitch,
        says: format!(
            "{} holes of {} on {} stand {{measured}} apart, under {{limit}}: the drill tears out the wall between them.",
            injector.holes,
            figure(s, Kind::Length, diameter),
            figure(s, Kind::Length, length)
        ),
        limits: (LEAST_PITCH * diameter, f64::INFINITY),
        source: Source::Choice("less than half a diameter between holes tears out under the drill"),
        advice: "Drill fewer holes, or use a longer tube.",
    };
    held.find(s, v)
}

/// Diameter below which a drill breaks and a hole clogs, and how many such holes somebody will drill. Common practice,
/// no source.
const FINE_M: f64 = 0.25e-3;
const MOST_FINE: f64 = 24.0;

fn many_fine_holes(s: &Solution<'_>, v: &mut Verdict) -> Option<()> {
    let diameter = hole_diameter(s).filter(|d| *d < FINE_M)?;
    let holes = f64::from(s.rig.injector.holes);
    if holes <= MOST_FINE {
        return None;
    }
    let words = |holes: f64, of: f64| {
        let words = format!("{holes} holes of {}", figure(s, Kind::Length, of));
        Measured::Worded(Kind::Ratio, holes, words)
    };
    v.says("The injector has {measured}, beyond {limit}: so fine a drill breaks, and so fine a hole clogs.")
        .signal(Signal::Notice)
        .advice("Drill fewer and wider holes.")
        .find(
            "injector.holes",
            words(holes, diameter),
            Limit::AtMost(words(MOST_FINE, FINE_M)),
        );
    Some(())
}

fn pilot(s: &Solution<'_>, v: &mut Verdict) -> Option<()> {
    let by = s.rig.controls.ignition?;
    let alone = matches!(s.rig.train.run.end, End::Outlet(_)) && !s.main_parts().is_empty();
    if by == Ignition::Pilot && alone {
        v.source(Source::given("controls.ignition")).says("A pilot lights the fire, and the train feeds none.").advice("Write the pilot as a branch with its parts and its hole, or say what lights the fire.").find("controls.ignition", "pilot", Limit::Should("a pilot on a branch of the train, or another way to light"));
    }
    Some(())
}

/// Least time in which a thermocouple lets its magnet go, s. Common practice, no source.
const THERMOCOUPLE_S: f64 = 10.0;

fn thermocouple(s: &Solution<'_>, v: &mut Verdict) -> Option<()> {
    let controls = &s.rig.controls;
    let time = controls.flame_failure_time?.value;
    if controls.flame_detection != Some(FlameDetection::Thermocouple) {
        return None;
    }
    let held = Held {
        at: "controls.flame_failure_time",
        signal: Signal::Caution,
        kind: Kind::Time,
        si: time,
        says: "A thermocouple shuts the fuel in {measured}, under {limit}: it has to cool first and takes longer.".to_owned(),
        limits: (THERMOCOUPLE_S, f64::INFINITY),
        source: Source::Choice(
            "it has to cool first: tens of seconds, up to 60 s by EN 125 (from memory)",
        ),
        advice: "Blow the flame out and time the click of the valve, or name the detector that is there.",
    };
    held.find(s, v)
}

/// Time that cold air takes through a can, s: a stirred flame goes out below about a millisecond, and a can that is
/// filled once in half a minute is a room. From memory, and common practice, no source.
const CAN_S: (f64, f64) = (2e-3, 30.0);

fn can(s: &Solution<'_>, v: &mut Verdict) -> Option<()> {
    let volume = s.rig.burner.can_volume?.value;
    let air = s.most_air()?;
    let held = Held {
        at: "burner.can_volume",
        signal: Signal::Caution,
        kind: Kind::Time,
        si: volume / air,
        says: format!(
            "{} of air pass a can of {} in {{measured}}, beyond {{limit}}: one of the figures is wrong.",
            figure(s, Kind::VolumeRate, air),
            figure(s, Kind::Volume, volume)
        ),
        limits: CAN_S,
        source: Source::Choice("a flame goes out where it has not some milliseconds to burn"),
        advice: "Measure the can and the air again.",
    };
    held.find(s, v)
}

/// Velocity of cold air past an injector, m/s. Common practice, no source.
const PASSAGE_M_S: (f64, f64) = (0.02, 150.0);

fn air_passage(s: &Solution<'_>, v: &mut Verdict) -> Option<()> {
    let area = s.rig.burner.air_passage?.value;
    let air = s.most_air()?;
    let held = Held {
        at: "burner.air_passage",
        signal: Signal::Notice,
        kind: Kind::Velocity,
        si: air / area,
        says: format!(
            "{} of air pass the injector through {} at {{measured}}, beyond {{limit}}: one of the figures is wrong.",
            figure(s, Kind::VolumeRate, air),
            figure(s, Kind::Area, area)
        ),
        limits: PASSAGE_M_S,
        source: Source::Choice(
            "no blower of a small burner drives air faster, and no flame wants it slower",
        ),
        advice: "Measure the passage and the air again.",
    };
    held.find(s, v)
}

/// Most changes of a room's air in an hour: a spray booth has as many. Common practice, no source.
const MOST_CHANGES_PER_H: f64 = 150.0;

fn ventilation(s: &Solution<'_>, v: &mut Verdict) -> Option<()> {
    let (room, air) = (s.rig.site.room_volume?.value, s.rig.site.ventilation?.value);
    let per_hour = 3600.0 * air / room;
    if per_hour <= MOST_CHANGES_PER_H {
        return None;
    }
    let changes = |n: f64| {
        Measured::Worded(
            Kind::Frequency,
            n / 3600.0,
            format!("{} changes an hour", significant(n, 3)),
        )
    };
    v.source(Source::Choice(
        "a spray booth has as many, and no room that people work in",
    ))
    .says(format!(
        "Ventilation of {} changes the air of {} at {{measured}}, over {{limit}}: one of the figures is wrong.",
        figure(s, Kind::VolumeRate, air),
        figure(s, Kind::Volume, room)
    ))
    .advice("Measure the ventilation and the room again.")
    .find(
        "site.ventilation",
        changes(per_hour),
        Limit::AtMost(changes(MOST_CHANGES_PER_H)),
    );
    Some(())
}
