//! A tank filled beyond its limit.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::quantity::Kind;

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
    let by_volume = filling.limit_by_volume.as_ref();
    let limits = [
        (
            by_volume,
            Source::Choice(
                "80 % of the volume at 15 degC is common practice; the code in force decides",
            ),
        ),
        (
            filling.limit_by_weight.as_ref(),
            Source::Published("wac296307"),
        ),
    ];
    let lowest = limits
        .into_iter()
        .filter_map(|(limit, source)| Some((limit.ok()?.value, source)))
        .min_by(|a, b| a.0.total_cmp(&b.0));
    let Some((limit_kg, source)) = lowest else {
        v.not_checked(match by_volume {
            Err(why) => format!("there is no limit for this fuel: {why}"),
            Ok(_) => "there is no limit for this fuel".to_owned(),
        });
        return;
    };
    if filling.mass.value > limit_kg {
        v.find(
            Signal::Warning,
            "tank",
            Measured::Quantity(Kind::Mass, filling.mass.value),
            Limit::AtMost(Measured::Quantity(Kind::Mass, limit_kg)),
            source,
            "have fuel taken out before it warms up",
        );
    }
}
