//! How a plan is made: sizing, then every duty by itself.

use super::{
    AtGiven, DrillAtDuty, DutyInjection, DutyNeed, PlanBands, PlanError, PlannedDuty, Remedy,
    SharingError,
};
use crate::eos::Backend;
use crate::flow::orifice::Expansion;
use crate::injector::error::InjectorError;
use crate::injector::hole::HoleMake;
use crate::injector::hole_law::HoleLaw;
use crate::injector::jet::{Jet, JetError, Penetration, Throat};
use crate::injector::ring::{Distribution, Feed, Manifold};
use crate::injector::size::{InjectorInput, InjectorResult, size};
use crate::injector::solve::Unknown;
use crate::injector::spec::{HoleSize, InjectorSpec, ManifoldLayout, ManifoldSpec};
use crate::injector::supply::{IdealHole, Supply};
use crate::quantity::{
    AbsolutePressure, Length, Ratio, kilograms_per_cubic_metre, kilograms_per_second, metres,
    pascal_seconds, pascals_absolute, ratio,
};
use std::f64::consts::FRAC_PI_4;

/// Roughness taken for a ring or bar where none is given: drawn tube, textbook figure (Moody 1944), from
/// memory.
const ASSUMED_ROUGHNESS_M: f64 = 1.5e-6;
/// Room above the feed that the flow of a hole is sampled over: momentum can lift the far holes.
const SAMPLED_OVER: f64 = 1.25;

/// What a plan works with.
pub(super) struct Planner<'a> {
    pub(super) fluid: &'a dyn Backend,
    pub(super) spec: &'a InjectorSpec,
    pub(super) bands: &'a PlanBands,
}

impl<'a> Planner<'a> {
    fn make(&self) -> HoleMake {
        self.bands.make(self.spec)
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

    pub(super) fn diameter(
        &self,
        needs: &[DutyNeed<'_>],
    ) -> Result<(Length, Option<String>), PlanError> {
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

    pub(super) fn injection(
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
            sharing: (self.spec.manifold.as_ref()).map(|tube| self.sharing(tube, need, &at_need)),
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

    /// Flow hole by hole of a ring or bar.
    fn sharing(
        &self,
        tube: &ManifoldSpec,
        need: &DutyNeed<'_>,
        at_need: &InjectorResult,
    ) -> Result<Distribution, SharingError> {
        let law = self.law(need, at_need)?;
        let feed = self.feed(at_need)?;
        Ok(self.manifold(tube).distribution(&feed, &law)?)
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
            match self.flow_of_all(&ideal, at_need.diameter) {
                Ok(flow) => Ok(one * flow),
                // far below the answer the Reynolds number may leave its range; holes that end there
                // pass next to nothing
                Err(InjectorError::Discharge(_)) => {
                    let area_m2 = FRAC_PI_4 * at_need.diameter.value.powi(2);
                    Ok(area_m2 * at_need.coefficient.value * ideal.flux)
                }
                Err(error) => Err(error),
            }
        })
    }

    /// For the duty with the largest spread, if that is more than wanted.
    pub(super) fn remedy(
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
