//! What a lighter choice would save: generic parts and tube that still do the work.

pub mod generic;

use super::tube_sizes::tube_sizes;
use crate::eos::Backend;
use crate::quantity::{
    AbsolutePressure, Mass, ThermodynamicTemperature, kelvin, kilograms, pascals_absolute,
};
use crate::train::catalogue::generic_parts;
use crate::train::plan::{InjectorHoles, TrainDuty, TrainNeed, flows};
use crate::train::rig::{Rig, Supply};
use crate::train::{CheckKind, Part, PartKind};

/// Opening up to which a throttle keeps a reserve. Common practice, no source.
const HIGHEST_OPENING: f64 = 0.9;
/// Half-width of the masses of generic parts, relative: their catalogue says so.
const GENERIC_BAND: f64 = 0.4;
/// Half-width of the mass of tube, relative: walls are held to a tenth.
const TUBE_BAND: f64 = 0.1;

/// A lighter choice for one part.
#[derive(Debug, Clone, PartialEq)]
pub struct Lighter {
    /// The part.
    pub part: String,
    /// What it weighs now, all of them together.
    pub now: Mass,
    /// What could stand in its place.
    pub choice: String,
    /// What that would weigh, all of them together.
    pub mass: Mass,
    /// Half-width of that, relative.
    pub band: f64,
    /// Pressure that it may hold.
    pub rating: AbsolutePressure,
    /// Pressure that it must hold.
    pub must_hold: AbsolutePressure,
    /// Where the choice is from: a key of the sources, or the catalogue.
    pub source: &'static str,
}

impl Lighter {
    /// What it saves.
    pub fn saves(&self) -> Mass {
        self.now - self.mass
    }
    /// Least and most that it saves, with the mass of the choice at the ends of its band.
    pub fn saves_between(&self) -> (Mass, Mass) {
        let (now, mass) = (self.now.value, self.mass.value);
        (
            kilograms(now - (1.0 + self.band) * mass),
            kilograms(now - (1.0 - self.band) * mass),
        )
    }
}

/// All lighter choices of a rig.
#[derive(Debug, Clone, PartialEq)]
pub struct LighterChoices {
    /// Part by part, each alone in the train as it stands; the largest saving first.
    pub alone: Vec<Lighter>,
    /// Those of them that still feed every duty when all are made at once.
    pub together: Vec<String>,
    /// What these save.
    pub together_saves: Mass,
}

/// What is asked of the train.
#[derive(Debug, Clone, Copy)]
pub struct Asked<'a> {
    /// The rig.
    pub rig: &'a Rig,
    /// Its fuel.
    pub fuel: &'a dyn Backend,
    /// Its holes.
    pub holes: InjectorHoles,
    /// What its duties need.
    pub needs: &'a [TrainNeed],
    /// How they are fed now.
    pub now: &'a [TrainDuty],
}

/// The lightest choice for every part that still carries flow and pressure.
///
/// A choice is taken if the whole train, solved again with it, feeds every duty that it feeds now, raises no
/// remark that it does not raise now and opens no throttle beyond 90 % (or beyond where it stands now); and if
/// it is rated for what the part it replaces is rated for, or for all that the supply can give if that is less
/// or the part gives no rating; and if it is still lighter at the heavy end of the band of its own mass.
/// Materials and threads are not compared.
///
/// **Valid:** parts with a mass. **Source:** the tables of the choices.
pub fn lighter_choices(asked: &Asked<'_>) -> LighterChoices {
    let rig = asked.rig;
    let mut alone = Vec::new();
    for part in rig.train.parts() {
        let found = candidates(rig, part, asked)
            .into_iter()
            .find(|(_, other)| asked.does(&[other]));
        alone.extend(found);
    }
    alone.sort_by(|a, b| b.0.saves().value.total_cmp(&a.0.saves().value));
    let mut kept: Vec<&Part> = Vec::new();
    let mut saves = 0.0;
    for (choice, other) in &alone {
        kept.push(other);
        if kept.len() == 1 || asked.does(&kept) {
            saves += choice.saves().value;
        } else {
            kept.pop();
        }
    }
    LighterChoices {
        together: kept.iter().map(|p| p.name.clone()).collect(),
        together_saves: kilograms(saves),
        alone: alone.into_iter().map(|(choice, _)| choice).collect(),
    }
}

impl Asked<'_> {
    /// Whether the train does its work with these in place of its own parts of their names.
    fn does(&self, others: &[&Part]) -> bool {
        let mut rig = self.rig.clone();
        for other in others {
            if let Some(part) = rig.train.part_mut(&other.name) {
                part.clone_from(other);
            }
        }
        // the duty with the most fuel first: what is too small for one is too small for it
        let mut duties: Vec<_> = self.needs.iter().zip(self.now).collect();
        duties.sort_by(|(a, _), (b, _)| b.fuel.value.total_cmp(&a.fuel.value));
        duties.into_iter().all(|(need, old)| {
            let new = flows(&rig, self.fuel, self.holes, std::slice::from_ref(need));
            new.is_ok_and(|new| new.iter().all(|new| as_good(old, new)))
        })
    }
}

