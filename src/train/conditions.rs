//! What surrounds a train: supplies, air, chamber pressure.

use super::solution::TrainError;
use crate::eos::{Backend, Phase, State};
use crate::flow::orifice::Expansion;
use crate::quantity::{AbsolutePressure, MassRate, ThermodynamicTemperature, pascals_absolute};
use crate::train::Draw;

/// State of the fuel in a tank, at the inlet of its first part, at rest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Supply {
    /// Saturated at a temperature: vapour or liquid as the source draws it.
    Saturated {
        /// Temperature of the tank.
        temperature: ThermodynamicTemperature,
    },
    /// Gas at rest at a pressure and temperature, in a main so wide that speeding up into the first part costs
    /// pressure.
    AtRest {
        /// Pressure.
        pressure: AbsolutePressure,
        /// Temperature.
        temperature: ThermodynamicTemperature,
    },
    /// At a pressure and temperature: compressed gas, or liquid under gas pressure.
    At {
        /// Pressure.
        pressure: AbsolutePressure,
        /// Temperature.
        temperature: ThermodynamicTemperature,
    },
}

impl Supply {
    /// The state of the fuel.
    ///
    /// # Errors
    /// [`TrainError::Supply`] if there is no such state, or the fuel there is in the other phase.
    pub fn state(
        &self,
        backend: &dyn Backend,
        draw: Draw,
        source: &str,
    ) -> Result<State, TrainError> {
        let failed = |error| TrainError::Supply {
            source_name: source.to_owned(),
            error,
        };
        let phase = match draw {
            Draw::Vapour => Phase::Gas,
            Draw::Liquid => Phase::Liquid,
        };
        match *self {
            Self::Saturated { temperature } => {
                let t_k = temperature.value;
                let saturation = match draw {
                    Draw::Vapour => backend.dew_t(t_k),
                    Draw::Liquid => backend.bubble_t(t_k),
                };
                let p_pa = saturation.map_err(failed)?.pressure_pa;
                backend.state_pt_in(p_pa, t_k, phase).map_err(failed)
            }
            Self::At {
                pressure,
                temperature,
            }
            | Self::AtRest {
                pressure,
                temperature,
            } => {
                let state = backend
                    .state_pt(pressure.pascals(), temperature.value)
                    .map_err(failed)?;
                let fits = match state.phase {
                    Phase::Gas => draw == Draw::Vapour,
                    Phase::Liquid => draw == Draw::Liquid,
                    Phase::Supercritical => true,
                    Phase::TwoPhase => false,
                };
                if fits {
                    return Ok(state);
                }
                Err(TrainError::WrongPhase {
                    source_name: source.to_owned(),
                    wanted: phase.name(),
                    found: state.phase.name(),
                    p_pa: state.pressure_pa,
                    t_k: state.temperature_k,
                })
            }
        }
    }
}

/// Pressure that an outlet discharges to.
#[derive(Debug, Clone, PartialEq)]
pub enum Chamber {
    /// The same at every flow.
    Fixed(AbsolutePressure),
    /// Rising with the flow of the outlet: points of flow and pressure, straight between, level outside.
    Following(Vec<(MassRate, AbsolutePressure)>),
}

impl Chamber {
    /// Pressure at a flow of the outlet.
    pub fn pressure(&self, flow: MassRate) -> AbsolutePressure {
        match self {
            Self::Fixed(p) => *p,
            Self::Following(points) => {
                let m = flow.value;
                let mut before: Option<(f64, f64)> = None;
                for (f, p) in points {
                    let (x, y) = (f.value, p.pascals());
                    if m <= x {
                        return pascals_absolute(match before {
                            Some((x0, y0)) if x > x0 => y0 + (y - y0) * (m - x0) / (x - x0),
                            _ => y,
                        });
                    }
                    before = Some((x, y));
                }
                pascals_absolute(before.map_or(f64::NAN, |b| b.1))
            }
        }
    }
}

/// What surrounds the train in one duty.
#[derive(Debug, Clone)]
pub struct Conditions<'a> {
    /// The fuel as drawn (of a blend: with the composition of what is drawn); the same from every source.
    pub fuel: &'a dyn Backend,
    /// State in each source, in the order of [`super::Train::sources`].
    pub supplies: Vec<Supply>,
    /// Air round the lines.
    pub ambient: ThermodynamicTemperature,
    /// Pressure at each outlet, in the order of [`super::Train::outlets`]; one entry holds for all.
    pub chambers: Vec<Chamber>,
    /// How liquid expands in the holes of the outlets: the blend where a flow is sized.
    pub expansion: Expansion,
}

impl Conditions<'_> {
    pub(crate) fn chamber(&self, outlet: usize) -> Option<&Chamber> {
        if self.chambers.len() == 1 {
            return self.chambers.first();
        }
        self.chambers.get(outlet)
    }
}
