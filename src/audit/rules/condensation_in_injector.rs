//! Fuel vapour close to its dew point before the holes.

use super::{duty_path, injections};
use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Source, Verdict};
use crate::combustion::flame::fuel_feed::usual_phase;
use crate::fuel::{Composition, FedAs};
use crate::injector::size::InjectorResult;
use crate::quantity::Kind;

rule! {
    /// ## Finding
    /// At {it} the fuel is {measured} above its dew point, under {limit}: a cool ring condenses it, and drops pass the
    /// holes.
    /// ## What it checks
    /// How far the fuel before the holes is above its dew point, at the pressure each duty needs, against 5 K; and
    /// whether it is wet already.
    /// ## Why it matters
    /// A cool ring or line condenses vapour that is close to its dew point. Drops pass a hole as slugs
    /// of heat: a drop holds some 250 times the fuel of the vapour it displaces.
    /// ## What to do
    /// Lower the pressure before the holes, warm the fuel, or draw a lighter blend.
    "INJ003", "condensation-in-injector", Injector, [Warning, Caution],
    Choice("a liquid passes many times the fuel of its vapour"),
    levers ["regulator.set_pressure" Down]
}

pub(crate) const LEAST_K: f64 = 5.0;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    // a burner on liquid has nothing that condenses
    if !s.wants_vapour() {
        return;
    }
    for (name, injection) in injections(s, v) {
        judge(
            &duty_path(name),
            &injection.at_need,
            &s.rig.fuel.composition,
            v.rule.signals[0],
            v,
        );
    }
}

/// Holds fuel before holes for vapour against its dew point; liquid there has the signal word given.
pub(super) fn judge(
    at: &str,
    holes: &InjectorResult,
    fuel: &Composition,
    liquid: Signal,
    v: &mut Verdict,
) {
    let advice = if usual_phase(fuel) == FedAs::Liquid {
        "Lower the pressure before the holes, or heat the vapour further"
    } else {
        "Lower the pressure before the holes, warm the fuel, or use a lighter blend"
    };
    if holes.subcooling.is_some() {
        let limit = Limit::Should("vapour, as the supply gives it");
        let says = "At {it} liquid reaches holes made for vapour: it carries many times the fuel of its vapour.";
        return (v.signal(liquid).advice(advice).says(says)).find(at, "all liquid", limit);
    }
    let wet = holes.supply.vapour_mass_fraction < 1.0;
    let superheat_k = match holes.superheat {
        _ if wet => 0.0,
        Some(superheat) => superheat.value,
        // above the critical pressure there is no dew point
        None => return,
    };
    if wet || superheat_k < LEAST_K {
        let says = if wet {
            "At {it} the fuel is wet, {measured} above its dew point against {limit}: each drop carries some 250 times the fuel of the vapour it displaces."
                .to_owned()
        } else {
            v.rule.says()
        };
        v.signal(if wet { liquid } else { Signal::Caution })
            .says(says)
            .source(Source::Choice(
                "what a draught takes from a ring in a cold shop",
            ))
            .advice(advice)
            .find(
                at,
                (Kind::TemperatureDifference, superheat_k),
                Limit::at_least(Kind::TemperatureDifference, LEAST_K),
            );
    }
}
