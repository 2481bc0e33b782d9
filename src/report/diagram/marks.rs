//! Findings as numbered marks at the part they are about.

use super::flow::{self, Line, Look};
use super::tag::Tag;
use crate::audit::{Audit, Finding, Signal};
use crate::report::plot::WIDTH;
use crate::train::Train;

/// A place of the picture.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Spot {
    /// Part of this name.
    Part(String),
    /// Tank or main.
    Supply,
    /// The fire and what watches it.
    Burner,
    /// Outlet of a branch.
    Branch(String),
}

impl Spot {
    /// Where a path of the rig is drawn; `None`: nowhere.
    fn of(path: &str, train: &Train) -> Option<Self> {
        let (table, rest) = path.split_once('.').unwrap_or((path, ""));
        match table {
            "train" => {
                let holds = |name: &str| {
                    let inside = rest.strip_prefix(name);
                    inside.is_some_and(|key| key.is_empty() || key.starts_with('.'))
                };
                let parts = train.parts();
                let part = parts.iter().find(|p| holds(&p.name))?;
                Some(Self::Part(part.name.clone()))
            }
            "tank" | "mains" => Some(Self::Supply),
            "injector" | "burner" | "controls" | "air" | "limits" | "duties" => Some(Self::Burner),
            "branches" => {
                let name = rest.split('.').next().unwrap_or_default();
                Some(Self::Branch(name.to_owned()))
            }
            _ => None,
        }
    }
}

/// The findings of a rig, numbered as in its list of findings.
#[derive(Debug)]
pub(super) struct Marks<'a> {
    placed: Vec<(Tag, Vec<Spot>, &'a Finding)>,
    elsewhere: Vec<(usize, &'a Finding)>,
    aside: Vec<&'a Finding>,
}

impl<'a> Marks<'a> {
    pub(super) fn of(audit: &'a Audit, train: &Train) -> Self {
        let mut all = Self {
            placed: Vec::new(),
            elsewhere: Vec::new(),
            aside: audit.suppressed.iter().map(|s| &s.finding).collect(),
        };
        for (i, finding) in audit.findings.iter().enumerate() {
            let number = i + 1;
            let spots = finding.places.iter().filter_map(|p| Spot::of(p, train));
            let mut spots: Vec<Spot> = spots.collect();
            spots.dedup();
            if spots.is_empty() {
                all.elsewhere.push((number, finding));
                continue;
            }
            let tag = Tag {
                number,
                signal: finding.signal,
            };
            all.placed.push((tag, spots, finding));
        }
        all
    }

    /// Those of a place.
    pub(super) fn at(&self, spot: &Spot) -> Vec<Tag> {
        let here = self.placed.iter().filter(|(_, s, _)| s.contains(spot));
        here.map(|(tag, _, _)| *tag).collect()
    }

    /// How many there are of each signal word, for those who cannot see them.
    pub(super) fn told(&self) -> String {
        match self.placed.len() {
            0 => "No finding is at a part.".to_owned(),
            1 => "One finding is marked at its part.".to_owned(),
            n => format!("{n} findings are marked at their parts."),
        }
    }

    /// What the numbers mean, for a picture that stands alone; beside it the list of findings does.
    pub(super) fn legend(&self) -> Vec<Line> {
        let room = WIDTH - 4.0;
        let heading = if self.placed.is_empty() {
            "No finding is at a part."
        } else {
            "Findings at their parts"
        };
        let mut all = flow::lines(heading, room, Look::Strong);
        for (tag, _, f) in &self.placed {
            let text = format!("{} {}", f.signal.word(), titled(f));
            all.extend(flow::tagged(*tag, &text, room));
        }
        let mut group = |before: &str, mut titles: Vec<String>| {
            if let Some(first) = titles.first_mut() {
                *first = format!("{before} {first}");
            }
            all.extend(flow::listed(&titles, room));
        };
        for signal in Signal::ALL {
            let of = self.elsewhere.iter().filter(|(_, f)| f.signal == signal);
            let titles = of.map(|(number, f)| format!("({number}) {}", titled(f)));
            group(&format!("At no part: {}", signal.word()), titles.collect());
        }
        let aside = self.aside.iter().map(|f| titled(f));
        group("Set aside by the rig file:", aside.collect());
        all
    }
}

/// Id and name of a finding.
fn titled(f: &Finding) -> String {
    format!("{} {}", f.id, f.name.replace('-', " "))
}
