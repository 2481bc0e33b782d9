//! A section full of liquid that cannot be emptied before it is opened.

use super::trapped_sections;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::leak::Contents;
use crate::quantity::Kind;

rule! {
    /// ## Finding
    /// The section from {section} holds liquid and has no bleed: whoever undoes a joint gets it over the hands.
    /// ## What it checks
    /// Whether every section that holds liquid in ordinary work has a bleed or a relief valve.
    /// ## Why it matters
    /// Without one, whoever undoes a joint empties the section over their hands.
    /// ## What to do
    /// Fit a bleed with a valve, piped outdoors.
    "TRP004", "no-way-to-empty", Trapped, [Caution], Choice("a line is emptied before it is opened")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    for section in trapped_sections(s, v) {
        if let Contents::Liquid { because } = section.contents
            && section.bleed.is_none()
            && section.relief.is_none()
            && !section.section.parts.is_empty()
        {
            let end = section.section.from.first().map_or("train", |n| n.as_str());
            let label = section.section.label();
            let says = v.rule.says().replace("{section}", &label);
            v.says(says).find(
                format!("train.{end}"),
                (Kind::Ratio, 0.0, format!("no bleed, {label}")),
                Limit::of_words(
                    Kind::Ratio,
                    1.0,
                    "a bleed in every section that holds liquid",
                ),
            );
            v.because(because);
        }
    }
}
