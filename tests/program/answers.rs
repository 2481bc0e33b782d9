//! Answers stored to six digits, and one page of each writer: they prove only that nothing moved.

use fuelwright::cli::{Outcome, run};
use serde_json::{Map, Value};
use std::collections::BTreeMap;

/// Command lines whose figures are stored.
const LINES: &[&str] = &[
    "audit|examples/coupon-soak-rig.toml",
    "audit|examples/greenhouse-frost-guard.toml",
    "audit|examples/kiln-pilot.toml",
    "audit|examples/neglected-frost-guard.toml",
    "audit|examples/seed-dryer.toml",
    "audit|examples/tile-dryer.toml",
    "compare-rigs|examples/coupon-soak-rig.toml|examples/coupon-soak-rig.toml",
    "compare-rigs|examples/coupon-soak-rig.toml|examples/greenhouse-frost-guard.toml",
    "convert|examples/coupon-soak-rig.toml",
    "flame|--fuel|propane|--equivalence-ratio|1|--air-temperature|288 K|--pressure|1.01325 bara",
    "flame|--fuel|kerosene|--exit-temperature|900 degC|--air|60 g/s|--primary-share|25 %|--air-temperature|60 degC|--pressure|0.2 bar(g)",
    "flame|--fuel|propane:60,n-butane:40|--heat-input|60 kW|--air|40 g/s|--air-temperature|86 degF|--relative-humidity|70 %|--heat-loss|12 %|--pressure|0.5 psig",
    "flame|--fuel|propane|--feed|liquid|--fuel-pressure|10 bar(g)|--fuel-temperature|20 degC|--equivalence-ratio|3.5|--air-temperature|15 degC|--pressure|0.1 bar(g)",
    "fuel|LPG-propane|--temperature|14 degF",
    "fuel|propane:70,n-butane:30",
    "fuel|hydrogen",
    "fuel|nitrogen",
    "injector|examples/coupon-soak-rig.toml",
    "injector|examples/kiln-pilot.toml",
    "injector|--fuel|propane|--upstream|2 barg|--upstream-temperature|15 degC|--chamber|20 mbar(g)|--holes|8|--air|18 g/s|--equivalence-ratio|0.7",
    "injector|--fuel|propane|--upstream|2 barg|--upstream-temperature|15 degC|--chamber|20 mbar(g)|--diameter|1/64 in|--flow|0.8 g/s|--discharge-coefficient|0.86|--discharge-band|2 %",
    "injector|--fuel|lpg-propane|--upstream-temperature|15 degC|--chamber|20 mbar(g)|--holes|8|--diameter|0.45 mm|--flow|0.8 g/s|--air|18 g/s",
    "injector|--fuel|propane|--upstream|7 barg|--upstream-quality|0|--chamber|0.2 barg|--holes|4|--diameter|0.5 mm|--expansion|equilibrium",
    "injector|--fuel|nitrogen|--upstream|2 barg|--upstream-temperature|15 degC|--chamber|0 barg|--holes|8|--diameter|0.42 mm|--edge|sharp|--hole-length|0.3 mm|--hole-tolerance|h9",
    "injector|--fuel|propane|--upstream|7 barg|--upstream-quality|0|--chamber|0.2 barg|--holes|4|--diameter|0.5 mm",
    "leak|--fuel|kerosene|--pressure|5 barg|--temperature|15 degC|--hole-diameter|0.5 mm",
    "leak|--fuel|nitrogen|--pressure|5 barg|--temperature|15 degC|--hole-diameter|2 mm|--room|20 m3",
    "leak|examples/greenhouse-frost-guard.toml",
    "leak|--fuel|propane|--pressure|7.315 bara|--quality|0|--hole-area|0.25 mm2",
    "leak|--fuel|propane|--pressure|10 bara|--temperature|15 degC|--hole-area|0.25 mm2|--discharge-coefficient|0.75|--expansion|blend",
    "leak|--fuel|propane|--pressure|7.315 bara|--quality|0.02|--hole-area|0.25 mm2|--expansion|equilibrium",
    "leak|--fuel|propane|--volume|27.2 L|--fill|11 kg|--liquid|--temperature|15 degC|--hole-diameter|1 mm",
    "leak|--fuel|propane|--pressure|2 barg|--temperature|20 degC|--hole-diameter|1 mm|--expansion|blend",
    "leak|--fuel|propane|--volume|27.2 L|--fill|0.1 kg|--liquid|--temperature|15 degC|--hole-diameter|1 mm",
    "mass|examples/coupon-soak-rig.toml",
    "regulator|--fuel|propane|--upstream|7 bar(g)|--upstream-temperature|20 degC|--downstream|1.5 bar(g)",
    "regulator|--fuel|propane|--upstream|12 barg|--upstream-temperature|20 degC|--downstream|1.5 barg",
    "state|propane|--backend|embedded|--temperature|20 degC|--pressure|3 bara",
    "state|propane|--temperature|15 degC|--pressure|3 bar(a)",
    "state|methane|--temperature|15 degC|--pressure|20 mbar(g)|--ambient-pressure|850 mbar(a)",
    "state|propane:50,n-butane:50|--temperature|20 degC|--pressure|4.5 bara",
    "sweep|examples/coupon-soak-rig.toml|--over|site.ambient_temperature|--from|-20 degC|--to|25 degC|--steps|4",
    "sweep|examples/coupon-soak-rig.toml|--over|train.regulator.set_pressure|--from|1.0 barg|--to|2.2 barg|--steps|2",
    "tank|--fuel|propane:60,n-butane:40|--volume|50 L|--fill|18 kg|--tank-temperature|5 degC|--ambient|5 degC|--draw|0.8 g/s|--duration|90 min|--rest|30 min|--repeats|2|--wall-mass|20 kg|--wall-specific-heat|480 J/(kg K)|--diameter|300 mm|--length|800 mm|--attitude|lying|--humidity|70 %|--lowest-pressure|1.5 bar(g)|--every|30 min",
    "tank|--fuel|propane|--volume|27.2 L|--fill|12.6 kg|--tank-temperature|15 degC|--ambient|15 degC|--draw|1 g/s|--duration|20 min|--wall-mass|11.5 kg|--wall-specific-heat|480 J/(kg K)|--conductance|5 W/K|--every|20 min|--liquid|--hottest|50 degC|--relief|17 bar(g)|--rating|17 bar(g)",
    "tank|--fuel|propane|--volume|27.2 L|--fill|5 kg|--tank-temperature|15 degC|--ambient|20 degC|--draw|0.5 g/s|--duration|10 min|--wall-mass|11.5 kg|--wall-specific-heat|480 J/(kg K)|--diameter|300 mm|--length|450 mm|--water-bath|--every|10 min",
    "tank|--fuel|propane|--volume|27.2 L|--fill|5 kg|--tank-temperature|0 degC|--ambient|15 degC|--draw|0 g/s|--duration|10 h|--wall-mass|11.5 kg|--wall-specific-heat|480 J/(kg K)|--conductance|5 W/K|--every|5 h",
    "tank|examples/greenhouse-frost-guard.toml",
    "tank|examples/coupon-soak-rig.toml|--every|30 min|--coil-wall|80 degC",
    "tank|--fuel|propane:60,n-butane:40|--volume|50 L|--fill|18 kg|--tank-temperature|15 degC|--ambient|15 degC|--draw|0.8 g/s|--duration|1 h|--wall-mass|20 kg|--wall-specific-heat|480 J/(kg K)|--conductance|6 W/K|--every|20 min|--liquid|--line-pressure|0.5 bar(g)|--coil-wall|80 degC",
    "tank|--fuel|propane|--volume|27.2 L|--fill|13.5 kg|--tank-temperature|15 degC|--ambient|15 degC|--draw|0.5 g/s|--duration|30 min|--every|15 min|--wall-mass|12 kg|--wall-specific-heat|460 J/(kg K)|--diameter|300 mm|--length|450 mm",
    "tolerance|examples/coupon-soak-rig.toml|--samples|2000|--seed|7",
    "trapped|--fuel|propane|--temperature|10 degC|--pressure|6.36 bara|--rise|27 degF",
    "trapped|--fuel|propane|--temperature|10 degC|--pressure|8 bar(a)|--rise|15 K",
    "trapped|examples/greenhouse-frost-guard.toml",
    "valve|--fuel|propane|--upstream|9 bar(g)|--upstream-temperature|15 degC|--downstream|1 bar(g)|--kv|0.02",
    "valve|--fuel|propane|--upstream|3 bar(g)|--upstream-temperature|20 degC|--downstream|0 bar(g)|--kv|0.05|--bore|6 mm",
];

