//! What the output goes to: width, colour, quiet.

use crate::train::rig::Date;
use std::io::IsTerminal;
use std::time::{SystemTime, UNIX_EPOCH};

/// Whether somebody can be asked, and how a question looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Asking {
    /// Nobody is there.
    No,
    /// Without colour.
    Plain,
    /// With colour.
    Coloured,
}

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
    /// Whether a person at a terminal can be asked.
    pub asking: Asking,
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
            asking: Asking::No,
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
            // questions and answers go through the error stream, so that the output may go to a file
            asking: match (err && std::io::stdin().is_terminal(), wanted) {
                (false, _) => Asking::No,
                (true, false) => Asking::Plain,
                (true, true) => Asking::Coloured,
            },
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
