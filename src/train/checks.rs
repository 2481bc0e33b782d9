//! Figures of a solved train past what they are held against: velocities, ratings, cold, condensation, flashing, pumps,
//! regulators. What is wrong with them is for rules to say.

use super::check_kind::CheckKind;
use super::protection::{KeptBy, failed_open, stood_at_rest};
use super::{Conditions, Part, PartFlow, PartKind, Solution, SourceFlow, Station, Train};
use crate::eos::Phase;
use crate::flow::stream::Stream;
use crate::quantity::{AbsolutePressure, pascals_absolute};

/// Highest gas velocity in lines before noise and vibration, m/s. Common practice, no source.
pub(crate) const GAS_VELOCITY_M_S: f64 = 30.0;
/// Highest liquid velocity in lines, m/s. Common practice, no source.
pub(crate) const LIQUID_VELOCITY_M_S: f64 = 3.0;
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

/// A figure of a solved train past its limit; both are of the [`CheckKind::figure`] of its kind, SI.
#[derive(Debug, Clone, PartialEq)]
pub struct Check {
    /// What is held against what.
    pub kind: CheckKind,
    /// Part or source.
    pub at: String,
    /// What was found.
    pub measured: f64,
    /// What it is held against.
    pub limit: f64,
}

impl Check {
    /// How far it is past its limit.
    pub fn off(&self) -> f64 {
        (self.measured - self.limit).abs()
    }
    /// Whether it is about a regulator.
    pub fn is_regulator(&self, train: &Train) -> bool {
        train.part(&self.at).is_some_and(Part::is_regulator)
    }
}

struct Checks<'a> {
    list: Vec<Check>,
    stream: Stream<'a>,
    ambient_k: f64,
}

impl Checks<'_> {
    fn add(&mut self, kind: CheckKind, at: &str, (measured, limit): (f64, f64)) {
        self.list.push(Check {
            kind,
            at: at.to_owned(),
            measured,
            limit,
        });
    }

    /// Adds if the measured figure is above the limit.
    fn above(&mut self, kind: CheckKind, at: &str, pair: (f64, f64)) {
        if pair.0 > pair.1 {
            self.add(kind, at, pair);
        }
    }

    /// Adds if the measured figure is below the limit.
    fn below(&mut self, kind: CheckKind, at: &str, pair: (f64, f64)) {
        if pair.0 < pair.1 {
            self.add(kind, at, pair);
        }
    }
}

/// What of a solved train is past its limit, part by part in the order of the solution.
///
/// **Valid:** for the conditions of the solution. Limits of practice or choice are no rule of any code. **Source:** each
/// kind names the basis of its limit.
pub fn checks(train: &Train, conditions: &Conditions, solution: &Solution) -> Vec<Check> {
    let mut checks = Checks {
        list: Vec::new(),
        stream: Stream::new(conditions.fuel),
        ambient_k: conditions.ambient.value,
    };
    for source in &solution.sources {
        starved(&mut checks, source, solution);
    }
    for flow in &solution.parts {
        let Some(part) = train.part(&flow.part) else {
            continue;
        };
        velocity(&mut checks, part, flow);
        rating(&mut checks, part, flow);
        cold(&mut checks, part, flow);
        phases(&mut checks, part, flow);
        kind_of_part(&mut checks, part, flow);
    }
    at_rest(&mut checks, train, solution);
    checks.list
}

/// Highest pressure of the tanks, Pa.
fn most_pa(solution: &Solution) -> f64 {
    let sources = solution.sources.iter();
    let pressures = sources.map(|s| s.tank.pressure.pascals());
    pressures.fold(0.0, f64::max)
}

fn starved(checks: &mut Checks, source: &SourceFlow, solution: &Solution) {
    if source.starved {
        let pair = (source.tank.pressure.pascals(), most_pa(solution));
        checks.add(CheckKind::SourceStarved, &source.source, pair);
    }
}

fn velocity(checks: &mut Checks, part: &Part, flow: &PartFlow) {
    let (a, b) = (&flow.inlet, &flow.outlet);
    let fastest = a.velocity.value.max(b.velocity.value);
    let limit = if a.phase == Phase::Liquid {
        LIQUID_VELOCITY_M_S
    } else {
        GAS_VELOCITY_M_S
    };
    if part.kind.line().is_some() {
        checks.above(CheckKind::Velocity, &part.name, (fastest, limit));
        let mach = a.mach.unwrap_or(0.0).max(b.mach.unwrap_or(0.0));
        checks.above(CheckKind::Mach, &part.name, (mach, MACH));
    }
    if flow.choked {
        let pressures = (b.pressure.pascals(), a.pressure.pascals());
        checks.add(CheckKind::Choked, &part.name, pressures);
    }
}

fn rating(checks: &mut Checks, part: &Part, flow: &PartFlow) {
    let name = &part.name;
    let pressures = [&flow.inlet, &flow.outlet].map(|s| s.pressure.pascals());
    if let Some(limit) = part.rating.max_pressure {
        let pair = (pressures[0].max(pressures[1]), limit.pascals());
        checks.above(CheckKind::PressureAboveRating, name, pair);
    }
    let (a, b) = (flow.inlet.temperature.value, flow.outlet.temperature.value);
    if let Some(limit) = part.rating.min_temperature {
        let pair = (a.min(b), limit.value);
        checks.below(CheckKind::ColderThanRating, name, pair);
    }
    if let Some(limit) = part.rating.max_temperature {
        let pair = (a.max(b).max(checks.ambient_k), limit.value);
        checks.above(CheckKind::HotterThanRating, name, pair);
    }
}

