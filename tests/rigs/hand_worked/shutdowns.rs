//! Fifty shut-downs and stuck regulators worked by hand, in `shutdowns.toml`.

use crate::changes::{change, text};
use fuelwright::audit::{self, Audit, Finding, Signal, Solution, solution};
use fuelwright::fuel::Library;
use fuelwright::input;
use fuelwright::leak::rig::{KeptOff, RatedBelow, StuckRegulator};
use fuelwright::leak::shutdown::Stop;
use fuelwright::leak::trapped::supply_at_rest;
use fuelwright::leak::{Answer, Failure, FailureRow};
use fuelwright::quantity::AbsolutePressure;
use fuelwright::quantity::show::Units;
use fuelwright::train::Part;
use fuelwright::train::rig::Rig;
use fuelwright::train::ways::at_rest;
use rayon::prelude::*;
use std::collections::BTreeMap;
use toml::{Table, Value};

/// Share by which the rise of pressure of trapped liquid may be off: rigid walls, another liquid of the same kind.
const RISE: f64 = 0.35;

fn file(name: &str) -> String {
    let path = format!("{}/tests/{name}", env!("CARGO_MANIFEST_DIR"));
    std::fs::read_to_string(path).expect("readable")
}

/// A case with what the program says of it.
struct Held<'a> {
    case: &'a Table,
    solved: &'a Solution<'a>,
    found: Audit,
    good: &'a Audit,
    wrong: Vec<String>,
}

fn failure(word: &str) -> Option<Failure> {
    let failures = Failure::ALL.into_iter();
    failures.into_iter().find(|f| f.key() == word)
}

