//! The rig file as it is written: one struct a table, every value with its place.

pub mod fire;
mod given;
pub mod injector;
pub mod rig;
pub mod supply;
pub mod train;

use super::field::SectionAbout;
use super::reader::{Entry, Reader, TableView};
use std::fmt::Write;
use std::ops::Range;
use toml::de::{DeTable, DeValue};

pub use fire::{Air, Burner, Controls, Duty, Limit};
pub use injector::{Branch, Injector};
pub use rig::{
    Fuel, LeakTest, ProofTest, Records, Rig, Schedule, Site, Step, Suppress, Switch, Tolerance,
};
pub use supply::{Mains, Tank};
pub use train::Part;

/// Most tables of one name.
pub const MOST_TABLES: usize = 1000;

/// A rig file.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct RigFile {
    /// `format`
    pub format: Option<i64>,
    /// Tables in whose place the file says `"none"`.
    pub none: Vec<&'static str>,
    /// `[rig]`
    pub rig: Rig,
    /// `[site]`
    pub site: Site,
    /// `[fuel]`
    pub fuel: Fuel,
    /// `[air]`
    pub air: Option<Air>,
    /// `[burner]`
    pub burner: Option<Burner>,
    /// `[controls]`
    pub controls: Option<Controls>,
    /// `[[duties]]`
    pub duties: Vec<Duty>,
    /// `[injector]`
    pub injector: Injector,
    /// `[tank]`
    pub tank: Option<Tank>,
    /// `[mains]`
    pub mains: Option<Mains>,
    /// `[[train]]`
    pub train: Vec<Part>,
    /// `[[branches]]`
    pub branches: Vec<Branch>,
    /// `[[limits]]`
    pub limits: Vec<Limit>,
    /// `[[leak_test]]`, or one `[leak_test]`
    pub leak_test: Vec<LeakTest>,
    /// `[records]`
    pub records: Option<Records>,
    /// `[[proof_tests]]`
    pub proof_tests: Vec<ProofTest>,
    /// `[[suppress]]`
    pub suppress: Vec<Suppress>,
    /// `[schedule]`
    pub schedule: Option<Schedule>,
    /// `[[steps]]`
    pub steps: Vec<Step>,
    /// `[switch]`
    pub switch: Option<Switch>,
    /// `[tolerance]`
    pub tolerance: Option<Tolerance>,
}

/// Names of the tables that a rig file must have.
pub const REQUIRED_TABLES: &[&str] = &["rig", "site", "fuel", "duties", "injector"];

/// Tables in whose place the word `"none"` says that there is none.
pub const TAKE_NONE: &[&str] = &["leak_test", "train"];

/// Tables that may stand alone in place of a list: `[leak_test]` of older files is one zone.
pub const MAY_STAND_ALONE: &[&str] = &["leak_test"];

/// The form of the file that this program reads; a file may state it.
pub const FORMAT: i64 = 1;

/// Names of all tables at the top of a rig file, and of the key beside them.
pub const TABLES: &[&str] = &[
    "format",
    "rig",
    "site",
    "fuel",
    "air",
    "burner",
    "controls",
    "duties",
    "injector",
    "tank",
    "mains",
    "train",
    "branches",
    "limits",
    "leak_test",
    "records",
    "proof_tests",
    "suppress",
    "schedule",
    "steps",
    "switch",
    "tolerance",
];

/// Every group of keys, in the order of the file.
pub fn sections() -> Vec<SectionAbout> {
    let mut all = vec![
        Rig::ABOUT,
        Site::ABOUT,
        Fuel::ABOUT,
        Air::ABOUT,
        Burner::ABOUT,
        Controls::ABOUT,
        Duty::ABOUT,
        Injector::ABOUT,
        Tank::ABOUT,
        Mains::ABOUT,
    ];
    all.extend(train::sections());
    all.extend([
        Branch::ABOUT,
        Limit::ABOUT,
        LeakTest::ABOUT,
        Records::ABOUT,
        ProofTest::ABOUT,
        Suppress::ABOUT,
        Schedule::ABOUT,
        Step::ABOUT,
        Switch::ABOUT,
        Tolerance::ABOUT,
    ]);
    all
}

/// Reads one table with all its keys.
macro_rules! read_table {
    ($type:ty, $reader:expr, $table:expr, $path:expr, $at:expr) => {{
        let view = TableView {
            table: $table,
            path: $path,
            at: $at,
        };
        $reader.unknown_keys(view, <$type>::KEYS);
        <$type>::read(view, $reader)
    }};
}

