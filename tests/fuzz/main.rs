//! Random inputs of four kinds, the same in every run: rig files, flags, states with their round trips, fuel files.
//! Each ends in an answer or a message: no panic, no number that is none, at most [`LONGEST`] of processor time and
//! [`MOST_MEMORY_KB`] in the whole process.
//!
//! `FUELWRIGHT_FUZZ_SECONDS` sets how long each kind runs, `FUELWRIGHT_FUZZ_SEED` what is drawn;
//! `FUELWRIGHT_FUZZ_CASE` repeats one case by its number. A case that fails leaves its files behind and is told with
//! the command that repeats it.

#![allow(clippy::explicit_auto_deref)] // the item of a list of words is a `&&str`
#![expect(
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "the figures of a long run"
)]

mod flags;
#[path = "../support/lines.rs"]
mod lines;
mod run;
mod text;
#[path = "../support/round_trip.rs"]
mod trip;

use fuelwright::fuel::Library;
use run::{Case, Ended, Kind};
use std::time::Duration;
use text::mutated;
use trip::Miss;

/// Most processor time of one case; builds without optimisation take three times as long. The usual is some
/// milliseconds.
const LONGEST: Duration = Duration::from_secs(if cfg!(debug_assertions) { 6 } else { 2 });
/// Most memory of the process at any time, in KB.
const MOST_MEMORY_KB: u64 = 300_000;

/// What takes a rig, but for `audit`, which half of the cases run.
const OF_A_RIG: [&str; 14] = [
    "checklist",
    "compare-rigs examples/coupon-soak-rig.toml",
    "convert --to kerosene",
    "convert --to propane",
    "injector",
    "leak",
    "leak-test",
    "mass",
    "report",
    "shutdown",
    "sweep --over site.ambient_temperature --from 0degC --to 30degC --steps 2",
    "tank",
    "tolerance --samples 100",
    "train",
];
const FORMATS: [&str; 4] = ["text", "json", "markdown", "html"];

/// The texts of a folder's TOML files.
fn texts(folder: &str) -> Vec<String> {
    let folder = format!("{}/{folder}", env!("CARGO_MANIFEST_DIR"));
    let entries = std::fs::read_dir(folder).expect("a folder");
    let mut paths: Vec<_> = entries.map(|e| e.expect("readable").path()).collect();
    paths.sort();
    let toml = |p: &&std::path::PathBuf| p.extension().is_some_and(|e| e == "toml");
    let read = |p| std::fs::read_to_string(p).expect("text");
    paths.iter().filter(toml).map(read).collect()
}

fn words(line: &str) -> Vec<String> {
    line.split(' ').map(str::to_owned).collect()
}

#[test]
fn rigs() {
    let texts = [texts("examples"), texts("tests/faults/rigs")].concat();
    let tally = run::all("rigs", |draw, folder| {
        let mut text = draw.one_of(&texts).clone();
        for _ in 0..*draw.one_of(&[1, 1, 1, 2, 3]) {
            text = mutated(&text, draw.one_of::<String>(&texts), draw);
        }
        let command = if draw.toss() {
            "audit"
        } else {
            draw.one_of(&OF_A_RIG)
        };
        let mut line = words(command);
        line.extend([folder.join("rig.toml").display().to_string()]);
        line.extend(words(&format!("--format {}", draw.one_of(&FORMATS))));
        Kind::Command(Case {
            line,
            files: vec![("rig.toml".to_owned(), text)],
        })
    });
    // most are rigs still
    tally.assert_answered(0.25);
}

#[test]
fn flags() {
    let known = flags::Known::gather();
    let tally = run::all("flags", |draw, _| {
        Kind::Command(Case {
            line: known.line(draw),
            files: Vec::new(),
        })
    });
    tally.assert_answered(0.1);
}

#[test]
fn states() {
    let library = Library::embedded();
    let tally = run::all("states", |draw, _| {
        // later states are asked with the phase lines that the first have earned
        let blend = trip::random_blend(&library, draw);
        let mut ended = Ended::Answered;
        for _ in 0..10 {
            let (p_pa, t_k) = trip::random_state(&*blend, draw);
            for (leg, miss) in trip::round_trip(&*blend, p_pa, t_k) {
                match miss {
                    Miss::Wrong { there, back } => {
                        let asked =
                            format!("{} at {p_pa} Pa, {t_k} K", blend.composition().label());
                        return Kind::Here(Ended::Wrong(format!(
                            "{asked}: {leg}: {there:?} {back:?}"
                        )));
                    }
                    Miss::Refused(why) => {
                        assert!(!why.to_string().contains("NaN"), "{why}");
                        ended = Ended::Refused;
                    }
                }
            }
        }
        Kind::Here(ended)
    });
    tally.assert_answered(0.8);
}

#[test]
fn fuel_files() {
    let texts = texts("fuels");
    let fuels: Vec<String> = texts
        .iter()
        .filter(|t| t.contains("\nname = ") || t.starts_with("name = "))
        .map(|t| text::as_ones_own(t))
        .collect();
    let tally = run::all("fuel_files", |draw, folder| {
        let mut text = draw.one_of(&fuels).clone();
        for _ in 0..*draw.one_of(&[0, 1, 1, 2]) {
            text = mutated(&text, draw.one_of::<String>(&fuels), draw);
        }
        let command = draw.one_of(&[
            "fuel mine",
            "state mine --temperature 15degC --pressure 2bara",
            "state mine:50,propane:50 --temperature 15degC --pressure 5bara",
            "injector --fuel mine --upstream 2barg --upstream-temperature 15degC --chamber 0barg --holes 8 --flow 1g/s",
            "flame --fuel mine --equivalence-ratio 0.6 --air-temperature 15degC --pressure 1bara",
            "tank --fuel mine --volume 27L --fill 8kg --tank-temperature 15degC --ambient 15degC --draw 0.4g/s --duration 1h",
        ]);
        let mut line = words(command);
        line.extend(["--fuels-folder".to_owned(), folder.display().to_string()]);
        Kind::Command(Case {
            line,
            files: vec![("mine.toml".to_owned(), text)],
        })
    });
    tally.assert_answered(0.1);
}
