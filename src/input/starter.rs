//! A rig file to begin with: what was answered or a complete example, and every other key as a comment.

use super::field::{Field, SectionAbout, Takes, Word, spelled};
use super::raw::TABLES;
use super::raw::train::BY_KIND;
use crate::report::cautions::CLOSING_IN_FIGURE;
use crate::report::text::wrap;
use std::fmt::Write;

/// What stands in the file of a new rig. Values are TOML; one to fill in is [`OPEN`].
#[derive(Debug, Clone, PartialEq)]
pub struct Answers {
    /// Name of the rig, as plain text.
    pub name: String,
    /// Keys that are given, by path, with their values.
    pub given: Vec<(&'static str, String)>,
    /// Whether a train of generic parts stands in the file, or only as a comment.
    pub train: bool,
}

/// A value that only the owner can give: no file is read with it.
pub const OPEN: &str = "\"?\"";

/// The ten keys that make a rig, with the values of the complete starter: a small burner on a cylinder of propane.
pub const TEN: [(&str, &str); 9] = [
    ("site.setting", "\"outdoor\""),
    ("fuel.composition", "\"propane\""),
    ("air.flow", "\"6 g/s\""),
    ("duties.equivalence_ratio", "0.60"),
    ("duties.chamber_pressure", "\"5 mbar(g)\""),
    ("injector.holes", "6"),
    ("injector.pressure", "\"1.0 bar(g)\""),
    ("tank.volume", "\"26.2 L\""),
    ("tank.fuel_mass", "\"9 kg\""),
];

/// Keys of a table with their values.
type Keys = &'static [(&'static str, &'static str)];

/// Generic parts of a train in two stages, in the order the fuel meets them: what the rules ask of any such train, and
/// lets through what [`TEN`] asks for.
const PARTS: &[Keys] = &[
    &[
        ("name", "\"cylinder-valve\""),
        ("kind", "\"cylinder-valve\""),
        ("catalogue", "\"cylinder-valve\""),
    ],
    &[
        ("name", "\"excess-flow\""),
        ("kind", "\"excess-flow-valve\""),
        ("catalogue", "\"excess-flow-2kgh\""),
    ],
    &[
        ("name", "\"hose\""),
        ("kind", "\"hose\""),
        ("catalogue", "\"hose-6.3mm-rubber\""),
        ("length", "\"0.8 m\""),
        ("mass", "\"0.3 kg\""),
    ],
    &[
        ("name", "\"first-regulator\""),
        ("kind", "\"regulator\""),
        ("catalogue", "\"regulator-small\""),
        ("set_pressure", "\"1.8 bar(g)\""),
    ],
    &[
        ("name", "\"second-regulator\""),
        ("kind", "\"regulator\""),
        ("catalogue", "\"regulator-small\""),
        ("set_pressure", "\"1.06 bar(g)\""),
    ],
    &[
        ("name", "\"filter\""),
        ("kind", "\"filter\""),
        ("catalogue", "\"filter-1-4in\""),
    ],
    &[
        ("name", "\"shut-off-1\""),
        ("kind", "\"solenoid-valve\""),
        ("catalogue", "\"solenoid-valve-4mm\""),
    ],
    &[
        ("name", "\"shut-off-2\""),
        ("kind", "\"solenoid-valve\""),
        ("catalogue", "\"solenoid-valve-4mm\""),
    ],
    &[
        ("name", "\"non-return\""),
        ("kind", "\"check-valve\""),
        ("catalogue", "\"check-valve-1-8in\""),
    ],
    &[
        ("name", "\"line\""),
        ("kind", "\"tube\""),
        ("catalogue", "\"tube-6x1-copper\""),
        ("length", "\"1 m\""),
        ("mass", "\"0.14 kg\""),
        ("joints", "{ compression = 2 }"),
    ],
];

/// Characters a line of the file, where a value leaves room.
const WIDTH: usize = 118;
/// Where a comment begins behind a value.
const COMMENT_FROM: usize = 44;

impl Answers {
    /// A rig of this name with everything that an example can give.
    pub fn complete(name: &str) -> Self {
        let ten = TEN.map(|(key, value)| (key, value.to_owned()));
        Self {
            name: name.to_owned(),
            given: ten.to_vec(),
            train: true,
        }
    }