impl RigFile {
    /// Reads the whole file.
    pub fn read(table: &DeTable<'_>, reader: &mut Reader) -> Self {
        let start = 0..0;
        let top = TableView {
            table,
            path: "",
            at: &start,
        };
        reader.unknown_keys(top, TABLES);
        let mut file = Self {
            format: format(top, reader),
            none: Vec::new(),
            rig: required(top, "rig", reader, |t, at, r| {
                read_table!(Rig, r, t, "rig", at)
            }),
            site: required(top, "site", reader, |t, at, r| {
                read_table!(Site, r, t, "site", at)
            }),
            fuel: required(top, "fuel", reader, |t, at, r| {
                read_table!(Fuel, r, t, "fuel", at)
            }),
            air: one(top, "air", reader, |t, at, r| {
                read_table!(Air, r, t, "air", at)
            }),
            burner: one(top, "burner", reader, |t, at, r| {
                read_table!(Burner, r, t, "burner", at)
            }),
            controls: one(top, "controls", reader, |t, at, r| {
                read_table!(Controls, r, t, "controls", at)
            }),
            duties: duties(top, reader),
            injector: required(top, "injector", reader, |t, at, r| {
                read_table!(Injector, r, t, "injector", at)
            }),
            tank: one(top, "tank", reader, |t, at, r| {
                read_table!(Tank, r, t, "tank", at)
            }),
            mains: one(top, "mains", reader, |t, at, r| {
                read_table!(Mains, r, t, "mains", at)
            }),
            train: many(top, "train", reader, Part::read_whole),
            branches: many(top, "branches", reader, |t, path, at, r| {
                read_table!(Branch, r, t, path, at)
            }),
            limits: many(top, "limits", reader, |t, path, at, r| {
                read_table!(Limit, r, t, path, at)
            }),
            leak_test: one_or_many(top, "leak_test", reader, |t, path, at, r| {
                read_table!(LeakTest, r, t, path, at)
            }),
            records: one(top, "records", reader, |t, at, r| {
                read_table!(Records, r, t, "records", at)
            }),
            proof_tests: many(top, "proof_tests", reader, |t, path, at, r| {
                read_table!(ProofTest, r, t, path, at)
            }),
            suppress: many(top, "suppress", reader, |t, path, at, r| {
                read_table!(Suppress, r, t, path, at)
            }),
            schedule: one(top, "schedule", reader, |t, at, r| {
                read_table!(Schedule, r, t, "schedule", at)
            }),
            steps: many(top, "steps", reader, |t, path, at, r| {
                read_table!(Step, r, t, path, at)
            }),
            switch: one(top, "switch", reader, |t, at, r| {
                read_table!(Switch, r, t, "switch", at)
            }),
            tolerance: one(top, "tolerance", reader, |t, at, r| {
                read_table!(Tolerance, r, t, "tolerance", at)
            }),
        };
        let none = TAKE_NONE.iter().filter(|t| reader.none.contains(**t));
        file.none = none.copied().collect();
        file
    }

    /// The file as TOML, in SI units. Read again it is equal to this.
    pub fn write(&self) -> String {
        let mut out = String::new();
        if let Some(format) = self.format {
            let _ = writeln!(out, "format = {format}");
        }
        for table in &self.none {
            let _ = writeln!(out, "{table} = \"none\"");
        }
        let mut table = |heading: &str, write: &dyn Fn(&mut String)| {
            let gap = if out.is_empty() { "" } else { "\n" };
            let _ = writeln!(out, "{gap}{heading}");
            write(&mut out);
        };
        table("[rig]", &|o| self.rig.write(o));
        table("[site]", &|o| self.site.write(o));
        table("[fuel]", &|o| self.fuel.write(o));
        if let Some(t) = &self.air {
            table("[air]", &|o| t.write(o));
        }
        if let Some(t) = &self.burner {
            table("[burner]", &|o| t.write(o));
        }
        if let Some(t) = &self.controls {
            table("[controls]", &|o| t.write(o));
        }
        for t in &self.duties {
            table("[[duties]]", &|o| t.write(o));
        }
        table("[injector]", &|o| self.injector.write(o));
        if let Some(t) = &self.tank {
            table("[tank]", &|o| t.write(o));
        }
        if let Some(t) = &self.mains {
            table("[mains]", &|o| t.write(o));
        }
        for t in &self.train {
            table("[[train]]", &|o| t.write(o));
        }
        for t in &self.branches {
            table("[[branches]]", &|o| t.write(o));
        }
        for t in &self.limits {
            table("[[limits]]", &|o| t.write(o));
        }
        for t in &self.leak_test {
            let alone = t.stands.path == "leak_test";
            let heading = if alone {
                "[leak_test]"
            } else {
                "[[leak_test]]"
            };
            table(heading, &|o| t.write(o));
        }
        if let Some(t) = &self.records {
            table("[records]", &|o| t.write(o));
        }
        for t in &self.proof_tests {
            table("[[proof_tests]]", &|o| t.write(o));
        }
        for t in &self.suppress {
            table("[[suppress]]", &|o| t.write(o));
        }
        if let Some(t) = &self.schedule {
            table("[schedule]", &|o| t.write(o));
        }
        for t in &self.steps {
            table("[[steps]]", &|o| t.write(o));
        }
        if let Some(t) = &self.switch {
            table("[switch]", &|o| t.write(o));
        }
        if let Some(t) = &self.tolerance {
            table("[tolerance]", &|o| t.write(o));
        }
        out
    }
}

