//! Sizes and settings that a rule names as its levers: what can be bought or set anew so that its finding goes. No weather,
//! no rating, no record and no answer to "is there one" is among them.

use crate::train::rig::{Given, Rig};

/// The key of a lever that is the fuel target of a duty.
pub const TARGET: &str = "target";
/// What that may be.
pub const TARGETS: [&str; 4] = [
    "equivalence_ratio",
    "fuel_flow",
    "heat_release",
    "exit_temperature",
];

/// Which way a lever is moved.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    /// To more.
    Up,
    /// To less.
    Down,
    /// To more or less.
    Either,
}

impl Way {
    /// The ways it stands for, each as whether it leads to more.
    pub fn upward(self) -> &'static [bool] {
        match self {
            Self::Up => &[true],
            Self::Down => &[false],
            Self::Either => &[true, false],
        }
    }
}

/// A size or setting of the rig file. How far it may go is its [usual range](super::usual::USUAL).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lever {
    /// Table and key, such as `regulator.set_pressure`; of parts the kind, or `train` for a part of any kind. The key
    /// `target` stands for whichever fuel target a duty has.
    pub path: &'static str,
    /// Which way.
    pub way: Way,
}

impl Lever {
    /// Its table and its key.
    pub fn table_and_key(&self) -> (&'static str, &'static str) {
        self.path.split_once('.').unwrap_or((self.path, ""))
    }

    /// The keys of a rig that it stands for; where some are of a place that the finding is about, those alone.
    pub fn keys<'r>(&self, rig: &'r Rig, places: &[String]) -> Vec<&'r Given> {
        let (table, key) = self.table_and_key();
        let part = |g: &Given| table == "train" && g.path.starts_with("train.");
        let named = |g: &Given| g.key == key || key == TARGET && TARGETS.contains(&g.key);
        let fits = |g: &&Given| named(g) && (g.table == table || part(g)) && g.values.len() == 1;
        let all: Vec<&Given> = rig.given.iter().filter(fits).collect();
        let near = |g: &&&Given| {
            let table = g.path.rsplit_once('.').map_or("", |(table, _)| table);
            places.iter().any(|at| at == table || *at == g.path)
        };
        let own: Vec<&Given> = all.iter().filter(near).copied().collect();
        // a pressure is often set elsewhere than where it is too high or too low
        if own.is_empty() || key.ends_with("pressure") {
            all
        } else {
            own
        }
    }
}
