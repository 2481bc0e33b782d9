//! One value of a rig file changed, everything else left as it was written.

use super::{Loaded, parse};
use crate::fuel::Library;
use crate::input::diagnostic::Diagnostics;
use crate::quantity::parse::number_and_unit;
use crate::quantity::suggest::nearest;
use crate::quantity::told::errors;

/// Digits behind the first of a changed value.
const DIGITS: usize = 11;

/// A number of a rig file that can be changed.
#[derive(Debug, Clone, PartialEq)]
pub struct Knob<'a> {
    loaded: &'a Loaded,
    /// Path of the key, such as `duties.full.equivalence_ratio`.
    pub key: String,
    /// The value as it stands in the file.
    pub written: &'a str,
}

errors! {
    /// Why a key cannot be changed.
    pub enum EditError {
        NoSuchKey { key: String, path: String, suggestion: Option<String> } =>
            "`{}` is not in {}{}", key, path, how_to_name(suggestion);
        Table { key: String } =>
            "`{key}` is a table: name one of its keys behind it, as in `{key}.key`";
        NotANumber { key: String, written: String } => "`{key}` is not a number: it is {written}";
        NoNumber { text: String } => "`{text}` is not a number with its unit";
        TwoUnits { from: String, to: String } =>
            "`{from}` and `{to}` are in two units: write both in one";
    }
}

fn how_to_name(nearest: Option<String>) -> String {
    nearest.map_or_else(
        || "; write it as table, name and key, such as `duties.full.equivalence_ratio` or `site.ambient_temperature`".to_owned(),
        |key| format!(", did you mean `{key}`?"),
    )
}

impl<'a> Knob<'a> {
    /// The number of a rig file that stands at a path.
    ///
    /// # Errors
    /// [`EditError`].
    pub fn new(loaded: &'a Loaded, key: &str) -> Result<Self, EditError> {
        let asked = key;
        let key = &indexed(key);
        let Some(written) = loaded.written(key) else {
            if loaded.is_table(key) {
                return Err(EditError::Table {
                    key: asked.to_owned(),
                });
            }
            let numbers: Vec<&str> = loaded
                .values()
                .filter(|(_, written)| is_number(written))
                .map(|(key, _)| key)
                .collect();
            return Err(EditError::NoSuchKey {
                key: asked.to_owned(),
                path: loaded.path.clone(),
                suggestion: nearest(key, numbers).map(dotted),
            });
        };
        if !is_number(written) {
            return Err(EditError::NotANumber {
                key: asked.to_owned(),
                written: first_words(written),
            });
        }
        Ok(Self {
            loaded,
            key: key.clone(),
            written,
        })
    }

    /// The rig with another value here, read and checked as if it had been written so.
    ///
    /// # Errors
    /// What the reader says.
    pub fn set(&self, value: &str, library: &Library) -> Result<Loaded, Diagnostics> {
        let plain = value.parse::<f64>().is_ok();
        let value = if plain {
            value.to_owned()
        } else {
            toml::Value::String(value.to_owned()).to_string()
        };
        parse(
            &self.loaded.path,
            &self.loaded.with(&[(&self.key, &value)]),
            library,
        )
    }

    /// The value that a rig has here, as the reader has it: a number in SI units, and the unit (empty for a
    /// plain number).
    pub fn in_si(&self, rig: &Loaded, library: &Library) -> Option<(f64, String)> {
        // the writer of rig files writes SI units only
        let plain = parse(&rig.path, &rig.raw.write(), library).ok()?;
        let written = plain.written(&self.key)?.trim_matches('"');
        number_and_unit(written).map(|(x, unit)| (x, unit.to_owned()))
    }
}

/// A path with the places of nameless tables behind points, as people write it: `limits.0.material`.
pub fn dotted(path: &str) -> String {
    path.replace('[', ".").replace(']', "")
}

