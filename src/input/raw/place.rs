//! How a table stands in the file: once, perhaps, or in a list.

use super::{ALONE_DUTY, DUTIES, MOST_TABLES, Mark, TableAbout};
use crate::input::reader::{Reader, TableView, is_name};
use crate::input::section::Table;
use toml::de::DeValue;

/// A table that must be there, one that may be left out, or a list of them.
pub(super) trait InFile: Sized {
    type Table: Table;
    const IS_LIST: bool = false;
    fn read(top: TableView<'_>, about: &'static TableAbout, reader: &mut Reader) -> Self;
    /// Those that are there.
    fn tables(&self) -> Vec<&dyn Table>;
}

impl<T: Table + Default> InFile for T {
    type Table = T;
    fn read(top: TableView<'_>, about: &'static TableAbout, reader: &mut Reader) -> Self {
        Option::read(top, about, reader).unwrap_or_default()
    }
    fn tables(&self) -> Vec<&dyn Table> {
        vec![self]
    }
}

impl<T: Table> InFile for Option<T> {
    type Table = T;
    fn read(top: TableView<'_>, about: &'static TableAbout, reader: &mut Reader) -> Self {
        let (table, at) = &reader.table(top, about.name)?;
        let path = about.name;
        Some(T::read_whole(TableView { table, path, at }, reader))
    }
    fn tables(&self) -> Vec<&dyn Table> {
        self.iter().map(|t| t as &dyn Table).collect()
    }
}

impl<T: Table> InFile for Vec<T> {
    type Table = T;
    const IS_LIST: bool = true;
    /// The paths of the tables carry the `name` of each where it has one, else its place from 0.
    fn read(top: TableView<'_>, about: &'static TableAbout, reader: &mut Reader) -> Self {
        let key = about.name;
        let there = top.table.get(key).map(toml::Spanned::get_ref);
        if matches!(there, Some(DeValue::Table(_))) && about.is(Mark::OrAlone) {
            return Option::read(top, about, reader).into_iter().collect();
        }
        let tables = reader.tables(top, key, MOST_TABLES);
        let count = tables.len();
        let read = tables.into_iter().enumerate().map(|(i, (table, at))| {
            let name = table.get("name").and_then(|n| n.get_ref().as_str());
            let name = name.filter(|n| is_name(n));
            let alone = key == DUTIES && !table.contains_key("name") && count == 1;
            let name = name.or(alone.then_some(ALONE_DUTY));
            let path = &name.map_or_else(|| format!("{key}[{i}]"), |n| format!("{key}.{n}"));
            reader.places.insert(path.clone(), at.clone());
            let at = &at;
            T::read_whole(TableView { table, path, at }, reader)
        });
        read.collect()
    }
    fn tables(&self) -> Vec<&dyn Table> {
        self.iter().map(|t| t as &dyn Table).collect()
    }
}

/// Reads a table of the file, and notes where it is missing.
pub(super) fn read<T: InFile>(
    top: TableView<'_>,
    about: &'static TableAbout,
    reader: &mut Reader,
) -> T {
    let here = about.heading();
    let (message, help) = if about.is_list {
        (
            format!("a rig needs at least one `{here}`"),
            format!("add `{here}` with a name, an air flow and a fuel target"),
        )
    } else {
        (
            format!("the table `{here}` is missing"),
            format!("add `{here}` and its keys"),
        )
    };
    if about.is(Mark::Required) && !top.table.contains_key(about.name) {
        let at = top.at.clone();
        reader.mistake("E204", message, at, "the file begins here", Some(help));
    }
    T::read(top, about, reader)
}
