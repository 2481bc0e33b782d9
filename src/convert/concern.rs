//! What of a planned switch asks for action, with the figure and the limit it is held against.

mod gas;

pub use gas::of_gas;

use super::demand::{DutyNext, ExitAgainstLimits};
use super::fate::{MaterialAnswer, PartFate};
use super::input::ConvertInput;
use super::light_off::{COLD_VISCOSITY_M2_S, Ullage};
use super::nozzle::Making;
use super::plan::ToLiquid;
use crate::quantity::Kind;
use crate::quantity::show::fixed;
use crate::train::compatibility::Compatibility;

/// Share of the fuel still liquid at the end of the can that is worth a caution, and a warning; our choice.
const LEFT_CAUTION: f64 = 0.01;
const LEFT_WARNING: f64 = 0.05;
/// Vapour pressure in a hot line over the air pressure that is worth a caution; our choice.
const HOT_LINE_CAUTION: f64 = 0.5;

/// What it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ConcernKind {
    /// A duty that the new fuel cannot run.
    DutyNotRun,
    /// Exit hotter than a material stands.
    HotterThanMaterial,
    /// A wetted material to avoid.
    Material,
    /// No nozzle that can be made, or only with a fine drill.
    NozzleMaking,
    /// Too little drop for a spray at a duty.
    WeakSpray,
    /// Fuel still liquid at the end of the can.
    DropsOutliveCan,
    /// Fuel below its flash point at light-off.
    ColdLightOff,
    /// Vapour over the fuel in the tank burns.
    UllageBurns,
    /// Suction head below what the pump needs.
    SuctionHead,
    /// Fuel near boiling in a hot line.
    VapourLock,
    /// Too thick when cold.
    ThickWhenCold,
    /// The new gas needs other holes or another pressure.
    OtherWobbe,
    /// Vapour pressure below what the holes need.
    SupplyTooWeak,
    /// Vapour pressure above what the tank is made for.
    TankRating,
    /// Gas condenses before the holes.
    Condenses,
    /// The new gas burns faster.
    FasterFlame,
    /// The new gas sinks where the old one rose.
    HeavierThanAir,
    /// The new supply puts parts above their rating.
    PartRating,
    /// A regulator that fails open puts the new supply on parts made for less.
    FailedOpen,
    /// The pressure of the supply on the hottest day is not worked out.
    HottestNotKnown,
}

impl ConcernKind {
    /// Id of the finding.
    pub fn id(self) -> &'static str {
        match self {
            Self::DutyNotRun => "CNV001",
            Self::HotterThanMaterial => "CNV002",
            Self::Material => "CNV003",
            Self::NozzleMaking => "CNV004",
            Self::WeakSpray => "CNV005",
            Self::DropsOutliveCan => "CNV006",
            Self::ColdLightOff => "CNV007",
            Self::UllageBurns => "CNV008",
            Self::SuctionHead => "CNV009",
            Self::VapourLock => "CNV010",
            Self::ThickWhenCold => "CNV011",
            Self::OtherWobbe => "CNV012",
            Self::SupplyTooWeak => "CNV013",
            Self::TankRating => "CNV014",
            Self::Condenses => "CNV015",
            Self::FasterFlame => "CNV016",
            Self::HeavierThanAir => "CNV017",
            Self::PartRating => "CNV018",
            Self::FailedOpen => "CNV019",
            Self::HottestNotKnown => "CNV020",
        }
    }

    /// Name of the finding: what is wrong.
    pub fn name(self) -> &'static str {
        match self {
            Self::DutyNotRun => "duty-not-run",
            Self::HotterThanMaterial => "hotter-than-material",
            Self::Material => "material-to-avoid",
            Self::NozzleMaking => "nozzle-hard-to-make",
            Self::WeakSpray => "weak-spray",
            Self::DropsOutliveCan => "drops-outlive-can",
            Self::ColdLightOff => "below-flash-point",
            Self::UllageBurns => "tank-vapour-burns",
            Self::SuctionHead => "suction-head-short",
            Self::VapourLock => "vapour-lock",
            Self::ThickWhenCold => "thick-when-cold",
            Self::OtherWobbe => "other-wobbe-index",
            Self::SupplyTooWeak => "supply-too-weak",
            Self::TankRating => "tank-rating",
            Self::Condenses => "condenses-in-injector",
            Self::FasterFlame => "faster-flame",
            Self::HeavierThanAir => "heavier-than-air",
            Self::PartRating => "part-rating",
            Self::FailedOpen => "failed-open-regulator-unprotected",
            Self::HottestNotKnown => "hottest-day-not-known",
        }
    }
}

