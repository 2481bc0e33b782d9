//! No fire extinguisher, or one that does nothing for gas.

use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Verdict};
use crate::combustion::flame::fuel_feed::usual_phase;
use crate::fuel::FedAs;
use crate::train::rig::Extinguisher;

rule! {
    /// ## What it checks
    /// Whether a fire extinguisher is at hand, and of a kind that serves here.
    /// ## Why it matters
    /// What burns after the fuel is shut is the rig and what stands round it. Water and foam conduct,
    /// and do little for a gas fire. A gas fire is put out by shutting the gas: an extinguished jet
    /// that goes on leaking is worse than a burning one.
    /// ## What to do
    /// Have dry powder within reach on the way out, in date; shut the fuel before anything else.
    "SIT001", "no-suitable-extinguisher", Site, [Warning, Caution],
    Choice("common practice; the local fire code decides")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(extinguisher) = s.rig.site.extinguisher else {
        v.not_checked("the rig file does not say whether an extinguisher is at hand");
        return;
    };
    let liquid = usual_phase(&s.rig.fuel.composition) == FedAs::Liquid;
    let (signal, measured) = match extinguisher {
        Extinguisher::None => (Signal::Warning, "none"),
        // foam is made for burning liquids, and water spreads them
        Extinguisher::Foam if liquid => return,
        Extinguisher::Water if liquid => (Signal::Warning, "water"),
        Extinguisher::Foam => (Signal::Caution, "foam"),
        Extinguisher::Water => (Signal::Caution, "water"),
        Extinguisher::DryPowder | Extinguisher::CarbonDioxide => return,
    };
    v.signal(signal).find(
        "site.extinguisher",
        measured,
        Limit::Should(if liquid {
            "dry powder, foam or carbon dioxide"
        } else {
            "dry powder, or carbon dioxide"
        }),
    );
}
