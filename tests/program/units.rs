//! Messages in the units of whoever reads them: notes, assumptions, findings and failures under `--units us`.

use fuelwright::eos::{EosError, Phase};
use fuelwright::flow::line::LineError;
use fuelwright::flow::orifice::OrificeError;
use fuelwright::flow::regulator::RegulatorError;
use fuelwright::flow::valve::ValveError;
use fuelwright::injector::error::InjectorError;
use fuelwright::quantity::sentence::Told;
use fuelwright::quantity::show::Units;
use fuelwright::train::{PartProblem, TrainError};
use fuelwright::{Outcome, run};
use regex::Regex;
use std::path::PathBuf;

const RIG: &str = "examples/coupon-soak-rig.toml";

fn told(arguments: &[&str]) -> (Outcome, String, String) {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let all = ["fuelwright", "--full"]
        .into_iter()
        .chain(arguments.iter().copied());
    let outcome = run(all, 120, &mut out, &mut err);
    let text = |bytes| String::from_utf8(bytes).expect("text");
    (outcome, text(out), text(err))
}

/// A number with a metric unit behind it.
fn metric() -> Regex {
    let units = "Pa|mbar|bar|degC|°C|K|kg/s|g/s|mg/s|kg|g|m|mm|um|m/s|kW|W|kg/m3|kg/\\(m2 s\\)|kg/\\(m² s\\)";
    Regex::new(&format!(
        r"\b\d[\d.]*(e-?\d+)? ({units})(\([ag]\))?([^\w/(³²]|$)"
    ))
    .expect("a pattern")
}

/// Nothing metric in a text, apart from what stands in backticks or quotes, which is as it was typed.
fn assert_us(what: &str, text: &str) {
    let typed = Regex::new("`[^`]*`|\"[^\"]*\"").expect("a pattern");
    let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let own = typed.replace_all(&flat, "``");
    let found: Vec<&str> = metric().find_iter(&own).map(|m| m.as_str()).collect();
    assert!(found.is_empty(), "{what}: {found:?} in {own}");
}

/// What stands under a heading of a page of text.
fn under<'a>(page: &'a str, heading: &str) -> &'a str {
    let from = page.split_once(&format!("\n{heading}\n"));
    let (_, rest) = from.unwrap_or_else(|| panic!("no {heading}: {page}"));
    rest.split("\n\n").next().expect("a part")
}

/// The rig of the example with its regulator set too low for the largest duty; gone when the test is done.
struct Starved(PathBuf);

impl Starved {
    fn new(name: &str) -> Self {
        let text = std::fs::read_to_string(RIG).expect("there");
        let low = text.replace(
            "set_pressure = \"2.0 bar(g)\"",
            "set_pressure = \"1.0 bar(g)\"",
        );
        assert_ne!(text, low);
        let file = format!("fuelwright-{name}-{}.toml", std::process::id());
        let path = std::env::temp_dir().join(file);
        std::fs::write(&path, low).expect("can be written");
        Self(path)
    }
    fn path(&self) -> &str {
        self.0.to_str().expect("text")
    }
}

impl Drop for Starved {
    fn drop(&mut self) {
        let _ = std::fs::remove_file(&self.0);
    }
}

#[test]
fn notes_and_assumptions_of_an_injector_are_in_us_units() {
    let gas = "injector|--fuel|propane|--upstream|2 barg|--upstream-temperature|-20 degC|--chamber|20 mbar(g)|--holes|8|--flow|0.8 g/s";
    let flashing = "injector|--fuel|propane|--upstream|7 barg|--upstream-quality|0|--chamber|0.2 barg|--holes|4|--diameter|0.5 mm";
    let wet = "injector|--fuel|propane|--upstream|7 barg|--upstream-quality|1|--chamber|0.2 barg|--holes|4|--diameter|0.5 mm";
    let rig = "injector|examples/coupon-soak-rig.toml";
    for line in [gas, flashing, wet, rig] {
        let mut arguments: Vec<&str> = line.split('|').collect();
        arguments.extend(["--units", "us"]);
        let (outcome, out, err) = told(&arguments);
        assert_eq!(outcome, Outcome::Done, "{err}");
        for heading in ["Notes", "Assumptions"] {
            assert_us(line, under(&out, heading));
        }
    }
    // 0.5 mm is 0.0197 in and 0.1 m is 3.9 in by the definition of the inch (nistsp811)
    let mut arguments: Vec<&str> = flashing.split('|').collect();
    arguments.extend(["--units", "us"]);
    let flat = told(&arguments).1;
    let notes = under(&flat, "Notes")
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ");
    assert!(notes.contains("a hole of 0.02 in is"), "{notes}");
    assert!(notes.contains("longer than about 3.9 in"), "{notes}");
    assert!(notes.contains("lb/(ft2 s)"), "{notes}");
}

