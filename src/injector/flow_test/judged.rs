//! A flow test judged: what was read, how far each reading can move the result, the band.

use super::{FlowTest, FlowTestError, TestFlow, TestRead, TestedFlow};
use crate::eos::Backend;
use crate::quantity::{
    AbsolutePressure, PressureDifference, ThermodynamicTemperature, kelvin, kelvin_difference,
    kilograms_per_second, pascals_absolute, ratio, seconds,
};

/// Standard uncertainty of the laws of flow themselves, relative. Our choice.
const OF_LAWS: f64 = 0.003;
/// Errors of readings that state none, half-widths. Our choice: a dial gauge of class 1.6, a variable-area meter, a volume
/// weighed out with water, a thermometer in the shop, a hand on a stopwatch.
const GAUGE: f64 = 0.016;
const FLOW: f64 = 0.03;
const VOLUME: f64 = 0.02;
const TEMPERATURE_K: f64 = 2.0;
const TIME_S: f64 = 0.5;
/// Isentropic exponent of nitrogen and air, for the coldest that a falling pressure can make them.
const GAMMA: f64 = 1.4;
/// Times what the model gives, beyond which a reading or a hole is not as it is written.
const BELIEVED: (f64, f64) = (0.25, 1.7);

impl FlowTest {
    /// What the test says: coefficient against the model, with the band that its readings leave.
    ///
    /// Each reading moved by its half-width moves the result; the contributions are rectangular, the band is twice their
    /// root sum of squares, and no wider than their plain sum.
    ///
    /// **Valid:** as [`Bench::passes`](super::Bench::passes).
    /// **Source:** `jcgm100`, 4.3.7 and 5.1.2; the shape of such tests after ISO 6358, from memory.
    ///
    /// # Errors
    /// [`FlowTestError`].
    pub fn judged(&self, gas: &dyn Backend) -> Result<TestedFlow, FlowTestError> {
        let (factor, exponent) = self.factor(gas)?;
        if !(BELIEVED.0..=BELIEVED.1).contains(&factor) {
            return Err(FlowTestError::FarOff { times: factor });
        }
        let mut errors = Vec::new();
        for (name, moved) in self.moved(exponent) {
            let (other, _) = match moved {
                Moved::Test(test) => test.factor(gas)?,
                Moved::Exponent(e) => (self.fallen(gas, e)?, None),
                Moved::By(share) => (factor * (1.0 + share), None),
            };
            errors.push((name, (other / factor - 1.0).abs()));
        }
        let squares: f64 = errors.iter().map(|(_, e)| e * e / 3.0).sum();
        let plain: f64 = errors.iter().map(|(_, e)| e).sum();
        let band = 2.0 * (squares + OF_LAWS * OF_LAWS).sqrt();
        let (pressure, temperature) = self.halfway(exponent);
        let passes = self.bench.passes(gas, pressure, temperature)?;
        let flow = match self.read {
            TestRead::Steady { .. } => self.steady(gas)?,
            TestRead::Fall {
                volume,
                from,
                to,
                time,
                ..
            } => {
                let (_, lost) =
                    self.bench
                        .fall(gas, volume, (from, to), exponent.unwrap_or_default())?;
                lost / time.value
            }
        };
        Ok(TestedFlow {
            factor,
            relative_band: band.min(plain + 2.0 * OF_LAWS),
            passes,
            pressure,
            flow: kilograms_per_second(flow),
            exponent: exponent.map(|e| 1.0 / (1.0 - e)),
            errors,
        })
    }

    /// Flow of a steady test, kg/s.
    fn steady(&self, gas: &dyn Backend) -> Result<f64, FlowTestError> {
        Ok(match self.read {
            TestRead::Steady {
                flow: TestFlow::Mass(flow),
                ..
            } => flow.value,
            TestRead::Steady {
                flow: TestFlow::Free(flow),
                ..
            } => flow.value * self.bench.free_density(gas)?,
            TestRead::Fall { .. } => f64::NAN,
        })
    }

    /// Measured over model, and the exponent of a fall.
    fn factor(&self, gas: &dyn Backend) -> Result<(f64, Option<f64>), FlowTestError> {
        match self.read {
            TestRead::Steady { upstream, .. } => {
                let model = self.bench.passes(gas, upstream, self.bench.temperature)?;
                Ok((self.steady(gas)? / model.flow.value, None))
            }
            TestRead::Fall {
                from, to, settled, ..
            } => {
                let exponent = match settled {
                    Some(settled) => self.exponent(gas, (from, to), settled)?,
                    None => 0.5 * (GAMMA - 1.0) / GAMMA,
                };
                Ok((self.fallen(gas, exponent)?, Some(exponent)))
            }
        }
    }

