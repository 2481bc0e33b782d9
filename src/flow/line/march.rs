//! Marching along a line in pieces: momentum and energy of each, choking, heat, two-phase bounds.

use super::{Friction, Line, LineError, WallHeat};
use crate::eos::{Phase, State};
use crate::flow::friction::darcy_factor;
use crate::flow::stream::Stream;
use crate::quantity::ThermodynamicTemperature;
use crate::quantity::range::{in_range, positive};
use std::f64::consts::PI;

/// Standard acceleration of gravity, m/s² (`cgpm1901`).
const GRAVITY_M_S2: f64 = 9.806_65;
/// Lowest ratio of outlet to inlet pressure of one piece.
const MIN_PRESSURE_RATIO: f64 = 0.8;
/// Largest fall of pressure in a piece whose ends differ in phase, relative.
const MAX_DROP_ACROSS_BOUNDARY: f64 = 0.01;
/// Shortest piece, share of the line.
const MIN_SHARE: f64 = 1e-7;
/// Most pieces.
const MAX_PIECES: usize = 600;
/// Newton steps on the outlet pressure of a piece.
const NEWTON_STEPS: usize = 80;
/// Relative tolerance on that pressure.
const TOLERANCE: f64 = 3e-14;
/// Halvings of the search for the sonic pressure.
const SONIC_STEPS: usize = 24;
/// Steps after which a small step counts as none even if steps still shrink now and then.
const PATIENCE: usize = 30;
/// Relative size below which steps that no longer shrink end the search.
const STALL: f64 = 1e-6;
/// Largest `UA/(m cp)` of a piece.
const MAX_TRANSFER_UNITS: f64 = 0.4;
/// Pieces of a two-phase line that takes up heat.
const TWO_PHASE_HEATED_PIECES: f64 = 24.0;

/// A line and its surroundings in plain SI.
#[derive(Debug, Clone, Copy)]
pub(crate) struct LineCase {
    bore_m: f64,
    length_m: f64,
    friction: Friction,
    loss: f64,
    rise_m: f64,
    isothermal: bool,
    conductance_w_k: f64,
    ambient_k: f64,
}

/// What a march along a line found.
#[derive(Debug, Clone, Copy)]
pub(crate) struct March {
    pub(crate) outlet: State,
    pub(crate) h_total: f64,
    pub(crate) heat_w: f64,
    pub(crate) reynolds: Option<f64>,
    pub(crate) darcy_factor: f64,
    /// Outlet pressure if all flowed as vapour, and as liquid, Pa.
    pub(crate) bounds_pa: Option<(f64, f64)>,
}

/// A place along the line.
#[derive(Debug, Clone, Copy)]
struct Place {
    state: State,
    h_total: f64,
    /// Slope of density along the path without heat, kg/(m³ Pa).
    slope: f64,
    /// Change of density with total enthalpy at constant pressure, over the kinetic term.
    rho_h: f64,
}

/// Outcome of one piece.
enum Piece {
    Done(Place),
    /// The flow is sonic at this pressure before the end of the piece, after this part of it.
    Sonic(f64, f64),
    /// Pressure falls too far for one piece.
    TooLong,
}

/// What a piece has to overcome.
#[derive(Debug, Clone, Copy)]
struct Load {
    /// `½G² (f L/D + ΣK)`, kg²/(m⁴ s²).
    resistance: f64,
    /// `g Δz`, J/kg.
    lift: f64,
    /// `UA`, W/K.
    conductance: f64,
}

impl LineCase {
    pub(crate) fn new(line: &Line, ambient: ThermodynamicTemperature) -> Result<Self, LineError> {
        let bore_m = in_range("bore in m", line.bore.value, 1e-5..=10.0)?;
        let length_m = in_range("length in m", line.length.value, 0.0..=1e7)?;
        match line.friction {
            Friction::Roughness(e) => {
                in_range("relative roughness", e.value / bore_m, 0.0..=0.1)?;
            }
            Friction::DarcyFactor(f) => {
                in_range("Darcy factor", f, 0.0..=1e3)?;
            }
        }
        let ambient_k = in_range("ambient temperature in K", ambient.value, 50.0..=2000.0)?;
        let conductance_w_k = match line.heat {
            WallHeat::Insulated | WallHeat::Isothermal => 0.0,
            WallHeat::PerLength(u) => {
                in_range("conductance per length in W/(m K)", u.value, 0.0..=1e4)? * length_m
            }
            WallHeat::OuterSurface(h) => {
                let od = line.outside_diameter.unwrap_or(line.bore);
                in_range("heat transfer coefficient in W/(m² K)", h.value, 0.0..=1e5)?
                    * PI
                    * od.value
                    * length_m
            }
        };
        Ok(Self {
            bore_m,
            length_m,
            friction: line.friction,
            loss: in_range("loss coefficient", line.loss_coefficient, 0.0..=1e9)?,
            rise_m: in_range("rise in m", line.rise.value, -1e4..=1e4)?,
            isothermal: line.heat == WallHeat::Isothermal,
            conductance_w_k,
            ambient_k,
        })
    }

