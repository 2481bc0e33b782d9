//! A tank filled beyond its limit.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::solution::TankSolution;
use crate::audit::{Limit, Signal, Solution, Source, Verdict};
use crate::quantity::{AbsolutePressure, Kind};
use crate::tank::filling_check::FillingLimit;

rule! {
    /// ## Finding
    /// {It} holds {measured} and may hold {limit}: the liquid is short of room to grow on a warm day.
    /// ## What it checks
    /// Mass of liquefied gas in the tank against the table of filling densities by specific gravity, with a
    /// hundredth for the scale; where the fuel is not in it, liquid on 80 % of the volume at 15 degC. A tenth too
    /// much is DANGER, and so is a tank that is liquid-full on the hottest day. Liquid fuel under air or gas: at most
    /// 95 % of the volume.
    /// ## Why it matters
    /// Liquid grows by a sixth from a cold night to a hot day. Without room for it the tank is
    /// liquid-full, its relief throws liquid, or its wall gives.
    /// ## What to do
    /// Keep it cool and away from any fire, and have fuel taken out before it warms up, by somebody with the equipment
    /// for it. The code in force sets the limit; transport rules go by weight.
    "TNK002", "overfilled-tank", Tank, [Danger, Warning],
    Choice("room for a warm day and a slope; common practice, no source"),
    levers ["tank.fuel_mass" Down, "tank.fill" Down]
}

/// How far above its limit a tank is an immediate danger, relative.
const FAR: f64 = 0.10;

fn check(s: &Solution<'_>, v: &mut Verdict) -> Option<()> {
    if let Some(pad) = s.pad() {
        brim(s, pad, v);
        return None;
    }
    let tank = solved::tank(s, v)?;
    let filling = &tank.filling;
    if filling.limit().is_none() {
        v.not_checked(match &filling.limit_by_volume {
            Err(why) => format!("the filling limit of this fuel is not known: {why}"),
            Ok(_) => "the filling limit of this fuel is not known".to_owned(),
        });
        return None;
    }
    let (limit, from) = filling.above_limit()?;
    let hottest_k = s.rig.hottest_tank().unwrap_or(s.rig.site.ambient).value;
    let bursting = filling.liquid_full.is_some_and(|t| t.value <= hottest_k);
    v.signal(
        if bursting || filling.mass.value > (1.0 + FAR) * limit.value {
            Signal::Danger
        } else {
            Signal::Warning
        },
    )
    .source(match from {
        FillingLimit::ByVolume => Source::Choice(
            "80 % of the volume at 15 degC is common practice; the code in force decides",
        ),
        FillingLimit::ByWeight => Source::Published("wac296307"),
    })
    .advice(format!(
        "Keep it cool and away from any fire, and have fuel taken out down to {}",
        s.show(Kind::Mass, limit.value)
    ))
    .says(format!(
        "{{It}} holds {{measured}} and may hold {{limit}}{}.",
        what_follows(s, tank)
    ))
    .find(
        "tank",
        (Kind::Mass, filling.mass.value),
        Limit::at_most(Kind::Mass, limit.value),
    );
    Some(())
}

/// What comes of an overfilled tank.
fn what_follows(s: &Solution<'_>, tank: &TankSolution) -> String {
    if tank.start.is_err() {
        return ": so much does not fit into it".to_owned();
    }
    let Some(full) = tank.filling.liquid_full else {
        return ": the liquid is short of room to grow on a warm day".to_owned();
    };
    let full = s.show(Kind::Temperature, full.value);
    let relief = s.rig.supply.tank().and_then(|t| t.relief_pressure);
    let then = match relief {
        Some(p) => format!("its relief valve throws liquid at {}", s.gauge(p)),
        None => "it gains several bar with every kelvin".to_owned(),
    };
    format!(": above {full} it is liquid-full, and {then}")
}

/// Most of its volume that a vented or pressed tank of liquid is filled with. Common practice, no source.
const BRIM: f64 = 0.95;

/// A tank of liquid fuel under air or gas: room for the liquid to grow.
fn brim(s: &Solution<'_>, pad: AbsolutePressure, v: &mut Verdict) {
    let Some(tank) = s.rig.supply.tank() else {
        return;
    };
    let share = match solved::liquid_share(s, tank, pad) {
        Ok(share) => share,
        Err(why) => {
            let why = s.why(&why);
            v.not_checked(format!("the density in the tank is not known: {why}"));
            return;
        }
    };
    if share > BRIM {
        v.signal(if share > 1.0 {
            Signal::Danger
        } else {
            Signal::Warning
        })
        .advice("Take fuel out, or correct the charge in the file")
        .says("Liquid fills {measured} of {it}, and {limit} at most leaves it room to grow on a warm day.")
        .find(
            "tank",
            (Kind::Ratio, share),
            Limit::at_most(Kind::Ratio, BRIM),
        );
    }
}
