//! Fuel that reaches the holes at another temperature than they were sized for.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## What it checks
    /// Temperature of the fuel before the holes in the solved train at each duty, against `temperature` of
    /// `[injector]`, which the holes are computed with; 10 K is let pass. Without that key they are computed with
    /// what the train brings.
    /// ## Why it matters
    /// Flow goes with the root of the density: 10 K are nearly 2 %. Colder fuel is also closer to its
    /// dew point.
    /// ## What to do
    /// Leave `temperature` out of `[injector]`: the holes are then computed with what the train brings;
    /// or warm the line.
    "INJ011", "fuel-temperature-off", Injector, [Notice], Choice("10 K move the flow by nearly 2 %")
}

/// Largest difference, K.
const MOST_K: f64 = 10.0;

fn check(s: &Solution<'_>, v: &mut Verdict) -> Option<()> {
    let plan = solved::train(s, v)?;
    let sized = s.rig.injector.temperature?;
    let worst = plan
        .duties
        .iter()
        .filter_map(|d| {
            let holes = d
                .solution
                .as_ref()
                .ok()?
                .outlet(crate::train::plan::INJECTOR)?;
            Some((holes.inlet.temperature.value, d.name.as_str()))
        })
        .max_by(|a, b| {
            (a.0 - sized.value)
                .abs()
                .total_cmp(&(b.0 - sized.value).abs())
        });
    let Some((t_k, duty)) = worst else {
        v.not_checked("no duty is solved");
        return None;
    };
    if (t_k - sized.value).abs() > MOST_K {
        v.find(
            "injector.temperature",
            s.worded(Kind::Temperature, t_k, |x| format!("{x} in {duty}")),
            Limit::of_words(
                Kind::Temperature,
                sized.value + MOST_K.copysign(t_k - sized.value),
                "within 10 K of what the holes are computed with",
            ),
        );
    }
    Some(())
}
