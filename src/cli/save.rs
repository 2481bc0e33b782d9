//! Writing a file that the program made before, and no other.

use super::error::{CliError, FlagProblem};
use std::path::Path;

/// Refuses a name for a drawing that does not end in `.svg`.
///
/// # Errors
/// [`CliError::Flag`].
pub fn drawing(flag: &'static str, path: &Path) -> Result<(), CliError> {
    if path
        .extension()
        .is_some_and(|e| e.eq_ignore_ascii_case("svg"))
    {
        return Ok(());
    }
    Err(CliError::Flag {
        flag,
        problem: FlagProblem::NoDrawing {
            given: path.display().to_string(),
        },
    })
}

/// Writes a text to a file. What is there is written over only if it begins with `lead`, as every file of
/// its kind does.
///
/// # Errors
/// A file of another kind is there, or it cannot be written.
pub fn save(path: &Path, text: &str, lead: &str) -> Result<(), CliError> {
    let cannot = |source| CliError::Create {
        path: path.to_owned(),
        source,
    };
    match std::fs::read(path) {
        Ok(old) if !old.is_empty() && !old.starts_with(lead.as_bytes()) => {
            return Err(CliError::NotOurs {
                path: path.to_owned(),
            });
        }
        Err(e) if e.kind() != std::io::ErrorKind::NotFound => return Err(cannot(e)),
        _ => {}
    }
    std::fs::write(path, text).map_err(cannot)
}
