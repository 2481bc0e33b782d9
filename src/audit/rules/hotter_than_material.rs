//! Gas hotter than what it touches stands.

use super::duty_path;
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::quantity::Kind;
use crate::quantity::sentence::interval;

rule! {
    /// ## What it checks
    /// Exit temperature of every duty, less what the walls are said to take, against every temperature
    /// limit of the rig; a margin of less than 50 K is only a caution. Where no valve sets the flow, the
    /// hotter of two exits counts: with the fuel that the duty wants, and with what the train gives.
    /// ## Why it matters
    /// Metal that is too hot creeps, scales and burns through, and then the fire is outside.
    /// ## What to do
    /// Less fuel, more air, or another material. The wall is cooler than the gas where it is cooled, and
    /// hotter than the mean where the flame licks it: measure it.
    HotterThanMaterial, "FLM003", "no-margin-to-material-limit", Flame
}

const MARGIN_K: f64 = 50.0;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if s.rig.limits.is_empty() {
        v.not_checked("the rig file gives no temperature limits");
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
        let exit = hotter.temperature.value;
        for (i, limit) in s.rig.limits.iter().enumerate() {
            let over_k = exit - limit.max_temperature.value;
            if over_k <= -MARGIN_K {
                continue;
            }
            let (signal, most_k, margin) = if over_k > 0.0 {
                (Signal::Warning, limit.max_temperature.value, String::new())
            } else {
                let most_k = limit.max_temperature.value - MARGIN_K;
                let margin = interval(MARGIN_K).fixed("K", 1.0, 0).show(s.units);
                (
                    Signal::Caution,
                    most_k,
                    format!(", {margin} below its limit"),
                )
            };
            v.find(
                signal,
                duty_path(&duty.name),
                match hotter.as_fed {
                    None => Measured::Quantity(Kind::Temperature, exit),
                    Some(fuel) => Measured::Worded(
                        Kind::Temperature,
                        exit,
                        format!(
                            "{} with the {} that the train gives",
                            s.show(Kind::Temperature, exit),
                            s.show(Kind::MassRate, fuel.value)
                        ),
                    ),
                },
                Limit::AtMost(Measured::Worded(
                    Kind::Temperature,
                    most_k,
                    format!(
                        "{} for the {} of {}{margin}",
                        s.show(Kind::Temperature, most_k),
                        limit.place,
                        limit.material
                    ),
                )),
                Source::Input(format!("limits.{i}.max_temperature")),
                "less fuel, more air, or another material; measure the wall",
            );
        }
    }
}
