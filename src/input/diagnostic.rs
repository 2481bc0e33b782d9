//! Mistakes in a file, pointed at: code, message, labels on the text, help.

use crate::quantity::printable::{message, printable, repeated};
use annotate_snippets::{AnnotationKind, Level, Origin, Renderer, Snippet, renderer::DecorStyle};
use std::ops::Range;

/// Most lines of mistakes listed in one run, the count of the rest included.
pub const MOST_LINES: usize = 60;
/// Most mistakes of syntax listed: the first hides what follows.
pub const MOST_OF_SYNTAX: usize = 3;
/// Longest line shown, bytes; a longer one is cut around the place.
const LONGEST_LINE: usize = 240;

/// One mistake.
#[derive(Debug, Clone, PartialEq)]
pub struct Diagnostic {
    /// Its code, one of [`CODES`].
    pub code: &'static str,
    /// What is wrong.
    pub message: String,
    /// Places in the file; the first is the one to go to.
    pub labels: Vec<Label>,
    /// What to do.
    pub help: Option<String>,
}

/// A place in the file with a word about it.
#[derive(Debug, Clone, PartialEq)]
pub struct Label {
    /// Bytes of the text.
    pub span: Range<usize>,
    /// What stands there.
    pub text: String,
}

impl Label {
    /// A place with a word about it.
    pub fn new(span: Range<usize>, text: impl Into<String>) -> Self {
        Self {
            span,
            text: text.into(),
        }
    }
}

/// Every code and what it stands for. A code is never used for anything else.
pub const CODES: &[(&str, &str)] = &[
    ("E101", "the file cannot be found"),
    (
        "E102",
        "the path is a folder, pipe or device and not a file",
    ),
    ("E103", "the file may not be read"),
    ("E104", "the file is too large"),
    ("E105", "the file is not UTF-8 text"),
    ("E106", "reading the file failed"),
    ("E110", "the file is not TOML"),
    ("E111", "tables or lists are nested too deep"),
    ("E112", "a key is given twice"),
    ("E201", "a value is not the quantity asked for"),
    ("E202", "a value is of the wrong type"),
    ("E203", "a key is not known"),
    ("E204", "a key is missing"),
    ("E205", "a word is not one of those accepted"),
    ("E206", "a value is out of range"),
    ("E207", "a list is too long or too short"),
    ("E208", "a key does not belong to this kind of part"),
    ("E209", "a value is still to be filled in"),
    ("E210", "a fuel is not known or a blend does not add up"),
    ("E301", "several keys are given of which one is enough"),
    ("E302", "none of several keys is given"),
    ("E303", "two values contradict each other"),
    ("E304", "a name is not defined anywhere"),
    ("E305", "a name is used twice"),
];

/// The mistakes of one file, with the text they are in.
#[derive(Debug, Clone, PartialEq)]
pub struct Diagnostics {
    /// Path as the user gave it.
    pub path: String,
    /// Text of the file; empty where it could not be read.
    pub text: String,
    /// The mistakes, in the order of the file.
    pub list: Vec<Diagnostic>,
}

impl Diagnostics {
    /// The mistakes as text.
    pub fn render(&self, colour: bool) -> String {
        let renderer = if colour {
            Renderer::styled()
        } else {
            Renderer::plain()
        }
        .decor_style(DecorStyle::Ascii);
        // what is no TOML at all, such as a page of text, is wrong in every line: a few are enough
        let syntax = self.list.iter().any(|d| d.code == "E110");
        let most = if syntax {
            MOST_OF_SYNTAX
        } else {
            self.list.len()
        };
        let blocks = self.list.iter().take(most);
        let mut blocks = first_of(blocks.map(|d| self.render_one(d, &renderer)), "\n\n");
        let more = self.list.len() - blocks.len();
        if more > 0 {
            let doubt = if syntax {
                ": is it a rig file? `fuelwright start` writes one to begin with"
            } else {
                ""
            };
            let mistakes = if more == 1 { "mistake" } else { "mistakes" };
            blocks.push(message(&format!(
                "and {more} more {mistakes} in {}{doubt}",
                self.path
            )));
        }
        blocks.join("\n\n")
    }

