//! What varies: every input of a rig that has a band, and what its draws mean.

use crate::audit::Solution;
use crate::injector::plan::{DutyInjection, InjectorPlan};
use crate::quantity::Kind;
use crate::train::rig::{Rig, Supply};
use crate::train::{Characteristic, Part, TrainPlan};

/// An input with a band. Every value inside it is taken as equally likely, none outside it happens.
///
/// **Source:** `jcgm100`, 4.3.7: where nothing but the ends is known, the distribution is rectangular.
#[derive(Debug, Clone, PartialEq)]
pub struct Input {
    /// What it is.
    pub kind: InputKind,
    /// Name for people.
    pub name: String,
    /// Lower end, as a departure from the value given: relative, or in kelvin.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// Where the band is from.
    pub basis: &'static str,
}

const SUPPLY_KEY: &str = "`supply_pressure` in `[tolerance]`";

/// What an input is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum InputKind {
    /// Diameter of the holes, all alike.
    HoleDiameter,
    /// Discharge coefficient of the holes, all alike.
    DischargeCoefficient,
    /// Drop from the injector's inlet to the chamber, where no train is solved.
    SupplyDrop,
    /// Set pressure of a regulator.
    SetPressure(String),
    /// Gauge pressure of the main.
    MainPressure,
    /// Droop of a regulator.
    Droop(String),
    /// Opening of the throttle.
    Opening,
    /// Temperature of the air round the rig.
    Ambient,
    /// Temperature of tank or main, where it is not that of the air.
    Source,
    /// Air flow.
    AirFlow,
    /// Share of a component of the fuel, by its place.
    Component(usize),
    /// Flow coefficient of a part.
    FlowCoefficient(String),
    /// Rangeability of the throttle.
    Rangeability(String),
    /// Friction of all tubes and hoses, all alike.
    LineLoss,
}

impl Input {
    /// Departure that a draw (0 to 1) means.
    pub fn departure(&self, draw: f64) -> f64 {
        self.low + (self.high - self.low) * draw
    }

    /// Unit of its ends.
    pub fn unit(&self) -> Kind {
        match self.kind {
            InputKind::Ambient | InputKind::Source => Kind::TemperatureDifference,
            _ => Kind::Ratio,
        }
    }

    /// Whether it can change the fuel flow.
    pub fn moves_fuel(&self) -> bool {
        self.kind != InputKind::AirFlow
    }

    fn half(kind: InputKind, name: impl Into<String>, half: f64, key: &'static str) -> Self {
        Self {
            kind,
            name: name.into(),
            low: -half,
            high: half,
            basis: key,
        }
    }
}

/// Every input of a rig with a band that is not nothing, and what is left without one.
pub(super) fn inputs(
    solution: &Solution<'_>,
    plan: &InjectorPlan,
    train: Option<&TrainPlan>,
) -> (Vec<Input>, Vec<&'static str>) {
    let rig = solution.rig;
    let bands = &rig.tolerances;
    let mut inputs = Vec::new();
    let mut without = Vec::new();
    inputs.extend(hole(rig, plan));
    inputs.extend(discharge(rig, plan));
    let mut add = |input: Input| inputs.push(input);
    let relative = |r: Option<crate::quantity::Ratio>| r.map(|r| r.value);
    let duties = train.map_or(&[][..], |t| &t.duties);
    if duties.iter().any(|d| d.solution.is_ok()) {
        supply(solution, &mut add, &mut without);
        droop(rig, &mut add, &mut without);
        parts(rig, train, &mut add);
        if let Some(half) = half_step(rig, train) {
            add(Input::half(
                InputKind::Opening,
                "throttle position",
                half,
                "half a step of its drive",
            ));
        }
    }
    if duties.is_empty() || duties.iter().any(|d| d.solution.is_err()) {
        match relative(bands.supply_pressure) {
            Some(half) => add(Input::half(
                InputKind::SupplyDrop,
                "drop over the holes",
                half,
                SUPPLY_KEY,
            )),
            None => without.push("drop over the holes"),
        }
    }
    let key = "`temperature` in `[tolerance]`";
    match bands.temperature {
        Some(half) => {
            let own = own_temperature(rig);
            let name = match own {
                Some(_) => "ambient temperature",
                None => "ambient and tank temperature",
            };
            add(Input::half(InputKind::Ambient, name, half.value, key));
            if let Some(name) = own {
                add(Input::half(InputKind::Source, name, half.value, key));
            }
        }
        None => without.push("temperatures"),
    }
    match relative(bands.air_flow) {
        Some(half) => add(Input::half(
            InputKind::AirFlow,
            "air flow",
            half,
            "`air_flow` in `[tolerance]`",
        )),
        None => without.push("air flow"),
    }
    let parts = rig.fuel.composition.parts();
    match relative(bands.composition) {
        _ if parts.len() < 2 => {}
        Some(half) => {
            for (i, part) in parts.iter().enumerate() {
                add(Input::half(
                    InputKind::Component(i),
                    format!("share of {}", part.fuel.name),
                    half,
                    "`composition` in `[tolerance]`",
                ));
            }
        }
        None => without.push("composition"),
    }
    inputs.retain(|i| i.high > i.low);
    (inputs, without)
}

