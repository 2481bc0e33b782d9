//! Flow test of finished holes with nitrogen, air or the fuel: what they pass against what their model gives them.
//!
//! A test finds coefficient times area: the diameter of the holes is no longer a doubt of its own.

mod judged;

use super::error::InjectorError;
use super::hole::{HoleMake, Tested};
use super::supply::{IdealHole, Supply};
use crate::eos::Backend;
use crate::flow::orifice::Expansion;
use crate::numerics::student::{effective_degrees, quantile};
use crate::quantity::sentence::pressure;
use crate::quantity::told::errors;
use crate::quantity::{
    AbsolutePressure, Length, MassRate, PressureDifference, Ratio, TemperatureInterval,
    ThermodynamicTemperature, Time, Volume, VolumeRate, kelvin, kilograms_per_second,
    pascals_absolute, seconds,
};
use std::f64::consts::FRAC_PI_4;

/// Temperature and pressure of free gas, as leaks are stated.
const FREE: (f64, f64) = (288.15, 101_325.0);
/// Places and weights of Gauss's rule of eight points over 0 to 1, halves of it.
const GAUSS: [(f64, f64); 4] = [
    (0.183_434_642_495_650, 0.362_683_783_378_362),
    (0.525_532_409_916_329, 0.313_706_645_877_887),
    (0.796_666_477_413_627, 0.222_381_034_453_374),
    (0.960_289_856_497_536, 0.101_228_536_290_376),
];

/// How far a reading may be off, half-widths; `None`: what is usual.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct ReadingErrors {
    /// Each pressure.
    pub pressure: Option<PressureDifference>,
    /// Temperature.
    pub temperature: Option<TemperatureInterval>,
    /// Flow, relative.
    pub flow: Option<Ratio>,
    /// Volume, relative.
    pub volume: Option<Ratio>,
    /// Time.
    pub time: Option<Time>,
}

/// A flow as it was read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum TestFlow {
    /// By mass.
    Mass(MassRate),
    /// As free gas at 15 °C and one standard atmosphere.
    Free(VolumeRate),
}

/// What was read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum TestRead {
    /// A flow that stayed as it was.
    Steady {
        /// Pressure before the holes.
        upstream: AbsolutePressure,
        /// Flow.
        flow: TestFlow,
    },
    /// A known volume that emptied itself through the holes.
    Fall {
        /// Volume, with all that is open to it.
        volume: Volume,
        /// Pressure at the start.
        from: AbsolutePressure,
        /// Pressure at the end.
        to: AbsolutePressure,
        /// Pressure that it settled at once shut and as warm as before; `None`: not read.
        settled: Option<AbsolutePressure>,
        /// Time between.
        time: Time,
    },
}

/// Gas, place and holes of a flow test.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bench {
    /// Temperature of the gas before the holes, or in the volume at the start.
    pub temperature: ThermodynamicTemperature,
    /// Pressure behind the holes.
    pub downstream: AbsolutePressure,
    /// Number of holes.
    pub holes: u32,
    /// Diameter of a hole.
    pub diameter: Length,
    /// How they are made.
    pub make: HoleMake,
}

/// A flow test as it was read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FlowTest {
    /// Gas, place, holes.
    pub bench: Bench,
    /// Readings.
    pub read: TestRead,
    /// How far they may be off.
    pub errors: ReadingErrors,
}

/// What holes pass at one pressure by their model.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Passes {
    /// Flow of all holes.
    pub flow: MassRate,
    /// The same at the ends of the model's band.
    pub band: (MassRate, MassRate),
    /// Discharge coefficient of the model.
    pub coefficient: f64,
    /// Reynolds number `G d/μ`.
    pub reynolds: f64,
    /// Whether the holes are choked.
    pub choked: bool,
}

