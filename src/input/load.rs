//! From a path to a rig.

use super::check::check;
use super::diagnostic::{Diagnostic, Diagnostics, Label, line_and_column};
use super::file::{self, FileError};
use super::raw::RigFile;
use super::reader::Reader;
use super::stand_in::stand_in;
use crate::fuel::Library;
use crate::train::rig::Rig;
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::ops::Range;
use std::path::Path;
use toml::de::DeTable;

/// Largest file that is read: a rig is a few kilobytes.
pub const MOST_BYTES: u64 = 1 << 20;

/// A rig with the file it came from.
#[derive(Debug, Clone, PartialEq)]
pub struct Loaded {
    /// The rig.
    pub rig: Rig,
    /// The file as it was written.
    pub raw: Box<RigFile>,
    /// Path as the user gave it.
    pub path: String,
    /// Text of the file.
    pub text: String,
    places: BTreeMap<String, Range<usize>>,
}

impl Loaded {
    /// Line and column of a key of the rig, or of the nearest table around it; `None` if neither stands
    /// in the file.
    ///
    /// ```
    /// # use fuelwright::{fuel::Library, input};
    /// # let text = include_str!("../../examples/coupon-soak-rig.toml");
    /// let loaded = input::parse("rig.toml", text, &Library::embedded())?;
    /// assert!(loaded.line("site.ambient_temperature") > loaded.line("site"));
    /// assert_eq!(loaded.line("nowhere.at_all"), None);
    /// # Ok::<(), input::Diagnostics>(())
    /// ```
    pub fn line(&self, at: &str) -> Option<(usize, usize)> {
        let mut path = at;
        loop {
            if let Some(span) = self.places.get(path) {
                return Some(line_and_column(&self.text, span.start));
            }
            path = &path[..path.rfind(['.', '['])?];
        }
    }

    /// The value of a key as it is written in the file; `None` for a table, or a key that is not there.
    pub fn written(&self, key: &str) -> Option<&str> {
        let span = self.places.get(key)?;
        (!self.holds_keys(key)).then(|| self.text.get(span.clone()))?
    }

    /// Whether a path of the file is that of a table.
    pub fn is_table(&self, path: &str) -> bool {
        self.places.contains_key(path) && self.holds_keys(path)
    }

    /// Every key of the file with its value as it is written, by path.
    pub fn values(&self) -> impl Iterator<Item = (&str, &str)> {
        self.places
            .keys()
            .filter_map(|key| Some((key.as_str(), self.written(key)?)))
    }

    /// Text of the file with other values of keys that are there.
    pub fn with(&self, values: &[(&str, &str)]) -> String {
        let place = |(key, value)| Some((self.places.get::<str>(key)?.clone(), value));
        let mut values: Vec<(Range<usize>, &str)> =
            values.iter().copied().filter_map(place).collect();
        values.sort_by_key(|(span, _)| std::cmp::Reverse(span.start));
        let mut text = self.text.clone();
        for (span, value) in values {
            text.replace_range(span, value);
        }
        text
    }

    /// Text of the file with another set of holes, a diameter in place of the duty that they were sized at.
    ///
    /// ```
    /// # use fuelwright::{fuel::Library, input};
    /// # let whole = include_str!("../../examples/coupon-soak-rig.toml");
    /// # let loaded = input::parse("rig.toml", whole, &Library::embedded())?;
    /// let changed = loaded.with_holes(12, "\"0.9 mm\"");
    /// assert!(changed.contains("holes = 12\nhole_diameter = \"0.9 mm\"\nhole_length"));
    /// # Ok::<(), input::Diagnostics>(())
    /// ```
    pub fn with_holes(&self, number: u32, diameter: &str) -> String {
        const SIZED_AT: &str = "sized_at";
        let place = |key: &str| self.places.get(&format!("injector.{key}")).cloned();
        let mut text = self.text.clone();
        let mut edits: Vec<(Range<usize>, String)> = Vec::new();
        let holes = place("holes");
        edits.extend(holes.clone().map(|at| (at, number.to_string())));
        let line = format!("hole_diameter = {diameter}");
        if let Some(at) = place("hole_diameter") {
            edits.push((at, diameter.to_owned()));
        } else if let Some(value) = place(SIZED_AT) {
            let key = self.text[..value.start].rfind(SIZED_AT);
            edits.extend(key.map(|key| (key..value.end, line)));
        } else if let Some(at) = holes {
            // behind the number, on a line of its own or in the same table in braces
            let begin = self.text[..at.start].rfind('\n').map_or(0, |i| i + 1);
            let own_line = self.text[begin..at.start].trim_start().starts_with("holes");
            let gap = if own_line { "\n" } else { ", " };
            edits.push((at.end..at.end, format!("{gap}{line}")));
        }
        edits.sort_by_key(|(at, _)| std::cmp::Reverse((at.start, at.end)));
        for (at, value) in edits {
            text.replace_range(at, &value);
        }
        text
    }

