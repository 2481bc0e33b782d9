//! A tank warmer than labels allow.

use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## Finding
    /// {It} is at {measured}; cylinder labels commonly allow {limit}, and above that the relief valve may open at any
    /// time.
    /// ## What it checks
    /// Temperature of the tank at the start, of its water bath and of the hottest day, 20 K more where it stands in the
    /// sun (common practice, no source), against 50 degC.
    /// ## Why it matters
    /// Cylinders and their relief valves are made for a range of temperatures; 50 degC is what their labels commonly
    /// give. Above it the relief valve may open at any time.
    /// ## What to do
    /// Shade the tank, and hold a water bath below 40 degC with a thermostat that fails cold.
    "TNK009", "tank-too-warm", Tank, [Warning], Choice("what the labels of cylinders commonly give, no source"),
    levers ["tank.water_bath" Down]
}

/// 50 °C.
const WARMEST_K: f64 = 323.15;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(tank) = s.rig.supply.tank() else {
        v.not_checked("the fuel comes from a main");
        return;
    };
    let sun = if tank.in_sun == Some(true) {
        "The tank reaches {measured} in the sun on the hottest day; "
    } else {
        "The tank reaches {measured} on the hottest day; "
    };
    let temperatures = [
        (
            "tank.temperature",
            tank.temperature,
            "Let the tank cool down in the shade first",
            "The tank starts at {measured}; ",
        ),
        (
            "tank.water_bath",
            tank.water_bath,
            "Hold the bath at 40 degC or less, by a thermostat that fails cold",
            "The water bath of the tank is at {measured}; ",
        ),
        ("site.hottest", s.rig.hottest_tank(), "Shade the tank", sun),
    ];
    for (at, t, advice, begins) in temperatures {
        if let Some(t) = t
            && t.value > WARMEST_K
        {
            let says = format!(
                "{begins}cylinder labels commonly allow {{limit}}, and above that the relief valve may open at any time."
            );
            v.advice(advice).says(says).find(
                at,
                (Kind::Temperature, t.value),
                Limit::at_most(Kind::Temperature, WARMEST_K),
            );
        }
    }
}
