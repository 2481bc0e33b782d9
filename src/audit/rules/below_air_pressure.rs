//! A tank that falls below the pressure of the air.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::quantity::pascals_absolute;

rule! {
    /// ## Finding
    /// {It} falls to {measured}; below {limit} leaks and open valves draw air into the train.
    /// ## What it checks
    /// Lowest pressure of the tank, at the start and during the run plan, against that of the air.
    /// ## Why it matters
    /// A tank below the pressure of the air draws air in through every leak and every valve left open: then fuel and
    /// air stand inside the train.
    /// ## What to do
    /// Stop the run before that, keep the tank warmer, or use a fuel of higher vapour pressure. Purge the train before
    /// it is lit again.
    "TNK010", "tank-below-air-pressure", Tank, [Warning],
    Choice("air gets in where the pressure is below that of the air"),
    levers ["tank.water_bath" Up]
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(tank) = solved::tank(s, v) else {
        return;
    };
    let start = match &tank.start {
        Ok(contents) => contents.pressure.pascals(),
        Err(why) => {
            v.not_checked(why.as_str());
            return;
        }
    };
    let rows = tank.run.iter().flat_map(|o| &o.run.rows);
    let lowest = rows
        .map(|r| r.contents.pressure.pascals())
        .fold(start, f64::min);
    let air = s.rig.site.air_pressure;
    if lowest < air.pascals() {
        v.find(
            "tank",
            s.pressure(pascals_absolute(lowest)),
            Limit::AtLeast(s.pressure(air)),
        );
    }
}
