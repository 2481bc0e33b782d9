//! A file read whole: the one place of the library that opens one. Only regular files, and none above a limit: a
//! pipe would block, a device never end, and either would take the program with it.

use super::diagnostic::line_and_column;
use crate::quantity::sentence::{Sentence, Told, displayed};
use crate::quantity::told::errors;
use std::fs::{File, Metadata};
use std::io::Read;
use std::path::Path;

errors! {
    /// Why a file is not read.
    pub enum FileError {
        NoFile { what: &'static str } => "it is {what}, not a file";
        TooLarge { most: u64 } => "it is larger than {most} bytes, the most that is read";
        NoText { line: usize, column: usize } =>
            "it is not UTF-8 text from line {line}, column {column} on: save it as UTF-8";
        System(SystemError);
    }
}

/// What the system says of a file.
#[derive(Debug, Clone, PartialEq)]
pub struct SystemError {
    /// Its kind.
    pub kind: std::io::ErrorKind,
    /// Its own words.
    pub said: String,
}

impl From<std::io::Error> for SystemError {
    fn from(error: std::io::Error) -> Self {
        Self {
            kind: error.kind(),
            said: error.to_string(),
        }
    }
}

/// In words that say what to do.
impl Told for SystemError {
    fn told(&self) -> Sentence {
        use std::io::ErrorKind::{
            AlreadyExists, IsADirectory, NotADirectory, NotFound, PermissionDenied,
            ReadOnlyFilesystem, StorageFull,
        };
        let known = match self.kind {
            NotFound => {
                "there is no such file or folder: look at the name, or make the folder first"
            }
            AlreadyExists => {
                "it is there already and is kept: give another name, or move it away first"
            }
            IsADirectory => "it is a folder: name a file in it",
            NotADirectory => "it, or what stands before it in the path, is a file and no folder",
            PermissionDenied => "no permission: choose another place, or ask who owns it",
            ReadOnlyFilesystem => "nothing can be written there: choose another place",
            StorageFull => "there is no room left",
            _ => {
                // without the number of the system, which helps nobody
                let end = self.said.find(" (os error").unwrap_or(self.said.len());
                &self.said[..end]
            }
        };
        known.into()
    }
}

displayed!(SystemError);
impl std::error::Error for SystemError {}

impl From<std::io::Error> for FileError {
    fn from(error: std::io::Error) -> Self {
        SystemError::from(error).into()
    }
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
