//! Liquid nozzles: plain holes and pressure-swirl, exact and as they can be made, with their drops at every duty.

use super::demand::Fed;
use super::input::ConvertInput;
use super::liquid::LiquidAt;
use crate::flow::atomize::{
    AtomizeError, DropSizes, SwirlChamber, plain_orifice, pressure_swirl, swirl_discharge,
};
use crate::flow::film::air_viscosity_pa_s;
use crate::flow::orifice::Expansion;
use crate::injector::drills::{Drill, drills, drills_around};
use crate::injector::error::InjectorError;
use crate::injector::hole::HoleMake;
use crate::injector::size::{InjectorInput, Supply, size};
use crate::quantity::{
    AbsolutePressure, GAS_CONSTANT_J_MOL_K, Length, MassDensity, MassRate, PressureDifference,
    Ratio, kilograms_per_cubic_metre, kilograms_per_second, metres, pascal_seconds,
    pascals_difference, ratio,
};
use std::f64::consts::FRAC_PI_4;

/// Tangential ports of a swirl chamber; our choice.
const PORTS: f64 = 2.0;
/// Holes below this need a watchmaker's drill and a steady machine, and block on what a common filter lets
/// through; our choice.
pub const FINE_HOLE_M: f64 = 0.3e-3;
/// A filter's mesh over the smallest passage behind it; common practice, no source.
pub const MESH_OVER_PASSAGE: f64 = 1.0 / 3.0;
/// Least drop at which a pressure-swirl nozzle forms its cone; common practice, no source.
pub const LEAST_SWIRL_DROP_PA: f64 = 1.0e5;
/// Least drop at which a plain hole breaks the jet up near the nozzle; our choice.
pub const LEAST_PLAIN_DROP_PA: f64 = 2.0e5;

/// Kind of nozzle.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NozzleKind {
    /// A drilled hole.
    PlainOrifice,
    /// A hole behind a swirl chamber (simplex).
    PressureSwirl,
}

impl NozzleKind {
    /// Word for tables.
    pub fn name(self) -> &'static str {
        match self {
            Self::PlainOrifice => "plain hole",
            Self::PressureSwirl => "pressure-swirl",
        }
    }

    /// Least drop that still makes a spray.
    pub fn least_drop(self) -> PressureDifference {
        pascals_difference(match self {
            Self::PlainOrifice => LEAST_PLAIN_DROP_PA,
            Self::PressureSwirl => LEAST_SWIRL_DROP_PA,
        })
    }
}

/// Whether a passage can be made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Making {
    /// With a drill from the table.
    Drill,
    /// With a watchmaker's drill; blocks easily.
    FineDrill,
    /// Smaller than any drill of the table.
    NoDrill,
}

impl Making {
    /// Of a smallest passage.
    pub fn of(passage: Length) -> Self {
        let smallest_m = drills().first().map_or(0.0, |d| d.diameter.value);
        if passage.value < smallest_m {
            Self::NoDrill
        } else if passage.value < FINE_HOLE_M {
            Self::FineDrill
        } else {
            Self::Drill
        }
    }

    /// Words for tables.
    pub fn name(self) -> &'static str {
        match self {
            Self::Drill => "drill",
            Self::FineDrill => "fine drill",
            Self::NoDrill => "no drill that small",
        }
    }
}

/// Drops of a nozzle at a duty.
#[derive(Debug, Clone, PartialEq)]
pub struct DropsAt {
    /// Duty.
    pub duty: String,
    /// Drop over the nozzle.
    pub drop: PressureDifference,
    /// Sizes by the correlations of its kind, or why not.
    pub sizes: Result<DropSizes, AtomizeError>,
}

/// A set of equal nozzles.
#[derive(Debug, Clone, PartialEq)]
pub struct NozzleOption {
    /// Kind.
    pub kind: NozzleKind,
    /// Number.
    pub number: u32,
    /// Exact diameter of the exit hole.
    pub exit: Length,
    /// Smallest passage: the exit, or a port of the swirl chamber.
    pub passage: Length,
    /// Whether that can be made.
    pub making: Making,
    /// Drill nearest to the exit hole by flow; `None` where there is none within half its size.
    pub drill: Option<&'static Drill>,
    /// Flow with that drill over the wanted flow, less one.
    pub flow_error: Option<Ratio>,
    /// Discharge coefficient: value, least, most.
    pub discharge: (f64, f64, f64),
    /// Flow through one at the largest duty.
    pub each: MassRate,
    /// Drops at every duty, the nozzles fed through one valve.
    pub drops: Vec<DropsAt>,
}

