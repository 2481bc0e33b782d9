//! Drop over the holes too small against the chamber.

use super::{duty_path, injections};
use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Source, Verdict};
use crate::injector::plan::DutyInjection;
use crate::injector::size::InjectorResult;
use crate::quantity::Kind;

rule! {
    /// ## Finding
    /// At {it} the injector pressure drop is {measured} of chamber pressure, under {limit}: the chamber drives the
    /// flow.
    /// ## What it checks
    /// Drop over the holes as a share of chamber pressure, at every duty, against 15 %. A rig below it at every duty is
    /// a low-pressure burner by design. It is not found while the drop is more than twice what the chamber stands above
    /// the air, and than 1 mbar: the share is that of rockets.
    /// ## Why it matters
    /// A small drop lets the chamber drive the feed: pressure swings in the chamber move the flow, and
    /// the flow feeds the swings. It also makes the flow answer to every change of chamber pressure.
    /// ## What to do
    /// Drill fewer or smaller holes and raise the pressure before them. Or feed the low duties by a second set of
    /// holes.
    "INJ001", "soft-injector", Injector, [Notice, Caution], Unconfirmed("sutton-biblarz"),
    levers ["injector.hole_diameter" Down, "injector.holes" Down, "regulator.set_pressure" Up,
        "injector.pressure" Up, "duties.target" Up]
}

/// Lower end of the 15 to 25 % of rocket practice.
pub(crate) const LEAST: f64 = 0.15;

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let all = injections(s, v);
    let low_pressure = all.iter().all(|(_, i)| i.at_need.stiffness.value < LEAST);
    faint(s, v, &all, low_pressure);
    if low_pressure {
        return;
    }
    for (name, injection) in all {
        judge(&duty_path(name), &injection.at_need, v);
    }
}

/// Holds the drop over holes against rocket practice.
pub(super) fn judge(at: &str, holes: &InjectorResult, v: &mut Verdict) {
    let stiffness = holes.stiffness.value;
    if stiffness < LEAST {
        let limit = Limit::at_least(Kind::Ratio, LEAST);
        v.find(at, (Kind::Ratio, stiffness), limit);
    }
}

/// Least drop over the holes of a gas burner, and of a burner on liquid at its largest duty, Pa. Our choice.
const FAINT_PA: f64 = 100.0;
pub(crate) const SPRAYS_PA: f64 = 5e4;
/// Least drop over what the chamber stands above the air: a chamber that falls to the pressure of the air then raises
/// the flow by a fifth, `√(1 + 1/2)`. Our choice.
const OVER_CHAMBER: f64 = 2.0;

/// Least drop over the holes of a low-pressure burner whose chamber stands so much above the air, Pa.
pub(crate) fn least_drop_pa(chamber_over_air_pa: f64) -> f64 {
    FAINT_PA.max(OVER_CHAMBER * chamber_over_air_pa)
}

/// Holes so large or so many that next to no pressure is left over them.
fn faint(s: &Solution<'_>, v: &mut Verdict, all: &[(&str, &DutyInjection)], low_pressure: bool) {
    let drops = all.iter().filter_map(|(name, injection)| {
        let duty = s.duties.iter().find(|d| d.name == *name)?;
        Some((
            *name,
            injection.at_need.stiffness.value * duty.chamber.pascals(),
            duty.chamber.pascals() - s.rig.site.air_pressure.pascals(),
        ))
    });
    let most = drops.max_by(|a, b| a.1.total_cmp(&b.1));
    let over_air_pa = most.filter(|_| low_pressure).map_or(0.0, |m| m.2);
    let least_pa = least_drop_pa(over_air_pa);
    let (least, signal, advice, says) = if s.wants_vapour() {
        (
            least_pa,
            Signal::Notice,
            "Drill fewer or smaller holes.",
            if least_pa > FAINT_PA {
                "{It} has the largest drop over the holes, {measured}, under {limit}: the chamber sets the flow."
            } else {
                "{It} has the largest drop over the holes, {measured}, under {limit}: draughts set the flow."
            },
        )
    } else {
        (
            SPRAYS_PA,
            Signal::Caution,
            "Fit smaller nozzles, or fewer.",
            "{It} has the largest drop over the nozzles, {measured}, under {limit}: the fuel dribbles out and makes a pool.",
        )
    };
    if let Some((name, drop, _)) = most
        && drop < least
    {
        v.signal(signal)
            .source(Source::Choice(
                "pressure to meter gas, or to break liquid into drops",
            ))
            .advice(advice)
            .says(says)
            .find(
                duty_path(name),
                (Kind::PressureDifference, drop),
                Limit::at_least(Kind::PressureDifference, least),
            );
    }
}
