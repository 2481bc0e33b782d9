//! No fire extinguisher, or one that does nothing for gas.

use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Verdict};
use crate::combustion::flame::fuel_feed::usual_phase;
use crate::fuel::FedAs;
use crate::train::rig::Extinguisher;

rule! {
    /// ## Finding
    /// No fire extinguisher is at hand: what burns on after the fuel is shut is left to burn.
    /// ## What it checks
    /// Whether a fire extinguisher is at hand, of a kind that serves here.
    /// ## Why it matters
    /// The rig and what stands round it burn on after the fuel is shut. Water and foam conduct, and do little for a
    /// gas fire. Put a gas fire out by shutting the gas: a jet that is put out and goes on leaking is worse than a
    /// burning one.
    /// ## What to do
    /// Keep dry powder within reach on the way out, in date. Shut the fuel before anything else.
    "SIT001", "no-suitable-extinguisher", Site, [Warning, Caution],
    Choice("common practice; the local fire code decides")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(extinguisher) = s.rig.site.extinguisher else {
        v.not_checked("the rig file does not give `site.extinguisher`");
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
    let says = match (signal, liquid) {
        (_, true) if measured != "none" => {
            "The extinguisher holds {measured}, which spreads burning liquid.".to_owned()
        }
        (Signal::Caution, _) => {
            "The extinguisher holds {measured}, which conducts and does little for a gas fire."
                .to_owned()
        }
        _ => v.rule.says(),
    };
    v.says(says).signal(signal).find(
        "site.extinguisher",
        measured,
        Limit::Should(if liquid {
            "dry powder, foam or carbon dioxide"
        } else {
            "dry powder or carbon dioxide"
        }),
    );
}
