//! What the diagram shows, in the order of the train: supply, parts, branches, burner, with their words.

use super::flow::Look;
use super::marks::{Marks, Spot};
use super::tag::Tag;
use super::words::{Figures, controls, without_power};
use crate::audit::{Audit, Solution};
use crate::injector::spec::ManifoldLayout;
use crate::leak::{Answer, Contents, Failure, TrappedSection};
use crate::quantity::show::{Show, show, show_digits};
use crate::quantity::{Kind, Length, MassRate};
use crate::train::plan::INJECTOR;
use crate::train::rig::{Supply, TankSpec};
use crate::train::{
    End, Outlet, OutletLaw, Part, PartKind, Run, Solution as Flow, Source, Station, TrainDuty,
};

/// Digits of a result.
const DIGITS: usize = 3;

/// What is drawn on the line.
#[derive(Debug, Clone, Copy)]
pub(super) enum Glyph<'a> {
    /// A part.
    Part(&'a Part),
    /// Tanks.
    Tank(&'a TankSpec),
    /// A main.
    Main,
    /// Holes and fire.
    Burner,
    /// Nothing but the line.
    Words,
    /// The line goes on elsewhere.
    On,
    /// The line comes from elsewhere.
    From,
}

/// A stretch that valves can shut in with liquid.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Hatch {
    /// Liquid is there in ordinary work, and no relief valve.
    Close,
    /// It has a relief valve, or holds vapour that can condense.
    Wide,
}

/// A place of the line: symbol, words beside it, reading at the joint behind it.
#[derive(Debug, Clone)]
pub(super) struct Stop<'a> {
    pub(super) glyph: Glyph<'a>,
    pub(super) name: String,
    pub(super) tags: Vec<Tag>,
    pub(super) facts: Vec<String>,
    pub(super) strong: Vec<String>,
    /// Hatching of the line before and behind it.
    pub(super) hatched: [Option<Hatch>; 2],
    /// One of several alike.
    pub(super) alike: bool,
    pub(super) reading: Vec<String>,
}

impl<'a> Stop<'a> {
    pub(super) fn new(glyph: Glyph<'a>, name: impl Into<String>) -> Self {
        Self {
            glyph,
            name: name.into(),
            tags: Vec::new(),
            facts: Vec::new(),
            strong: Vec::new(),
            hatched: [None; 2],
            alike: false,
            reading: Vec::new(),
        }
    }
}

/// The diagram.
#[derive(Debug)]
pub(super) struct Scheme<'a> {
    /// What it shows, and what is missing.
    pub(super) head: Vec<(Look, String)>,
    /// Sources that join, where there are several; a single one begins the trunk.
    pub(super) sources: Vec<Vec<Stop<'a>>>,
    /// From there to the split, or to the burner.
    pub(super) trunk: Vec<Stop<'a>>,
    /// What the trunk splits into.
    pub(super) branches: Vec<Vec<Stop<'a>>>,
    /// Branches of branches, each with the number of the column it comes from.
    pub(super) twigs: Vec<(usize, Vec<Stop<'a>>)>,
    /// Duty whose pressures are shown.
    pub(super) duty: Option<&'a str>,
}

/// Makes it.
pub(super) fn scheme<'a>(
    solution: &'a Solution<'a>,
    audit: &Audit,
    marks: &Marks<'_>,
) -> Scheme<'a> {
    let duties = solution.train().as_ref().map(|plan| plan.duties.as_slice());
    let duties = duties.unwrap_or_default();
    let largest = |fed: bool| {
        let asked = duties.iter().filter(|d| !fed || d.solution.is_ok());
        asked.max_by(|a, b| a.wanted.value.total_cmp(&b.wanted.value))
    };
    let shown = largest(true).and_then(|d| Some((d, d.solution.as_ref().ok()?)));
    let at_parts = shown.iter().flat_map(|(_, flow)| &flow.parts);
    let pressures = at_parts.flat_map(|p| [p.inlet.pressure, p.outlet.pressure]);
    let writer = Writer {
        figures: Figures::suited(solution, pressures),
        solution,
        marks,
        duty: shown.map(|(duty, _)| duty),
        flow: shown.map(|(_, flow)| flow),
        trapped: solution.trapped().as_deref().unwrap_or_default(),
    };
    let mut scheme = writer.line();
    scheme.head = writer.head(audit, largest(false));
    scheme
}

