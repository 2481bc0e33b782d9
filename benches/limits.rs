//! Limits of time that one core keeps when nothing else runs: each line is measured and held, and the run
//! fails if one is exceeded. Whole commands have theirs in `process.rs`.
use fuelwright::combustion::flame::{AirFeed, Burner, FuelFeed};
use fuelwright::eos::{Backend, Phase, backend};
use fuelwright::flow::orifice::{Stagnation, isentropic_flux};
use fuelwright::fuel::{Composition, Library};
use fuelwright::quantity::{
    cubic_metres, joules_per_kelvin, kelvin, kilograms, kilograms_per_second, pascals_absolute,
    ratio, seconds, watts_per_kelvin,
};
use fuelwright::tank::chilling::{RunOptions, run};
use fuelwright::tank::heat_gain::HeatGain;
use fuelwright::tank::schedule::{Schedule, Step};
use fuelwright::tank::vessel::{Charge, Tank};
use fuelwright::train::{Target, flow_for_openings, openings_for_flows};
use std::hint::black_box;
use std::sync::Arc;
use std::time::{Duration, Instant};

#[path = "../tests/train/parts.rs"]
mod parts;

/// Batches of which the median is taken.
const BATCHES: usize = 15;
/// Time a batch takes, at least.
const BATCH: Duration = Duration::from_millis(20);

/// What was measured.
struct Line {
    name: String,
    limit_us: f64,
    us: f64,
}

/// Median time of a call, µs. The argument goes through the numbers 0 to 1, as inputs do in a run.
fn time(mut call: impl FnMut(f64)) -> f64 {
    let mut k = 0_u32;
    let mut next = || {
        k = (k + 37) % 200;
        f64::from(k) / 200.0
    };
    let mut calls = 1_u32;
    loop {
        let start = Instant::now();
        for _ in 0..calls {
            call(next());
        }
        if start.elapsed() >= BATCH || calls >= 1 << 24 {
            break;
        }
        calls *= 2;
    }
    let mut times: Vec<f64> = (0..BATCHES)
        .map(|_| {
            let start = Instant::now();
            for _ in 0..calls {
                call(next());
            }
            start.elapsed().as_secs_f64() * 1e6 / f64::from(calls)
        })
        .collect();
    times.sort_by(f64::total_cmp);
    times[BATCHES / 2]
}

/// Limits, one after the other.
#[derive(Default)]
struct Limits(Vec<Line>);

impl Limits {
    fn hold(&mut self, name: &str, limit_us: f64, call: impl FnMut(f64)) {
        let us = time(call);
        self.0.push(Line {
            name: name.to_owned(),
            limit_us,
            us,
        });
    }
}

fn fluid(name: &str) -> Arc<dyn Backend> {
    let library = Library::embedded();
    let composition = Composition::parse(name, &library).expect("a fuel");
    backend(&library, &composition).expect("a backend")
}

fn properties(limits: &mut Limits) {
    let b = fluid("propane");
    limits.hold("propane, saturation at T", 10.0, |x| {
        black_box(b.bubble_t(250.0 + 60.0 * x)).expect("saturation");
    });
    limits.hold("propane, gas at (p,T)", 3.0, |x| {
        black_box(b.state_pt(2e5 + 3e5 * x, 300.0)).expect("gas");
    });
    let s = b.state_pt(4e5, 300.0).expect("gas").entropy_j_kg_k;
    limits.hold("propane, gas at (p,s)", 15.0, |x| {
        black_box(b.state_ps(2e5 + 2e5 * x, s)).expect("gas");
    });
    let m = fluid("propane:70,n-butane:30");
    limits.hold("binary, bubble point at T", 100.0, |x| {
        black_box(m.bubble_t(250.0 + 60.0 * x)).expect("bubble point");
    });
    limits.hold("binary, gas at (p,T), phase known", 5.0, |x| {
        black_box(m.state_pt_in(1e5 + 1e5 * x, 300.0, Phase::Gas)).expect("gas");
    });
    let s = m.state_pt(2e5, 310.0).expect("gas").entropy_j_kg_k;
    limits.hold("binary, gas at (p,s)", 30.0, |x| {
        black_box(m.state_ps(1e5 + 1e5 * x, s)).expect("gas");
    });
}

fn nozzle(limits: &mut Limits) {
    let back = pascals_absolute(101_325.0);
    for (name, fuel) in [
        ("nozzle point, propane gas", "propane"),
        ("nozzle point, binary gas", "propane:70,n-butane:30"),
    ] {
        let gas = fluid(fuel);
        limits.hold(name, 100.0, |x| {
            let p0 = pascals_absolute(2.0e5 + 2e5 * x);
            let up = Stagnation::at(gas.as_ref(), p0, kelvin(303.15)).expect("a gas");
            black_box(isentropic_flux(&up, back)).expect("a flux");
        });
    }
}

