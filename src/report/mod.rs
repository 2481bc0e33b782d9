//! What a command has to say, as plain data: facts, tables, findings, assumptions, sources, cautions.
//!
//! Numbers stay in SI until a writer ([`text`], [`html`], [`markdown`], [`json`]) shows them. The JSON object
//! stands beside the sections, because its keys are a contract and a table's headings are not.

pub(crate) mod answers;
pub mod audit;
pub mod audit_supply;
mod blocks;
pub mod calibration;
pub mod cautions;
pub mod checklist;
pub mod choices;
pub mod compare;
pub mod convert;
pub mod diagram;
mod figures;
pub mod finding;
mod findings_apart;
pub mod flame;
pub mod flames;
pub mod flow_test;
pub mod fuel;
pub mod fuels;
pub mod html;
pub mod injector;
pub mod json;
pub mod leak;
pub mod leak_plan;
pub mod leak_test;
pub mod lookup;
mod main_pressure;
pub mod mark;
pub mod markdown;
pub mod mass;
pub mod measures;
pub mod orifice;
pub mod outcome;
mod part;
pub mod pipe;
pub mod plan;
pub mod plot;
pub mod properties;
pub mod pump;
pub mod ranges;
pub(crate) mod record;
pub mod relief;
pub mod remedies;
pub mod rig;
pub mod rules;
pub mod second_opinion;
mod sheets;
pub mod shutdown;
pub mod side_by_side;
pub mod sources;
pub mod spray;
pub mod sweep;
pub mod tank;
pub mod template;
pub mod text;
mod thin;
mod to_write;
pub mod tolerance;
pub mod train;
pub mod trapped;
mod words;

pub use blocks::{Column, Entry, Fact, Lines, Table, Tick, Value};
pub use cautions::{FuelTraits, Topic};
pub use finding::{Finding, Signal};
pub use plot::Plot;

use crate::fuel::{Composition, Library, SourceKey};
use crate::quantity::sentence::Sentence;
use std::collections::BTreeMap;

/// Heading of what the properties were worked out with.
pub const MODEL: &str = "Model";

/// Heading of all that rules found, at length.
pub const FINDINGS: &str = "Findings at length";

/// The whole answer of one command.
#[derive(Debug, Clone, PartialEq)]
pub struct Report {
    /// What it is about; decides the cautions.
    pub topic: Topic,
    /// Headline.
    pub title: String,
    /// Body, in order.
    pub sections: Vec<Section>,
    /// What rules found; `None` where no rule was asked.
    pub findings: Option<Vec<Finding>>,
    /// Whether rules that were asked about the rigs behind it found DANGER or WARNING, where the findings
    /// themselves are not of this report: steps of a sweep, two rigs side by side.
    pub alarms: bool,
    /// What a reader must know about the figures. One sentence each.
    pub notes: Vec<Sentence>,
    /// What was taken for granted: defaults, estimated coefficients, spreads. One sentence each.
    pub assumptions: Vec<Sentence>,
    /// Citations by key.
    pub sources: BTreeMap<SourceKey, String>,
    /// The machine-readable answer.
    pub json: serde_json::Map<String, serde_json::Value>,
    /// Whether its appendix prints with it; else that folds on a screen and stays off paper.
    pub appendix_prints: bool,
    /// Chapter that the next section belongs to.
    chapter: Option<String>,
    /// Whether the next section belongs to the appendix.
    in_appendix: bool,
    /// What of the fuels it speaks of decides cautions.
    fuels: Vec<FuelTraits>,
    /// Those fuels.
    burnt: Vec<String>,
}

impl Report {
    /// An empty report on a topic.
    pub fn new(topic: Topic, title: impl Into<String>) -> Self {
        Self {
            topic,
            title: title.into(),
            sections: Vec::new(),
            findings: None,
            alarms: false,
            notes: Vec::new(),
            assumptions: Vec::new(),
            sources: BTreeMap::new(),
            json: serde_json::Map::new(),
            appendix_prints: false,
            chapter: None,
            in_appendix: false,
            fuels: Vec::new(),
            burnt: Vec::new(),
        }
    }

    /// Says that it speaks of a fuel: some cautions go by what burns.
    pub fn burns(&mut self, fuel: &Composition) {
        let label = fuel.label().to_owned();
        if !self.burnt.contains(&label) {
            self.burnt.push(label);
        }
        let traits = FuelTraits::of(fuel);
        if !self.fuels.contains(&traits) {
            self.fuels.push(traits);
        }
    }

    /// Begins a chapter: sections that follow belong to it. Only a long report has chapters.
    pub fn chapter(&mut self, heading: &str) {
        self.chapter = Some(heading.to_owned());
    }

    /// Begins the appendix: what stands before it are sheets to be carried along.
    pub fn appendix(&mut self) {
        self.in_appendix = true;
    }

    /// Whether there is an appendix.
    pub fn has_appendix(&self) -> bool {
        self.in_appendix
    }

    /// Adds a section of facts; nothing if there are none.
    pub fn facts(&mut self, heading: &str, facts: Vec<Fact>) {
        if !facts.is_empty() {
            self.section(heading, Block::Facts(facts));
        }
    }

    /// Adds a section with a table; nothing if it has no rows.
    pub fn table(&mut self, heading: &str, table: Table) {
        if !table.rows.is_empty() {
            self.section(heading, Block::Table(table));
        }
    }

    /// Adds a section with a paragraph.
    pub fn paragraph(&mut self, heading: &str, text: impl Into<String>) {
        self.section(heading, Block::Text(text.into()));
    }

