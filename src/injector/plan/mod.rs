//! One set of holes for all duties of a rig: what each duty needs of them and gets from them.

mod planner;

use super::drills::{Drill, HoleTolerance};
use super::error::InjectorError;
use super::hole::HoleMake;
use super::jet::{CrossFlow, JetError, Penetration};
use super::perforated;
use super::ring::{Distribution, RingError};
use super::size::InjectorResult;
use super::spec::InjectorSpec;
use crate::eos::Backend;
use crate::quantity::sentence::{Sentence, length, sentence};
use crate::quantity::told::errors;
use crate::quantity::{
    AbsolutePressure, Area, Length, MassDensity, MassRate, Ratio, ThermodynamicTemperature,
    metres_per_second, ratio,
};
use planner::Planner;

/// What a duty asks of the injector.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DutyNeed<'a> {
    /// Name of the duty.
    pub name: &'a str,
    /// Fuel flow.
    pub fuel: MassRate,
    /// Equivalence ratio that this flow gives.
    pub equivalence_ratio: Ratio,
    /// Pressure behind the holes.
    pub chamber: AbsolutePressure,
    /// Pressure before the holes, where it is set.
    pub pressure: Option<AbsolutePressure>,
    /// Temperature of the fuel before the holes.
    pub temperature: ThermodynamicTemperature,
    /// Air that the jets cross.
    pub cross_flow: Option<CrossFlow>,
}

/// Bands on what is given, each a relative half-width.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct PlanBands {
    /// Air flow.
    pub air_flow: f64,
    /// Drop over the holes.
    pub supply_drop: f64,
    /// Discharge coefficient; `None`: that of its model.
    pub discharge: Option<f64>,
    /// Class of the finished holes; `None`: what their edge suggests.
    pub tolerance: Option<HoleTolerance>,
}

impl PlanBands {
    /// How the holes of an injector are made.
    pub fn make(&self, spec: &InjectorSpec) -> HoleMake {
        spec.make(self.discharge, self.tolerance)
    }
}

/// One set of holes, and what every duty makes of it.
#[derive(Debug, Clone)]
pub struct InjectorPlan {
    /// Diameter of a hole.
    pub diameter: Length,
    /// Number of holes.
    pub holes: u32,
    /// Duty they were sized at; `None` where the diameter is given.
    pub sized_at: Option<String>,
    /// Duties, in the order asked.
    pub duties: Vec<PlannedDuty>,
    /// Most over least fuel flow of the duties that the holes can feed.
    pub turndown: Option<Ratio>,
    /// What a wider tube or smaller holes would do for the least even duty; `None` where it is even
    /// enough, or no spread is wanted.
    pub remedy: Option<Remedy>,
    /// Handbook rule for the spread of a tube with these holes, friction left out.
    pub rule_spread: Option<Ratio>,
    /// Area of all holes over that of the tube's bore.
    pub area_ratio: Option<Ratio>,
    /// What was taken for granted.
    pub assumptions: Vec<Sentence>,
}

/// A duty and its answer.
#[derive(Debug, Clone)]
pub struct PlannedDuty {
    /// Name.
    pub name: String,
    /// What the holes do for it, or why they cannot.
    pub injection: Result<DutyInjection, InjectorError>,
}

/// What the holes do for a duty.
#[derive(Debug, Clone)]
pub struct DutyInjection {
    /// Holes at the pressure that gives the duty its fuel.
    pub at_need: InjectorResult,
    /// Least flow, with every band at its worst.
    pub flow_low: MassRate,
    /// Most flow, with every band at its worst.
    pub flow_high: MassRate,
    /// Equivalence ratio at the least flow and most air.
    pub equivalence_ratio_low: Ratio,
    /// Equivalence ratio at the most flow and least air.
    pub equivalence_ratio_high: Ratio,
    /// What flows at the pressure that is set.
    pub at_given: Option<AtGiven>,
    /// Momentum of the jets over that of the air they cross.
    pub momentum_ratio: Option<Ratio>,
    /// How far the jets reach; `None` where no place is named.
    pub reach: Option<Result<Penetration, JetError>>,
    /// Flow hole by hole; `None` where the holes are fed alike.
    pub sharing: Option<Result<Distribution, SharingError>>,
    /// Drills around the diameter: flow error and equivalence ratio each.
    pub drills: Vec<DrillAtDuty>,
}

/// Flow at a pressure that is set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AtGiven {
    /// Pressure before the holes.
    pub pressure: AbsolutePressure,
    /// Flow.
    pub flow: MassRate,
    /// Equivalence ratio.
    pub equivalence_ratio: Ratio,
}

