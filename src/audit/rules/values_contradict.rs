//! Figures of the file that cannot both be true.

use crate::audit::rule::rule;
use crate::audit::solution::{outside_area, wall_density, wall_thickness};
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::flow::air::{MoistAir, standard_pressure};
use crate::injector::spec::ManifoldLayout;
use crate::quantity::show::{Units, show_digits};
use crate::quantity::{Kind, metres, ratio};
use crate::train::End;
use crate::train::rig::{AirSource, FlameDetection, Ignition, WallMaterial};
use std::f64::consts::PI;

rule! {
    /// ## What it checks
    /// Pairs of figures that rule each other out: altitude and air pressure; conductance of the tank and its surface; its
    /// wall and its rating; purge air and blower; holes and the length they share; many holes and a fine drill; a pilot
    /// that lights and is not there; a thermocouple and its time; can or passage and air flow; ventilation and room.
    /// ## Why it matters
    /// One of the two is wrong, and nobody can tell from the file which: sums that use the wrong one are wrong too.
    /// ## What to do
    /// Measure or read both again and correct the one that is wrong.
    ValuesContradict, "VAL002", "values-contradict", Values
}

/// Every pair.
const PAIRS: &[fn(&Solution<'_>, &mut Verdict) -> Option<()>] = &[
    air_pressure,
    conductance,
    wall,
    purge_air,
    room_for_holes,
    many_fine_holes,
    pilot,
    thermocouple,
    can,
    air_passage,
    ventilation,
];

fn check(s: &Solution<'_>, v: &mut Verdict) {
    for pair in PAIRS {
        // a pair of which one is not given contradicts nothing
        let _ = pair(s, v);
    }
}

/// A figure between two limits, with its words; finds it where it is outside.
struct Held<'a> {
    at: &'a str,
    signal: Signal,
    kind: Kind,
    si: f64,
    words: String,
    limits: (f64, f64),
    source: Source,
    advice: &'a str,
}

impl Held<'_> {
    fn find(self, s: &Solution<'_>, v: &mut Verdict) -> Option<()> {
        let (low, high) = self.limits;
        let shown = |si| Measured::Worded(self.kind, si, figure(s, self.kind, si));
        let limit = if self.si < low {
            Limit::AtLeast(shown(low))
        } else if self.si > high {
            Limit::AtMost(shown(high))
        } else {
            return None;
        };
        let measured = Measured::Worded(self.kind, self.si, self.words);
        v.find(
            self.signal,
            self.at,
            measured,
            limit,
            self.source,
            self.advice,
        );
        Some(())
    }
}

/// A figure as text. A stress is told in megapascals, as the trade does.
fn figure(s: &Solution<'_>, kind: Kind, si: f64) -> String {
    if kind == Kind::PressureDifference && s.units == Units::Si {
        return format!("{:.0} MPa", si / 1e6);
    }
    // weather is a matter of per cents
    let digits = if kind == Kind::AbsolutePressure { 4 } else { 3 };
    show_digits(kind, si, s.units, digits)
}

/// Most by which the weather moves the air pressure either way: see [`standard_pressure`].
const WEATHER: f64 = 0.04;

fn air_pressure(s: &Solution<'_>, v: &mut Verdict) -> Option<()> {
    s.rig.given("site.air_pressure")?;
    let altitude = metres(s.rig.given("site.altitude")?);
    let standard = standard_pressure(altitude).ok()?.pascals();
    let given = s.rig.site.air_pressure.pascals();
    let words = format!(
        "{} at {}, where the standard atmosphere has {}",
        figure(s, Kind::AbsolutePressure, given),
        figure(s, Kind::Length, altitude.value),
        figure(s, Kind::AbsolutePressure, standard)
    );
    let held = Held {
        at: "site.air_pressure",
        signal: Signal::Notice,
        kind: Kind::AbsolutePressure,
        si: given,
        words,
        limits: (standard * (1.0 - WEATHER), standard * (1.0 + WEATHER)),
        source: Source::Published("iso2533"),
        advice: "read the barometer at the site: weather services reduce theirs to sea level",
    };
    held.find(s, v)
}

/// Surface of a slender cylinder over the two-thirds power of its volume: four diameters long 6.6, ten 8.4.
const SURFACE_BY_VOLUME: f64 = 7.0;
/// Heat transfer to a tank that is not in water, W/(m² K): behind insulation, and wet in a storm. Common practice, no
/// source.
const TANK_W_M2_K: (f64, f64) = (0.1, 60.0);