/// Keys that change with the version or with a comment in a rig file.
const PASSING: [&str; 3] = ["line", "program_version", "rig_digest"];

/// What a command answers in a format.
fn answer(line: &str, format: &str) -> (Outcome, String) {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let all = ["fuelwright", "--format", format];
    let outcome = run(
        all.into_iter().chain(line.split('|')),
        100,
        &mut out,
        &mut err,
    );
    let [out, err] = [out, err].map(|bytes| String::from_utf8(bytes).expect("text"));
    assert_ne!(outcome, Outcome::Failed, "{line}: {err}");
    (outcome, out)
}

/// A number to six digits.
fn rounded(number: f64) -> Value {
    let six = format!("{number:.5e}").parse::<f64>().expect("a number");
    Value::from(six)
}

/// The figures, names and words of an answer; sentences and what is empty are left out.
fn figures(value: &Value) -> Option<Value> {
    match value {
        Value::Null => None,
        Value::Number(n) if n.is_f64() => n.as_f64().map(rounded),
        Value::String(text) if text.contains(char::is_whitespace) => None,
        Value::Array(list) => {
            let kept: Vec<Value> = list.iter().filter_map(figures).collect();
            (!kept.is_empty()).then(|| Value::from(kept))
        }
        Value::Object(map) => {
            let kept: Map<String, Value> = map
                .iter()
                .filter(|(key, _)| !PASSING.contains(&key.as_str()))
                .filter_map(|(key, inner)| Some((key.clone(), figures(inner)?)))
                .collect();
            (!kept.is_empty()).then(|| Value::from(kept))
        }
        other => Some(other.clone()),
    }
}