#[test]
fn a_train_that_does_not_feed_says_so_in_the_units_asked_for() {
    let rig = Starved::new("units-train");
    let (outcome, si, err) = told(&["train", rig.path()]);
    assert_eq!(outcome, Outcome::Done, "{err}");
    let note = |page: &str| {
        let flat = under(page, "Findings")
            .split_whitespace()
            .collect::<Vec<_>>()
            .join(" ");
        let from = flat.find("Not enough pressure").expect("a duty is not fed");
        let end = flat[from..].find(" from that").expect("its end");
        flat[from..from + end].to_owned()
    };
    let number = |text: &str, unit: &str| -> f64 {
        let pattern = format!(r"([\d.]+) {}", regex::escape(unit));
        let found = Regex::new(&pattern).expect("a pattern");
        found
            .captures(text)
            .unwrap_or_else(|| panic!("no {unit}: {text}"))[1]
            .parse()
            .expect("a number")
    };
    let (_, us, _) = told(&["train", rig.path(), "--units", "us"]);
    let (si, us_note) = (note(&si), note(&us));
    // 1 psi is 6894.757 Pa, 1 lb is 0.45359237 kg (nistsp811); both are rounded to three digits
    let close = |a: f64, b: f64| assert!((a / b - 1.0).abs() < 1e-2, "{si} / {us_note}");
    close(
        number(&si, "bar(g)") * 1e5,
        number(&us_note, "psi(g)") * 6894.757,
    );
    close(
        number(&si, "g/s") * 1e-3,
        number(&us_note, "lb/h") * 0.453_592_37 / 3600.0,
    );
    assert_us("train", under(&us, "Findings"));
    assert_us("train", under(&us, "Assumptions"));
    // the same in what rules found, and in what they could not look at for it
    let (outcome, audit, err) = told(&["audit", rig.path(), "--units", "us"]);
    assert_eq!(outcome, Outcome::Done, "{err}");
    let found = under(&audit, "Findings");
    let measured = found
        .split("Train does not feed")
        .nth(1)
        .expect("it is found");
    let measured = measured.split("advice").next().expect("a part");
    assert!(measured.contains("psi(g)"), "{measured}");
    assert_us("train-does-not-feed", measured);
    assert_us("not checked", under(&audit, "Not checked"));
    assert_us("audit", under(&audit, "Notes"));
}

#[test]
fn failures_are_told_in_the_units_asked_for() {
    let line = "injector|--fuel|propane|--upstream|12 bar(g)|--upstream-temperature|15 degC|--chamber|0 bar(g)|--holes|8|--flow|1 g/s|--phase|gas|--units|us";
    let (outcome, out, err) = told(&line.split('|').collect::<Vec<_>>());
    assert_eq!((outcome, out.as_str()), (Outcome::Failed, ""));
    // 13.01325 bar are 188.7 psi, 15 degC are 59 degF (nistsp811)
    assert!(
        err.contains("propane is liquid at 59 degF and 189 psi(a)"),
        "{err}"
    );
    assert_us(line, &err);
    for line in [
        "state|propane|--temperature|15 degC|--pressure|20000 bara|--units|us",
        "state|propane|--temperature|1000 degC|--pressure|1 bara|--units|us",
        "convert|examples/coupon-soak-rig.toml|--to|kerosene|--feed-pressure|10 mbar(g)|--units|us",
        "flame|--fuel|ethanol|--feed|gas|--equivalence-ratio|1|--air-temperature|15 degC|--pressure|1 bara|--units|us",
        "leak|--fuel|propane|--pressure|20 barg|--temperature|15 degC|--hole-diameter|1 mm|--volume|1 L|--units|us",
        "valve|--fuel|propane|--upstream|3 bar(g)|--upstream-temperature|20 degC|--downstream|2.9 bar(g)|--flow|1 kg/s|--bore|4 mm|--line-bore|20 mm|--units|us",
        "state|propane|--temperature|15 degC|--pressure|-2 barg|--units|us",
    ] {
        let (outcome, _, err) = told(&line.split('|').collect::<Vec<_>>());
        assert_eq!(outcome, Outcome::Failed, "{line}");
        assert_us(line, &err);
    }
}

#[test]
fn json_is_si_whatever_units_are_asked_for() {
    let rig = Starved::new("units-json");
    for line in [
        &["train", rig.path()][..],
        &["audit", rig.path()][..],
        &["injector", RIG][..],
        &["tank", "examples/greenhouse-frost-guard.toml"][..],
    ] {
        let json = |units| {
            let all = [line, &["--format", "json", "--units", units][..]].concat();
            told(&all).1
        };
        assert!(!json("si").is_empty());
        assert_eq!(json("si"), json("us"), "{line:?}");
    }
}