/// The form that a file states, if it does.
fn format(top: TableView<'_>, reader: &mut Reader) -> Option<i64> {
    let value = top.table.get("format")?;
    let stated = value.get_ref().as_integer();
    let stated = stated.and_then(|i| i64::from_str_radix(i.as_str(), i.radix()).ok());
    if stated != Some(FORMAT) {
        reader.mistake(
            "E206",
            format!("this program reads files of `format = {FORMAT}`"),
            value.span(),
            "another form of rig file",
            Some(format!("write `format = {FORMAT}`, or leave it out")),
        );
    }
    stated
}

fn one<T>(
    top: TableView<'_>,
    key: &'static str,
    reader: &mut Reader,
    read: impl FnOnce(&DeTable<'_>, &Range<usize>, &mut Reader) -> T,
) -> Option<T> {
    let (table, at) = reader.table(top, key)?;
    Some(read(table, &at, reader))
}

fn required<T: Default>(
    top: TableView<'_>,
    key: &'static str,
    reader: &mut Reader,
    read: impl FnOnce(&DeTable<'_>, &Range<usize>, &mut Reader) -> T,
) -> T {
    if !top.table.contains_key(key) {
        reader.mistake(
            "E204",
            format!("the table `[{key}]` is missing"),
            top.at.clone(),
            "the file begins here",
            Some(format!("add `[{key}]` and its keys")),
        );
    }
    one(top, key, reader, read).unwrap_or_default()
}

/// Tables of one name. Their paths carry the `name` of each where it has one, else its place from 0.
fn many<T>(
    top: TableView<'_>,
    key: &'static str,
    reader: &mut Reader,
    read: impl Fn(&DeTable<'_>, &str, &Range<usize>, &mut Reader) -> T,
) -> Vec<T> {
    reader
        .tables(top, key, MOST_TABLES)
        .into_iter()
        .enumerate()
        .map(|(i, (table, at))| {
            let name = table.get("name").and_then(|n| n.get_ref().as_str());
            let name = name.filter(|n| super::reader::is_name(n));
            let path = name.map_or_else(|| format!("{key}[{i}]"), |n| format!("{key}.{n}"));
            reader.places.insert(path.clone(), at.clone());
            read(table, &path, &at, reader)
        })
        .collect()
}

/// As [`many`]; a single table counts as a list of one, and its path is the name alone.
fn one_or_many<T>(
    top: TableView<'_>,
    key: &'static str,
    reader: &mut Reader,
    read: impl Fn(&DeTable<'_>, &str, &Range<usize>, &mut Reader) -> T,
) -> Vec<T> {
    match top.table.get(key).map(toml::Spanned::get_ref) {
        Some(DeValue::Table(_)) if MAY_STAND_ALONE.contains(&key) => {
            one(top, key, reader, |t, at, r| read(t, key, at, r))
                .into_iter()
                .collect()
        }
        _ => many(top, key, reader, read),
    }
}

fn duties(top: TableView<'_>, reader: &mut Reader) -> Vec<Duty> {
    let duties = many(top, "duties", reader, |t, path, at, r| {
        read_table!(Duty, r, t, path, at)
    });
    if !top.table.contains_key("duties") {
        reader.mistake(
            "E204",
            "a rig needs at least one `[[duties]]`",
            top.at.clone(),
            "the file begins here",
            Some("add `[[duties]]` with a name, an air flow and a fuel target".to_owned()),
        );
    }
    duties
}

/// Value of an entry.
pub(super) fn value<T: Clone>(entry: Option<&Entry<T>>) -> Option<T> {
    entry.map(|e| e.value.clone())
}