impl NozzleOption {
    /// Widest mesh of the filter before it.
    pub fn filter_mesh(&self) -> Length {
        self.passage * MESH_OVER_PASSAGE
    }

    /// Number and kind for a narrow column.
    pub fn short_title(&self) -> String {
        let kind = match self.kind {
            NozzleKind::PlainOrifice => "plain",
            NozzleKind::PressureSwirl => "swirl",
        };
        format!("{} {kind}", self.number)
    }

    /// Number and kind in words.
    pub fn title(&self) -> String {
        match (self.kind, self.number) {
            (NozzleKind::PlainOrifice, 1) => "1 plain hole".to_owned(),
            (NozzleKind::PlainOrifice, n) => format!("{n} plain holes"),
            (NozzleKind::PressureSwirl, 1) => "1 pressure-swirl nozzle".to_owned(),
            (NozzleKind::PressureSwirl, n) => format!("{n} pressure-swirl nozzles"),
        }
    }

    /// Drops at a duty.
    pub fn at(&self, duty: &str) -> Option<&DropsAt> {
        self.drops.iter().find(|d| d.duty == duty)
    }

    /// Whether every duty has drop enough for a spray.
    pub fn sprays_throughout(&self) -> bool {
        let least = self.kind.least_drop().pascals();
        self.drops.iter().all(|d| d.drop.pascals() >= least)
    }
}

/// What all nozzles of a plan are fed with.
#[derive(Debug, Clone, Copy)]
pub(super) struct Feed<'a> {
    pub(super) input: &'a ConvertInput<'a>,
    pub(super) fed: &'a [Fed<'a>],
    /// Duty with the largest flow.
    pub(super) largest: Fed<'a>,
    /// Pressure before the nozzles at that duty.
    pub(super) pressure: AbsolutePressure,
    pub(super) liquid: LiquidAt,
}

impl Feed<'_> {
    /// Drop at the largest duty, Pa.
    pub(super) fn drop_pa(&self) -> f64 {
        self.pressure.pascals() - self.largest.duty.now.chamber.pascals()
    }

    /// Drop that passes a duty's flow through the same nozzles: it goes with the square of the flow.
    pub(super) fn drop_at(&self, fed: &Fed<'_>) -> PressureDifference {
        let share = fed.demand.fuel.value / self.largest.demand.fuel.value;
        pascals_difference(self.drop_pa() * share * share)
    }
}

/// Density of the air sprayed into.
pub(super) fn air_density(fed: &Fed<'_>) -> MassDensity {
    let (p, t) = (fed.duty.now.chamber, fed.duty.now.air_temperature);
    kilograms_per_cubic_metre(
        p.pascals() * crate::flow::air::DRY_AIR_KG_MOL / (GAS_CONSTANT_J_MOL_K * t.value),
    )
}

/// A number of plain holes for the largest duty.
///
/// **Source:** those of the hole's coefficient; `elkotb1982`, `harmon1955` for the drops.
///
/// # Errors
/// [`InjectorError`].
pub(super) fn plain(feed: &Feed<'_>, number: u32) -> Result<NozzleOption, InjectorError> {
    let found = size(&InjectorInput {
        fluid: feed.input.to,
        supply_pressure: Some(feed.pressure),
        supply: Supply::Temperature(feed.liquid.temperature),
        chamber: feed.largest.duty.now.chamber,
        holes: Some(number),
        diameter: None,
        flow: Some(feed.largest.demand.fuel),
        make: HoleMake::default(),
        expansion: Expansion::Blend,
        phase: None,
    })?;
    let nearest = found
        .drills
        .iter()
        .min_by(|a, b| {
            let off = |e: &Ratio| e.value.abs();
            off(&a.flow_error).total_cmp(&off(&b.flow_error))
        })
        .filter(|d| d.flow_error.value.abs() < 0.5);
    let drops = feed.fed.iter().map(|fed| {
        let drop = feed.drop_at(fed);
        let sizes = plain_orifice(
            &feed.liquid.for_drops(),
            found.diameter,
            drop,
            air_density(fed),
            pascal_seconds(air_viscosity_pa_s(fed.duty.now.air_temperature.value)),
        );
        DropsAt {
            duty: fed.duty.now.name.clone(),
            drop,
            sizes,
        }
    });
    Ok(NozzleOption {
        kind: NozzleKind::PlainOrifice,
        number,
        exit: found.diameter,
        passage: found.diameter,
        making: Making::of(found.diameter),
        drill: nearest.map(|d| d.drill),
        flow_error: nearest.map(|d| d.flow_error),
        discharge: (
            found.coefficient.value,
            found.coefficient.low,
            found.coefficient.high,
        ),
        each: kilograms_per_second(feed.largest.demand.fuel.value / f64::from(number)),
        drops: drops.collect(),
    })
}

