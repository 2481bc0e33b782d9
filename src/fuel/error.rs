//! What can be wrong with a fuel's name or a fuel's file.

use crate::quantity::show::short;
use crate::quantity::told::errors;

errors! {
    /// Why a fuel could not be had.
    pub enum FuelError {
        Unknown { name: String, suggestion: Option<String> } =>
            "there is no fuel named `{}`{}", name, did_you_mean(suggestion.as_ref());
        Refused { name: String, why: &'static str } => "`{}` is not dealt with: {}", name, why;
        InFile { file: String, line: Option<usize>, mistake: Box<Mistake> } =>
            "fuel file `{}`{}: {}",
            file, line.map_or(String::new(), |n| format!(", line {n}")), &mistake;
    }
}

/// One thing wrong in a file.
#[derive(Debug, Clone, PartialEq)]
pub struct Mistake {
    /// Path of the key, such as `equation.residual[1].n`; empty where the whole file is meant.
    pub key: String,
    /// What is wrong with it.
    pub problem: Problem,
}

impl Mistake {
    /// A problem of a key.
    pub fn new(key: impl Into<String>, problem: Problem) -> Self {
        Self {
            key: key.into(),
            problem,
        }
    }
}

impl std::fmt::Display for Mistake {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        if !self.key.is_empty() {
            write!(f, "`{}` ", self.key)?;
        }
        self.problem.fmt(f)
    }
}

errors! {
    /// What is wrong with a key of a fuel file.
    pub enum Problem {
        Syntax { message: String } => "it is not TOML: {message}";
        TooMany { what: &'static str, count: usize, most: usize } =>
            "holds {count} {what}; at most {most} are read";
        Count { what: &'static str, count: usize, wanted: usize } =>
            "holds {count} {what}, but must hold {wanted}";
        Missing { needed_by: Option<&'static str> } =>
            "is missing{}", needed_by.map_or(String::new(), |by| format!(", and {by} needs it"));
        UnknownKey { suggestion: Option<String> } =>
            "is not a key that is read here{}", did_you_mean(suggestion.as_ref());
        Type { found: String, wanted: &'static str } => "is {found}, but must be {wanted}";
        Shape { message: String } => "cannot be read: {message}";
        Word { word: String, accepted: Vec<String> } =>
            "is `{}`, but must be {}", word, one_of(&accepted);
        OutOfRange { value: f64, must_be: String, meant: &'static str } =>
            "is {}, but must be {}: {}", short(value), must_be, meant;
        ListLengths { length: usize, partner: &'static str, expected: usize } =>
            "has {length} numbers, but its partner `{partner}` has {expected}";
        Gives {
            what: String,
            value: f64,
            unit: &'static str,
            must_be: String,
            look_at: &'static str,
        } =>
            "gives {} of {}, but it must be {}: {}", what, with_unit(value, unit), must_be, look_at;
        GivesNone { what: String, look_at: String } => "gives no {what}: {look_at}";
        UnknownSource { source_key: String } =>
            "names the source `{source_key}`, which sources.toml does not have";
        NameTaken { name: String, by: String } => "is `{name}`, a name that {by} has already";
        BadName { name: String, most: usize } =>
            "is `{}`, which cannot be a name: use lower case, up to {} letters, without `:`, `,`, `;` and `@`",
            &name.escape_debug(), most;
        BadText { what: &'static str, most: usize } =>
            "holds {what}: write plain text of up to {most} letters in one line";
        Dangling { what: &'static str, name: String } =>
            "names the {what} `{name}`, which is not there";
    }
}

fn did_you_mean(s: Option<&String>) -> String {
    s.map_or(String::new(), |s| format!("; did you mean `{s}`?"))
}

/// A number with its unit; what comes of no sum is said in words.
fn with_unit(value: f64, unit: &str) -> String {
    match (value.is_finite(), unit) {
        (false, _) => "no finite size".to_owned(),
        (true, "") => short(value),
        (true, unit) => format!("{} {unit}", short(value)),
    }
}

fn one_of(words: &[String]) -> String {
    let quoted: Vec<String> = words.iter().map(|w| format!("`{w}`")).collect();
    quoted.join(" or ")
}
