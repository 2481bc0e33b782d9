//! Gas hotter than what it touches stands.

use super::duty_path;
use crate::audit::rule::rule;
use crate::audit::{DutySolution, Limit, Signal, Solution, Source, Verdict};
use crate::quantity::Kind;
use crate::quantity::sentence::interval;
use crate::train::rig::{HeatLimit, Sees};

rule! {
    /// ## Finding
    /// At {it} the gas is at {measured} and the wall stands {limit}: it creeps, scales and burns through.
    /// ## What it checks
    /// Gas at every place with a temperature limit, less what the walls are said to take; a margin of less than 50 K is
    /// only a caution. `sees` says which gas that is: the one that leaves, or that of the primary zone for a wall round
    /// the flame. Left out, the name of the place may tell it; one that does not is not checked, as below. Where no
    /// valve sets the flow, the hotter of two exits counts: with the fuel that the duty wants, and with what the train
    /// gives. A wall in gas hotter than it stands lives by its cooling, which is not computed here: it is not checked,
    /// unless even the gas that leaves is too hot for it.
    /// ## Why it matters
    /// Metal that is too hot creeps, scales and burns through, and then the fire is outside.
    /// ## What to do
    /// Burn less fuel, give more air, or use another material. Measure a wall round the flame at the largest duty, by a
    /// thermocouple on it or paint that changes colour.
    "FLM003", "no-margin-to-material-limit", Flame, [Warning, Caution], given("max_temperature"),
    levers ["duties.target" Either, "duties.throttle" Up, "duties.air_flow" Up]
}

const MARGIN_K: f64 = 50.0;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if s.rig.limits.is_empty() {
        v.not_checked("the rig file does not give temperature limits");
        return;
    }
    for duty in &s.duties {
        if let Err(why) = &duty.exit {
            v.not_checked(format!("the flame of {} is not known: {why}", duty.name));
        }
        if let Some(Err(why)) = s.as_fed(duty).map(|fed| fed.exit) {
            v.not_checked(format!(
                "the flame of {} with the fuel that the train gives is not known: {why}",
                duty.name
            ));
        }
        let Some(hotter) = s.hotter_exit(duty) else {
            continue;
        };
        let exit = Gas {
            k: hotter.temperature.value,
            words: match hotter.as_fed {
                None => "at the exit".to_owned(),
                Some(fuel) => format!(
                    "at the exit with the {} that the train gives",
                    s.show(Kind::MassRate, fuel.value)
                ),
            },
        };
        for (i, limit) in s.rig.limits.iter().enumerate() {
            let zone = duty
                .primary
                .as_ref()
                .filter(|_| limit.sees != Some(Sees::Exit));
            match zone {
                Some(Ok(zone)) if zone.temperature.value <= limit.max_temperature.value => {
                    let zone = Gas {
                        k: zone.temperature.value,
                        words: "in the primary zone".to_owned(),
                    };
                    held(s, v, duty, i, if zone.k > exit.k { &zone } else { &exit });
                }
                _ => held(s, v, duty, i, &exit),
            }
        }
    }
    for limit in &s.rig.limits {
        wall(s, v, limit);
    }
}

/// Gas at a place.
struct Gas {
    k: f64,
    words: String,
}

/// Holds the gas at a place in a duty against the limit there.
fn held(s: &Solution<'_>, v: &mut Verdict, duty: &DutySolution, i: usize, gas: &Gas) {
    let limit = &s.rig.limits[i];
    let over_k = gas.k - limit.max_temperature.value;
    if over_k <= -MARGIN_K {
        return;
    }
    let place = format!("the {} of {}", limit.place, limit.material);
    let (signal, most_k, says) = if over_k > 0.0 {
        let says = format!(
            "At {{it}} the gas {} is at {{measured}} and {place} stands {{limit}}: it burns through.",
            gas.words
        );
        (Signal::Warning, limit.max_temperature.value, says)
    } else {
        let margin = interval(MARGIN_K).fixed("K", 1.0, 0).show(s.units);
        let says = format!(
            "At {{it}} the gas {} is at {{measured}}, above {{limit}}: less than {margin} is left to what {place} stands.",
            gas.words
        );
        (
            Signal::Caution,
            limit.max_temperature.value - MARGIN_K,
            says,
        )
    };
    v.signal(signal)
        .source(Source::Input(format!("limits.{i}.max_temperature").into()))
        .says(says)
        .find(
            duty_path(&duty.name),
            (Kind::Temperature, gas.k),
            Limit::at_most(Kind::Temperature, most_k),
        );
}

/// Says what is not known of a wall round the flame, or of a place that may be one.
fn wall(s: &Solution<'_>, v: &mut Verdict, limit: &HeatLimit) {
    let exits = s.duties.iter().filter_map(|d| s.hotter_exit(d));
    let most_k = limit.max_temperature.value;
    if limit.sees == Some(Sees::Exit) || exits.into_iter().any(|e| e.temperature.value > most_k) {
        return;
    }
    let place = format!("{} of {}", limit.place, limit.material);
    match s.hottest_zone() {
        Some((_, zone)) if zone.value <= most_k => {}
        _ if limit.sees.is_none() => v.not_checked(format!("{place}: say which gas touches it, by `sees`")),
        None => v.not_checked(format!(
            "{place}: the gas at it is not known without `primary_air_share`; measure the wall at the largest duty"
        )),
        Some((duty, zone)) => v.not_checked(format!(
            "{place}: in gas of {} (duty {}) it lives by its cooling, which is not computed; measure the wall at the largest duty",
            s.show(Kind::Temperature, zone.value),
            duty.name
        )),
    }
}