/// How much it weighs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Weight {
    /// Act before anything is built.
    Warning,
    /// Act before it is lit.
    Caution,
    /// Good to know.
    Notice,
}

/// A figure or a text.
#[derive(Debug, Clone, PartialEq)]
pub enum Measure {
    /// A quantity, SI.
    Quantity(Kind, f64),
    /// A text.
    Text(String),
}

/// One concern.
#[derive(Debug, Clone, PartialEq)]
pub struct Concern {
    /// What it is.
    pub kind: ConcernKind,
    /// How much it weighs.
    pub weight: Weight,
    /// Duty, part or place.
    pub at: String,
    /// What was found.
    pub measured: Measure,
    /// What it is held against.
    pub limit: Measure,
    /// Who says so: a source key in brackets, or our choice.
    pub basis: &'static str,
    /// What to do.
    pub advice: String,
}

const PRACTICE: &str = "common practice, no source";
const CHOICE: &str = "our choice";

fn quantity(kind: Kind, si: f64) -> Measure {
    Measure::Quantity(kind, si)
}

/// Concerns of both kinds of switch.
fn shared(
    duties: &[DutyNext],
    limits: &[ExitAgainstLimits],
    materials: &[MaterialAnswer],
    fates: &[PartFate],
) -> Vec<Concern> {
    let mut found = Vec::new();
    for duty in duties {
        if let Some(why) = duty.refusal() {
            found.push(Concern {
                kind: ConcernKind::DutyNotRun,
                weight: Weight::Warning,
                at: duty.now.name.clone(),
                measured: Measure::Text(why.to_owned()),
                limit: Measure::Text("a fuel flow".to_owned()),
                basis: "balance of heat and air",
                advice: "give the duty more air or less heat, or keep its equivalence ratio"
                    .to_owned(),
            });
        }
    }
    for l in limits.iter().filter(|l| l.margin.value < 0.0) {
        found.push(Concern {
            kind: ConcernKind::HotterThanMaterial,
            weight: Weight::Warning,
            at: format!("{}, {}", l.limit.place, l.duty),
            measured: quantity(Kind::Temperature, l.exit.value),
            limit: quantity(Kind::Temperature, l.limit.max_temperature.value),
            basis: "rig file, [[limits]]",
            advice: "run the duty leaner or with more air".to_owned(),
        });
    }
    let avoid: Vec<&MaterialAnswer> = materials
        .iter()
        .filter(|m| m.verdict == Compatibility::Avoid)
        // what goes for another reason needs no warning
        .filter(|m| !fates.iter().any(|f| f.name == m.part && f.goes_anyway))
        .collect();
    if !avoid.is_empty() {
        let list: Vec<String> = avoid
            .iter()
            .map(|m| format!("{} in {}", m.material, m.part))
            .collect();
        found.push(Concern {
            kind: ConcernKind::Material,
            weight: Weight::Warning,
            at: "train".to_owned(),
            measured: Measure::Text(list.join(", ")),
            limit: Measure::Text("none of these with the new fuel".to_owned()),
            basis: "[materials-memory]",
            advice: "replace these parts; ask the makers of all others for the exact compound"
                .to_owned(),
        });
    }
    found
}

/// Concerns of a switch to a liquid, heaviest first.
pub fn of_liquid(plan: &ToLiquid, input: &ConvertInput<'_>) -> Vec<Concern> {
    let mut found = shared(&plan.duties, &plan.limits, &plan.materials, &plan.fates);
    nozzle(plan, &mut found);
    drops(plan, &mut found);
    light_off(plan, &mut found);
    suction(plan, input, &mut found);
    found.sort_by_key(|c| (c.weight, c.kind));
    found
}

