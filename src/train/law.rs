//! What each kind of part does to the stream: pressure, heat and work for a given flow.

use super::blocked::Blocked;
use super::characteristic::flow_coefficient;
use super::solution::PartProblem;
use super::{
    CheckValve, ExcessFlowValve, Fitting, FittingLoss, OrificePlate, Part, PartKind, Pump,
    PumpCurve, Valve, Vaporiser, VaporiserHeat,
};
use crate::eos::{Phase, State};
use crate::flow::discharge::{Taps, orifice_plate};
use crate::flow::fittings;
use crate::flow::friction::darcy_factor;
use crate::flow::line::LineCase;
use crate::flow::regulator::{self, Regulator};
use crate::flow::stream::Stream;
use crate::flow::valve::{self, Feed, Mounting, Style};
use crate::quantity::range::in_range;
use crate::quantity::{FlowCoefficient, Length, ThermodynamicTemperature};
use std::f64::consts::PI;

/// Standard acceleration of gravity, m/s² (`cgpm1901`).
const GRAVITY_M_S2: f64 = 9.806_65;
/// Wall roughness of a bend whose tube is not known: drawn tube, m (`rennels2012`).
const DRAWN_ROUGHNESS_M: f64 = 1.5e-6;
/// Discharge coefficient of a thin sharp plate outside the standard's range (`perry1949`).
const THIN_PLATE: f64 = 0.61;
/// `xT` of a thin plate. With it the expansion factor of the valve equations is that of ISO 5167 at small
/// drops, and the flow into vacuum that of a sharp hole with a coefficient of 0.84.
const PLATE_STYLE: Style = Style {
    fl: 1.0,
    xt: 4.0 / 3.0,
    fd: 1.0,
};
/// Relative difference of mass flux that is none: the next part has the same bore.
const SAME_FLUX: f64 = 1e-14;
/// Steps through a bath.
const BATH_STEPS: u32 = 24;

/// The stream at one place between parts.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Node {
    /// Static state.
    pub(crate) state: State,
    /// Total enthalpy, J/kg.
    pub(crate) h_total: f64,
    /// Mass flux that the state flows with, kg/(m² s); zero at rest.
    pub(crate) flux: f64,
    /// At rest in a wide main: speeding up costs pressure. Elsewhere pressure is static and continuous.
    pub(crate) wide: bool,
}

/// What a part did, for the record.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Detail {
    pub(crate) kv: Option<f64>,
    pub(crate) wide_open: bool,
    pub(crate) load: Option<f64>,
    pub(crate) reynolds: Option<f64>,
    pub(crate) heat_w: f64,
    pub(crate) work_w: f64,
    pub(crate) lift_w: f64,
    pub(crate) two_phase: bool,
    pub(crate) bounds_pa: Option<(f64, f64)>,
}

/// Everything the laws need beside the part and the stream.
pub(crate) struct Laws<'a> {
    pub(crate) stream: Stream<'a>,
    pub(crate) ambient: ThermodynamicTemperature,
    /// Excess-flow valves stay open at any flow.
    pub(crate) held_open: bool,
}

