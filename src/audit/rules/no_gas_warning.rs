//! A leak indoors that neither smell nor detector gives away.

use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Verdict};
use crate::combustion::flame::fuel_feed::usual_phase;
use crate::fuel::FedAs;
use crate::train::rig::Setting;

rule! {
    /// ## What it checks
    /// Whether a leak indoors is given away by smell or by a detector.
    /// ## Why it matters
    /// Fuel without odour (hydrogen, dimethyl ether, bottled pure gases) is noticed when it burns.
    /// ## What to do
    /// Use odorised fuel and a detector, the detector low down for heavy gas and high up for light.
    "SIT004", "no-gas-warning", Site, [Danger, Warning], Choice("a nose tires, and is not always in the room")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if usual_phase(&s.rig.fuel.composition) == FedAs::Liquid {
        return;
    }
    let indoor = s.rig.site.setting == Setting::Indoor;
    let (odorised, detector) = (s.rig.fuel.odorised, s.rig.site.gas_detector);
    let (signal, measured, at) = match (odorised, detector) {
        (Some(true), Some(true)) => return,
        (Some(true), _) if !indoor => return,
        (Some(false), Some(true)) => (
            Signal::Warning,
            "no odour; the detector is all that warns, and only where it hangs",
            "fuel.odorised",
        ),
        (Some(false), _) if !indoor => (Signal::Warning, "no odour", "fuel.odorised"),
        (Some(false), Some(false)) => (
            Signal::Danger,
            "neither odour nor detector",
            "fuel.odorised",
        ),
        (Some(false), None) => (Signal::Warning, "no odour", "fuel.odorised"),
        (Some(true), Some(false)) => (Signal::Warning, "odour, no detector", "site.gas_detector"),
        _ => {
            v.not_checked(
                "the rig file does not say whether the fuel smells or a gas detector is on",
            );
            return;
        }
    };
    v.signal(signal)
        .advice("put up a gas detector, low down for heavy gas and high up for light")
        .find(at, measured, Limit::Should("a gas detector that is on"));
}
