//! Valve proving with nothing to prove, or a burner that should have it.

use super::train_parts;
use crate::audit::rule::rule;
use crate::audit::{Limit, Measured, Signal, Solution, Source, Verdict};
use crate::quantity::Kind;

rule! {
    /// ## Finding
    /// Valves are proved at each start, but {measured} by itself: there is nothing to prove without {limit}.
    /// ## What it checks
    /// Valve proving (`controls.valve_proving`) against the number of shut-off valves in series, since it shuts gas
    /// in between two; and a burner of more than 1200 kW, or one that burns unattended, whose file says that it has
    /// none.
    /// ## Why it matters
    /// A device that has nothing to prove finds every valve tight. Without one nobody finds a valve that lets by.
    /// ## What to do
    /// Fit two shut-off valves in series, with the proving device between them.
    "SHU022", "valve-proving-amiss", Shutdown, [Warning, Caution],
    Choice("what is proved is the space between two valves; common practice, no source")
}

/// Heat above which burner standards ask for valve proving, W: from memory, not confirmed.
const LARGE_W: f64 = 1.2e6;
const ADVICE: &str = "Fit a device that proves both shut-off valves at every start.";

fn check(s: &Solution<'_>, v: &mut Verdict) -> Option<()> {
    let proving = s.rig.controls.valve_proving?;
    train_parts(s, v)?;
    let at = "controls.valve_proving";
    if proving {
        let parts = s.main_parts();
        let valves = parts.iter().filter(|p| p.shuts_without_power()).count();
        if valves < 2 {
            v.find(
                at,
                (
                    Kind::Ratio,
                    if valves == 0 { 0.0 } else { 1.0 },
                    if valves == 0 {
                        "none closes".to_owned()
                    } else {
                        "1 valve closes".to_owned()
                    },
                ),
                Limit::AtLeast(Measured::Worded(Kind::Ratio, 2.0, "2 in series".to_owned())),
            );
        }
        return None;
    }
    let heats = s.duties.iter().filter_map(|d| d.demand.as_ref().ok());
    let most = heats.map(|d| d.fuel_heat.value).fold(0.0, f64::max);
    if most > LARGE_W {
        v.source(Source::Choice(
            "above 1200 kW: from memory of burner standards, not confirmed",
        ))
        .says("The burner gives {measured} without valve proving, over {limit}: nobody finds a valve that lets by.")
        .advice(ADVICE)
        .find(
            at,
            (Kind::Power, most),
            Limit::at_most(Kind::Power, LARGE_W),
        );
    } else if s.rig.controls.unattended == Some(true) {
        v.signal(Signal::Caution)
            .source(Source::Choice(
                "good practice below the size that standards ask it for; no source",
            ))
            .says("The rig burns unattended without valve proving: nobody is near to find a valve that lets by.")
            .advice(ADVICE)
            .find(
                at,
                "none",
                Limit::Should("valve proving where it burns unattended"),
            );
    }
    Some(())
}