/// Writes what stands at each place.
struct Writer<'a, 'm> {
    solution: &'a Solution<'a>,
    marks: &'m Marks<'m>,
    figures: Figures,
    duty: Option<&'a TrainDuty>,
    flow: Option<&'a Flow>,
    trapped: &'a [TrappedSection],
}

impl<'a> Writer<'a, '_> {
    /// Which duty, by which gauge, and whether facts are missing.
    fn head(&self, audit: &Audit, largest: Option<&TrainDuty>) -> Vec<(Look, String)> {
        let units = self.figures.units;
        let mut head = Vec::new();
        match (self.duty, largest) {
            (Some(duty), Some(largest)) => {
                let fuel = self.flow.map_or_else(String::new, |f| self.rate(f.flow));
                let also = if duty.name == largest.name {
                    ", the largest duty".to_owned()
                } else {
                    format!(", because {} is not fed", largest.name)
                };
                let air = self.solution.rig.site.air_pressure.show(units);
                head.push((
                    Look::Fact,
                    format!("Readings at {}{also}: fuel {fuel}.", duty.name),
                ));
                head.push((
                    Look::Fact,
                    format!("By gauge; the air stands at {air}. Not to scale."),
                ));
            }
            (None, Some(largest)) => {
                let why = largest.solution.as_ref().err();
                let why = why.map_or_else(String::new, |e| self.solution.why(e));
                head.push((Look::Fact, format!("No readings: {why}. Not to scale.")));
            }
            _ => {
                let why = self.solution.train().as_ref().err();
                let why = why.map_or("no duty has a fuel flow", String::as_str);
                head.push((Look::Fact, format!("No readings: {why}. Not to scale.")));
            }
        }
        if audit.is_incomplete() {
            let facts = match audit.missing.len() {
                1 => "1 fact".to_owned(),
                n => format!("{n} facts"),
            };
            head.push((
                Look::Strong,
                format!("INCOMPLETE: the rig file leaves out {facts} that decide whether anybody gets hurt."),
            ));
        }
        if let Err(why) = self.solution.trapped() {
            head.push((
                Look::Strong,
                format!("Trapped liquid not looked for: {why}."),
            ));
        }
        head
    }

    fn line(&self) -> Scheme<'a> {
        let train = &self.solution.rig.train;
        let mut scheme = Scheme {
            head: Vec::new(),
            sources: Vec::new(),
            trunk: Vec::new(),
            branches: Vec::new(),
            twigs: Vec::new(),
            duty: self.duty.map(|d| d.name.as_str()),
        };
        let mut phase = None;
        for source in &train.sources {
            phase = None;
            scheme.sources.push(self.source(source, &mut phase));
        }
        if scheme.sources.len() == 1 {
            scheme.trunk = scheme.sources.remove(0);
        }
        scheme
            .trunk
            .extend(self.parts(&train.run.parts, &mut phase));
        match &train.run.end {
            End::Outlet(outlet) => scheme.trunk.push(self.outlet(outlet)),
            End::Split(runs) => {
                let mut waiting: Vec<(usize, &Run)> = Vec::new();
                for run in runs {
                    let (stops, more) = self.run(run, phase);
                    scheme.branches.push(stops);
                    waiting.extend(more.iter().map(|r| (scheme.branches.len() - 1, r)));
                }
                while !waiting.is_empty() {
                    let (from, run) = waiting.remove(0);
                    let (stops, more) = self.run(run, phase);
                    scheme.twigs.push((from, stops));
                    let number = scheme.branches.len() + scheme.twigs.len() - 1;
                    waiting.extend(more.iter().map(|r| (number, r)));
                }
            }
        }
        scheme
    }

    /// A run with what it ends in, and the runs that it splits into.
    fn run(&self, run: &'a Run, mut phase: Option<&'static str>) -> (Vec<Stop<'a>>, &'a [Run]) {
        let mut stops = self.parts(&run.parts, &mut phase);
        match &run.end {
            End::Outlet(outlet) => {
                stops.push(self.outlet(outlet));
                (stops, &[])
            }
            End::Split(runs) => (stops, runs),
        }
    }

    fn source(&self, source: &'a Source, phase: &mut Option<&'static str>) -> Vec<Stop<'a>> {
        let rig = self.solution.rig;
        let (glyph, mut facts) = match &rig.supply {
            Supply::Tank(tank) => (Glyph::Tank(tank), self.figures.tank(tank)),
            Supply::Mains(main) => (Glyph::Main, self.figures.main(main)),
        };
        // a blend is broken behind its commas
        facts.insert(0, rig.fuel.composition.label().replace(',', ", "));
        let name = match glyph {
            Glyph::Main => "main",
            _ => source.name.as_str(),
        };
        let mut supply = Stop::new(glyph, name);
        supply.facts = facts;
        supply.tags = self.marks.at(&Spot::Supply);
        if source.count > 1 {
            let own = if source.parts.is_empty() {
                ""
            } else {
                ", each with its own of the framed parts"
            };
            supply.strong.push(format!("{} alike{own}", source.count));
        }
        let tank = self.flow.and_then(|f| {
            let first = source.parts.first().and_then(|p| f.part(&p.name));
            let own = f.sources.iter().find(|s| s.source == source.name);
            first.map(|p| p.inlet).or(own.map(|s| s.tank))
        });
        if let Some(tank) = tank {
            supply.reading = self.reading(&tank, phase);
        }
        let mut stops = vec![supply];
        stops.extend(self.parts(&source.parts, phase));
        for stop in &mut stops {
            stop.alike = source.count > 1;
        }
        stops
    }

    fn parts(&self, parts: &'a [Part], phase: &mut Option<&'static str>) -> Vec<Stop<'a>> {
        let mut stops = Vec::new();
        for part in parts {
            let mut stop = Stop::new(Glyph::Part(part), part.name.as_str());
            stop.tags = self.marks.at(&Spot::Part(part.name.clone()));
            stop.facts = self.figures.facts(part);
            stop.strong = without_power(part, self.figures.units)
                .into_iter()
                .collect();
            let hatch = |ends: fn(&TrappedSection) -> &[String]| {
                let holds = |t: &&TrappedSection| {
                    t.section.parts.contains(&part.name) || ends(t).contains(&part.name)
                };
                self.trapped.iter().filter(holds).find_map(hatch_of)
            };
            stop.hatched = [hatch(|t| &t.section.to), hatch(|t| &t.section.from)];
            if let Some(flow) = self.flow.and_then(|f| f.part(&part.name)) {
                if let Some(opening) = flow.opening.filter(|_| self.sets_flow(part)) {
                    let open = show_digits(Kind::Ratio, opening, self.figures.units, DIGITS);
                    stop.facts.push(format!("{open} open"));
                }
                let states = [(flow.choked, "choked"), (flow.wide_open, "seat wide open")];
                let states = states.iter().filter(|s| s.0).map(|s| s.1.to_owned());
                stop.facts.extend(states);
                let on_tee = matches!(part.kind, PartKind::ReliefValve(_) | PartKind::Tapping(_));
                if !on_tee {
                    stop.reading = self.reading(&flow.outlet, phase);
                }
            }
            stops.push(stop);
            stops.extend(self.shut_in_behind(part));
        }
        stops
    }

    /// Whether a valve sets the flow of the injector.
    fn sets_flow(&self, part: &Part) -> bool {
        let plan = self.solution.train().as_ref().ok();
        plan.and_then(|p| p.throttle.as_ref()) == Some(&part.name)
    }

    /// Pressure, temperature, and the phase where it is another than before.
    fn reading(&self, s: &Station, phase: &mut Option<&'static str>) -> Vec<String> {
        let mut reading = self.figures.reading(s);
        if *phase != Some(s.phase.name()) {
            *phase = Some(s.phase.name());
            reading.push(s.phase.name().to_owned());
        }
        reading
    }

    /// Words at the beginning of a stretch that valves can shut in with liquid.
    fn shut_in_behind(&self, part: &Part) -> Option<Stop<'a>> {
        let begins = |t: &&TrappedSection| t.section.from.contains(&part.name);
        let mut begin = self.trapped.iter().filter(begins);
        let section = begin.find(|t| t.contents.liquid())?;
        let hatch = hatch_of(section);
        let what = match section.contents {
            Contents::MayFill { .. } => "vapour can condense and be shut in here",
            _ => "liquid can be shut in here",
        };
        let relief = match &section.relief {
            Some((name, _)) => format!("relieved by {name}"),
            None => "no relief valve".to_owned(),
        };
        let mut stop = Stop::new(Glyph::Words, "");
        stop.strong = vec![format!("hatched: {what}, {relief}")];
        stop.hatched = [hatch; 2];
        Some(stop)
    }

    fn outlet(&self, outlet: &Outlet) -> Stop<'a> {
        let units = self.figures.units;
        let main = outlet.name == INJECTOR;
        let spot = if main {
            Spot::Burner
        } else {
            Spot::Branch(outlet.name.clone())
        };
        let name = if main { "burner" } else { outlet.name.as_str() };
        let mut stop = Stop::new(Glyph::Burner, name);
        stop.tags = self.marks.at(&spot);
        let holes = |number: u32, diameter: Length| match number {
            1 => format!("1 hole of {}", diameter.show(units)),
            n => format!("{n} holes of {}", diameter.show(units)),
        };
        let mut facts = Vec::new();
        match (main, self.solution.injector.as_ref(), outlet.law) {
            (true, Ok(plan), _) => facts.push(holes(plan.holes, plan.diameter)),
            (
                false,
                _,
                OutletLaw::Holes {
                    number, diameter, ..
                },
            ) => facts.push(holes(number, diameter)),
            _ => {}
        }
        let tube = self
            .solution
            .rig
            .injector
            .manifold
            .as_ref()
            .filter(|_| main);
        match tube.map(|t| &t.layout) {
            Some(ManifoldLayout::Ring { diameter, .. }) => {
                facts.push(format!("in a ring of {}", diameter.show(units)));
            }
            Some(ManifoldLayout::Bar { length, .. }) => {
                facts.push(format!("in a bar of {}", length.show(units)));
            }
            None => {}
        }
        if let Some(flow) = self.flow.and_then(|f| f.outlet(&outlet.name)) {
            facts.push(format!("fuel {}", self.rate(flow.flow)));
            facts.push(format!(
                "fires into {}",
                self.figures.pressure(flow.chamber)
            ));
        }
        let of_duty = |d: &&crate::audit::DutySolution| Some(&d.name) == self.duty.map(|t| &t.name);
        let air = self
            .solution
            .duties
            .iter()
            .find(of_duty)
            .and_then(|d| d.air);
        if let Some(air) = air.filter(|_| main) {
            facts.push(format!("air {}", self.rate(air)));
        }
        if main {
            facts.extend(controls(self.solution.rig));
        }
        stop.facts = facts;
        stop.strong = self.power_fails(&outlet.name).into_iter().collect();
        stop
    }

    fn rate(&self, flow: MassRate) -> String {
        show_digits(Kind::MassRate, flow.value, self.figures.units, DIGITS)
    }

    /// What the fuel of an outlet does when the power goes.
    fn power_fails(&self, outlet: &str) -> Option<String> {
        let mut rows = self.solution.failures().iter();
        let row = rows.find(|r| r.failure == Failure::Power && r.outlet == outlet)?;
        Some(match &row.answer {
            Answer::Stops(stop) => {
                let time = stop
                    .time
                    .map(|t| show(Kind::Time, t.value, self.figures.units));
                let time = time.map_or_else(String::new, |t| format!(" in {t}"));
                format!("power fails: fuel stops{time}")
            }
            Answer::RunsOn { because } => format!("power fails: FUEL RUNS ON, {because}"),
            Answer::NotKnown { because } => format!("power fails: not known, {because}"),
        })
    }
}

fn hatch_of(section: &TrappedSection) -> Option<Hatch> {
    match section.contents {
        Contents::Liquid { .. } if section.relief.is_none() => Some(Hatch::Close),
        Contents::Liquid { .. } | Contents::MayFill { .. } => Some(Hatch::Wide),
        Contents::Gas | Contents::Unknown { .. } => None,
    }
}
