//! Expansion that cools the fuel below the freezing point of water.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Verdict};
use crate::train::{CheckKind, Part};

rule! {
    /// ## Finding
    /// {It} cools the fuel to {measured}; below {limit} ice sticks its seat open or shut.
    /// ## What it checks
    /// Temperature of the fuel behind each regulator that cools it against 0 degC, expansion being at constant
    /// enthalpy: at each duty today, and at the largest and the smallest on the coldest day. That day alone, within
    /// what the regulator is made for, is a notice.
    /// ## Why it matters
    /// Water in the fuel freezes in the seat and holds it open or shut. Outside, frost blocks the vent over the
    /// diaphragm.
    /// ## What to do
    /// Let down in two stages, warm the fuel before the regulator, or keep it dry; keep the vent of the
    /// regulator down and under cover.
    "REG005", "regulator-icing", Regulator, [Caution, Notice],
    Choice("freezing point of water; a dry fuel does no harm"),
    levers ["regulator.set_pressure" Up, "tank.water_bath" Up]
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(plan) = solved::train(s, v) else {
        return;
    };
    let regulator = |p: &&&Part| p.is_regulator();
    let stages = s.main_parts().iter().filter(regulator).count();
    let today = solved::remarked(plan, &[CheckKind::BelowFreezing]);
    for found in solved::remarked_when_cold(s, plan, CheckKind::BelowFreezing, v) {
        if found.check.is_regulator(&s.rig.train) {
            // what the coldest day alone brings, within what the regulator is made for, is for the eyes
            let is_today = today.iter().any(|t| t.check.at == found.check.at);
            let least = (s.rig.train.part(&found.check.at)).and_then(|p| p.rating.min_temperature);
            let passed = least.is_some_and(|t| found.check.measured < t.value);
            v.signal(if is_today || passed {
                    Signal::Caution
                } else {
                    Signal::Notice
                }).advice(if stages > 1 {
                "Warm the fuel before it or keep it dry. Keep its vent down and under cover"
            } else {
                "Let down in two stages, or warm the fuel before it. Keep its vent down and under cover"
            }).find(found.at(), found.measured(s), Limit::AtLeast(found.limit(s)));
            v.because("expansion cools it");
        }
    }
}