fn conductance(s: &Solution<'_>, v: &mut Verdict) -> Option<()> {
    let tank = s.rig.supply.tank()?;
    let conductance = tank.conductance.filter(|g| g.value > 0.0)?.value;
    let by_volume = || SURFACE_BY_VOLUME * tank.volume.value.powf(2.0 / 3.0);
    let area = outside_area(tank).map_or_else(by_volume, |a| a.value);
    let held = Held {
        at: "tank.conductance",
        signal: Signal::Notice,
        kind: Kind::HeatTransfer,
        si: conductance / area,
        words: format!(
            "{} on {}: {}",
            figure(s, Kind::ThermalConductance, conductance),
            figure(s, Kind::Area, area),
            figure(s, Kind::HeatTransfer, conductance / area)
        ),
        limits: TANK_W_M2_K,
        source: Source::Choice("still air gives some 10 W/(m2 K), a storm on a wet wall some 50"),
        advice: "leave `conductance` out, and it follows from size, wind and air; or measure it again",
    };
    held.find(s, v)
}

/// Wall over diameter beyond which a vessel is no tank. Common practice, no source.
const THICKEST: f64 = 0.1;
/// Pressure above which steel cylinders are seamless, Pa. Common practice, no source.
const SEAMLESS_PA: f64 = 6e6;
/// Yield of the strongest steel of welded gas cylinders, P355NB of EN 10120, Pa: from memory.
const WELDED_PA: f64 = 355e6;
/// Yield of quenched steel of seamless cylinders, Pa: from memory.
const QUENCHED_PA: f64 = 750e6;
/// Yield of the alloys of aluminium cylinders, Pa: from memory.
const ALUMINIUM_PA: f64 = 300e6;

fn wall(s: &Solution<'_>, v: &mut Verdict) -> Option<()> {
    let tank = s.rig.supply.tank()?;
    let over = tank.rating?.pascals() - s.rig.site.air_pressure.pascals();
    let strongest = match tank.wall_material? {
        WallMaterial::Steel if over < SEAMLESS_PA => WELDED_PA,
        WallMaterial::Steel => QUENCHED_PA,
        WallMaterial::Aluminium => ALUMINIUM_PA,
        WallMaterial::Composite => return None,
    };
    let thickness = wall_thickness(tank).zip(tank.diameter);
    let (at, wall) = match (tank.wall_thickness, tank.wall_mass) {
        (Some(t), _) => ("tank.wall_thickness", figure(s, Kind::Length, t.value)),
        (None, Some(m)) => ("tank.wall_mass", figure(s, Kind::Mass, m.value)),
        (None, None) => return None,
    };
    let stress = match thickness {
        Some((thickness, diameter)) => over * diameter.value / (2.0 * thickness.value),
        // a long cylinder of this volume and wall, whatever its diameter
        None => 2.0 * wall_density(tank)?.value * over * tank.volume.value / tank.wall_mass?.value,
    };
    if let Some((thickness, diameter)) = thickness
        && thickness.value > THICKEST * diameter.value
    {
        let held = Held {
            at,
            signal: Signal::Notice,
            kind: Kind::Length,
            si: thickness.value,
            words: format!(
                "{wall} of wall on a diameter of {}: {} thick",
                figure(s, Kind::Length, diameter.value),
                figure(s, Kind::Length, thickness.value)
            ),
            limits: (0.0, THICKEST * diameter.value),
            source: Source::Choice(
                "tanks have thin walls: a tenth of the diameter is a gun barrel",
            ),
            advice: "weigh the empty tank, and read its size again",
        };
        return held.find(s, v);
    }
    let held = Held {
        at,
        signal: Signal::Caution,
        kind: Kind::PressureDifference,
        si: stress,
        words: format!(
            "{wall} of wall for {}: {} in it at the rating",
            s.gauge(tank.rating?),
            figure(s, Kind::PressureDifference, stress)
        ),
        limits: (f64::NEG_INFINITY, strongest),
        source: Source::Choice(
            "welded cylinders of the strongest grade of EN 10120 yield at 355 MPa, seamless ones of steel at some 750 MPa, aluminium at some 300 MPa (from memory)",
        ),
        advice: "read rating, size and empty mass again from the stamp on the tank",
    };
    held.find(s, v)
}

/// Air as it is where the blower takes it in.
fn inlet_air(s: &Solution<'_>) -> Option<MoistAir> {
    let t = s.rig.air.inlet.unwrap_or(s.rig.site.ambient);
    let humidity = s.rig.site.relative_humidity.unwrap_or(ratio(0.0));
    MoistAir::new(s.rig.site.air_pressure, t, humidity).ok()
}

/// Air at full throttle as the blower gives it, kg/s.
fn blower_air(s: &Solution<'_>) -> Option<f64> {
    Some(match s.rig.air.source.as_ref()? {
        AirSource::Flow(flow, _) => flow.value,
        AirSource::Blower { blower, shaft } => blower.air_flow(*shaft, &inlet_air(s)?).ok()?.value,
    })
}

/// Most air of any duty, m³/s as it is at the site.
fn most_air(s: &Solution<'_>) -> Option<f64> {
    let most = s.duties.iter().filter_map(|d| d.air).map(|a| a.value);
    let most = most.reduce(f64::max)?;
    Some(most / inlet_air(s)?.density().value)
}

/// Purge air over air at full throttle: nothing is in the way of it, so somewhat more may pass. Common practice, no
/// source.
const MOST_PURGE: f64 = 1.2;

