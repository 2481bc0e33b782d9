//! What a value of a record is made from, and what stands behind it.

use super::{Row, list};
use crate::quantity::{AbsolutePressure, FlowCoefficient, GaugePressure, Kind, PressureDifference};
use serde_json::{Value as Json, json};
use std::fmt::Display;
use uom::si::{Dimension, Quantity, Units};

/// A value on its way to a cell and to JSON.
#[derive(Debug, Clone)]
pub(crate) enum Raw {
    None,
    Number(f64),
    Of(Kind, f64),
    Count(u64),
    Flag(bool),
    Text(String),
    Row(Row),
    Rows(Vec<Row>),
    Counts(Vec<(&'static str, u32)>),
    Any(Json),
}

impl Raw {
    pub(super) fn json(&self) -> Json {
        match self {
            Self::None => Json::Null,
            Self::Number(x) | Self::Of(_, x) => number(*x),
            Self::Count(n) => json!(n),
            Self::Flag(yes) => json!(yes),
            Self::Text(text) => json!(text),
            Self::Row(row) => Json::Object(row.json()),
            Self::Rows(rows) => list(rows),
            Self::Counts(by) => by.iter().map(|(name, n)| (*name, *n)).collect(),
            Self::Any(any) => any.clone(),
        }
    }
}

macro_rules! raw {
    ($($from:ty, |$x:pat_param| $raw:expr;)+) => {$(
        impl From<$from> for Raw {
            fn from($x: $from) -> Self {
                $raw
            }
        }
    )+};
}

raw! {
    f64, |x| Self::Number(x);
    (Kind, f64), |(kind, si)| Self::Of(kind, si);
    AbsolutePressure, |p| Self::Number(p.pascals());
    GaugePressure, |p| Self::Number(p.pascals());
    PressureDifference, |p| Self::Number(p.pascals());
    FlowCoefficient, |k| Self::Number(k.kv());
    usize, |n| Self::Count(n as u64);
    u64, |n| Self::Count(n);
    u32, |n| Self::Count(u64::from(n));
    bool, |yes| Self::Flag(yes);
    String, |text| Self::Text(text);
    &str, |text| Self::Text(text.to_owned());
    &String, |text| Self::Text(text.clone());
    Row, |row| Self::Row(row);
    Vec<Row>, |rows| Self::Rows(rows);
    Vec<(&'static str, u32)>, |by| Self::Counts(by);
    Json, |any| Self::Any(any);
    Vec<String>, |texts| Self::Any(json!(texts));
    Vec<&str>, |texts| Self::Any(json!(texts));
    Vec<f64>, |all| Self::Any(all.into_iter().map(number).collect());
    Vec<(String, f64)>, |by| Self::Any(by.into_iter().map(|(name, x)| (name, number(x))).collect());
    &[String], |texts| Self::Any(json!(texts));
    &Vec<String>, |texts| Self::Any(json!(texts));
}

impl<D: Dimension + ?Sized, U: Units<f64> + ?Sized> From<Quantity<D, U, f64>> for Raw {
    fn from(x: Quantity<D, U, f64>) -> Self {
        Self::Number(x.value)
    }
}

impl<T: Into<Self>> From<Option<T>> for Raw {
    fn from(x: Option<T>) -> Self {
        x.map_or(Self::None, Into::into)
    }
}

impl<T: Copy + Into<Self>, E> From<&Result<T, E>> for Raw {
    fn from(x: &Result<T, E>) -> Self {
        x.as_ref().ok().copied().into()
    }
}

/// A remark behind a fact, if there is one.
pub(crate) fn words(note: impl Into<Raw>) -> Option<String> {
    match note.into() {
        Raw::Text(text) => Some(text),
        _ => None,
    }
}

/// Ends of a band, SI, if it has both.
pub(crate) fn ends<T: Into<Raw>>((low, high): (T, T)) -> Option<(f64, f64)> {
    match (low.into(), high.into()) {
        (Raw::Number(low), Raw::Number(high)) => Some((low, high)),
        _ => None,
    }
}

/// A value, or words where there is none.
pub(crate) fn or_words(value: impl Into<Raw>, none: &str) -> Raw {
    match value.into() {
        Raw::None => none.into(),
        value => value,
    }
}

/// A value, or why there is none.
pub(crate) fn or_why<T: Copy + Into<Raw>, E: Display>(value: &Result<T, E>, none: &str) -> Raw {
    match value {
        Ok(value) => (*value).into(),
        Err(why) => format!("{none}: {why}").into(),
    }
}

/// Each of them once, in the order of their first.
pub(crate) fn each_once<T: PartialEq>(all: impl Iterator<Item = T>) -> Vec<T> {
    all.fold(Vec::new(), |mut seen, one| {
        if !seen.contains(&one) {
            seen.push(one);
        }
        seen
    })
}

/// A band, where it is one.
pub(crate) fn wide<T: PartialOrd>(low: T, high: T) -> (Option<T>, Option<T>) {
    if high > low {
        (Some(low), Some(high))
    } else {
        (None, None)
    }
}

/// Band of a value with a relative half-width; none for zero.
pub(crate) fn within(si: f64, fraction: f64) -> (Option<f64>, Option<f64>) {
    let half = (fraction > 0.0).then_some(si.abs() * fraction);
    (half.map(|half| si - half), half.map(|half| si + half))
}

/// A number with all its digits. JSON has no word for a number that is not finite: `null` stands for it, and for none.
pub(crate) fn number(x: impl Into<Option<f64>>) -> Json {
    // minus zero is zero
    let finite = x.into().and_then(|x| serde_json::Number::from_f64(x + 0.0));
    finite.map_or(Json::Null, Json::Number)
}
