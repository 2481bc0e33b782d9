//! Nothing that keeps fuel or air from flowing back.

use super::train_parts;
use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Source, Verdict};
use crate::quantity::Kind;
use crate::train::PartKind;
use crate::train::rig::ChangeOver;

rule! {
    /// ## Finding
    /// {Measured}: a warm one fills a cold one until it is liquid-full.
    /// ## What it checks
    /// Several cylinders side by side: a check valve for each, whether they are drawn together or behind a
    /// change-over valve; where they are changed over by hand, its absence is only a caution. Otherwise: a check
    /// valve or flame arrestor on the way to the injector.
    /// ## Why it matters
    /// A warm cylinder fills a cold one until it is liquid-full, and blows out of the pigtail of one that is taken
    /// off. With the fuel shut, chamber pressure pushes air into the line, and the next start begins with a mixture
    /// in it.
    /// ## What to do
    /// Fit a check valve for each cylinder, and one close to the burner.
    "TRN013", "no-non-return", Train, [Warning, Caution, Notice],
    Choice("common practice of the trade; a warm cylinder fills a cold one")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if train_parts(s, v).is_none() {
        return;
    }
    let stops = |kind: &PartKind| matches!(kind, PartKind::CheckValve(_));
    for source in &s.rig.train.sources {
        if source.count > 1 && !source.parts.iter().any(|p| stops(&p.kind)) {
            let change_over = s.rig.supply.tank().and_then(|t| t.change_over);
            let (signal, drawn) = match change_over {
                // one hand valve left open by mistake does the same
                Some(ChangeOver::Manual) => (Signal::Caution, ", changed over by hand"),
                Some(ChangeOver::Automatic) => (Signal::Warning, ", on a change-over valve"),
                Some(ChangeOver::Together) => (Signal::Warning, ", all open together"),
                None => (Signal::Warning, ""),
            };
            v.signal(signal)
                .advice("Fit a check valve for each cylinder (`per_cylinder = true`).")
                .find(
                    "tank.number",
                    (
                        Kind::Ratio,
                        f64::from(source.count),
                        format!(
                            "The {} cylinders stand side by side without check valves{drawn}",
                            source.count
                        ),
                    ),
                    Limit::of_words(Kind::Ratio, 0.0, "a check valve for each cylinder"),
                );
        }
    }
    let arrests = |kind: &PartKind| stops(kind) || matches!(kind, PartKind::FlameArrestor(_));
    if !s.main_parts().iter().any(|p| arrests(&p.kind)) {
        v.signal(if s.rig.supply.tank().is_some() {
            Signal::Caution
        } else {
            Signal::Notice
        })
        .source(Source::Choice("common practice of the trade"))
        .says("No check valve or flame arrestor stands before the injector: with the fuel shut, air flows back into the line.")
        .advice("Fit a check valve close to the burner.")
        .find(
            "train",
            "no check valve or flame arrestor before the injector",
            Limit::Should("a check valve close to the burner"),
        );
    }
}