/// What has a temperature of its own, given in the file.
fn own_temperature(rig: &Rig) -> Option<&'static str> {
    match &rig.supply {
        Supply::Tank(tank) => tank.temperature.map(|_| "tank temperature"),
        Supply::Mains(main) => main.temperature.map(|_| "temperature of the main"),
    }
}

fn regulators(rig: &Rig) -> Vec<String> {
    let parts = rig.train.parts();
    let found = parts.iter().filter(|p| p.is_regulator());
    found.map(|p| p.name.clone()).collect()
}

/// What sets the pressure of the train: each regulator by its own band, else the last one, or the main, by the
/// band of the supply pressure.
fn supply(solution: &Solution<'_>, add: &mut dyn FnMut(Input), without: &mut Vec<&'static str>) {
    let rig = solution.rig;
    let set = |name: String, half: f64, key: &'static str| {
        let shown = format!("set pressure of {name}");
        Input::half(InputKind::SetPressure(name), shown, half, key)
    };
    let supply = rig.tolerances.supply_pressure.map(|r| r.value);
    let last = solution
        .last_set_pressure()
        .map(|(part, _)| part.name.clone());
    match (rig.tolerances.set_pressure, supply, last) {
        (Some(half), _, Some(_)) => {
            for name in regulators(rig) {
                add(set(name, half.value, "`set_pressure` in `[tolerance]`"));
            }
        }
        (_, Some(half), Some(last)) => add(set(last, half, SUPPLY_KEY)),
        (_, Some(half), None) if rig.supply.tank().is_none() => add(Input::half(
            InputKind::MainPressure,
            "pressure of the main",
            half,
            SUPPLY_KEY,
        )),
        (_, _, None) if rig.supply.tank().is_some() => {
            without.push("supply pressure (the temperature of the tank sets it)");
        }
        _ => without.push("supply pressure"),
    }
}

fn droop(rig: &Rig, add: &mut dyn FnMut(Input), without: &mut Vec<&'static str>) {
    let names = regulators(rig);
    match rig.tolerances.droop {
        _ if names.is_empty() => {}
        Some(half) => {
            for name in names {
                let shown = format!("droop of {name}");
                let key = "`droop` in `[tolerance]`";
                add(Input::half(InputKind::Droop(name), shown, half.value, key));
            }
        }
        None => without.push("droop of regulators"),
    }
}

