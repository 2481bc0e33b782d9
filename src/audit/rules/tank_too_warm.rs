//! A tank warmer than labels allow.

use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## What it checks
    /// Temperature of the tank at the start, of its water bath and of the hottest day, 20 K more where it stands in the
    /// sun (common practice, no source), against 50 degC.
    /// ## Why it matters
    /// Cylinders and their reliefs are made for a range of temperatures; 50 degC is what their labels
    /// commonly give. Above it the relief may open at any time.
    /// ## What to do
    /// Shade the tank, and hold a water bath below 40 degC with a thermostat that fails cold.
    "TNK009", "tank-too-warm", Tank, [Warning], Choice("what the labels of cylinders commonly give, no source")
}

/// 50 °C.
const WARMEST_K: f64 = 323.15;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(tank) = s.rig.supply.tank() else {
        v.not_checked("the fuel comes from a main");
        return;
    };
    let temperatures = [
        (
            "tank.temperature",
            tank.temperature,
            "let the tank cool down in the shade first",
        ),
        (
            "tank.water_bath",
            tank.water_bath,
            "hold the bath at 40 degC or less, by a thermostat that fails cold",
        ),
        ("site.hottest", s.rig.hottest_tank(), "shade the tank"),
    ];
    for (at, t, advice) in temperatures {
        if let Some(t) = t
            && t.value > WARMEST_K
        {
            v.advice(advice).find(
                at,
                (
                    Kind::Temperature,
                    t.value,
                    if at == "site.hottest" && tank.in_sun == Some(true) {
                        format!("{} in the sun", s.show(Kind::Temperature, t.value))
                    } else {
                        s.show(Kind::Temperature, t.value)
                    },
                ),
                Limit::at_most(Kind::Temperature, WARMEST_K),
            );
        }
    }
}
