//! Catalogue parts, keys of a rig file and the words that a key takes.

use super::record::{Row, record, table, table_of};
use super::{Fact, Report};
use crate::train::catalogue::GenericPart;
use std::collections::BTreeSet;

record! {
    /// A value of a catalogue part.
    PartValue(key: &str, value: &toml::Value, basis: &str) {
        key: Text = key, "key";
        /// As it would be written in a rig file.
        value: Text = value.to_string(), "value";
        /// Source and what was done with it, or why it was chosen.
        basis: Text = basis, "basis";
    }

    /// A part of the catalogue.
    PartOf(part: &GenericPart)
    with { basis = |key: &String| part.basis.get(key).map_or("", String::as_str); }
    {
        name: Text = &part.name, "name";
        /// Its kind.
        kind: Text = &part.kind;
        about: Text = &part.about, "what it is";
        values: Rows(PartValue) = part.values.iter()
            .map(|(key, value)| PartValue::row(key, value, basis(key))).collect::<Vec<_>>();
    }

    /// Parts of a kind.
    OfKind(kind: &str, names: &[&str]) {
        (kind): Text = kind, "kind";
        (names): Text = names.join(", "), "parts";
    }

    /// Keys of some kinds of part.
    KeysOfKind(kinds: &str, keys: &[&str]) {
        (kinds): Text = kinds, "kind";
        (keys): Text = keys.join(", "), "keys";
    }

    /// Parts of the catalogue.
    Parts(parts: Vec<Row>) {
        parts: Rows(PartOf) = parts;
    }

    /// A word that a key takes.
    WordOf(word: &str, meaning: &str) {
        word: Text = word, "word";
        meaning: Text = meaning, "meaning";
    }

    /// A key of a rig file.
    KeyOf(key: &KeyAbout) {
        key: Text = key.key, "key";
        /// Its table.
        table: Text = key.name, "table" => Text = &key.table;
        /// The kinds of part that take it, where not all of its table do.
        kinds: Text = Some(&key.kinds).filter(|kinds| !kinds.is_empty());
        /// Whether a rig file must have it.
        required: Flag = key.required, "needed" => Text = if key.required { "yes" } else { "" };
        takes: Text = &key.takes, "takes";
        /// Range of its values, empty for any.
        range: Text = &key.range, "range";
        /// An example value, as TOML.
        example: Text = key.example, "example" [optional];
        meaning: Text = key.meaning, "meaning";
    }

    /// A table of a rig file.
    TableOf(about: &TableAbout) {
        (table): Text = &about.heading, "table";
        (keys): Count = about.keys, "keys";
        (meaning): Text = about.meaning, "what it is";
    }

    /// What a key takes.
    Words(words: Vec<Row>, keys: Vec<Row>) {
        /// Words that it takes; none where it takes a quantity, a number, a date or text.
        words: Rows(WordOf) = words;
        /// The keys of that name.
        keys: Rows(KeyOf) = keys;
    }

    /// Keys of a rig file.
    Keys(keys: Vec<Row>) {
        keys: Rows(KeyOf) = keys;
    }
}

/// A key, as it is declared.
#[derive(Debug, Clone)]
pub struct KeyAbout {
    /// Name of its table.
    pub name: &'static str,
    /// Heading of its table, with the kinds of part that take it.
    pub table: String,
    /// These kinds, separated by commas; empty for a key of the table itself.
    pub kinds: String,
    /// Its name.
    pub key: &'static str,
    /// Whether it must be given.
    pub required: bool,
    /// What it takes, with the units.
    pub takes: String,
    /// Range of its values, empty for any.
    pub range: String,
    /// Words that it takes, with their meanings.
    pub words: Vec<(&'static str, &'static str)>,
    /// An example.
    pub example: &'static str,
    /// What it means.
    pub meaning: &'static str,
}

/// A table, as it is declared.
#[derive(Debug, Clone)]
pub struct TableAbout {
    /// How it is written.
    pub heading: String,
    /// Number of its keys.
    pub keys: usize,
    /// What it is for.
    pub meaning: &'static str,
}

