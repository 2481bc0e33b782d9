//! What `lookup` lists is what the reader takes, and comparisons say once what stays.

use super::cli::plain;
use fuelwright::inside::sections;
use fuelwright::{Outcome, run};
use serde_json::Value;

fn looked_up(line: &str) -> Value {
    serde_json::from_str(&plain(&format!("lookup|{line}|--format|json"))).expect("JSON")
}

fn texts<'a>(list: &'a Value, key: &str) -> Vec<&'a str> {
    let rows = list.as_array().expect("a list").iter();
    rows.map(|row| row[key].as_str().expect("a text")).collect()
}

#[test]
fn every_key_of_a_rig_file_is_listed_and_says_what_it_takes() {
    let all = looked_up("keys");
    let listed = texts(&all["keys"], "key");
    let declared: Vec<&str> = sections()
        .iter()
        .flat_map(|s| s.fields)
        .map(|f| f.key)
        .collect();
    assert_eq!(listed, declared);
    for key in declared {
        let one = looked_up(&format!("words|{key}"));
        assert!(texts(&one["keys"], "key").iter().all(|k| *k == key));
        assert!(
            texts(&one["keys"], "takes").iter().all(|t| !t.is_empty()),
            "{key}"
        );
    }
}

#[test]
fn words_are_those_that_a_file_may_say() {
    let words = looked_up("words|train.actuation");
    let words = texts(&words["words"], "word");
    assert!(words.len() > 4, "{words:?}");
    let line = "actuation = \"manual\"";
    let rig = std::fs::read_to_string("examples/coupon-soak-rig.toml").expect("readable");
    let library = fuelwright::fuel::Library::embedded();
    let says = |word: &str| {
        let text = rig.replacen(line, &format!("actuation = \"{word}\""), 1);
        assert!(rig.contains(line));
        fuelwright::input::parse("rig.toml", &text, &library).map(|_| ())
    };
    for word in words {
        let wrong = says(word).err().map_or(String::new(), |e| e.to_string());
        assert!(!wrong.contains("E205"), "{word}: {wrong}");
    }
    assert!(says("by-foot").is_err());
}

#[test]
fn parts_are_those_of_the_catalogue_by_kind() {
    let all = looked_up("parts");
    let names = texts(&all["parts"], "name");
    assert_eq!(
        names.len(),
        fuelwright::train::catalogue::generic_parts().len()
    );
    let valves = looked_up("parts|solenoid-valve");
    assert!(
        texts(&valves["parts"], "kind")
            .iter()
            .all(|k| *k == "solenoid-valve")
    );
    let none = looked_up("parts|pump");
    assert!(none["parts"].as_array().expect("a list").is_empty());
}

#[test]
fn a_mistyped_name_finds_the_one_meant() {
    for (line, meant) in [
        ("parts|solenoid", "`solenoid-valve`"),
        ("parts|tube-8x1-coper", "`tube-8x1-copper`"),
        ("words|actuaton", "`actuation`"),
        ("words|tnak.setting", "`tank`"),
        ("keys|injecter", "`injector`"),
    ] {
        let (mut out, mut err) = (Vec::new(), Vec::new());
        let all = ["fuelwright", "lookup"].into_iter().chain(line.split('|'));
        assert_eq!(run(all, 80, &mut out, &mut err), Outcome::Failed, "{line}");
        let err = String::from_utf8(err).expect("text");
        assert!(
            out.is_empty() && err.contains(&format!("did you mean {meant}")),
            "{line}: {err}"
        );
    }
}

#[test]
fn a_sweep_says_once_what_stays_and_shows_the_rest() {
    let sweep = "sweep|examples/coupon-soak-rig.toml|--over|train.regulator.set_pressure";
    let text = plain(&format!("{sweep}|--from|1.4 barg|--to|2.2 barg|--steps|3"));
    let body = text.split("\nCautions").next().expect("one");
    let (moving, stays) = body
        .split_once("\nThe same at every step\n")
        .expect("what stays");
    // the set pressure moves the throttle, and neither the fuel wanted nor what it makes
    assert!(
        moving.contains("throttle") && !moving.contains("exit"),
        "{moving}"
    );
    assert!(
        stays.contains("exit") && !stays.contains("throttle, %"),
        "{stays}"
    );
    assert_eq!(stays.matches("light-up").count(), 1, "{stays}");
    assert!(stays.contains("Found at every step:"), "{stays}");
    // what moves for one duty alone is shown for that duty alone
    let sweep = "sweep|examples/coupon-soak-rig.toml|--over|duties.soak.throttle";
    let text = plain(&format!("{sweep}|--from|60 %|--to|80 %|--steps|2"));
    let moving = text
        .split("\nThe same at every step\n")
        .next()
        .expect("one");
    assert!(
        !moving.contains("idle") && moving.contains("soak"),
        "{moving}"
    );
    let rig = "examples/coupon-soak-rig.toml";
    let alike = plain(&format!("compare-rigs|{rig}|{rig}"));
    assert!(alike.contains("The same in both:"), "{alike}");
}
