//! A tank filled beyond its limit.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::quantity::Kind;
use crate::tank::filling_check::FillingLimit;

rule! {
    /// ## What it checks
    /// Mass in the tank against the usual limits: liquid on 80 % of the volume at 15 degC, and the
    /// table of filling densities by specific gravity where the fuel is in it. The lower one counts.
    /// ## Why it matters
    /// Liquid grows by a sixth from a cold night to a hot day. Without room for it the tank is
    /// liquid-full, its relief throws liquid, or its wall gives.
    /// ## What to do
    /// Take fuel out, by somebody with the equipment for it, before it warms up. The code in force sets
    /// the limit; transport rules go by weight.
    Overfilled, "TNK002", "overfilled-tank", Tank
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(tank) = solved::tank(s, v) else {
        return;
    };
    let filling = &tank.filling;
    let Some((limit, from)) = filling.limit() else {
        v.not_checked(match &filling.limit_by_volume {
            Err(why) => format!("there is no limit for this fuel: {why}"),
            Ok(_) => "there is no limit for this fuel".to_owned(),
        });
        return;
    };
    if filling.mass.value > limit.value {
        v.find(
            Signal::Warning,
            "tank",
            Measured::Quantity(Kind::Mass, filling.mass.value),
            Limit::AtMost(Measured::Quantity(Kind::Mass, limit.value)),
            match from {
                FillingLimit::ByVolume => Source::Choice(
                    "80 % of the volume at 15 degC is common practice; the code in force decides",
                ),
                FillingLimit::ByWeight => Source::Published("wac296307"),
            },
            "have fuel taken out before it warms up",
        );
    }
}
