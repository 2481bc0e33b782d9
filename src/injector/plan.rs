//! One set of holes for all duties of a rig: what each duty needs of them and gets from them.

use super::drills::{Drill, HoleTolerance};
use super::error::InjectorError;
use super::hole::{HoleMake, InletEdge};
use super::hole_law::HoleLaw;
use super::jet::{CrossFlow, Jet, JetError, Penetration, Throat};
use super::perforated;
use super::ring::{Distribution, Feed, Manifold, RingError};
use super::size::{InjectorInput, InjectorResult, size};
use super::solve::Unknown;
use super::spec::{HoleEdge, HoleSize, InjectorSpec, ManifoldLayout, ManifoldSpec};
use super::supply::{IdealHole, Supply};
use crate::eos::Backend;
use crate::flow::orifice::Expansion;
use crate::quantity::{
    AbsolutePressure, Length, MassRate, Ratio, ThermodynamicTemperature, kilograms_per_cubic_metre,
    kilograms_per_second, metres, pascal_seconds, pascals_absolute, ratio,
};
use std::f64::consts::FRAC_PI_4;

/// Roughness taken for a ring or bar where none is given: drawn tube, textbook figure (Moody 1944), from
/// memory.
pub const ASSUMED_ROUGHNESS_M: f64 = 1.5e-6;
/// Room above the feed that the flow of a hole is sampled over: momentum can lift the far holes.
const SAMPLED_OVER: f64 = 1.25;

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
    pub assumptions: Vec<String>,
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
    pub sharing: Option<Result<Distribution, RingError>>,
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

/// Why there is no plan.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PlanError {
    /// The holes are to be sized at a duty that is not there.
    #[error("the holes are to be sized at `{duty}`, and there is no such duty")]
    NoSuchDuty {
        /// Asked.
        duty: String,
    },
    /// The duty has no pressure to size at.
    #[error(
        "the holes are to be sized at `{duty}`, and the pressure before them is not given: give `pressure` in `[injector]` or `injector_pressure` in the duty"
    )]
    NoPressure {
        /// Duty.
        duty: String,
    },
    /// No hole does it.
    #[error("sizing the holes at `{duty}`: {error}")]
    Sizing {
        /// Duty.
        duty: String,
        /// Why.
        error: InjectorError,
    },
}

/// Sizes the holes, if they are to be sized, and follows them through every duty.
///
/// For each duty: the pressure before the holes that gives it its fuel, choking, jet, drop and spread at
/// that pressure; the band from hole tolerance, discharge coefficient, supply and air; the flow at the
/// pressure that is set, where one is; and the error of each drill near the diameter.
///
/// **Valid:** as [`size`] and [`Manifold::distribution`].
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
    let mut assumptions: Vec<String> = Vec::new();
    for sentence in fed().flat_map(|d| &d.at_need.assumptions) {
        if !assumptions.contains(sentence) {
            assumptions.push(sentence.clone());
        }
    }
    if spec
        .manifold
        .as_ref()
        .is_some_and(|m| m.roughness.is_none())
    {
        assumptions.push("the ring or bar is drawn tube, roughness 0.0015 mm".to_owned());
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

/// What a plan works with.
struct Planner<'a> {
    fluid: &'a dyn Backend,
    spec: &'a InjectorSpec,
    bands: &'a PlanBands,
}

impl<'a> Planner<'a> {
    fn make(&self) -> HoleMake {
        let edge = match (self.spec.discharge_coefficient, self.spec.edge) {
            (Some(c), _) => InletEdge::Measured {
                coefficient: c.value,
                relative_band: self.bands.discharge,
            },
            (None, HoleEdge::Drilled) => InletEdge::Drilled,
            (None, HoleEdge::Sharp) => InletEdge::Sharp,
            (None, HoleEdge::Rounded(radius)) => InletEdge::Rounded(radius),
        };
        HoleMake {
            edge,
            length: self.spec.hole_length,
            tolerance: self.bands.tolerance,
        }
    }