    /// A loss of `k` velocity heads in a bore, no length, no heat.
    pub(crate) fn loss_only(bore_m: f64, k: f64) -> Self {
        Self {
            bore_m,
            length_m: 0.0,
            friction: Friction::DarcyFactor(0.0),
            loss: k,
            rise_m: 0.0,
            isothermal: false,
            conductance_w_k: 0.0,
            ambient_k: 288.15,
        }
    }

    pub(crate) fn area_m2(&self) -> f64 {
        PI / 4.0 * self.bore_m * self.bore_m
    }

    /// From a static inlet state and its total enthalpy to the outlet.
    pub(crate) fn march(
        &self,
        stream: &Stream,
        inlet: &State,
        h_total: f64,
        m_kg_s: f64,
    ) -> Result<March, LineError> {
        let m_kg_s = positive("mass flow", m_kg_s)?;
        let flux = m_kg_s / self.area_m2();
        let mut here = self.place(stream, *inlet, h_total, flux)?;
        let (reynolds, first_factor) = self.friction_at(stream, &here.state, flux)?;
        let mut factor = first_factor;
        let (mut done, mut share) = (0.0_f64, self.first_share(&here.state, m_kg_s));
        let mut bounds = Bounds::default();
        for _ in 0..MAX_PIECES {
            share = share.min(1.0 - done);
            let load = self.load(factor, flux, share);
            match self.piece(stream, &here, flux, m_kg_s, load)? {
                Piece::Done(next) if Self::fine_enough(&here, &next) || share <= MIN_SHARE => {
                    bounds.add(self, stream, &here.state, flux, share)?;
                    done += share;
                    here = next;
                    if done >= 1.0 - 1e-12 {
                        return Ok(March {
                            outlet: here.state,
                            h_total: here.h_total,
                            heat_w: m_kg_s * (here.h_total - h_total + GRAVITY_M_S2 * self.rise_m),
                            reynolds,
                            darcy_factor: first_factor,
                            bounds_pa: bounds.pressures(inlet.pressure_pa),
                        });
                    }
                    factor = self.friction_at(stream, &here.state, flux)?.1;
                    share *= 2.0;
                }
                Piece::Sonic(p_pa, part) => {
                    return Err(LineError::Choked {
                        flow_kg_s: m_kg_s,
                        share: (done + share * part).min(1.0),
                        p_pa,
                    });
                }
                Piece::Done(_) | Piece::TooLong => {
                    if share <= MIN_SHARE {
                        return Err(LineError::Choked {
                            flow_kg_s: m_kg_s,
                            share: done,
                            p_pa: here.state.pressure_pa,
                        });
                    }
                    share *= 0.5;
                }
            }
        }
        Err(LineError::NotConverged {
            flow_kg_s: m_kg_s,
            p_pa: here.state.pressure_pa,
        })
    }

    /// Share of the line to try first: all of it, less where heat changes much.
    fn first_share(&self, inlet: &State, m_kg_s: f64) -> f64 {
        if self.conductance_w_k <= 0.0 {
            return 1.0;
        }
        match inlet.response {
            Some(r) => {
                let units = self.conductance_w_k / (m_kg_s * r.cp_j_kg_k);
                (MAX_TRANSFER_UNITS / units).clamp(1.0 / 64.0, 1.0)
            }
            None => 1.0 / TWO_PHASE_HEATED_PIECES,
        }
    }

    fn fine_enough(a: &Place, b: &Place) -> bool {
        if a.state.phase == b.state.phase {
            return true;
        }
        (a.state.pressure_pa - b.state.pressure_pa).abs()
            <= MAX_DROP_ACROSS_BOUNDARY * a.state.pressure_pa
    }

    fn load(&self, factor: f64, flux: f64, share: f64) -> Load {
        let heads = factor * self.length_m / self.bore_m + self.loss;
        Load {
            resistance: 0.5 * flux * flux * heads * share,
            lift: GRAVITY_M_S2 * self.rise_m * share,
            conductance: self.conductance_w_k * share,
        }
    }