/// Adds the names of all parts, kind by kind.
pub fn all_parts(report: &mut Report, parts: &[GenericPart]) {
    let mut kinds: Vec<(&str, Vec<&str>)> = Vec::new();
    for part in parts {
        match kinds.iter_mut().find(|(kind, _)| *kind == part.kind) {
            Some((_, names)) => names.push(&part.name),
            None => kinds.push((&part.kind, vec![&part.name])),
        }
    }
    let rows: Vec<Row> = kinds.iter().map(|(k, n)| OfKind::row(k, n)).collect();
    report.table("Parts", table(&rows));
    report.keys(&Parts::row(parts.iter().map(PartOf::row).collect()));
}

/// Adds the parts of a kind.
pub fn parts(report: &mut Report, parts: &[&GenericPart]) {
    let rows: Vec<Row> = parts.iter().map(|p| PartOf::row(p)).collect();
    report.table("Parts", table_of(&rows, &["name", "about"]));
    report.keys(&Parts::row(rows));
}

/// Adds all of one part.
pub fn part(report: &mut Report, part: &GenericPart) {
    let row = PartOf::row(part);
    report.paragraph("What it is", part.about.as_str());
    report.table("Values", table(row.rows("values")));
    report.keys(&Parts::row(vec![row]));
}

/// Adds what the keys of a name take: one after the other, or many of them in a table.
pub fn words(report: &mut Report, keys: &[KeyAbout]) {
    let rows: Vec<Row> = keys.iter().map(KeyOf::row).collect();
    let many = keys.len() > 2;
    if many {
        report.table("Tables", table_of(&rows, &["table", "meaning"]));
        let distinct = |of: fn(&KeyAbout) -> &str| {
            let texts: BTreeSet<&str> = keys.iter().map(of).filter(|t| !t.is_empty()).collect();
            texts.into_iter().collect::<Vec<_>>().join("; ")
        };
        report.facts(
            "Values",
            vec![
                Fact::text("takes", distinct(|k| &k.takes)),
                Fact::text("range", distinct(|k| &k.range)),
                Fact::text("example", format!("{} = {}", keys[0].key, keys[0].example)),
            ],
        );
    }
    let mut words: Vec<(&str, &str)> = Vec::new();
    for key in keys {
        let line = format!("{} = {}", key.key, key.example);
        let mut facts = vec![
            Fact::text("means", key.meaning),
            Fact::text("takes", key.takes.as_str()),
            Fact::text("example", line),
        ];
        if !key.range.is_empty() {
            facts.insert(2, Fact::text("range", key.range.as_str()));
        }
        if key.required {
            facts.push(Fact::text("needed", "yes"));
        }
        if !many {
            report.facts(&key.table, facts);
        }
        words.extend(
            key.words
                .iter()
                .filter(|w| !words.contains(w))
                .copied()
                .collect::<Vec<_>>(),
        );
    }
    let words: Vec<Row> = words.iter().map(|(w, m)| WordOf::row(w, m)).collect();
    report.table("Words", table(&words));
    report.keys(&Words::row(words, rows));
}

/// Adds the tables of a rig file, with every key as detail.
pub fn tables(report: &mut Report, tables: &[TableAbout], keys: &[KeyAbout]) {
    let rows: Vec<Row> = tables.iter().map(TableOf::row).collect();
    report.table("Tables", table(&rows));
    let rows: Vec<Row> = keys.iter().map(KeyOf::row).collect();
    report.table(
        "Every key",
        table_of(&rows, &["table", "key", "required", "meaning"]),
    );
    report.keys(&Keys::row(rows));
}

/// Adds the keys of a table; where kinds of part have more, these by name.
pub fn keys(report: &mut Report, heading: &str, keys: &[KeyAbout]) {
    let rows: Vec<Row> = keys.iter().map(KeyOf::row).collect();
    let of = |k: &KeyAbout| k.table == heading;
    let own = rows.iter().zip(keys).filter(|(_, k)| of(k));
    let own: Vec<Row> = own.map(|(row, _)| row.clone()).collect();
    let columns = ["key", "required", "example", "meaning"];
    report.table(heading, table_of(&own, &columns));
    let kinds: Vec<Row> = keys
        .chunk_by(|a, b| a.table == b.table)
        .filter(|group| !of(&group[0]))
        .map(|group| {
            let names: Vec<&str> = group.iter().map(|k| k.key).collect();
            KeysOfKind::row(&group[0].kinds, &names)
        })
        .collect();
    report.table("By kind", table(&kinds));
    report.keys(&Keys::row(rows));
}
