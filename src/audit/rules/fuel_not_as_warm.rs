//! Fuel that reaches the holes at another temperature than they were sized for.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## Finding
    /// The fuel reaches the holes at {measured}; they are computed for fuel {limit}, and 10 K move the flow by nearly 2
    /// %.
    /// ## What it checks
    /// Temperature of the fuel before the holes in the solved train at each duty, against `temperature` of
    /// `[injector]`, which the holes are computed with; up to 10 K is not found. Without that key they are computed
    /// with what the train brings.
    /// ## Why it matters
    /// Flow goes with the root of the density: 10 K are nearly 2 %. Colder fuel is also closer to its dew point.
    /// ## What to do
    /// Leave `temperature` out of `[injector]`: the holes are then computed with what the train brings. Or warm the
    /// line.
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
        v.not_checked("the train is not solved for any duty");
        return None;
    };
    if (t_k - sized.value).abs() > MOST_K {
        let says = format!(
            "At duty {duty} the fuel reaches the holes at {{measured}}; they are computed for fuel {{limit}}, and 10 K move the flow by nearly 2 %."
        );
        let limit_k = sized.value + MOST_K.copysign(t_k - sized.value);
        let words = format!("within 10 K of {}", s.show(Kind::Temperature, sized.value));
        v.says(says).find(
            "injector.temperature",
            (Kind::Temperature, t_k),
            Limit::of_words(Kind::Temperature, limit_k, words),
        );
    }
    Some(())
}