    /// Digest of the file: SHA-256 of its text, hexadecimal. Ends of lines do not count.
    ///
    /// ```
    /// # use fuelwright::{fuel::Library, input};
    /// # let text = include_str!("../../examples/coupon-soak-rig.toml");
    /// let digest = |text: &str| input::parse("rig.toml", text, &Library::embedded()).map(|l| l.digest());
    /// assert_eq!(digest(text)?, digest(&text.replace('\n', "\r\n"))?);
    /// # Ok::<(), input::Diagnostics>(())
    /// ```
    pub fn digest(&self) -> String {
        let digest = Sha256::digest(self.text.replace("\r\n", "\n"));
        let mut hex = String::with_capacity(2 * digest.len());
        for byte in digest {
            // writing to a string cannot fail
            let _ = write!(hex, "{byte:02x}");
        }
        hex
    }

    fn holds_keys(&self, path: &str) -> bool {
        let mut behind = self.places.range(path.to_owned()..).map(|(key, _)| key);
        behind.any(|key| {
            key.strip_prefix(path)
                .is_some_and(|rest| rest.starts_with(['.', '[']))
        })
    }
}

/// Reads a rig file.
///
/// # Errors
/// Every mistake in it, or why it could not be read.
pub fn load(path: &Path, library: &Library) -> Result<Loaded, Diagnostics> {
    let shown = path.display().to_string();
    let fail = |code, message: String, help: Option<String>| Diagnostics {
        path: shown.clone(),
        text: String::new(),
        list: vec![Diagnostic {
            code,
            message,
            labels: Vec::new(),
            help,
        }],
    };
    let text = file::text(path, MOST_BYTES).map_err(|error| match error {
        FileError::NoFile { what } => {
            fail("E102", format!("`{shown}` is {what}, not a file"), None)
        }
        FileError::TooLarge { most } => fail(
            "E104",
            format!("`{shown}` is larger than {most} bytes, which no rig needs"),
            None,
        ),
        FileError::NoText { line, column } => fail(
            "E105",
            format!("`{shown}` is not UTF-8 text from line {line}, column {column} on"),
            Some("save it as UTF-8".to_owned()),
        ),
        FileError::System(error) => match error.kind {
            std::io::ErrorKind::NotFound => fail(
                "E101",
                format!("there is no file `{shown}`"),
                Some("the command `start` writes a rig file to begin with".to_owned()),
            ),
            std::io::ErrorKind::PermissionDenied => fail(
                "E103",
                format!("`{shown}` may not be read: no permission"),
                None,
            ),
            _ => fail(
                "E106",
                format!("`{shown}` could not be read: {}", error.said),
                None,
            ),
        },
    })?;
    parse(&shown, &text, library)
}

/// Reads the text of a rig file; `path` is for the messages. How an editor ends its lines, and the mark that some
/// put in front of the first, are no part of the text.
///
/// # Errors
/// Every mistake in it.
pub fn parse(path: &str, text: &str, library: &Library) -> Result<Loaded, Diagnostics> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let text = &text.replace("\r\n", "\n");
    let fail = |mut list: Vec<Diagnostic>| {
        list.sort_by_key(|d| d.labels.first().map_or(0, |l| l.span.start));
        Diagnostics {
            path: path.to_owned(),
            text: text.to_owned(),
            list,
        }
    };
    let (table, errors) = DeTable::parse_recoverable(text);
    if !errors.is_empty() {
        return Err(fail(errors.iter().map(|e| syntax(e, text)).collect()));
    }
    let mut reader = Reader::default();
    let mut raw = Box::new(RigFile::read(table.get_ref(), &mut reader));
    let assumed = stand_in(&mut raw, path, library);
    match check(&raw, &mut reader, library, assumed) {
        Some(rig) => Ok(Loaded {
            rig,
            raw,
            path: path.to_owned(),
            text: text.to_owned(),
            places: reader.places,
        }),
        None => Err(fail(reader.mistakes)),
    }
}

/// A mistake in the syntax.
fn syntax(error: &toml::de::Error, text: &str) -> Diagnostic {
    let message = error.message();
    let span = error.span().unwrap_or(text.len()..text.len());
    let (code, message, help) = if message.contains("recursion") {
        (
            "E111",
            "tables or lists are nested too deep".to_owned(),
            Some("a rig file nests three deep at most".to_owned()),
        )
    } else if message.contains("duplicate key") {
        (
            "E112",
            "this key is given twice".to_owned(),
            Some("keep one of them".to_owned()),
        )
    } else {
        ("E110", format!("this is not TOML: {message}"), None)
    };
    Diagnostic {
        code,
        message,
        labels: vec![Label::new(span, "here")],
        help,
    }
}