fn tank(limits: &mut Limits) {
    let draw =
        |minutes: f64| Step::vapour("draw", kilograms_per_second(4e-4), seconds(60.0 * minutes));
    let once = Schedule::once(draw(120.0));
    let on_and_off = Schedule {
        steps: vec![draw(20.0), Step::rest(seconds(600.0))],
        repeats: 4,
    };
    for (name, limit_us, fuel, schedule) in [
        ("tank, two hours, propane", 1e3, "propane", &once),
        (
            "tank, two hours, binary",
            1e4,
            "propane:60,n-butane:40",
            &once,
        ),
        (
            "tank, two-hour schedule, ternary",
            5e4,
            "propane:40,isobutane:25,n-butane:35",
            &on_and_off,
        ),
    ] {
        let tank = Tank {
            backend: fluid(fuel),
            volume: cubic_metres(0.0272),
            wall: joules_per_kelvin(5500.0),
            heat_gain: HeatGain::Conductance {
                conductance: watts_per_kelvin(5.0),
                ambient: kelvin(288.15),
            },
        };
        limits.hold(name, limit_us, |x| {
            let charge = Charge {
                mass: kilograms(10.0),
                temperature: kelvin(287.0 + 2.0 * x),
            };
            black_box(run(&tank, &charge, schedule, &RunOptions::default())).expect("holds out");
        });
    }
}

fn train(limits: &mut Limits) {
    let train = |opening| {
        parts::single(
            parts::twelve_parts(opening),
            parts::holes("ring", 12, 0.0011),
        )
    };
    let set = [0.25, 0.4, 0.6, 0.75, 0.9].map(train);
    for fuel in ["propane", "propane:70,n-butane:30"] {
        let gas = fluid(fuel);
        let conditions = parts::conditions(gas.as_ref(), 288.15, 103e3);
        let open = train(1.0);
        let name = format!("12 parts, 5 duties, openings for flows, {fuel}");
        limits.hold(&name, 5e3, |x| {
            for flow in [1.5e-4, 3e-4, 6e-4, 1e-3, 1.5e-3] {
                let target = Target {
                    outlet: "ring".to_owned(),
                    flow: kilograms_per_second(flow * (1.0 + 0.01 * x)),
                    throttle: "metering".to_owned(),
                };
                black_box(openings_for_flows(&open, &conditions, &[target])).expect("solves");
            }
        });
        let name = format!("12 parts, 5 duties, flows for openings, {fuel}");
        limits.hold(&name, 5e3, |_| {
            for train in &set {
                black_box(flow_for_openings(train, &conditions)).expect("solves");
            }
        });
    }
}

fn flame(limits: &mut Limits) {
    let burner = |fuel| {
        let composition = Composition::parse(fuel, &Library::embedded()).expect("a fuel");
        let feed = FuelFeed::usual(&composition).expect("a feed");
        let air = AirFeed::dry(kelvin(288.15)).expect("in range");
        Burner::new(feed, air, pascals_absolute(1.1e5)).expect("in range")
    };
    let propane = burner("propane");
    for fuel in ["propane", "kerosene"] {
        let burner = burner(fuel);
        limits.hold(&format!("one flame, {fuel}"), 100.0, |x| {
            black_box(burner.flame(ratio(0.3 + 2.2 * x))).expect("a flame");
        });
    }
    let phis: Vec<_> = (1..=200)
        .map(|i| ratio(0.2 + 0.01 * f64::from(i)))
        .collect();
    limits.hold("200 flames, phi 0.21 to 2.2", 2e4, |_| {
        black_box(propane.sweep(&phis)).expect("flames");
    });
}

fn main() {
    let mut limits = Limits::default();
    properties(&mut limits);
    nozzle(&mut limits);
    tank(&mut limits);
    train(&mut limits);
    flame(&mut limits);
    let mut exceeded = 0;
    for line in &limits.0 {
        let kept = line.us <= line.limit_us;
        exceeded += usize::from(!kept);
        let verdict = if kept { "kept" } else { "EXCEEDED" };
        #[allow(clippy::print_stdout)] // a bench reports
        {
            println!(
                "{:64} {:10.2} us  (limit {:8.0})  {verdict}",
                line.name, line.us, line.limit_us
            );
        }
    }
    assert!(exceeded == 0, "{exceeded} limits exceeded");
}
