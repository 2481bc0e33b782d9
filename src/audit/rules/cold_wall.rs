//! A tank wall below the dew or ice point during the run.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::quantity::{Kind, ZERO_CELSIUS_K};
use crate::tank::outside::dew_point_k;

rule! {
    /// ## Finding
    /// The tank wall falls to {measured}; below {limit} frost builds up and the tank gives less vapour than computed.
    /// ## What it checks
    /// Outside of the wetted wall at the coldest moment of the run plan, against the dew point of the
    /// air and 0 degC.
    /// ## Why it matters
    /// Frost insulates: less heat reaches the liquid, and the run is shorter than without it. Water that runs off
    /// freezes valves and regulators below.
    /// ## What to do
    /// Keep the runs short, use more cylinders or a water bath, and keep valves and wiring clear of the drip. Never
    /// thaw a cylinder with a flame, hot water or a heater that is not made for it.
    "TNK008", "cold-wall", Tank, [Notice], Published("alduchov1996"),
    levers ["tank.number" Up, "tank.water_bath" Up, "duties.target" Down]
}

fn check(s: &Solution<'_>, v: &mut Verdict) -> Option<()> {
    use crate::tank::heat_gain::Surface;
    let tank = solved::tank(s, v)?;
    let outcome = solved::outcome(tank, v)?;
    let Some(wall) = &outcome.wall else {
        v.not_checked("the temperature of the wall is outside the correlations");
        return None;
    };
    let humidity = s.rig.site.relative_humidity.filter(|_| {
        let tank = s.rig.supply.tank();
        tank.is_some_and(|t| t.water_bath.is_none())
    });
    let dew_k = humidity.map(|h| dew_point_k(s.rig.site.ambient.value, h.value.max(1e-6)));
    let frost_counted = s.rig.supply.tank().is_some_and(|t| t.frost.is_some());
    let (limit_k, advice) = match wall.surface {
        Surface::Dry => return None,
        Surface::Dew => (
            dew_k.unwrap_or(ZERO_CELSIUS_K),
            "Keep valves and wiring clear of the water.",
        ),
        Surface::Frost => (
            dew_k.map_or(ZERO_CELSIUS_K, |dew_k| dew_k.min(ZERO_CELSIUS_K)),
            if frost_counted {
                "Use more cylinders or a water bath to keep the wall clear: the frost of the file is counted. Never thaw a cylinder with a flame or hot water"
            } else {
                "Run it again with `frost_thickness`, or use more cylinders or a water bath. Never thaw a cylinder with a flame or hot water"
            },
        ),
    };
    let mut found = v.advice(advice);
    if wall.surface == Surface::Dew {
        found = found.says("The tank wall falls to {measured}, below the dew point of {limit}: water runs off it onto what is below.");
    }
    let limit = Limit::at_least(Kind::Temperature, limit_k);
    found.find("tank", (Kind::Temperature, wall.wall.value), limit);
    Some(())
}
