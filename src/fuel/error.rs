//! What can be wrong with a fuel's name or a fuel's file.

use super::SourceKey;
use crate::quantity::printable::LONGEST_NAME;

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
    /// The file is no TOML of the shape wanted: a field missing, unknown or of the wrong type.
    #[error("fuel file `{file}` cannot be read: {message}")]
    Malformed {
        /// File.
        file: String,
        /// What the reader says, with the line.
        message: String,
    },
    /// A number outside what it can be.
    #[error("fuel file `{file}`: `{field}` is {value}, but must be {must_be}")]
    OutOfRange {
        /// File.
        file: String,
        /// Field.
        field: String,
        /// Value.
        value: f64,
        /// What is accepted.
        must_be: &'static str,
    },
    /// Two lists that belong together have different lengths.
    #[error("fuel file `{file}`: `{field}` has {length} numbers, but its partner has {expected}")]
    ListLengths {
        /// File.
        file: String,
        /// Field.
        field: String,
        /// Numbers in it.
        length: usize,
        /// Numbers in the first list of the group.
        expected: usize,
    },
    /// Molar mass does not follow from the formula.
    #[error(
        "fuel file `{file}`: molar mass {stated_kg_mol} kg/mol, but the formula gives {formula_kg_mol:.7} kg/mol"
    )]
    MolarMass {
        /// File.
        file: String,
        /// In the file, kg/mol.
        stated_kg_mol: f64,
        /// From the formula, kg/mol.
        formula_kg_mol: f64,
    },
    /// A part of the file that its kind needs is missing.
    #[error("fuel file `{file}`: `{field}` is missing, and {needed_by} needs it")]
    Missing {
        /// File.
        file: String,
        /// Table or field.
        field: &'static str,
        /// Which kind of fuel needs it.
        needed_by: &'static str,
    },
    /// A source key that no sources file explains.
    #[error(
        "fuel file `{file}`: `{field}` names the source `{key}`, which sources.toml does not have"
    )]
    UnknownSource {
        /// File.
        file: String,
        /// Field.
        field: String,
        /// Key.
        key: SourceKey,
    },
    /// A name that another fuel already has.
    #[error("fuel file `{file}`: the name `{name}` is taken by `{by}`")]
    NameTaken {
        /// File.
        file: String,
        /// Name or synonym.
        name: String,
        /// Fuel that has it.
        by: String,
    },
    /// A name with characters that compositions need for themselves, or capitals.
    #[error(
        "fuel file `{file}`: `{name}` cannot be a fuel name; use up to {LONGEST_NAME} letters of lower case without `:`, `,`, `;`, `@` and control characters"
    )]
    BadName {
        /// File.
        file: String,
        /// Name or synonym.
        name: String,
    },
    /// Heating value does not follow from the enthalpy of formation.
    #[error(
        "fuel file `{file}`: gross heating value {stated_j_mol} J/mol, but the enthalpy of formation gives {formation_j_mol:.0} J/mol"
    )]
    HeatingValue {
        /// File.
        file: String,
        /// In the file, J/mol.
        stated_j_mol: f64,
        /// From the enthalpy of formation, J/mol.
        formation_j_mol: f64,
    },
    /// A pair, blend or surrogate that names a fuel or departure function that is not there.
    #[error("fuel file `{file}`: there is no {what} named `{name}`")]
    Dangling {
        /// File.
        file: String,
        /// Kind of thing named.
        what: &'static str,
        /// Name.
        name: String,
    },
}

fn did_you_mean(s: Option<&String>) -> String {
    s.map_or(String::new(), |s| format!("; did you mean `{s}`?"))
}
