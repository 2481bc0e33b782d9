//! `sources`: where the figures come from, how far each source was looked up, and what rests on it.

use super::context::Context;
use super::error::CliError;
use crate::fuel::{Grade, Library, Source};
use crate::quantity::suggest::nearest;
use crate::report::{Column, Report, Table, Topic, Value};
use serde_json::json;

/// Flags of `sources`.
#[derive(Debug, clap::Args)]
pub struct SourcesArgs {
    /// Key of one source: says what it is and where it is used.
    #[arg(value_name = "KEY")]
    pub key: Option<String>,
}

/// `key<TAB>place<TAB>place`, made when the program is built.
static USES: &str = include_str!(concat!(env!("OUT_DIR"), "/source_uses.tsv"));

fn used_in(key: &str) -> Vec<&'static str> {
    let line = USES.lines().find_map(|l| {
        let (found, places) = l.split_once('\t')?;
        (found == key).then_some(places)
    });
    line.map(|l| l.split('\t').filter(|p| !p.is_empty()).collect())
        .unwrap_or_default()
}

/// What a grade means, as a heading.
fn meaning(grade: Grade) -> &'static str {
    match grade {
        Grade::Memory => "From memory: not confirmed",
        Grade::Choice => "Our choice",
        Grade::Carried => "Carried: as a named library or listing has it",
        Grade::Published => "Published: read in the document or on a public page that prints it",
    }
}

/// Lists the sources, or says what one is.
///
/// # Errors
/// A source that is not there.
pub fn run(args: &SourcesArgs, _context: &Context) -> Result<Report, CliError> {
    let library = Library::embedded();
    let Some(wanted) = &args.key else {
        return Ok(list(&library));
    };
    let all = || library.all_sources();
    let (key, source) = all()
        .find(|(key, _)| key.eq_ignore_ascii_case(wanted))
        .ok_or_else(|| CliError::NoSuchSource {
            key: wanted.clone(),
            suggestion: nearest(wanted, all().map(|(key, _)| key)).map(str::to_owned),
        })?;
    let mut report = Report::new(Topic::Sources, key);
    report.paragraph("What it is", source.citation.as_str());
    if let Some(grade) = source.grade {
        report.paragraph("How far it was looked up", meaning(grade));
    }
    if let Some(note) = &source.note {
        report.paragraph("How it was read", note.as_str());
    }
    report.paragraph("Used in", used_in(key).join(", "));
    report.key("source_list", vec![data(key, source)]);
    Ok(report)
}

fn data(key: &str, source: &Source) -> serde_json::Value {
    json!({
        "key": key,
        "grade": source.grade.map(Grade::name),
        "citation": source.citation,
        "doi": source.doi,
        "note": source.note,
        "used_in": used_in(key),
    })
}

fn list(library: &Library) -> Report {
    let of = |grade| {
        let all = library.all_sources();
        all.filter(move |(_, s)| s.grade == Some(grade))
    };
    let counts = Grade::ALL.map(|g| format!("{} {}", of(g).count(), g.name()));
    let mut report = Report::new(
        Topic::Sources,
        format!(
            "{} sources: {}",
            library.all_sources().count(),
            counts.join(", ")
        ),
    );
    for grade in Grade::ALL {
        let mut table = Table::new(vec![
            Column::new("key"),
            Column::new("how it was read"),
            Column::new("used in"),
        ]);
        for (key, source) in of(grade) {
            let places = used_in(key);
            let mut shown = places
                .iter()
                .take(3)
                .copied()
                .collect::<Vec<_>>()
                .join(", ");
            if places.len() > 3 {
                shown = format!("{shown} and {} more", places.len() - 3);
            }
            table.row(vec![
                Value::from(key),
                Value::Text(
                    source
                        .note
                        .clone()
                        .unwrap_or_else(|| source.citation.clone()),
                ),
                Value::Text(shown),
            ]);
        }
        report.table(meaning(grade), table);
    }
    report.key(
        "source_list",
        library
            .all_sources()
            .map(|(k, s)| data(k, s))
            .collect::<Vec<_>>(),
    );
    report
}
