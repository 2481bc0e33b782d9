//! A push-on hose or quick coupling under more pressure than it is for.

use super::train_parts;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## Finding
    /// {It} has a push-on end at {measured}, over {limit}: rubber creeps until it slips off its tail, and the bore is
    /// open.
    /// ## What it checks
    /// Pressure with the flow stopped in every hose held by a clip, against 150 mbar(g).
    /// ## Why it matters
    /// A clip holds by friction. Rubber creeps, pressure swells it off its tail, and the whole bore is open.
    /// ## What to do
    /// Use a hose with crimped ends and threaded couplings.
    "LEK006", "clip-under-pressure", Leak, [Warning],
    Choice("push-on ends are made for household pressures; a regulator that fails passes more")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if train_parts(s, v).is_none() {
        return;
    }
    let rows = match s.joints() {
        Ok(rows) => rows,
        Err(why) => {
            v.not_checked(format!("the pressure of the supply is not known: {why}"));
            return;
        }
    };
    for row in rows {
        let gauge = row.pressure.gauge(s.rig.site.air_pressure).pascals();
        if let Some(most) = row.kind.most_gauge_pa()
            && gauge > most
        {
            v.find(
                format!("train.{}", row.part),
                (Kind::GaugePressure, gauge),
                Limit::at_most(Kind::GaugePressure, most),
            );
        }
    }
}