fn as_good(old: &TrainDuty, new: &TrainDuty) -> bool {
    let Ok(before) = &old.solution else {
        return true;
    };
    let Ok(after) = &new.solution else {
        return false;
    };
    let opens = |d: &TrainDuty| d.setting.as_ref().map_or(0.0, |s| s.opening);
    let seen = |kind: CheckKind, at: &str| old.checks.iter().any(|c| c.kind == kind && c.at == at);
    opens(new) <= HIGHEST_OPENING.max(opens(old))
        // without a throttle the flow is what the train gives: it may not fall
        && (old.setting.is_some() || after.flow.value >= 0.999 * before.flow.value)
        && new.checks.iter().all(|c| seen(c.kind, &c.at))
}

/// Choices for a part that are lighter, hold the pressure and stand the temperature; the lightest first.
fn candidates(rig: &Rig, part: &Part, asked: &Asked<'_>) -> Vec<(Lighter, Part)> {
    let mut found = Vec::new();
    let Some(now) = super::inventory::dry_mass(part) else {
        return found;
    };
    let must_hold = must_hold(rig, part, asked.fuel);
    let (coldest, hottest) = temperatures(rig, part, asked.now);
    let count = copies(rig, part);
    let mut offer = |choice: String, other: Part, band, source| {
        let Some(mass) = other.mass else { return };
        let Some(rating) = other.rating.max_pressure else {
            return;
        };
        let stands = other.rating.min_temperature.is_none_or(|t| t <= coldest)
            && other.rating.max_temperature.is_none_or(|t| t >= hottest);
        let worth = (1.0 + band) * mass.value < now.value;
        if worth && stands && rating.pascals() >= must_hold.pascals() {
            let lighter = Lighter {
                part: part.name.clone(),
                now: now * count,
                choice,
                mass: mass * count,
                band,
                rating,
                must_hold,
                source,
            };
            found.push((lighter, other));
        }
    };
    for generic in generic_parts() {
        if let Some(other) = generic::replaced(part, generic, rig.site.air_pressure) {
            offer(generic.name.clone(), other, GENERIC_BAND, "catalogue");
        }
    }
    for (choice, other, source) in tubes(rig, part, hottest) {
        offer(choice, other, TUBE_BAND, source);
    }
    found.sort_by(|a, b| a.0.mass.value.total_cmp(&b.0.mass.value));
    found
}

/// Tube of every size in place of a tube.
fn tubes(
    rig: &Rig,
    part: &Part,
    hottest: ThermodynamicTemperature,
) -> Vec<(String, Part, &'static str)> {
    let PartKind::Tube(line) = &part.kind else {
        return Vec::new();
    };
    tube_sizes()
        .into_iter()
        .filter_map(|size| {
            let mut other = part.clone();
            let PartKind::Tube(new) = &mut other.kind else {
                return None;
            };
            new.bore = size.bore();
            new.outside_diameter = Some(size.outside);
            other.mass = Some(size.mass(line.length).ok()?);
            let rating = size.rating(hottest).ok()?.absolute(rig.site.air_pressure);
            other.rating.max_pressure = Some(rating.ok()?);
            other.internal_volume = None;
            other.wetted = vec![size.metal.clone()];
            Some((size.name.clone(), other, size.source))
        })
        .collect()
}

fn copies(rig: &Rig, part: &Part) -> f64 {
    let own = rig
        .train
        .sources
        .iter()
        .find(|s| s.parts.iter().any(|p| p.name == part.name));
    own.map_or(1.0, |s| f64::from(s.count))
}

/// Most that the supply can give: relief of the tank, else its vapour pressure on the hottest day, else the
/// main.
pub fn supply_pressure(rig: &Rig, fuel: &dyn Backend) -> Option<AbsolutePressure> {
    match &rig.supply {
        Supply::Tank(tank) => tank.relief_pressure.or_else(|| {
            let t = rig.hottest_tank().unwrap_or(rig.site.ambient);
            let bubble = fuel.bubble_t(t.value).ok()?;
            Some(pascals_absolute(bubble.pressure_pa))
        }),
        Supply::Mains(main) => Some(main.pressure),
    }
}

/// What a choice must hold: what the part is rated for, or all that the supply can give if that is less or
/// the part gives no rating.
fn must_hold(rig: &Rig, part: &Part, fuel: &dyn Backend) -> AbsolutePressure {
    let own = part.rating.max_pressure.map(AbsolutePressure::pascals);
    let supply = supply_pressure(rig, fuel).map(AbsolutePressure::pascals);
    pascals_absolute(match (own, supply) {
        (Some(own), Some(supply)) => own.min(supply),
        (own, supply) => own.or(supply).unwrap_or(f64::INFINITY),
    })
}

/// Coldest and hottest that a part gets: the site's days and what flows through it.
fn temperatures(
    rig: &Rig,
    part: &Part,
    now: &[TrainDuty],
) -> (ThermodynamicTemperature, ThermodynamicTemperature) {
    let site = &rig.site;
    let days = [Some(site.ambient), site.coldest, site.hottest];
    let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
    let flows = now
        .iter()
        .filter_map(|d| d.solution.as_ref().ok()?.part(&part.name));
    let seen = flows.flat_map(|f| [f.inlet.temperature, f.outlet.temperature]);
    for t in days.into_iter().flatten().chain(seen) {
        low = low.min(t.value);
        high = high.max(t.value);
    }
    (kelvin(low), kelvin(high))
}
