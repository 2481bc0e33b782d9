//! A regulator with too little pressure before it to regulate.

use super::solved;
use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Source, Verdict};
use crate::flow::regulator::Regulator;
use crate::train::{CheckKind, PartKind};

rule! {
    /// ## Finding
    /// {It} gets {measured} {when} and needs {limit}: it stands open, and swings of the tank reach the flame.
    /// ## What it checks
    /// Inlet pressure of each regulator at each duty against the least its maker asks for, and whether its seat stands
    /// wide open. The tank is as it starts; SUP004 looks at the run plan. And, by the file alone, the set pressure of
    /// each against that of the regulator before it: WARNING.
    /// ## Why it matters
    /// A regulator that is wide open passes the swings of the tank on to the flame, and a second one protects nothing
    /// if the first fails.
    /// ## What to do
    /// Fit a regulator for a lower inlet pressure, or set this one lower. Or keep the tank warmer. Set each regulator
    /// below the one before it.
    "REG001", "regulator-starved", Regulator, [Warning, Notice],
    Choice("a seat that stands wide open does not regulate"),
    levers ["regulator.set_pressure" Either, "tube.bore" Up, "hose.bore" Up, "train.flow_coefficient" Up, "tank.water_bath" Up]
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let mut idle: Vec<&str> = Vec::new();
    for way in solved::ways(s) {
        let mut before: Option<(&str, &Regulator)> = None;
        for part in way {
            let PartKind::Regulator(r) = &part.kind else {
                continue;
            };
            if let Some((first, held)) = before
                && r.set_pressure >= held.set_pressure
                && !idle.contains(&part.name.as_str())
            {
                idle.push(&part.name);
                let says = format!(
                    "{{It}} is set to {{measured}} and {} before it holds {{limit}}: it protects nothing if that one fails.",
                    solved::named(s, first)
                );
                v.source(Source::of_part(first, "set_pressure"))
                    .advice(format!("Set it below {}", s.gauge(held.set_pressure)))
                    .says(says)
                    .find(
                        solved::part_path(&part.name),
                        s.pressure(r.set_pressure),
                        Limit::AtMost(s.pressure(held.set_pressure)),
                    );
            }
            before = Some((&part.name, r));
        }
    }
    let Some(plan) = solved::train(s, v) else {
        return;
    };
    for found in solved::remarked(plan, &[CheckKind::RegulatorStarved]) {
        if idle.contains(&found.check.at.as_str()) {
            continue;
        }
        let least = match s.rig.train.part(&found.check.at).map(|p| &p.kind) {
            Some(PartKind::Regulator(r)) => r.min_inlet,
            _ => None,
        };
        let by_inlet = least.is_some_and(|p| p.pascals().total_cmp(&found.check.limit).is_eq());
        let says = if by_inlet {
            v.rule.says()
        } else {
            "{It} holds {measured} {when}, not {limit}: it stands wide open, and swings of the tank reach the flame.".to_owned()
        };
        v.source(found.source("min_inlet", v))
            .signal(Signal::Notice)
            .says(says.replace("{when}", &found.when()))
            .find(found.at(), found.figure(s), Limit::AtLeast(found.limit(s)));
    }
}