impl Held<'_> {
    fn number(&self, key: &str) -> Option<f64> {
        let value = self.case.get(key)?;
        value.as_float().or(value.as_integer().map(|i| i as f64))
    }

    fn words(&self, key: &str) -> Option<Vec<&str>> {
        let list = self.case.get(key)?.as_array()?;
        Some(list.iter().filter_map(Value::as_str).collect())
    }

    fn says(&self, key: &str) -> Option<&str> {
        self.case.get(key)?.as_str()
    }

    fn wrong(&mut self, why: &str) {
        let id = text(self.case, "id");
        self.wrong.push(format!("{id}: {why}"));
    }

    fn close(&mut self, what: &str, got: f64, want: f64, tolerance: f64) {
        if (got - want).abs() > tolerance {
            self.wrong(&format!(
                "{what} is {got:.4}, by hand {want:.4} ± {tolerance:.4}"
            ));
        }
    }

    fn gauge_bar(&self, p: AbsolutePressure) -> f64 {
        p.gauge(self.solved.rig.site.air_pressure).pascals() / 1e5
    }

    fn row(&self, failure: Failure) -> &FailureRow {
        let outlet = match text(self.case, "outlet") {
            "injector" => "main",
            other => other,
        };
        let mut rows = self.solved.failures().iter();
        let row = rows.find(|r| r.failure == failure && r.outlet == outlet);
        row.expect("every failure has its row")
    }

    /// The regulator that sticks, where one does.
    fn stuck_regulator(&self) -> Option<&StuckRegulator> {
        let plan = self.solved.leaks().as_ref().expect("a plan");
        let stuck = self.says("stuck_too").or(self.says("stuck"));
        let name = stuck.unwrap_or("regulator");
        plan.stuck.iter().find(|s| s.part == name)
    }

    /// What the fuel does, and the valves that close.
    fn answer(&self) -> (Answer, Vec<String>) {
        let case = text(self.case, "failure");
        let with = self.says("with_failure").and_then(failure);
        let without = |row: &FailureRow, stuck: &str| {
            let (_, answer) = row
                .stuck
                .iter()
                .find(|(part, _)| part == stuck)
                .expect(stuck);
            let closes = matches!(answer, Answer::Stops(_));
            let rest = row.closing.iter().filter(|p| closes && *p != stuck);
            (answer.clone(), rest.cloned().collect())
        };
        match case {
            "coil-shared" => {
                let row = self.row(Failure::Flame);
                without(row, &row.closing[0].clone())
            }
            "stuck-valve" => without(self.row(with.expect("a failure")), text(self.case, "stuck")),
            "stuck-regulator" => {
                let row = self.row(Failure::HighFuel);
                (row.answer.clone(), row.closing.clone())
            }
            word => {
                let row = self.row(failure(word).expect(word));
                (row.answer.clone(), row.closing.clone())
            }
        }
    }

    fn shut_down(&mut self) {
        let (answer, closing) = self.answer();
        let says = match &answer {
            Answer::Stops(_) => "true",
            Answer::RunsOn { .. } => "false",
            Answer::NotKnown { .. } => "not known",
        };
        if let Some(want) = self.case.get("stops") {
            let want = want.as_str().map_or(want.to_string(), str::to_owned);
            let also = self.words("also_right").unwrap_or_default();
            if want != says && !also.contains(&says) {
                self.wrong(&format!("stops: {says}, by hand {want}"));
            }
        }
        if let Some(want) = self.words("closing")
            && want != closing
        {
            let why = format!("{closing:?} close, by hand {want:?}");
            self.wrong(&why);
        }
        if let Answer::Stops(Stop { time, fuel, .. }) = answer {
            if let Some(want) = self.number("time_s") {
                let tolerance = self.number("time_tolerance_s").expect("a tolerance");
                self.close(
                    "the time",
                    time.map_or(f64::NAN, |t| t.value),
                    want,
                    tolerance,
                );
            }
            let fuel_g = fuel.map_or(f64::NAN, |m| 1e3 * m.value);
            let bounds = [
                self.number("fuel_at_least_g"),
                self.number("fuel_at_most_g"),
            ];
            if let [Some(least), Some(most)] = bounds
                && !(least..=most).contains(&fuel_g)
            {
                self.wrong(&format!("{fuel_g:.3} g pass, by hand {least} to {most}"));
            }
        }
    }

    fn burns_on(&mut self) {
        let Some(bounds) = self.case.get("burn_on_s").and_then(Value::as_array) else {
            return;
        };
        let bounds: Vec<f64> = bounds.iter().filter_map(Value::as_float).collect();
        let plan = self.solved.train().as_ref().expect("a train");
        let last = plan.shut_offs.iter().flatten().last().expect("a shut-off");
        let life_s = last.flame_life.map_or(f64::NAN, |t| t.value);
        if !(bounds[0]..=bounds[1]).contains(&life_s) {
            self.wrong(&format!(
                "it burns on for {life_s:.3} s, by hand {bounds:?}"
            ));
        }
        let over = life_s > self.solved.rig.burner.longest_burn_on().value;
        if self.case["burn_on_over_limit"].as_bool() != Some(over) {
            self.wrong(&format!("{life_s:.3} s is over the limit: {over}"));
        }
    }

    fn pressures(&mut self) {
        let Some(want) = self.number("dead_end_bar_g") else {
            return;
        };
        let tolerance = self.number("dead_end_tolerance_bar").expect("a tolerance");
        let rig = self.solved.rig;
        let supply = supply_at_rest(rig, self.solved.fluid.as_ref());
        let (start, _) = supply.expect("a state");
        if text(self.case, "failure") != "stuck-regulator" {
            // a pump against shut valves
            let rest = at_rest(&rig.train, start, Part::holds);
            let pump = rest.iter().find(|r| r.part.is_pump());
            let p = self.gauge_bar(pump.expect("a pump").outlet);
            self.close("the dead head", p, want, tolerance);
            return;
        }
        let stuck = self.stuck_regulator().expect("a regulator");
        let dead_end = if self.says("failures") == Some("double") {
            let both = stuck.with_the_one_before.as_ref().expect("two in series");
            both.1
        } else {
            stuck.dead_end
        };
        let (dead_end, held) = (self.gauge_bar(dead_end), self.gauge_bar(stuck.held_at));
        self.close("the dead end", dead_end, want, tolerance);
        if let Some(today) = self.number("dead_end_today_bar_g") {
            let p = self.gauge_bar(start);
            self.close("today", p, today, tolerance);
        }
        if let Some(want) = self.number("held_at_bar_g") {
            let tolerance = self.number("held_tolerance_bar").expect("a tolerance");
            self.close("what is held", held, want, tolerance);
        }
    }

    fn overload(&mut self) {
        let Some(want) = self.words("overloaded") else {
            return;
        };
        let sorted = |names: Vec<&str>| {
            let mut names: Vec<String> = names.into_iter().map(str::to_owned).collect();
            names.sort();
            names
        };
        let perhaps = sorted(self.words("overloaded_perhaps").unwrap_or_default());
        let want = sorted(want);
        let stuck = self.stuck_regulator().filter(|_| {
            let failure = text(self.case, "failure");
            failure == "stuck-regulator" || failure == "high-fuel-pressure"
        });
        let got: Vec<String> = match stuck {
            Some(stuck) => sorted(stuck.overloaded().map(|p| p.part.as_str()).collect()),
            // the pump against shut valves; liquid between them is looked at below
            None if self.number("bar_per_kelvin").is_none() => {
                let above = self.found.findings.iter().filter(|f| f.id == "TRN005");
                let at = above.flat_map(|f| &f.places);
                sorted(at.filter_map(|p| p.strip_prefix("train.")).collect())
            }
            None => return,
        };
        let surely: Vec<&String> = got.iter().filter(|p| !perhaps.contains(p)).collect();
        if surely != want.iter().collect::<Vec<_>>() {
            self.wrong(&format!("{got:?} are overloaded, by hand {want:?}"));
        }
        let protected = self.words("protected").unwrap_or_default();
        let unprotected: Vec<&str> = protected
            .into_iter()
            .filter(|p| got.iter().any(|o| o == p))
            .collect();
        if !unprotected.is_empty() {
            self.wrong(&format!("{unprotected:?} are not protected"));
        }
    }

    fn protection(&mut self) {
        let Some(by) = self.words("protected_by").map(|by| {
            let by = by.into_iter().map(str::to_owned);
            by.collect::<Vec<_>>()
        }) else {
            return;
        };
        let stuck = self.stuck_regulator().expect("a regulator");
        let enough = |name: &str| {
            let mut reliefs = stuck.reliefs.iter();
            reliefs.any(|(n, d)| n == name && d.passes >= d.arrives)
        };
        let cuts = |p: &RatedBelow| matches!(p.kept_off, Some(KeptOff::CutOff(..)));
        let cut_off = stuck.rated_below.iter().any(cuts)
            || self.solved.rig.controls.high_fuel_cutoff == Some(true);
        let holds = stuck.held_at < stuck.dead_end;
        let not: Vec<&String> = by
            .iter()
            .filter(|device| match device.as_str() {
                "high-fuel-cutoff" => !cut_off,
                "regulator" => !holds || !stuck.reliefs.is_empty(),
                relief => {
                    let kept = |p: &RatedBelow| matches!(&p.kept_off, Some(KeptOff::Holds(n)) if n == relief);
                    !enough(relief) || !holds && !stuck.rated_below.iter().any(kept)
                }
            })
            .collect();
        if !not.is_empty() {
            let why = format!("not protected by {not:?}");
            self.wrong(&why);
        }
    }

    fn relief(&mut self) {
        let [Some(passes), Some(arrives), Some(share)] = [
            self.number("relief_capacity_g_s"),
            self.number("stuck_open_flow_g_s"),
            self.number("flow_tolerance"),
        ] else {
            return;
        };
        let stuck = self.stuck_regulator().expect("a regulator");
        let duty = stuck.reliefs.first().expect("a relief valve").1;
        let g_s = |m: fuelwright::quantity::MassRate| 1e3 * m.value;
        self.close(
            "the relief passes",
            g_s(duty.passes),
            passes,
            share * passes,
        );
        self.close(
            "the regulator gives",
            g_s(duty.arrives),
            arrives,
            share * arrives,
        );
        let enough = self.case["relief_enough"].as_bool();
        if enough != Some(duty.passes >= duty.arrives) {
            self.wrong("whether the relief is enough");
        }
    }

    fn trapped(&mut self) {
        let Some(want) = self.number("bar_per_kelvin") else {
            return;
        };
        let ends = self.words("overloaded").expect("both ends");
        let sections = self.solved.trapped().as_ref().expect("sections");
        let between = sections
            .iter()
            .find(|s| s.section.from == [ends[0]] && s.section.to == [ends[1]]);
        let heating = between.expect("between the two").heating.as_ref();
        let heating = heating.expect("liquid").as_ref().expect("a state");
        self.close("bar/K", heating.rise_pa_k / 1e5, want, RISE * want);
    }

    fn findings(&mut self) {
        let new = |f: &&Finding| {
            let mut before = self.good.findings.iter();
            !before.any(|g| g.id == f.id && g.signal <= f.signal && g.at == f.at)
        };
        let new: Vec<&Finding> = self.found.findings.iter().filter(new).collect();
        let least = match text(self.case, "least") {
            "none" => {
                let grave = new.iter().filter(|f| f.signal < Signal::Notice);
                let told: Vec<String> = grave.map(|f| format!("{} at {}", f.id, f.at)).collect();
                if !told.is_empty() {
                    self.wrong(&format!("{told:?} is said of it"));
                }
                return;
            }
            "DANGER" => Signal::Danger,
            "WARNING" => Signal::Warning,
            _ => Signal::Caution,
        };
        let rules = self.words("rules").expect("named afterwards");
        let said = new
            .iter()
            .any(|f| rules.contains(&f.id) && f.signal <= least);
        if !said {
            let told: Vec<String> = new
                .iter()
                .map(|f| format!("{} {}", f.signal.word(), f.id))
                .collect();
            self.wrong(&format!("not said; new: {told:?}"));
        }
    }
}

