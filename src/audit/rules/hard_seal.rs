//! A seal that gets hard in the cold it sees.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::quantity::{Kind, ZERO_CELSIUS_K};
use crate::train::Material;

rule! {
    /// ## Finding
    /// A seal of {it} gets down to {measured}; below {limit} it is hard, and leaks at the next movement.
    /// ## What it checks
    /// Coldest temperature of fuel, surroundings and coldest day at each part, against the temperature below which its
    /// rubber is too hard to follow.
    /// ## Why it matters
    /// A seal that is hard leaks at the next movement, and seals again when it is warm and somebody looks at it.
    /// ## What to do
    /// Fit nitrile made for cold, or PTFE. Fluoroelastomer is the wrong choice for fuel that chills.
    "MAT002", "seal-hard-when-cold", Materials, [Caution],
    Choice("usual compounds, from memory; the maker of the part decides")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(plan) = solved::train(s, v) else {
        return;
    };
    let site = &s.rig.site;
    let day_k = site
        .coldest
        .map_or(site.ambient.value, |t| t.value.min(site.ambient.value));
    if site.coldest.is_none() {
        v.not_checked(
            "the rig file does not give `site.coldest`: only the day of the test is checked",
        );
    }
    for part in s.rig.train.parts() {
        let running = plan
            .duties
            .iter()
            .filter_map(|d| d.solution.as_ref().ok()?.part(&part.name))
            .map(|f| f.inlet.temperature.value.min(f.outlet.temperature.value));
        let coldest_k = running.fold(day_k, f64::min);
        for material in &part.wetted {
            if let Some(limit_k) = hard_below_k(material)
                && coldest_k < limit_k
            {
                let says = format!(
                    "The {} of {{it}} gets down to {{measured}}; below {{limit}} it is hard, and leaks at the next movement.",
                    material.name()
                );
                v.says(says).find(
                    solved::part_path(&part.name),
                    (Kind::Temperature, coldest_k),
                    Limit::at_least(Kind::Temperature, limit_k),
                );
            }
        }
    }
}

/// Temperature below which the usual compound of a rubber is too hard to seal, K.
fn hard_below_k(material: &Material) -> Option<f64> {
    let celsius = match material {
        Material::Fkm => -15.0,
        Material::Hnbr => -25.0,
        Material::Nbr => -30.0,
        Material::Cr => -40.0,
        Material::Epdm => -45.0,
        Material::Vmq => -55.0,
        _ => return None,
    };
    Some(ZERO_CELSIUS_K + celsius)
}
