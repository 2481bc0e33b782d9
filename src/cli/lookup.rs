//! `lookup`: catalogue parts, the keys of a rig file, the words that a key takes.

use super::context::Context;
use super::error::CliError;
use crate::input::field::{Field, Takes, Word};
use crate::input::raw::train::BY_KIND;
use crate::input::raw::{TABLES, TableAbout};
use crate::input::table::{range, taken};
use crate::input::words::Kind;
use crate::quantity::suggest::nearest;
use crate::report::lookup::{self as write, KeyAbout};
use crate::report::{Report, Topic};
use crate::train::catalogue::{GenericPart, generic_part, generic_parts};
use crate::train::worded::Worded;
use clap::Subcommand;

const EXAMPLES: &str = "\
Examples:
  fuelwright lookup parts solenoid-valve
  fuelwright lookup words actuation
  fuelwright lookup words tank.setting
  fuelwright lookup keys injector";

/// Flags of `lookup`.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub struct LookupArgs {
    /// What to look up.
    #[command(subcommand)]
    pub what: What,
}

/// What can be looked up.
#[derive(Debug, Clone, Subcommand)]
pub enum What {
    /// Generic parts of the catalogue, by which a part fills what it leaves out: `catalogue = "NAME"`.
    Parts {
        /// Kind of part, such as solenoid-valve, or the name of one part; every part if left out.
        kind: Option<String>,
    },
    /// Words, units and range that a key takes.
    Words {
        /// Key of a rig file, such as actuation; with its table where only that one is wanted: tank.setting.
        key: String,
    },
    /// Keys of a rig file.
    Keys {
        /// Table, such as injector, or kind of part, such as regulator; the list of tables if left out.
        table: Option<String>,
    },
}

/// Looks it up.
///
/// # Errors
/// A kind, key or table that is not there.
pub fn run(args: &LookupArgs, context: &Context) -> Result<Report, CliError> {
    match &args.what {
        What::Parts { kind } => parts(kind.as_deref(), context),
        What::Words { key } => words(key),
        What::Keys { table } => keys(table.as_deref()),
    }
}

fn report(title: impl Into<String>) -> Report {
    Report::new(Topic::Lookup, title)
}

fn parts(wanted: Option<&str>, context: &Context) -> Result<Report, CliError> {
    let all = generic_parts();
    let Some(wanted) = wanted else {
        let mut report = report(format!("{} generic parts", all.len()));
        write::all_parts(&mut report, all);
        report.remark("`fuelwright lookup parts KIND` says what each is, with the name of a part its values. A part on a rig has a data sheet of its own, and that decides.");
        return Ok(report);
    };
    if let Some(part) = generic_part(wanted) {
        let mut report = report(format!("{}, a generic {}", part.name, part.kind));
        write::part(&mut report, part);
        for basis in part.basis.values() {
            report.cite(
                &context.library,
                basis.split([':', ' ']).next().unwrap_or_default(),
            );
        }
        return Ok(report);
    }
    let kinds = || Kind::WORDS.iter().map(|(_, word)| *word);
    if kinds().all(|kind| kind != wanted) {
        let names = all.iter().map(|p| p.name.as_str());
        return Err(CliError::NotListed {
            what: "kind of part",
            word: wanted.to_owned(),
            suggestion: nearest(wanted, kinds().chain(names)).map(str::to_owned),
            lists: "lookup words train.kind",
        });
    }
    let of_kind: Vec<&GenericPart> = all.iter().filter(|p| p.kind == wanted).collect();
    let mut report = report(match of_kind.len() {
        0 => format!("No generic {wanted} in the catalogue"),
        1 => format!("1 generic {wanted}"),
        n => format!("{n} generic parts of kind {wanted}"),
    });
    write::parts(&mut report, &of_kind);
    report.remark(if of_kind.is_empty() {
        format!("Give a {wanted} the values of its data sheet; `fuelwright lookup keys train` lists the keys.")
    } else {
        "With `catalogue = \"NAME\"` a part takes from it what it leaves out.".to_owned()
    });
    Ok(report)
}

fn words(wanted: &str) -> Result<Report, CliError> {
    let (table, key) = match wanted.split_once('.') {
        Some((table, behind)) => (Some(table), behind.rsplit('.').next().unwrap_or(behind)),
        None => (None, wanted),
    };
    let table = table.map(|table| table.trim_matches(['[', ']']));
    let tables = || {
        TABLES
            .iter()
            .filter(|t| table.is_none_or(|name| name == t.name))
    };
    if let (Some(name), None) = (table, tables().next()) {
        return Err(no_table(name));
    }
    let all: Vec<KeyAbout> = tables().flat_map(of_table).collect();
    let found: Vec<KeyAbout> = all.iter().filter(|k| k.key == key).cloned().collect();
    if found.is_empty() {
        return Err(CliError::NotListed {
            what: "key",
            word: wanted.to_owned(),
            suggestion: nearest(key, all.iter().map(|k| k.key)).map(str::to_owned),
            lists: "lookup keys --full",
        });
    }
    let mut report = report(format!("`{key}` in a rig file"));
    write::words(&mut report, &found);
    Ok(report)
}