/// The path as the reader has it: places in brackets.
fn indexed(path: &str) -> String {
    let mut out = String::new();
    for (i, word) in path.split('.').enumerate() {
        let place = !word.is_empty() && word.bytes().all(|b| b.is_ascii_digit());
        if place {
            out.push('[');
            out.push_str(word);
            out.push(']');
        } else {
            if i > 0 {
                out.push('.');
            }
            out.push_str(word);
        }
    }
    out
}

/// The start of a value, short enough for a message.
fn first_words(written: &str) -> String {
    const LONGEST: usize = 40;
    let line = written.lines().next().unwrap_or_default();
    if line.chars().count() <= LONGEST {
        return line.to_owned();
    }
    let head: String = line.chars().take(LONGEST).collect();
    format!("{head}…")
}

/// Whether a value of TOML is a number, or text with a number and perhaps a unit.
fn is_number(written: &str) -> bool {
    let inside = written.strip_prefix('"').and_then(|w| w.strip_suffix('"'));
    let text = inside.unwrap_or(written);
    number_and_unit(text)
        .is_some_and(|(x, unit)| x.is_finite() && (inside.is_some() || unit.is_empty()))
}

/// A number without the noise of its last digits.
fn rounded(x: f64) -> String {
    let short: f64 = format!("{x:.DIGITS$e}").parse().unwrap_or(x);
    short.to_string()
}

/// Evenly spaced values from one to another, both included, in the unit they are given in.
///
/// # Errors
/// [`EditError`].
pub fn between(from: &str, to: &str, steps: usize) -> Result<Vec<String>, EditError> {
    let read = |text: &str| -> Result<(f64, String), EditError> {
        number_and_unit(text)
            .map(|(x, unit)| (x, unit.to_owned()))
            .ok_or_else(|| EditError::NoNumber {
                text: text.to_owned(),
            })
    };
    let (a, unit) = read(from)?;
    let (b, other) = read(to)?;
    if unit != other {
        return Err(EditError::TwoUnits {
            from: from.to_owned(),
            to: to.to_owned(),
        });
    }
    let last = steps.max(2) - 1;
    let value = |i: usize| a + (b - a) * i as f64 / last as f64;
    Ok((0..=last)
        .map(|i| {
            let number = rounded(value(i));
            if unit.is_empty() {
                number
            } else {
                format!("{number} {unit}")
            }
        })
        .collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::input::parse;

    #[test]
    fn a_key_is_set_and_read_back_in_si() -> Result<(), Box<dyn std::error::Error>> {
        let library = Library::embedded();
        let text = include_str!("../../examples/coupon-soak-rig.toml");
        let loaded = parse("rig.toml", text, &library)?;
        let knob = Knob::new(&loaded, "site.ambient_temperature")?;
        assert_eq!(knob.written, "\"12 degC\"");
        let warm = knob.set("20 degC", &library)?;
        assert!((warm.rig.site.ambient.value - 293.15).abs() < 1e-9);
        let knob = Knob::new(&loaded, "train.regulator.set_pressure")?;
        let set = knob.set("1.6 barg", &library)?;
        let (si, unit) = knob.in_si(&set, &library).expect("a number");
        assert!((si - 1.6e5).abs() < 1e-6);
        assert_eq!(unit, "Pa(g)");
        let mistyped = Knob::new(&loaded, "site.ambient_temperatur").expect_err("no key");
        let said = mistyped.to_string();
        assert!(
            said.contains("did you mean `site.ambient_temperature`"),
            "{said}"
        );
        Ok(())
    }

    #[test]
    fn paths_have_points_and_steps_are_even() -> Result<(), EditError> {
        assert_eq!(dotted("limits[0].material"), "limits.0.material");
        let thirds = between("5 degC", "25 degC", 3)?;
        assert_eq!(thirds, ["5 degC", "15 degC", "25 degC"]);
        assert_eq!(between("0.2", "0.3", 2)?, ["0.2", "0.3"]);
        assert!(between("5 degC", "300 K", 3).is_err());
        Ok(())
    }
}