    fn value(&self, table: &str, key: &str) -> Option<String> {
        if (table, key) == ("rig", "name") {
            return Some(toml::Value::String(self.name.clone()).to_string());
        }
        let of_this = |path: &str| path.split_once('.') == Some((table, key));
        let found = self.given.iter().find(|(path, _)| of_this(path));
        found.map(|(_, value)| value.clone())
    }

    fn gives(&self, table: &str) -> bool {
        table == "rig"
            || self
                .given
                .iter()
                .any(|(path, _)| path.starts_with(&format!("{table}.")))
    }

    /// The file.
    pub fn file(&self) -> String {
        let mut out = String::from(
            "# A rig file. Lines that begin with `#` are keys you may add: take the `#` away and give your value.\n\
             # Quantities are text with their unit; a pressure says whether it is gauge (g) or absolute (a).\n",
        );
        if self.train {
            out.push_str("# The values below are an example: put your own in their place.\n");
        }
        for line in CLOSING_IN_FIGURE {
            let _ = writeln!(out, "# {line}");
        }
        for about in &TABLES {
            let (section, kinds) = (about.own(), (about.kinds)());
            if !kinds.is_empty() {
                self.parts(&mut out, &section, &kinds);
                continue;
            }
            out.push('\n');
            for line in wrap(section.meaning, WIDTH - 2) {
                let _ = writeln!(out, "# {line}");
            }
            let mark = if self.gives(about.name) { "" } else { "# " };
            let _ = writeln!(out, "{mark}{}", section.heading);
            for field in section.fields {
                match self.value(about.name, field.key) {
                    Some(value) => line(&mut out, "", field, &value),
                    None => line(&mut out, "# ", field, field.example),
                }
            }
        }
        out
    }

    fn parts(&self, out: &mut String, common: &SectionAbout, kinds: &[SectionAbout]) {
        let mark = if self.train { "" } else { "# " };
        out.push_str("\n# Parts of the train, in the order the fuel meets them; `catalogue` names a generic part that gives what is\n# left out (`fuelwright lookup parts`).\n");
        for part in PARTS {
            let _ = writeln!(out, "{mark}[[train]]");
            for (key, value) in *part {
                let _ = writeln!(out, "{mark}{key} = {value}");
            }
            out.push('\n');
        }
        out.push_str("# Keys that every part may have:\n");
        examples(out, common);
        for section in kinds {
            let kinds = section.heading.trim_start_matches(BY_KIND);
            let _ = writeln!(out, "# Keys of {kinds}:");
            examples(out, section);
        }
    }
}

/// The complete file for a rig of this name.
pub fn starter(name: &str) -> String {
    Answers::complete(name).file()
}

/// Every key of a group with its example, as a comment.
fn examples(out: &mut String, section: &SectionAbout) {
    for field in section.fields {
        line(out, "# ", field, field.example);
    }
}

/// A key with a value, what it means, and every word that it takes.
fn line(out: &mut String, mark: &str, field: &Field, value: &str) {
    let mut comment = field.meaning.to_owned();
    let words = words(&field.takes);
    if !words.is_empty() {
        let _ = write!(comment, " One of: {}.", words.join(", "));
    }
    // `false` says as much of a thing that is there or not
    let flag = field.takes == Takes::Flag;
    if field.takes_none && !flag && !words.contains(&"none") {
        comment.push_str(" \"none\" where there is none.");
    }
    let start = format!("{mark}{} = {value}", field.key);
    let from = COMMENT_FROM.max(start.chars().count());
    let begin = if mark.is_empty() { "" } else { "#" };
    for (i, comment) in wrap(&comment, WIDTH - from - 3).iter().enumerate() {
        let left = if i == 0 { start.as_str() } else { begin };
        let _ = writeln!(out, "{left:<from$} # {comment}");
    }
}

/// The words that a key takes.
fn words(takes: &Takes) -> Vec<&'static str> {
    let of: &[Word] = match takes {
        Takes::Word(words) | Takes::Counts(words) => words,
        Takes::List(inner) => return words(inner),
        _ => &[],
    };
    spelled(of)
}