/// One of every message of a train that has figures.
#[allow(clippy::too_many_lines, reason = "one list")]
fn messages() -> Vec<Box<dyn Told>> {
    let (t_k, p_pa) = (288.15, 2e5);
    let (lower_k, upper_k) = (85.525, 650.0);
    let part = |problem: PartProblem| -> Box<dyn Told> {
        Box::new(TrainError::Part {
            part: "throttle".to_owned(),
            problem,
        })
    };
    let (flow_kg_s, limit_kg_s) = (1.5e-3, 1.2e-3);
    let fuel = || "propane".to_owned();
    vec![
        part(PartProblem::Limit {
            limit_kg_s,
            flow_kg_s,
        }),
        part(PartProblem::ExcessFlow {
            closing_kg_s: limit_kg_s,
            flow_kg_s,
        }),
        part(PartProblem::NotLifted {
            p_pa,
            cracking_pa: 3e5,
        }),
        part(PartProblem::VapourAtPump {
            phase: Phase::TwoPhase,
            t_k,
            p_pa,
        }),
        part(PartProblem::TwoPhase { t_k, p_pa }),
        part(ValveError::TwoPhaseInlet { p_pa, t_k }.into()),
        part(
            ValveError::NoPressureDrop {
                p1_pa: p_pa,
                p2_pa: 3e5,
            }
            .into(),
        ),
        part(
            ValveError::Choked {
                kv_m3_h: 0.1,
                limit_kg_s,
                flow_kg_s,
                p1_pa: p_pa,
            }
            .into(),
        ),
        part(
            ValveError::FittingsTooTight {
                bore_mm: 4.0,
                flow_kg_s,
                drop_pa: 1e4,
            }
            .into(),
        ),
        part(
            LineError::Choked {
                flow_kg_s,
                share: 0.5,
                p_pa,
            }
            .into(),
        ),
        part(
            LineError::NoPressureDrop {
                p1_pa: p_pa,
                p2_pa: 3e5,
            }
            .into(),
        ),
        part(LineError::NotConverged { flow_kg_s, p_pa }.into()),
        part(
            RegulatorError::BeyondDroopLine {
                flow_kg_s,
                p_pa,
                rated_kg_s: limit_kg_s,
            }
            .into(),
        ),
        part(
            OrificeError::BackAboveSupply {
                back_pa: 3e5,
                supply_pa: p_pa,
            }
            .into(),
        ),
        part(
            OrificeError::NotLiquid {
                fuel: fuel(),
                phase: "gas",
                t_k,
                p_pa,
            }
            .into(),
        ),
        part(
            OrificeError::NoThroat {
                fuel: fuel(),
                p0_pa: 3e5,
                t0_k: t_k,
                p_pa,
            }
            .into(),
        ),
        part(
            EosError::TemperatureOutOfRange {
                fuel: fuel(),
                t_k: 80.0,
                lower_k,
                upper_k,
                source_key: "lemmon2009".to_owned(),
            }
            .into(),
        ),
        part(
            EosError::PressureOutOfRange {
                fuel: fuel(),
                p_pa: 2e9,
                upper_pa: 1e9,
                source_key: "lemmon2009".to_owned(),
            }
            .into(),
        ),
        part(EosError::TwoPhase { t_k, p_pa }.into()),
        part(
            EosError::BoilsColder {
                fuel: fuel(),
                p_pa,
                lower_k,
            }
            .into(),
        ),
        part(EosError::LiquidSplits { fuel: fuel(), t_k }.into()),
        Box::new(TrainError::WrongPhase {
            source_name: "tank".to_owned(),
            wanted: "vapour",
            found: "liquid",
            p_pa,
            t_k,
        }),
        Box::new(TrainError::NotEnoughPressure {
            at: "throttle".to_owned(),
            p_pa,
            flow_kg_s,
        }),
        Box::new(InjectorError::ChamberAboveSupply {
            chamber_pa: 3e5,
            supply_pa: p_pa,
        }),
        Box::new(InjectorError::HoleTooFine {
            diameter_m: 1e-7,
            least_m: 1e-6,
        }),
    ]
}

#[test]
fn every_message_of_a_train_has_its_figures_in_either_units() {
    let raw = Regex::new(r"\d{4,}(\.\d+)? Pa|0\.00\d+ kg/s").expect("a pattern");
    for message in messages() {
        let (si, us) = (
            message.told().show(Units::Si),
            message.told().show(Units::Us),
        );
        assert!(metric().is_match(&si), "{si}");
        assert!(!metric().is_match(&us), "{us}");
        // no figure is lost, and none is as raw as `179487 Pa`
        assert!(!raw.is_match(&si), "{si}");
        // words are the same in both
        assert_eq!(words(&si), words(&us), "{si} / {us}");
    }
}

/// Words too long to be a unit.
fn words(text: &str) -> Vec<&str> {
    let word = |w: &&str| w.len() > 8 && !w.contains(|c: char| c.is_ascii_digit());
    text.split(' ').filter(word).collect()
}

#[test]
fn figures_that_lie_close_are_told_apart() {
    // 10 Pa in a bar: four digits would say that 1.013 bar is not below 1.013 bar
    let error = LineError::NoPressureDrop {
        p1_pa: 101_325.0,
        p2_pa: 101_335.0,
    };
    let number = Regex::new(r"\d+\.\d+").expect("a pattern");
    for units in [Units::Si, Units::Us] {
        let text = error.told().show(units);
        let found: Vec<&str> = number.find_iter(&text).map(|m| m.as_str()).collect();
        assert_eq!(found.len(), 2, "{text}");
        assert_ne!(found[0], found[1], "{text}");
    }
}