/// Columns of what is stored.
const WIDTH: usize = 118;

/// JSON in lines filled to [`WIDTH`].
fn laid_out(value: &Value, indent: usize) -> String {
    let short = value.to_string();
    if indent + short.len() <= WIDTH {
        return short;
    }
    let inner = indent + 1;
    let (open, pieces, close) = match value {
        Value::Array(list) => {
            let pieces: Vec<String> = list.iter().map(|v| laid_out(v, inner)).collect();
            ('[', pieces, ']')
        }
        Value::Object(map) => {
            let piece = |(key, v): (&String, &Value)| format!("{key:?}:{}", laid_out(v, inner));
            ('{', map.iter().map(piece).collect(), '}')
        }
        _ => return short,
    };
    let mut body = String::new();
    let mut column = WIDTH;
    for piece in pieces {
        if !body.is_empty() {
            body.push(',');
        }
        let is_whole = !piece.contains('\n');
        if !is_whole || column + piece.len() >= WIDTH {
            body = body + "\n" + &" ".repeat(inner);
            column = inner;
        }
        body += &piece;
        column = if is_whole {
            column + piece.len() + 1
        } else {
            WIDTH
        };
    }
    format!("{open}{body}\n{}{close}", " ".repeat(indent))
}

#[test]
fn figures_are_as_stored() {
    let mut stored: BTreeMap<&str, Map<String, Value>> = BTreeMap::new();
    for line in LINES {
        let (outcome, out) = answer(line, "json");
        let said: Value = serde_json::from_str(&out).expect("JSON");
        let mut kept = figures(&said).expect("figures");
        kept["outcome"] = Value::from(format!("{outcome:?}"));
        let command = line.split('|').next().expect("a command");
        let of_command = stored.entry(command).or_default();
        of_command.insert((*line).to_owned(), kept);
    }
    for (command, answers) in stored {
        insta::assert_snapshot!(command, laid_out(&Value::from(answers), 0));
    }
}

#[test]
fn a_page_of_each_writer_is_as_stored() {
    for format in ["text", "markdown", "html"] {
        let (_, page) = answer("audit|examples/tile-dryer.toml", format);
        insta::assert_snapshot!(format!("page-{format}"), page);
    }
}
