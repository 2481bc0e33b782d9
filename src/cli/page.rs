//! What the output goes to: width, colour, quiet.

use crate::train::rig::Date;
use std::fmt::Write;
use std::io::IsTerminal;
use std::time::{SystemTime, UNIX_EPOCH};

/// The page that is written on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Page {
    /// Characters a line.
    pub width: usize,
    /// Whether long work says how far it is, on the error stream of the process.
    pub progress: bool,
    /// Whether headings and signal words of the answer are coloured.
    pub colour: bool,
    /// Whether messages are.
    pub colour_of_messages: bool,
    /// Day of the calendar; `None`: none is asked for, and the same input gives the same answer on every day.
    pub today: Option<Date>,
}

impl Page {
    /// A page of so many characters a line, without colour, progress and calendar.
    pub fn plain(width: usize) -> Self {
        Self {
            width,
            progress: false,
            colour: false,
            colour_of_messages: false,
            today: None,
        }
    }

    /// The page of the process. Colour only on a terminal that can show it, and never where the environment has
    /// `NO_COLOR` (any value but an empty one).
    pub fn of_process() -> Self {
        let set = |name: &str| std::env::var_os(name).filter(|v| !v.is_empty());
        let wanted = set("NO_COLOR").is_none() && set("TERM").is_none_or(|t| t != "dumb");
        let out = std::io::stdout().is_terminal();
        let err = std::io::stderr().is_terminal();
        Self {
            width: width(),
            progress: err,
            colour: out && wanted,
            colour_of_messages: err && wanted,
            today: today(),
        }
    }
}

/// The day in universal time: of the clock, or of `SOURCE_DATE_EPOCH`, which stands for it where the same output is
/// wanted on every day.
fn today() -> Option<Date> {
    let stated = || std::env::var("SOURCE_DATE_EPOCH").ok()?.parse::<u64>().ok();
    let clock = || Some(SystemTime::now().duration_since(UNIX_EPOCH).ok()?.as_secs());
    Date::from_unix_days(stated().or_else(clock)? / SECONDS_PER_DAY)
}

const SECONDS_PER_DAY: u64 = 86_400;

/// Characters a line: those of the terminal, else `COLUMNS`, else 80.
fn width() -> usize {
    let terminal = std::io::stdout()
        .is_terminal()
        .then(terminal_size::terminal_size)
        .flatten()
        .map(|(width, _)| usize::from(width.0).min(120));
    let columns = || std::env::var("COLUMNS").ok()?.parse().ok();
    terminal.or_else(columns).unwrap_or(80)
}

/// Signal words and the colours that ANSI Z535 gives them, as terminals know them.
const SIGNALS: [(&str, &str); 4] = [
    ("DANGER", "1;31"),
    ("WARNING", "1;38;5;208"),
    ("CAUTION", "1;33"),
    ("NOTICE", "1;34"),
];

/// A rendered answer with bold headings and coloured signal words.
pub(super) fn coloured(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 256);
    let mut after_gap = true;
    for line in text.lines() {
        let heading = after_gap && !line.is_empty() && !line.starts_with(' ');
        after_gap = line.is_empty();
        if heading {
            let _ = writeln!(out, "\x1b[1m{line}\x1b[0m");
            continue;
        }
        let body = line.trim_start();
        let indent = &line[..line.len() - body.len()];
        let found = SIGNALS
            .iter()
            .find_map(|(word, code)| Some((word, code, body.strip_prefix(word)?)));
        match found {
            Some((word, code, rest)) if rest.starts_with(' ') => {
                let _ = writeln!(out, "{indent}\x1b[{code}m{word}\x1b[0m{rest}");
            }
            _ => {
                out.push_str(line);
                out.push('\n');
            }
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = "A title\n\nFindings\n  DANGER TRN001 no-way\n    DANGEROUS word\n\nCautions\n  - One of two\n    lines.\n  - Two.\n  - Closing\n    statement.\n";

    #[test]
    fn colour_adds_codes_and_changes_no_letter() {
        let painted = coloured(TEXT);
        assert!(painted.contains("\x1b[1mFindings\x1b[0m\n"));
        assert!(painted.contains("  \x1b[1;31mDANGER\x1b[0m TRN001"));
        assert!(painted.contains("    DANGEROUS word"));
        let mut plain = String::new();
        let mut rest = painted.as_str();
        while let Some((before, code)) = rest.split_once("\x1b[") {
            plain.push_str(before);
            rest = code.split_once('m').expect("a code ends").1;
        }
        plain.push_str(rest);
        assert_eq!(plain, TEXT);
    }
}
