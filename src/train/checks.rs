//! What stands out in a solved train: velocities, ratings, cold, condensation, flashing, pumps, regulators.

use super::check_kind::CheckKind;
use super::protection::{KeptBy, failed_open};
use super::{Conditions, Part, PartFlow, PartKind, Solution, SourceFlow, Station, Train};
use crate::eos::Phase;
use crate::flow::stream::Stream;
use crate::quantity::{AbsolutePressure, Kind, pascals_absolute};

/// Highest gas velocity in lines before noise and vibration, m/s. Common practice, no source.
const GAS_VELOCITY_M_S: f64 = 30.0;
/// Highest liquid velocity in lines, m/s. Common practice, no source.
const LIQUID_VELOCITY_M_S: f64 = 3.0;
/// Mach number above which a line is no place for a gauge tapping or a bend. Common practice, no source.
const MACH: f64 = 0.3;
/// Freezing point of water, K.
const WATER_FREEZES_K: f64 = 273.15;
/// How far below it makes ice, K. Our choice.
const FROST_K: f64 = 0.05;
/// Share of the choked drop of a liquid valve at which cavitation is expected. Our choice.
const CAVITATION_SHARE: f64 = 0.8;
/// Margin to the dew point that is wanted, K. Our choice.
const DEW_MARGIN_K: f64 = 3.0;
/// Load above which a regulator has no reserve. Common practice, no source.
const REGULATOR_LOAD: f64 = 0.9;
/// Closing flow of an excess-flow valve over the flow, lowest and highest. Common practice, no source.
const EXCESS_FLOW_RATIO: (f64, f64) = (1.3, 3.0);

/// A figure with its kind.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Figure {
    /// What it is.
    pub kind: Kind,
    /// Value, SI.
    pub si: f64,
}

/// One remark on a solved train.
#[derive(Debug, Clone, PartialEq)]
pub struct Check {
    /// Kind.
    pub kind: CheckKind,
    /// Part or source.
    pub at: String,
    /// What was found.
    pub measured: Figure,
    /// What it is held against.
    pub limit: Figure,
    /// Who sets the limit.
    pub basis: &'static str,
}

/// Basis of a limit that the user gave.
const GIVEN: &str = "the part's own data";
/// Basis of a limit from practice.
const PRACTICE: &str = "common practice, no source";
/// Basis of a limit of physics.
const PHYSICS: &str = "property of the fuel or of water";
/// Basis of a limit of ours.
const CHOICE: &str = "our choice";

impl Check {
    /// Whether the limit is one that the rig gives for the part.
    pub fn is_given(&self) -> bool {
        self.basis == GIVEN
    }
    /// Whether it is about a regulator.
    pub fn is_regulator(&self, train: &Train) -> bool {
        train
            .part(&self.at)
            .is_some_and(|p| matches!(p.kind, PartKind::Regulator(_)))
    }
}

struct Remarks<'a> {
    list: Vec<Check>,
    stream: Stream<'a>,
    ambient_k: f64,
}

impl Remarks<'_> {
    fn add(
        &mut self,
        kind: CheckKind,
        at: &str,
        unit: Kind,
        (measured, limit): (f64, f64),
        basis: &'static str,
    ) {
        self.list.push(Check {
            kind,
            at: at.to_owned(),
            measured: Figure {
                kind: unit,
                si: measured,
            },
            limit: Figure {
                kind: unit,
                si: limit,
            },
            basis,
        });
    }

    /// Adds if the measured figure is above the limit.
    fn above(
        &mut self,
        kind: CheckKind,
        at: &str,
        unit: Kind,
        pair: (f64, f64),
        basis: &'static str,
    ) {
        if pair.0 > pair.1 {
            self.add(kind, at, unit, pair, basis);
        }
    }

    /// Adds if the measured figure is below the limit.
    fn below(
        &mut self,
        kind: CheckKind,
        at: &str,
        unit: Kind,
        pair: (f64, f64),
        basis: &'static str,
    ) {
        if pair.0 < pair.1 {
            self.add(kind, at, unit, pair, basis);
        }
    }
}

/// Remarks on a solved train, part by part in the order of the solution.
///
/// **Valid:** for the conditions of the solution. Limits marked as practice or choice are no rule of any
/// code. **Source:** each remark names the basis of its limit.
pub fn checks(train: &Train, conditions: &Conditions, solution: &Solution) -> Vec<Check> {
    let mut remarks = Remarks {
        list: Vec::new(),
        stream: Stream::new(conditions.fuel),
        ambient_k: conditions.ambient.value,
    };
    for source in &solution.sources {
        starved(&mut remarks, source, solution);
    }
    for flow in &solution.parts {
        let Some(part) = train.part(&flow.part) else {
            continue;
        };
        velocity(&mut remarks, part, flow);
        rating(&mut remarks, part, flow);
        cold(&mut remarks, part, flow);
        phases(&mut remarks, part, flow);
        kind_of_part(&mut remarks, part, flow);
    }
    at_rest(&mut remarks, train, solution);
    remarks.list
}

