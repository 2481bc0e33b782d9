//! Reading a fuel file: shape, units' ranges, list lengths, formula against molar mass.

use super::Fuel;
use super::library::FuelError;

/// The fuel of a file, or what is wrong with it.
pub(super) fn read(file: &str, text: &str) -> Result<Fuel, FuelError> {
    toml::from_str(text).map_err(|e| FuelError::Malformed {
        file: file.to_owned(),
        message: e.to_string(),
    })
}
