//! What of a planned switch asks for action, with the figure and the limit it is held against: rules read it, each a
//! kind, and say who sets the limit and what to do.

mod gas;

pub use gas::of_gas;

use super::demand::{DutyNext, ExitAgainstLimits};
use super::fate::{MaterialAnswer, PartFate};
use super::input::ConvertInput;
use super::light_off::{COLD_VISCOSITY_M2_S, Ullage};
use super::nozzle::Making;
use super::plan::ToLiquid;
use crate::quantity::Kind;
use crate::quantity::show::{Units, fixed, show, significant};
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
    /// The pressure of the supply on the hottest day is not computed.
    HottestNotKnown,
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
    /// Whether it weighs less than others of its kind.
    pub mild: bool,
    /// Duty, part or place.
    pub at: String,
    /// What was found.
    pub measured: Measure,
    /// What it is held against.
    pub limit: Measure,
    /// Who says so, where it is not whom the page of its rule names.
    pub basis: Option<&'static str>,
    /// What it says, with places to fill, where names or figures say more than that page.
    pub says: Option<String>,
    /// What to do, where its figures say more than that page.
    pub advice: Option<String>,
}

impl Concern {
    fn of(kind: ConcernKind, at: impl Into<String>, measured: Measure, limit: Measure) -> Self {
        Self {
            kind,
            mild: false,
            at: at.into(),
            measured,
            limit,
            basis: None,
            says: None,
            advice: None,
        }
    }

    fn mild(self, mild: bool) -> Self {
        Self { mild, ..self }
    }

    fn basis(self, basis: &'static str) -> Self {
        Self {
            basis: Some(basis),
            ..self
        }
    }

    fn says(self, says: impl Into<String>) -> Self {
        Self {
            says: Some(says.into()),
            ..self
        }
    }

    fn advice(self, advice: impl Into<String>) -> Self {
        Self {
            advice: Some(advice.into()),
            ..self
        }
    }
}

fn text(words: impl Into<String>) -> Measure {
    Measure::Text(words.into())
}

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
            found.push(
                Concern::of(
                    ConcernKind::DutyNotRun,
                    duty.now.name.clone(),
                    text(why.to_owned()),
                    text("a fuel flow"),
                )
                .says(format!(
                    "Duty {} cannot be run on the new fuel: {{measured}}.",
                    duty.now.name
                )),
            );
        }
    }
    for l in limits.iter().filter(|l| l.margin.value < 0.0) {
        found.push(Concern::of(
            ConcernKind::HotterThanMaterial,
            format!("{}, {}", l.limit.place, l.duty),
            quantity(Kind::Temperature, l.exit.value),
            quantity(Kind::Temperature, l.limit.max_temperature.value),
        ).says(format!("On the new fuel, duty {} puts {{measured}} on the {}, above its limit of {{limit}}: it scales, creeps or melts.", l.duty, l.limit.place)));
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
        found.push(Concern::of(
            ConcernKind::Material,
            "train",
            text(list.join(", ")),
            text("materials in usual use with the new fuel"),
        ));
    }
    found
}

/// Concerns of a switch to a liquid.
pub fn of_liquid(plan: &ToLiquid, input: &ConvertInput<'_>) -> Vec<Concern> {
    let mut found = shared(&plan.duties, &plan.limits, &plan.materials, &plan.fates);
    nozzle(plan, input.units, &mut found);
    drops(plan, &mut found);
    light_off(plan, &mut found);
    suction(plan, input, &mut found);
    found
}

