//! What several benches work on.
#![allow(dead_code, reason = "no bench uses all of it")]

use fuelwright::combustion::flame::{AirFeed, Burner, FuelFeed};
use fuelwright::eos::{Backend, backend};
use fuelwright::fuel::{Composition, Library};
use fuelwright::quantity::{
    cubic_metres, joules_per_kelvin, kelvin, kilograms_per_second, pascals_absolute, seconds,
    watts_per_kelvin,
};
use fuelwright::tank::heat_gain::HeatGain;
use fuelwright::tank::schedule::{Schedule, Step};
use fuelwright::tank::vessel::Tank;
use std::sync::Arc;

/// A fuel's properties.
pub(crate) fn fluid(name: &str) -> Arc<dyn Backend> {
    let library = Library::embedded();
    let composition = Composition::parse(name, &library).expect("a fuel");
    backend(&library, &composition).expect("a backend")
}

/// Numbers from 0 to 1 that change from call to call, as inputs do in a run.
pub(crate) fn inputs() -> impl FnMut() -> f64 {
    let mut k = 0_u32;
    move || {
        k = (k + 37) % 200;
        f64::from(k) / 200.0
    }
}

/// A call with such an input.
pub(crate) fn over(mut f: impl FnMut(f64)) -> impl FnMut() {
    let mut next = inputs();
    move || f(next())
}

/// A cylinder of 27 L with a known conductance.
pub(crate) fn tank(fuel: &str) -> Tank {
    Tank {
        backend: fluid(fuel),
        volume: cubic_metres(0.0272),
        wall: joules_per_kelvin(5500.0),
        heat_gain: HeatGain::Conductance {
            conductance: watts_per_kelvin(5.0),
            ambient: kelvin(288.15),
        },
    }
}

fn draw(minutes: f64) -> Step {
    Step::vapour("draw", kilograms_per_second(4e-4), seconds(60.0 * minutes))
}

/// Tanks drawn down: name, fuel, schedule, limit of time in µs.
pub(crate) fn tank_runs() -> [(&'static str, &'static str, Schedule, f64); 3] {
    let once = || Schedule::once(draw(120.0));
    let on_and_off = Schedule {
        steps: vec![draw(20.0), Step::rest(seconds(600.0))],
        repeats: 4,
    };
    [
        ("two hours of propane", "propane", once(), 1e3),
        (
            "two hours of a binary",
            "propane:60,n-butane:40",
            once(),
            1e4,
        ),
        (
            "two-hour schedule of a ternary",
            "propane:40,isobutane:25,n-butane:35",
            on_and_off,
            5e4,
        ),
    ]
}

/// Openings of the throttle of the twelve-part train, one a duty.
pub(crate) const OPENINGS: [f64; 5] = [0.25, 0.4, 0.6, 0.75, 0.9];
/// Flows of the twelve-part train, one a duty, kg/s.
pub(crate) const FLOWS: [f64; 5] = [1.5e-4, 3e-4, 6e-4, 1e-3, 1.5e-3];

/// A burner with dry air at 15 °C.
pub(crate) fn burner(fuel: &str) -> Burner {
    let composition = Composition::parse(fuel, &Library::embedded()).expect("a fuel");
    let feed = FuelFeed::usual(&composition).expect("a feed");
    let air = AirFeed::dry(kelvin(288.15)).expect("in range");
    Burner::new(feed, air, pascals_absolute(1.1e5)).expect("in range")
}
