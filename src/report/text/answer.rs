//! What of a report is its answer: what a person at the bench asked for. All else is detail, for the full text.

use crate::report::audit::{NOT_CHECKED, VERDICT};
use crate::report::calibration::SAYS;
use crate::report::choices::{CHOICES, FIRST};
use crate::report::ranges::RANGES;
use crate::report::remedies::{LEFT, REMEDIES, SET, UNSOLVED, WORK};
use crate::report::{Block, MODEL, Report, Section, Topic};

/// Headings of the answer, in the order of the short text; a heading may begin or end with what an ellipsis stands
/// for. None: all of the report is its answer.
#[allow(clippy::too_many_lines, reason = "one list")]
fn headings(topic: Topic) -> &'static [&'static str] {
    match topic {
        Topic::Report => &[VERDICT, "Duties", NOT_CHECKED],
        Topic::Audit => &[
            VERDICT,
            "Duties",
            "Holes and mass",
            "Findings that come and go",
            "The same at every step",
            "Findings of…",
            "Inputs that differ",
            "Refused",
            "Second opinion",
            "By group",
            "Largest differences",
            NOT_CHECKED,
        ],
        Topic::Checklist => &[
            "Settle before lighting…",
            "Before…",
            "Where to stand",
            "At hand",
            "Leak check…",
            "Light-up",
            "Running",
            "Shut-down",
            "After",
            VERDICT,
        ],
        Topic::Convert => &[
            "Light-off and low duty first",
            "Holes, pressure and regulator first",
            "Buy",
            "Take out, keep",
            "Fit and try…",
        ],
        Topic::Remedies => &[SET, REMEDIES, UNSOLVED, WORK, LEFT],
        Topic::Flame => &["Result", "Duty", "Zones"],
        Topic::Fuel => &[
            "Combustion",
            "Flammability in air",
            "Saturation…",
            "Identity",
        ],
        Topic::Injector => &[
            CHOICES,
            FIRST,
            "Duties",
            "Holes",
            "Flow",
            "Numbers of holes",
            "Holes at each duty",
            "Drills…",
            "Drilling template",
            "Rig file",
        ],
        Topic::Leak => &[
            "Release",
            "Where it goes",
            "If it is lit",
            "In the room",
            "Leaking joints",
            "Full-bore breaks",
            "…broken full-bore and lit",
            "Regulators stuck open",
        ],
        Topic::LeakTest => &[
            "Test pressure…",
            "Hold, and what it shows",
            "Never left plugged",
            "Test on record…",
        ],
        Topic::Calibrate => &[
            SAYS,
            "Read, and by the rig file",
            "What it tells",
            "Duties before and after",
        ],
        Topic::FlowTest => &[
            "Flow test…",
            "Duties by model and by test",
            "Steady flow to read",
            "Or a fall of pressure",
        ],
        Topic::Mass => &["Mass", "By group", "Part by part…"],
        Topic::Relief | Topic::Orifice | Topic::Pump => &["Result"],
        Topic::Pipe => &["Result", "Sizes of tube"],
        Topic::Spray => &["Result", "Life of the drops"],
        Topic::Shutdown => &["What stops the fuel", "Why it runs on…"],
        Topic::Tank => &[
            "Tank",
            "What each duty needs of it",
            "What one cylinder can give",
            "Run",
            "What it can feed",
            "At the end",
            "What would feed it…",
            "If liquid were drawn",
        ],
        Topic::Tolerance => &[
            "Fuel flow",
            "Equivalence ratio",
            "Exit temperature",
            "Hotter than the material stands",
            "What drives the equivalence ratio",
        ],
        Topic::Train => &["Line diagram", RANGES, "Duties", "Throttle at each duty"],
        Topic::Lookup => &[
            "Tables",
            "What it is",
            "Values",
            "Parts",
            "`[…",
            "By kind",
            "Words",
        ],
        Topic::Fuels
        | Topic::State
        | Topic::Valve
        | Topic::Regulator
        | Topic::Trapped
        | Topic::Start => &[],
        Topic::Rules => &[
            "By group",
            "What it checks",
            "Why it matters",
            "What to do",
            "Signal word",
            "Source",
        ],
        Topic::Sources => &[
            "By grade",
            "What it is",
            "How far it was looked up",
            "How it was read",
            "Used in",
        ],
    }
}

/// Whether a heading is the one of the list.
fn is(listed: &str, heading: &str) -> bool {
    match (listed.strip_prefix('…'), listed.strip_suffix('…')) {
        (Some(end), _) => heading.ends_with(end),
        (None, Some(begin)) => heading.starts_with(begin),
        (None, None) => heading == listed,
    }
}

/// Whether it has lines to copy into the file.
fn is_to_copy(section: &Section) -> bool {
    section.blocks.iter().any(|b| matches!(b, Block::Lines(_)))
}

/// The sections of an answer.
pub(super) struct Answer<'a> {
    /// Those that it opens with.
    pub(super) first: Vec<&'a Section>,
    /// Those behind the findings: what follows a verdict, and lines to copy.
    pub(super) after: Vec<&'a Section>,
    /// Whether there are more.
    pub(super) more: bool,
}

/// The answer of a report.
pub(super) fn of(report: &Report) -> Answer<'_> {
    let listed = headings(report.topic);
    let place = |section: &Section| {
        let place = listed.iter().position(|l| is(l, &section.heading));
        let all = listed.is_empty() && section.heading != MODEL;
        place.or((is_to_copy(section) || all).then_some(listed.len()))
    };
    let sections = report.sections.iter();
    let mut found: Vec<(usize, &Section)> = sections
        .filter_map(|section| Some((place(section)?, section)))
        .collect();
    let more = found.len() < report.sections.len();
    found.sort_by_key(|(place, _)| *place);
    // chapters of a report have headings in common: the first is that of its answer
    found.dedup_by(|(_, later), (_, first)| later.heading == first.heading);
    let verdict = found.iter().position(|(_, s)| s.heading == VERDICT);
    let (mut first, mut after) = (Vec::new(), Vec::new());
    for (i, (_, section)) in found.into_iter().enumerate() {
        let opens = verdict.map_or(!is_to_copy(section), |verdict| i <= verdict);
        if opens { &mut first } else { &mut after }.push(section);
    }
    Answer { first, after, more }
}
