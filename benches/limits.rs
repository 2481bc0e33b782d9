//! Limits of time that one core keeps when nothing else runs: each line is measured and held, and the run
//! fails if one is exceeded. Whole commands have theirs in `process.rs`.
use fuelwright::eos::Phase;
use fuelwright::flow::orifice::{Stagnation, isentropic_flux};
use fuelwright::quantity::{kelvin, kilograms, kilograms_per_second, pascals_absolute, ratio};
use fuelwright::tank::chilling::{RunOptions, run};
use fuelwright::tank::vessel::Charge;
use fuelwright::train::{Target, flow_for_openings, openings_for_flows};
use std::hint::black_box;
use std::time::{Duration, Instant};

#[path = "../tests/rigs/train/parts.rs"]
mod parts;
#[path = "work/mod.rs"]
mod work;
use work::{burner, fluid};

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
    let mut next = work::inputs();
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
    for (name, fuel, schedule, limit_us) in work::tank_runs() {
        let tank = work::tank(fuel);
        limits.hold(name, limit_us, |x| {
            let charge = Charge {
                mass: kilograms(10.0),
                temperature: kelvin(287.0 + 2.0 * x),
            };
            black_box(run(&tank, &charge, &schedule, &RunOptions::default())).expect("holds out");
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
    let set = work::OPENINGS.map(train);
    for fuel in ["propane", "propane:70,n-butane:30"] {
        let gas = fluid(fuel);
        let conditions = parts::conditions(gas.as_ref(), 288.15, 103e3);
        let open = train(1.0);
        let name = format!("12 parts, 5 duties, openings for flows, {fuel}");
        limits.hold(&name, 5e3, |x| {
            for flow in work::FLOWS {
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