fn nozzle(plan: &ToLiquid, units: Units, found: &mut Vec<Concern>) {
    let Some(nozzle) = plan.nozzles.proposed() else {
        found.push(Concern::of(
            ConcernKind::NozzleMaking,
            "nozzles",
            text("none that can be drilled"),
            text("the smallest drill of the table"),
        ));
        return;
    };
    if nozzle.making == Making::FineDrill {
        found.push(Concern::of(ConcernKind::NozzleMaking, "nozzles", quantity(Kind::Length, nozzle.passage.value), quantity(Kind::Length, super::nozzle::FINE_HOLE_M)).mild(true).basis("our choice").says("The nozzle needs a passage of {measured}, under {limit}: so fine a drill breaks, and so fine a hole clogs.").advice("Buy a made nozzle of this flow and flow-test it, or drill under a microscope. Filter to a third of the passage."));
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
        let weak_at = match weak.as_slice() {
            [one] => format!("duty {one}"),
            [first @ .., last] => format!("duties {} and {last}", first.join(", ")),
            [] => String::new(),
        };
        let full = nozzle
            .drops
            .iter()
            .map(|d| d.drop.pascals())
            .fold(0.0, f64::max);
        let turndown = (full / lowest).sqrt();
        // equal nozzles of which one alone still has drop enough at the smallest duty
        let equal = (turndown * (least.pascals() / full).sqrt()).ceil();
        let one_pa = full * (equal / turndown).powi(2);
        found.push(Concern::of(ConcernKind::WeakSpray, weak.join(", "), quantity(Kind::PressureDifference, lowest), quantity(Kind::PressureDifference, least.pascals())).says(format!("At {weak_at} the drop over the nozzles falls to {{measured}}, under {{limit}}: they dribble, and fuel burns where it lands.")).advice(format!(
                "Fit {} equal nozzles and shut all but one at the smallest duty, where it then has {}. Or fit spill-return nozzles or raise the feed pressure. The fuel falls {} to 1, and the drop with its square.",
                fixed(equal, 0), show(Kind::PressureDifference, one_pa, units), significant(turndown, 2)
            )));
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
    let mut advice = "Make the drops finer with more pressure or more nozzles, lengthen the can, heat the primary zone, or fit vaporiser tubes.".to_owned();
    if let Some(gone) = can.largest_gone {
        advice = format!(
            "{advice} Drops up to {} um are gone in the can; the mean here is {} um.",
            fixed(gone.value * 1e6, 0),
            fixed(duty.mean.value * 1e6, 0)
        );
    }
    found.push(
        Concern::of(
            ConcernKind::DropsOutliveCan,
            duty.duty.clone(),
            quantity(Kind::Ratio, left),
            quantity(Kind::Ratio, LEFT_CAUTION),
        )
        .mild(left <= LEFT_WARNING)
        .says(format!("At duty {} {{measured}} of the fuel is still liquid at the end of the can, over {{limit}}: it burns behind the can, and smokes.", duty.duty))
        .advice(advice),
    );
}

fn light_off(plan: &ToLiquid, found: &mut Vec<Concern>) {
    let light = &plan.light_off;
    let standing = |when: &str| light.standing.iter().find(|s| s.when == when);
    if let (Some(flash), Some(cold)) = (light.highest(), standing("coldest day"))
        && cold.temperature.value < flash.value
    {
        found.push(Concern::of(
            ConcernKind::ColdLightOff,
            "light-off, coldest day",
            quantity(Kind::Temperature, cold.temperature.value),
            quantity(Kind::Temperature, flash.value),
        ));
    }
    let burning: Vec<&str> = light
        .standing
        .iter()
        .filter(|s| s.ullage == Some(Ullage::Flammable))
        .map(|s| s.when)
        .collect();
    if !burning.is_empty() {
        found.push(Concern::of(
            ConcernKind::UllageBurns,
            format!("tank, {}", burning.join(", ")),
            text("vapour between the flammability limits"),
            text("vapour outside the flammability limits"),
        ).says(format!("The vapour over the fuel in the tank can burn ({}): a spark there bursts the tank.", burning.join(", "))));
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
            let known = matches!(measured, Measure::Quantity(..));
            let concern = Concern::of(
                ConcernKind::ThickWhenCold,
                "coldest day",
                measured,
                quantity(Kind::KinematicViscosity, COLD_VISCOSITY_M2_S),
            );
            found.push(if known {
                concern
            } else {
                concern.says("The viscosity of the fuel on the coldest day is {measured}; over {limit} it starves the pump and lights badly.")
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
        found.push(Concern::of(
            ConcernKind::SuctionHead,
            worst.place.clone(),
            quantity(Kind::Length, worst.available.value),
            quantity(
                Kind::Length,
                crate::flow::pump::SUCTION_MARGIN * plan.suction.required.value,
            ),
        ).says(format!("The suction line leaves the pump {{measured}} of head ({}), under {{limit}}: fuel boils in its inlet and the flow falters.", worst.place)));
    }
    if let Ok((t, vapour)) = &plan.suction.hot_line {
        let air_pa = input.rig.site.air_pressure.pascals();
        let share = vapour.pascals() / air_pa;
        if share > HOT_LINE_CAUTION {
            found.push(Concern::of(ConcernKind::VapourLock, "line near the fire, hottest day", quantity(Kind::AbsolutePressure, vapour.pascals()), quantity(Kind::AbsolutePressure, HOT_LINE_CAUTION * air_pa)).mild(share <= 1.0).advice(format!(
                    "Keep lines away from the fire, keep pump pressure up to the nozzle, and return the surplus to the tank. At {} degC it boils at that pressure.",
                    fixed(t.value - crate::quantity::ZERO_CELSIUS_K, 0)
                )));
        }
    }
}
