//! Whole commands: time from start to exit and largest memory, as a user's shell sees them.
//!
//! Linux only: memory is read from /proc while the command runs.
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

#[path = "work/process.rs"]
mod process;
use process::cost;

/// Runs of each command; the median is told.
const RUNS: usize = 21;

/// Commands with the limits of time, ms, and memory, MB, that they must keep. The soak rig is the largest example
/// (parts, duties, lines); rigs on a blend whose vapour stands at its dew point take longest and have twice the time.
const COMMANDS: &[(&str, &[&str], f64, f64)] = &[
    ("start-up", &["--version"], 5.0, 20.0),
    (
        "injector",
        &[
            "injector",
            "--fuel",
            "propane",
            "--upstream",
            "2 barg",
            "--upstream-temperature",
            "15 degC",
            "--chamber",
            "20 mbar(g)",
            "--holes",
            "8",
            "--flow",
            "0.8 g/s",
        ],
        20.0,
        30.0,
    ),
    (
        "injector, blend",
        &[
            "injector",
            "--fuel",
            "propane:70,n-butane:30",
            "--upstream",
            "1 barg",
            "--upstream-temperature",
            "25 degC",
            "--chamber",
            "20 mbar(g)",
            "--holes",
            "8",
            "--flow",
            "0.8 g/s",
        ],
        20.0,
        30.0,
    ),
    (
        "audit, soak rig",
        &["audit", "examples/coupon-soak-rig.toml"],
        25.0,
        40.0,
    ),
    (
        "audit, kiln",
        &["audit", "examples/kiln-pilot.toml"],
        25.0,
        40.0,
    ),
    (
        "audit, greenhouse",
        &["audit", "examples/greenhouse-frost-guard.toml"],
        50.0,
        50.0,
    ),
    (
        "audit, neglected",
        &["audit", "examples/neglected-frost-guard.toml"],
        50.0,
        50.0,
    ),
    (
        "choose, 764,000",
        &[
            "injector",
            "--choose",
            "--fuel",
            "propane",
            "--upstream",
            "0.5-3 barg",
            "--upstream-temperature",
            "15 degC",
            "--chamber",
            "20 mbar(g)",
            "--drills",
            "metric,number,letter,fraction",
            "--air",
            "18 g/s",
            "--equivalence-ratio",
            "0.65",
        ],
        500.0,
        100.0,
    ),
    (
        "choose, rig, 127,000",
        &[
            "injector",
            "examples/coupon-soak-rig.toml",
            "--choose",
            "--holes",
            "2-400",
            "--drills",
            "0.02 mm",
        ],
        1000.0,
        100.0,
    ),
    (
        "train, ranges",
        &["train", "examples/coupon-soak-rig.toml", "--ranges"],
        3000.0,
        100.0,
    ),
    (
        "remedies, eight findings",
        &["remedies", "examples/coupon-soak-rig.toml"],
        1000.0,
        100.0,
    ),
    (
        "remedies, neglected",
        &["remedies", "examples/neglected-frost-guard.toml"],
        10_000.0,
        200.0,
    ),
];

/// Time of one run.
fn time(arguments: &[&str]) -> Duration {
    let start = Instant::now();
    Command::new(env!("CARGO_BIN_EXE_fuelwright"))
        .args(arguments)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status()
        .expect("the program starts");
    start.elapsed()
}

fn main() {
    let program = Path::new(env!("CARGO_BIN_EXE_fuelwright"));
    let mut kept = true;
    for &(name, arguments, limit_ms, limit_mb) in COMMANDS {
        time(arguments);
        let mut times: Vec<f64> = (0..RUNS)
            .map(|_| time(arguments).as_secs_f64() * 1e3)
            .collect();
        times.sort_by(f64::total_cmp);
        let median = times[RUNS / 2];
        let peak = (0..5)
            .map(|_| cost(program, arguments).peak_mb)
            .fold(0.0, f64::max);
        let ok = median <= limit_ms && peak <= limit_mb;
        kept &= ok;
        let verdict = if ok { "kept" } else { "EXCEEDED" };
        #[allow(clippy::print_stdout)] // a bench reports
        {
            println!(
                "{name:18} best {:6.2} ms  median {median:6.2} ms (limit {limit_ms})  peak {peak:5.1} MB (limit {limit_mb})  {verdict}",
                times[0]
            );
        }
    }
    assert!(kept, "a limit was exceeded");
}