fn nozzle(plan: &ToLiquid, found: &mut Vec<Concern>) {
    let Some(nozzle) = plan.nozzles.proposed() else {
        found.push(Concern {
            kind: ConcernKind::NozzleMaking,
            weight: Weight::Warning,
            at: "nozzles".to_owned(),
            measured: Measure::Text("no plain or swirl nozzle that can be drilled".to_owned()),
            limit: Measure::Text("the smallest drill of the table".to_owned()),
            basis: "[iso235]",
            advice: "lower the feed pressure, use one nozzle, or vaporise the fuel in tubes"
                .to_owned(),
        });
        return;
    };
    if nozzle.making == Making::FineDrill {
        found.push(Concern {
            kind: ConcernKind::NozzleMaking,
            weight: Weight::Caution,
            at: "nozzles".to_owned(),
            measured: quantity(Kind::Length, nozzle.passage.value),
            limit: quantity(Kind::Length, super::nozzle::FINE_HOLE_M),
            basis: CHOICE,
            advice: "buy a made nozzle of this flow and flow-test it, or drill under a microscope; filter to a third of the passage".to_owned(),
        });
    }
    let least = nozzle.kind.least_drop();
    let weak: Vec<&str> = nozzle
        .drops
        .iter()
        .filter(|d| d.drop.pascals() < least.pascals())
        .map(|d| d.duty.as_str())
        .collect();
    let lowest = nozzle
        .drops
        .iter()
        .map(|d| d.drop.pascals())
        .fold(f64::INFINITY, f64::min);
    if !weak.is_empty() {
        let full = nozzle
            .drops
            .iter()
            .map(|d| d.drop.pascals())
            .fold(0.0, f64::max);
        let turndown = (full / lowest).sqrt();
        // equal nozzles of which one alone still has drop enough at the smallest duty
        let equal = (turndown * (least.pascals() / full).sqrt()).ceil();
        let one_pa = full * (equal / turndown).powi(2);
        found.push(Concern {
            kind: ConcernKind::WeakSpray,
            weight: Weight::Warning,
            at: weak.join(", "),
            measured: quantity(Kind::PressureDifference, lowest),
            limit: quantity(Kind::PressureDifference, least.pascals()),
            basis: PRACTICE,
            advice: format!(
                "fuel falls {turndown:.1} to 1 and the drop with its square: one of {equal:.0} equal nozzles alone has {:.1} bar at the smallest duty; else spill-return nozzles or a higher feed pressure",
                one_pa / 1e5
            ),
        });
    }
}

fn drops(plan: &ToLiquid, found: &mut Vec<Concern>) {
    let worst = plan
        .evaporation
        .iter()
        .filter_map(|e| e.as_ref().ok())
        .filter_map(|e| {
            let can = e.zones.iter().filter_map(|z| z.as_ref().ok()).next_back()?;
            Some((e, can, can.liquid_left?.value))
        })
        .max_by(|a, b| a.2.total_cmp(&b.2));
    let Some((duty, can, left)) = worst else {
        return;
    };
    if left <= LEFT_CAUTION {
        return;
    }
    let mut advice = "finer drops (more pressure, more nozzles), a longer can or a hotter primary zone, or vaporiser tubes".to_owned();
    if let Some(gone) = can.largest_gone {
        advice = format!(
            "{advice}; drops up to {:.0} um are gone in the can, the mean here is {:.0} um",
            gone.value * 1e6,
            duty.mean.value * 1e6
        );
    }
    found.push(Concern {
        kind: ConcernKind::DropsOutliveCan,
        weight: if left > LEFT_WARNING {
            Weight::Warning
        } else {
            Weight::Caution
        },
        at: duty.duty.clone(),
        measured: quantity(Kind::Ratio, left),
        limit: quantity(Kind::Ratio, LEFT_CAUTION),
        basis: CHOICE,
        advice,
    });
}

