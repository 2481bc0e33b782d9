//! The writer of files: whole or not at all, and over nothing but an older file of the same kind that the program
//! wrote and nobody has changed since.

use super::error::{CliError, FlagProblem, Refused};
use crate::input::file::{self, FileError, no_file};
use crate::report::mark::{FileKind, Found, found};
use std::fs::{self, File, OpenOptions, Permissions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// Most bytes of an older file that is looked through for its mark: nothing that is written comes near.
const MOST_BYTES: u64 = 256 << 20;

/// Refuses what is the output and no name of a file, though the system would take it for one.
///
/// # Errors
/// [`CliError::NotWritten`].
pub fn named(path: &Path) -> Result<(), CliError> {
    match path.to_str() {
        Some("-" | "/dev/stdout" | "/dev/stderr") => Err(refused(path, Refused::Output)),
        _ => Ok(()),
    }
}

/// Refuses a name for a drawing that does not end in `.svg`.
///
/// # Errors
/// [`CliError::NotWritten`] or [`CliError::Flag`].
pub fn drawing(flag: &'static str, path: &Path) -> Result<(), CliError> {
    named(path)?;
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

/// Where a file is to be written, once it is known that nothing of others stands there.
#[derive(Debug)]
pub struct Target<'a> {
    /// As it was named.
    pub path: &'a Path,
    kind: FileKind,
}

impl<'a> Target<'a> {
    /// Looks at the place before the work is done that is to be written there.
    ///
    /// # Errors
    /// [`CliError::NotWritten`].
    pub fn new(path: &'a Path, kind: FileKind) -> Result<Self, CliError> {
        named(path)?;
        place(path, kind).map_err(|why| refused(path, why))?;
        Ok(Self { path, kind })
    }

    /// Writes the text there with its mark.
    ///
    /// # Errors
    /// [`CliError::NotWritten`]; what was there before is as it was.
    pub fn write(self, text: String) -> Result<(), CliError> {
        let text = self.kind.sealed(text);
        let put = || {
            let place = place(self.path, self.kind)?;
            Ok(replace(&place, |file| file.write_all(text.as_bytes()))?)
        };
        put().map_err(|why| refused(self.path, why))
    }
}

/// Refuses a name that anything has already.
///
/// # Errors
/// [`CliError::NotWritten`].
pub fn free(path: &Path) -> Result<(), CliError> {
    named(path)?;
    if path.symlink_metadata().is_ok() {
        let there = io::Error::from(io::ErrorKind::AlreadyExists);
        return Err(refused(path, there.into()));
    }
    Ok(())
}

/// Writes a file that is for its user to change, where there is none.
///
/// # Errors
/// [`CliError::NotWritten`] if anything is there, or it cannot be written.
pub fn write_new(path: &Path, text: &str) -> Result<(), CliError> {
    free(path)?;
    let put = || {
        let place = Place {
            path: path.to_owned(),
            older: None,
        };
        Ok(replace(&place, |file| file.write_all(text.as_bytes()))?)
    };
    put().map_err(|why| refused(path, why))
}

fn refused(path: &Path, why: Refused) -> CliError {
    CliError::NotWritten {
        path: path.to_owned(),
        why,
    }
}

/// A place that may be written to.
struct Place {
    /// The file, behind any link.
    path: PathBuf,
    /// Permissions of the older file that is written over.
    older: Option<Permissions>,
}

/// The place behind a name. A link is followed to what may be written over, and nowhere else.
fn place(path: &Path, kind: FileKind) -> Result<Place, Refused> {
    let about = match fs::metadata(path) {
        Ok(about) => about,
        Err(e) if e.kind() != io::ErrorKind::NotFound => return Err(e.into()),
        Err(_) if path.symlink_metadata().is_ok() => return Err(Refused::DeadLink),
        Err(missing) => {
            // its folder must be there
            return match fs::metadata(folder(path)) {
                Ok(about) if about.is_dir() => Ok(Place {
                    path: path.to_owned(),
                    older: None,
                }),
                Ok(_) => Err(io::Error::from(io::ErrorKind::NotADirectory).into()),
                Err(_) => Err(missing.into()),
            };
        }
    };
    if about.is_dir() {
        return Err(io::Error::from(io::ErrorKind::IsADirectory).into());
    }
    if let Some(what) = no_file(&about) {
        return Err(Refused::NoFile { what });
    }
    let old = file::bytes(path, MOST_BYTES).map_err(|e| match e {
        FileError::System(e) => Refused::System(e),
        FileError::NoFile { what } => Refused::NoFile { what },
        FileError::TooLarge { .. } | FileError::NoText { .. } => Refused::Foreign,
    })?;
    match found(&old) {
        Found::Ours(is) if is == kind => {}
        Found::Ours(is) => {
            return Err(Refused::OtherKind {
                is: is.name(),
                wanted: kind.name(),
            });
        }
        Found::Changed(_) => return Err(Refused::Changed),
        Found::Foreign => return Err(Refused::Foreign),
    }
    if about.permissions().readonly() {
        return Err(Refused::ReadOnly);
    }
    Ok(Place {
        path: fs::canonicalize(path)?,
        older: Some(about.permissions()),
    })
}

/// The folder of a file.
fn folder(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

/// Puts a file in its place when it is complete and on the disk. Until then the older one stays as it is.
fn replace(place: &Place, write: impl FnOnce(&mut File) -> io::Result<()>) -> io::Result<()> {
    let (mut file, mut beside) = Beside::of(&place.path)?;
    write(&mut file)?;
    if let Some(permissions) = &place.older {
        file.set_permissions(permissions.clone())?;
    }
    file.sync_all()?;
    drop(file);
    if place.older.is_none() {
        // a new link never takes the place of a file that has come there meanwhile, as a new name would
        match fs::hard_link(&beside.path, &place.path) {
            Ok(()) => return Ok(()),
            Err(e) if e.kind() == io::ErrorKind::AlreadyExists => return Err(e),
            // no links on this disk
            Err(_) if place.path.symlink_metadata().is_ok() => {
                return Err(io::ErrorKind::AlreadyExists.into());
            }
            Err(_) => {}
        }
    }
    fs::rename(&beside.path, &place.path)?;
    beside.moved = true;
    Ok(())
}

/// A file beside another that is gone in the end, unless it has become that other.
struct Beside {
    path: PathBuf,
    moved: bool,
}

impl Beside {
    /// Opens one for writing, under a name that nobody has.
    fn of(target: &Path) -> io::Result<(File, Self)> {
        let mut n = 0;
        loop {
            let name = format!(
                ".{}-{}-{n}.part",
                env!("CARGO_PKG_NAME"),
                std::process::id()
            );
            let path = folder(target).join(name);
            match OpenOptions::new().write(true).create_new(true).open(&path) {
                Ok(file) => return Ok((file, Self { path, moved: false })),
                Err(e) if e.kind() == io::ErrorKind::AlreadyExists => n += 1,
                Err(e) => return Err(e),
            }
        }
    }
}

impl Drop for Beside {
    fn drop(&mut self) {
        if !self.moved {
            // nothing is left to try if it cannot be removed
            let _ = fs::remove_file(&self.path);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_write_that_breaks_off_leaves_the_older_file_and_nothing_beside_it() {
        let folder = std::env::temp_dir().join(format!("fuelwright-save-{}", std::process::id()));
        fs::create_dir_all(&folder).expect("can be made");
        let path = folder.join("r.txt");
        let report = |text: &str| {
            let target = Target::new(&path, FileKind::TextReport)?;
            target.write(text.to_owned())
        };
        report("first\n").expect("written");
        let first = fs::read_to_string(&path).expect("there");
        let breaks_off = |file: &mut File| {
            file.write_all(b"half of ")?;
            Err(io::ErrorKind::StorageFull.into())
        };
        let over = place(&path, FileKind::TextReport).expect("ours");
        let new = Place {
            path: folder.join("new.txt"),
            older: None,
        };
        for place in [over, new] {
            let error = replace(&place, breaks_off).expect_err("no room");
            assert_eq!(error.kind(), io::ErrorKind::StorageFull);
            let left: Vec<_> = fs::read_dir(&folder).expect("readable").collect();
            assert_eq!(left.len(), 1, "{left:?}");
            assert_eq!(first, fs::read_to_string(&path).expect("there"));
        }
        report("second\n").expect("written over");
        let second = fs::read_to_string(&path).expect("there");
        assert!(second.starts_with("second\n"), "{second}");
        fs::remove_dir_all(&folder).expect("can be removed");
    }

    #[test]
    fn a_file_that_comes_while_another_is_written_stays() {
        let folder = std::env::temp_dir().join(format!("fuelwright-late-{}", std::process::id()));
        fs::create_dir_all(&folder).expect("can be made");
        let path = folder.join("r.txt");
        let place = Place {
            path: path.clone(),
            older: None,
        };
        let error = replace(&place, |file| {
            fs::write(&path, "mine")?;
            file.write_all(b"ours")
        });
        let error = error.expect_err("a file has come");
        assert_eq!(error.kind(), io::ErrorKind::AlreadyExists);
        assert_eq!(fs::read_to_string(&path).expect("there"), "mine");
        fs::remove_dir_all(&folder).expect("can be removed");
    }
}
