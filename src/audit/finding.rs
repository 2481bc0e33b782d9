//! What a rule says: a finding with its value, limit, source and advice, or why it could not look.

use super::Signal;
use crate::quantity::show::{Units, number, show};
use crate::quantity::{AbsolutePressure, Kind};
use std::borrow::Cow;

/// Something a rule found.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// Id of the rule.
    pub id: &'static str,
    /// Name of the rule: what is wrong.
    pub name: &'static str,
    /// How much it matters.
    pub signal: Signal,
    /// What it comes from, where several places of one rule have it in common: told once, at the first of them.
    pub cause: Option<&'static str>,
    /// What it is about, in words: "hose `pigtail`", "duty `full`", "tank".
    pub subject: String,
    /// What it says, with places to fill; see [`filled`].
    pub says: Cow<'static, str>,
    /// Path of the key or table it is about, e.g. `duties.full`: the worst of its places.
    pub at: String,
    /// Every place it is found at, the worst first.
    pub places: Vec<String>,
    /// What was measured.
    pub measured: Measured,
    /// What it is held against.
    pub limit: Limit,
    /// Who sets the limit.
    pub source: Source,
    /// What to do.
    pub advice: String,
}

impl Finding {
    /// What it says: subject, figure, limit, consequence; then its other places.
    pub fn sentence(&self, units: Units) -> String {
        let (measured, limit) = (self.measured.show(units), self.limit.bare(units));
        filled(&self.says, &self.subject, &measured, &limit) + &others(&self.places)
    }
}

/// The other places of a finding, as a sentence behind its own.
fn others(places: &[String]) -> String {
    let name = |at: &String| {
        let steps: Vec<&str> = at.split('.').collect();
        match steps[..] {
            ["train" | "duties", name, ..] | [.., name] => name.replace('_', " "),
            [] => String::new(),
        }
    };
    let names: Vec<String> = places.iter().skip(1).map(name).collect();
    match names.len() {
        0 => String::new(),
        1..=3 => format!(" Also at {}.", names.join(", ")),
        n => format!(" Also at {n} more places."),
    }
}

/// A sentence with its places filled: `{it}` is the subject, `{measured}` the figure, `{limit}` what it is held
/// against. A place with a capital begins a sentence: `{It}`, `{Measured}`.
pub fn filled(template: &str, subject: &str, measured: &str, limit: &str) -> String {
    let it = of_subject(subject);
    let with = |text: String, place: &str, words: &str| {
        let (first, rest) = place.split_at(1);
        let begins = format!("{{{}{rest}}}", first.to_ascii_uppercase());
        text.replace(&begins, &capital(words))
            .replace(&format!("{{{place}}}"), words)
    };
    let text = with(template.to_owned(), "it", &it);
    let text = with(text, "measured", measured);
    with(text, "limit", limit)
}

/// A subject inside a sentence: a part by its kind and name, or by its name alone where that says the kind.
pub(crate) fn of_subject(subject: &str) -> String {
    let Some((kind, name)) = subject.split_once(" `") else {
        return format!("the {subject}");
    };
    let name = name.trim_end_matches('`');
    let says_kind = kind.split(' ').any(|word| name.contains(word));
    match kind {
        "duty" => format!("{kind} {name}"),
        _ if says_kind => {
            let name = name.replace(['-', '_'], " ");
            let valve = kind.ends_with("valve") && !name.contains("valve");
            format!("the {name}{}", if valve { " valve" } else { "" })
        }
        _ => format!("the {kind} {name}"),
    }
}

/// A text as a sentence: a capital first, a full stop last.
pub fn sentence(text: &str) -> String {
    let text = capital(text);
    let ends = text.is_empty() || text.ends_with(['.', '?', '!']);
    text + if ends { "" } else { "." }
}

/// The first sentence of an advice.
pub fn first_of(advice: &str) -> &str {
    let end = advice.find(". ").map_or(advice.len(), |i| i + 1);
    &advice[..end]
}

/// The name of a rule in words.
pub fn title(name: &str) -> String {
    capital(&name.replace('-', " "))
}

/// A text with its first letter as a capital.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(|c| c.to_uppercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}

/// A value that was measured or sets a limit.
#[derive(Debug, Clone, PartialEq)]
pub enum Measured {
    /// A quantity in SI units.
    Quantity(Kind, f64),
    /// A number without unit.
    Number(f64),
    /// A quantity in SI units, in words that say more than the figure.
    Worded(Kind, f64, String),
    /// Words.
    Text(String),
}

