//! A leak indoors that neither smell nor detector gives away.

use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Verdict};
use crate::combustion::flame::fuel_feed::usual_phase;
use crate::fuel::FedAs;
use crate::train::rig::Setting;

rule! {
    /// ## Finding
    /// The fuel has no odour, and no gas detector is on: a leak is noticed when it burns.
    /// ## What it checks
    /// Whether smell or a detector gives a leak away.
    /// ## Why it matters
    /// Fuel without odour (hydrogen, dimethyl ether, bottled pure gases) is noticed when it burns. A nose tires.
    /// ## What to do
    /// Put up a gas detector, low down for heavy gas and high up for light. Use odorised fuel.
    "SIT004", "no-gas-warning", Site, [Danger, Warning], Choice("a nose tires, and is not always in the room")
}

const ODOURLESS: &str = "The fuel has no odour: a leak is noticed when it burns.";

fn check(s: &Solution<'_>, v: &mut Verdict) {
    if usual_phase(&s.rig.fuel.composition) == FedAs::Liquid {
        return;
    }
    let indoor = s.rig.site.setting == Setting::Indoor;
    let (odorised, detector) = (s.rig.fuel.odorised, s.rig.site.gas_detector);
    let (signal, measured, says, at) = match (odorised, detector) {
        (Some(true), Some(true)) => return,
        (Some(true), _) if !indoor => return,
        (Some(false), Some(true)) => (
            Signal::Warning,
            "detector, no odour",
            "The fuel has no odour: the detector is all that warns, and only where it hangs.",
            "fuel.odorised",
        ),
        (Some(false), _) if !indoor => (Signal::Warning, "no odour", ODOURLESS, "fuel.odorised"),
        (Some(false), Some(false)) => (
            Signal::Danger,
            "neither odour nor detector",
            "The fuel has no odour, and no gas detector is on: a leak is noticed when it burns.",
            "fuel.odorised",
        ),
        (Some(false), None) => (Signal::Warning, "no odour", ODOURLESS, "fuel.odorised"),
        (Some(true), Some(false)) => (
            Signal::Warning,
            "odour, no detector",
            "No gas detector is on: a nose tires, and is not always in the room.",
            "site.gas_detector",
        ),
        _ => {
            v.not_checked("the rig file does not give `fuel.odorised` or `site.gas_detector`");
            return;
        }
    };
    v.signal(signal)
        .says(says)
        .advice("Put up a gas detector, low down for heavy gas and high up for light.")
        .find(at, measured, Limit::Should("a gas detector that is on"));
}
