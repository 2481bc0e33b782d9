//! Figures of a tank that cannot both be true: pairs of the rule on values that contradict each other.

use super::between::{Held, figure};
use super::solved::liquid_share;
use crate::audit::solution::{outside_area, wall_density, wall_thickness};
use crate::audit::{Limit, Signal, Solution, Source, Verdict};
use crate::combustion::flame::fuel_feed::usual_phase;
use crate::fuel::FedAs;
use crate::quantity::Kind;
use crate::train::PartKind;
use crate::train::rig::{ChangeOver, TankPosition, WallMaterial};

/// Surface of a slender cylinder over the two-thirds power of its volume: four diameters long 6.6, ten 8.4.
const SURFACE_BY_VOLUME: f64 = 7.0;
/// Heat transfer to a tank that is not in water, W/(m² K): behind insulation, and wet in a storm. Common practice, no
/// source.
const TANK_W_M2_K: (f64, f64) = (0.1, 60.0);

pub(super) fn conductance(s: &Solution<'_>, v: &mut Verdict) -> Option<()> {
    let tank = s.rig.supply.tank()?;
    let conductance = tank.conductance.filter(|g| g.value > 0.0)?.value;
    let by_volume = || SURFACE_BY_VOLUME * tank.volume.value.powf(2.0 / 3.0);
    let area = outside_area(tank).map_or_else(by_volume, |a| a.value);
    let held = Held {
        at: "tank.conductance",
        signal: Signal::Notice,
        kind: Kind::HeatTransfer,
        si: conductance / area,
        says: format!(
            "A conductance of {} on {} of tank makes {{measured}}, beyond {{limit}}: one of the figures is wrong.",
            figure(s, Kind::ThermalConductance, conductance),
            figure(s, Kind::Area, area)
        ),
        limits: TANK_W_M2_K,
        source: Source::Choice("still air gives some 10 W/(m2 K), a storm on a wet wall some 50"),
        advice: "Leave `conductance` out, so that it follows from size, wind and air, or measure it again.",
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

pub(super) fn wall(s: &Solution<'_>, v: &mut Verdict) -> Option<()> {
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
            says: format!(
                "A wall of {wall} on a tank {} across is {{measured}} thick, over {{limit}}: no tank has that.",
                figure(s, Kind::Length, diameter.value)
            ),
            limits: (0.0, THICKEST * diameter.value),
            source: Source::Choice(
                "tanks have thin walls: a tenth of the diameter is a gun barrel",
            ),
            advice: "Weigh the empty tank, and read its size again.",
        };
        return held.find(s, v);
    }
    let held = Held {
        at,
        signal: Signal::Caution,
        kind: Kind::PressureDifference,
        si: stress,
        says: format!(
            "At its rating of {} a wall of {wall} carries {{measured}}, and the metal yields at {{limit}}: one of the figures is wrong.",
            s.gauge(tank.rating?)
        ),
        limits: (f64::NEG_INFINITY, strongest),
        source: Source::Choice(
            "welded cylinders of the strongest grade of EN 10120 yield at 355 MPa, seamless ones of steel at some 750 MPa, aluminium at some 300 MPa (from memory)",
        ),
        advice: "Read rating, size and empty mass again from the stamp on the tank.",
    };
    held.find(s, v)
}

/// What a dip tube may stand out of its tank, m: neck and fitting. Common practice, no source.
const NECK_M: f64 = 0.1;

pub(super) fn dip_tube(s: &Solution<'_>, v: &mut Verdict) -> Option<()> {
    let tank = s.rig.supply.tank()?;
    let (length, diameter) = (tank.length?.value, tank.diameter?.value);
    let height = match tank.position {
        TankPosition::Upright | TankPosition::Inverted => length,
        TankPosition::Lying => diameter,
    };
    for part in s.main_parts() {
        let PartKind::DipTube(dip) = &part.kind else {
            continue;
        };
        let (at, si, inside, what) = if dip.rise.value > height + NECK_M {
            ("rise", dip.rise.value, height, "high")
        } else {
            (
                "length",
                dip.length.value,
                length.hypot(diameter),
                "from corner to corner",
            )
        };
        let held = Held {
            at: &format!("train.{}.{at}", part.name),
            signal: Signal::Caution,
            kind: Kind::Length,
            si,
            says: format!(
                "{{It}} has a {at} of {{measured}} in a tank {} {what}, over {{limit}}: one of the figures is wrong.",
                figure(s, Kind::Length, inside)
            ),
            limits: (f64::NEG_INFINITY, inside + NECK_M),
            source: Source::Choice("a hand's breadth of neck and fitting stands out of the tank"),
            advice: "Measure tube and tank again: the lift to the pump depends on it.",
        };
        let _ = held.find(s, v);
    }
    Some(())
}

/// A dip tube that ends in the gas over a liquid, full as the tank is.
pub(super) fn short_dip_tube(s: &Solution<'_>, v: &mut Verdict) -> Option<()> {
    let tank = s.rig.supply.tank()?;
    if tank.position != TankPosition::Upright
        || usual_phase(&s.rig.fuel.composition) != FedAs::Liquid
    {
        return None;
    }
    let pad = tank.pressure.unwrap_or(s.rig.site.air_pressure);
    let empty_m = (1.0 - liquid_share(s, tank, pad).ok()?) * tank.length?.value;
    for part in s.main_parts() {
        let PartKind::DipTube(dip) = &part.kind else {
            continue;
        };
        let held = Held {
            at: &format!("train.{}.length", part.name),
            signal: Signal::Warning,
            kind: Kind::Length,
            si: dip.length.value,
            says: "{It} is {measured} long, and the liquid begins {limit} below the top of the tank: it draws air or gas."
                .to_owned(),
            limits: (empty_m, f64::INFINITY),
            source: Source::Choice(
                "a tube that ends above the liquid feeds the fire air, or gas of the pad",
            ),
            advice: "Fit a tube that ends a hand's breadth above the bottom, or measure tube and tank again.",
        };
        let _ = held.find(s, v);
    }
    Some(())
}

pub(super) fn change_over(s: &Solution<'_>, v: &mut Verdict) -> Option<()> {
    let tank = s.rig.supply.tank()?;
    let change_over = tank.change_over?;
    let how = match change_over {
        ChangeOver::Manual => "by hand",
        ChangeOver::Automatic => "by a change-over valve",
        ChangeOver::Together => "together",
    };
    let (says, limit, advice) = if tank.number < 2 {
        (
            format!("One cylinder is said to be drawn {how}: it takes two to change over."),
            "two cylinders at least to change over",
            "Give the number of cylinders, or leave `change_over` out.",
        )
    } else if change_over == ChangeOver::Together {
        return None;
    } else {
        (
            format!(
                "{} cylinders changed over {how} are counted as drawn together: one alone chills faster.",
                tank.number
            ),
            "one at a time",
            "Work out one by itself, without `number` and `change_over`.",
        )
    };
    v.signal(Signal::Notice)
        .source(Source::given("tank.number"))
        .says(says)
        .advice(advice)
        .find(
            "tank.change_over",
            (Kind::Ratio, f64::from(tank.number), format!("drawn {how}")),
            Limit::of_words(Kind::Ratio, 1.0, limit),
        );
    Some(())
}
