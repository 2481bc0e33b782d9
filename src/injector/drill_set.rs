//! The drills that somebody has: series, names, sizes, or all sizes by a step.

use super::drills::{Drill, DrillCheck, DrillSeries, drills};
use crate::quantity::parse::parse;
use crate::quantity::show::rounded;
use crate::quantity::suggest::nearest;
use crate::quantity::told::errors;
use crate::quantity::{Length, QuantityError, metres};

/// Largest size that a step leads to: the largest drill of the table, m.
const LARGEST_M: f64 = 12.7e-3;
/// Finest step, m: drills and wires are not sold in finer ones.
const FINEST_M: f64 = 5e-6;
/// Most digits of a size in millimetres.
const DIGITS: usize = 5;

errors! {
    /// What is wrong with the word for a drill.
    pub enum DrillSetError {
        Unknown { word: String, suggestion: Option<String> } =>
            "`{}` is no drill{}; write series (metric, number, letter, fraction), names (`#60`, `1/16 in`) or sizes (`0.8 mm`) with commas between, or one size alone as the step between sizes",
            word, suggestion.map_or(String::new(), |s| format!(", did you mean `{s}`?"));
        Size(QuantityError);
        OutOfRange { word: String } =>
            "`{}` is no size of a drill here: they go up to 12.7 mm, in steps of 0.005 mm at least", word;
        NoDrill => "no drill is named";
    }
}

/// Drills by rising diameter: of the series, names and sizes that are named; one size alone is the step between sizes.
///
/// **Valid:** sizes up to 12.7 mm. **Source:** `iso235` for series and names.
///
/// # Errors
/// [`DrillSetError`].
///
/// ```
/// use fuelwright::injector::drill_set::drill_set;
/// let names = |words: &[&str]| -> Vec<String> {
///     drill_set(words).expect("drills").into_iter().map(|d| d.name).collect()
/// };
/// assert_eq!(names(&["#60", "0.8 mm"]), ["0.8 mm", "#60"]);
/// assert_eq!(names(&["4 mm"]), ["4 mm", "8 mm", "12 mm"]);
/// assert_eq!(drill_set(&["letter"]).expect("drills").len(), 26);
/// let wrong = drill_set(&["metrik"]).unwrap_err();
/// assert!(wrong.to_string().contains("did you mean `metric`?"));
/// ```
pub fn drill_set<S: AsRef<str>>(words: &[S]) -> Result<Vec<Drill>, DrillSetError> {
    let words = || {
        words
            .iter()
            .map(|w| w.as_ref().trim())
            .filter(|w| !w.is_empty())
    };
    let mut found: Vec<Drill> = Vec::new();
    let mut sizes: Vec<(&str, Length)> = Vec::new();
    for word in words() {
        let series = DrillSeries::ALL.into_iter().find(|s| {
            let stem = word.to_ascii_lowercase();
            s.name() == stem.strip_suffix('s').unwrap_or(&stem)
        });
        let named = drills().iter().find(|d| d.name.eq_ignore_ascii_case(word));
        match (series, named) {
            (Some(series), _) => {
                found.extend(drills().iter().filter(|d| d.series == series).cloned());
            }
            (None, Some(drill)) if drill.series != DrillSeries::Metric => found.push(drill.clone()),
            _ => sizes.push((word, size(word)?)),
        }
    }
    let alone = words().count() == 1;
    match sizes[..] {
        [(_, step)] if alone => found.extend(steps(step.value)),
        _ => found.extend(sizes.iter().map(|(_, d)| of_size(d.value))),
    }
    found.sort_by(|a, b| {
        let by_size = a.diameter.value.total_cmp(&b.diameter.value);
        by_size.then(a.series.cmp(&b.series))
    });
    found.dedup_by(|a, b| a.name == b.name);
    if found.is_empty() {
        return Err(DrillSetError::NoDrill);
    }
    Ok(found)
}

fn size(word: &str) -> Result<Length, DrillSetError> {
    let number = word.starts_with(|c: char| c.is_ascii_digit() || c == '.');
    match parse::<Length>(word) {
        Ok(d) if (FINEST_M..=LARGEST_M * (1.0 + 1e-9)).contains(&d.value) => Ok(d),
        Ok(_) => Err(DrillSetError::OutOfRange {
            word: word.to_owned(),
        }),
        Err(error) if number => Err(DrillSetError::Size(error)),
        Err(_) => {
            let series = DrillSeries::ALL.iter().map(|s| s.name());
            let names = drills().iter().map(|d| d.name.as_str());
            Err(DrillSetError::Unknown {
                word: word.to_owned(),
                suggestion: nearest(word, series)
                    .or_else(|| nearest(word, names))
                    .map(str::to_owned),
            })
        }
    }
}

fn of_size(d_m: f64) -> Drill {
    Drill {
        name: format!("{} mm", rounded(d_m * 1e3, DIGITS)),
        series: DrillSeries::Metric,
        diameter: metres(d_m),
        check: DrillCheck::Definition,
    }
}

#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "at most 2540"
)]
fn steps(step_m: f64) -> impl Iterator<Item = Drill> {
    let most = (LARGEST_M / step_m * (1.0 + 1e-9)).floor() as u32;
    (1..=most).map(move |i| of_size(step_m * f64::from(i)))
}
