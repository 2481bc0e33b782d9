//! An orifice plate that meters a flow by ISO 5167-2: its flow, bore or differential, loss and uncertainty.

use crate::flow::discharge::{
    DischargeError, Taps, orifice_plate, plate_expansibility, reader_harris_gallagher,
};
use crate::numerics::root::brent;
use crate::quantity::range::{NotPositive, positive};
use crate::quantity::sentence::{flow as mass_flow, length, pressure, pressure_drop, temperature};
use crate::quantity::told::errors;
use crate::quantity::{
    AbsolutePressure, DynamicViscosity, Length, MassDensity, MassRate, PressureDifference, Ratio,
    kilograms_per_second, metres, pascals_difference, ratio,
};
use std::f64::consts::FRAC_PI_4;

/// Least pressure behind the plate over that before it, for gas.
const LEAST_RATIO: f64 = 0.75;
/// Pipes of the standard, m.
const PIPES_M: [f64; 2] = [0.05, 1.0];
/// Steps of the search for a flow; each shrinks the error some hundredfold.
const FLOW_STEPS: usize = 60;
/// Relative tolerance of the searches.
const TOLERANCE: f64 = 1e-12;
/// Bores looked at, over the pipe's: beyond the standard at both ends, so that its limits are told by name.
const BETAS: [f64; 2] = [0.05, 0.85];

errors! {
    /// Why an orifice plate does not meter.
    pub enum MeteringError {
        Discharge(DischargeError);
        NotPositive(NotPositive);
        NothingLeft { drop_pa: f64, up_pa: f64 } =>
            "a differential of {} leaves nothing of {} upstream: take a larger bore, or measure at a higher pressure",
            pressure_drop(drop_pa), pressure(up_pa);
        TwoPhase { p_pa: f64, t_k: f64 } =>
            "liquid and vapour together before the plate ({}, {}): it meters one phase", temperature(t_k), pressure(p_pa);
        Pipe { pipe_m: f64 } =>
            "a pipe of {} is outside the standard, {} to {} [iso5167]: in others a plate needs a flow test of its own; `injector` gives the flow of a drilled hole with its band",
            length(pipe_m), length(PIPES_M[0]), length(PIPES_M[1]);
        DropTooLarge { flow_kg_s: f64, bore_m: f64, up_pa: f64 } =>
            "{} through a bore of {} takes more than a quarter of {} upstream, where the standard ends [iso5167]: take a larger bore, or measure at a higher pressure",
            mass_flow(flow_kg_s), length(bore_m), pressure(up_pa);
        BoreOutOfReach { flow_kg_s: f64, drop_pa: f64, least_kg_s: f64, most_kg_s: f64 } =>
            "no plate in this pipe passes {} at a differential of {}: bores of 0.1 to 0.75 of the pipe pass {} to {}; take another pipe or another differential",
            mass_flow(flow_kg_s), pressure_drop(drop_pa), mass_flow(least_kg_s), mass_flow(most_kg_s);
    }
}

/// The fluid before a plate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Metered {
    /// Pressure at the upstream tap.
    pub pressure: AbsolutePressure,
    /// Density there.
    pub density: MassDensity,
    /// Viscosity there.
    pub viscosity: DynamicViscosity,
    /// Isentropic exponent `ρ w²/p`; `None` for a liquid.
    pub kappa: Option<f64>,
}

/// A pipe with its taps.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MeterRun {
    /// Bore of the pipe.
    pub pipe: Length,
    /// Taps.
    pub taps: Taps,
}

/// A plate at work.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Metering {
    /// Flow.
    pub flow: MassRate,
    /// Bore of the plate.
    pub bore: Length,
    /// Pressure difference between the taps.
    pub differential: PressureDifference,
    /// Bore over that of the pipe.
    pub beta: f64,
    /// Discharge coefficient.
    pub coefficient: f64,
    /// Expansibility factor; 1 for a liquid.
    pub expansibility: f64,
    /// Reynolds number of the pipe.
    pub reynolds: f64,
    /// Pressure that is not recovered.
    pub loss: PressureDifference,
    /// Relative uncertainty of the discharge coefficient.
    pub coefficient_uncertainty: Ratio,
    /// Relative uncertainty of the expansibility factor.
    pub expansibility_uncertainty: Ratio,
}

impl Metering {
    /// Uncertainty of the flow from coefficient and expansibility alone: the root of the sum of their squares. Density,
    /// differential and the two diameters add theirs.
    ///
    /// **Source:** `iso5167`.
    pub fn flow_uncertainty(&self) -> Ratio {
        let [c, e] = [self.coefficient_uncertainty, self.expansibility_uncertainty];
        ratio(c.value.hypot(e.value))
    }
}

/// Which of flow, bore and differential is to be found, by the other two.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MeterBy {
    /// The flow, by bore and differential.
    Flow(Length, PressureDifference),
    /// The bore, by flow and differential.
    Bore(MassRate, PressureDifference),
    /// The differential, by flow and bore.
    Differential(MassRate, Length),
}

