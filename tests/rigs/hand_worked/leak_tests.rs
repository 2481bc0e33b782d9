//! Leak tests worked by hand, in `leak_tests.toml`: what each record is of, what it had to reach, its sums and its verdict.

use crate::changes::{change, text};
use fuelwright::audit::{self, Finding, Signal, Solution, solution};
use fuelwright::fuel::Library;
use fuelwright::input;
use fuelwright::leak::{LeakJudgement, LeakVerdict};
use fuelwright::quantity::AbsolutePressure;
use fuelwright::quantity::show::Units;
use rayon::prelude::*;
use toml::{Table, Value};

/// Fewest cases.
const LEAST: usize = 25;
/// Falls are printed to a hundredth of a millibar; the air of the site by another form of the same atmosphere.
const FALL_MBAR: f64 = 0.02;
const FALL: f64 = 2e-3;
/// Bands are printed to a hundredth of a millibar, and so is the air of the site.
const BAND: f64 = 0.01;
/// The stated volume is within 8 % of the parts'.
const VOLUME: f64 = 0.10;
const LEAK_ML_H: f64 = 0.05;
/// A rating is as written.
const RATING_BAR: f64 = 1e-3;

fn file(name: &str) -> Table {
    let path = format!("{}/tests/{name}", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(path).expect("readable");
    text.parse().expect("TOML")
}

fn number(table: &Table, key: &str) -> Option<f64> {
    let value = table.get(key)?;
    value.as_float().or(value.as_integer().map(|i| i as f64))
}

fn words<'t>(table: &'t Table, key: &str) -> Option<Vec<&'t str>> {
    let list = table.get(key)?.as_array()?;
    Some(list.iter().filter_map(Value::as_str).collect())
}

/// The rig of a case with its changes and its records.
fn rig_of(case: &Table) -> String {
    let mut rig = Value::Table(file(&format!("faults/rigs/{}.toml", text(case, "rig"))));
    for c in case["change"].as_array().expect("changes") {
        change(&mut rig, c.as_table().expect("a table")).expect("the rig has it");
    }
    let tests = case["test"].as_array().expect("records");
    let alone = case.get("as_single_table").and_then(Value::as_bool) == Some(true);
    let tests = if alone {
        tests[0].clone()
    } else {
        Value::Array(tests.clone())
    };
    rig.as_table_mut()
        .expect("a table")
        .insert("leak_test".to_owned(), tests);
    toml::to_string(&rig).expect("TOML")
}

/// One record held against what is expected of it.
struct Held<'a> {
    solved: &'a Solution<'a>,
    judged: &'a LeakJudgement,
    expected: &'a Table,
    findings: &'a [Finding],
    wrong: Vec<String>,
}

impl Held<'_> {
    fn close(&mut self, what: &str, got: Option<f64>, tolerance: f64) {
        let Some(want) = number(self.expected, what) else {
            return;
        };
        if got.is_none_or(|got| (got - want).abs() > tolerance) {
            self.wrong
                .push(format!("{what}: {got:?}, by hand {want} +- {tolerance:.3}"));
        }
    }

    fn gauge_bar(&self, p: AbsolutePressure) -> f64 {
        p.gauge(self.solved.rig.site.air_pressure).pascals() / 1e5
    }

    /// Findings of rules at this record.
    fn found(&self, ids: &[&str]) -> Vec<&Finding> {
        let at = &self.judged.record.test.at;
        let here = |f: &&Finding| ids.contains(&f.id) && f.places.iter().any(|p| p.starts_with(at));
        self.findings.iter().filter(here).collect()
    }

    fn pressures(&mut self) {
        let record = &self.judged.record;
        let working = self.gauge_bar(record.working);
        let planned = record.planned.map(|p| self.gauge_bar(p));
        let weakest = record.weakest.as_ref().map(|w| self.gauge_bar(w.1));
        let band = number(self.expected, "working_tolerance_bar").unwrap_or(0.0);
        let of_test = number(self.expected, "least_test_tolerance_bar").unwrap_or(1.5 * band);
        self.close("working_bar_g", Some(working), band);
        self.close("least_test_bar_g", planned, of_test.max(RATING_BAR));
        self.close("weakest_bar_g", weakest, RATING_BAR);
    }

    fn sums(&mut self) {
        let Some(sums) = self.judged.sums else {
            return;
        };
        let want = |key: &str| number(self.expected, key).unwrap_or(0.0).abs();
        let (fall, band) = (want("corrected_fall_mbar"), want("band_mbar"));
        let (limit, leak) = (want("fall_limit_mbar"), want("leak_ml_h"));
        let of_leak = want("leak_band_ml_h");
        let ml_h = |q: f64| q * 3.6e9;
        self.close(
            "corrected_fall_mbar",
            Some(sums.corrected.pascals() / 100.0),
            FALL_MBAR + FALL * fall,
        );
        self.close("band_mbar", Some(sums.band.pascals() / 100.0), BAND * band);
        self.close(
            "fall_limit_mbar",
            Some(sums.accepted.pascals() / 100.0),
            VOLUME * limit,
        );
        let found = sums.leak.map(|l| ml_h(l.1.value));
        self.close("leak_ml_h", found, VOLUME * leak + LEAK_ML_H);
        let half = sums
            .leak
            .zip(sums.smallest)
            .map(|(_, least)| ml_h(least.value));
        self.close("leak_band_ml_h", half, (VOLUME + BAND) * of_leak);
    }

    /// What is said of it: the verdict of the sums, and what else is wrong with the record.
    fn verdict(&mut self) {
        let said = match self.judged.verdict {
            LeakVerdict::Within => "within",
            LeakVerdict::CannotTell => "cannot tell",
            LeakVerdict::Leaks => "leaks",
            LeakVerdict::Rose => "rose",
            LeakVerdict::TooLow => "too low a pressure",
        };
        let mut all = vec![said];
        let low = self
            .found(&["REC002"])
            .iter()
            .any(|f| f.at.ends_with(".pressure"));
        if low {
            all.push("too low a pressure");
        }
        if !self.found(&["LEK021"]).is_empty() {
            all.push("too little volume stated");
        }
        let mut right = vec![text(self.expected, "verdict")];
        right.extend(words(self.expected, "also_right").unwrap_or_default());
        if !right.iter().any(|r| all.contains(r)) || low && right.contains(&"within") {
            self.wrong.push(format!("says {all:?}, by hand {right:?}"));
        }
        let rules = match said {
            "within" => &[][..],
            "too low a pressure" => &["REC002"],
            "leaks" => &["LEK001"],
            _ => &["LEK002"],
        };
        if !rules.is_empty() && self.found(rules).is_empty() {
            self.wrong.push(format!("{said}, and nothing is found"));
        }
        let grave = self.found(&["LEK001"]);
        if grave.iter().any(|f| f.signal != Signal::Danger) {
            self.wrong.push("a leak is milder than DANGER".to_owned());
        }
        if words(self.expected, "must_say").is_some_and(|m| m.is_empty()) {
            let ids = ["LEK001", "LEK002", "LEK003", "LEK005", "LEK021", "REC002"];
            let found: Vec<&str> = self.found(&ids).iter().map(|f| f.id).collect();
            if !found.is_empty() {
                self.wrong
                    .push(format!("nothing may be found, and {found:?} is"));
            }
        }
    }

    /// What comes out before the zone is pressed.
    fn blocked(&mut self) {
        let Some(wanted) = words(self.expected, "block_off") else {
            return;
        };
        let plan = self.solved.leak_test_plan().as_ref().expect("a plan");
        let record = &self.judged.record;
        let touched = plan.zones.iter().filter(|z| {
            let inside = |part: &String| z.zone.parts.contains(part);
            record.parts.iter().any(inside)
        });
        let out: Vec<&String> = touched
            .flat_map(|z| &z.first)
            .filter(|step| step.starts_with("take out"))
            .collect();
        let plugged = record.plugged(self.solved.rig);
        let above: Vec<String> = self
            .found(&["LEK003"])
            .iter()
            .map(|f| f.says.to_string())
            .collect();
        for name in &wanted {
            let named = out.iter().any(|step| step.contains(name))
                || plugged.contains(name)
                || above.iter().any(|says| says.contains(name));
            if !named {
                self.wrong.push(format!("{name} is not taken out: {out:?}"));
            }
        }
        if wanted.is_empty() && !out.is_empty() {
            self.wrong
                .push(format!("nothing is to be taken out: {out:?}"));
        }
    }
}

