//! Sections of a train that closed valves can isolate, found from the tree of its parts.

use crate::quantity::{Volume, cubic_metres};
use crate::train::shutoff::part_volume;
use crate::train::{Draw, End, Part, PartKind, Run, Train};

/// A stretch of the train that fuel cannot leave once everything that can close has closed.
#[derive(Debug, Clone, PartialEq)]
pub struct Section {
    /// Closures at its upstream ends, those of several tanks alike once.
    pub from: Vec<String>,
    /// Closures at its downstream ends.
    pub to: Vec<String>,
    /// Parts inside, in the order of the train; parts that fuel can pass inside it, such as a check valve
    /// that its pressure opens, included.
    pub parts: Vec<String>,
    /// Volume of the parts inside as far as it is known.
    pub volume: Volume,
    /// Parts whose volume is not known.
    pub volume_unknown: Vec<String>,
    /// What the source draws.
    pub draw: Draw,
    /// A vaporiser stands upstream of all of it.
    pub behind_vaporiser: bool,
}

impl Section {
    /// What it lies between, for tables: `shut-off-1 to throttle`.
    pub fn label(&self) -> String {
        format!("{} to {}", self.from.join(", "), self.to.join(", "))
    }
}

/// Fuel in the part's upstream side cannot push its way through the closed part.
///
/// A check valve opens to pressure from upstream; everything else that closes does not.
fn holds_forward(part: &Part) -> bool {
    closes(part) && !matches!(part.kind, PartKind::CheckValve(_))
}

/// Fuel in the part's downstream side cannot push its way back through the closed part.
///
/// An excess-flow valve that has closed opens again to pressure from behind.
fn holds_backward(part: &Part) -> bool {
    closes(part) && !matches!(part.kind, PartKind::ExcessFlowValve(_))
}

/// Whether a part can close tight: it says so, or it is of a kind that does. A metering valve that states no leak class
/// passes, nearly shut, more than liquid needs to grow.
pub fn closes(part: &Part) -> bool {
    if matches!(part.kind, PartKind::MeteringValve(_)) {
        return part
            .closure
            .as_ref()
            .is_some_and(|c| c.leak_class.is_some());
    }
    part.closure.is_some()
        || part.kind.valve().is_some()
        || matches!(
            part.kind,
            PartKind::CheckValve(_)
                | PartKind::ExcessFlowValve(_)
                | PartKind::Regulator(_)
                | PartKind::Pump(_)
        )
}

/// Volume between two neighbouring closures.
#[derive(Debug, Default)]
struct Cell<'a> {
    parts: Vec<(&'a Part, u32)>,
    /// A tank, a main or the holes: fuel leaves this way whatever closes.
    open: bool,
    liquid_draw: bool,
    behind_vaporiser: bool,
}

/// A part that closes, between two cells.
#[derive(Debug)]
struct Gate<'a> {
    part: &'a Part,
    up: usize,
    down: usize,
}

#[derive(Debug, Default)]
struct Map<'a> {
    cells: Vec<Cell<'a>>,
    gates: Vec<Gate<'a>>,
}

impl<'a> Map<'a> {
    fn of(train: &'a Train) -> Self {
        let mut map = Self::default();
        let junction = map.cell(Cell {
            behind_vaporiser: true,
            ..Cell::default()
        });
        for source in &train.sources {
            map.source(source, junction);
        }
        map.run(&train.run, junction);
        map
    }

    fn cell(&mut self, cell: Cell<'a>) -> usize {
        self.cells.push(cell);
        self.cells.len() - 1
    }

    /// From a tank to where the sources join.
    fn source(&mut self, source: &'a crate::train::Source, junction: usize) {
        let last = source.parts.iter().rposition(closes);
        let liquid_draw = source.draw == Draw::Liquid;
        let mut vaporised = false;
        let mut at = if last.is_some() {
            self.cell(Cell {
                open: true,
                liquid_draw,
                ..Cell::default()
            })
        } else {
            self.cells[junction].open = true;
            junction
        };
        for (i, part) in source.parts.iter().enumerate() {
            if closes(part) {
                let down = if last == Some(i) {
                    junction
                } else {
                    self.cell(Cell {
                        liquid_draw,
                        behind_vaporiser: vaporised,
                        ..Cell::default()
                    })
                };
                self.gates.push(Gate { part, up: at, down });
                at = down;
            } else {
                self.cells[at].parts.push((part, source.count));
                vaporised |= matches!(part.kind, PartKind::Vaporiser(_));
            }
        }
        let joined = &mut self.cells[junction];
        joined.liquid_draw |= liquid_draw;
        // only if no source brings liquid this far
        joined.behind_vaporiser &= vaporised;
    }

