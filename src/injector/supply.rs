//! The fuel before the holes, and what an ideal hole passes of it.

use super::error::InjectorError;
use super::hole::{HoleMake, InletEdge};
use crate::eos::{Backend, EosError, Phase, State};
use crate::flow::discharge::{DischargeCoefficient, HoleFlow, cavitation_number, for_hole};
use crate::flow::orifice::{
    Expansion, IsentropicFlux, LiquidFlux, Stagnation, Throat, frozen_flux, isentropic_flux,
    liquid_flux,
};
use crate::fuel::FedAs;
use crate::quantity::sentence::{Sentence, pressure, sentence, temperature};
use crate::quantity::{AbsolutePressure, Length, ThermodynamicTemperature};

/// What is known of the fuel before the holes besides its pressure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Supply {
    /// Its temperature.
    Temperature(ThermodynamicTemperature),
    /// It is saturated, with this share of vapour by mass: 0 saturated liquid, 1 saturated vapour.
    Quality(f64),
}

impl Supply {
    /// The state at a pressure, in the phase wanted.
    pub(super) fn at(
        self,
        fluid: &dyn Backend,
        pressure: AbsolutePressure,
        wanted: Option<FedAs>,
    ) -> Result<Stagnation<'_>, InjectorError> {
        let up = match self {
            Self::Temperature(t) => Stagnation::at(fluid, pressure, t)?,
            Self::Quality(q) => Stagnation::saturated(fluid, pressure, q)?,
        };
        match wanted {
            Some(FedAs::Gas) if !up.is_gas() => Err(other_phase(&up, FedAs::Gas)),
            Some(FedAs::Liquid) if !up.is_liquid() => Err(other_phase(&up, FedAs::Liquid)),
            _ => Ok(up),
        }
    }
}

fn other_phase(up: &Stagnation<'_>, wanted: FedAs) -> InjectorError {
    let (fluid, state) = (up.fluid(), up.state());
    let (t_k, p_pa) = (state.temperature_k, state.pressure_pa);
    let (wanted, [by_p, by_t], edges) = match wanted {
        FedAs::Gas => (
            "vapour",
            ["under", "over"],
            [fluid.dew_t(t_k), fluid.dew_p(p_pa)],
        ),
        FedAs::Liquid => (
            "liquid",
            ["over", "under"],
            [fluid.bubble_t(t_k), fluid.bubble_p(p_pa)],
        ),
    };
    let way_out = match edges {
        [Ok(t), Ok(p)] => sentence!(
            "; it is {} {} {} at this temperature, or {} {} at this pressure",
            wanted,
            by_p,
            pressure(t.pressure_pa),
            by_t,
            temperature(p.temperature_k)
        ),
        _ => Sentence::default(),
    };
    InjectorError::OtherPhase {
        fuel: fluid.composition().label().to_owned(),
        phase: state.phase.name(),
        t_k,
        p_pa,
        wanted,
        way_out,
    }
}

/// Kind of fluid the coefficient is taken for.
#[derive(Debug, Clone, Copy)]
enum Kind {
    Gas {
        pressure_ratio: f64,
        gamma: f64,
    },
    Liquid {
        cavitation_number: Option<f64>,
    },
    /// Liquid and vapour together before the hole already.
    Wet {
        quality: f64,
        pressure_ratio: f64,
    },
}

/// Isentropic exponent taken for a wet supply: two phases slip and flash, no single value holds.
const WET_EXPONENT: f64 = 1.1;

/// Share of the flux without further boiling in that of saturated liquid by the blend of expansions.
const SHARE_AT_NO_VAPOUR: f64 = 0.5;
/// Vapour by mass over which that share falls by e: at the pressures of liquefied gas it fills a fifth of the
/// volume, and boiling no longer lacks a surface. Our choice: no source.
const FADING_QUALITY: f64 = 0.005;

/// What an ideal hole passes from a supply to a chamber.
#[derive(Debug)]
pub(crate) struct IdealHole<'a> {
    pub(crate) up: Stagnation<'a>,
    /// Mass flux, kg/(m² s).
    pub(crate) flux: f64,
    /// Bounds of the flux by the expansion, kg/(m² s).
    pub(crate) flux_low: f64,
    pub(crate) flux_high: f64,
    pub(crate) choked: bool,
    pub(crate) throat: Throat,
    pub(crate) crosses_saturation: Option<AbsolutePressure>,
    /// Share of equilibrium in the flux of a liquid or of liquid and vapour; `None` for gas.
    pub(crate) flashing_share: Option<f64>,
    /// Velocity of the jet of a liquid or of liquid and vapour once it has expanded to the chamber, by the
    /// momentum of the flux and the pressure left in the throat, m/s; `None` for gas.
    pub(crate) jet_m_s: Option<f64>,
    viscosity_pa_s: Result<f64, EosError>,
    kind: Kind,
}