    fn friction_at(
        &self,
        stream: &Stream,
        state: &State,
        flux: f64,
    ) -> Result<(Option<f64>, f64), LineError> {
        match self.friction {
            Friction::Roughness(e) => {
                let re = flux * self.bore_m / stream.viscosity(state)?;
                Ok((Some(re), darcy_factor(re, e.value / self.bore_m)))
            }
            Friction::DarcyFactor(f) => Ok((None, f)),
        }
    }

    fn place(
        &self,
        stream: &Stream,
        state: State,
        h_total: f64,
        flux: f64,
    ) -> Result<Place, LineError> {
        let rho = state.density_kg_m3;
        if self.isothermal {
            let r = state.response()?;
            return Ok(Place {
                state,
                h_total,
                slope: 1.0 / r.dp_drho_pa_m3_kg,
                rho_h: 0.0,
            });
        }
        let s = stream.slopes(&state)?;
        let kinetic = 1.0 - s.rho_h * flux * flux / rho.powi(3);
        Ok(Place {
            state,
            h_total,
            slope: s.rho_p / kinetic,
            rho_h: s.rho_h / kinetic,
        })
    }

    /// The place at a pressure, `h_total` J/kg of total enthalpy.
    fn place_at(
        &self,
        stream: &Stream,
        near: &Place,
        p_pa: f64,
        h_total: f64,
        flux: f64,
    ) -> Result<Place, LineError> {
        if self.isothermal {
            let backend = stream.backend();
            let state = backend.state_pt(p_pa, near.state.temperature_k)?;
            let total = state.enthalpy_j_kg + 0.5 * (flux / state.density_kg_m3).powi(2);
            return self.place(stream, state, total, flux);
        }
        let state = stream.at(p_pa, h_total, flux, &near.state)?;
        self.place(stream, state, h_total, flux)
    }

    /// Outlet of one piece by Newton's method on its pressure. The balance is concave in the pressure
    /// drop, so the steps close in from the inlet's side and never jump over the answer: a step that
    /// lands beyond Mach 1 means that there is none.
    fn piece(
        &self,
        stream: &Stream,
        a: &Place,
        flux: f64,
        m_kg_s: f64,
        load: Load,
    ) -> Result<Piece, LineError> {
        let (p1, rho1) = (a.state.pressure_pa, a.state.density_kg_m3);
        let inlet_margin = sonic_margin(a, flux);
        if inlet_margin <= 0.0 {
            return Ok(Piece::Sonic(p1, 0.0));
        }
        let mut p2 = p1 - (load.resistance + load.lift * rho1 * rho1) / (rho1 * inlet_margin);
        let mut b = *a;
        let mut last = f64::INFINITY;
        for steps in 0..NEWTON_STEPS {
            if p2 < MIN_PRESSURE_RATIO * p1 || !p2.is_finite() {
                // look where the flow stands at the lowest pressure of a piece before giving up
                let floor = MIN_PRESSURE_RATIO * p1;
                let h = a.h_total + self.heat(stream, a, floor, load, m_kg_s) - load.lift;
                let there = self.place_at(stream, &b, floor, h, flux)?;
                if sonic_margin(&there, flux) > 0.0 {
                    return Ok(Piece::TooLong);
                }
                return self.sonic_place(stream, a, (floor, there), flux, load);
            }
            let h_total = a.h_total + self.heat(stream, a, p2, load, m_kg_s) - load.lift;
            b = self.place_at(stream, &b, p2, h_total, flux)?;
            let margin = sonic_margin(&b, flux);
            if margin <= 0.0 {
                return self.sonic_place(stream, a, (p2, b), flux, load);
            }
            let rho2 = b.state.density_kg_m3;
            let left = overcome(a, &b, flux) - load.resistance - load.lift * rho1 * rho2;
            let step = left / (rho2 * margin);
            // close to choking the balance is flat and its last digits are noise: steps that are tiny and
            // no longer shrink are as good as none
            let stalled = step.abs() <= STALL * p1 && (step.abs() > 0.7 * last || steps > PATIENCE);
            if step.abs() <= TOLERANCE * p1 || stalled {
                return Ok(Piece::Done(b));
            }
            last = step.abs();
            p2 += step;
        }
        Err(LineError::NotConverged {
            flow_kg_s: m_kg_s,
            p_pa: p2,
        })
    }

    /// Where in a piece the flow becomes sonic, given a pressure at which it is beyond.
    fn sonic_place(
        &self,
        stream: &Stream,
        a: &Place,
        (p_beyond, beyond): (f64, Place),
        flux: f64,
        load: Load,
    ) -> Result<Piece, LineError> {
        let (mut low, mut high, mut at) = (p_beyond, a.state.pressure_pa, beyond);
        for _ in 0..SONIC_STEPS {
            let p = 0.5 * (low + high);
            at = self.place_at(stream, &at, p, a.h_total, flux)?;
            if sonic_margin(&at, flux) > 0.0 {
                high = p;
            } else {
                low = p;
            }
        }
        let part = overcome(a, &at, flux)
            / (load.resistance + load.lift * a.state.density_kg_m3 * at.state.density_kg_m3);
        Ok(Piece::Sonic(high, part.clamp(0.0, 1.0)))
    }

