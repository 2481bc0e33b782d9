//! How the parts stand together: sources, runs of parts, branches and outlets, as a tree.

use super::Part;
use crate::quantity::Length;
use crate::train::worded::worded;

/// A fuel train from its tanks to its injectors.
///
/// Sources join at one node, from which `run` begins. A run is a row of parts that ends at an outlet or
/// splits into further runs.
#[derive(Debug, Clone, PartialEq)]
pub struct Train {
    /// Tanks or other supplies; at least one.
    pub sources: Vec<Source>,
    /// What follows after the sources have joined.
    pub run: Run,
}

/// A supply: one tank, or several alike.
#[derive(Debug, Clone, PartialEq)]
pub struct Source {
    /// Name.
    pub name: String,
    /// Number of tanks alike in parallel, each with its own copy of `parts`.
    pub count: u32,
    /// What is drawn.
    pub draw: Draw,
    /// Parts between the tank and the node where sources join.
    pub parts: Vec<Part>,
}

worded! {
    /// What is drawn from a tank.
    pub enum Draw {
        /// Vapour from above the liquid (or gas).
        Vapour = "vapour",
        /// Liquid.
        Liquid = "liquid",
    }
}

/// A row of parts.
#[derive(Debug, Clone, PartialEq)]
pub struct Run {
    /// Name, e.g. `main`, `pilot`.
    pub name: String,
    /// Parts from the node upstream to the end.
    pub parts: Vec<Part>,
    /// What it ends in.
    pub end: End,
}

/// End of a run.
#[derive(Debug, Clone, PartialEq)]
pub enum End {
    /// An outlet.
    Outlet(Outlet),
    /// A split into further runs.
    Split(Vec<Run>),
}

/// Where fuel leaves the train.
#[derive(Debug, Clone, PartialEq)]
pub struct Outlet {
    /// Name, unique among outlets.
    pub name: String,
    /// What it passes.
    pub law: OutletLaw,
}

/// What an outlet passes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum OutletLaw {
    /// Drilled holes alike.
    Holes {
        /// Number.
        number: u32,
        /// Diameter.
        diameter: Length,
        /// Discharge coefficient.
        discharge_coefficient: f64,
    },
    /// An open end: the line's own pressure is that of the chamber (or its choking pressure).
    Open,
}

impl Train {
    /// Every part, sources first, then the tree from its root, each run before its branches.
    pub fn parts(&self) -> Vec<&Part> {
        let mut all: Vec<&Part> = self.sources.iter().flat_map(|s| &s.parts).collect();
        self.run.collect_parts(&mut all);
        all
    }
    /// The part of this name.
    pub fn part(&self, name: &str) -> Option<&Part> {
        self.parts().into_iter().find(|p| p.name == name)
    }
    /// The part of this name, to change it.
    pub fn part_mut(&mut self, name: &str) -> Option<&mut Part> {
        for source in &mut self.sources {
            if let Some(i) = source.parts.iter().position(|p| p.name == name) {
                return source.parts.get_mut(i);
            }
        }
        self.run.part_mut(name)
    }
    /// Every outlet, in order.
    pub fn outlets(&self) -> Vec<&Outlet> {
        let mut all = Vec::new();
        self.run.collect_outlets(&mut all);
        all
    }
}

impl Run {
    fn collect_parts<'a>(&'a self, all: &mut Vec<&'a Part>) {
        all.extend(&self.parts);
        if let End::Split(runs) = &self.end {
            for run in runs {
                run.collect_parts(all);
            }
        }
    }
    fn collect_outlets<'a>(&'a self, all: &mut Vec<&'a Outlet>) {
        match &self.end {
            End::Outlet(o) => all.push(o),
            End::Split(runs) => {
                for run in runs {
                    run.collect_outlets(all);
                }
            }
        }
    }
    fn part_mut(&mut self, name: &str) -> Option<&mut Part> {
        if let Some(i) = self.parts.iter().position(|p| p.name == name) {
            return self.parts.get_mut(i);
        }
        match &mut self.end {
            End::Outlet(_) => None,
            End::Split(runs) => runs.iter_mut().find_map(|r| r.part_mut(name)),
        }
    }
}