impl<'a> IdealHole<'a> {
    pub(crate) fn new(
        up: Stagnation<'a>,
        chamber: AbsolutePressure,
        expansion: Expansion,
    ) -> Result<Self, InjectorError> {
        let state = *up.state();
        let p0_pa = state.pressure_pa;
        let pressure_ratio = chamber.pascals() / p0_pa;
        if up.is_liquid() {
            let flow = liquid_flux(&up, chamber, expansion)?;
            let bernoulli = flow.bernoulli.value;
            let equilibrium = flow.equilibrium.map_or(bernoulli, |e| e.flux.value);
            let (flux_low, flux_high) = match expansion {
                Expansion::Blend => (equilibrium.min(bernoulli), bernoulli),
                Expansion::Equilibrium | Expansion::Bernoulli => (flow.flux.value, flow.flux.value),
            };
            let cavitation_number = flow
                .vapour_pressure
                .map(|pv| cavitation_number(p0_pa, chamber.pascals(), pv.pascals().min(p0_pa)))
                .transpose()?;
            return Ok(Self {
                jet_m_s: Some(liquid_jet(&flow, state.density_kg_m3, chamber)),
                flux: flow.flux.value,
                flux_low,
                flux_high,
                choked: flow.choked,
                throat: flow.throat,
                crosses_saturation: flow.equilibrium.and_then(|e| e.crosses_saturation),
                flashing_share: Some(flow.flashing_share),
                viscosity_pa_s: viscosity(&up, Phase::Liquid),
                kind: Kind::Liquid { cavitation_number },
                up,
            });
        }
        if up.is_gas() {
            Self::of_gas(up, chamber, pressure_ratio)
        } else {
            Self::of_wet(up, chamber, pressure_ratio, expansion)
        }
    }

    fn of_gas(
        up: Stagnation<'a>,
        chamber: AbsolutePressure,
        pressure_ratio: f64,
    ) -> Result<Self, InjectorError> {
        let flow = isentropic_flux(&up, chamber)?;
        let gas = in_phase(&up, Phase::Gas)?;
        let w_m_s = gas.response()?.speed_of_sound_m_s;
        let gamma = gas.density_kg_m3 * w_m_s * w_m_s / up.state().pressure_pa;
        Ok(Self {
            flux: flow.flux.value,
            flux_low: flow.flux.value,
            flux_high: flow.flux.value,
            choked: flow.choked,
            throat: flow.throat,
            crosses_saturation: flow.crosses_saturation,
            flashing_share: None,
            jet_m_s: None,
            viscosity_pa_s: up.fluid().viscosity_pa_s(&gas),
            kind: Kind::Gas {
                pressure_ratio,
                gamma,
            },
            up,
        })
    }

    /// Liquid and vapour together: the equilibrium flux, with little vapour a share of the flux without
    /// further boiling, so that saturated liquid and a trace of vapour in it pass the same.
    fn of_wet(
        up: Stagnation<'a>,
        chamber: AbsolutePressure,
        pressure_ratio: f64,
        expansion: Expansion,
    ) -> Result<Self, InjectorError> {
        let flow = isentropic_flux(&up, chamber)?;
        let frozen = frozen_flux(&up, chamber)?;
        let quality = up.state().vapour_mass_fraction;
        let frozen_share = match expansion {
            Expansion::Equilibrium => 0.0,
            // the vapour expands as in equilibrium: dry, both are one
            Expansion::Bernoulli => 1.0 - quality,
            Expansion::Blend => SHARE_AT_NO_VAPOUR * (-quality / FADING_QUALITY).exp(),
        };
        let of = |equilibrium: f64, other: f64| equilibrium + frozen_share * (other - equilibrium);
        let (equilibrium, without) = (flow.flux.value, frozen.flux.value);
        let flux = of(equilibrium, without);
        let momentum = of(
            equilibrium * expanded(&flow, chamber),
            without * frozen.jet.value,
        );
        let (flux_low, flux_high) = match expansion {
            Expansion::Blend => (
                equilibrium.min(flux),
                flux.max(equilibrium + (1.0 - quality) * (without - equilibrium)),
            ),
            Expansion::Equilibrium | Expansion::Bernoulli => (flux, flux),
        };
        Ok(Self {
            flux,
            flux_low,
            flux_high,
            choked: flow.choked,
            throat: flow.throat,
            crosses_saturation: flow.crosses_saturation,
            flashing_share: Some(1.0 - frozen_share),
            jet_m_s: Some(momentum / flux),
            viscosity_pa_s: wet_viscosity(&up),
            kind: Kind::Wet {
                quality,
                pressure_ratio,
            },
            up,
        })
    }

    /// `Re = G d / μ0`, with the ideal flux and the viscosity upstream.
    pub(super) fn reynolds(&self, d_m: f64) -> Result<f64, InjectorError> {
        match &self.viscosity_pa_s {
            Ok(mu) => Ok(self.flux * d_m / mu),
            Err(error) => Err(error.clone().into()),
        }
    }

