//! A fuel with so much air in it that it burns in the pipe.

use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Verdict};
use crate::combustion::Flammability;
use crate::combustion::own_air::Alone;
use crate::fuel::Composition;
use crate::quantity::Kind;

rule! {
    /// ## Finding
    /// The fuel brings its own air: {measured} of it is fuel, under the {limit} that is clear of burning alone. Flame can run
    /// back through holes and tube into mixer and tank.
    /// ## What it checks
    /// Share of fuel in a fuel that holds oxygen, against twice its upper flammability limit in air. With more oxygen than
    /// air has, limits in air say nothing, and any fuel below that is taken to burn.
    /// ## Why it matters
    /// A mixture within its limits needs no more air: it burns back through every hole wider than the quenching distance,
    /// and in a closed pipe it explodes. Limits of blends are rough, rise with pressure, and a mixer drifts.
    /// ## What to do
    /// Put less air in. Watch the mixer with an oxygen or density alarm that shuts the air off. Mix at the burner, not in
    /// the train.
    "FLM014", "fuel-burns-alone", Flame, [Danger, Warning], Choice("twice the upper limit of the standards, mixed by Le Chatelier")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    judge("fuel.composition", &s.rig.fuel.composition, v);
}

/// Looks at the air in a fuel.
pub(super) fn judge(at: &str, fuel: &Composition, v: &mut Verdict) {
    let Some(own) = Flammability::of(fuel).ok().and_then(|f| f.own_air) else {
        return;
    };
    let signal = match own.alone {
        Alone::No => return,
        Alone::Near => Signal::Warning,
        Alone::Burns => Signal::Danger,
    };
    v.signal(signal).find(
        at,
        (Kind::Ratio, own.rest),
        Limit::at_least(Kind::Ratio, own.least_rest()),
    );
}
