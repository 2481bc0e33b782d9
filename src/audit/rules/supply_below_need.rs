//! A duty that needs more pressure before the holes than the supply is set to.

use super::{ROUNDING, duty_path, injections};
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
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
    /// Raise the set pressure within the ratings of what follows it, or use more or larger holes.
    SupplyBelowNeed, "SUP001", "supply-below-need", Supply
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some((what, at, available)) = available(s, v) else {
        return;
    };
    for (name, injection) in injections(s, v) {
        let needed_pa = injection.at_need.supply.pressure_pa;
        if needed_pa > available.pascals() * ROUNDING {
            v.find(
                Signal::Notice,
                duty_path(name),
                Measured::Worded(Kind::AbsolutePressure, pascals_absolute(needed_pa).pascals(), format!("{} needed", s.gauge(pascals_absolute(needed_pa)))),
                Limit::AtMost(Measured::Worded(Kind::AbsolutePressure, available.pascals(), format!("{} {what}", s.gauge(available)))),
                Source::Input(at.clone()),
                "raise the set pressure within the ratings of what follows it, or use more or larger holes",
            );
        }
    }
}

fn available(
    s: &Solution<'_>,
    v: &mut Verdict,
) -> Option<(&'static str, String, AbsolutePressure)> {
    if let Some((part, set)) = s.last_set_pressure() {
        let at = format!("train.{}.set_pressure", part.name);
        return Some(("set at the regulator", at, set));
    }
    let pumped = |p: &&Part| matches!(p.kind, PartKind::Pump(_));
    if let Some(pump) = s.main_parts().into_iter().rev().find(pumped) {
        let PartKind::Pump(law) = &pump.kind else {
            return None;
        };
        let at = format!("train.{}", pump.name);
        let outlet = law.against_closed(s.rig.site.air_pressure);
        return Some(("behind the pump", at, outlet));
    }
    match &s.rig.supply {
        Supply::Mains(mains) => Some(("in the main", "mains.pressure".to_owned(), mains.pressure)),
        Supply::Tank(tank) => {
            if let Some(pad) = s.pad() {
                return Some(("in the tank", "tank.pressure".to_owned(), pad));
            }
            let t = tank.temperature.unwrap_or(s.rig.site.ambient);
            match s.fluid.bubble_t(t.value) {
                Ok(e) => Some((
                    "in the tank",
                    "tank.temperature".to_owned(),
                    pascals_absolute(e.pressure_pa),
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
