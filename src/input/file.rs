//! A file read whole: the one place of the library that opens one. Only regular files, and none above a limit: a
//! pipe would block, a device never end, and either would take the program with it.

use super::diagnostic::line_and_column;
use std::fs::{File, Metadata};
use std::io::Read;
use std::path::Path;

/// Why a file is not read.
#[derive(Debug, thiserror::Error)]
pub enum FileError {
    /// A folder, pipe, socket or device.
    #[error("it is {what}, not a file")]
    NoFile {
        /// What it is.
        what: &'static str,
    },
    /// Larger than anything of its kind.
    #[error("it is larger than {most} bytes, the most that is read")]
    TooLarge {
        /// Limit.
        most: u64,
    },
    /// Not text.
    #[error("it is not UTF-8 text from line {line}, column {column} on: save it as UTF-8")]
    NoText {
        /// Line of the first byte that is none.
        line: usize,
        /// Column.
        column: usize,
    },
    /// What the system says.
    #[error(transparent)]
    System(#[from] std::io::Error),
}

/// What is not a regular file, in words; `None` for one.
pub fn no_file(about: &Metadata) -> Option<&'static str> {
    match () {
        () if about.is_file() => None,
        () if about.is_dir() => Some("a folder"),
        () => Some("a pipe, socket or device"),
    }
}

/// Bytes of a file of at most so many.
///
/// # Errors
/// [`FileError`].
pub fn bytes(path: &Path, most: u64) -> Result<Vec<u8>, FileError> {
    let fits = |about: &Metadata| match no_file(about) {
        Some(what) => Err(FileError::NoFile { what }),
        None if about.len() > most => Err(FileError::TooLarge { most }),
        None => Ok(()),
    };
    // before opening, which waits for the other end of a pipe; and again, should another file stand there by now
    fits(&std::fs::metadata(path)?)?;
    let file = File::open(path)?;
    fits(&file.metadata()?)?;
    let mut bytes = Vec::new();
    file.take(most.saturating_add(1)).read_to_end(&mut bytes)?;
    if bytes.len() as u64 > most {
        return Err(FileError::TooLarge { most });
    }
    Ok(bytes)
}

/// Text of a file of at most so many bytes.
///
/// # Errors
/// [`FileError`].
pub fn text(path: &Path, most: u64) -> Result<String, FileError> {
    String::from_utf8(bytes(path, most)?).map_err(|e| {
        let good = e.utf8_error().valid_up_to();
        let read = String::from_utf8_lossy(&e.as_bytes()[..good]);
        let (line, column) = line_and_column(&read, good);
        FileError::NoText { line, column }
    })
}
