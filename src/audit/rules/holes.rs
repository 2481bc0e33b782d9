//! Holes that stand in no rig: what the rules on holes say of a calculator's answer.

use super::{
    burns_alone, condensation_in_injector, drill_error, hole_above_quenching, soft_injector,
};
use crate::audit::{Finding, Rule, Signal, Verdict};
use crate::combustion::Flammability;
use crate::fuel::Composition;
use crate::injector::size::{InjectorResult, Unknown};

/// Where all of it is found.
const AT: &str = "holes";

/// What is wrong with holes by themselves, the gravest first; `liquid` says that they are meant for it. What they feed is
/// not known: liquid before holes for vapour is a caution here.
pub fn judged(holes: &InjectorResult, fuel: &Composition, liquid: bool) -> Vec<Finding> {
    let mut found = Vec::new();
    let mut ask = |rule: &'static Rule, judge: &dyn Fn(&mut Verdict)| {
        let mut verdict = Verdict::new(rule);
        judge(&mut verdict);
        found.extend(verdict.findings.into_iter().map(|f| Finding {
            subject: AT.to_owned(),
            ..f
        }));
    };
    ask(&soft_injector::RULE, &|v| {
        soft_injector::judge(AT, holes, v);
    });
    if let Some(drill) = holes
        .nearest_drill()
        .filter(|_| holes.unknown == Unknown::Diameter)
    {
        ask(&drill_error::RULE, &|v| {
            drill_error::judge(AT, &drill.drill.name, drill.flow_error.value, "", v);
        });
    }
    if !liquid || holes.superheat.is_some() {
        ask(&condensation_in_injector::RULE, &|v| {
            condensation_in_injector::judge(AT, holes, fuel, Signal::Caution, v);
        });
    }
    ask(&burns_alone::RULE, &|v| burns_alone::judge(AT, fuel, v));
    let burns = Flammability::of(fuel).ok();
    ask(&hole_above_quenching::RULE, &|v| {
        hole_above_quenching::judge(AT, holes.diameter, burns.as_ref(), v);
    });
    found.sort_by_key(|f| (f.signal, f.id));
    found
}