impl Laws<'_> {
    /// The stream behind a part.
    pub(crate) fn pass(&self, part: &Part, from: &Node, m: f64) -> Result<(Node, Detail), Blocked> {
        match &part.kind {
            PartKind::CylinderValve(v)
            | PartKind::BallValve(v)
            | PartKind::NeedleValve(v)
            | PartKind::SolenoidValve(v)
            | PartKind::MeteringValve(v) => self.valve(v, from, m),
            PartKind::DipTube(line) | PartKind::Hose(line) | PartKind::Tube(line) => {
                let case = LineCase::new(line, self.ambient)?;
                let (node, mut detail) = self.along(&case, from, m)?;
                detail.lift_w = m * GRAVITY_M_S2 * line.rise.value;
                Ok((node, detail))
            }
            PartKind::ExcessFlowValve(e) => self.excess_flow(e, from, m),
            PartKind::Regulator(r) => self.regulator(r, from, m),
            PartKind::Filter(r) | PartKind::FlameArrestor(r) => {
                self.restriction(r.clean.kv(), r.bore, &Style::GLOBE, from, m)
            }
            PartKind::Fitting(f) => self.fitting(f, from, m),
            PartKind::CheckValve(c) => self.check_valve(c, from, m),
            PartKind::OrificePlate(o) => self.plate(o, from, m),
            PartKind::Pump(p) => self.pump(p, from, m),
            PartKind::Vaporiser(v) => self.vaporiser(v, from, m),
            PartKind::ReliefValve(_) | PartKind::Tapping(_) => Ok((*from, Detail::default())),
        }
    }

    /// Static state at a bore (area in m²; infinite: at rest).
    fn enter(&self, from: &Node, area_m2: f64, m: f64) -> Result<State, Blocked> {
        let (state, flux) = (&from.state, m / area_m2);
        if (flux - from.flux).abs() <= SAME_FLUX * flux {
            return Ok(*state);
        }
        if from.wide {
            return self.sped_up_from_rest(state, area_m2, m);
        }
        Ok(self
            .stream
            .at(state.pressure_pa, from.h_total, flux, state)?)
    }

    fn leave(
        &self,
        p_pa: f64,
        h_total: f64,
        area_m2: f64,
        m: f64,
        near: &State,
    ) -> Result<Node, Blocked> {
        let flux = m / area_m2;
        Ok(Node {
            state: self.stream.at(p_pa, h_total, flux, near)?,
            h_total,
            flux,
            wide: false,
        })
    }

    fn along(&self, case: &LineCase, from: &Node, m: f64) -> Result<(Node, Detail), Blocked> {
        let here = self.enter(from, case.area_m2(), m)?;
        let walked = case.march(&self.stream, &here, from.h_total, m)?;
        let detail = Detail {
            reynolds: walked.reynolds,
            heat_w: walked.heat_w,
            two_phase: walked.bounds_pa.is_some(),
            bounds_pa: walked.bounds_pa,
            ..Detail::default()
        };
        let node = Node {
            state: walked.outlet,
            h_total: walked.h_total,
            flux: m / case.area_m2(),
            wide: false,
        };
        Ok((node, detail))
    }

    fn valve(&self, v: &Valve, from: &Node, m: f64) -> Result<(Node, Detail), Blocked> {
        let kv = flow_coefficient(v, v.opening).map_err(Blocked::fault)?.kv();
        if kv <= 0.0 {
            return Err(Blocked {
                edge: 0.0,
                limit: false,
                problem: PartProblem::Closed,
            });
        }
        self.restriction(kv, v.bore, &v.style, from, m)
    }

    /// Any part known by a flow coefficient: gas and liquid by the valve equations, two phases as a loss
    /// of as many velocity heads, homogeneous.
    fn restriction(
        &self,
        kv: f64,
        bore: Length,
        style: &Style,
        from: &Node,
        m: f64,
    ) -> Result<(Node, Detail), Blocked> {
        let area = area_m2(bore)?;
        let here = self.enter(from, area, m)?;
        let mut detail = Detail {
            kv: Some(kv),
            ..Detail::default()
        };
        if here.phase == Phase::TwoPhase {
            let k = fittings::loss_of_kv(FlowCoefficient::from_kv(kv), bore);
            let (node, along) = self.along(&LineCase::loss_only(bore.value, k), from, m)?;
            detail.two_phase = true;
            detail.bounds_pa = along.bounds_pa;
            return Ok((node, detail));
        }
        let feed = Feed::of(self.stream.backend(), &here)?;
        let law = valve::Law::new(feed, kv, style, Some(&Mounting::in_line(bore)))?;
        let p2 = law.outlet_pa(m)?;
        Ok((self.leave(p2, from.h_total, area, m, &here)?, detail))
    }

    fn excess_flow(
        &self,
        e: &ExcessFlowValve,
        from: &Node,
        m: f64,
    ) -> Result<(Node, Detail), Blocked> {
        let closing = e.closing_at(from.state.density_kg_m3);
        if !(self.held_open || m < closing) {
            return Err(Blocked {
                edge: closing,
                limit: false,
                problem: PartProblem::ExcessFlow {
                    closing_kg_s: closing,
                    flow_kg_s: m,
                },
            });
        }
        self.restriction(e.open.kv(), e.bore, &Style::FLAT_SEAT, from, m)
    }

    fn regulator(&self, r: &Regulator, from: &Node, m: f64) -> Result<(Node, Detail), Blocked> {
        let here = self.enter(from, f64::INFINITY, m)?;
        if here.phase == Phase::TwoPhase {
            return Err(two_phase(&here));
        }
        let seat = regulator::seat(self.stream.backend(), &here, r.wide_open)?;
        let regulated = r.regulated_by(&seat, here.pressure_pa, m)?;
        let p2 = regulated.outlet.pascals();
        let node = self.leave(p2, from.h_total, f64::INFINITY, m, &here)?;
        let detail = Detail {
            wide_open: regulated.wide_open,
            load: Some(regulated.load),
            ..Detail::default()
        };
        Ok((node, detail))
    }

    fn fitting(&self, f: &Fitting, from: &Node, m: f64) -> Result<(Node, Detail), Blocked> {
        let area = area_m2(f.bore)?;
        let d = f.bore.value;
        let reynolds =
            || -> Result<f64, Blocked> { Ok(m / area * d / self.stream.viscosity(&from.state)?) };
        let ratio = |other: Length| d / other.value;
        let k = match f.loss {
            FittingLoss::Coefficient(k) => in_range("loss coefficient", k, 0.0..=1e9)?,
            FittingLoss::Bend {
                angle_rad,
                radius_ratio,
            } => {
                let factor = darcy_factor(reynolds()?, (DRAWN_ROUGHNESS_M / d).min(0.1));
                fittings::bend(crate::quantity::radians(angle_rad), radius_ratio, factor)?
            }
            FittingLoss::Mitre { angle_rad } => {
                fittings::mitre(crate::quantity::radians(angle_rad))?
            }
            FittingLoss::Contraction { from: wide } => fittings::contraction(ratio(wide))?,
            FittingLoss::Expansion { to: wide } => fittings::expansion(ratio(wide))?,
            FittingLoss::Entrance => fittings::SHARP_ENTRANCE,
            FittingLoss::TwoK { k1, k_infinity } => {
                fittings::two_k(k1, k_infinity, reynolds()?, f.bore)?
            }
        };
        let case = LineCase::loss_only(d, k * f64::from(f.count));
        self.along(&case, from, m)
    }

    fn check_valve(&self, c: &CheckValve, from: &Node, m: f64) -> Result<(Node, Detail), Blocked> {
        let (open, detail) = self.restriction(c.open.kv(), c.bore, &Style::FLAT_SEAT, from, m)?;
        let here = self.enter(from, area_m2(c.bore)?, m)?;
        let (p1, cracking) = (here.pressure_pa, c.cracking.pascals());
        let lifted = p1 - cracking;
        if open.state.pressure_pa <= lifted {
            return Ok((open, detail));
        }
        if !(lifted > 0.0) {
            return Err(Blocked::fault(PartProblem::NotLifted {
                p_pa: p1,
                cracking_pa: cracking,
            }));
        }
        let node = self.leave(lifted, from.h_total, area_m2(c.bore)?, m, &open.state)?;
        Ok((node, detail))
    }

    /// A plate as a flow coefficient: `Kv ∝ C A/√(1−β⁴)` over the root of the share of the drop that is
    /// not recovered, `(√(1−β⁴(1−C²)) − Cβ²)/(√(1−β⁴(1−C²)) + Cβ²)` (`iso5167`).
    fn plate(&self, o: &OrificePlate, from: &Node, m: f64) -> Result<(Node, Detail), Blocked> {
        let beta = in_range(
            "plate bore over pipe bore",
            o.bore.value / o.pipe_bore.value,
            1e-3..=0.99,
        )?;
        let c = match o.discharge_coefficient {
            Some(c) => in_range("discharge coefficient", c, 0.1..=1.0)?,
            None => orifice_plate(beta, o.pipe_bore, 1e5, Taps::Corner).unwrap_or(THIN_PLATE),
        };
        let (b2, b4) = (beta.powi(2), beta.powi(4));
        let root = (1.0 - b4 * (1.0 - c * c)).sqrt();
        let lost = (root - c * b2) / (root + c * b2);
        // velocity heads of the plate's own bore, then on the pipe's
        let heads = (1.0 - b4) / (c * c) * lost;
        let kv = fittings::kv_of_loss(heads, o.bore).kv();
        self.restriction(kv, o.pipe_bore, &PLATE_STYLE, from, m)
    }

    fn pump(&self, p: &Pump, from: &Node, m: f64) -> Result<(Node, Detail), Blocked> {
        let here = self.enter(from, f64::INFINITY, m)?;
        if here.phase != Phase::Liquid {
            return Err(Blocked::fault(PartProblem::VapourAtPump {
                phase: here.phase,
                t_k: here.temperature_k,
                p_pa: here.pressure_pa,
            }));
        }
        let efficiency = in_range("pump efficiency", p.efficiency.value, 0.01..=1.0)?;
        let rho = here.density_kg_m3;
        let added = pressure_added(&p.curve, m / rho, here.pressure_pa)
            .map_err(|edge| Blocked::limit(edge * rho, m))?;
        let work = added / (rho * efficiency);
        let node = self.leave(
            here.pressure_pa + added,
            from.h_total + work,
            f64::INFINITY,
            m,
            &here,
        )?;
        let detail = Detail {
            work_w: m * work,
            ..Detail::default()
        };
        Ok((node, detail))
    }

    /// Heats at inlet pressure, then takes the pressure drop with the heated stream: the larger drop.
    fn vaporiser(&self, v: &Vaporiser, from: &Node, m: f64) -> Result<(Node, Detail), Blocked> {
        let here = self.enter(from, f64::INFINITY, m)?;
        let h2 = match v.heat {
            VaporiserHeat::Power(p) => from.h_total + p.value / m,
            VaporiserHeat::Outlet {
                temperature,
                max_power,
            } => {
                let backend = self.stream.backend();
                let hot = backend.state_pt(here.pressure_pa, temperature.value)?;
                let wanted = hot.enthalpy_j_kg.max(from.h_total);
                max_power.map_or(wanted, |p| wanted.min(from.h_total + p.value / m))
            }
            VaporiserHeat::Bath {
                conductance,
                temperature,
            } => self.bath(&here, from.h_total, m, conductance.value, temperature.value)?,
        };
        let hot = self
            .stream
            .backend()
            .state_ph(here.pressure_pa, h2)
            .map_err(Blocked::from)?;
        let heated = Node {
            state: hot,
            h_total: h2,
            flux: 0.0,
            wide: false,
        };
        let (node, mut detail) =
            self.restriction(v.open.kv(), v.bore, &Style::FLAT_SEAT, &heated, m)?;
        detail.heat_w = m * (h2 - from.h_total);
        Ok((node, detail))
    }

    /// Enthalpy behind a bath of one temperature: steps of equal conductance, each with the heat capacity
    /// (or the boiling temperature) at its start.
    fn bath(&self, here: &State, h1: f64, m: f64, ua: f64, t_bath: f64) -> Result<f64, Blocked> {
        let step = in_range("conductance in W/K", ua, 0.0..=1e6)? / f64::from(BATH_STEPS);
        let backend = self.stream.backend();
        let (mut h, mut state) = (h1, *here);
        for _ in 0..BATH_STEPS {
            let gap = t_bath - state.temperature_k;
            h += match state.response {
                Some(r) => {
                    let units = step / (m * r.cp_j_kg_k);
                    r.cp_j_kg_k * gap * -(-units).exp_m1()
                }
                None => step * gap / m,
            };
            // boiling cannot carry the stream past the bath's own temperature
            if let Ok(at_bath) = backend.state_pt(here.pressure_pa, t_bath)
                && gap > 0.0
            {
                h = h.min(at_bath.enthalpy_j_kg.max(h1));
            }
            state = backend.state_ph(here.pressure_pa, h)?;
        }
        Ok(h)
    }
}

