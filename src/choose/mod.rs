//! Holes found, not only judged: every number, drill and pressure is looked at by a table, and what comes first is then
//! solved in full.

pub mod demands;
pub mod flags;
mod rig;
pub mod search;
mod table;
pub mod told;

use crate::audit::rules::holes::judged;
use crate::audit::solution::solve;
use crate::audit::{Finding, Group, audit_of};
use crate::fuel::Library;
use crate::injector::drills::Drill;
use crate::injector::size::{InjectorInput, size};
use crate::quantity::Length;
use crate::quantity::show::Units;
use crate::train::rig::Rig;
use demands::COUNT;
use table::{DutyTable, SpreadTable};

pub use crate::report::choices::AtDuty;

/// Smallest drill that is still drilled by hand, m. Our choice: thinner ones break, and their holes clog.
pub const SMALLEST_BY_HAND_M: f64 = 0.5e-3;
/// Most holes that are looked at where no range is asked for.
const MOST_HOLES: u32 = 48;

/// What a person asks of the holes, wherever they are to be drilled.
#[derive(Debug, Clone, PartialEq)]
pub struct Options {
    /// Least and most number of holes.
    pub counts: Option<(u32, u32)>,
    /// Drills, rising.
    pub drills: Vec<Drill>,
    /// Least and most equivalence ratio of every duty; `None`: what the rig file aims at, or no air is known.
    pub ratios: Option<(f64, f64)>,
    /// Smallest drill, m.
    pub smallest_drill_m: f64,
    /// Demands that need not be met.
    pub given_up: [bool; COUNT],
}

/// What is aimed at in a duty.
#[derive(Debug, Clone, PartialEq)]
pub struct Target {
    /// Name of the duty.
    pub name: String,
    /// Least and most equivalence ratio that will do; the same where one is aimed at. Where no air is known: of the fuel
    /// flow over the one wanted.
    pub least: f64,
    /// Most.
    pub most: f64,
    /// Pressure of the chamber, Pa.
    pub chamber_pa: f64,
    /// What that stands above the air, Pa.
    pub over_air_pa: f64,
}

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Asked {
    /// Duties.
    pub targets: Vec<Target>,
    /// What a person asks.
    pub options: Options,
    /// Whether ratios are equivalence ratios.
    pub burns: bool,
    /// Quenching distance of the fuel, m.
    pub quenching_m: Option<f64>,
    /// Spread between the holes at most.
    pub spread: f64,
    /// Radius of the can, m.
    pub can_radius_m: Option<f64>,
    /// Whether liquid is meant before the holes.
    pub liquid: bool,
    /// Whether the supply is too low for any drop that counts against the chamber: a low-pressure burner by design.
    pub low_pressure: bool,
}

/// A number of holes, a drill and a pressure, by their places in the space.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Combination {
    /// Number of holes.
    pub holes: u32,
    /// Place of the pressure; 0 where supply and train give it.
    pub pressure: usize,
    /// Place of the drill.
    pub drill: usize,
}

/// What is searched.
#[derive(Debug, Clone, PartialEq)]
pub struct Space {
    /// Numbers of holes, rising.
    pub counts: Vec<u32>,
    /// Drills, rising.
    pub drills: Vec<Drill>,
    /// Pressures before the holes, rising, Pa; none where supply and train give it.
    pub pressures_pa: Vec<f64>,
}

impl Space {
    /// The combinations of so many holes of a drill.
    fn at(&self, holes: u32, drill: usize) -> impl Iterator<Item = Combination> + use<> {
        (0..self.pressures_pa.len().max(1)).map(move |pressure| Combination {
            holes,
            pressure,
            drill,
        })
    }

    /// The combinations of a number of holes.
    pub fn of_count(&self, holes: u32) -> impl Iterator<Item = Combination> {
        (0..self.drills.len()).flat_map(move |drill| self.at(holes, drill))
    }

    /// Diameter of the holes of a combination.
    pub fn diameter(&self, c: Combination) -> Length {
        self.drills[c.drill].diameter
    }
}

/// Something that holes are chosen for.
pub struct Problem<'a> {
    /// What is asked.
    pub asked: Asked,
    /// What is searched.
    pub space: Space,
    /// How far ratios of the table may be off, as a share.
    table_error: f64,
    /// How far a demand may be missed by the table, as a logarithm, and still be met in full.
    slack: f64,
    duties: Vec<DutyTable>,
    spread: Option<SpreadTable>,
    subject: Subject<'a>,
}

/// What has the holes.
enum Subject<'a> {
    /// One duty that stands in no rig.
    Alone(InjectorInput<'a>),
    /// A rig.
    Rig(Box<Rig>, &'a Library, Units),
}

impl Problem<'_> {
    /// Every duty by the table; `duties` is cleared first.
    pub fn by_table(&self, c: Combination, duties: &mut Vec<AtDuty>) {
        let d_m = self.space.diameter(c).value;
        duties.clear();
        duties.extend(self.duties.iter().enumerate().map(|(i, table)| AtDuty {
            spread: self.spread.as_ref().and_then(|s| s.at(c.holes, d_m, i)),
            ..table.at(c, d_m)
        }));
    }

    /// Every duty solved in full; `None` where nothing can be solved.
    pub fn in_full(&self, c: Combination) -> Option<Vec<AtDuty>> {
        match &self.subject {
            Subject::Alone(input) => {
                let found = size(&flags::with(input, &self.space, c)).ok()?;
                Some(vec![self.duties[0].sized(&found, c)])
            }
            Subject::Rig(of, library, units) => {
                let rig = rig::with(of, &self.space, c);
                let solution = solve(&rig, library, *units).ok()?;
                rig::in_full(&solution, &self.asked.targets, &self.duties)
            }
        }
    }

    /// What rules find in it.
    pub fn findings(&self, c: Combination) -> Vec<Finding> {
        let found = match &self.subject {
            Subject::Alone(input) => size(&flags::with(input, &self.space, c))
                .ok()
                .map(|found| judged(&found, input.fluid.composition(), self.asked.liquid)),
            Subject::Rig(of, library, units) => {
                let rig = rig::with(of, &self.space, c);
                let solution = solve(&rig, library, *units).ok();
                solution.map(|s| audit_of(&s, &[Group::Injector]).findings)
            }
        };
        found.unwrap_or_default()
    }
}