    fn input(&self, need: &DutyNeed<'_>) -> InjectorInput<'a> {
        InjectorInput {
            fluid: self.fluid,
            supply_pressure: None,
            supply: Supply::Temperature(need.temperature),
            chamber: need.chamber,
            holes: Some(self.spec.holes),
            diameter: None,
            flow: None,
            make: self.make(),
            expansion: Expansion::Blend,
            phase: None,
        }
    }

    fn pressure(&self, need: &DutyNeed<'_>) -> Option<AbsolutePressure> {
        need.pressure.or(self.spec.pressure)
    }

    fn diameter(&self, needs: &[DutyNeed<'_>]) -> Result<(Length, Option<String>), PlanError> {
        let name = match &self.spec.size {
            HoleSize::Diameter(d) => return Ok((*d, None)),
            HoleSize::SizedAt(name) => name,
        };
        let need = needs.iter().find(|n| n.name == name);
        let need = need.ok_or_else(|| PlanError::NoSuchDuty { duty: name.clone() })?;
        let pressure = self.pressure(need);
        let pressure = pressure.ok_or_else(|| PlanError::NoPressure { duty: name.clone() })?;
        let found = size(&InjectorInput {
            supply_pressure: Some(pressure),
            flow: Some(need.fuel),
            ..self.input(need)
        });
        let found = found.map_err(|error| PlanError::Sizing {
            duty: name.clone(),
            error,
        })?;
        Ok((found.diameter, Some(name.clone())))
    }

    fn injection(
        &self,
        need: &DutyNeed<'_>,
        diameter: Length,
    ) -> Result<DutyInjection, InjectorError> {
        let at_need = size(&InjectorInput {
            diameter: Some(diameter),
            flow: Some(need.fuel),
            ..self.input(need)
        })?;
        debug_assert_eq!(at_need.unknown, Unknown::Pressure);
        let phi = need.equivalence_ratio.value;
        let (flow_low, flow_high) = self.band(need, &at_need)?;
        let of_need = |flow_kg_s: f64| flow_kg_s / need.fuel.value;
        let air = self.bands.air_flow;
        let drills = at_need
            .drills
            .iter()
            .map(|d| DrillAtDuty {
                drill: d.drill,
                flow_error: d.flow_error,
                equivalence_ratio: ratio(phi * (1.0 + d.flow_error.value)),
            })
            .collect();
        let at_given = self.at_given(need, diameter)?;
        let (momentum_ratio, reach) = self.jets(need, &at_need);
        Ok(DutyInjection {
            flow_low: kilograms_per_second(flow_low),
            flow_high: kilograms_per_second(flow_high),
            equivalence_ratio_low: ratio(phi * of_need(flow_low) / (1.0 + air)),
            equivalence_ratio_high: ratio(phi * of_need(flow_high) / (1.0 - air).max(0.01)),
            at_given,
            momentum_ratio,
            reach,
            sharing: self.sharing(need, &at_need)?,
            drills,
            at_need,
        })
    }

    /// Flow with hole, coefficient and supply all at their least, and all at their most.
    fn band(
        &self,
        need: &DutyNeed<'_>,
        at_need: &InjectorResult,
    ) -> Result<(f64, f64), InjectorError> {
        let flow = &at_need.flow;
        let (mut low, mut high) = (
            flow.low.value / flow.value.value,
            flow.high.value / flow.value.value,
        );
        if let Some(half_width) = self.bands.discharge {
            // the user's band in place of the model's
            let c = &at_need.coefficient;
            low *= (1.0 - half_width) * c.value / c.low;
            high *= (1.0 + half_width) * c.value / c.high;
        }
        if self.bands.supply_drop > 0.0 {
            let chamber_pa = need.chamber.pascals();
            let drop_pa = at_need.supply.pressure_pa - chamber_pa;
            let flux = |factor: f64| {
                self.flux(need, chamber_pa + factor * drop_pa)
                    .map(|flux| flux / at_need.flux.value)
            };
            low *= flux((1.0 - self.bands.supply_drop).max(1e-6))?;
            high *= flux(1.0 + self.bands.supply_drop)?;
        }
        Ok((flow.value.value * low, flow.value.value * high))
    }

    /// Ideal flux from a pressure, kg/(m² s).
    fn flux(&self, need: &DutyNeed<'_>, p_pa: f64) -> Result<f64, InjectorError> {
        self.ideal(need, p_pa).map(|ideal| ideal.flux)
    }

    fn ideal(&self, need: &DutyNeed<'_>, p_pa: f64) -> Result<IdealHole<'a>, InjectorError> {
        let supply = Supply::Temperature(need.temperature);
        let up = supply.at(self.fluid, pascals_absolute(p_pa), None)?;
        IdealHole::new(up, need.chamber, Expansion::Blend)
    }

    fn at_given(
        &self,
        need: &DutyNeed<'_>,
        diameter: Length,
    ) -> Result<Option<AtGiven>, InjectorError> {
        let Some(pressure) = need.pressure else {
            return Ok(None);
        };
        let ideal = self.ideal(need, pressure.pascals())?;
        let flow = self.flow_of_all(&ideal, diameter)?;
        Ok(Some(AtGiven {
            pressure,
            flow: kilograms_per_second(flow),
            equivalence_ratio: ratio(need.equivalence_ratio.value * flow / need.fuel.value),
        }))
    }

    fn flow_of_all(&self, ideal: &IdealHole<'_>, diameter: Length) -> Result<f64, InjectorError> {
        let c = ideal.coefficient(&self.make(), diameter)?;
        let area_m2 = FRAC_PI_4 * diameter.value * diameter.value;
        Ok(f64::from(self.spec.holes) * area_m2 * c.value * ideal.flux)
    }

    fn jets(
        &self,
        need: &DutyNeed<'_>,
        at_need: &InjectorResult,
    ) -> (Option<Ratio>, Option<Result<Penetration, JetError>>) {
        let (Some(air), true) = (need.cross_flow, at_need.superheat.is_some()) else {
            return (None, None);
        };
        let throat = Throat {
            flow: kilograms_per_second(at_need.flow.value.value / f64::from(at_need.holes)),
            velocity: at_need.throat.velocity,
            density: at_need.throat.density,
            pressure: at_need.throat.pressure,
        };
        let jet = Jet::expanded(
            &throat,
            pascals_absolute(at_need.supply.pressure_pa),
            kilograms_per_cubic_metre(at_need.supply.density_kg_m3),
            need.chamber,
        );
        match jet {
            Ok(jet) => (
                jet.momentum_ratio(&air).ok(),
                self.spec.mixing_length.map(|x| jet.penetration(&air, x)),
            ),
            Err(e) => (None, Some(Err(e))),
        }
    }

    fn manifold(&self, tube: &ManifoldSpec) -> Manifold {
        let roughness = tube.roughness.unwrap_or(metres(ASSUMED_ROUGHNESS_M));
        let n = usize::try_from(self.spec.holes).unwrap_or(usize::MAX);
        match &tube.layout {
            ManifoldLayout::Ring {
                diameter,
                feeds,
                holes,
            } => {
                let even = || Manifold::even_angles(n);
                let holes = holes.clone().unwrap_or_else(even);
                Manifold::ring(*diameter, tube.bore, roughness, feeds, &holes)
            }
            ManifoldLayout::Bar {
                length,
                feeds,
                holes,
            } => Manifold::bar(
                *length,
                tube.bore,
                roughness,
                feeds,
                &holes
                    .clone()
                    .unwrap_or_else(|| Manifold::even_places(n, *length)),
            ),
        }
    }

    #[allow(
        clippy::type_complexity,
        reason = "holes fed alike, a tube that cannot carry the flow, and a failed property are three answers"
    )]
    fn sharing(
        &self,
        need: &DutyNeed<'_>,
        at_need: &InjectorResult,
    ) -> Result<Option<Result<Distribution, RingError>>, InjectorError> {
        let Some(tube) = &self.spec.manifold else {
            return Ok(None);
        };
        let law = self.law(need, at_need)?;
        let feed = self.feed(at_need)?;
        Ok(Some(self.manifold(tube).distribution(&feed, &law)))
    }

    fn feed(&self, at_need: &InjectorResult) -> Result<Feed, InjectorError> {
        Ok(Feed {
            pressure: pascals_absolute(at_need.supply.pressure_pa),
            density: kilograms_per_cubic_metre(at_need.supply.density_kg_m3),
            viscosity: pascal_seconds(self.fluid.viscosity_pa_s(&at_need.supply)?),
        })
    }

    /// Flow of one hole against the pressure before it.
    fn law(&self, need: &DutyNeed<'_>, at_need: &InjectorResult) -> Result<HoleLaw, InjectorError> {
        let (p_pa, chamber_pa) = (at_need.supply.pressure_pa, need.chamber.pascals());
        let top_pa = chamber_pa + SAMPLED_OVER * (p_pa - chamber_pa);
        let critical = if at_need.choked {
            Some(at_need.throat.pressure.pascals() / p_pa)
        } else {
            at_need.supply.response.map(|r| {
                let gamma = at_need.supply.density_kg_m3 * r.speed_of_sound_m_s.powi(2) / p_pa;
                (2.0 / (gamma + 1.0)).powf(gamma / (gamma - 1.0))
            })
        };
        let chokes_at_pa = critical.map(|r| chamber_pa / r).filter(|p| p.is_finite());
        let one = 1.0 / f64::from(self.spec.holes);
        HoleLaw::sample(chamber_pa, chokes_at_pa, top_pa, |p_pa| {
            let ideal = self.ideal(need, p_pa)?;
            Ok(one * self.flow_of_all(&ideal, at_need.diameter)?)
        })
    }

    /// For the duty with the largest spread, if that is more than wanted.
    fn remedy(
        &self,
        needs: &[DutyNeed<'_>],
        duties: &[PlannedDuty],
        diameter: Length,
    ) -> Option<Remedy> {
        let (wanted, tube) = (self.spec.wanted_spread?, self.spec.manifold.as_ref()?);
        let spread = |i: &DutyInjection| match &i.sharing {
            Some(Ok(d)) => Some(d.spread.value),
            // a tube that carries nothing is as uneven as can be
            Some(Err(_)) => Some(1.0),
            None => None,
        };
        let worst = needs.iter().zip(duties).filter_map(|(need, duty)| {
            let injection = duty.injection.as_ref().ok()?;
            Some((spread(injection)?, need, injection))
        });
        let (spread, need, injection) = worst.max_by(|a, b| a.0.total_cmp(&b.0))?;
        if spread <= wanted.value {
            return None;
        }
        let law = self.law(need, &injection.at_need).ok()?;
        let feed = self.feed(&injection.at_need).ok()?;
        let manifold = self.manifold(tube);
        let smaller = manifold.hole_area_factor_for_spread(&feed, &law, wanted);
        Some(Remedy {
            duty: need.name.to_owned(),
            bore: manifold.bore_for_spread(&feed, &law, wanted),
            hole_diameter: smaller.map(|factor| metres(diameter.value * factor.value.sqrt())),
        })
    }
}

/// Velocity and density of air that passes an area, for the jets that cross it.
///
/// ```
/// use fuelwright::injector::plan::cross_flow;
/// use fuelwright::quantity::{kilograms_per_cubic_metre, kilograms_per_second, square_metres};
/// let air = cross_flow(kilograms_per_second(0.06), square_metres(40e-4), kilograms_per_cubic_metre(1.2));
/// assert!((air.velocity.value - 12.5).abs() < 1e-9);
/// ```
pub fn cross_flow(
    air: MassRate,
    passage: crate::quantity::Area,
    density: crate::quantity::MassDensity,
) -> CrossFlow {
    CrossFlow {
        velocity: crate::quantity::metres_per_second(air.value / (density.value * passage.value)),
        density,
    }
}
