//! The heavy rest of a blend that does not boil any more where the rig stands.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## Finding
    /// At {measured} the tank stops feeding the duty before it is empty: the heavy rest of the blend needs {limit}.
    /// ## What it checks
    /// Of a blend drawn as vapour: the coldest nearly empty tank (a twentieth of its liquid left) that
    /// still feeds each duty, against the temperature of the site.
    /// ## Why it matters
    /// The light part boils off first. What is left has a lower pressure, so a tank that starts well
    /// stops long before it is empty, and refilling on top of the rest makes it worse each time.
    /// ## What to do
    /// Count only part of the charge as usable, or draw liquid. Or use a fuel with more propane, if tank and parts are
    /// rated for it; have the rest emptied by the supplier before the tank is filled again.
    "SUP003", "unusable-rest-of-blend", Supply, [Notice], Unconfirmed("rayleigh1902"),
    levers ["tank.water_bath" Up]
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(tank) = solved::tank(s, v) else {
        return;
    };
    if s.fluid.composition().parts().len() < 2 {
        return;
    }
    let site = s
        .rig
        .supply
        .tank()
        .and_then(|t| t.water_bath)
        .unwrap_or(s.rig.site.ambient);
    let mut worst: Option<(&str, f64)> = None;
    for duty in &tank.duties {
        match (&duty.coldest, &duty.coldest_nearly_empty) {
            (Ok(full), Ok(rest))
                if full.value <= site.value
                    && rest.value > site.value
                    && worst.is_none_or(|w| rest.value > w.1) =>
            {
                worst = Some((&duty.name, rest.value));
            }
            (Err(why), _) | (_, Err(why)) => v.not_checked(format!("{}: {why}", duty.name)),
            _ => {}
        }
    }
    if let Some((name, needed_k)) = worst {
        let says = format!(
            "At {{measured}} the tank stops feeding duty {name} before it is empty: the last twentieth of the liquid has to be at {{limit}}."
        );
        v.says(says).find(
            "fuel.composition",
            (Kind::Temperature, site.value),
            Limit::at_least(Kind::Temperature, needed_k),
        );
    }
}
