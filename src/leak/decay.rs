//! A closed section that empties through a hole: rigid, gas, walls that keep it warm or not.

use super::{LeakError, Release};
use crate::eos::State;
use crate::flow::orifice::{Stagnation, isentropic_flux};
use crate::quantity::range::in_range_of;
use crate::quantity::{
    AbsolutePressure, Mass, MassRate, ThermodynamicTemperature, Time, Volume, kelvin, kilograms,
    kilograms_per_second, pascals_absolute, seconds,
};

/// Steps of the emptying; finer where the flow dies away.
const STEPS: u32 = 60;
/// It counts as empty when its pressure above the outside has fallen to this share.
const END_SHARE: f64 = 0.01;
const VOLUMES_M3: std::ops::RangeInclusive<f64> = 1e-9..=1e4;

/// What the walls do while the gas expands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Walls {
    /// They give no heat: a fast release.
    Insulated,
    /// They hold the gas at its temperature: a slow release from small bores.
    Isothermal,
}

/// One moment of an emptying.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moment {
    /// From the start.
    pub time: Time,
    /// Pressure inside.
    pub pressure: AbsolutePressure,
    /// Temperature inside.
    pub temperature: ThermodynamicTemperature,
    /// Flow through the hole.
    pub flow: MassRate,
    /// Mass that has left.
    pub left: Mass,
}

/// A section or tank that empties.
#[derive(Debug, Clone, PartialEq)]
pub struct Decay {
    /// First moment at the start, last when it is empty.
    pub course: Vec<Moment>,
    /// Mass inside at the start.
    pub inside: Mass,
    /// Time until the flow has fallen to half; `None`: not within the course.
    pub half_flow: Option<Time>,
    /// Time until the pressure above the outside has fallen to a hundredth; `None`: not within the course.
    pub empty: Option<Time>,
    /// What ended the course early, if anything did.
    pub ended_by: Option<String>,
}

impl Decay {
    /// From its moments.
    pub(super) fn of(course: Vec<Moment>, inside: Mass, outside_pa: f64) -> Self {
        let crossing = |share: f64, of: &dyn Fn(&Moment) -> f64| {
            let first = of(course.first()?);
            course.windows(2).find_map(|pair| {
                let (a, b) = (of(&pair[0]), of(&pair[1]));
                let wanted = share * first;
                (b <= wanted * (1.0 + 1e-9)).then(|| {
                    let part = ((a - wanted) / (a - b).max(1e-300)).clamp(0.0, 1.0);
                    pair[0].time + (pair[1].time - pair[0].time) * part
                })
            })
        };
        Self {
            half_flow: crossing(0.5, &|m| m.flow.value),
            empty: crossing(END_SHARE, &|m| m.pressure.pascals() - outside_pa),
            inside,
            ended_by: None,
            course,
        }
    }

    /// Mass that has left by a time, straight between moments.
    pub fn left_at(&self, time: Time) -> Mass {
        let mut before: Option<&Moment> = None;
        for m in &self.course {
            if m.time >= time {
                return before.map_or(m.left, |b| {
                    let span = (m.time - b.time).value.max(1e-300);
                    b.left + (m.left - b.left) * ((time - b.time).value / span)
                });
            }
            before = Some(m);
        }
        before.map_or(kilograms(0.0), |m| m.left)
    }
}

/// Emptying of a closed section of gas through the hole of a release.
///
/// `V dρ = −ṁ dt`, with the state along the isentrope (walls without heat) or the isotherm, and the flow
/// of the real gas from each; the coefficient stays that of the first moment.
///
/// **Valid:** rigid, gas at the start, well mixed. **Errors:** [`LeakError`].
/// **Source:** balances of mass and energy; `flow::orifice` for the flow.
///
/// # Errors
/// [`LeakError::NotGas`] for liquid, [`LeakError::OutOfRange`] for a volume, or what the backend says.
pub fn empty_section(
    up: &Stagnation<'_>,
    volume: Volume,
    release: &Release,
    walls: Walls,
) -> Result<Decay, LeakError> {
    let v_m3 = in_range_of("volume of the section", volume.value, VOLUMES_M3, "m³")?;
    let start = *up.state();
    if !up.is_gas() {
        return Err(LeakError::NotGas {
            phase: start.phase.name(),
            t_k: start.temperature_k,
            p_pa: start.pressure_pa,
        });
    }
    let outside_pa = release.outside.pascals();
    let passage = release.coefficient.value * release.area.value;
    let fluid = up.fluid();
    let at = |p_pa: f64| -> Result<State, LeakError> {
        Ok(match walls {
            Walls::Insulated => fluid.state_ps(p_pa, start.entropy_j_kg_k)?,
            Walls::Isothermal => fluid.state_pt(p_pa, start.temperature_k)?,
        })
    };
    let flow = |state: &State| -> Result<f64, LeakError> {
        let flux = isentropic_flux(&Stagnation::of(fluid, *state), release.outside)
            .map_err(crate::injector::error::InjectorError::from)?;
        Ok(passage * flux.flux.value)
    };
    let span_pa = start.pressure_pa - outside_pa;
    let inside_kg = v_m3 * start.density_kg_m3;
    let mut t_s = 0.0;
    let mut before = (start.density_kg_m3, flow(&start)?);
    let mut course = vec![moment(0.0, &start, before.1, 0.0)];
    for i in 1..=STEPS {
        let share = 1.0 - f64::from(i) / f64::from(STEPS);
        // to a hundredth of the overpressure, close steps towards the end
        let p_pa = outside_pa + span_pa * (END_SHARE + (1.0 - END_SHARE) * share * share);
        let state = at(p_pa)?;
        let now = (state.density_kg_m3, flow(&state)?);
        // exact for a flow in proportion to the density, which a choked one nearly is
        let rate = 0.5 * (before.1 / before.0 + now.1 / now.0);
        t_s += v_m3 * (before.0 / now.0).ln() / rate;
        course.push(moment(t_s, &state, now.1, inside_kg - v_m3 * now.0));
        before = now;
    }
    Ok(Decay::of(course, kilograms(inside_kg), outside_pa))
}

fn moment(t_s: f64, state: &State, flow_kg_s: f64, left_kg: f64) -> Moment {
    Moment {
        time: seconds(t_s),
        pressure: pascals_absolute(state.pressure_pa),
        temperature: kelvin(state.temperature_k),
        flow: kilograms_per_second(flow_kg_s),
        left: kilograms(left_kg),
    }
}