    fn run(&mut self, run: &'a Run, mut at: usize) {
        let mut vaporised = self.cells[at].behind_vaporiser;
        let liquid_draw = self.cells[at].liquid_draw;
        for part in &run.parts {
            if closes(part) {
                let down = self.cell(Cell {
                    liquid_draw,
                    behind_vaporiser: vaporised,
                    ..Cell::default()
                });
                self.gates.push(Gate { part, up: at, down });
                at = down;
            } else {
                self.cells[at].parts.push((part, 1));
                vaporised |= matches!(part.kind, PartKind::Vaporiser(_));
            }
        }
        match &run.end {
            End::Outlet(_) => self.cells[at].open = true,
            End::Split(runs) => {
                let before = self.cells[at].behind_vaporiser;
                for branch in runs {
                    self.cells[at].behind_vaporiser = vaporised;
                    self.run(branch, at);
                }
                self.cells[at].behind_vaporiser = before;
            }
        }
    }

    /// Cells that fuel in a cell can reach with every gate closed, in ascending order.
    fn reach(&self, from: usize) -> Vec<usize> {
        let mut found = vec![from];
        let mut next = 0;
        while let Some(&at) = found.get(next) {
            next += 1;
            for gate in &self.gates {
                let to = if gate.up == at && !holds_forward(gate.part) {
                    gate.down
                } else if gate.down == at && !holds_backward(gate.part) {
                    gate.up
                } else {
                    continue;
                };
                if !found.contains(&to) {
                    found.push(to);
                }
            }
        }
        found.sort_unstable();
        found
    }

    fn section(&self, reach: &[usize], train: &Train) -> Section {
        let inside = |cell: usize| reach.contains(&cell);
        let mut names: Vec<&str> = Vec::new();
        let (mut from, mut to) = (Vec::new(), Vec::new());
        for gate in &self.gates {
            let name = gate.part.name.clone();
            match (inside(gate.up), inside(gate.down)) {
                (true, true) => names.push(&gate.part.name),
                (false, true) => from.push(name),
                (true, false) => to.push(name),
                (false, false) => {}
            }
        }
        let (mut volume, mut unknown) = (0.0, Vec::new());
        for &cell in reach {
            for (part, copies) in &self.cells[cell].parts {
                names.push(&part.name);
                match part_volume(part) {
                    Some(v) => volume += f64::from(*copies) * v.value,
                    None if part.kind.bore().is_some() => unknown.push(part.name.clone()),
                    None => {}
                }
            }
        }
        let cells = || reach.iter().map(|&i| &self.cells[i]);
        Section {
            from,
            to,
            parts: train
                .parts()
                .iter()
                .filter(|p| names.contains(&p.name.as_str()))
                .map(|p| p.name.clone())
                .collect(),
            volume: cubic_metres(volume),
            volume_unknown: unknown,
            draw: if cells().any(|c| c.liquid_draw) {
                Draw::Liquid
            } else {
                Draw::Vapour
            },
            behind_vaporiser: cells().all(|c| c.behind_vaporiser),
        }
    }
}

/// Every section that closures can isolate: fuel in it reaches neither a tank, a main nor the holes when
/// everything that can close has closed. In the order of the train.
///
/// Closures are valves, metering valves only with a leak class stated, regulators, pumps, check and excess-flow valves. Pressure opens a
/// check valve forwards and a tripped excess-flow valve backwards: a section reaches through them. Where
/// only some close, what is isolated is several of these sections together.
///
/// **Valid:** closures that close tight; a valve that cannot may still hold liquid that warms fast.
/// **Source:** the tree of the parts; no published formula.
///
/// ```
/// # use fuelwright::{fuel::Library, input, leak::sections::sections};
/// # let text = include_str!("../../examples/coupon-soak-rig.toml");
/// # let library = Library::embedded();
/// # let loaded = input::parse("rig.toml", text, &library).unwrap_or_else(|e| panic!("{e}"));
/// let all = sections(&loaded.rig.train);
/// assert_eq!(all[0].label(), "cylinder-valve to excess-flow");
/// ```
pub fn sections(train: &Train) -> Vec<Section> {
    let map = Map::of(train);
    let mut found: Vec<(Vec<usize>, Section)> = Vec::new();
    for cell in 0..map.cells.len() {
        let reach = map.reach(cell);
        let open = reach.iter().any(|&i| map.cells[i].open);
        if open || found.iter().any(|(other, _)| *other == reach) {
            continue;
        }
        let section = map.section(&reach, train);
        found.push((reach, section));
    }
    let place = |s: &Section| {
        let first = s.from.first();
        train
            .parts()
            .iter()
            .position(|p| Some(&p.name) == first)
            .unwrap_or(0)
    };
    let mut all: Vec<Section> = found.into_iter().map(|(_, section)| section).collect();
    all.sort_by_key(place);
    all
}