    fn render_one(&self, d: &Diagnostic, renderer: &Renderer) -> String {
        let title = Level::ERROR.primary_title(message(&d.message)).id(d.code);
        let path = repeated(&self.path);
        let help = d
            .help
            .as_ref()
            .map(|help| Level::HELP.message(message(help)));
        let Some(first) = d.labels.first() else {
            // no place in the text: the file itself is the matter
            let group = title.element(Origin::path(&path)).elements(help);
            return renderer.render(&[group]);
        };
        let window = self.window(d);
        let text = printable(&window.text);
        let annotations = d.labels.iter().enumerate().map(|(i, label)| {
            let kind = if i == 0 {
                AnnotationKind::Primary
            } else {
                AnnotationKind::Context
            };
            kind.span(window.narrowed(&label.span))
                .label(message(&label.text))
        });
        let snippet = Snippet::source(&*text)
            .path(&path)
            .line_start(window.first_line)
            .fold(true)
            .annotations(annotations);
        let shown = renderer.render(&[title.element(snippet).elements(help)]);
        // the renderer counts columns in what is shown, an editor in what is there
        let (line, column) = line_and_column(&self.text, first.span.start);
        let (_, drawn) = line_and_column(&text, window.narrowed(&first.span).start);
        let place = |column: usize| format!("{path}:{line}:{column}");
        shown.replacen(&place(drawn), &place(column), 1)
    }

    /// The lines that the labels stand in. A line too long to show is cut around the first of them.
    fn window(&self, d: &Diagnostic) -> Window {
        let lowest = d.labels.iter().map(|l| l.span.start).min().unwrap_or(0);
        let highest = d.labels.iter().map(|l| l.span.end).max().unwrap_or(0);
        let start = line_start(&self.text, lowest);
        let end = line_end(&self.text, highest.max(lowest));
        let first_line = self.text[..start].matches('\n').count() + 1;
        let lines = &self.text[start..end];
        if lines.lines().all(|l| l.len() <= LONGEST_LINE) {
            return Window {
                text: lines.to_owned(),
                start,
                end,
                first_line,
            };
        }
        let at = d.labels.first().map_or(0, |l| l.span.start);
        let start = boundary(
            &self.text,
            at.saturating_sub(40).max(line_start(&self.text, at)),
        );
        let end = boundary(&self.text, (at + 80).min(line_end(&self.text, at)));
        Window {
            text: self.text[start..end].to_owned(),
            start,
            end,
            first_line: self.text[..at.min(self.text.len())].matches('\n').count() + 1,
        }
    }
}

/// The first of some blocks of text, each whole, that fit into [`MOST_LINES`] with what stands between them and a
/// line for those left out; one at least.
pub fn first_of(blocks: impl Iterator<Item = String>, between: &str) -> Vec<String> {
    let gap = between.matches('\n').count() - 1;
    let mut used = 1;
    let mut kept = Vec::new();
    for block in blocks {
        used += block.lines().count() + gap;
        if used > MOST_LINES && !kept.is_empty() {
            break;
        }
        kept.push(block);
    }
    kept
}

impl std::fmt::Display for Diagnostics {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.render(false))
    }
}

impl std::error::Error for Diagnostics {}

/// The part of the text that is shown.
struct Window {
    text: String,
    start: usize,
    end: usize,
    first_line: usize,
}

impl Window {
    /// A span of the file as one of the window as it is shown, at least one character wide where there is one.
    fn narrowed(&self, span: &Range<usize>) -> Range<usize> {
        let length = self.text.len();
        let start = span.start.clamp(self.start, self.end) - self.start;
        let mut end = span.end.clamp(self.start, self.end) - self.start;
        // one line of a long value is enough to see which it is
        if let Some(line_feed) = self.text.get(start..end).and_then(|t| t.find('\n')) {
            end = start + line_feed;
        }
        let end = end.max(start + 1).min(length);
        let shown = |at: usize| printable(&self.text[..at]).len();
        shown(boundary(&self.text, start.min(end)))..shown(boundary_up(&self.text, end))
    }
}

fn line_start(text: &str, at: usize) -> usize {
    let at = boundary(text, at);
    text[..at].rfind('\n').map_or(0, |i| i + 1)
}

fn line_end(text: &str, at: usize) -> usize {
    let at = boundary(text, at);
    text[at..].find('\n').map_or(text.len(), |i| at + i)
}

/// The nearest character boundary at or before a byte.
fn boundary(text: &str, mut at: usize) -> usize {
    at = at.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

/// The nearest character boundary at or after a byte.
fn boundary_up(text: &str, mut at: usize) -> usize {
    at = at.min(text.len());
    while !text.is_char_boundary(at) {
        at += 1;
    }
    at
}

/// Line and column, both from one, of a byte of a text.
pub fn line_and_column(text: &str, at: usize) -> (usize, usize) {
    let at = boundary(text, at);
    let start = line_start(text, at);
    (
        text[..start].matches('\n').count() + 1,
        text[start..at].chars().count() + 1,
    )
}
