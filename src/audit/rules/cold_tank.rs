//! A tank that on the coldest day has too little pressure for a duty.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## What it checks
    /// Temperature of the coldest day, or of the water bath, against the coldest tank that still feeds
    /// each duty through the whole train: regulator minimum, losses, holes.
    /// ## Why it matters
    /// Vapour pressure falls with temperature. Below the need the flame gets leaner and goes out, and a
    /// regulator below its minimum inlet no longer regulates.
    /// ## What to do
    /// Keep the tank warmer (shelter, a water bath below 40 degC, never a flame), use a larger one or two side by
    /// side, shorten the run, or draw liquid and vaporise it. Where it would have to be warmer than 40 degC: lose
    /// less pressure on the way, or use larger holes.
    "SUP002", "cold-tank-starves-duty", Supply, [Notice],
    Choice("temperature at which the solved train just feeds the duty, at rest; a draw chills the tank below it")
}

/// What a tank may be warmed to, as the rule on warm tanks has it: 40 °C.
const WARMEST_K: f64 = 313.15;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(tank) = solved::tank(s, v) else {
        return;
    };
    let bath = s.rig.supply.tank().and_then(|t| t.water_bath);
    let Some(cold) = bath.or(s.rig.site.coldest) else {
        v.not_checked("the site gives no `coldest` temperature");
        return;
    };
    let mut starved: Vec<(&str, f64, &str)> = Vec::new();
    for duty in &tank.duties {
        match (&duty.coldest, &duty.lowest) {
            (Ok(t), Ok(lowest)) if t.value > cold.value => {
                starved.push((&duty.name, t.value, &lowest.limited_by));
            }
            (Ok(_), _) => {}
            (Err(why), _) => v.not_checked(format!("{}: {why}", duty.name)),
        }
    }
    let worst = starved.iter().max_by(|a, b| a.1.total_cmp(&b.1));
    if let Some((_, needed_k, limited_by)) = worst {
        let names: Vec<&str> = starved.iter().map(|d| d.0).collect();
        v.advice(if *needed_k > WARMEST_K {
                "wider parts or larger holes, so that less pressure will do: no tank may be made so warm"
            } else {
                "a warmer place for the tank, a larger one or two side by side, or shorter runs; never heat it with a flame"
            }).find("site.coldest", s.worded(Kind::Temperature, cold.value, |x| format!("{x}, too cold for {}", names.join(", "))), Limit::AtLeast(s.worded(Kind::Temperature, *needed_k, |x| format!("{x}, for `{limited_by}`"))));
    }
}
