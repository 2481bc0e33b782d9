//! Liquid that closed valves can trap, with no relief valve.

use super::trapped_sections;
use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Source, Verdict};
use crate::leak::{Contents, TrappedSection};
use crate::quantity::Kind;
use crate::quantity::sentence::interval;

rule! {
    /// ## What it checks
    /// Every section that valves, check valves or a regulator can isolate: whether liquid is or can be in
    /// it, and whether a relief valve stands in it. Where liquid is drawn, or the cylinder is not upright,
    /// it is in every section up to a vaporiser. Vapour that condenses in a cold line is the checklist's.
    /// ## Why it matters
    /// A section full of liquid gains several bar for every kelvin: an hour of sun bursts a hose.
    /// ## What to do
    /// Fit a hydrostatic relief valve in each such section: vented outdoors, or led back to the tank of a liquid fuel.
    TrappedWithoutRelief, "TRP001", "trapped-liquid-without-relief", Trapped
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    for section in trapped_sections(s, v) {
        match &section.contents {
            Contents::Unknown { because } => {
                v.not_checked(format!("{}: {because}", section.section.label()));
            }
            Contents::Liquid { .. } if section.relief.is_none() => {
                find(s, v, section);
            }
            // vapour that condenses does not fill a line while the cylinder is closed first: the checklist says so
            Contents::MayFill { .. } | Contents::Liquid { .. } | Contents::Gas => {}
        }
    }
}

fn find(s: &Solution<'_>, v: &mut Verdict, section: &TrappedSection) {
    let mut measured = format!(
        "{}: {}",
        section.section.label(),
        section.contents.because()
    );
    let heating = section.heating.as_ref().and_then(|h| h.as_ref().ok());
    if let Some(h) = heating {
        measured = format!(
            "{measured}; {} once full",
            s.show(Kind::PressurePerTemperature, h.rise_pa_k)
        );
        if let (Some((part, _)), Some(t)) = (&section.weakest, h.rating_reached) {
            let kelvin = t.value - h.closed_at.value;
            measured = if kelvin < 0.05 {
                format!("{measured}, and above the rating of {part} from the start")
            } else {
                let rise = interval(kelvin).fixed("K", 1.0, 1).show(s.units);
                format!("{measured}, the rating of {part} after {rise}")
            };
        }
    }
    let end = section.section.from.first().map_or("train", |n| n.as_str());
    v.find(
        Signal::Danger,
        format!("train.{end}"),
        measured,
        Limit::Should("a relief valve in every section that can hold liquid"),
        Source::Choice("codes ask for hydrostatic relief wherever liquid can be shut in"),
        if s.pad().is_some() {
            "fit a hydrostatic relief valve there, led back to the tank"
        } else {
            "fit a hydrostatic relief valve there, vented outdoors"
        },
    );
}
