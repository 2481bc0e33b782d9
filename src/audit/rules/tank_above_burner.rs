//! A tank of liquid fuel that stands above its burner, with nothing at the tank that closes by itself.

use super::train_parts;
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::combustion::flame::fuel_feed::usual_phase;
use crate::fuel::FedAs;
use crate::quantity::Kind;
use crate::train::PartKind;

rule! {
    /// ## Finding
    /// The burner lies {measured} below what draws from the tank, and no valve at the tank closes by itself: a broken
    /// line siphons it out.
    /// ## What it checks
    /// For a liquid fuel drawn as liquid: the height that the lines lose from the tank to the injector, by their
    /// `rise`, unless a valve that shuts on command stands before the first line or hose behind the dip tube.
    /// ## Why it matters
    /// A line that breaks below the tank siphons it out to the last drop, pump or no pump.
    /// ## What to do
    /// Fit an anti-siphon valve at the tank, or one that closes without power. Or put the tank below the burner.
    "LIQ006", "tank-above-burner", Liquid, [Caution],
    Choice("a broken line siphons out what stands above it; common practice, no source")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let liquid = usual_phase(&s.rig.fuel.composition) == FedAs::Liquid && !s.wants_vapour();
    if !liquid || s.rig.supply.tank().is_none() || train_parts(s, v).is_none() {
        return;
    }
    let parts = s.main_parts();
    let lines = parts.iter().filter_map(|p| p.kind.line());
    let rise_m: f64 = lines.map(|l| l.rise.value).sum();
    let mut before_lines = parts
        .iter()
        .take_while(|p| p.kind.line().is_none() || matches!(p.kind, PartKind::DipTube(_)));
    if rise_m >= 0.0 || before_lines.any(|p| p.shuts_without_power()) {
        return;
    }
    v.find(
        "train",
        (Kind::Length, -rise_m),
        Limit::of_words(
            Kind::Length,
            0.0,
            "a burner above it, or a valve at the tank that closes by itself",
        ),
    );
}