    /// Coefficient of a hole of this diameter.
    pub(crate) fn coefficient(
        &self,
        make: &HoleMake,
        diameter: Length,
    ) -> Result<DischargeCoefficient, InjectorError> {
        let shape = make.shape(diameter)?;
        let re = match make.edge {
            // a measured coefficient needs no Reynolds number
            InletEdge::Measured { .. } => 1e5,
            _ => self.reynolds(diameter.value)?,
        };
        let of = |flow: HoleFlow| for_hole(&shape, re, &flow);
        let mut model = match self.kind {
            Kind::Gas {
                pressure_ratio,
                gamma,
            } => of(HoleFlow::Gas {
                pressure_ratio,
                gamma,
            })?,
            Kind::Liquid { cavitation_number } => of(HoleFlow::Liquid { cavitation_number })?,
            Kind::Wet {
                quality,
                pressure_ratio,
            } => {
                let gas = of(HoleFlow::Gas {
                    pressure_ratio,
                    gamma: WET_EXPONENT,
                })?;
                let liquid = of(HoleFlow::Liquid {
                    cavitation_number: Some(0.0),
                })?;
                mixed(gas, &liquid, quality)
            }
        };
        if let Some(tested) = make.tested {
            let (value, band) = tested.at(model.value);
            (model.low, model.high) = (value * (1.0 - band), value * (1.0 + band));
            model.value = value;
            // what is said of an unknown edge was for holes that nobody had tested
            model.notes.clear();
        }
        Ok(model)
    }
}

/// Velocity once the pressure left in the throat has worked off too, m/s: `u + (p − p_c)/G`.
fn expanded(flow: &IsentropicFlux, chamber: AbsolutePressure) -> f64 {
    let left_pa = flow.throat.pressure.pascals() - chamber.pascals();
    flow.throat.velocity.value + left_pa.max(0.0) / flow.flux.value
}

/// Velocity of a liquid's jet in the chamber, m/s: momentum of both parts of the flux over the flux.
fn liquid_jet(flow: &LiquidFlux, density_kg_m3: f64, chamber: AbsolutePressure) -> f64 {
    let (all, cold) = (flow.flux.value, flow.bernoulli.value);
    let of_cold = cold * cold / density_kg_m3;
    let momentum = flow.equilibrium.map_or(of_cold, |e| {
        let of_flashing = e.flux.value * expanded(&e, chamber);
        of_cold + flow.flashing_share * (of_flashing - of_cold)
    });
    momentum / all
}

/// Between the coefficient of the vapour and that of the flashing liquid, by the quality; the band spans
/// both.
fn mixed(
    mut gas: DischargeCoefficient,
    liquid: &DischargeCoefficient,
    quality: f64,
) -> DischargeCoefficient {
    let between = |liquid: f64, gas: f64| liquid + quality * (gas - liquid);
    // all the way to both bands, but for a trace of the other phase
    let wide = (1.0 - (-quality / FADING_QUALITY).exp())
        * (1.0 - ((quality - 1.0) / FADING_QUALITY).exp());
    let widened = |own: f64, widest: f64| own + wide * (widest - own);
    gas.low = widened(between(liquid.low, gas.low), gas.low.min(liquid.low));
    gas.high = widened(between(liquid.high, gas.high), gas.high.max(liquid.high));
    gas.value = between(liquid.value, gas.value);
    for model in &liquid.models {
        if !gas.models.contains(model) {
            gas.models.push(model);
        }
    }
    if liquid.models != ["given by the user"] {
        gas.notes.push(
            "the supply is wet: the coefficient lies between that of the vapour and that of the liquid, and no model covers it"
                .to_owned(),
        );
    }
    gas
}

/// The state as one phase: the same where it is one, the saturated side where it lies on the line.
fn in_phase(up: &Stagnation<'_>, phase: Phase) -> Result<State, EosError> {
    let state = up.state();
    if state.phase == Phase::TwoPhase {
        up.fluid()
            .state_pt_in(state.pressure_pa, state.temperature_k, phase)
    } else {
        Ok(*state)
    }
}

fn viscosity(up: &Stagnation<'_>, phase: Phase) -> Result<f64, EosError> {
    up.fluid().viscosity_pa_s(&in_phase(up, phase)?)
}

/// `1/μ = q/μ_vapour + (1−q)/μ_liquid` (a reciprocal mean by mass; common practice, no source), each side at its own composition.
fn wet_viscosity(up: &Stagnation<'_>) -> Result<f64, EosError> {
    let state = up.state();
    let Some(sides) = state.equilibrium else {
        return viscosity(up, Phase::Gas);
    };
    let (p_pa, t_k) = (state.pressure_pa, state.temperature_k);
    let of = |side: &crate::eos::Side, phase: Phase| -> Result<f64, EosError> {
        let fluid = up.fluid().recomposed(&side.mole_fractions)?;
        fluid.viscosity_pa_s(&fluid.state_pt_in(p_pa, t_k, phase)?)
    };
    let (vapour, liquid) = (
        of(&sides.vapour, Phase::Gas)?,
        of(&sides.liquid, Phase::Liquid)?,
    );
    let q = state.vapour_mass_fraction;
    Ok((q / vapour + (1.0 - q) / liquid).recip())
}