    /// Heat taken up in a piece that ends at `p2_pa`, J/kg.
    fn heat(&self, stream: &Stream, a: &Place, p2_pa: f64, load: Load, m_kg_s: f64) -> f64 {
        if load.conductance <= 0.0 {
            return 0.0;
        }
        let t_k = a.state.temperature_k;
        if let Some(r) = a.state.response {
            // temperature half way down, had there been no heat
            let mean = t_k + 0.5 * r.joule_thomson_k_pa * (p2_pa - a.state.pressure_pa);
            let units = load.conductance / (m_kg_s * r.cp_j_kg_k);
            return r.cp_j_kg_k * (self.ambient_k - mean) * -(-units).exp_m1();
        }
        // two phases: as if they stayed at their temperature, but never past that of the surroundings
        let straight = load.conductance * (self.ambient_k - t_k) / m_kg_s;
        let all = stream
            .backend()
            .state_pt(a.state.pressure_pa, self.ambient_k)
            .map_or(0.0, |s| s.enthalpy_j_kg - a.state.enthalpy_j_kg);
        if all * straight > 0.0 {
            all * -(-straight / all).exp_m1()
        } else {
            straight
        }
    }
}

/// `1 − M²` along the path: zero where the flow is sonic.
fn sonic_margin(b: &Place, flux: f64) -> f64 {
    1.0 - (flux / b.state.density_kg_m3).powi(2) * b.slope
}

/// `∫ρ dp − G² ln(ρ1/ρ2)` from `a` down to `b`: what is there to overcome friction and height. The
/// integral is the trapezoid corrected by the slopes at both ends, exact for a cubic.
fn overcome(a: &Place, b: &Place, flux: f64) -> f64 {
    let (rho1, rho2) = (a.state.density_kg_m3, b.state.density_kg_m3);
    let drop = a.state.pressure_pa - b.state.pressure_pa;
    let gained = a.h_total - b.h_total;
    let integral = 0.5 * drop * (rho1 + rho2)
        - drop * drop / 12.0 * (a.slope - b.slope)
        - drop * gained / 12.0 * (a.rho_h - b.rho_h);
    integral - flux * flux * (rho1 / rho2).ln()
}

/// Frictional drop of a two-phase line, had all been vapour or all liquid.
#[derive(Debug, Default)]
struct Bounds {
    vapour_pa: f64,
    liquid_pa: f64,
    two_phase: bool,
}

impl Bounds {
    fn add(
        &mut self,
        case: &LineCase,
        stream: &Stream,
        state: &State,
        flux: f64,
        share: f64,
    ) -> Result<(), LineError> {
        let Some(e) = state.equilibrium.filter(|_| state.phase == Phase::TwoPhase) else {
            let factor = case.friction_at(stream, state, flux)?.1;
            let drop = case.drop(factor, flux, share, state.density_kg_m3);
            self.vapour_pa += drop;
            self.liquid_pa += drop;
            return Ok(());
        };
        self.two_phase = true;
        let viscosities = stream.side_viscosities(state);
        let of = |mu: Result<f64, LineError>, rho: f64| {
            let factor = match case.friction {
                Friction::DarcyFactor(f) => f,
                Friction::Roughness(e) => {
                    darcy_factor(flux * case.bore_m / mu?, e.value / case.bore_m)
                }
            };
            Ok::<f64, LineError>(case.drop(factor, flux, share, rho))
        };
        let (liquid, vapour) = match viscosities {
            Ok((l, v)) => (Ok(l), Ok(v)),
            Err(error) => (Err(error.clone().into()), Err(error.into())),
        };
        self.vapour_pa += of(vapour, e.vapour.density_kg_m3)?;
        self.liquid_pa += of(liquid, e.liquid.density_kg_m3)?;
        Ok(())
    }

    fn pressures(&self, p1_pa: f64) -> Option<(f64, f64)> {
        self.two_phase
            .then_some((p1_pa - self.vapour_pa, p1_pa - self.liquid_pa))
    }
}

impl LineCase {
    /// Drop of one share at constant density, Pa.
    fn drop(&self, factor: f64, flux: f64, share: f64, rho: f64) -> f64 {
        let load = self.load(factor, flux, share);
        load.resistance / rho + load.lift * rho
    }
}