/// A number of pressure-swirl nozzles for the largest duty.
///
/// `ṁ = n C_d (π/4) d_o² √(2 ρ Δp)`, with the coefficient of a swirl chamber four exits wide whose two ports
/// have 0.4 of chamber times exit diameter as area.
///
/// **Source:** `rizk-lefebvre-1985`; `lefebvre1989`, `jasuja1979`, `radcliffe1960` for the drops.
///
/// # Errors
/// [`AtomizeError`].
pub(super) fn swirl(feed: &Feed<'_>, number: u32) -> Result<NozzleOption, AtomizeError> {
    let unit = SwirlChamber::usual(metres(1.0));
    let discharge = swirl_discharge(&unit)?;
    let flow_kg_s = feed.largest.demand.fuel.value / f64::from(number);
    let flux = (2.0 * feed.liquid.density.value * feed.drop_pa()).sqrt();
    let exit_m = (flow_kg_s / (discharge.value.value * flux * FRAC_PI_4)).sqrt();
    let port_m = exit_m * (unit.port_area.value / (PORTS * FRAC_PI_4)).sqrt();
    let nearest = drills_around(metres(exit_m), 1)
        .into_iter()
        .map(|d| (d, (d.diameter.value / exit_m).powi(2) - 1.0))
        .min_by(|a, b| a.1.abs().total_cmp(&b.1.abs()))
        .filter(|(_, error)| error.abs() < 0.5);
    let drops = feed.fed.iter().map(|fed| {
        let drop = feed.drop_at(fed);
        let each = kilograms_per_second(fed.demand.fuel.value / f64::from(number));
        let sizes = pressure_swirl(&feed.liquid.for_drops(), each, drop, air_density(fed));
        DropsAt {
            duty: fed.duty.now.name.clone(),
            drop,
            sizes,
        }
    });
    let passage = metres(exit_m.min(port_m));
    Ok(NozzleOption {
        kind: NozzleKind::PressureSwirl,
        number,
        exit: metres(exit_m),
        passage,
        making: Making::of(passage),
        drill: nearest.map(|(d, _)| d),
        flow_error: nearest.map(|(_, e)| ratio(e)),
        discharge: (
            discharge.value.value,
            discharge.low.value,
            discharge.high.value,
        ),
        each: kilograms_per_second(flow_kg_s),
        drops: drops.collect(),
    })
}

/// All options of a plan and the one that is proposed.
#[derive(Debug, Clone)]
pub struct Nozzles {
    /// Options that could be worked out.
    pub options: Vec<NozzleOption>,
    /// What could not be, and why.
    pub refused: Vec<String>,
    /// Place in `options` of the one the plan goes on with; `None`: none of them can be made.
    pub proposed: Option<usize>,
}

impl Nozzles {
    /// The option the plan goes on with.
    pub fn proposed(&self) -> Option<&NozzleOption> {
        self.options.get(self.proposed?)
    }
}

/// Works out plain and swirl nozzles and proposes one: pressure-swirl before plain, one that can be drilled
/// before one that needs a fine drill, then the most nozzles (smaller drops, a better spread round the can).
pub(super) fn nozzles(feed: &Feed<'_>) -> Nozzles {
    let wished = feed.input.wishes.nozzles;
    let ring = feed.input.holes.map(|h| h.number);
    let mut plain_numbers: Vec<u32> = match wished {
        Some(n) => vec![n],
        None => [1, 2, 4].into_iter().chain(ring).collect(),
    };
    plain_numbers.sort_unstable();
    plain_numbers.dedup();
    let swirl_numbers = wished.map_or_else(|| vec![1, 2, 4], |n| vec![n]);
    let (mut options, mut refused) = (Vec::new(), Vec::new());
    for n in plain_numbers {
        match plain(feed, n) {
            Ok(option) => options.push(option),
            Err(e) => refused.push(format!("{n} plain holes: {e}")),
        }
    }
    for n in swirl_numbers {
        match swirl(feed, n) {
            Ok(option) => options.push(option),
            Err(e) => refused.push(format!("{n} pressure-swirl nozzles: {e}")),
        }
    }
    let worth = |o: &NozzleOption| {
        (
            o.kind == NozzleKind::PressureSwirl,
            o.making == Making::Drill,
            o.number,
        )
    };
    let makeable = options
        .iter()
        .enumerate()
        .filter(|(_, o)| o.making != Making::NoDrill);
    let proposed = makeable.max_by_key(|(_, o)| worth(o)).map(|(i, _)| i);
    Nozzles {
        options,
        refused,
        proposed,
    }
}