impl Measured {
    /// The figure in SI units, pressures absolute, and its unit; `None` where it is words alone.
    pub fn si(&self, air: AbsolutePressure) -> Option<(f64, &'static str)> {
        match self {
            Self::Quantity(Kind::GaugePressure, si) | Self::Worded(Kind::GaugePressure, si, _) => {
                Some((si + air.pascals(), Kind::AbsolutePressure.si_unit()))
            }
            Self::Quantity(kind, si) | Self::Worded(kind, si, _) => Some((*si, kind.si_unit())),
            Self::Number(x) => Some((*x, "")),
            Self::Text(_) => None,
        }
    }

    /// As text.
    pub fn show(&self, units: Units) -> String {
        match self {
            Self::Quantity(kind, si) => show(*kind, *si, units),
            Self::Number(x) => number(*x),
            Self::Worded(_, _, text) | Self::Text(text) => text.clone(),
        }
    }
}

impl From<&str> for Measured {
    fn from(text: &str) -> Self {
        Self::Text(text.to_owned())
    }
}

impl From<String> for Measured {
    fn from(text: String) -> Self {
        Self::Text(text)
    }
}

impl From<(Kind, f64)> for Measured {
    fn from((kind, si): (Kind, f64)) -> Self {
        Self::Quantity(kind, si)
    }
}

impl From<(Kind, f64, String)> for Measured {
    fn from((kind, si, words): (Kind, f64, String)) -> Self {
        Self::Worded(kind, si, words)
    }
}

/// What a value is held against.
#[derive(Debug, Clone, PartialEq)]
pub enum Limit {
    /// It should be this or more.
    AtLeast(Measured),
    /// It should be this or less.
    AtMost(Measured),
    /// It should be so.
    Should(&'static str),
    /// It should be so, and the figure behind the words.
    Figure(Measured),
}

impl Limit {
    /// This figure or less.
    pub fn at_most(kind: Kind, si: f64) -> Self {
        Self::AtMost(Measured::Quantity(kind, si))
    }

    /// This figure or more.
    pub fn at_least(kind: Kind, si: f64) -> Self {
        Self::AtLeast(Measured::Quantity(kind, si))
    }

    /// Words with the figure behind them, in SI units.
    pub fn of_words(kind: Kind, si: f64, words: impl Into<String>) -> Self {
        Self::Figure(Measured::Worded(kind, si, words.into()))
    }

    /// The figure in it, if it is one.
    pub fn figure(&self) -> Option<&Measured> {
        match self {
            Self::AtLeast(m) | Self::AtMost(m) | Self::Figure(m) => Some(m),
            Self::Should(_) => None,
        }
    }
    /// The figure or words alone, as a sentence names it.
    pub fn bare(&self, units: Units) -> String {
        match self {
            Self::AtLeast(m) | Self::AtMost(m) | Self::Figure(m) => m.show(units),
            Self::Should(text) => (*text).to_owned(),
        }
    }

    /// As text.
    pub fn show(&self, units: Units) -> String {
        match self {
            Self::AtLeast(m) => format!("at least {}", m.show(units)),
            Self::AtMost(m) => format!("at most {}", m.show(units)),
            Self::Should(text) => (*text).to_owned(),
            Self::Figure(m) => m.show(units),
        }
    }
}

/// Who sets a limit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Source {
    /// The rig file, by the path of a key.
    Input(Cow<'static, str>),
    /// A publication, by its key.
    Published(&'static str),
    /// A publication that nobody has looked up, by its key.
    Unconfirmed(&'static str),
    /// We do, and why.
    Choice(&'static str),
    /// What is computed or given, in words.
    Words(&'static str),
}

impl Source {
    /// The rig file, by a key that is known beforehand.
    pub const fn given(key: &'static str) -> Self {
        Self::Input(Cow::Borrowed(key))
    }

    /// The rig file, by a key of a part of the train.
    pub fn of_part(part: &str, key: &str) -> Self {
        Self::Input(format!("train.{part}.{key}").into())
    }

    /// As text.
    pub fn show(&self) -> String {
        match self {
            Self::Input(path) => format!("given in the rig file as `{path}`"),
            Self::Published(key) => format!("[{key}]"),
            Self::Unconfirmed(key) => format!("[{key}], from memory: not confirmed"),
            Self::Choice(why) => format!("our choice: {why}"),
            Self::Words(words) => (*words).to_owned(),
        }
    }
}

/// Something a rule could not check.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotChecked {
    /// Id of the rule.
    pub id: &'static str,
    /// Name of the rule.
    pub name: &'static str,
    /// Why not.
    pub because: String,
}