struct Case {
    rho: f64,
    mu: f64,
    p_pa: f64,
    kappa: Option<f64>,
    pipe_m: f64,
    taps: Taps,
}

impl Case {
    fn reynolds(&self, flow_kg_s: f64) -> f64 {
        flow_kg_s / (FRAC_PI_4 * self.pipe_m * self.mu)
    }

    /// Expansibility without the limits of the standard, so that a search may pass them.
    fn expansibility(&self, beta: f64, drop_pa: f64) -> f64 {
        let of = |kappa| {
            let r = 1.0 - drop_pa / self.p_pa;
            plate_expansibility(beta.clamp(0.1, 0.75), r.clamp(LEAST_RATIO, 1.0), kappa).ok()
        };
        self.kappa.and_then(of).unwrap_or(1.0)
    }

    /// Flow before the coefficient.
    fn ideal(&self, beta: f64, drop_pa: f64) -> f64 {
        let d_m = beta * self.pipe_m;
        self.expansibility(beta, drop_pa) / (1.0 - beta.powi(4)).sqrt()
            * (FRAC_PI_4 * d_m * d_m)
            * (2.0 * drop_pa * self.rho).sqrt()
    }

    fn coefficient(&self, beta: f64, flow_kg_s: f64) -> f64 {
        reader_harris_gallagher(beta, self.pipe_m, self.reynolds(flow_kg_s), self.taps)
    }

    /// `q = C q_ideal` with C at the Reynolds number of q, by repeated substitution.
    fn flow(&self, beta: f64, drop_pa: f64) -> f64 {
        let ideal = self.ideal(beta, drop_pa);
        let mut flow = 0.6 * ideal;
        for _ in 0..FLOW_STEPS {
            let next = self.coefficient(beta, flow) * ideal;
            let settled = (next - flow).abs() <= TOLERANCE * flow;
            flow = next;
            if settled {
                break;
            }
        }
        flow
    }

    fn bore(&self, flow_kg_s: f64, drop_pa: f64) -> Result<f64, MeteringError> {
        let c = |beta: f64| self.coefficient(beta, flow_kg_s);
        let over = |beta: f64| {
            Ok::<f64, MeteringError>(c(beta) * self.ideal(beta, drop_pa) / flow_kg_s - 1.0)
        };
        let out_of_reach = || MeteringError::BoreOutOfReach {
            flow_kg_s,
            drop_pa,
            least_kg_s: self.flow(0.1, drop_pa),
            most_kg_s: self.flow(0.75, drop_pa),
        };
        brent(over, BETAS[0], BETAS[1], TOLERANCE).map_err(|e| e.or_from(|_| out_of_reach()))
    }

    fn drop_pa(&self, flow_kg_s: f64, bore_m: f64) -> Result<f64, MeteringError> {
        let beta = bore_m / self.pipe_m;
        let c = self.coefficient(beta, flow_kg_s);
        let incompressible = {
            let flux = flow_kg_s / (c * FRAC_PI_4 * bore_m * bore_m);
            flux * flux * (1.0 - beta.powi(4)) / (2.0 * self.rho)
        };
        if self.kappa.is_none() {
            return Ok(incompressible);
        }
        let most_pa = (1.0 - LEAST_RATIO) * self.p_pa;
        let over = |drop_pa: f64| {
            Ok::<f64, MeteringError>(c * self.ideal(beta, drop_pa) / flow_kg_s - 1.0)
        };
        let too_large = || MeteringError::DropTooLarge {
            flow_kg_s,
            bore_m,
            up_pa: self.p_pa,
        };
        let least = 0.5 * incompressible;
        if !(least < most_pa) {
            return Err(too_large());
        }
        brent(over, least, most_pa, TOLERANCE * least).map_err(|e| e.or_from(|_| too_large()))
    }
}

/// Relative uncertainty of the discharge coefficient, β, D and the Reynolds number taken as exact:
/// * `0.007 − 0.01β` below β 0.2, 0.005 to 0.6, `0.01667β − 0.005` above
/// * pipes under 71.12 mm: `0.009(0.75 − β)(2.8 − D/25.4 mm)` more
/// * β above 0.5 and Reynolds numbers below 10 000: 0.005 more
///
/// **Valid:** as [`orifice_plate`]. **Source:** `iso5167`, 5.3.3.1.
pub fn coefficient_uncertainty(beta: f64, pipe: Length, re: f64) -> Ratio {
    let by_beta = match beta {
        b if b < 0.2 => 0.007 - 0.01 * b,
        b if b <= 0.6 => 0.005,
        b => 0.016_67 * b - 0.005,
    };
    let small = (2.8 - pipe.value / 0.0254).max(0.0);
    let slow = if beta > 0.5 && re < 1e4 { 0.005 } else { 0.0 };
    ratio(by_beta + 0.009 * (0.75 - beta) * small + slow)
}

