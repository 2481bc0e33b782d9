//! Fuel vapour close to its dew point before the holes.

use super::{duty_path, injections};
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::combustion::flame::fuel_feed::usual_phase;
use crate::fuel::FedAs;
use crate::quantity::Kind;

rule! {
    /// ## What it checks
    /// How far the fuel before the holes is above its dew point, at the pressure each duty needs,
    /// against 5 K; and whether it is wet already.
    /// ## Why it matters
    /// A cool ring or line condenses vapour that is close to its dew point. Drops pass a hole as slugs
    /// of heat: a drop holds some 250 times the fuel of the vapour it displaces.
    /// ## What to do
    /// Lower the pressure before the holes, warm the fuel, or draw a lighter blend.
    "INJ003", "condensation-in-injector", Injector, [Warning, Caution],
    Choice("a liquid passes many times the fuel of its vapour")
}

const LEAST_K: f64 = 5.0;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    // a burner on liquid has nothing that condenses
    if !s.wants_vapour() {
        return;
    }
    let advice = if usual_phase(&s.rig.fuel.composition) == FedAs::Liquid {
        "lower the pressure before the holes, or heat the vapour further"
    } else {
        "lower the pressure before the holes, warm the fuel, or use a lighter blend"
    };
    for (name, injection) in injections(s, v) {
        let at = &injection.at_need;
        if at.subcooling.is_some() {
            v.advice(advice).find(
                duty_path(name),
                Measured::Text("all liquid".to_owned()),
                Limit::Should("vapour, as the supply gives it"),
            );
            continue;
        }
        let wet = at.supply.vapour_mass_fraction < 1.0;
        let superheat_k = if wet {
            0.0
        } else {
            match at.superheat {
                Some(superheat) => superheat.value,
                // above the critical pressure there is no dew point
                None => continue,
            }
        };
        if wet || superheat_k < LEAST_K {
            v.signal(if wet {
                Signal::Warning
            } else {
                Signal::Caution
            })
            .source(Source::Choice(
                "what a draught takes from a ring in a cold shop",
            ))
            .advice(advice)
            .find(
                duty_path(name),
                (Kind::TemperatureDifference, superheat_k),
                Limit::at_least(Kind::TemperatureDifference, LEAST_K),
            );
        }
    }
}