    /// Adds a figure; nothing if it has nothing to draw. Writers that cannot draw leave it out, so what it
    /// shows belongs in a table too: one of its section, or the plot's own.
    pub fn plot(&mut self, heading: &str, plot: Plot) {
        if !plot.is_empty() {
            self.section(heading, Block::Plot(plot));
        }
    }

    /// Adds a block of any kind.
    pub fn block(&mut self, heading: &str, block: Block) {
        self.section(heading, block);
    }

    fn section(&mut self, heading: &str, block: Block) {
        match self.sections.last_mut() {
            Some(last) if last.heading == heading && last.chapter == self.chapter => {
                last.blocks.push(block);
            }
            _ => self.sections.push(Section {
                chapter: self.chapter.clone(),
                in_appendix: self.in_appendix,
                heading: heading.to_owned(),
                blocks: vec![block],
            }),
        }
    }

    /// Adds a key to the JSON object. Numbers go through [`Self::number`].
    pub fn key(&mut self, key: &str, value: impl Into<serde_json::Value>) {
        self.json.insert(key.to_owned(), value.into());
    }

    /// Adds a number to the JSON object; `null` where there is none.
    pub fn number(&mut self, key: &str, value: impl Into<Option<f64>>) {
        self.key(key, record::number(value));
    }

    /// Adds the keys of a record.
    pub(crate) fn keys(&mut self, row: &record::Row) {
        self.json.extend(row.json());
    }

    /// Says what a reader must know; the same sentence once only.
    pub fn remark(&mut self, sentence: impl Into<Sentence>) {
        once(&mut self.notes, sentence.into());
    }

    /// Says what was taken for granted; the same sentence once only.
    pub fn assume(&mut self, sentence: impl Into<Sentence>) {
        once(&mut self.assumptions, sentence.into());
    }

    /// Names a source by its key, with the citation of the library and how its numbers were read.
    pub fn cite(&mut self, library: &Library, key: &str) {
        if let Some(source) = library.source(key) {
            let citation = match source.note {
                Some(note) => format!("{} ({note})", source.citation),
                None => source.citation,
            };
            self.sources.insert(key.to_owned(), citation);
        }
    }

    /// Explains every source key that the report mentions: of a fact, or in brackets in a text.
    pub fn cite_mentioned(&mut self, library: &Library) {
        let said = self.notes.iter().chain(&self.assumptions);
        let said: Vec<String> = said.map(ToString::to_string).collect();
        let mut texts: Vec<&str> = said.iter().map(String::as_str).collect();
        for f in self.findings.iter().flatten() {
            texts.extend([&f.measured, &f.limit, &f.source, &f.advice].map(String::as_str));
        }
        let mut keys: Vec<String> = Vec::new();
        for block in self.sections.iter().flat_map(|s| &s.blocks) {
            match block {
                Block::Text(text) => texts.push(text),
                Block::Plot(plot) => texts.push(&plot.description),
                Block::Checklist(items) => texts.extend(items.iter().map(|t| t.text.as_str())),
                Block::Listing(_) | Block::Lines(_) | Block::Cautions => {}
                Block::Facts(facts) => {
                    for fact in facts {
                        keys.extend(fact.source.clone());
                        texts.extend(fact.note.as_deref());
                        if let Value::Text(text) = &fact.value {
                            texts.push(text);
                        }
                    }
                }
                Block::Table(table) => {
                    for cell in table.rows.iter().flatten() {
                        if let Value::Text(text) = cell {
                            texts.push(text);
                        }
                    }
                }
            }
        }
        keys.extend(texts.into_iter().flat_map(bracketed));
        for key in keys {
            self.cite(library, &key);
        }
    }

    /// The cautions of the topic with the fuels it speaks of, and the closing statement.
    pub fn cautions(&self) -> Vec<&'static str> {
        self.topic.cautions_with(&self.fuels)
    }

    /// Whether a finding asks for action before anything else: DANGER or WARNING.
    pub fn has_alarms(&self) -> bool {
        self.alarms
            || self
                .findings
                .iter()
                .flatten()
                .any(|f| matches!(f.signal, Signal::Danger | Signal::Warning))
    }
}

/// Adds a sentence unless one that reads the same is there.
fn once(list: &mut Vec<Sentence>, sentence: Sentence) {
    let text = sentence.to_string();
    if list.iter().all(|other| other.to_string() != text) {
        list.push(sentence);
    }
}

/// What stands in brackets in a text, separated by commas.
fn bracketed(text: &str) -> Vec<String> {
    let inside = text
        .split('[')
        .skip(1)
        .filter_map(|rest| Some(rest.split_once(']')?.0));
    inside
        .flat_map(|list| list.split(','))
        .map(|key| key.trim().to_owned())
        .collect()
}

/// A part of a report under one heading.
#[derive(Debug, Clone, PartialEq)]
pub struct Section {
    /// Chapter it belongs to.
    pub chapter: Option<String>,
    /// Whether it belongs to the appendix.
    pub in_appendix: bool,
    /// Heading.
    pub heading: String,
    /// Content, in order.
    pub blocks: Vec<Block>,
}

/// Content of a section.
#[derive(Debug, Clone, PartialEq)]
pub enum Block {
    /// Names and values.
    Facts(Vec<Fact>),
    /// Rows and columns.
    Table(Table),
    /// A paragraph.
    Text(String),
    /// A figure.
    Plot(Plot),
    /// Things to do or look at, each with a box to tick.
    Checklist(Vec<Tick>),
    /// A file as it was given.
    Listing(String),
    /// Lines to write in a file, under what they answer.
    Lines(Vec<Lines>),
    /// The cautions, which stand here and not at the end; a text has them at its end all the same.
    Cautions,
}
