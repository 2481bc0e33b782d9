//! Fuel files of a user's own: each kind of mistake is refused, and told with file, line, key, value and limit.

use fuelwright::eos::check::{library_with, problems_of_the_program};
use fuelwright::fuel::Composition;
use fuelwright::{Outcome, run};

/// A file of the program under another name, as a user would begin one.
fn own(name: &str) -> String {
    let path = format!("{}/fuels/{name}.toml", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(path).expect("a fuel of the program");
    let kept = text.lines().filter(|l| !l.starts_with("synonyms"));
    kept.map(|l| {
        let own = l
            .strip_prefix("name = \"")
            .and_then(|l| l.strip_suffix('"'));
        own.map_or(l.to_owned(), |name| format!("name = \"my-{name}\""))
    })
    .collect::<Vec<_>>()
    .join("\n")
}

/// A file with one change in it.
fn spoilt(name: &str, from: &str, to: &str) -> String {
    let text = own(name);
    assert!(text.contains(from), "{name} has no `{from}`");
    text.replacen(from, to, 1)
}

/// What is said of a folder with these files.
fn told(files: &[(&str, &str)]) -> Vec<String> {
    let files = files
        .iter()
        .map(|(f, t)| ((*f).to_owned(), (*t).to_owned()));
    let errors = library_with(files.collect()).err().unwrap_or_default();
    errors.iter().map(ToString::to_string).collect()
}

#[track_caller]
fn assert_told(files: &[(&str, &str)], words: &str) {
    let told = told(files);
    assert!(told.iter().any(|t| t.contains(words)), "{words}\n{told:#?}");
}

#[test]
fn the_files_of_the_program_pass() {
    let problems: Vec<String> = problems_of_the_program()
        .iter()
        .map(ToString::to_string)
        .collect();
    assert!(problems.is_empty(), "{problems:#?}");
}

#[test]
fn every_file_of_the_program_passes_as_a_users_own() {
    for name in fuelwright::fuel::Library::embedded().names() {
        assert_eq!(told(&[("mine.toml", &own(name))]), [""; 0], "{name}");
    }
}

/// Cases of `tests/fuel_files.toml`.
#[derive(serde::Deserialize)]
struct Cases {
    /// File of the program, what is replaced, by what, and what is told.
    numbers: Vec<[String; 4]>,
    models: Vec<[String; 4]>,
    /// What is replaced in the sound tables below, by what, and what is told.
    tables: Vec<[String; 3]>,
}

fn cases() -> Cases {
    toml::from_str(include_str!("../fuel_files.toml")).expect("cases")
}

/// The cases that are not told as they should be.
fn missed(cases: &[[String; 4]]) -> Vec<String> {
    let miss = |[name, from, to, words]: &[String; 4]| {
        let told = told(&[("mine.toml", &spoilt(name, from, to))]);
        let said = told.iter().any(|t| t.contains(words));
        (!said).then(|| format!("{name}: {from} -> {to}: {words}\n{told:#?}"))
    };
    cases.iter().filter_map(miss).collect()
}

#[test]
fn numbers_that_no_fluid_has_are_refused_one_by_one() {
    let cases = cases().numbers;
    assert!(cases.len() > 30);
    let missed = missed(&cases);
    assert!(missed.is_empty(), "{}", missed.join("\n"));
    let long = format!("t = [{}1.05, 1.084", "1.0, ".repeat(300));
    assert_told(
        &[("mine.toml", &spoilt("propane", "t = [1.05, 1.084", &long))],
        "`equation.ancillary.vapour_pressure.t` holds 306 entries; at most 200 are read",
    );
}

#[test]
fn what_an_equation_gives_is_held_against_the_rest_of_the_file() {
    let cases = cases().models;
    assert!(cases.len() > 30);
    let missed = missed(&cases);
    assert!(missed.is_empty(), "{}", missed.join("\n"));
}

#[test]
fn a_negative_heat_capacity_or_pressure_inside_the_range_is_found() {
    // a Gaussian term far off the critical point and the saturation line of propane, in the compressed gas
    let hump = "\n[[equation.residual]]\ntype = \"gaussian\"\nn = [0.5]\nd = [1.0]\nt = [0.0]\n\
                eta = [150.0]\nepsilon = [1.2]\nbeta = [300.0]\ngamma = [0.75]\n\n[equation.ancillary.vapour_pressure]";
    let text = spoilt("propane", "\n[equation.ancillary.vapour_pressure]", hump);
    assert_told(
        &[("mine.toml", &text)],
        "gives a slope of pressure with density, over RT, at",
    );
    let hump = hump
        .replace("n = [0.5]", "n = [-0.05]")
        .replace("eta = [150.0]", "eta = [1.0]");
    let text = spoilt("propane", "\n[equation.ancillary.vapour_pressure]", &hump);
    assert_told(
        &[("mine.toml", &text)],
        "gives a heat capacity at constant volume, over R, at",
    );
}

#[test]
fn all_mistakes_of_a_file_are_told_at_once_in_its_order() {
    let text = own("propane")
        .replacen("cas = \"74-98-6\"\n", "", 1)
        .replacen("fed_as = \"gas\"", "fed_as = \"fog\"", 1)
        .replacen("t_triple_k = 85.525", "t_tripel_k = 85.525", 1)
        .replacen("type = \"log-tau\"\n", "type = \"log-tao\"\n", 1)
        .replacen("upper = 0.109", "upper = \"0.109\"", 1)
        .replacen("uncertainty = 0.5", "uncertainty = 5", 1)
        .replacen("source = \"quenching-memory\"", "source = \"hearsay\"", 1);
    let told = told(&[("mine.toml", &text)]);
    let told: Vec<&str> = told
        .iter()
        .map(|t| t.trim_start_matches("fuel file `mine.toml`"))
        .collect();
    let expected = [
        ": `cas` is missing",
        ", line 4: `fed_as` is `fog`, but must be `gas` or `liquid`",
        ", line 21: `safety.limits[0].upper` is text, but must be a number",
        ", line 32: `safety.minimum_ignition_energy_j.uncertainty` is 5, but must be from 0 to 1: a relative uncertainty, as a fraction",
        ", line 38: `safety.quenching_distance_m.source` names the source `hearsay`, which sources.toml does not have",
        ", line 50: `equation.t_triple_k` is missing",
        ", line 58: `equation.t_tripel_k` is not a key that is read here; did you mean `t_triple_k`?",
        ", line 72: `equation.ideal[1].type` is `log-tao`, but must be `lead` or `log-tau` or `power` or `planck-einstein` or `log-sinh` or `log-cosh`",
    ];
    for (i, line) in expected.iter().enumerate() {
        assert_eq!(told.get(i), Some(line), "{told:#?}");
    }
}

#[test]
fn text_that_is_no_fuel_file_is_told_in_a_line() {
    let whole = own("propane");
    for (text, words) in [
        ("", "fuel file `mine.toml`: `name` is missing"),
        ("name = ", "fuel file `mine.toml`, line 1: it is not TOML"),
        (&whole[..whole.len() / 2], "fuel file `mine.toml`"),
        (&"[".repeat(5000), "it is not TOML"),
        (&format!("a = {}", "[".repeat(5000)), "it is not TOML"),
        (
            &"#".repeat(300_000),
            "`the file` holds 300000 bytes; at most 200000 are read",
        ),
        (
            &format!("name = \"again\"\n{whole}"),
            "it is not TOML: duplicate key",
        ),
        (
            &whole.replacen("[combustion]", "[combustion]\n[combustion]", 1),
            "line 12: it is not TOML: duplicate key",
        ),
        (
            "equation = 3\nname = 4\nformula = []",
            "`equation` is a number, but must be a table",
        ),
    ] {
        let told = told(&[("mine.toml", text)]);
        assert!(told.iter().any(|t| t.contains(words)), "{words}\n{told:#?}");
        assert!(told.iter().all(|t| t.lines().count() == 1), "{told:#?}");
    }
}

const PAIR: &str = "[[pair]]\nfirst = \"propane\"\nsecond = \"butane\"\nbeta_t = 1.0\ngamma_t = 1.01\nbeta_v = 1.0\n\
                    gamma_v = 1.0\nf = 1.0\ndeparture = \"mine\"\nsource = \"kunz2012\"\n";
const DEPARTURE: &str = "[[departure]]\nname = \"mine\"\nsource = \"kunz2012\"\n[[departure.terms]]\ntype = \"power\"\n\
                         n = [0.02]\nd = [1.0]\nt = [1.0]\nl = [0.0]\n";
const BLEND: &str = "[[blend]]\nname = \"shop-gas\"\nnote = \"ours\"\nsource = \"kunz2012\"\n\
                     parts = [{ fuel = \"propane\", percent = 60 }, { fuel = \"butane\", percent = 40 }]\n";

#[test]
fn pairs_departures_and_blends_are_checked_too() {
    let sound = [
        ("pairs.toml", PAIR),
        ("departures.toml", DEPARTURE),
        ("blends.toml", BLEND),
    ];
    assert_eq!(told(&sound), [""; 0]);
    let files = sound.map(|(f, t)| (f.to_owned(), t.to_owned()));
    let library = library_with(files.to_vec()).expect("sound");
    // under the names of the library, whatever synonym the file uses
    let pair = library
        .pair("n-butane", "propane")
        .expect("both have equations");
    assert!(!pair.estimated && (pair.gamma_t - 1.01).abs() < 1e-12 && !pair.departure.is_empty());
    let mut missed = Vec::new();
    for [from, to, words] in cases().tables {
        let files = sound.map(|(f, t)| (f, t.replacen(&from, &to, 1)));
        assert!(sound.iter().zip(&files).any(|(a, b)| a.1 != b.1), "{from}");
        let files: Vec<(&str, &str)> = files.iter().map(|(f, t)| (*f, t.as_str())).collect();
        let told = told(&files);
        if !told.iter().any(|t| t.contains(&words)) {
            missed.push(format!("{from} -> {to}: {words}\n{told:#?}"));
        }
    }
    assert!(missed.is_empty(), "{}", missed.join("\n"));
    let twice = format!(
        "{PAIR}{}",
        PAIR.replace("\"propane\"", "\"n-butane\"")
            .replace("\"butane\"", "\"propane\"")
    );
    assert_told(
        &[("pairs.toml", &twice), ("departures.toml", DEPARTURE)],
        "another pair with the same other fuel",
    );
    let many: String = (0..17)
        .map(|_| "{ fuel = \"propane\", percent = 5 },")
        .collect();
    let many = BLEND.replace(
        BLEND.split("parts = ").nth(1).expect("parts"),
        &format!("[{many}]\n"),
    );
    assert_told(
        &[("blends.toml", &many)],
        "`blend[0].parts` holds 17 fuels; at most 16 are read",
    );
    assert_told(
        &[("sources.toml", "[kunz2012]\ncitation = \"another\"\n")],
        "`kunz2012` is `kunz2012`, a name that another source has already",
    );
}

#[test]
fn a_folder_with_mistakes_fails_on_the_command_line_and_a_sound_one_serves() {
    let folder = std::env::temp_dir().join(format!("fuelwright-fuel-files-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a folder");
    let line = |fuel: &'static str| {
        let (mut out, mut err) = (Vec::new(), Vec::new());
        let folder = folder.display().to_string();
        let line = ["fuelwright", "fuel", fuel, "--fuels-folder", &folder];
        let outcome = run(line, 200, &mut out, &mut err);
        let text = |bytes| String::from_utf8(bytes).expect("text");
        (outcome, text(out), text(err))
    };
    let file = folder.join("gas.toml");
    std::fs::write(&file, spoilt("propane", "-2.4516524", "2.4516524")).expect("a file");
    let (outcome, out, err) = line("propane");
    assert_eq!((outcome, out.as_str()), (Outcome::Failed, ""));
    let begins = format!(
        "error: fuel file `{}`, line 81: `equation.residual` gives a pressure at",
        file.display()
    );
    assert!(err.starts_with(&begins), "{err}");
    std::fs::write(&file, own("propane")).expect("a file");
    let (outcome, out, err) = line("my-propane");
    assert_eq!((outcome, err.as_str()), (Outcome::Done, ""));
    assert!(out.contains("my-propane"));
    std::fs::remove_dir_all(&folder).expect("can be removed");
    let library = library_with(vec![("a.toml".to_owned(), own("propane"))]).expect("sound");
    assert!(Composition::parse("my-propane:50,n-butane:50", &library).is_ok());
}