/// What one drill would do at a duty.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DrillAtDuty {
    /// The drill.
    pub drill: &'static Drill,
    /// Flow over the flow wanted, less one.
    pub flow_error: Ratio,
    /// Equivalence ratio with holes of this drill.
    pub equivalence_ratio: Ratio,
}

/// What makes a tube even.
#[derive(Debug, Clone, PartialEq)]
pub struct Remedy {
    /// Duty with the largest spread.
    pub duty: String,
    /// Bore of the tube that would do, holes as they are.
    pub bore: Result<Length, RingError>,
    /// Diameter of holes that would do, tube as it is; the feed pressure must then rise.
    pub hole_diameter: Result<Length, RingError>,
}

errors! {
    /// Why the flow hole by hole is not known.
    pub enum SharingError {
        Ring(RingError);
        Hole(InjectorError);
    }
}

errors! {
    /// Why there is no plan.
    pub enum PlanError {
        NoSuchDuty { duty: String } =>
            "the holes are to be sized at `{}`, and there is no such duty", duty;
        NoPressure { duty: String } =>
            "the holes are to be sized at `{}`, and the pressure before them is not given: give `pressure` in `[injector]` or `injector_pressure` in the duty",
            duty;
        Sizing { duty: String, error: InjectorError } =>
            "sizing the holes at `{}`: {}", duty, error.told();
    }
}

/// Sizes the holes, if they are to be sized, and follows them through every duty.
///
/// For each duty: the pressure before the holes that gives it its fuel, choking, jet, drop and spread at
/// that pressure; the band from hole tolerance, discharge coefficient, supply and air; the flow at the
/// pressure that is set, where one is; and the error of each drill near the diameter.
///
/// **Valid:** as [`size`](super::size::size) and [`distribution`](super::ring::Manifold::distribution).
/// **Source:** theirs.
///
/// # Errors
/// [`PlanError`] if there is no diameter. A duty that the holes cannot feed is an answer, not an error.
pub fn plan(
    fluid: &dyn Backend,
    spec: &InjectorSpec,
    needs: &[DutyNeed<'_>],
    bands: &PlanBands,
) -> Result<InjectorPlan, PlanError> {
    let planner = Planner { fluid, spec, bands };
    let (diameter, sized_at) = planner.diameter(needs)?;
    let duties: Vec<PlannedDuty> = needs
        .iter()
        .map(|need| PlannedDuty {
            name: need.name.to_owned(),
            injection: planner.injection(need, diameter),
        })
        .collect();
    let fed = || duties.iter().filter_map(|d| d.injection.as_ref().ok());
    let flows = || fed().map(|d| d.at_need.wanted.value);
    let (most, least) = (
        flows().fold(0.0_f64, f64::max),
        flows().fold(f64::INFINITY, f64::min),
    );
    let area_ratio = spec.manifold.as_ref().map(|m| {
        let holes_m2 = f64::from(spec.holes) * diameter.value * diameter.value;
        ratio(holes_m2 / (m.bore.value * m.bore.value))
    });
    let discharge = fed()
        .map(|d| d.at_need.coefficient.value)
        .fold(0.0, f64::max);
    let mut assumptions: Vec<Sentence> = Vec::new();
    for sentence in fed().flat_map(|d| &d.at_need.assumptions) {
        if assumptions
            .iter()
            .all(|a| a.to_string() != sentence.to_string())
        {
            assumptions.push(sentence.clone());
        }
    }
    if spec
        .manifold
        .as_ref()
        .is_some_and(|m| m.roughness.is_none())
    {
        assumptions.push(sentence!(
            "the ring or bar is drawn tube, roughness {}",
            length(1.5e-6).fixed("mm", 1e-3, 4)
        ));
    }
    Ok(InjectorPlan {
        diameter,
        holes: spec.holes,
        sized_at,
        turndown: (most > 0.0).then(|| ratio(most / least)),
        remedy: planner.remedy(needs, &duties, diameter),
        rule_spread: area_ratio.and_then(|a| perforated::spread(a, ratio(discharge), ratio(0.0))),
        area_ratio,
        assumptions,
        duties,
    })
}

/// Velocity and density of air that passes an area, for the jets that cross it.
///
/// ```
/// use fuelwright::injector::plan::cross_flow;
/// use fuelwright::quantity::{kilograms_per_cubic_metre, kilograms_per_second, square_metres};
/// let air = cross_flow(kilograms_per_second(0.06), square_metres(40e-4), kilograms_per_cubic_metre(1.2));
/// assert!((air.velocity.value - 12.5).abs() < 1e-9);
/// ```
pub fn cross_flow(air: MassRate, passage: Area, density: MassDensity) -> CrossFlow {
    CrossFlow {
        velocity: metres_per_second(air.value / (density.value * passage.value)),
        density,
    }
}
