//! Quick calculators: whichever flag is left out, the others give it back; a fitting list; findings of a bad pump.

use fuelwright::{Outcome, run};
use serde_json::Value;
use std::fmt::Write as _;

fn answer(line: &str) -> (Outcome, Value) {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let all = ["fuelwright", "--format", "json"];
    let outcome = run(
        all.into_iter().chain(line.split('|')),
        80,
        &mut out,
        &mut err,
    );
    let err = String::from_utf8(err).expect("text");
    let said = serde_json::from_slice(&out).unwrap_or_else(|_| panic!("{line}: {err}"));
    (outcome, said)
}

fn number(said: &Value, key: &str) -> f64 {
    said[key].as_f64().unwrap_or_else(|| panic!("no {key}"))
}

/// A command, what it takes anyhow, and three flags: each with the key of its answer, the unit it is written in, and how
/// many of the SI unit that is.
type Case<'a> = (
    &'a str,
    &'a str,
    [(&'a str, &'a str, &'a str, f64); 3],
    [f64; 3],
);

const CASES: [Case<'_>; 5] = [
    (
        "orifice",
        "--fuel|methane|--upstream|0.5 barg|--upstream-temperature|15 degC|--pipe-bore|80 mm",
        [
            ("flow", "mass_flow_kg_s", "kg/s", 1.0),
            ("bore", "plate_bore_m", "m", 1.0),
            ("differential", "differential_pa", "Pa", 1.0),
        ],
        [0.04, 0.035, f64::NAN],
    ),
    (
        "pipe",
        "--fuel|propane|--upstream|2 barg|--upstream-temperature|15 degC|--length|4 m|--rise|1 m|--loss-coefficient|3",
        [
            ("flow", "mass_flow_kg_s", "kg/s", 1.0),
            ("bore", "bore_m", "m", 1.0),
            ("downstream", "outlet_pressure_pa", "Pa(a)", 1.0),
        ],
        [0.002, 0.006, f64::NAN],
    ),
    (
        "pump",
        "--fuel|kerosene|--temperature|20 degC|--lift|0.4 m|--suction-bore|4 mm|--suction-length|1 m",
        [
            ("flow", "mass_flow_kg_s", "kg/s", 1.0),
            ("discharge", "discharge_pressure_pa", "Pa(a)", 1.0),
            ("power", "power_w", "W", 1.0),
        ],
        [0.003, 8e5, f64::NAN],
    ),
    (
        "spray",
        "--fuel|kerosene|--temperature|20 degC|--number|2",
        [
            ("flow", "mass_flow_kg_s", "kg/s", 1.0),
            ("diameter", "exit_diameter_m", "m", 1.0),
            ("upstream", "upstream_pressure_pa", "Pa(a)", 1.0),
        ],
        [0.002, f64::NAN, 9e5],
    ),
    (
        "spray",
        "--fuel|ethanol|--temperature|15 degC|--nozzle|plain",
        [
            ("flow", "mass_flow_kg_s", "kg/s", 1.0),
            ("diameter", "exit_diameter_m", "m", 1.0),
            ("upstream", "upstream_pressure_pa", "Pa(a)", 1.0),
        ],
        [0.0015, f64::NAN, 11e5],
    ),
];

/// By hand: the three are tied by one equation. 1e-6: the searches of the nozzle and of the bore end there.
#[test]
fn what_is_left_out_comes_back_from_the_others() {
    for (command, common, flags, given) in CASES {
        let ask = |values: &[f64; 3], out: usize| {
            let mut line = format!("{command}|{common}");
            for (i, ((flag, _, unit, size), si)) in flags.iter().zip(values).enumerate() {
                if i != out {
                    write!(line, "|--{flag}|{} {unit}", si / size).expect("a string");
                }
            }
            answer(&line).1
        };
        let open = given.iter().position(|x| x.is_nan()).expect("one");
        let first = ask(&given, open);
        let whole = flags.map(|(_, key, _, _)| number(&first, key));
        for (out, (flag, key, _, _)) in flags.iter().enumerate() {
            let said = ask(&whole, out);
            assert_eq!(said["found"], *flag, "{command}");
            let (got, want) = (number(&said, key), whole[out]);
            assert!(
                (got / want - 1.0).abs() < 1e-6,
                "{command} --{flag}: {got}, not {want}"
            );
        }
    }
}

/// By hand: an area that is sized for a flow passes it.
#[test]
fn a_relief_area_passes_what_it_was_sized_for() {
    for state in [
        "--fuel|propane|--quality|1",
        "--fuel|kerosene|--temperature|20 degC",
        "--fuel|propane|--quality|0",
    ] {
        let common = format!("relief|--set-pressure|15 barg|{state}");
        let sized = answer(&format!("{common}|--flow|0.05 kg/s")).1;
        let area = number(&sized, "area_m2") * 1e6;
        let back = answer(&format!("{common}|--area|{area} mm2")).1;
        assert!(
            (number(&back, "mass_flow_kg_s") / 0.05 - 1.0).abs() < 1e-9,
            "{state}"
        );
        assert!(number(&sized, "letter_area_m2") >= number(&sized, "area_m2"));
    }
}

/// TP-410: an elbow is 30 f, a ball valve 3 f; four and one of them are 123 f.
#[test]
fn fittings_add_up() {
    let line = "pipe|--fuel|propane|--upstream|37 mbar(g)|--upstream-temperature|15 degC|--bore|8 mm|--length|3 m|--flow|0.5 g/s|--fittings|elbow:4,ball-valve";
    let bare = "pipe|--fuel|propane|--upstream|37 mbar(g)|--upstream-temperature|15 degC|--bore|8 mm|--length|3 m|--flow|0.5 g/s|--fittings|ball-valve:1";
    let of = |line| number(&answer(line).1, "loss_coefficient");
    assert!((of(line) / of(bare) - 41.0).abs() < 1e-9);
}

/// By hand: 11 m of lift leave kerosene 1.7 m; vapour locks such a pump, and it draws 0.86 bar below the air. At
/// 60 m/s a tube is too narrow, and saturated liquid that loses pressure boils.
#[test]
fn bad_pumps_and_pipes_are_findings() {
    let found = |line: &str| {
        let (outcome, said) = answer(line);
        let all = said["findings"].as_array().expect("findings").clone();
        let names: Vec<String> = all
            .iter()
            .map(|f| f["name"].as_str().expect("text").to_owned())
            .collect();
        (outcome, names)
    };
    let pump = "pump|--fuel|kerosene|--temperature|20 degC|--flow|1 g/s|--discharge|7 barg|--lift|";
    assert_eq!(found(&format!("{pump}0.2 m")), (Outcome::Done, vec![]));
    let (outcome, names) = found(&format!("{pump}11 m"));
    assert_eq!(
        (outcome, names),
        (
            Outcome::Alarms,
            vec!["vapour-lock".to_owned(), "deep-suction".to_owned()]
        )
    );
    let pipe = "pipe|--fuel|propane|--length|1 m|--bore|4 mm|--upstream";
    let (outcome, names) = found(&format!(
        "{pipe}|2 barg|--upstream-temperature|15 degC|--flow|4 g/s"
    ));
    assert_eq!(
        (outcome, names),
        (Outcome::Done, vec!["fast-line".to_owned()])
    );
    let (outcome, names) = found(&format!("{pipe}|7 barg|--upstream-quality|0|--flow|10 g/s"));
    assert_eq!(outcome, Outcome::Alarms);
    assert!(
        names.contains(&"two-phases-in-train".to_owned()),
        "{names:?}"
    );
}