fn purge_air(s: &Solution<'_>, v: &mut Verdict) -> Option<()> {
    let purge = s.rig.controls.purge_air_flow?.value;
    let full = blower_air(s)?;
    let held = Held {
        at: "controls.purge_air_flow",
        signal: Signal::Caution,
        kind: Kind::MassRate,
        si: purge,
        words: format!(
            "{} from a blower that gives {} at full throttle",
            figure(s, Kind::MassRate, purge),
            figure(s, Kind::MassRate, full)
        ),
        limits: (0.0, MOST_PURGE * full),
        source: Source::Choice("a blower gives a little more where no burner is in its way"),
        advice: "measure the air while it purges: a purge that is not there clears nothing",
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
        words: format!(
            "{} holes of {} on {}: {} from one to the next",
            injector.holes,
            figure(s, Kind::Length, diameter),
            figure(s, Kind::Length, length),
            figure(s, Kind::Length, pitch)
        ),
        limits: (LEAST_PITCH * diameter, f64::INFINITY),
        source: Source::Choice("less than half a diameter between holes tears out under the drill"),
        advice: "fewer holes, or a longer tube for them",
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
    v.find(
        Signal::Notice,
        "injector.holes",
        words(holes, diameter),
        Limit::AtMost(words(MOST_FINE, FINE_M)),
        Source::Choice(
            "finer drills break, finer holes clog, and the next drill is 10 % of the flow off",
        ),
        "fewer and wider holes",
    );
    Some(())
}

fn pilot(s: &Solution<'_>, v: &mut Verdict) -> Option<()> {
    let by = s.rig.controls.ignition?;
    let alone = matches!(s.rig.train.run.end, End::Outlet(_)) && !s.main_parts().is_empty();
    if by == Ignition::Pilot && alone {
        v.find(
            Signal::Caution,
            "controls.ignition",
            "by a pilot, and the train feeds none",
            Limit::Should("a pilot on a branch of the train, or another way to light"),
            Source::Input("controls.ignition".to_owned()),
            "give the pilot as a branch with its parts and its hole, or say what lights the fire",
        );
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
        words: format!("{} by a thermocouple", figure(s, Kind::Time, time)),
        limits: (THERMOCOUPLE_S, f64::INFINITY),
        source: Source::Choice(
            "it has to cool first: tens of seconds, up to 60 s by EN 125 (from memory)",
        ),
        advice: "blow the flame out and time the click of the valve; or name the detector that is there",
    };
    held.find(s, v)
}

/// Time that cold air takes through a can, s: a stirred flame goes out below about a millisecond, and a can that is
/// filled once in half a minute is a room. From memory, and common practice, no source.
const CAN_S: (f64, f64) = (2e-3, 30.0);

fn can(s: &Solution<'_>, v: &mut Verdict) -> Option<()> {
    let volume = s.rig.burner.can_volume?.value;
    let air = most_air(s)?;
    let held = Held {
        at: "burner.can_volume",
        signal: Signal::Caution,
        kind: Kind::Time,
        si: volume / air,
        words: format!(
            "{} for {} of air: it is through in {}",
            figure(s, Kind::Volume, volume),
            figure(s, Kind::VolumeRate, air),
            figure(s, Kind::Time, volume / air)
        ),
        limits: CAN_S,
        source: Source::Choice("a flame goes out where it has not some milliseconds to burn"),
        advice: "measure the can again, and the air",
    };
    held.find(s, v)
}

/// Velocity of cold air past an injector, m/s. Common practice, no source.
const PASSAGE_M_S: (f64, f64) = (0.02, 150.0);

fn air_passage(s: &Solution<'_>, v: &mut Verdict) -> Option<()> {
    let area = s.rig.burner.air_passage?.value;
    let air = most_air(s)?;
    let held = Held {
        at: "burner.air_passage",
        signal: Signal::Notice,
        kind: Kind::Velocity,
        si: air / area,
        words: format!(
            "{} for {} of air: {}",
            figure(s, Kind::Area, area),
            figure(s, Kind::VolumeRate, air),
            figure(s, Kind::Velocity, air / area)
        ),
        limits: PASSAGE_M_S,
        source: Source::Choice(
            "no blower of a small burner drives air faster, and no flame wants it slower",
        ),
        advice: "measure the passage again, and the air",
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
            format!("{n:.0} changes an hour"),
        )
    };
    v.find(
        Signal::Caution,
        "site.ventilation",
        Measured::Worded(
            Kind::Frequency,
            air / room,
            format!(
                "{} through {}: {per_hour:.0} changes an hour",
                figure(s, Kind::VolumeRate, air),
                figure(s, Kind::Volume, room)
            ),
        ),
        Limit::AtMost(changes(MOST_CHANGES_PER_H)),
        Source::Choice("a spray booth has as many, and no room that people work in"),
        "measure the air that passes, and the room",
    );
    Some(())
}
