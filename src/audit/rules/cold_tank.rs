//! A tank that on the coldest day has too little pressure for a duty.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## Finding
    /// On the coldest day, at {measured}, the tank cannot feed the duty: it would have to stand at {limit} or more.
    /// ## What it checks
    /// Temperature of the coldest day, or of the water bath, against the coldest tank that still feeds each duty
    /// through the whole train: minimum inlet of the regulator, losses, holes.
    /// ## Why it matters
    /// Vapour pressure falls with temperature. With too little of it the flame leans out and goes out, and a regulator
    /// below its minimum inlet does not regulate.
    /// ## What to do
    /// Keep the tank warmer (shelter, a water bath below 40 degC, never a flame), use a larger one or two side by side,
    /// shorten the run, or draw liquid and vaporise it. Where it would have to be warmer than 40 degC: lose less
    /// pressure on the way, or use larger holes.
    "SUP002", "cold-tank-starves-duty", Supply, [Notice],
    Choice("temperature at which the solved train just feeds the duty, at rest; a draw chills the tank below it"),
    levers ["tank.water_bath" Up, "tank.number" Up, "regulator.set_pressure" Down]
}

/// What a tank may be warmed to, as the rule on warm tanks has it: 40 °C.
const WARMEST_K: f64 = 313.15;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(tank) = solved::tank(s, v) else {
        return;
    };
    let bath = s.rig.supply.tank().and_then(|t| t.water_bath);
    let Some(cold) = bath.or(s.rig.site.coldest) else {
        v.not_checked("the rig file does not give `site.coldest`");
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
        let needed = s.show(Kind::Temperature, *needed_k);
        let advice = if *needed_k > WARMEST_K {
            "Use wider parts or larger holes, so that less pressure will do. No tank may be made so warm"
                .to_owned()
        } else {
            format!(
                "Keep the tank above {needed}, use a larger one, or shorten the runs. Never heat it with a flame"
            )
        };
        let when = match bath {
            Some(_) => "In its water bath at {measured}",
            None => "At {measured} on the coldest day",
        };
        let says = format!(
            "{when} the tank cannot feed {}: `{limited_by}` needs the vapour pressure of {{limit}} or more.",
            solved::of_duties(&names)
        );
        v.advice(advice).says(says).find(
            "site.coldest",
            (Kind::Temperature, cold.value),
            Limit::at_least(Kind::Temperature, *needed_k),
        );
    }
}