/// Share of the differential that is not recovered:
/// `(√(1 − β⁴(1 − C²)) − C β²)/(√(1 − β⁴(1 − C²)) + C β²)`.
///
/// **Source:** `iso5167`, 5.4.1.
///
/// ```
/// use fuelwright::flow::metering::lost_share;
/// assert!((lost_share(0.05 / 0.07366, 0.61512) - 9069.474705745388 / 17_000.0).abs() < 1e-9);
/// ```
pub fn lost_share(beta: f64, coefficient: f64) -> f64 {
    let (c, b2) = (coefficient, beta * beta);
    let root = (1.0 - b2 * b2 * (1.0 - c * c)).sqrt();
    (root - c * b2) / (root + c * b2)
}

/// An orifice plate from two of flow, bore and differential: `q = C/√(1 − β⁴) ε (π/4) d² √(2 Δp ρ₁)`.
///
/// **Valid:** as [`orifice_plate`] and [`plate_expansibility`]; one phase; pipe and plate as the standard has them, with
/// its straight lengths. **Source:** `iso5167`.
///
/// # Errors
/// [`MeteringError`]: outside the limits of the standard, which is told by the figure that leaves them.
///
/// ```
/// use fuelwright::flow::discharge::Taps;
/// use fuelwright::flow::metering::{MeterBy, MeterRun, Metered, metering};
/// use fuelwright::quantity::*;
/// let water = Metered {
///     pressure: pascals_absolute(200e3),
///     density: kilograms_per_cubic_metre(999.1),
///     viscosity: pascal_seconds(0.0011),
///     kappa: None,
/// };
/// let run = MeterRun { pipe: metres(0.07366), taps: Taps::DiameterAndHalf };
/// let found = metering(&water, &run, MeterBy::Flow(metres(0.05), pascals_difference(17e3)))?;
/// assert!((found.flow.value - 7.92992).abs() < 1e-5);
/// # Ok::<(), fuelwright::flow::metering::MeteringError>(())
/// ```
pub fn metering(fluid: &Metered, run: &MeterRun, by: MeterBy) -> Result<Metering, MeteringError> {
    let case = Case {
        rho: positive("density", fluid.density.value)?,
        mu: positive("viscosity", fluid.viscosity.value)?,
        p_pa: positive("upstream pressure", fluid.pressure.pascals())?,
        kappa: fluid.kappa,
        pipe_m: positive("pipe bore", run.pipe.value)?,
        taps: run.taps,
    };
    if !(PIPES_M[0]..=PIPES_M[1]).contains(&case.pipe_m) {
        return Err(MeteringError::Pipe {
            pipe_m: case.pipe_m,
        });
    }
    let of = |flow: MassRate| positive("flow", flow.value);
    let across = |drop: PressureDifference| positive("differential", drop.pascals());
    let wide = |bore: Length| positive("plate bore", bore.value);
    let (flow_kg_s, bore_m, drop_pa) = match by {
        MeterBy::Flow(bore, drop) => {
            let (bore_m, drop_pa) = (wide(bore)?, across(drop)?);
            let beta = (bore_m / case.pipe_m).clamp(BETAS[0], BETAS[1]);
            (case.flow(beta, drop_pa), bore_m, drop_pa)
        }
        MeterBy::Bore(flow, drop) => {
            let (flow_kg_s, drop_pa) = (of(flow)?, across(drop)?);
            // pipe and Reynolds number, which no bore changes
            orifice_plate(0.5, run.pipe, case.reynolds(flow_kg_s), Taps::Corner)?;
            let bore_m = case.bore(flow_kg_s, drop_pa)? * case.pipe_m;
            (flow_kg_s, bore_m, drop_pa)
        }
        MeterBy::Differential(flow, bore) => {
            let (flow_kg_s, bore_m) = (of(flow)?, wide(bore)?);
            orifice_plate(
                bore_m / case.pipe_m,
                run.pipe,
                case.reynolds(flow_kg_s),
                run.taps,
            )?;
            (flow_kg_s, bore_m, case.drop_pa(flow_kg_s, bore_m)?)
        }
    };
    if drop_pa >= case.p_pa {
        return Err(MeteringError::NothingLeft {
            drop_pa,
            up_pa: case.p_pa,
        });
    }
    let (beta, re) = (bore_m / case.pipe_m, case.reynolds(flow_kg_s));
    let coefficient = orifice_plate(beta, run.pipe, re, run.taps)?;
    let (expansibility, of_expansibility) = match fluid.kappa {
        None => (1.0, 0.0),
        Some(kappa) => (
            plate_expansibility(beta, 1.0 - drop_pa / case.p_pa, kappa)?,
            // 3.5 % of Δp/(κ p₁): `iso5167`, 5.3.3.2
            0.035 * drop_pa / (kappa * case.p_pa),
        ),
    };
    Ok(Metering {
        flow: kilograms_per_second(flow_kg_s),
        bore: metres(bore_m),
        differential: pascals_difference(drop_pa),
        beta,
        coefficient,
        expansibility,
        reynolds: re,
        loss: pascals_difference(drop_pa * lost_share(beta, coefficient)),
        coefficient_uncertainty: coefficient_uncertainty(beta, run.pipe, re),
        expansibility_uncertainty: ratio(of_expansibility),
    })
}