fn rig(table: &Value, library: &Library) -> Rig {
    let written = toml::to_string(table).expect("TOML");
    let loaded = input::parse("rig.toml", &written, library);
    loaded.unwrap_or_else(|e| panic!("{e}")).rig
}

#[test]
fn shut_downs_are_as_worked_by_hand() {
    let library = Library::embedded();
    let data: Table = file("hand_worked/shutdowns.toml").parse().expect("TOML");
    let cases = data["shutdown"].as_array().expect("cases");
    assert!(cases.len() >= 25);
    let names: Vec<&str> = cases.iter().filter_map(|c| c["rig"].as_str()).collect();
    let mut goods: BTreeMap<&str, (Value, Audit)> = BTreeMap::new();
    for name in names {
        goods.entry(name).or_insert_with(|| {
            let table: Table = file(&format!("faults/rigs/{name}.toml"))
                .parse()
                .expect("a rig");
            let table = Value::Table(table);
            let rig = rig(&table, &library);
            let solved = solution::solve(&rig, &library, Units::Si).expect("solves");
            let found = audit::audit(&solved);
            (table, found)
        });
    }
    let wrong: Vec<String> = cases
        .par_iter()
        .flat_map_iter(|case| {
            let case = case.as_table().expect("a table");
            let (good, before) = &goods[text(case, "rig")];
            let mut table = good.clone();
            for c in case["change"].as_array().expect("changes") {
                change(&mut table, c.as_table().expect("a change"))
                    .unwrap_or_else(|_| panic!("{}", text(case, "id")));
            }
            let rig = rig(&table, &library);
            let solved = solution::solve(&rig, &library, Units::Si).expect("solves");
            let mut held = Held {
                case,
                solved: &solved,
                found: audit::audit(&solved),
                good: before,
                wrong: Vec::new(),
            };
            held.shut_down();
            held.burns_on();
            held.pressures();
            held.overload();
            held.protection();
            held.relief();
            held.trapped();
            held.findings();
            held.wrong
        })
        .collect();
    assert!(
        wrong.is_empty(),
        "{} differ:\n{}",
        wrong.len(),
        wrong.join("\n")
    );
}
