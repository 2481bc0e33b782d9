//! A duty that needs more pressure before the holes than the supply is set to.

use super::{ROUNDING, duty_path, injections};
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Source, Verdict};
use crate::quantity::{AbsolutePressure, Kind, pascals_absolute};
use crate::train::rig::Supply;
use crate::train::{Part, PartKind};

rule! {
    /// ## What it checks
    /// Pressure that each duty needs before the holes, against the set pressure of the last regulator,
    /// or that of the pump, the main or the tank where there is no regulator. Losses between them come on top.
    /// ## Why it matters
    /// A duty that needs more than the regulator is set to cannot be reached with any valve open.
    /// ## What to do
    /// Raise the pressure that the finding names within the ratings of what follows it, or use more or larger holes.
    "SUP001", "supply-below-need", Supply, [Notice], given("set_pressure")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if let Some(why) = s.no_vapour() {
        v.not_checked(why);
        return;
    }
    let Some((what, at, available, advice)) = available(s, v) else {
        return;
    };
    for (name, injection) in injections(s, v) {
        let needed_pa = injection.at_need.supply.pressure_pa;
        if needed_pa > available.pascals() * ROUNDING {
            v.source(Source::Input(at.clone().into()))
                .advice(advice)
                .find(
                    duty_path(name),
                    (
                        Kind::AbsolutePressure,
                        pascals_absolute(needed_pa).pascals(),
                        format!("{} needed", s.gauge(pascals_absolute(needed_pa))),
                    ),
                    Limit::AtMost(s.gauged(available, |x| format!("{x} {what}"))),
                );
        }
    }
}

fn available(
    s: &Solution<'_>,
    v: &mut Verdict,
) -> Option<(&'static str, String, AbsolutePressure, &'static str)> {
    if let Some((part, set)) = s.last_set_pressure() {
        let at = format!("train.{}.set_pressure", part.name);
        let advice = "raise the set pressure within the ratings of what follows it, or use more or larger holes";
        return Some(("set at the regulator", at, set, advice));
    }
    let pumped = |p: &&Part| p.is_pump();
    if let Some(pump) = s.main_parts().into_iter().rev().find(pumped) {
        let PartKind::Pump(law) = &pump.kind else {
            return None;
        };
        let at = format!("train.{}", pump.name);
        let outlet = law.against_closed(s.rig.site.air_pressure);
        let advice =
            "a higher pump pressure within the ratings of what follows it, or more or larger holes";
        return Some(("behind the pump", at, outlet, advice));
    }
    match &s.rig.supply {
        Supply::Mains(mains) => Some((
            "in the main",
            "mains.pressure".to_owned(),
            mains.pressure,
            "more or larger holes: the main gives no more",
        )),
        Supply::Tank(tank) => {
            if let Some(pad) = s.pad() {
                let advice =
                    "more or larger holes, or more gas pressure if tank and parts are rated for it";
                return Some(("in the tank", "tank.pressure".to_owned(), pad, advice));
            }
            if let Some(why) = s.no_pad() {
                v.not_checked(why);
                return None;
            }
            let t = tank.temperature.unwrap_or(s.rig.site.ambient);
            match s.fluid.bubble_t(t.value) {
                Ok(e) => Some((
                    "in the tank",
                    "tank.temperature".to_owned(),
                    pascals_absolute(e.pressure_pa),
                    "more or larger holes, or a warmer place for the tank",
                )),
                Err(error) => {
                    v.not_checked(format!(
                        "there is no regulator, and the tank's pressure at {} is not known: {}",
                        s.show(Kind::Temperature, t.value),
                        s.why(&error)
                    ));
                    None
                }
            }
        }
    }
}
