//! Fuel behind the last shut-off valve that burns on after it has closed.

use super::{solved, train_parts};
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::quantity::{Kind, Time, seconds};
use crate::train::ShutOff;

rule! {
    /// ## Finding
    /// Fuel behind {it} burns on for {measured} after it closes, over {limit}: nobody controls that flame.
    /// ## What it checks
    /// How long the fuel behind the last shut-off valve before each of the holes feeds the flame after that valve has
    /// closed: from the largest flow, with what lines, ring or bar hold, against `burner.burn_on_limit`, or 3 s
    /// without it (common practice, no source). A throttle is not a shut-off. Where liquid does not boil away: the
    /// heat of all that hangs in the line against 100 kJ, and, where `burner.burn_on_limit` is given, the time that
    /// it lasts at the smallest duty against that. Beyond three times the limit it is a WARNING.
    /// ## Why it matters
    /// A flame that burns on after the stop is a fire that nobody controls. Fuel that runs out unlit fills the duct
    /// for the next start.
    /// ## What to do
    /// Move the last shut-off valve close to the burner, or shorten and narrow the line behind it.
    "LEK020", "fuel-behind-last-valve", Leak, [Warning, Caution], Choice("a few seconds of flame after the stop; common practice, no source"),
    levers ["train.length" Down, "tube.bore" Down, "hose.bore" Down, "injector.tube_bore" Down]
}

const MOST_J: f64 = 1e5;
/// From this many limits on it is a WARNING.
const GRAVE: f64 = 3.0;

fn check(s: &Solution<'_>, v: &mut Verdict) -> Option<()> {
    train_parts(s, v)?;
    let plan = solved::train(s, v)?;
    if plan.shut_offs.iter().flatten().next().is_none() {
        let parts = s.rig.train.parts();
        let failed = plan.shut_offs.iter().find_map(|x| x.as_ref().err());
        v.not_checked(match failed {
            Some(why) => format!(
                "the fuel behind the last valve cannot be computed: {}",
                s.why(why)
            ),
            None if parts.iter().any(|p| p.shuts_without_power()) => {
                "the train does not feed any duty, so the fuel behind the last valve is not known"
                    .to_owned()
            }
            None => "the train has no valve that closes without power".to_owned(),
        });
        return None;
    }
    let mut told: Vec<&str> = Vec::new();
    for way in solved::ways(s) {
        let last = way.iter().rev().find_map(|part| {
            let mut behind = plan.shut_offs.iter().flatten();
            behind.find(|x| x.valve == part.name)
        });
        if let Some(last) = last.filter(|x| !told.contains(&x.valve.as_str())) {
            told.push(&last.valve);
            find(s, v, last);
        }
    }
    Some(())
}

fn find(s: &Solution<'_>, v: &mut Verdict, last: &ShutOff) {
    let longest = s.rig.burner.longest_burn_on();
    let stated = s.rig.burner.burn_on_limit.is_some();
    let of_time = |t: Time, says: String| {
        let source = if stated {
            Source::given("burner.burn_on_limit")
        } else {
            Source::Choice("a few seconds of flame after the stop; common practice, no source")
        };
        (
            t.value / longest.value,
            Measured::Quantity(Kind::Time, t.value),
            Limit::at_most(Kind::Time, longest.value),
            source,
            says,
        )
    };
    let (share, measured, limit, source, says) = if let Some(life) = last.flame_life {
        of_time(life, v.rule.says())
    } else {
        let of_heat = (
            last.energy.value / MOST_J,
            Measured::Quantity(Kind::Energy, last.energy.value),
            Limit::at_most(Kind::Energy, MOST_J),
            Source::Choice(
                "100 kJ of liquid that may drip on after the stop; our choice, no source",
            ),
            "Behind {it} hangs liquid fuel of {measured}, over {limit}: it drips on after the stop."
                .to_owned(),
        );
        let drips = least_flow(s).filter(|_| stated).map(|flow| {
            let t = seconds(last.fuel.value / flow);
            of_time(
                t,
                "Fuel behind {it} feeds the smallest duty for {measured} after it closes, over {limit}: it drips on after the stop."
                    .to_owned(),
            )
        });
        match drips {
            Some(time) if time.0 > of_heat.0 => time,
            _ => of_heat,
        }
    };
    if share <= super::ROUNDING {
        return;
    }
    v.signal(if share > GRAVE {
        Signal::Warning
    } else {
        Signal::Caution
    })
    .says(says)
    .source(source)
    .find(solved::part_path(&last.valve), measured, limit);
}

/// Fuel flow of the smallest duty, kg/s.
fn least_flow(s: &Solution<'_>) -> Option<f64> {
    let demands = s.duties.iter().filter_map(|d| d.demand.as_ref().ok());
    let flows = demands.map(|d| d.fuel.value).filter(|flow| *flow > 0.0);
    flows.reduce(f64::min)
}
