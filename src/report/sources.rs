//! Sources of the figures: how far each was looked up, and what rests on it.

use super::record::{Row, record, table};
use super::{Column, Report, Table, Value};
use crate::fuel::{Grade, Library, Source};

/// `key<TAB>place<TAB>place`, made when the program is built.
static USES: &str = include_str!(concat!(env!("OUT_DIR"), "/source_uses.tsv"));

record! {
    /// A source.
    SourceOf(key: &str, source: &Source)
    with {
        places = used_in(key);
        more = places.len().saturating_sub(3);
        some = places[..places.len() - more].join(", ");
    }
    {
        key: Text = key, "key";
        /// How far it was looked up.
        grade: Text = source.grade.map(Grade::name);
        /// Citation.
        citation: Text = &source.citation;
        /// Its digital object identifier.
        doi: Text = source.doi.as_deref();
        note: Text = source.note.as_deref(), "how it was read"
            => Text = source.note.as_ref().unwrap_or(&source.citation);
        used_in: Texts = places.clone(), "used in"
            => Text = if more > 0 { format!("{some} and {more} more") } else { some };
    }

    /// The sources asked for.
    Sources(sources: Vec<Row>) {
        source_list: Rows(SourceOf) = sources;
    }
}

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

/// Adds what one source is.
pub fn source(report: &mut Report, key: &str, source: &Source) {
    report.paragraph("What it is", source.citation.as_str());
    if let Some(grade) = source.grade {
        report.paragraph("How far it was looked up", meaning(grade));
    }
    if let Some(note) = &source.note {
        report.paragraph("How it was read", note.as_str());
    }
    report.paragraph("Used in", used_in(key).join(", "));
    report.keys(&Sources::row(vec![SourceOf::row(key, source)]));
}

/// Adds all sources, by grade.
pub fn sources(report: &mut Report, library: &Library) {
    let mut by_grade = Table::new(["how far looked up", "sources"].map(Column::new).into());
    for grade in Grade::ALL {
        let of = library
            .all_sources()
            .filter(|(_, s)| s.grade == Some(grade));
        by_grade.row(vec![Value::from(meaning(grade)), Value::Count(of.count())]);
    }
    report.table("By grade", by_grade);
    for grade in Grade::ALL {
        let of = library
            .all_sources()
            .filter(|(_, s)| s.grade == Some(grade));
        let rows: Vec<Row> = of.map(|(key, s)| SourceOf::row(key, s)).collect();
        report.table(meaning(grade), table(&rows));
    }
    let all = library.all_sources().map(|(key, s)| SourceOf::row(key, s));
    report.keys(&Sources::row(all.collect()));
}