fn starved(remarks: &mut Remarks, source: &SourceFlow, solution: &Solution) {
    if !source.starved {
        return;
    }
    let most = solution
        .sources
        .iter()
        .map(|s| s.tank.pressure.pascals())
        .fold(0.0, f64::max);
    let own = source.tank.pressure.pascals();
    remarks.add(
        CheckKind::SourceStarved,
        &source.source,
        Kind::AbsolutePressure,
        (own, most),
        PHYSICS,
    );
}

fn velocity(remarks: &mut Remarks, part: &Part, flow: &PartFlow) {
    let (a, b) = (&flow.inlet, &flow.outlet);
    let fastest = a.velocity.value.max(b.velocity.value);
    let limit = if a.phase == Phase::Liquid {
        LIQUID_VELOCITY_M_S
    } else {
        GAS_VELOCITY_M_S
    };
    if part.kind.line().is_some() {
        let pair = (fastest, limit);
        remarks.above(
            CheckKind::Velocity,
            &part.name,
            Kind::Velocity,
            pair,
            PRACTICE,
        );
        let mach = a.mach.unwrap_or(0.0).max(b.mach.unwrap_or(0.0));
        remarks.above(
            CheckKind::Mach,
            &part.name,
            Kind::Ratio,
            (mach, MACH),
            PRACTICE,
        );
    }
    if flow.choked {
        let pressures = (b.pressure.pascals(), a.pressure.pascals());
        remarks.add(
            CheckKind::Choked,
            &part.name,
            Kind::AbsolutePressure,
            pressures,
            PHYSICS,
        );
    }
}

fn rating(remarks: &mut Remarks, part: &Part, flow: &PartFlow) {
    let name = &part.name;
    let most = flow
        .inlet
        .pressure
        .pascals()
        .max(flow.outlet.pressure.pascals());
    if let Some(limit) = part.rating.max_pressure {
        remarks.above(
            CheckKind::PressureAboveRating,
            name,
            Kind::AbsolutePressure,
            (most, limit.pascals()),
            GIVEN,
        );
    }
    let (a, b) = (flow.inlet.temperature.value, flow.outlet.temperature.value);
    if let Some(limit) = part.rating.min_temperature {
        let pair = (a.min(b), limit.value);
        remarks.below(
            CheckKind::ColderThanRating,
            name,
            Kind::Temperature,
            pair,
            GIVEN,
        );
    }
    if let Some(limit) = part.rating.max_temperature {
        let pair = (a.max(b).max(remarks.ambient_k), limit.value);
        remarks.above(
            CheckKind::HotterThanRating,
            name,
            Kind::Temperature,
            pair,
            GIVEN,
        );
    }
}

fn cold(remarks: &mut Remarks, part: &Part, flow: &PartFlow) {
    let (before, coldest) = (flow.inlet.temperature.value, flow.outlet.temperature.value);
    // of a regulator always, of the rest once, where it becomes so
    let regulator = matches!(part.kind, PartKind::Regulator(_)) && coldest < before;
    let frost_k = WATER_FREEZES_K - FROST_K;
    if coldest < frost_k && (regulator || before >= frost_k) {
        let pair = (coldest, WATER_FREEZES_K);
        remarks.add(
            CheckKind::BelowFreezing,
            &part.name,
            Kind::Temperature,
            pair,
            PHYSICS,
        );
    }
}

fn phases(remarks: &mut Remarks, part: &Part, flow: &PartFlow) {
    let (a, b) = (&flow.inlet, &flow.outlet);
    let vapour = (b.vapour_mass_fraction, 0.0);
    if a.phase == Phase::Liquid && b.phase == Phase::TwoPhase {
        remarks.add(
            CheckKind::Flashing,
            &part.name,
            Kind::Ratio,
            vapour,
            PHYSICS,
        );
    } else if flow.two_phase || a.phase == Phase::TwoPhase {
        remarks.add(
            CheckKind::TwoPhase,
            &part.name,
            Kind::Ratio,
            vapour,
            PHYSICS,
        );
    }
    if b.phase == Phase::Gas {
        condensation(remarks, part, b);
    }
}

/// Gas in a line takes the temperature of its walls in the end: that of the surroundings.
fn condensation(remarks: &mut Remarks, part: &Part, at: &Station) {
    let Some(dew_k) = remarks.stream.dew_temperature(at.pressure.pascals()) else {
        return;
    };
    let coldest = at.temperature.value.min(remarks.ambient_k);
    let pair = (coldest, dew_k + DEW_MARGIN_K);
    if part.kind.line().is_some() {
        remarks.below(
            CheckKind::Condensation,
            &part.name,
            Kind::Temperature,
            pair,
            CHOICE,
        );
    }
}

