//! The mark in every file that the program writes: who wrote it, what it is, and a checksum over the whole text.
//! A file is written over only if all of it is as it was written: one of another kind, one that somebody has
//! changed since and one from elsewhere stay.

/// What is written to files.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FileKind {
    /// Report as a page.
    HtmlReport,
    /// Report in Markdown.
    MarkdownReport,
    /// Report for machines.
    JsonReport,
    /// Report in plain text.
    TextReport,
    /// Steps of a sweep, comma-separated.
    SweepTable,
    /// Figure of a sweep.
    SweepFigure,
    /// Drilling template.
    Template,
    /// Line diagram of a train.
    Diagram,
}

use FileKind::{
    Diagram, HtmlReport, JsonReport, MarkdownReport, SweepFigure, SweepTable, Template, TextReport,
};

/// What stands before the kind in every mark.
const LEAD: &str = concat!("written by ", env!("CARGO_PKG_NAME"), ": ");
/// What stands between kind and checksum.
const CHECKSUM: &str = ", checksum ";
/// A checksum that is still to be worked out; it is computed over the text with this in its place.
const BLANK: &str = "0000000000000000";

impl FileKind {
    /// All of them.
    pub const ALL: [Self; 8] = [
        HtmlReport,
        MarkdownReport,
        JsonReport,
        TextReport,
        SweepTable,
        SweepFigure,
        Template,
        Diagram,
    ];

    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            HtmlReport => "HTML report",
            MarkdownReport => "Markdown report",
            JsonReport => "JSON report",
            TextReport => "text report",
            SweepTable => "table of a sweep",
            SweepFigure => "figure of a sweep",
            Template => "drilling template",
            Diagram => "line diagram",
        }
    }

    /// The mark with another checksum.
    fn with(self, checksum: &str) -> String {
        format!("{LEAD}{}{CHECKSUM}{checksum}", self.name())
    }

    /// The mark for a format that has a place of its own for it, as JSON and comma-separated values have: to stand
    /// in the text before that is [sealed](Self::sealed), in as many places as are wanted.
    pub(crate) fn blank(self) -> String {
        self.with(BLANK)
    }

    /// A text as it is written to a file: with its mark.
    pub fn sealed(self, text: String) -> String {
        let blank = self.blank();
        let text = match self {
            JsonReport | SweepTable => text,
            TextReport => format!("{text}\n[{blank}]\n"),
            HtmlReport | MarkdownReport | SweepFigure | Template | Diagram => {
                format!("{text}\n<!-- {blank} -->\n")
            }
        };
        let sum = checksum(&text);
        text.replace(&blank, &self.with(&sum))
    }
}

/// What a file is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Found {
    /// None of the program's.
    Foreign,
    /// One of the program's that somebody has changed since.
    Changed(FileKind),
    /// One of the program's as it was written.
    Ours(FileKind),
}

/// Looks for the mark of a file. The last one counts: behind it stands nothing that a user wrote.
pub fn found(file: &[u8]) -> Found {
    let marked = || {
        let text = std::str::from_utf8(file).ok()?;
        let (_, behind) = text.rsplit_once(LEAD)?;
        let named = |kind: &FileKind| {
            let rest = behind.strip_prefix(kind.name())?;
            let sum = rest.strip_prefix(CHECKSUM)?.get(..BLANK.len())?;
            Some((*kind, sum))
        };
        let (kind, sum) = FileKind::ALL.iter().find_map(named)?;
        let open = text.replace(&kind.with(sum), &kind.blank());
        Some(if checksum(&open) == sum {
            Found::Ours(kind)
        } else {
            Found::Changed(kind)
        })
    };
    marked().unwrap_or(Found::Foreign)
}

/// FNV-1a of 64 bits in hexadecimal: enough to see a change, and no guard against somebody who wants to deceive.
/// Constants from memory; what they are matters to nobody but this file.
fn checksum(text: &str) -> String {
    let hash = text.bytes().fold(0xcbf2_9ce4_8422_2325_u64, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
    });
    format!("{hash:016x}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_kind_is_known_again_and_no_byte_may_change() {
        for kind in FileKind::ALL {
            let file = kind.sealed(format!("{{\"a\": \"{}\"}}\n", kind.blank()));
            assert_eq!(found(file.as_bytes()), Found::Ours(kind));
            for i in 0..file.len() {
                let mut other = file.clone().into_bytes();
                other[i] ^= 1;
                assert_ne!(found(&other), Found::Ours(kind), "byte {i} of {file}");
                let (before, behind) = file.split_at(i);
                let longer = format!("{before} {behind}");
                assert_ne!(found(longer.as_bytes()), Found::Ours(kind), "{longer}");
                assert_ne!(found(before.as_bytes()), Found::Ours(kind), "{before}");
            }
        }
    }

    #[test]
    fn a_mark_that_a_user_wrote_into_the_text_neither_helps_nor_hurts() {
        let name = Template.with("0123456789abcdef");
        assert_eq!(found(name.as_bytes()), Found::Changed(Template));
        let file = HtmlReport.sealed(format!("<h1>{name}</h1>\n"));
        assert_eq!(found(file.as_bytes()), Found::Ours(HtmlReport));
        let blank = HtmlReport.sealed(format!("<h1>{}</h1>\n", HtmlReport.blank()));
        assert_eq!(found(blank.as_bytes()), Found::Ours(HtmlReport));
    }

    #[test]
    fn what_has_no_mark_or_is_no_text_is_foreign() {
        for file in ["", "Report of the tests\n", "<svg/>", LEAD] {
            assert_eq!(found(file.as_bytes()), Found::Foreign, "{file}");
        }
        let mut bytes = TextReport.sealed("Report\n".to_owned()).into_bytes();
        bytes[0] = 0xff;
        assert_eq!(found(&bytes), Found::Foreign);
    }
}