fn area_m2(bore: Length) -> Result<f64, Blocked> {
    let d = in_range("bore in m", bore.value, 1e-5..=10.0)?;
    Ok(PI / 4.0 * d * d)
}

/// Pressure a pump adds at a volume flow, or the largest volume flow it can give.
fn pressure_added(curve: &PumpCurve, q_m3_s: f64, p1_pa: f64) -> Result<f64, f64> {
    match curve {
        PumpCurve::HeldOutlet { pressure, max_flow } => {
            if q_m3_s > max_flow.value {
                return Err(max_flow.value);
            }
            Ok((pressure.pascals() - p1_pa).max(0.0))
        }
        PumpCurve::Points(points) => {
            let mut before: Option<(f64, f64)> = None;
            for (q, dp) in points {
                let (x, y) = (q.value, dp.pascals());
                if q_m3_s <= x {
                    return Ok(match before {
                        Some((x0, y0)) if x > x0 => y0 + (y - y0) * (q_m3_s - x0) / (x - x0),
                        _ => y,
                    });
                }
                before = Some((x, y));
            }
            Err(before.map_or(0.0, |b| b.0))
        }
    }
}

/// Flow coefficient that a valve needs between two pressures; for one phase only.
pub(crate) fn coefficient_between(
    laws: &Laws,
    v: &Valve,
    from: &Node,
    p2_pa: f64,
    m: f64,
) -> Result<f64, Blocked> {
    let area = area_m2(v.bore)?;
    let here = laws.enter(from, area, m)?;
    let (p2, flow) = (
        crate::quantity::pascals_absolute(p2_pa),
        crate::quantity::kilograms_per_second(m),
    );
    if here.phase == Phase::TwoPhase {
        return Err(two_phase(&here));
    }
    let feed = Feed::of(laws.stream.backend(), &here)?;
    let mounting = Mounting::in_line(v.bore);
    let passage = valve::valve_coefficient(feed, p2, flow, &v.style, Some(&mounting))?;
    Ok(passage.kv.kv())
}

fn two_phase(here: &State) -> Blocked {
    Blocked::fault(PartProblem::TwoPhase {
        t_k: here.temperature_k,
        p_pa: here.pressure_pa,
    })
}
