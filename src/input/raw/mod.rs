//! The rig file as it is written: one struct a table, every value with its place.

pub mod fire;
pub mod injector;
mod place;
pub mod rig;
pub mod supply;
pub mod train;

use super::field::SectionAbout;
use super::reader::{Reader, TableView};
use super::section::Table;
use crate::quantity::AbsolutePressure;
use crate::train::rig::Given;
use place::InFile;
use std::fmt::Write;
use toml::de::DeTable;

pub use fire::{Air, Burner, Controls, Duty, Limit};
pub use injector::{Branch, FlowTest, Injector};
pub use rig::{
    Fuel, LeakTest, ProofTest, Records, Rig, Schedule, Site, Step, Suppress, Switch, Tolerance,
};
pub use supply::{Mains, Tank};
pub use train::Part;

/// Most tables of one name.
pub const MOST_TABLES: usize = 1000;

/// Name of the list of duties.
const DUTIES: &str = "duties";

/// Name of a duty that stands alone and has none.
pub const ALONE_DUTY: &str = "full";

/// The form of the file that this program reads; a file may state it.
pub const FORMAT: i64 = 1;

/// What is particular about a table of the file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mark {
    /// There is one at least.
    Required,
    /// The word `"none"` in its place says that there is none.
    OrNone,
    /// One may stand alone in place of a list: `[leak_test]` of older files is one zone.
    OrAlone,
}

/// A table of the rig file.
#[derive(Debug)]
pub struct TableAbout {
    /// Name.
    pub name: &'static str,
    /// Whether it is a list of tables.
    pub is_list: bool,
    /// What is particular about it.
    pub marks: &'static [Mark],
    about: fn(String) -> SectionAbout,
    /// Further keys of it, by kind.
    pub kinds: fn() -> Vec<SectionAbout>,
}

impl TableAbout {
    /// Whether this is so of it.
    pub fn is(&self, mark: Mark) -> bool {
        self.marks.contains(&mark)
    }

    /// How it is written.
    pub fn heading(&self) -> String {
        heading(self.name, self.is_list)
    }

    /// What it is, and the keys of its own.
    pub fn own(&self) -> SectionAbout {
        (self.about)(self.heading())
    }

    /// Every group of its keys.
    pub fn sections(&self) -> Vec<SectionAbout> {
        let own = std::iter::once(self.own());
        own.chain((self.kinds)()).collect()
    }

    /// The table of this name.
    pub fn named(name: &str) -> Option<&'static Self> {
        TABLES.iter().find(|t| t.name == name)
    }
}

fn heading(name: &str, in_list: bool) -> String {
    if in_list {
        format!("[[{name}]]")
    } else {
        format!("[{name}]")
    }
}

/// Declares the tables of a rig file in their order: one that must be there, an `Option`, or a list.
macro_rules! tables {
    ($($name:ident: $type:ty $(, $mark:ident)*;)+) => {
        /// A rig file.
        #[derive(Debug, Clone, PartialEq, Default)]
        pub struct RigFile {
            /// `format`
            pub format: Option<i64>,
            /// Tables in whose place the file says `"none"`.
            pub none: Vec<&'static str>,
            $(#[doc = concat!("`[", stringify!($name), "]`")]
            pub $name: $type,)+
        }

        /// Every table of a rig file.
        pub static TABLES: [TableAbout; [$(stringify!($name)),+].len()] = [$(TableAbout {
            name: stringify!($name),
            is_list: <$type as InFile>::IS_LIST,
            marks: &[$(Mark::$mark),*],
            about: <<$type as InFile>::Table as Table>::about,
            kinds: <<$type as InFile>::Table as Table>::kinds,
        }),+];

        impl RigFile {
            fn read_tables(top: TableView<'_>, reader: &mut Reader) -> Self {
                let [$($name),+] = &TABLES;
                Self {
                    $($name: place::read(top, $name, reader),)+
                    ..Self::default()
                }
            }

            /// Every table that is there, with its name, in the order of [`TABLES`].
            fn tables(&self) -> Vec<(&'static str, &dyn Table)> {
                let mut all: Vec<(&'static str, &dyn Table)> = Vec::new();
                $(all.extend(self.$name.tables().into_iter().map(|t| (stringify!($name), t)));)+
                all
            }
        }
    };
}

tables! {
    rig: Rig;
    site: Site, Required;
    fuel: Fuel, Required;
    air: Option<Air>;
    burner: Option<Burner>;
    controls: Option<Controls>;
    duties: Vec<Duty>, Required;
    injector: Injector, Required;
    tank: Option<Tank>;
    mains: Option<Mains>;
    train: Vec<Part>, OrNone;
    branches: Vec<Branch>;
    limits: Vec<Limit>;
    leak_test: Vec<LeakTest>, OrNone, OrAlone;
    flow_test: Vec<FlowTest>;
    records: Option<Records>;
    proof_tests: Vec<ProofTest>;
    suppress: Vec<Suppress>;
    schedule: Option<Schedule>;
    steps: Vec<Step>;
    switch: Option<Switch>;
    tolerance: Option<Tolerance>;
}

/// Every group of keys, in the order of the file.
pub fn sections() -> Vec<SectionAbout> {
    TABLES.iter().flat_map(TableAbout::sections).collect()
}

/// Names of all that may stand at the top of a rig file.
pub fn names() -> Vec<&'static str> {
    let tables = TABLES.iter().map(|t| t.name);
    std::iter::once("format").chain(tables).collect()
}

impl RigFile {
    /// Reads the whole file.
    pub fn read(table: &DeTable<'_>, reader: &mut Reader) -> Self {
        let top = TableView {
            table,
            path: "",
            at: &(0..0),
        };
        reader.unknown_keys(top, &names());
        let format = format(top, reader);
        let tables = Self::read_tables(top, reader);
        let none = TABLES.iter().map(|t| t.name);
        Self {
            format,
            none: none.filter(|t| reader.none.contains(*t)).collect(),
            ..tables
        }
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
        for (name, table) in self.tables() {
            let gap = if out.is_empty() { "" } else { "\n" };
            let alone = table.stands().path == name;
            let _ = writeln!(out, "{gap}{}", heading(name, !alone));
            table.write(&mut out);
        }
        out
    }

    /// Every key with numbers, table by table; pressures as a gauge in this air reads them.
    pub fn given(&self, air: AbsolutePressure) -> Vec<Given> {
        let mut all = Vec::new();
        for (name, table) in self.tables() {
            table.given(name, air, &mut all);
        }
        all
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