fn kind_of_part(remarks: &mut Remarks, part: &Part, flow: &PartFlow) {
    match &part.kind {
        PartKind::Regulator(r) => {
            let (name, p1) = (&part.name, flow.inlet.pressure.pascals());
            let unit = Kind::AbsolutePressure;
            if let Some(least) = r.min_inlet {
                let pair = (p1, least.pascals());
                remarks.below(CheckKind::RegulatorStarved, name, unit, pair, GIVEN);
            }
            if flow.wide_open {
                let pair = (flow.outlet.pressure.pascals(), r.set_pressure.pascals());
                remarks.add(CheckKind::RegulatorStarved, name, unit, pair, GIVEN);
            }
            if let Some(most) = r.max_inlet {
                let pair = (p1, most.pascals());
                remarks.above(CheckKind::RegulatorInletHigh, name, unit, pair, GIVEN);
            }
            let pair = (flow.flow.value, r.rated_flow.value);
            remarks.above(
                CheckKind::RegulatorOverloaded,
                name,
                Kind::MassRate,
                pair,
                GIVEN,
            );
            let load = (flow.load.unwrap_or(0.0), REGULATOR_LOAD);
            if !flow.wide_open {
                remarks.above(
                    CheckKind::RegulatorOverloaded,
                    name,
                    Kind::Ratio,
                    load,
                    PRACTICE,
                );
            }
        }
        PartKind::Pump(p) => {
            let bubble = remarks.stream.bubble_pressure(flow.inlet.temperature.value);
            if let (Some(needed), Some(vapour)) = (p.npsh_required, bubble) {
                let pair = (flow.inlet.pressure.pascals() - vapour, needed.pascals());
                let unit = Kind::PressureDifference;
                remarks.below(CheckKind::VapourLock, &part.name, unit, pair, GIVEN);
            }
            if let Some(most) = p.max_power {
                let pair = (flow.work.value, most.value);
                remarks.above(CheckKind::PumpPower, &part.name, Kind::Power, pair, GIVEN);
            }
        }
        PartKind::ExcessFlowValve(e) => {
            let root = (flow.inlet.density.value / e.closing_density.value).sqrt();
            let ratio = e.closing_flow.value * root / flow.flow.value;
            let (least, most) = EXCESS_FLOW_RATIO;
            let unit = Kind::Ratio;
            remarks.below(
                CheckKind::ExcessFlowTooSmall,
                &part.name,
                unit,
                (ratio, least),
                PRACTICE,
            );
            remarks.above(
                CheckKind::ExcessFlowTooLarge,
                &part.name,
                unit,
                (ratio, most),
                PRACTICE,
            );
        }
        kind => {
            if let Some(valve) = kind.valve()
                && flow.inlet.phase == Phase::Liquid
            {
                cavitation(remarks, part, flow, valve.style.fl);
            }
        }
    }
}

fn cavitation(remarks: &mut Remarks, part: &Part, flow: &PartFlow, fl: f64) {
    let Some(vapour) = remarks.stream.bubble_pressure(flow.inlet.temperature.value) else {
        return;
    };
    let (p1, p2) = (
        flow.inlet.pressure.pascals(),
        flow.outlet.pressure.pascals(),
    );
    // above the vapour pressure behind the valve: bubbles collapse; below it the liquid flashes
    if p2 > vapour && p1 > vapour {
        let pair = ((p1 - p2) / (p1 - vapour), CAVITATION_SHARE * fl * fl);
        remarks.above(CheckKind::Cavitation, &part.name, Kind::Ratio, pair, CHOICE);
    }
}

/// Pressures with the flow stopped: the tank's up to the first regulator, lock-up behind each; and what comes on a
/// part if one regulator alone fails wide open.
fn at_rest(remarks: &mut Remarks, train: &Train, solution: &Solution) {
    let tank = solution
        .sources
        .iter()
        .map(|s| s.tank.pressure.pascals())
        .fold(0.0, f64::max);
    let held = |r: &crate::flow::regulator::Regulator, inlet| r.lock_up_pressure(inlet);
    let tank = pascals_absolute(tank);
    let failed = failed_open(train, tank, held, KeptBy::RELIEFS);
    for (part, before) in super::ways::at_rest(train, tank, held) {
        let mut exposed = failed.iter().flat_map(|f| &f.parts);
        let most = exposed.find(|e| e.part.name == part.name);
        part_at_rest(remarks, part, before, most.map(|e| e.pressure));
    }
}

/// Checks one part: the pressure at rest, and what comes on it if the regulator before it fails wide open.
fn part_at_rest(
    remarks: &mut Remarks,
    part: &Part,
    before: AbsolutePressure,
    failed: Option<AbsolutePressure>,
) {
    let unit = Kind::AbsolutePressure;
    let Some(limit) = part.rating.max_pressure else {
        return;
    };
    let mut above = |kind, p: AbsolutePressure| {
        let pair = (p.pascals(), limit.pascals());
        remarks.above(kind, &part.name, unit, pair, GIVEN);
    };
    above(CheckKind::PressureAtRestAboveRating, before);
    if let Some(failed) = failed.filter(|_| before <= limit) {
        above(CheckKind::PressureAfterRegulatorFailure, failed);
    }
}
