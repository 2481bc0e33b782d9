//! Gauges that cannot show what stands on them, and regulators that no gauge watches.

use super::leak_test_plan;
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::leak::zones::behind_last_valve;
use crate::quantity::{GaugePressure, Kind};
use crate::train::{Part, PartKind};

rule! {
    /// ## Finding
    /// The gauge on {it} ends at {measured}; up to {limit} stands on it, which spoils it and may burst it.
    /// ## What it checks
    /// Top of the scale of each gauge (`gauge_range`) against the highest pressure on it with the flow stopped, or at
    /// any duty where it stands behind the last valve; and whether a gauge stands behind each regulator and pump.
    /// ## Why it matters
    /// A gauge driven past its scale is spoilt and may burst. One that hardly moves does not show creep. Without a
    /// gauge nobody sees a regulator creep or drop.
    /// ## What to do
    /// Fit a gauge in each zone that works between a quarter and three quarters of its scale.
    "TRN016", "gauge-does-not-show", Train, [Warning, Caution, Notice],
    Choice("the highest pressure there, the flow stopped or at any duty"),
    levers ["tapping.gauge_range" Either]
}

/// Highest pressure over the top of the scale below which a needle shows nothing.
const LEAST_SHARE: f64 = 0.1;
const PRACTICE: Source =
    Source::Choice("common practice, no source: read between a quarter and three quarters");

/// Top of the scale of the gauge on a part.
fn scale(part: &Part) -> Option<GaugePressure> {
    match &part.kind {
        PartKind::Tapping(tapping) => tapping.gauge_range,
        _ => None,
    }
}

/// Highest pressure on a part at any duty, by gauge; `None` where no duty was worked out.
fn running(s: &Solution<'_>, part: &Part) -> Option<f64> {
    let plan = s.train().as_ref().ok()?;
    let flows = plan.duties.iter().filter_map(|d| d.solution.as_ref().ok());
    let pressures = flows.filter_map(|f| Some(f.part(&part.name)?.inlet.pressure));
    let air = s.rig.site.air_pressure;
    pressures.map(|p| p.gauge(air).pascals()).reduce(f64::max)
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let parts = s.rig.train.parts();
    if parts.iter().all(|p| scale(p).is_none()) {
        v.not_checked("the rig file does not give the scale of any gauge (`gauge_range`)");
        return;
    }
    let Some(plan) = leak_test_plan(s, v) else {
        return;
    };
    for test in &plan.zones {
        let at_rest = test.working.gauge(s.rig.site.air_pressure).pascals();
        let inside = test.zone.parts.iter().filter_map(|n| s.rig.train.part(n));
        let gauges: Vec<(&Part, f64)> = inside
            .filter_map(|p| Some((p, scale(p)?.pascals())))
            .collect();
        for (part, top) in &gauges {
            let open = behind_last_valve(&s.rig.train).contains(&part.name.as_str());
            let highest = if open {
                running(s, part).unwrap_or(at_rest)
            } else {
                at_rest
            };
            let at = format!("train.{}.gauge_range", part.name);
            let measured = Measured::Quantity(Kind::GaugePressure, *top);
            if *top < highest {
                v.advice("Fit a gauge whose scale ends a third or more above it.")
                    .find(at, measured, Limit::at_least(Kind::GaugePressure, highest));
            } else if highest > 0.0 && highest < LEAST_SHARE * top {
                v.signal(Signal::Notice)
                    .source(PRACTICE)
                    .says(format!("The gauge on {{it}} ends at {{measured}}, and {} is the most on it: over {{limit}} the needle hardly moves.", s.show(Kind::GaugePressure, highest)))
                    .advice("Fit a gauge with a finer scale.")
                    .find(
                        at,
                        measured,
                        Limit::at_most(Kind::GaugePressure, highest / LEAST_SHARE),
                    );
            }
        }
        if let (Some(behind), true) = (&test.zone.behind, gauges.is_empty()) {
            let watched = s.rig.controls.high_fuel_cutoff == Some(true);
            v.signal(if watched {
                Signal::Notice
            } else {
                Signal::Caution
            })
            .source(Source::Choice("common practice, no source"))
            .says("No gauge stands behind {it}: nobody sees it creep or drop.")
            .advice("Fit a tapping with a gauge behind it, and write its `gauge_range`.")
            .find(
                format!("train.{behind}"),
                "no gauge",
                Limit::Should("a gauge that shows what it holds"),
            );
        }
    }
}
