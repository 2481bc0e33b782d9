//! The questions of `start`: ten keys, each answer held against the rig file it goes into before the next is asked.

use super::error::CliError;
use crate::fuel::Library;
use crate::input;
use crate::input::field::Takes;
use crate::input::raw::TableAbout;
use crate::input::starter::{Answers, TEN};
use crate::quantity::parse::parse;
use crate::quantity::{AbsolutePressure, PressureDifference, PressureLevel, Volume};
use inquire::Text;
use inquire::error::InquireError;
use inquire::ui::RenderConfig;
use inquire::validator::{ErrorMessage, Validation};

/// A question about one key.
struct Question {
    /// Path of the key.
    key: &'static str,
    asks: &'static str,
    help: &'static str,
}

const fn question(key: &'static str, asks: &'static str, help: &'static str) -> Question {
    Question { key, asks, help }
}

const DIAMETER: &str = "injector.hole_diameter";
const VOLUME: &str = "tank.volume";
const FUEL_MASS: &str = "tank.fuel_mass";
const MAIN: &str = "mains.pressure";

const QUESTIONS: [Question; 10] = [
    question(
        "fuel.composition",
        "Fuel?",
        "a name (`fuelwright fuels` lists them) or a blend in mole percent: propane:70,n-butane:30",
    ),
    question(
        "site.setting",
        "Indoor or outdoor?",
        "indoor: under a roof with walls; outdoor: in the open",
    ),
    question(
        "air.flow",
        "Air flow at full throttle?",
        "such as 40 g/s, 120 kg/h or 5 lb/min",
    ),
    question(
        "duties.equivalence_ratio",
        "Equivalence ratio at full throttle?",
        "fuel over the fuel that this air could just burn: 0.6 is lean, 1 burns all of both",
    ),
    question(
        "injector.holes",
        "Number of fuel holes?",
        "all holes together",
    ),
    question(
        "injector.pressure",
        "Pressure before the holes?",
        "by gauge: 1.0 bar(g), 15 psi(g), 20 mbar(g)",
    ),
    question(
        "duties.chamber_pressure",
        "Pressure of the chamber they blow into?",
        "by gauge: 5 mbar(g), 2 inH2O(g)",
    ),
    question(
        DIAMETER,
        "Diameter of a hole?",
        "such as 0.4 mm or 1/64 in; leave it empty to have it found",
    ),
    question(
        VOLUME,
        "Water capacity of the tank, or pressure of the main?",
        "a volume for a tank or cylinder, 26.2 L; a pressure for a main, 100 mbar(g)",
    ),
    question(FUEL_MASS, "Fuel in the tank?", "such as 9 kg or 20 lb"),
];

/// Asks all of them on the terminal.
///
/// # Errors
/// The person broke off, or the terminal failed.
pub fn ask(name: &str, library: &Library, colour: bool) -> Result<Answers, CliError> {
    let mut answers = Answers {
        name: name.to_owned(),
        given: Vec::new(),
        train: false,
    };
    let config = if colour {
        RenderConfig::default_colored()
    } else {
        RenderConfig::empty()
    };
    for (i, question) in QUESTIONS.iter().enumerate() {
        if question.key == FUEL_MASS && answers.given.iter().any(|(key, _)| *key == MAIN) {
            continue;
        }
        let check = {
            let (answers, library, key) = (answers.clone(), library.clone(), question.key);
            move |typed: &str| with(&answers, key, typed, &library)
        };
        let asks = format!("{}/{} {}", i + 1, QUESTIONS.len(), question.asks);
        let valid = {
            let check = check.clone();
            move |typed: &str| {
                Ok(match check(typed) {
                    Ok(_) => Validation::Valid,
                    Err(why) => Validation::Invalid(ErrorMessage::Custom(why)),
                })
            }
        };
        let prompt = Text::new(&asks)
            .with_render_config(config)
            .with_help_message(question.help)
            .with_validator(valid);
        let default = TEN.iter().find(|(key, _)| *key == question.key);
        let default = default.map(|(_, value)| value.trim_matches('"'));
        let typed = match default {
            Some(default) => prompt.with_default(default).prompt(),
            None => prompt.prompt(),
        };
        let typed = typed.map_err(|e| match e {
            InquireError::OperationCanceled | InquireError::OperationInterrupted => {
                CliError::BrokenOff
            }
            InquireError::IO(e) => CliError::Write(e.into()),
            other => CliError::NotAsked {
                why: other.to_string(),
            },
        })?;
        answers = check(&typed).map_err(|why| CliError::NotAsked { why })?;
    }
    Ok(answers)
}

/// The answers with one more, or what is wrong with it and what to type.
fn with(
    answers: &Answers,
    key: &'static str,
    typed: &str,
    library: &Library,
) -> Result<Answers, String> {
    let typed = typed.trim();
    let mut answers = answers.clone();
    if key == DIAMETER && typed.is_empty() {
        return Ok(answers);
    }
    let key = if key == VOLUME { supply(typed)? } else { key };
    answers.given.push((key, written(key, typed)));
    // what has not been asked yet stands as in the complete starter
    let mut whole = answers.clone();
    let later = TEN.iter().filter(|(path, _)| {
        let of_tank = path.starts_with("tank.") && key == MAIN;
        !of_tank && answers.given.iter().all(|(given, _)| given != path)
    });
    whole
        .given
        .extend(later.map(|(path, value)| (*path, (*value).to_owned())));
    match input::parse("rig.toml", &whole.file(), library) {
        Ok(_) => flows(&whole.given).map(|()| answers),
        Err(mistakes) => {
            let first = mistakes.list.first();
            let told = first.map(|d| match d.help.as_deref().map(without_example) {
                Some(help) if !help.is_empty() && !d.message.ends_with('?') => {
                    format!("{}: {help}", d.message)
                }
                _ => d.message.clone(),
            });
            Err(told.unwrap_or_default())
        }
    }
}

