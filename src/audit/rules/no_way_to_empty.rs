//! A section full of liquid that cannot be emptied before it is opened.

use super::trapped_sections;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::leak::Contents;
use crate::quantity::Kind;

rule! {
    /// ## What it checks
    /// Whether every section that holds liquid in ordinary work has a tapping to bleed it through, or a relief valve.
    /// ## Why it matters
    /// Without one, the first to undo a joint empties the section over the hands.
    /// ## What to do
    /// Fit a bleed with a valve, piped outdoors, in each section.
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
            v.find(
                format!("train.{end}"),
                (
                    Kind::Ratio,
                    0.0,
                    format!("{}: no bleed", section.section.label()),
                ),
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
