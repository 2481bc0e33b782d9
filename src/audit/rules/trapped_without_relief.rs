//! Liquid that closed valves can trap, with no relief valve.

use super::trapped_sections;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::leak::{Contents, TrappedSection};
use crate::quantity::Kind;
use crate::quantity::sentence::interval;

rule! {
    /// ## Finding
    /// Liquid shut in from {section} has no relief valve.{heating}
    /// ## What it checks
    /// Every section that valves, check valves or a regulator can isolate: whether liquid is or can be in it, and
    /// whether a relief valve stands in it. Where liquid is drawn, or the cylinder is not upright, every section up
    /// to a vaporiser holds it: that is one finding, with the section that bursts first named first. Vapour that
    /// condenses in a cold line is a line of the checklist.
    /// ## Why it matters
    /// A section full of liquid gains several bar for every kelvin: an hour of sun bursts a hose.
    /// ## What to do
    /// Fit a hydrostatic relief valve in each such section, vented outdoors, or led back to the tank of a liquid
    /// fuel.
    "TRP001", "trapped-liquid-without-relief", Trapped, [Danger],
    Choice("codes ask for hydrostatic relief wherever liquid can be shut in")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let mut found = Vec::new();
    for section in trapped_sections(s, v) {
        match &section.contents {
            Contents::Unknown { because } => {
                v.not_checked(format!("{}: {because}", section.section.label()));
            }
            Contents::Liquid { because } if section.relief.is_none() => {
                found.push((section, *because));
            }
            // vapour that condenses does not fill a line while the cylinder is closed first: the checklist says so
            Contents::MayFill { .. } | Contents::Liquid { .. } | Contents::Gas => {}
        }
    }
    // first what bursts first
    found.sort_by(|a, b| {
        let [a, b] = [a.0, b.0].map(|section| kelvin_to_rating(section).unwrap_or(f64::INFINITY));
        a.total_cmp(&b)
    });
    for (section, because) in found {
        find(s, v, section);
        v.because(because);
    }
}

/// By how much a section full of liquid warms until its weakest part stands no more.
fn kelvin_to_rating(section: &TrappedSection) -> Option<f64> {
    let heating = section.heating.as_ref()?.as_ref().ok()?;
    Some(heating.rating_reached?.value - heating.closed_at.value)
}

fn find(s: &Solution<'_>, v: &mut Verdict, section: &TrappedSection) {
    let mut heating = String::new();
    if let Some(Ok(h)) = &section.heating {
        let rise = s.show(Kind::PressurePerTemperature, h.rise_pa_k);
        heating = format!(" Full, it gains {rise}");
        if let (Some((part, _)), Some(kelvin)) = (&section.weakest, kelvin_to_rating(section)) {
            heating = if kelvin < 0.05 {
                format!("{heating} and stands above the rating of {part} from the start")
            } else {
                let rise = interval(kelvin).fixed("K", 1.0, 1).show(s.units);
                format!("{heating} and passes the rating of {part} within {rise}")
            };
        }
        heating.push('.');
    }
    let label = section.section.label();
    let says = v.rule.says().replace("{section}", &label);
    let end = section.section.from.first().map_or("train", |n| n.as_str());
    // measured and limit: valves that there are, and that there have to be
    v.says(says.replace("{heating}", &heating))
        .advice(if s.pad().is_some() {
            "Fit a hydrostatic relief valve. Lead it back to the tank."
        } else {
            "Fit a hydrostatic relief valve. Vent it outdoors."
        })
        .find(
            format!("train.{end}"),
            (
                Kind::Ratio,
                0.0,
                format!("no relief valve, {label}: {}", section.contents.because()),
            ),
            Limit::of_words(
                Kind::Ratio,
                1.0,
                "a relief valve in every section that can hold liquid",
            ),
        );
}