/// What the parts themselves are known to. Where `[tolerance]` gives no band, the usual one stands in.
fn parts(rig: &Rig, train: Option<&TrainPlan>, add: &mut dyn FnMut(Input)) {
    let bands = &rig.tolerances;
    let all = rig.train.parts();
    for part in all.iter().filter(|p| p.kind.flow_coefficient().is_some()) {
        let (half, basis) = match bands.flow_coefficient {
            Some(half) => (half.value, "`flow_coefficient` in `[tolerance]`"),
            None => usual_flow_coefficient(part),
        };
        let shown = format!("flow coefficient of {}", part.name);
        let kind = InputKind::FlowCoefficient(part.name.clone());
        add(Input::half(kind, shown, half, basis));
    }
    let throttle = train.and_then(|t| t.throttle.as_ref());
    let valve = throttle.and_then(|name| Some((name, rig.train.part(name)?.kind.valve()?)));
    if let Some((name, valve)) = valve
        && matches!(
            valve.characteristic,
            Characteristic::Linear { .. } | Characteristic::EqualPercentage { .. }
        )
    {
        let (half, basis) = match bands.rangeability {
            Some(half) => (half.value, "`rangeability` in `[tolerance]`"),
            None => (
                USUAL_RANGEABILITY,
                "about what iec60534-2-4 allows a characteristic, from memory",
            ),
        };
        let shown = format!("rangeability of {name}");
        add(Input::half(
            InputKind::Rangeability(name.clone()),
            shown,
            half,
            basis,
        ));
    }
    if all.iter().any(|p| p.kind.line().is_some()) {
        let (half, basis) = match bands.line_loss {
            Some(half) => (half.value, "`line_loss` in `[tolerance]`"),
            None => (
                USUAL_LINE_LOSS,
                "usual for friction of clean lines, no source",
            ),
        };
        add(Input::half(
            InputKind::LineLoss,
            "friction of lines",
            half,
            basis,
        ));
    }
}

/// Bands that stand in where the rig gives none: common practice, no source.
const USUAL_RANGEABILITY: f64 = 0.15;
const USUAL_LINE_LOSS: f64 = 0.15;

/// A maker's figure holds within a tenth; one that the catalogue reckons from the bore within a quarter.
fn usual_flow_coefficient(part: &Part) -> (f64, &'static str) {
    if part.catalogue.is_some() {
        (0.25, "catalogue part: reckoned from its bore, our choice")
    } else {
        (0.10, "usual for a maker's figure, no source")
    }
}

/// Half a step of the throttle's drive.
fn half_step(rig: &Rig, train: Option<&TrainPlan>) -> Option<f64> {
    let name = train?.throttle.as_ref()?;
    let steps = rig.train.part(name)?.kind.valve()?.steps?;
    Some(0.5 / f64::from(steps))
}

fn hole(rig: &Rig, plan: &InjectorPlan) -> Option<Input> {
    let bands = &rig.tolerances;
    let discharge = bands.discharge_coefficient.map(|r| r.value);
    let make = rig.injector.make(discharge, bands.hole_tolerance());
    let d_m = plan.diameter.value;
    let grade = make.tolerance(plan.diameter);
    let (least, most) = make.diameters(plan.diameter).ok()?;
    Some(Input {
        kind: InputKind::HoleDiameter,
        name: "hole diameter".to_owned(),
        low: least.value / d_m - 1.0,
        high: most.value / d_m - 1.0,
        basis: grade.name(),
    })
}

/// The widest band of the coefficient at any duty stands for its ends; each duty uses its own.
fn discharge(rig: &Rig, plan: &InjectorPlan) -> Option<Input> {
    let fed = plan.duties.iter().filter_map(|d| d.injection.as_ref().ok());
    let ends = fed.map(|i| coefficient_ends(rig, i));
    let (low, high) = ends.reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))?;
    Some(Input {
        kind: InputKind::DischargeCoefficient,
        name: "discharge coefficient".to_owned(),
        low,
        high,
        basis: match rig.hole_band() {
            Some(_) => "`discharge_coefficient` in `[tolerance]`",
            None if rig.injector.tested.is_some() => "flow test",
            None => "model of the hole",
        },
    })
}

/// Ends of the band of the discharge coefficient at a duty, as departures from its value.
pub(super) fn coefficient_ends(rig: &Rig, injection: &DutyInjection) -> (f64, f64) {
    if let Some(half) = rig.hole_band() {
        return (-half, half);
    }
    let c = &injection.at_need.coefficient;
    (c.low / c.value - 1.0, c.high / c.value - 1.0)
}
