//! A duty that needs more pressure before the holes than the supply is set to.

use super::solved::enough_pressure;
use super::{ROUNDING, duty_path, injections};
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Source, Verdict};
use crate::quantity::{AbsolutePressure, Kind, pascals_absolute};
use crate::train::rig::Supply;
use crate::train::{Part, PartKind};

rule! {
    /// ## Finding
    /// {It} needs {measured} before the holes and the supply gives {limit}: no valve opening reaches the duty.
    /// ## What it checks
    /// Pressure that each duty needs before the holes, against the set pressure of the last regulator, or that of the
    /// pump, the main or the tank where there is no regulator. Losses between them come on top.
    /// ## Why it matters
    /// A duty that needs more than the supply is set to is not reached with any valve open.
    /// ## What to do
    /// Raise the pressure that the finding names, within the ratings of what follows it, or drill more or larger holes.
    "SUP001", "supply-below-need", Supply, [Notice], given("set_pressure"),
    levers ["regulator.set_pressure" Up, "pump.outlet_pressure" Up, "injector.hole_diameter" Up,
        "injector.holes" Up, "tank.water_bath" Up, "duties.target" Down]
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if let Some(why) = s.no_vapour() {
        v.not_checked(why);
        return;
    }
    let Some(gives) = available(s, v) else {
        return;
    };
    let needs = injections(s, v)
        .into_iter()
        .map(|(name, i)| (name, i.at_need.supply.pressure_pa));
    let least_pa = gives.pressure.pascals() * ROUNDING;
    let short: Vec<(&str, f64)> = needs.filter(|(_, pa)| *pa > least_pa).collect();
    let most_pa = short.iter().map(|(_, pa)| *pa).fold(0.0, f64::max);
    let advice = gives
        .advice
        .replace("{needed}", &enough_pressure(s, pascals_absolute(most_pa)));
    for (name, needed_pa) in short {
        let says = format!(
            "{{It}} needs {{measured}} before the holes and {} {{limit}}: no valve opening reaches the duty.",
            gives.what
        );
        v.source(Source::Input(gives.at.clone().into()))
            .advice(advice.as_str())
            .says(says)
            .find(
                duty_path(name),
                s.pressure(pascals_absolute(needed_pa)),
                Limit::AtMost(s.pressure(gives.pressure)),
            );
    }
}

/// What the supply gives before the holes at most.
struct Gives {
    /// In words: "the main gives".
    what: &'static str,
    at: String,
    pressure: AbsolutePressure,
    /// What to do, with `{needed}` for the most that a duty needs.
    advice: &'static str,
}

fn available(s: &Solution<'_>, v: &mut Verdict) -> Option<Gives> {
    let gives = |what, at, pressure, advice| {
        Some(Gives {
            what,
            at,
            pressure,
            advice,
        })
    };
    if let Some((part, set)) = s.last_set_pressure() {
        let at = format!("train.{}.set_pressure", part.name);
        let advice = "Drill more or larger holes, or set the regulator above {needed}. Keep within the ratings of what follows it";
        return gives("the regulator is set to", at, set, advice);
    }
    let pumped = |p: &&Part| p.is_pump();
    if let Some(pump) = s.main_parts().into_iter().rev().find(pumped) {
        let PartKind::Pump(law) = &pump.kind else {
            return None;
        };
        let at = format!("train.{}", pump.name);
        let outlet = law.against_closed(s.rig.site.air_pressure);
        let advice = "Fit more or larger holes, or pump to more than {needed}. Keep within the ratings of what follows";
        return gives("the pump gives", at, outlet, advice);
    }
    match &s.rig.supply {
        Supply::Mains(mains) => gives(
            "the main gives",
            "mains.pressure".to_owned(),
            mains.pressure,
            "Drill more or larger holes: the main gives no more",
        ),
        Supply::Tank(tank) => {
            if let Some(pad) = s.pad() {
                let advice = "Drill more or larger holes, or put more than {needed} on the tank. Tank and parts have to be rated for it";
                return gives(
                    "the tank stands at",
                    "tank.pressure".to_owned(),
                    pad,
                    advice,
                );
            }
            if let Some(why) = s.no_pad() {
                v.not_checked(why);
                return None;
            }
            let t = tank.temperature.unwrap_or(s.rig.site.ambient);
            match s.fluid.bubble_t(t.value) {
                Ok(e) => gives(
                    "the tank stands at",
                    "tank.temperature".to_owned(),
                    pascals_absolute(e.pressure_pa),
                    "Drill more or larger holes, or put the tank in a warmer place",
                ),
                Err(error) => {
                    v.not_checked(format!(
                        "the train has no regulator, and the tank's pressure at {} is not known: {}",
                        s.show(Kind::Temperature, t.value),
                        s.why(&error)
                    ));
                    None
                }
            }
        }
    }
}