fn cold(checks: &mut Checks, part: &Part, flow: &PartFlow) {
    let (before, coldest) = (flow.inlet.temperature.value, flow.outlet.temperature.value);
    // of a regulator always, of the rest once, where it becomes so
    let regulator = part.is_regulator() && coldest < before;
    let frost_k = WATER_FREEZES_K - FROST_K;
    if coldest < frost_k && (regulator || before >= frost_k) {
        let pair = (coldest, WATER_FREEZES_K);
        checks.add(CheckKind::BelowFreezing, &part.name, pair);
    }
}

fn phases(checks: &mut Checks, part: &Part, flow: &PartFlow) {
    let (a, b) = (&flow.inlet, &flow.outlet);
    let vapour = (b.vapour_mass_fraction, 0.0);
    if a.phase == Phase::Liquid && b.phase == Phase::TwoPhase {
        checks.add(CheckKind::Flashing, &part.name, vapour);
    } else if flow.two_phase || a.phase == Phase::TwoPhase {
        checks.add(CheckKind::TwoPhase, &part.name, vapour);
    }
    if b.phase == Phase::Gas {
        condensation(checks, part, b);
    }
}

/// Gas in a line takes the temperature of its walls in the end: that of the surroundings.
fn condensation(checks: &mut Checks, part: &Part, at: &Station) {
    let (coldest, p_pa) = (
        at.temperature.value.min(checks.ambient_k),
        at.pressure.pascals(),
    );
    let fuel = checks.stream.backend();
    if part.kind.line().is_none() || fuel.is_certainly(Phase::Gas, p_pa, coldest - DEW_MARGIN_K) {
        return;
    }
    if let Some(dew_k) = checks.stream.dew_temperature(p_pa) {
        let pair = (coldest, dew_k + DEW_MARGIN_K);
        checks.below(CheckKind::Condensation, &part.name, pair);
    }
}

fn kind_of_part(checks: &mut Checks, part: &Part, flow: &PartFlow) {
    let (name, p1) = (&part.name, flow.inlet.pressure.pascals());
    match &part.kind {
        PartKind::Regulator(r) => {
            if let Some(least) = r.min_inlet {
                checks.below(CheckKind::RegulatorStarved, name, (p1, least.pascals()));
            }
            if flow.wide_open {
                let pair = (flow.outlet.pressure.pascals(), r.set_pressure.pascals());
                checks.add(CheckKind::RegulatorStarved, name, pair);
            }
            if let Some(most) = r.max_inlet {
                checks.above(CheckKind::RegulatorInletHigh, name, (p1, most.pascals()));
            }
            let pair = (flow.flow.value, r.rated_flow.value);
            checks.above(CheckKind::RegulatorOverloaded, name, pair);
            if let Some(load) = flow.load.filter(|_| !flow.wide_open) {
                let pair = (load, REGULATOR_LOAD);
                checks.above(CheckKind::RegulatorNearCapacity, name, pair);
            }
        }
        PartKind::Pump(p) => {
            let bubble = checks.stream.bubble_pressure(flow.inlet.temperature.value);
            if let (Some(needed), Some(vapour)) = (p.npsh_required, bubble) {
                let pair = (p1 - vapour, needed.pascals());
                checks.below(CheckKind::VapourLock, name, pair);
            }
            if let Some(most) = p.max_power {
                let pair = (flow.work.value, most.value);
                checks.above(CheckKind::PumpPower, name, pair);
            }
        }
        PartKind::ExcessFlowValve(e) => {
            let root = (flow.inlet.density.value / e.closing_density.value).sqrt();
            let ratio = e.closing_flow.value * root / flow.flow.value;
            let (least, most) = EXCESS_FLOW_RATIO;
            checks.below(CheckKind::ExcessFlowTooSmall, name, (ratio, least));
            checks.above(CheckKind::ExcessFlowTooLarge, name, (ratio, most));
        }
        kind => {
            if let Some(valve) = kind.valve()
                && flow.inlet.phase == Phase::Liquid
            {
                cavitation(checks, part, flow, valve.style.fl);
            }
        }
    }
}

fn cavitation(checks: &mut Checks, part: &Part, flow: &PartFlow, fl: f64) {
    let Some(vapour) = checks.stream.bubble_pressure(flow.inlet.temperature.value) else {
        return;
    };
    let [p1, p2] = [&flow.inlet, &flow.outlet].map(|s| s.pressure.pascals());
    // above the vapour pressure behind the valve: bubbles collapse; below it the liquid flashes
    if p2 > vapour && p1 > vapour {
        let pair = ((p1 - p2) / (p1 - vapour), CAVITATION_SHARE * fl * fl);
        checks.above(CheckKind::Cavitation, &part.name, pair);
    }
}

/// Pressures with the flow stopped: as the tank's comes through, and what comes on a part if one regulator alone fails
/// wide open.
fn at_rest(checks: &mut Checks, train: &Train, solution: &Solution) {
    let tank = pascals_absolute(most_pa(solution));
    let failed = failed_open(train, tank, Part::holds, KeptBy::RELIEFS);
    for (part, rest) in stood_at_rest(train, tank) {
        let Some(limit) = part.rating.max_pressure else {
            continue;
        };
        let mut above = |kind, p: AbsolutePressure| {
            checks.above(kind, &part.name, (p.pascals(), limit.pascals()));
        };
        above(CheckKind::PressureAtRestAboveRating, rest);
        let mut exposed = failed.iter().flat_map(|f| &f.parts);
        let failed = exposed.find(|e| e.part.name == part.name);
        if let Some(failed) = failed.filter(|_| rest <= limit) {
            above(CheckKind::PressureAfterRegulatorFailure, failed.pressure);
        }
    }
}