/// What is wrong with what the program says of a case.
fn wrong_with(case: &Table, library: &Library) -> Vec<String> {
    let id = text(case, "id");
    let expected: Vec<&Table> = case["expected"]
        .as_array()
        .expect("a list")
        .iter()
        .filter_map(Value::as_table)
        .collect();
    let loaded = match input::parse("rig.toml", &rig_of(case), library) {
        Ok(loaded) => loaded,
        Err(e) => {
            let right = expected
                .iter()
                .any(|e| words(e, "also_right").is_some_and(|also| also.contains(&"refused")));
            return if right {
                vec![]
            } else {
                vec![format!("{id}: refused: {e}")]
            };
        }
    };
    let solved = solution::solve(&loaded.rig, library, Units::Si).expect("it has a model");
    let findings = audit::audit(&solved).findings;
    let judged = solved.judged_leak_tests().as_ref().expect("a state");
    assert_eq!(judged.len(), expected.len(), "{id}");
    let mut wrong = Vec::new();
    for (judged, expected) in judged.iter().zip(expected) {
        let mut held = Held {
            solved: &solved,
            judged,
            expected,
            findings: &findings,
            wrong: Vec::new(),
        };
        held.pressures();
        held.sums();
        held.verdict();
        held.blocked();
        wrong.extend(held.wrong.into_iter().map(|w| format!("{id}: {w}")));
    }
    let untested = findings.iter().find(|f| f.id == "LEK004");
    for zone in words(case, "untested").unwrap_or_default() {
        let (what, ends) = zone.split_once(": ").unwrap_or((zone, ""));
        let behind = match (what, ends.split_once(" to ")) {
            (_, Some((from, _))) => format!("behind {from}"),
            ("middle zone", None) => "behind first-regulator".to_owned(),
            ("burner zone", None) => "behind second-regulator".to_owned(),
            _ => "supply to ".to_owned(),
        };
        let told = untested
            .map(|f| f.measured.show(Units::Si))
            .unwrap_or_default();
        if !told.contains(&behind) {
            wrong.push(format!("{id}: {zone} is not named as untested: {told}"));
        }
    }
    if id == "LT-27"
        && !findings
            .iter()
            .any(|f| f.id == "REC002" && f.at == "records.hose_made")
    {
        wrong.push(format!("{id}: the hose is younger than the test"));
    }
    wrong
}

#[test]
fn leak_tests_are_judged_as_by_hand() {
    let library = Library::embedded();
    let cases = file("hand_worked/leak_tests.toml");
    let cases = cases["leak_test"].as_array().expect("cases");
    assert!(cases.len() >= LEAST);
    let wrong: Vec<String> = cases
        .par_iter()
        .flat_map_iter(|case| wrong_with(case.as_table().expect("a table"), &library))
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
