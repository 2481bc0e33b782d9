//! What can be wrong with a fuel's name or a fuel's file.

use crate::quantity::show::short;

/// Why a fuel could not be had.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum FuelError {
    /// No such fuel.
    #[error("there is no fuel named `{name}`{}", did_you_mean(suggestion.as_ref()))]
    Unknown {
        /// As typed.
        name: String,
        /// Nearest name in the library.
        suggestion: Option<String>,
    },
    /// A mistake in a file.
    #[error("fuel file `{file}`{}: {mistake}", line.map_or(String::new(), |n| format!(", line {n}")))]
    InFile {
        /// File.
        file: String,
        /// Line of the key, or of the table around it.
        line: Option<usize>,
        /// What is wrong.
        mistake: Box<Mistake>,
    },
}

/// One thing wrong in a file.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{}{problem}", if key.is_empty() { String::new() } else { format!("`{key}` ") })]
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

/// What is wrong with a key of a fuel file.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Problem {
    /// No TOML.
    #[error("it is not TOML: {message}")]
    Syntax {
        /// What the parser says.
        message: String,
    },
    /// More of something than is read.
    #[error("holds {count} {what}; at most {most} are read")]
    TooMany {
        /// What is counted.
        what: &'static str,
        /// How many.
        count: usize,
        /// Limit.
        most: usize,
    },
    /// Another number of something than is needed.
    #[error("holds {count} {what}, but must hold {wanted}")]
    Count {
        /// What is counted.
        what: &'static str,
        /// How many.
        count: usize,
        /// How many are needed.
        wanted: usize,
    },
    /// A key that is not there.
    #[error("is missing{}", needed_by.map_or(String::new(), |by| format!(", and {by} needs it")))]
    Missing {
        /// What needs it, where that is not the table it belongs to.
        needed_by: Option<&'static str>,
    },
    /// A key that means nothing.
    #[error("is not a key that is read here{}", did_you_mean(suggestion.as_ref()))]
    UnknownKey {
        /// Nearest key that is.
        suggestion: Option<String>,
    },
    /// A value of another type.
    #[error("is {found}, but must be {wanted}")]
    Type {
        /// What stands there.
        found: String,
        /// What belongs there.
        wanted: &'static str,
    },
    /// A table that cannot be read.
    #[error("cannot be read: {message}")]
    Shape {
        /// What the reader says.
        message: String,
    },
    /// A word that is none of those accepted.
    #[error("is `{word}`, but must be {}", one_of(accepted))]
    Word {
        /// As written.
        word: String,
        /// Accepted words.
        accepted: Vec<String>,
    },
    /// A number outside what it can be.
    #[error("is {}, but must be {must_be}: {meant}", short(*value))]
    OutOfRange {
        /// Value.
        value: f64,
        /// What is accepted.
        must_be: String,
        /// What the key stands for.
        meant: &'static str,
    },
    /// Two lists that belong together have different lengths.
    #[error("has {length} numbers, but its partner `{partner}` has {expected}")]
    ListLengths {
        /// Numbers in it.
        length: usize,
        /// First list of the group.
        partner: &'static str,
        /// Numbers in that.
        expected: usize,
    },
    /// A property that the coefficients give and no fluid has.
    #[error("gives {what} of {}, but it must be {must_be}: {look_at}", with_unit(*value, unit))]
    Gives {
        /// Property, with the state it is at.
        what: String,
        /// Value.
        value: f64,
        /// Its unit.
        unit: &'static str,
        /// What is accepted.
        must_be: String,
        /// Where the mistake may be.
        look_at: &'static str,
    },
    /// A property that the coefficients do not give at all.
    #[error("gives no {what}: {look_at}")]
    GivesNone {
        /// Property, with the state it was asked at.
        what: String,
        /// Where the mistake may be.
        look_at: String,
    },
    /// A source key that no sources file explains.
    #[error("names the source `{source_key}`, which sources.toml does not have")]
    UnknownSource {
        /// Key.
        source_key: String,
    },
    /// A name or key that something else already has.
    #[error("is `{name}`, a name that {by} has already")]
    NameTaken {
        /// Name, synonym or key.
        name: String,
        /// What has it.
        by: String,
    },
    /// A name with characters that compositions need for themselves, or capitals.
    #[error(
        "is `{}`, which cannot be a name: use lower case, up to {most} letters, without `:`, `,`, `;` and `@`",
        name.escape_debug()
    )]
    BadName {
        /// Name or synonym.
        name: String,
        /// Most letters.
        most: usize,
    },
    /// Text that cannot be printed.
    #[error("holds {what}: write plain text of up to {most} letters in one line")]
    BadText {
        /// What is wrong with it.
        what: &'static str,
        /// Most letters.
        most: usize,
    },
    /// A pair, blend or surrogate that names a fuel or departure function that is not there.
    #[error("names the {what} `{name}`, which is not there")]
    Dangling {
        /// Kind of thing named.
        what: &'static str,
        /// Name.
        name: String,
    },
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
