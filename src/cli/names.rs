//! Names that commands no longer have.

const RENAMED: &[(&str, &str)] = &[("compare", "second-opinion")];

/// The name that a command has now.
pub fn renamed(typed: &str) -> Option<&'static str> {
    let (_, new) = RENAMED.iter().find(|(old, _)| *old == typed)?;
    Some(new)
}