fn keys(wanted: Option<&str>) -> Result<Report, CliError> {
    let Some(wanted) = wanted else {
        let keys: Vec<KeyAbout> = TABLES.iter().flat_map(of_table).collect();
        let mut report = report(format!("{} keys of a rig file", keys.len()));
        let about = |table: &TableAbout| write::TableAbout {
            heading: shown(table),
            keys: of_table(table).len(),
            meaning: table.own().meaning,
        };
        let tables: Vec<write::TableAbout> = TABLES.iter().map(about).collect();
        write::tables(&mut report, &tables, &keys);
        report.remark("`fuelwright lookup keys TABLE` lists the keys of a table, `fuelwright lookup words KEY` says what a key takes.");
        return Ok(report);
    };
    let name = wanted.trim_matches(['[', ']']);
    if let Some(table) = TableAbout::named(name) {
        let mut report = report(format!("Keys of {}", shown(table)));
        write::keys(&mut report, &shown(table), &of_table(table));
        return Ok(report);
    }
    let all: Vec<KeyAbout> = TABLES.iter().flat_map(of_table).collect();
    let of_kind = |k: &&KeyAbout| k.kinds.split(", ").any(|kind| kind == name);
    let keys: Vec<KeyAbout> = all.iter().filter(of_kind).cloned().collect();
    let table = keys.first().ok_or_else(|| no_table(name))?.table.clone();
    let mut report = report(format!("Keys of a part of kind {name}"));
    write::keys(&mut report, &table, &keys);
    report.remark("`fuelwright lookup keys train` lists those that every part may have.");
    Ok(report)
}

fn no_table(name: &str) -> CliError {
    let kinds = Kind::WORDS.iter().map(|(_, word)| *word);
    let names = TABLES.iter().map(|t| t.name).chain(kinds);
    CliError::NotListed {
        what: "table",
        word: name.to_owned(),
        suggestion: nearest(name, names).map(str::to_owned),
        lists: "lookup keys",
    }
}

/// The keys of a table, those of its kinds too.
fn of_table(table: &TableAbout) -> Vec<KeyAbout> {
    let keys = table.sections().into_iter().flat_map(|section| {
        let kinds = section
            .heading
            .strip_prefix(BY_KIND)
            .unwrap_or("")
            .to_owned();
        let heading = match kinds.as_str() {
            "" => shown(table),
            kinds => format!("{} of {kinds}", shown(table)),
        };
        let fields = section.fields.iter();
        fields.map(move |f| about(f, table.name, heading.clone(), kinds.clone()))
    });
    keys.collect()
}

/// The heading of a table as texts show it.
fn shown(table: &TableAbout) -> String {
    format!("`{}`", table.heading())
}

fn about(field: &Field, name: &'static str, table: String, kinds: String) -> KeyAbout {
    KeyAbout {
        name,
        table,
        kinds,
        key: field.key,
        required: field.required,
        takes: takes(field),
        range: range(field),
        words: words_of(field),
        example: field.example,
        meaning: field.meaning,
    }
}

/// What a key takes: the units of a quantity, and no words, which stand below.
fn takes(field: &Field) -> String {
    match &field.takes {
        Takes::Quantity(_, writing) => {
            format!("{}, in {}", taken(field), writing.symbols().join(", "))
        }
        Takes::List(inner) if matches!(**inner, Takes::Word(_)) => "a list of words".to_owned(),
        Takes::Counts(_) => "whole numbers by words".to_owned(),
        Takes::Word(_) | Takes::Flag => "a word".to_owned(),
        _ => taken(field),
    }
}

/// The words that a key takes.
fn words_of(field: &Field) -> Vec<Word> {
    fn of(takes: &Takes) -> Vec<Word> {
        match takes {
            Takes::Word(words) | Takes::Counts(words) => words.clone(),
            Takes::Flag => vec![("true", "yes"), ("false", "no")],
            Takes::List(inner) => of(inner),
            _ => Vec::new(),
        }
    }
    let mut words = of(&field.takes);
    if field.takes_none && words.iter().all(|(word, _)| *word != "none") {
        words.push(("none", "there is none"));
    }
    words
}
