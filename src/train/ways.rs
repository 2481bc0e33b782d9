//! Ways through a train, and which pressure of the supply can stand on which part.

use super::{End, Part, PartKind, Run, Train};
use crate::flow::regulator::Regulator;
use crate::quantity::{AbsolutePressure, pascals_absolute};

/// Parts on every way from a supply to an outlet, each way in order.
pub fn ways(train: &Train) -> Vec<Vec<&Part>> {
    let mut ways = Vec::new();
    for source in &train.sources {
        let mut way: Vec<&Part> = source.parts.iter().collect();
        follow(&train.run, &mut way, &mut ways);
    }
    ways
}

fn follow<'t>(run: &'t Run, way: &mut Vec<&'t Part>, ways: &mut Vec<Vec<&'t Part>>) {
    let before = way.len();
    way.extend(&run.parts);
    match &run.end {
        End::Outlet(_) => ways.push(way.clone()),
        End::Split(runs) => runs.iter().for_each(|r| follow(r, way, ways)),
    }
    way.truncate(before);
}

/// Parts up to the first regulator of each way, which still sees the supply, and all of a way without one;
/// each part once.
pub fn at_supply_pressure(train: &Train) -> Vec<&Part> {
    let mut parts: Vec<&Part> = Vec::new();
    for way in ways(train) {
        for part in way {
            if !parts.iter().any(|p| p.name == part.name) {
                parts.push(part);
            }
            if matches!(part.kind, PartKind::Regulator(_)) {
                break;
            }
        }
    }
    parts
}

/// Every part with the pressure before it while nothing flows: the supply's up to the first regulator, then
/// what `behind` says a regulator holds at its inlet pressure; where several ways meet, the highest.
pub fn at_rest(
    train: &Train,
    supply: AbsolutePressure,
    behind: impl Fn(&Regulator, AbsolutePressure) -> AbsolutePressure,
) -> Vec<(&Part, AbsolutePressure)> {
    let mut found = Vec::new();
    let sources = train.sources.iter();
    let joined_pa = sources
        .map(|source| along(&source.parts, supply, &behind, &mut found).pascals())
        .reduce(f64::max);
    let joined = joined_pa.map_or(supply, pascals_absolute);
    run_at_rest(&train.run, joined, &behind, &mut found);
    found
}

fn run_at_rest<'t>(
    run: &'t Run,
    before: AbsolutePressure,
    behind: &impl Fn(&Regulator, AbsolutePressure) -> AbsolutePressure,
    found: &mut Vec<(&'t Part, AbsolutePressure)>,
) {
    let rest = along(&run.parts, before, behind, found);
    if let End::Split(runs) = &run.end {
        for branch in runs {
            run_at_rest(branch, rest, behind, found);
        }
    }
}

/// Adds parts in series and gives the pressure at rest behind the last.
fn along<'t>(
    parts: &'t [Part],
    mut rest: AbsolutePressure,
    behind: &impl Fn(&Regulator, AbsolutePressure) -> AbsolutePressure,
    found: &mut Vec<(&'t Part, AbsolutePressure)>,
) -> AbsolutePressure {
    for part in parts {
        found.push((part, rest));
        if let PartKind::Regulator(r) = &part.kind {
            rest = behind(r, rest);
        }
    }
    rest
}