/// What a flow test says of the holes.
#[derive(Debug, Clone, PartialEq)]
pub struct TestedFlow {
    /// Measured over model.
    pub factor: f64,
    /// Half-width of its 95 % band, relative.
    pub relative_band: f64,
    /// The model at the conditions of the test; of a fall, halfway by pressure.
    pub passes: Passes,
    /// Pressure before the holes there.
    pub pressure: AbsolutePressure,
    /// Flow that was measured; of a fall, its mean.
    pub flow: MassRate,
    /// Exponent of a fall, `p/ρⁿ` constant; `None`: steady.
    pub exponent: Option<f64>,
    /// How far each reading can move the result, relative half-widths.
    pub errors: Vec<(&'static str, f64)>,
}

errors! {
    /// Why a flow test says nothing.
    pub enum FlowTestError {
        Injector(InjectorError);
        NotFalling { from_pa: f64, to_pa: f64 } =>
            "the pressure does not fall: {} to {}", pressure(from_pa), pressure(to_pa);
        Settled { settled_pa: f64, least_pa: f64, most_pa: f64 } =>
            "a volume that was shut and warms up again settles between {} and {}, and not at {}",
            pressure(least_pa), pressure(most_pa), pressure(settled_pa);
        FarOff { times: f64 } =>
            "the holes would pass {} times what their model gives them: a reading, its unit, the size or the number of the holes is wrong",
            &crate::quantity::show::number(times);
    }
}

/// Several tests of the same holes as one: the mean of the factors by weight. Their scatter narrows with their number,
/// the band of their instruments does not: repeats share them.
///
/// **Source:** `jcgm100`, 4.2.3 and annex G.4; that repeats share their instruments is our choice.
pub fn together(tests: &[TestedFlow]) -> Option<Tested> {
    let weight = |t: &TestedFlow| t.relative_band.powi(-2);
    let sum: f64 = tests.iter().map(weight).sum();
    let mean = |of: &dyn Fn(&TestedFlow) -> f64| {
        tests.iter().map(|t| weight(t) * of(t).ln()).sum::<f64>() / sum
    };
    let factor = mean(&|t| t.factor);
    let best = tests.iter().map(|t| t.relative_band).reduce(f64::min)?;
    let n = tests.len() as f64;
    let squares: f64 = tests.iter().map(|t| (t.factor.ln() - factor).powi(2)).sum();
    let scatter = (squares / (n * (n - 1.0).max(1.0))).sqrt();
    let nu = effective_degrees(&[(scatter, n - 1.0), (best / 2.0, f64::INFINITY)]);
    let both = quantile(0.95, nu) * scatter.hypot(best / 2.0);
    Some(Tested {
        factor: factor.exp(),
        model: mean(&|t| t.passes.coefficient).exp(),
        // one test has no scatter, whatever its rounding
        relative_band: if tests.len() > 1 {
            both.max(best)
        } else {
            best
        },
    })
}

impl Bench {
    /// What the holes pass from a pressure by their model.
    ///
    /// **Valid:** as the hole's model and the equation of the gas. **Source:** theirs.
    ///
    /// # Errors
    /// [`FlowTestError`].
    pub fn passes(
        &self,
        gas: &dyn Backend,
        upstream: AbsolutePressure,
        temperature: ThermodynamicTemperature,
    ) -> Result<Passes, FlowTestError> {
        let up = Supply::Temperature(temperature).at(gas, upstream, None)?;
        if upstream <= self.downstream {
            return Err(InjectorError::ChamberAboveSupply {
                chamber_pa: self.downstream.pascals(),
                supply_pa: upstream.pascals(),
            }
            .into());
        }
        let ideal = IdealHole::new(up, self.downstream, Expansion::Blend)?;
        let c = ideal.coefficient(&self.make, self.diameter)?;
        let d_m = self.diameter.value;
        let area_m2 = f64::from(self.holes) * FRAC_PI_4 * d_m * d_m;
        let flow = |c: f64| kilograms_per_second(area_m2 * c * ideal.flux);
        Ok(Passes {
            flow: flow(c.value),
            band: (flow(c.low), flow(c.high)),
            coefficient: c.value,
            reynolds: ideal.reynolds(d_m)?,
            choked: ideal.choked,
        })
    }

    /// Density of the gas, kg/m³.
    ///
    /// # Errors
    /// [`FlowTestError`].
    pub fn density(
        &self,
        gas: &dyn Backend,
        p: AbsolutePressure,
        t: ThermodynamicTemperature,
    ) -> Result<f64, FlowTestError> {
        let up = Supply::Temperature(t).at(gas, p, None)?;
        Ok(up.state().density_kg_m3)
    }

    /// Density of free gas, kg/m³.
    ///
    /// # Errors
    /// [`FlowTestError`].
    pub fn free_density(&self, gas: &dyn Backend) -> Result<f64, FlowTestError> {
        self.density(gas, pascals_absolute(FREE.1), kelvin(FREE.0))
    }

    /// Time in which a volume falls from one pressure to another through the holes by their model, and the mass it loses,
    /// kg.
    ///
    /// `t = V ∫ dρ/(n A C G)` down the path `T = T₁ (p/p₁)^e`, with what is lost known from both ends.
    ///
    /// * `exponent` — `e = (n − 1)/n` of the fall: 0 as warm as at the start, 0.286 with no heat from the walls
    ///
    /// **Valid:** as [`Self::passes`]. **Source:** mass balance of a volume.
    ///
    /// # Errors
    /// [`FlowTestError`].
    pub fn fall(
        &self,
        gas: &dyn Backend,
        volume: Volume,
        (from, to): (AbsolutePressure, AbsolutePressure),
        exponent: f64,
    ) -> Result<(Time, f64), FlowTestError> {
        let (p1, p2) = (from.pascals(), to.pascals());
        if p1 <= p2 {
            return Err(FlowTestError::NotFalling {
                from_pa: p1,
                to_pa: p2,
            });
        }
        let at = |x: f64| {
            let p_pa = p1 * (p2 / p1).powf(x);
            let t_k = self.temperature.value * (p_pa / p1).powf(exponent);
            (pascals_absolute(p_pa), kelvin(t_k))
        };
        let density = |x: f64| {
            let (p, t) = at(x);
            self.density(gas, p, t)
        };
        let (mut slowness, mut weights) = (0.0, 0.0);
        for (place, weight) in GAUSS {
            for x in [0.5 - 0.5 * place, 0.5 + 0.5 * place] {
                let (p, t) = at(x);
                // the density falls as itself, by equal steps of the logarithm
                let weight = weight * density(x)?;
                slowness += weight / self.passes(gas, p, t)?.flow.value;
                weights += weight;
            }
        }
        let lost = volume.value * (density(0.0)? - density(1.0)?);
        Ok((seconds(lost * slowness / weights), lost))
    }
}
