//! Drop over the holes too small against the chamber.

use super::{duty_path, injections};
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## What it checks
    /// Drop over the holes as a share of chamber pressure, at every duty, against 15 %. A rig that is
    /// below it at every duty is a low-pressure burner by design, and this is only noted.
    /// ## Why it matters
    /// A small drop lets the chamber drive the feed: pressure swings in the chamber move the flow, and
    /// the flow feeds the swings. It also makes the flow answer to every change of chamber pressure.
    /// ## What to do
    /// Fewer or smaller holes and a higher pressure before them; or a second set of holes for the low
    /// duties.
    SoftInjector, "INJ001", "soft-injector", Injector
}

/// Lower end of the 15 to 25 % of rocket practice.
const LEAST: f64 = 0.15;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let all = injections(s, v);
    let low_pressure = all.iter().all(|(_, i)| i.at_need.stiffness.value < LEAST);
    for (name, injection) in all {
        let stiffness = injection.at_need.stiffness.value;
        if stiffness >= LEAST {
            continue;
        }
        let (signal, advice) = if low_pressure {
            (
                Signal::Notice,
                "at so low a drop the flow follows draughts and back pressure: keep the duct open, or raise the pressure",
            )
        } else {
            (
                Signal::Caution,
                "use fewer or smaller holes and a higher pressure, or a second set of holes for this duty",
            )
        };
        v.find(
            signal,
            duty_path(name),
            Measured::Quantity(Kind::Ratio, stiffness),
            Limit::AtLeast(Measured::Quantity(Kind::Ratio, LEAST)),
            Source::Published("sutton-biblarz"),
            advice,
        );
    }
}