    /// Measured over model of a fall of this exponent.
    fn fallen(&self, gas: &dyn Backend, exponent: f64) -> Result<f64, FlowTestError> {
        let TestRead::Fall {
            volume,
            from,
            to,
            time,
            ..
        } = self.read
        else {
            return Ok(f64::NAN);
        };
        let (model, _) = self.bench.fall(gas, volume, (from, to), exponent)?;
        Ok(model.value / time.value)
    }

    /// Exponent of a fall by the pressure that it settled at: the gas left was as much colder as it rose.
    fn exponent(
        &self,
        gas: &dyn Backend,
        (from, to): (AbsolutePressure, AbsolutePressure),
        settled: AbsolutePressure,
    ) -> Result<f64, FlowTestError> {
        let (p1, p2, ps) = (from.pascals(), to.pascals(), settled.pascals());
        if p1 <= p2 {
            return Err(FlowTestError::NotFalling {
                from_pa: p1,
                to_pa: p2,
            });
        }
        let most = (GAMMA - 1.0) / GAMMA;
        // a little beyond either end is the reading
        let slack = self.pressure_error();
        let (least_pa, most_pa) = (p2, p2 * (p1 / p2).powf(most));
        if ps < least_pa - slack || ps > most_pa + slack {
            return Err(FlowTestError::Settled {
                settled_pa: ps,
                least_pa,
                most_pa,
            });
        }
        let t1 = self.bench.temperature;
        let left = self.bench.density(gas, settled, t1)?;
        let t2 = t1.value * p2 / ps;
        let t2 = t2 * self.bench.density(gas, to, kelvin(t2))? / left;
        Ok(((t1.value / t2).ln() / (p1 / p2).ln()).clamp(0.0, most))
    }

    fn pressure_error(&self) -> f64 {
        let (TestRead::Steady { upstream: most, .. } | TestRead::Fall { from: most, .. }) =
            self.read;
        let usual = GAUGE * (most.pascals() - self.bench.downstream.pascals()).max(0.0);
        self.errors
            .pressure
            .map_or(usual, PressureDifference::pascals)
    }

    /// Where the model is looked at: the pressure of the test, or halfway of a fall.
    fn halfway(&self, exponent: Option<f64>) -> (AbsolutePressure, ThermodynamicTemperature) {
        match self.read {
            TestRead::Steady { upstream, .. } => (upstream, self.bench.temperature),
            TestRead::Fall { from, to, .. } => {
                let share = (to.pascals() / from.pascals()).sqrt();
                let t_k = self.bench.temperature.value * share.powf(exponent.unwrap_or_default());
                (pascals_absolute(from.pascals() * share), kelvin(t_k))
            }
        }
    }

    /// The test with each reading moved by how far it may be off.
    fn moved(&self, exponent: Option<f64>) -> Vec<(&'static str, Moved)> {
        let e = &self.errors;
        let by = |p: AbsolutePressure| pascals_absolute(p.pascals() + self.pressure_error());
        let with = |read: TestRead| Moved::Test(Self { read, ..*self });
        let mut warmer = *self;
        let kelvins = e.temperature.unwrap_or(kelvin_difference(TEMPERATURE_K));
        warmer.bench.temperature = kelvin(self.bench.temperature.value + kelvins.value);
        let mut all = vec![("temperature", Moved::Test(warmer))];
        match self.read {
            TestRead::Steady { upstream, flow } => {
                let moved = TestRead::Steady {
                    upstream: by(upstream),
                    flow,
                };
                all.push(("pressure", with(moved)));
                all.push(("flow", Moved::By(e.flow.unwrap_or(ratio(FLOW)).value)));
            }
            TestRead::Fall {
                volume,
                from,
                to,
                settled,
                time,
            } => {
                let fall = |from, to, settled| {
                    with(TestRead::Fall {
                        volume,
                        from,
                        to,
                        settled,
                        time,
                    })
                };
                all.push(("pressure at the start", fall(by(from), to, settled)));
                // read one after the other by the same gauge
                let settled_too = settled.map(by);
                all.push(("pressure at the end", fall(from, by(to), settled_too)));
                let most = (GAMMA - 1.0) / GAMMA;
                let used = exponent.unwrap_or_default();
                let far = if settled.is_some() {
                    // what a reading of the rise may be off by
                    let rise = self.pressure_error() / to.pascals();
                    let width = rise / (from.pascals() / to.pascals()).ln();
                    if used + width > most {
                        used - width
                    } else {
                        used + width
                    }
                } else {
                    most
                };
                all.push(("cold of the fall", Moved::Exponent(far.clamp(0.0, most))));
                all.push(("volume", Moved::By(e.volume.unwrap_or(ratio(VOLUME)).value)));
                let slip = e.time.unwrap_or(seconds(TIME_S)).value / time.value;
                all.push(("time", Moved::By(slip)));
            }
        }
        all
    }
}

/// A test with one thing moved.
enum Moved {
    /// A reading.
    Test(FlowTest),
    /// The exponent of the fall.
    Exponent(f64),
    /// The result itself, by a share.
    By(f64),
}
