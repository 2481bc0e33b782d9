//! List for a test day, made from the rig and from what the audit found: plain data.

mod before;
mod fire;
mod found;
mod gauges;
mod leak;
mod parts;
mod place;
mod proofs;
mod reading;
mod stop;
mod tests_on_record;

pub use reading::Reading;

use super::{Audit, Solution};

const PRACTICE: &str = "practice";

/// When a line is gone through.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum When {
    /// What was found, before anything else.
    Settle,
    /// Before, with the fuel shut.
    Before,
    /// Where people stand.
    Stand,
    /// What has to be at hand.
    AtHand,
    /// Fuel on, nothing lit.
    Leak,
    /// Lighting up.
    LightUp,
    /// While it runs.
    Running,
    /// Shutting down.
    ShutDown,
    /// Afterwards.
    After,
}

impl When {
    /// All, in order.
    pub const ALL: [Self; 9] = [
        Self::Settle,
        Self::Before,
        Self::Stand,
        Self::AtHand,
        Self::Leak,
        Self::LightUp,
        Self::Running,
        Self::ShutDown,
        Self::After,
    ];

    /// Heading.
    pub fn heading(self) -> &'static str {
        match self {
            Self::Settle => "Settle before lighting, as `audit` says",
            Self::Before => "Before, with the fuel shut at the supply",
            Self::Stand => "Where to stand",
            Self::AtHand => "At hand",
            Self::Leak => "Leak check: fuel on, nothing lit",
            Self::LightUp => "Light-up",
            Self::Running => "Running",
            Self::ShutDown => "Shut-down",
            Self::After => "After",
        }
    }

    /// A word for JSON.
    pub fn key(self) -> &'static str {
        match self {
            Self::Settle => "settle",
            Self::Before => "before",
            Self::Stand => "stand",
            Self::AtHand => "at_hand",
            Self::Leak => "leak_check",
            Self::LightUp => "light_up",
            Self::Running => "running",
            Self::ShutDown => "shut_down",
            Self::After => "after",
        }
    }
}

/// One line to tick.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// When.
    pub when: When,
    /// What to do or look at.
    pub text: String,
    /// Why it is there: the rule that found something, the key of the rig it comes from, or practice.
    pub because: String,
    /// What is read and written beside it.
    pub reading: Option<Reading>,
}

/// List for a test day.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Checklist {
    /// Lines, by phase and in the order they are gone through.
    pub lines: Vec<Line>,
}

impl Checklist {
    /// Lines of a phase.
    pub fn of(&self, when: When) -> impl Iterator<Item = &Line> {
        self.lines.iter().filter(move |l| l.when == when)
    }

    fn add(&mut self, when: When, text: impl Into<String>, because: impl Into<String>) {
        self.lines.push(Line {
            when,
            text: text.into(),
            because: because.into(),
            reading: None,
        });
    }

    /// A line with a place to write what is read.
    fn read(
        &mut self,
        when: When,
        text: impl Into<String>,
        because: impl Into<String>,
        reading: impl Into<Option<Reading>>,
    ) {
        self.add(when, text, because);
        if let Some(line) = self.lines.last_mut() {
            line.reading = reading.into();
        }
    }
}

/// Most lines: what two people go through before a start without skipping. Our choice.
pub const MOST_LINES: usize = 40;

/// The list of a rig: what was found first, the gravest before the rest, then what the rig file says has to be proved,
/// set and watched, and what no file can say. It has [`MOST_LINES`] at most: what was found is told together where one
/// line each would be more.
///
/// What the file does not say is no line, except where everybody needs it.
pub fn checklist(solution: &Solution<'_>, audit: &Audit) -> Checklist {
    let mut list = Checklist::default();
    found::not_checked(&mut list, audit);
    before::before(&mut list, solution);
    place::stand(&mut list, solution, audit);
    place::at_hand(&mut list, solution);
    leak::leak(&mut list, solution);
    fire::light_up(&mut list, solution);
    fire::running(&mut list, solution);
    stop::shut_down(&mut list, solution);
    stop::after(&mut list, solution);
    let left = MOST_LINES.saturating_sub(list.lines.len());
    let mut found = found::lines(solution, audit, left);
    found.append(&mut list.lines);
    Checklist { lines: found }
}
