//! The numbers of a rig file as they were given, whatever was made of them.

/// A key with its numbers.
#[derive(Debug, Clone, PartialEq)]
pub struct Given {
    /// Table it stands in, such as `tank`; of a part its kind, such as `hose`.
    pub table: String,
    /// Key.
    pub key: &'static str,
    /// Path of the key.
    pub path: String,
    /// Its numbers in SI units; pressures as a gauge at the site reads them.
    pub values: Vec<f64>,
}
