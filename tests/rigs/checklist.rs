//! The list for a test day: nothing grave is left off it, and every phase has lines for every example.

use fuelwright::audit::checklist::{Line, MOST_LINES, Reading, When, checklist};
use fuelwright::audit::{self, Audit, Checklist, Signal, Solution, solution};
use fuelwright::fuel::Library;
use fuelwright::input;
use fuelwright::quantity::Kind;
use fuelwright::quantity::show::Units;

/// Looks at a rig: solved, its audit, its list.
fn with<T>(file: &str, look: impl FnOnce(&Solution<'_>, Audit, Checklist) -> T) -> T {
    changed(file, &[], look)
}

/// Looks at a rig with some of its text changed.
fn changed<T>(
    file: &str,
    changes: &[(&str, &str)],
    look: impl FnOnce(&Solution<'_>, Audit, Checklist) -> T,
) -> T {
    let library = Library::embedded();
    let path = format!("{}/{file}", env!("CARGO_MANIFEST_DIR"));
    let mut text = std::fs::read_to_string(path).expect("readable");
    for (old, new) in changes {
        assert!(text.contains(old), "{old}");
        text = text.replacen(old, new, 1);
    }
    let loaded = input::parse("rig.toml", &text, &library).unwrap_or_else(|e| panic!("{e}"));
    let solved = solution::solve(&loaded.rig, &library, Units::Si).expect("it has a model");
    let audit = audit::audit(&solved);
    let list = checklist(&solved, &audit);
    look(&solved, audit, list)
}

fn of(rig: &str) -> (Audit, Checklist) {
    with(&format!("examples/{rig}.toml"), |_, audit, list| {
        (audit, list)
    })
}

#[test]
fn every_phase_has_lines_that_say_where_they_are_from() {
    for rig in [
        "coupon-soak-rig",
        "greenhouse-frost-guard",
        "kiln-pilot",
        "neglected-frost-guard",
        "seed-dryer",
        "tile-dryer",
    ] {
        let (_, list) = of(rig);
        for when in When::ALL {
            assert!(list.of(when).count() > 0, "{rig}: {when:?}");
        }
        // an act each: it begins with a verb, and not with a thing that is to be so
        for line in list.lines.iter().filter(|l| l.when != When::Settle) {
            let first = line.text.split([' ', ',']).next().expect("a word");
            assert!(VERBS.contains(&first), "{rig}: {}", line.text);
        }
        for line in &list.lines {
            assert!(
                !line.text.is_empty() && !line.because.is_empty(),
                "{rig}: {line:?}"
            );
        }
        // in the order they are gone through
        let phases: Vec<When> = list.lines.iter().map(|l| l.when).collect();
        let mut sorted = phases.clone();
        sorted.sort();
        assert_eq!(phases, sorted);
    }
}

/// What a line begins with.
const VERBS: [&str; 40] = [
    "Bend", "Blow", "Bring", "By", "Check", "Close", "Cover", "Decide", "Give", "Have", "Hold",
    "In", "Keep", "Let", "Look", "Mark", "Never", "Open", "Press", "Prove", "Pull", "Put", "Read",
    "Run", "See", "Set", "Shut", "Soap", "Stand", "Start", "Stay", "Stop", "Strap", "Switch",
    "Take", "Test", "Try", "Wear", "Watch", "Wipe",
];

#[test]
fn every_danger_warning_and_caution_stands_before_the_fire() {
    let (audit, list) = of("neglected-frost-guard");
    for f in audit
        .findings
        .iter()
        .filter(|f| f.signal <= Signal::Caution)
    {
        // together with others of its word where there are more than the list has room for
        let act = f.advice.split(". ").next().unwrap_or_default();
        let act = act.trim_end_matches('.');
        let names = |l: &&Line| l.text.contains(act) && l.because.contains(f.id);
        let word = match f.signal {
            Signal::Danger => "DO NOT LIGHT: ",
            Signal::Warning => "WARNING: ",
            _ => "CAUTION: ",
        };
        let mut lines = list.of(When::Settle).filter(names);
        assert!(lines.any(|l| l.text.starts_with(word)), "{}", f.id);
    }
    for signal in [Signal::Danger, Signal::Warning, Signal::Caution] {
        assert!(audit.findings.iter().any(|f| f.signal == signal));
    }
    // one line a group of rules where each by itself finds no room
    assert_eq!(list.lines.len(), MOST_LINES);
}

#[test]
fn where_to_stand_has_the_distances_of_the_worst_release() {
    for (rig, part) in [
        ("coupon-soak-rig", "pigtail"),
        ("greenhouse-frost-guard", "line"),
        ("kiln-pilot", "burner-hose"),
    ] {
        with(&format!("examples/{rig}.toml"), |solved, _, list| {
            let plan = solved.leaks().as_ref().expect("releases");
            let (broken, effect) = plan.worst_break().expect("a line can break");
            assert_eq!(broken.part, part, "{rig}");
            let shown = |d: fuelwright::quantity::Length| {
                use fuelwright::quantity::show::show_digits;
                show_digits(fuelwright::quantity::Kind::Length, d.value, Units::Si, 2)
            };
            let jet = effect.consequences.jet.as_ref().expect("it burns");
            let fire = effect.consequences.fire.as_ref().expect("it burns");
            let lines: Vec<&str> = list
                .of(When::Stand)
                .filter(|l| l.because == "leak")
                .map(|l| l.text.as_str())
                .collect();
            assert_eq!(lines.len(), 1, "{rig}: {lines:?}");
            assert!(
                lines[0].contains(part) && lines[0].contains(&shown(jet.half_limit.value)),
                "{lines:?}"
            );
            // 1.58 kW/m2 for those who stay, 4.73 for a brief act (API 521)
            for level in &fire.distances[..2] {
                assert!(lines[0].contains(&shown(level.from_hole)), "{lines:?}");
            }
            // what is closed by itself says so
            let closes = broken.excess_flow.as_ref().is_some_and(|e| e.closes);
            assert_eq!(lines[0].contains("closes"), closes, "{lines:?}");
        });
    }
}

#[test]
fn a_fuel_that_makes_a_pool_says_so() {
    with("tests/audit_rules/kerosene-bench.toml", |_, _, list| {
        let pool: Vec<&str> = list
            .of(When::Stand)
            .filter(|l| l.because == "leak")
            .map(|l| l.text.as_str())
            .collect();
        assert!(pool.iter().any(|l| l.contains("pool")), "{pool:?}");
    });
}

#[test]
fn what_the_rig_has_is_proved_and_what_it_has_not_is_no_line() {
    let has = |rig: &str, because: &str| {
        let lines = of(rig).1.lines;
        lines
            .iter()
            .any(|l| l.because.split(", ").any(|b| b == because))
    };
    for because in [
        "train.shut-off-1",
        "controls.emergency_stop",
        "air.proved",
        "site.gas_detector",
    ] {
        assert!(has("coupon-soak-rig", because), "{because}");
    }
    for because in ["controls.emergency_stop", "air.proved", "site.gas_detector"] {
        assert!(!has("greenhouse-frost-guard", because), "{because}");
    }
}

const GUARD: &str = "examples/greenhouse-frost-guard.toml";

/// Code to code, `Cantera` 3.2.0, equilibrium of propane and n-butane 70:30 with 20.4 g/s of moist air at 2 degC and
/// 1004.5 mbar with 98 % of the heat set free (thermodynamic data of `nasa_gas.yaml`): 716.15 degC at 0.360 g/s and 723.17 degC
/// at 0.364 g/s. 4 K as for all flames held against it.
#[test]
fn without_a_valve_the_exit_is_that_of_the_fuel_that_the_train_gives() {
    with(GUARD, |solved, audit, list| {
        let low = &solved.duties[0];
        assert_eq!(low.name, "low");
        let fed = solved.as_fed(low).expect("no valve sets it");
        let (f0, t0, f1, t1) = (0.360e-3, 716.15, 0.364e-3, 723.17);
        let want_c = t0 + (t1 - t0) * (fed.fuel.value - f0) / (f1 - f0);
        let exit_c = fed.exit.as_ref().expect("a flame").temperature.value - 273.15;
        assert!((exit_c - want_c).abs() < 4.0, "{exit_c} {want_c}");
        // its own flow is less than half of that
        let wanted_c = low.exit_temperature().expect("a flame").value - 273.15;
        assert!((wanted_c - 330.46).abs() < 4.0, "{wanted_c}");
        let hotter = solved.hotter_exit(low).expect("a flame");
        assert_eq!(hotter.as_fed, Some(fed.fuel));
        // the duct stands 600 degC
        let found = audit.findings.iter().find(|f| f.id == "FLM003");
        let found = found.expect("hotter than the duct stands");
        assert_eq!(
            (found.signal, found.at.as_str()),
            (Signal::Warning, "duties.low")
        );
        assert!(found.sentence(Units::Si).contains("that the train gives"));
        // the pressure and the exit of one flow
        let line = list.of(When::LightUp).find(|l| l.because == "duties.low");
        let text = &line.expect("a line").text;
        let near = format!("exit calculated as {exit_c:.0} degC");
        assert!(text.contains(&near) && !text.contains("337"), "{text}");
    });
    // a throttle sets it
    with("examples/coupon-soak-rig.toml", |solved, _, _| {
        assert!(solved.duties.iter().all(|d| solved.as_fed(d).is_none()));
    });
}

/// By hand: 14 % of 34 g/s of air is 4.76 g/s; 0.362 g/s in the 20.4 g/s of `low` are 0.278 of what burns, 1.19 in that.
#[test]
fn without_a_valve_the_mixture_is_that_of_the_fuel_that_the_train_gives() {
    let less_air = [("throttle = \"60 %\"", "throttle = \"14 %\"")];
    changed(GUARD, &less_air, |solved, audit, _| {
        let wanted = solved.duties[0].demand.as_ref().expect("a flow");
        assert!(wanted.equivalence_ratio.value < 0.6);
        let fed = solved.as_fed(&solved.duties[0]).expect("no valve sets it");
        assert!((fed.equivalence_ratio.value - 1.19).abs() < 0.01, "{fed:?}");
        let found = audit.findings.iter().find(|f| f.id == "FLM001");
        let found = found.expect("a rich mixture");
        assert_eq!(
            (found.signal, found.at.as_str()),
            (Signal::Danger, "duties.low")
        );
    });
}

#[test]
fn where_to_stand_is_one_distance() {
    for rig in [GUARD, "examples/neglected-frost-guard.toml"] {
        with(rig, |solved, _, list| {
            let plan = solved.leaks().as_ref().expect("releases");
            let (_, effect) = plan.worst_break().expect("a line can break");
            let jet = effect.consequences.jet.as_ref().expect("it burns");
            let far_m = jet.half_limit.value.value;
            let site = &solved.rig.site;
            for (key, given) in [
                ("site.operator_distance", site.operator_distance),
                ("site.people_distance", site.people_distance),
            ] {
                assert!(given.expect("given").value < far_m, "{rig} {key}");
                let line = list.of(When::Stand).find(|l| l.because == key);
                let text = &line.expect("a line").text;
                assert!(
                    text.contains(&format!(" {far_m:.1} m from"))
                        && text.contains("move the place"),
                    "{rig}: {text}"
                );
            }
        });
    }
    // nothing reaches as far: the distance of the file stands
    changed(
        GUARD,
        &[("people_distance = \"5 m\"", "people_distance = \"9 m\"")],
        |_, _, list| {
            let line = list
                .of(When::Stand)
                .find(|l| l.because == "site.people_distance");
            let text = &line.expect("a line").text;
            assert_eq!(text, "Keep everybody else 9 m from the fire, or farther");
        },
    );
}

#[test]
fn a_hydrogen_flame_is_looked_for_otherwise() {
    let hydrogen = [("composition = \"propane\"", "composition = \"hydrogen\"")];
    let running = |changes: &[(&str, &str)]| {
        changed("examples/coupon-soak-rig.toml", changes, |_, _, list| {
            let lines: Vec<String> = list.of(When::Running).map(|l| l.text.clone()).collect();
            lines.join("\n")
        })
    };
    let said = running(&hydrogen);
    assert!(
        said.contains("By day a hydrogen flame is hardly seen"),
        "{said}"
    );
    assert!(!said.contains("yellow"), "{said}");
    let said = running(&[]);
    assert!(
        said.contains("yellow") && !said.contains("hardly seen"),
        "{said}"
    );
}

/// Common practice, no source: a flame detector is proved by a flame that goes out, timed. The lead of a flame rod
/// carries mains voltage or more, a sight tube is hot and open to the fire, the nut of a thermocouple is hot.
#[test]
fn a_flame_detector_is_proved_without_touching_it() {
    let rig = "examples/coupon-soak-rig.toml";
    for (kind, name, never) in [
        (
            "ionisation",
            "flame rod",
            "Never touch or pull its lead: it may carry mains voltage",
        ),
        (
            "optical",
            "flame cell",
            "Never draw the cell out of a hot sight tube",
        ),
        ("thermocouple", "thermocouple", "Never undo its nut"),
    ] {
        let new = format!("flame_detection = \"{kind}\"");
        let change = [("flame_detection = \"ionisation\"", new.as_str())];
        changed(rig, &change, |_, _, list| {
            let line = list
                .of(When::LightUp)
                .find(|l| l.because == "controls.flame_failure_time");
            let text = &line.expect("a proof").text;
            assert!(
                text.contains(&format!("Prove the {name} as soon as it burns: ")),
                "{text}"
            );
            // its only hand valve
            assert!(
                text.contains("close cylinder-valve and time it from when the flame goes out"),
                "{text}"
            );
            assert!(
                text.contains("until the shut-off valves drop out"),
                "{text}"
            );
            let time = line.and_then(|l| l.reading.as_ref()).expect("a time");
            assert_eq!((time.low, time.high), (None, Some(1.0)));
            assert!(text.contains(never), "{text}");
            assert_eq!(text.contains("shutter"), kind == "optical", "{text}");
            assert!(
                text.ends_with("Then blow through and begin again"),
                "{text}"
            );
        });
    }
    for kind in ["eye", "none"] {
        let new = format!("flame_detection = \"{kind}\"");
        let change = [
            ("flame_detection = \"ionisation\"", new.as_str()),
            ("flame_failure_time = \"1 s\"\n", ""),
        ];
        changed(rig, &change, |_, _, list| {
            let proved = list
                .lines
                .iter()
                .any(|l| l.text.starts_with("Prove the flame"));
            assert!(!proved, "{kind}");
        });
    }
}

/// Common practice, no source: nobody is sent to live contacts, hot metal or a joint under pressure.
#[test]
fn no_line_sends_a_hand_to_what_is_live_or_hot_or_under_pressure() {
    for rig in [
        "coupon-soak-rig",
        "greenhouse-frost-guard",
        "kiln-pilot",
        "neglected-frost-guard",
    ] {
        let (_, list) = of(rig);
        for line in &list.lines {
            let text = line.text.to_lowercase();
            for bad in [
                "back of a hand",
                "whiff",
                "through the fingers",
                "arm's length",
                "cut the power",
            ] {
                assert!(!text.contains(bad), "{rig}: {text}");
            }
            for (verb, beside) in [
                (" lead", "never touch or pull its lead"),
                (
                    "switch off the power of",
                    "its plug in, live contacts covered",
                ),
                ("cylinder off the rig", "no pressure left in its line"),
                ("hoses", "without pressure"),
                ("shows it cool", "thermometer"),
            ] {
                let fits = !text.contains(verb) || text.contains(beside);
                assert!(fits, "{rig}: {text}");
            }
        }
    }
}

/// Examples and the good rigs of the faults.
const RIGS: [&str; 10] = [
    "examples/coupon-soak-rig.toml",
    "examples/greenhouse-frost-guard.toml",
    "examples/kiln-pilot.toml",
    "examples/neglected-frost-guard.toml",
    "tests/faults/rigs/indoor-blend-two-cylinders.toml",
    "tests/faults/rigs/kiln-on-main.toml",
    "tests/faults/rigs/outdoor-propane.toml",
    "tests/faults/rigs/pressure-fed-kerosene.toml",
    "tests/faults/rigs/pumped-kerosene.toml",
    "tests/faults/rigs/two-stage-propane.toml",
];

/// What two people go through before a start without skipping; the gravest first.
#[test]
fn a_list_has_forty_lines_at_most_and_begins_with_what_is_gravest() {
    for rig in RIGS {
        with(rig, |_, audit, list| {
            assert!(
                list.lines.len() <= MOST_LINES,
                "{rig}: {}",
                list.lines.len()
            );
            let before: Vec<&str> = list.lines.iter().map(|l| l.text.as_str()).collect();
            let words = ["DO NOT LIGHT", "WARNING", "CAUTION"];
            let weight = |l: &&str| words.iter().position(|w| l.starts_with(w));
            assert!(
                before.iter().filter_map(weight).is_sorted(),
                "{rig}: {before:?}"
            );
            let grave = audit.findings.iter().any(|f| f.signal == Signal::Danger);
            assert_eq!(grave, before[0].starts_with("DO NOT LIGHT"), "{rig}");
            // no line twice
            let texts: std::collections::BTreeSet<&str> =
                list.lines.iter().map(|l| l.text.as_str()).collect();
            assert_eq!(texts.len(), list.lines.len(), "{rig}");
        });
    }
    assert_eq!(MOST_LINES, 40);
}

/// Common practice, no source: a line of liquid does not empty itself into the fire, is let down into a can and not
/// into the open, and nothing frosts.
#[test]
fn a_liquid_rig_has_lines_of_liquid() {
    for rig in ["pumped-kerosene", "pressure-fed-kerosene"] {
        with(&format!("tests/faults/rigs/{rig}.toml"), |_, _, list| {
            let all: Vec<&str> = list.lines.iter().map(|l| l.text.as_str()).collect();
            let all = all.join("\n");
            for gas in [
                "empty the line",
                "vented outdoors",
                "frost",
                "Cylinder",
                "yellow",
                "cylinder",
                "Soap",
                "bubble",
                "smell of gas",
            ] {
                assert!(!all.contains(gas), "{rig}: {gas}\n{all}");
            }
            for liquid in [
                "into a closed can",
                "a drip or a wet joint",
                "Close the shut-off valves first",
                "press paper on all",
                "wipe up what did not light",
            ] {
                assert!(all.contains(liquid), "{rig}: {liquid}\n{all}");
            }
            let pressed = all.contains("Set the gas over the fuel to");
            assert_eq!(pressed, rig == "pressure-fed-kerosene");
        });
    }
    with("tests/faults/rigs/outdoor-propane.toml", |_, _, list| {
        let all: Vec<&str> = list.lines.iter().map(|l| l.text.as_str()).collect();
        let all = all.join("\n");
        for gas in [
            "empty the line",
            "vent the line outdoors",
            "frost on the regulator",
            "cylinder",
            "Soap all",
            "smell of gas",
        ] {
            assert!(all.contains(gas), "{gas}");
        }
    });
}

/// Nobody reads a pressure where there is no gauge.
#[test]
fn pressures_to_watch_are_those_of_gauges() {
    let soak = "examples/coupon-soak-rig.toml";
    let read = |list: &Checklist, when: When, because: &str| -> Option<Reading> {
        let line = list.of(when).find(|l| l.because == because);
        line.expect("a line").reading.clone()
    };
    with(soak, |_, _, list| {
        // set 2.0 bar(g), lock-up 300 mbar
        let rest = read(&list, When::Leak, "[[train]]").expect("it locks up");
        assert_eq!(rest.at, "regulator-gauge");
        assert_eq!(rest.expected(Units::Si), "2.00 to 2.30");
        assert_eq!(rest.unit(Units::Si), "bar(g)");
        // by hand: 1 bar before the holes over 32 mbar of chamber, and 10 % of flow either way:
        // 32 + 968 x 0.81 = 816 mbar, 32 + 968 x 1.21 = 1203 mbar
        let full = read(&list, When::Running, "duties.full").expect("it shows");
        assert_eq!(full.at, "ring-pressure");
        for (end, mbar) in [(full.low, 816.0), (full.high, 1203.0)] {
            let end = end.expect("an end") / 100.0;
            assert!((end - mbar).abs() < 3.0, "{end} {mbar}");
        }
        // 54 mbar on a scale to 1.6 bar: nobody reads that
        assert_eq!(read(&list, When::LightUp, "duties.light-up"), None);
        let said: Vec<&str> = list.lines.iter().map(|l| l.text.as_str()).collect();
        let said = said.join("\n");
        for line in [
            "no gauge here shows 54.4 mbar(g) (ring-pressure goes to 1.6 bar(g))",
            "Stop when regulator-gauge creeps above 2.3 bar(g)",
            "No gauge here: supply to regulator",
        ] {
            assert!(said.contains(line), "{line}: {said}");
        }
        // no gauge stands before the regulator
        assert!(!said.contains("falls to"), "{said}");
    });
    let none = [
        ("gauge_range = \"4 bar(g)\"\n", ""),
        ("gauge_range = \"1.6 bar(g)\"\n", ""),
    ];
    changed(soak, &none, |_, _, list| {
        for line in &list.lines {
            let kind = line.reading.as_ref().map(|r| r.kind);
            assert_ne!(kind, Some(Kind::GaugePressure), "{}", line.text);
        }
    });
}

/// By hand: 37 kg of steel and 38 kg of propane; two of 11.6 kg with 13.46 kg in each.
#[test]
fn a_cylinder_is_weighed() {
    for (rig, want_kg) in [("coupon-soak-rig", 75.0), ("neglected-frost-guard", 50.1)] {
        let (_, list) = of(rig);
        let scale = |l: &&Line| l.reading.as_ref().is_some_and(|r| r.at == "scale");
        let line = list.lines.iter().find(scale).expect("a scale");
        let high = line.reading.as_ref().and_then(|r| r.high).expect("a mass");
        assert!((high - want_kg).abs() < 0.1, "{rig}: {high}");
    }
}

/// A relief valve below the test pressure was out or plugged: no file says that it is back.
#[test]
fn what_was_plugged_for_a_leak_test_is_looked_at() {
    let rig = "tests/faults/rigs/two-stage-propane.toml";
    let free = |list: &Checklist| {
        let line = list
            .of(When::Before)
            .find(|l| l.text.starts_with("Pull every plug"));
        line.expect("a line").text.clone()
    };
    with(rig, |_, _, list| {
        let said = free(&list);
        assert!(
            said.contains("first-relief") && !said.contains("had to be"),
            "{said}"
        );
    });
    // first-relief opens at 3 bar(g)
    let higher = [("pressure = \"2.8 bar(g)\"", "pressure = \"3.5 bar(g)\"")];
    changed(rig, &higher, |_, _, list| {
        let said = free(&list);
        assert!(
            said.contains("(first-relief had to be plugged or out"),
            "{said}"
        );
    });
}

/// A place that the audit finds nothing of is not told to be moved, and the other way round; no line is a row of ids.
#[test]
fn the_list_and_the_audit_judge_a_place_alike() {
    let mut seen = [0; 2];
    for rig in RIGS {
        with(rig, |_, audit, list| {
            for key in ["site.operator_distance", "site.people_distance"] {
                let at = |p: &String| p == key;
                let leaks = |f: &&audit::Finding| f.id.starts_with("LEK");
                let found = audit.findings.iter().filter(leaks);
                let found = found.flat_map(|f| &f.places).any(at);
                let moved = list
                    .of(When::Stand)
                    .filter(|l| l.because == key)
                    .any(|l| l.text.contains("of the rig file"));
                assert_eq!(moved, found, "{rig}: {key}");
                seen[usize::from(found)] += 1;
            }
            let mut open = audit.not_checked.iter().map(|n| n.id);
            let row = list.lines.iter().find(|l| l.text.contains("not checked"));
            let text = row.map_or("", |l| l.text.as_str());
            assert_eq!(row.is_some(), open.clone().next().is_some(), "{rig}");
            assert!(!open.any(|id| text.contains(id)), "{rig}: {text}");
        });
    }
    assert!(seen.iter().all(|n| *n > 0), "{seen:?}");
}

/// `en746-2` and a quarter of the lower limit: the list asks for as much as the audit, 5.54 volumes of propane and butane, rounded up;
/// the flame is waited for no longer than SHU015 has it, and a shut-off that is out of reach is to be moved.
#[test]
fn the_list_asks_for_what_the_audit_asks() {
    let (_, list) = of("neglected-frost-guard");
    let said: Vec<&str> = list.lines.iter().map(|l| l.text.as_str()).collect();
    let said = said.join("\n");
    for line in [
        "Blow can and duct through with 5.6 times their volume or more",
        "See a flame within 15 s.",
        "Put a shut-off where the operator stands, on the way out: it is 9 m off",
    ] {
        assert!(said.contains(line), "{line}: {said}");
    }
}
