//! Key figures of a solved and audited rig, in a shape that can be laid side by side.

use super::record::{Line, Row, record};
use crate::audit::{DutySolution, Finding, Signal, Solution, audit};
use crate::injector::duty::Demand;
use crate::quantity::{AbsolutePressure, MassRate, ThermodynamicTemperature};
use crate::train::plan::INJECTOR;

record! {
    /// Figures of a duty.
    Figures(
        demand: Option<&Demand>,
        exit: Option<ThermodynamicTemperature>,
        before_holes: Option<AbsolutePressure>,
        opening: Option<f64>,
        through_train: Option<MassRate>,
    ) {
        /// Fuel that the duty wants.
        fuel_flow_kg_s: MassRate = demand.map(|d| d.fuel), "fuel";
        equivalence_ratio: Number = demand.map(|d| d.equivalence_ratio), "equivalence ratio";
        heat_release_w: Power = demand.map(|d| d.heat_release), "heat release" [optional];
        /// Temperature of the gas at the exit.
        exit_temperature_k: Temperature = exit, "exit";
        /// Pressure before the holes.
        injector_pressure_pa: AbsolutePressure = before_holes, "before the holes";
        /// Opening of the throttle.
        throttle_opening: Ratio = opening, "throttle";
        train_flow_kg_s: MassRate = through_train, "fuel through the train" [optional];
    }

    /// Key figures of a duty.
    Duty(value: &str, d: &DutyOutcome) {
        (value): Text = value, "value";
        name: Text = &d.name, "duty";
        ..figures: Row(Figures) = d.figures.clone();
        /// Why it is not fed, if it is not.
        why_not_fed: Text = d.why_not.as_deref();
    }

    /// Number of findings by signal word.
    FindingCounts(value: &str, findings: &[Finding]) {
        (value): Text = value, "value";
        danger: Count = count(findings, Signal::Danger), "DANGER";
        warning: Count = count(findings, Signal::Warning), "WARNING";
        caution: Count = count(findings, Signal::Caution), "CAUTION";
        notice: Count = count(findings, Signal::Notice), "NOTICE";
    }

    /// Key figures of a rig.
    KeyFigures(o: &Outcome) {
        duties: Rows(Duty) = o.duties.iter().map(|d| Duty::row("", d)).collect::<Vec<_>>();
        /// Number of holes.
        holes: Count = o.holes.map(|(n, _)| n);
        /// Diameter of the holes.
        hole_diameter_m: Length = o.holes.map(|(_, d_m)| d_m);
        /// Mass with fuel.
        mass_kg: Mass = o.mass_kg;
        finding_counts: Row(FindingCounts) = FindingCounts::row("", &o.findings);
    }
}

/// The figures of each duty.
pub(crate) fn figures() -> &'static [Line] {
    &Figures::shape().lines
}

/// Key figures of a rig.
#[derive(Debug, Clone)]
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
#[derive(Debug, Clone)]
pub struct DutyOutcome {
    /// Name.
    pub name: String,
    /// Its figures.
    pub(crate) figures: Row,
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
        count(&self.findings, signal)
    }

    /// Whether a finding asks for action before anything else.
    pub fn has_alarms(&self) -> bool {
        self.count(Signal::Danger) + self.count(Signal::Warning) > 0
    }

    /// The duty of a name.
    pub fn duty(&self, name: &str) -> Option<&DutyOutcome> {
        self.duties.iter().find(|d| d.name == name)
    }
}

/// Findings of a signal word.
pub(super) fn count(findings: &[Finding], signal: Signal) -> usize {
    findings.iter().filter(|f| f.signal == signal).count()
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
    let needed = injection
        .filter(|_| !not_fed)
        .and_then(Result::ok)
        .map(|i| AbsolutePressure::from_pascals(i.at_need.supply.pressure_pa));
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
        figures: Figures::row(
            demand,
            solved.and_then(DutySolution::exit_temperature),
            outlet.map_or(needed, |o| Some(o.inlet.pressure)),
            of_train.and_then(|t| t.setting.as_ref()).map(|s| s.opening),
            outlet.map(|o| o.flow),
        ),
        why_not,
    }
}