/// A help without the line of a rig file that it begins with: what to type says the help under the question.
fn without_example(help: &str) -> &str {
    let behind = help.strip_prefix("for example `");
    let behind = behind.and_then(|rest| Some(rest.split_once('`')?.1));
    behind.map_or(help, |rest| rest.trim_start_matches([',', ';', ' ', '(']))
}

/// Whether a tank or a main is meant, as the key to write.
fn supply(typed: &str) -> Result<&'static str, String> {
    if parse::<PressureLevel>(typed).is_ok() || parse::<PressureDifference>(typed).is_ok() {
        return Ok(MAIN);
    }
    let volume = parse::<Volume>(typed).map(|_| VOLUME);
    volume.map_err(|e| format!("{e}; for a main its pressure, such as 100 mbar(g)"))
}

/// Pressures that fall from one to the next.
const FALLING: [(&str, &str); 3] = [
    (MAIN, "of the main"),
    ("injector.pressure", "before the holes"),
    ("duties.chamber_pressure", "of the chamber"),
];

/// Whether fuel flows, or why not.
fn flows(given: &[(&str, String)]) -> Result<(), String> {
    let level = |key: &str| {
        let (_, value) = given.iter().find(|(path, _)| *path == key)?;
        let written = value.trim_matches('"');
        let level = parse::<PressureLevel>(written).ok()?;
        let level = level.absolute(AbsolutePressure::STANDARD_ATMOSPHERE).ok()?;
        Some((written.to_owned(), level))
    };
    let there = FALLING
        .iter()
        .filter_map(|(key, what)| Some((what, level(key)?)));
    let there: Vec<_> = there.collect();
    for pair in there.windows(2) {
        let [(upper, (high, p1)), (lower, (low, p2))] = pair else {
            continue;
        };
        if p2 >= p1 {
            return Err(format!(
                "no fuel flows: the pressure {upper} is {high}, that {lower} {low}"
            ));
        }
    }
    Ok(())
}

/// What was typed as the value of a key.
fn written(key: &str, typed: &str) -> String {
    let (table, name) = key.split_once('.').unwrap_or((key, ""));
    let about = TableAbout::named(table).map(TableAbout::own);
    let takes = about.and_then(|s| {
        s.fields
            .iter()
            .find(|f| f.key == name)
            .map(|f| f.takes.clone())
    });
    let plain = match takes {
        Some(Takes::Count | Takes::Number | Takes::Ratio | Takes::RatioRange) => {
            typed.parse::<f64>().is_ok()
        }
        _ => false,
    };
    if plain {
        typed.to_owned()
    } else {
        toml::Value::String(typed.to_owned()).to_string()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn answered(all: &[(&'static str, &str)]) -> Result<Answers, String> {
        let library = Library::embedded();
        let mut answers = Answers {
            name: "bench".to_owned(),
            given: Vec::new(),
            train: false,
        };
        for (key, typed) in all {
            answers = with(&answers, key, typed, &library)?;
        }
        Ok(answers)
    }

    #[test]
    fn a_wrong_answer_is_told_at_once_with_what_to_type() {
        for (key, typed, told) in [
            ("air.flow", "40", "g/s"),
            ("air.flow", "40 mm", "mass flow"),
            ("fuel.composition", "propan", "propane"),
            ("site.setting", "outside", "outdoor"),
            ("injector.pressure", "1 bar", "1 bar(g)"),
            ("injector.holes", "six", "whole number"),
            ("injector.holes", "0", "1"),
            ("duties.equivalence_ratio", "60", "0.01 to 10"),
            (DIAMETER, "0.4", "mm"),
            (VOLUME, "26", "L"),
            (VOLUME, "100 mbar", "mbar(g)"),
            (FUEL_MASS, "9 L", "kg"),
        ] {
            let said = answered(&[(key, typed)]).expect_err(typed);
            assert!(said.contains(told), "{key} {typed}: {said}");
        }
        let said = answered(&[("injector.pressure", "1 bar(g)"), (VOLUME, "50 mbar(g)")]);
        assert!(said.expect_err("too low").contains("no fuel flows"));
    }

    #[test]
    fn pressures_fall_from_the_main_to_the_chamber() {
        let said = answered(&[("injector.pressure", "3 mbar(g)")]).expect_err("too low");
        assert!(said.contains("of the chamber 5 mbar(g)"), "{said}");
    }

    #[test]
    fn numbers_stand_without_quotes_and_a_main_takes_the_place_of_a_tank() {
        let all = [
            ("injector.holes", "8"),
            ("duties.equivalence_ratio", "60 %"),
            (DIAMETER, " "),
            ("injector.pressure", "20 mbar(g)"),
            (VOLUME, "50 mbar(g)"),
        ];
        let answers = answered(&all).expect("all right");
        let given: Vec<_> = answers
            .given
            .iter()
            .map(|(k, v)| (*k, v.as_str()))
            .collect();
        let want = [
            ("injector.holes", "8"),
            ("duties.equivalence_ratio", "\"60 %\""),
            ("injector.pressure", "\"20 mbar(g)\""),
            (MAIN, "\"50 mbar(g)\""),
        ];
        assert_eq!(given, want);
    }
}
