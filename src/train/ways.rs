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

/// A regulator and the parts behind it that a supply on them would put above their rating.
#[derive(Debug, Clone, PartialEq)]
pub struct Weak<'t> {
    /// Name of the regulator.
    pub regulator: &'t str,
    /// Pressure on the first of them.
    pub stands: AbsolutePressure,
    /// Whether a relief valve opens there.
    pub relieved: bool,
    /// Names and ratings, the weakest first.
    pub parts: Vec<(&'t str, AbsolutePressure)>,
}

/// Regulators, in the order of the train, with the parts behind them that are rated below what stands on them if
/// that regulator alone fails wide open: the pressure before it, up to the next regulator, less where a relief
/// valve in between opens.
///
/// * `supply` — pressure of tank or main
/// * `behind` — what a sound regulator holds at its inlet pressure with the flow stopped
/// * `cut_off` — whether a switch for high pressure closes the shut-off valves: what stands behind the first of
///   them that is not itself above its rating is then kept from it
pub fn weak_if_failed_open(
    train: &Train,
    supply: AbsolutePressure,
    behind: impl Fn(&Regulator, AbsolutePressure) -> AbsolutePressure,
    cut_off: bool,
) -> Vec<Weak<'_>> {
    let mut all: Vec<Weak<'_>> = Vec::new();
    for way in ways(train) {
        let mut held = supply;
        let mut failed: Option<(&str, f64, bool)> = None;
        for part in way {
            if let (Some((regulator, stands_pa, relieved)), Some(rating)) =
                (failed, part.rating.max_pressure)
                && !matches!(part.kind, PartKind::ReliefValve(_))
                && rating.pascals() < stands_pa
                && all
                    .iter()
                    .flat_map(|w| &w.parts)
                    .all(|(name, _)| *name != part.name)
            {
                let weak = (part.name.as_str(), rating);
                match all.iter_mut().find(|w| w.regulator == regulator) {
                    Some(w) => w.parts.push(weak),
                    None => all.push(Weak {
                        regulator,
                        stands: pascals_absolute(stands_pa),
                        relieved,
                        parts: vec![weak],
                    }),
                }
            }
            match &part.kind {
                PartKind::Regulator(r) => {
                    failed = Some((&part.name, held.pascals(), false));
                    held = behind(r, held);
                }
                PartKind::ReliefValve(r) => {
                    let opens_pa = r.set_pressure.pascals();
                    failed = failed.map(|(name, p, relieved)| {
                        (name, p.min(opens_pa), relieved || opens_pa < p)
                    });
                }
                // a valve above its own rating is none to count on
                _ if cut_off && shuts_on_command(part) => {
                    failed = failed.filter(|f| {
                        let rating = part.rating.max_pressure;
                        rating.is_some_and(|rating| rating.pascals() < f.1)
                    });
                }
                _ => {}
            }
        }
    }
    for weak in &mut all {
        weak.parts
            .sort_by(|a, b| a.1.pascals().total_cmp(&b.1.pascals()));
    }
    all
}

/// Whether a shut command closes a part tight: a valve, not one that meters, that closes without power.
pub fn shuts_on_command(part: &Part) -> bool {
    let meters = matches!(
        part.kind,
        PartKind::MeteringValve(_) | PartKind::NeedleValve(_)
    );
    let closes = |c: &super::Closure| {
        c.on_power_loss == super::OnLoss::Closes
            && !matches!(
                c.actuation,
                super::Actuation::Manual | super::Actuation::SelfActing
            )
    };
    !meters && part.closure.as_ref().is_some_and(closes)
}
