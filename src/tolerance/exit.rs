//! Exit temperature against equivalence ratio and air temperature, tabulated over the range of the samples.

use crate::combustion::flame::fuel_feed::usual_phase;
use crate::combustion::flame::{Burner, FuelFeed};
use crate::eos::Backend;
use crate::quantity::{AbsolutePressure, Ratio, kelvin, ratio};
use crate::train::rig::{self, Rig};

/// Equivalence ratios of the table; the second where the first is not true enough.
const NODES: [usize; 2] = [15, 81];
/// Largest error of the table between its nodes, K; what bends more sharply is not tabulated.
const LARGEST_ERROR_K: f64 = 1.0;

/// The table.
#[derive(Debug, Clone)]
pub(super) struct ExitTable {
    phi: (f64, f64),
    air_k: (f64, f64),
    /// Chebyshev coefficients at either air temperature.
    at: [Vec<f64>; 2],
}

/// What burns, but for the temperature of its air.
#[derive(Debug, Clone)]
pub(super) struct Fire {
    feed: FuelFeed,
    humidity_ratio: Ratio,
    chamber: AbsolutePressure,
    can: rig::Burner,
}

impl Fire {
    /// The fire of a rig at a chamber pressure.
    pub(super) fn new(
        rig: &Rig,
        fluid: &dyn Backend,
        humidity_ratio: Ratio,
        chamber: AbsolutePressure,
    ) -> Option<Self> {
        let composition = &rig.fuel.composition;
        let t = rig.injector.temperature.unwrap_or(rig.site.ambient);
        let phase = usual_phase(composition);
        let feed = FuelFeed::from_state(fluid, rig.site.air_pressure, t, phase)
            .or_else(|_| FuelFeed::usual(composition))
            .ok()?;
        Some(Self {
            feed,
            humidity_ratio,
            chamber,
            can: rig.burner.clone(),
        })
    }

    fn burner(&self, air_k: f64) -> Option<Burner> {
        let (feed, humidity_ratio) = (self.feed.clone(), self.humidity_ratio);
        let fire = self
            .can
            .fire(feed, kelvin(air_k), humidity_ratio, self.chamber);
        fire.ok()
    }

    /// Exit temperature, K.
    pub(super) fn exit_k(&self, phi: f64, air_k: f64) -> Option<f64> {
        let flame = self.burner(air_k)?.flame(ratio(phi)).ok()?;
        Some(flame.temperature.value)
    }
}

impl ExitTable {
    /// Tabulates a fire; `None` if it has no flame somewhere in the ranges, or bends too sharply for the
    /// table.
    pub(super) fn new(fire: &Fire, phi: (f64, f64), air_k: (f64, f64)) -> Option<Self> {
        NODES
            .into_iter()
            .find_map(|n| Self::with_nodes(fire, phi, air_k, n))
    }

    fn with_nodes(fire: &Fire, phi: (f64, f64), air_k: (f64, f64), nodes: usize) -> Option<Self> {
        // a range of nothing is widened to have two sides
        let widened = |(low, high): (f64, f64)| {
            let room = 1e-3 * high.abs();
            if high - low < room {
                (low - room, high + room)
            } else {
                (low, high)
            }
        };
        let (phi, air_k) = (widened(phi), widened(air_k));
        let series = |air_k: f64| -> Option<Vec<f64>> {
            let burner = fire.burner(air_k)?;
            let n = nodes as f64;
            let angle = |j: usize| std::f64::consts::PI * (j as f64 + 0.5) / n;
            let samples: Vec<f64> = (0..nodes)
                .map(|j| {
                    let x = phi.0 + 0.5 * (phi.1 - phi.0) * (angle(j).cos() + 1.0);
                    Some(burner.flame(ratio(x)).ok()?.temperature.value)
                })
                .collect::<Option<_>>()?;
            Some(
                (0..nodes)
                    .map(|k| {
                        let sum: f64 = samples
                            .iter()
                            .enumerate()
                            .map(|(j, y)| y * (k as f64 * angle(j)).cos())
                            .sum();
                        sum * if k == 0 { 1.0 } else { 2.0 } / n
                    })
                    .collect(),
            )
        };
        let table = Self {
            phi,
            air_k,
            at: [series(air_k.0)?, series(air_k.1)?],
        };
        let within = |(low, high): (f64, f64), share: f64| low + share * (high - low);
        let true_enough = [0.03, 0.27, 0.52, 0.71, 0.97].into_iter().all(|share| {
            let (x, t) = (within(phi, share), within(air_k, 0.5));
            fire.exit_k(x, t)
                .is_some_and(|want| (table.exit_k(x, t) - want).abs() < LARGEST_ERROR_K)
        });
        true_enough.then_some(table)
    }

    /// Exit temperature, K.
    pub(super) fn exit_k(&self, phi: f64, air_k: f64) -> f64 {
        let x = 2.0 * (phi - self.phi.0) / (self.phi.1 - self.phi.0) - 1.0;
        let share = (air_k - self.air_k.0) / (self.air_k.1 - self.air_k.0);
        let [low, high] = [0, 1].map(|i| clenshaw(&self.at[i], x));
        low + share * (high - low)
    }
}

/// Sum of a Chebyshev series, −1 ≤ x ≤ 1.
fn clenshaw(coefficients: &[f64], x: f64) -> f64 {
    let (mut b1, mut b2) = (0.0, 0.0);
    for c in coefficients[1..].iter().rev() {
        (b1, b2) = (2.0 * x * b1 - b2 + c, b1);
    }
    x * b1 - b2 + coefficients[0]
}
