//! Key figures of a solved and audited rig, in a shape that can be laid side by side.

use super::{Finding, Signal, Solution, audit};
use crate::quantity::Kind;
use crate::train::plan::INJECTOR;

/// A figure of a duty.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Figure {
    /// What it is called.
    pub name: &'static str,
    /// Its JSON key.
    pub key: &'static str,
    /// What it is; a plain number has none.
    pub kind: Option<Kind>,
}

/// The figures of each duty, in this order.
pub const FIGURES: [Figure; 7] = [
    figure("fuel", "fuel_flow_kg_s", Some(Kind::MassRate)),
    figure("equivalence ratio", "equivalence_ratio", None),
    figure("heat release", "heat_release_w", Some(Kind::Power)),
    figure("exit", "exit_temperature_k", Some(Kind::Temperature)),
    figure(
        "before the holes",
        "injector_pressure_pa",
        Some(Kind::AbsolutePressure),
    ),
    figure("throttle", "throttle_opening", Some(Kind::Ratio)),
    figure(
        "fuel through the train",
        "train_flow_kg_s",
        Some(Kind::MassRate),
    ),
];

const fn figure(name: &'static str, key: &'static str, kind: Option<Kind>) -> Figure {
    Figure { name, key, kind }
}

/// Key figures of a rig.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// Duties, in the order of the file.
    pub duties: Vec<DutyOutcome>,
    /// Number and diameter (m) of the holes, where they are known.
    pub holes: Option<(u32, f64)>,
    /// What the rules found.
    pub findings: Vec<Finding>,
    /// Mass with fuel, kg.
    pub mass_kg: f64,
}

/// Key figures of a duty.
#[derive(Debug, Clone, PartialEq)]
pub struct DutyOutcome {
    /// Name.
    pub name: String,
    /// One for each of [`FIGURES`]; `None` where it could not be had.
    pub figures: [Option<f64>; FIGURES.len()],
    /// Why the duty is not fed, if it is not.
    pub why_not: Option<String>,
}

impl Outcome {
    /// Of a solved rig; asks every rule.
    pub fn of(solution: &Solution<'_>) -> Self {
        let injector = solution.injector.as_ref().ok();
        Self {
            duties: solution
                .duties
                .iter()
                .map(|d| duty(solution, &d.name))
                .collect(),
            holes: injector.map(|i| (i.holes, i.diameter.value)),
            findings: audit(solution).findings,
            mass_kg: solution.inventory().whole().value,
        }
    }

    /// Findings of a signal word.
    pub fn count(&self, signal: Signal) -> usize {
        self.findings.iter().filter(|f| f.signal == signal).count()
    }

    /// The duty of a name.
    pub fn duty(&self, name: &str) -> Option<&DutyOutcome> {
        self.duties.iter().find(|d| d.name == name)
    }
}

fn duty(solution: &Solution<'_>, name: &str) -> DutyOutcome {
    let solved = solution.duties.iter().find(|d| d.name == name);
    let demand = solved.and_then(|d| d.demand.as_ref().ok());
    let injector = solution.injector.as_ref().ok();
    let planned = injector.and_then(|i| i.duties.iter().find(|d| d.name == name));
    let injection = planned.map(|d| d.injection.as_ref());
    let train = solution.train().as_ref();
    let of_train = train
        .ok()
        .and_then(|t| t.duties.iter().find(|d| d.name == name));
    let outlet = of_train
        .and_then(|t| t.solution.as_ref().ok())
        .and_then(|s| s.outlet(INJECTOR));
    // what the holes would need says nothing of a duty that the train does not feed
    let not_fed = of_train.is_some_and(|t| t.solution.is_err());
    let needed_pa = injection
        .filter(|_| !not_fed)
        .and_then(Result::ok)
        .map(|i| i.at_need.supply.pressure_pa);
    let why_not = match (
        solved.map(|d| &d.demand),
        injection,
        of_train.map(|t| &t.solution),
    ) {
        (Some(Err(why)), ..) => Some(why.clone()),
        (_, Some(Err(why)), _) => Some(solution.why(why)),
        (.., Some(Err(why))) => Some(solution.why(why)),
        (.., None) => train.err().cloned(),
        _ => None,
    };
    DutyOutcome {
        name: name.to_owned(),
        figures: [
            demand.map(|d| d.fuel.value),
            demand.map(|d| d.equivalence_ratio.value),
            demand.map(|d| d.heat_release.value),
            solved
                .and_then(super::DutySolution::exit_temperature)
                .map(|t| t.value),
            outlet.map_or(needed_pa, |o| Some(o.inlet.pressure.pascals())),
            of_train.and_then(|t| t.setting.as_ref()).map(|s| s.opening),
            outlet.map(|o| o.flow.value),
        ],
        why_not,
    }
}