fn light_off(plan: &ToLiquid, found: &mut Vec<Concern>) {
    let light = &plan.light_off;
    let standing = |when: &str| light.standing.iter().find(|s| s.when == when);
    if let (Some(flash), Some(cold)) = (light.highest(), standing("coldest day"))
        && cold.temperature.value < flash.value
    {
        found.push(Concern {
            kind: ConcernKind::ColdLightOff,
            weight: Weight::Caution,
            at: "light-off, coldest day".to_owned(),
            measured: quantity(Kind::Temperature, cold.temperature.value),
            limit: quantity(Kind::Temperature, flash.value),
            basis: "highest flash point of the fuel's sources",
            advice: "its vapour alone does not light: a fine spray right at a strong spark, a gas pilot, or preheated fuel; drain what did not light before the next try".to_owned(),
        });
    }
    let burning: Vec<&str> = light
        .standing
        .iter()
        .filter(|s| s.ullage == Some(Ullage::Flammable))
        .map(|s| s.when)
        .collect();
    if !burning.is_empty() {
        found.push(Concern {
            kind: ConcernKind::UllageBurns,
            weight: Weight::Warning,
            at: format!("tank, {}", burning.join(", ")),
            measured: Measure::Text("vapour over the fuel lies between the flammability limits".to_owned()),
            limit: Measure::Text("outside them".to_owned()),
            basis: "limits of the fuel's sources",
            advice: "bond and earth the tank, a flame arrester in its vent, no ignition source near, never fill it hot or near the fire".to_owned(),
        });
    }
    if let Some(cold) = standing("coldest day") {
        let (measured, thick) = match &cold.liquid {
            Ok(l) => {
                let nu = l.kinematic_viscosity().value;
                (
                    quantity(Kind::KinematicViscosity, nu),
                    nu > COLD_VISCOSITY_M2_S,
                )
            }
            Err(e) => (Measure::Text(format!("not known: {e}")), true),
        };
        if thick {
            found.push(Concern {
                kind: ConcernKind::ThickWhenCold,
                weight: Weight::Caution,
                at: "coldest day".to_owned(),
                measured,
                limit: quantity(Kind::KinematicViscosity, COLD_VISCOSITY_M2_S),
                basis: PRACTICE,
                advice: "use a thinner grade, warm tank and line, or do not start that cold; look up the cloud point of the batch".to_owned(),
            });
        }
    }
}

fn suction(plan: &ToLiquid, input: &ConvertInput<'_>, found: &mut Vec<Concern>) {
    let site = plan
        .suction
        .rows
        .iter()
        .take(2)
        .filter_map(|r| r.as_ref().ok());
    if let Some(worst) = site.min_by(|a, b| a.margin.value.total_cmp(&b.margin.value))
        && worst.margin.value < 0.0
    {
        found.push(Concern {
            kind: ConcernKind::SuctionHead,
            weight: Weight::Warning,
            at: worst.place.clone(),
            measured: quantity(Kind::Length, worst.available.value),
            limit: quantity(
                Kind::Length,
                crate::flow::pump::SUCTION_MARGIN * plan.suction.required.value,
            ),
            basis: "[tp410]",
            advice: "put the pump below the tank, shade and cool the tank, or widen and shorten the suction line".to_owned(),
        });
    }
    if let Ok((t, vapour)) = &plan.suction.hot_line {
        let air_pa = input.rig.site.air_pressure.pascals();
        let share = vapour.pascals() / air_pa;
        if share > HOT_LINE_CAUTION {
            found.push(Concern {
                kind: ConcernKind::VapourLock,
                weight: if share > 1.0 {
                    Weight::Warning
                } else {
                    Weight::Caution
                },
                at: "line near the fire, hottest day".to_owned(),
                measured: quantity(Kind::AbsolutePressure, vapour.pascals()),
                limit: quantity(Kind::AbsolutePressure, HOT_LINE_CAUTION * air_pa),
                basis: CHOICE,
                advice: format!(
                    "at {} degC it boils at that pressure: keep lines away from the fire, keep pump pressure up to the nozzle, return the surplus to the tank",
                    fixed(t.value - crate::quantity::ZERO_CELSIUS_K, 0)
                ),
            });
        }
    }
}
