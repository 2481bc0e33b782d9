//! Keys and tables of a parsed file, each read or noted as a mistake.

use super::field::{Bounds, Field, Takes, quoted, spelled};
use super::raw::{Mark, TABLES, TableAbout};
use super::reader::{Entry, NONE, Reader, TableView};
use super::value::FieldValue;
use crate::quantity::printable::name as shown;
use crate::quantity::show::percent_hint;
use crate::quantity::suggest::nearest;
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

impl Reader {
    /// Reads the value of one key; `None` if it is absent or wrong, which is then noted.
    pub fn field<T: FieldValue>(&mut self, view: TableView<'_>, field: &Field) -> Option<Entry<T>> {
        let Some(value) = view.table.get(field.key) else {
            if field.required {
                self.mistake(
                    "E204",
                    format!("`{}` is missing from {}", field.key, view.name()),
                    view.at.clone(),
                    "it belongs here",
                    Some(format!(
                        "add a line such as `{} = {}` ({})",
                        field.key,
                        field.example,
                        field.label()
                    )),
                );
            }
            return None;
        };
        let path = view.path_of(field.key);
        self.places.insert(path.clone(), value.span());
        if field.takes_none && value.get_ref().as_str() == Some(NONE) {
            self.none.insert(path);
            return T::of_none().map(|value_of_none| Entry {
                value: value_of_none,
                span: value.span(),
            });
        }
        if let Some(written) = value.get_ref().as_str() {
            self.an_answer(written, field, value.span())?;
        }
        let read = T::read(value, field, self)?;
        self.within(&read, field, value.span())?;
        Some(Entry {
            value: read,
            span: value.span(),
        })
    }

    /// Refuses a value that is still to be filled in, such as `"? m"`, and the word `"none"` where it says nothing.
    fn an_answer(&mut self, written: &str, field: &Field, span: Range<usize>) -> Option<()> {
        let (open, text) = (written.starts_with('?'), field.takes == Takes::Text);
        let none = written == NONE && !matches!(field.takes, Takes::Text | Takes::Word(_));
        if !none && (!open || text && written != "?") {
            return Some(());
        }
        let among = matches!(&field.takes, Takes::Word(words) if spelled(words).contains(&NONE));
        let or_none = if field.takes_none && !among && field.takes != Takes::Flag {
            ", or `\"none\"` where there is none"
        } else {
            ""
        };
        let takes = match &field.takes {
            takes @ Takes::Quantity(..) => format!("{takes} as text with its unit"),
            takes @ Takes::Date => format!("{takes} without quotes, as year-month-day"),
            takes @ Takes::Flag => format!("{takes} without quotes"),
            takes => takes.to_string(),
        };
        let (code, message) = if none {
            ("E202", format!("`none` does not answer `{}`", field.key))
        } else {
            ("E209", format!("`{}` is still to be filled in", field.key))
        };
        let help = format!("fill in what is true of your rig: {takes}{or_none}");
        self.mistake(code, message, span, field.label(), Some(help));
        None
    }

    fn within<T: FieldValue>(
        &mut self,
        value: &T,
        field: &Field,
        span: Range<usize>,
    ) -> Option<()> {
        let wrong = value
            .numbers()
            .into_iter()
            .find(|si| !field.bounds.hold(*si));
        if let Some(given) = wrong {
            let percent = match field.bounds {
                _ if !matches!(field.takes, Takes::Ratio | Takes::RatioRange) => String::new(),
                Bounds::Share | Bounds::PositiveShare => percent_hint(given, 1.0),
                Bounds::Between(_, high) => percent_hint(given, high),
                _ => String::new(),
            };
            self.mistake(
                "E206",
                format!("`{}` must be {}", field.key, field.range()),
                span,
                field.label(),
                Some(format!(
                    "for example `{} = {}`{percent}",
                    field.key, field.example
                )),
            );
            return None;
        }
        Some(())
    }

    /// Notes every key of a table that is none of these.
    pub fn unknown_keys(&mut self, view: TableView<'_>, known: &[&'static str]) {
        self.unknown_keys_but(view, known, &[]);
    }

    /// As [`Reader::unknown_keys`], but for keys that were noted already.
    pub fn unknown_keys_but(
        &mut self,
        view: TableView<'_>,
        known: &[&'static str],
        noted: &[&'static str],
    ) {
        for (key, _) in view.table {
            let name = key.get_ref().as_ref();
            if known.contains(&name) || noted.contains(&name) {
                continue;
            }
            let near = nearest(name, known.iter().copied());
            let help = match (near, elsewhere(name)) {
                (Some(near), _) => format!("did you mean `{near}`?"),
                (None, Some(tables)) => format!("it is a key of {tables}"),
                (None, None) => format!("{} takes {}", view.name(), quoted(known)),
            };
            self.mistake(
                "E203",
                format!("`{}` is not a key of {}", shown(name), view.name()),
                key.span(),
                "not known here",
                Some(help),
            );
        }
    }

    /// Whether the word `"none"` stands in the place of a table that takes it.
    fn none_of(&mut self, view: TableView<'_>, key: &str, value: &Spanned<DeValue<'_>>) -> bool {
        let takes_none = TableAbout::named(key).is_some_and(|t| t.is(Mark::OrNone));
        let none = takes_none && value.get_ref().as_str() == Some(NONE);
        if none {
            let path = view.path_of(key);
            self.places.insert(path.clone(), value.span());
            self.none.insert(path);
        }
        none
    }

    /// The table of a key, if it is there and is one.
    pub fn table<'a>(
        &mut self,
        view: TableView<'a>,
        key: &'static str,
    ) -> Option<(&'a DeTable<'a>, Range<usize>)> {
        let value = view.table.get(key)?;
        self.places.insert(view.path_of(key), value.span());
        if self.none_of(view, key, value) {
            return None;
        }
        let DeValue::Table(table) = value.get_ref() else {
            self.wrong_type(key, value, "a table", &format!("[{key}]"));
            return None;
        };
        Some((table, value.span()))
    }

    /// The tables of a key, if it is there and is a list of tables.
    pub fn tables<'a>(
        &mut self,
        view: TableView<'a>,
        key: &'static str,
        most: usize,
    ) -> Vec<(&'a DeTable<'a>, Range<usize>)> {
        let Some(value) = view.table.get(key) else {
            return Vec::new();
        };
        if self.none_of(view, key, value) {
            return Vec::new();
        }
        let DeValue::Array(items) = value.get_ref() else {
            self.wrong_type(key, value, "a list of tables", &format!("[[{key}]]"));
            return Vec::new();
        };
        if items.len() > most {
            self.mistake(
                "E207",
                format!(
                    "`{key}` holds {} tables; at most {most} are read",
                    items.len()
                ),
                value.span(),
                "too many",
                None,
            );
            return Vec::new();
        }
        let mut tables = Vec::new();
        for item in items {
            if let DeValue::Table(table) = item.get_ref() {
                tables.push((table, item.span()));
            } else {
                self.wrong_type(key, item, "a table", &format!("[[{key}]]"));
            }
        }
        tables
    }
}

/// The tables that have a key of this name.
fn elsewhere(name: &str) -> Option<String> {
    let has = |t: &&TableAbout| {
        let mut keys = t.sections().into_iter().flat_map(|s| s.fields);
        keys.any(|f| f.key == name)
    };
    let tables: Vec<String> = TABLES.iter().filter(has).map(TableAbout::heading).collect();
    let tables: Vec<&str> = tables.iter().map(String::as_str).collect();
    (!tables.is_empty()).then(|| quoted(&tables))
}
