//! Concerns of a switch to a gas.

use super::{CHOICE, Concern, ConcernKind, Measure, PRACTICE, Weight, quantity, shared};
use crate::convert::gas::{LEAST_SUPERHEAT_K, SAME_WOBBE, ToGas, diameter_factor, pressure_factor};
use crate::convert::input::ConvertInput;
use crate::convert::reach::{Overload, Place, gauge};
use crate::quantity::Kind;

/// New over old burning velocity that is worth a caution; our choice.
const FASTER_FLAME: f64 = 1.2;

/// Concerns of a switch to a gas, heaviest first.
pub fn of_gas(plan: &ToGas, input: &ConvertInput<'_>) -> Vec<Concern> {
    let mut found = shared(&plan.duties, &plan.limits, &plan.materials, &plan.fates);
    wobbe(plan, &mut found);
    gas_supply(plan, input, &mut found);
    ratings(plan, input, &mut found);
    let (old, new) = &plan.burns;
    if let (Some(a), Some(b), true) = (old.velocity_m_s, new.velocity_m_s, plan.from_gas)
        && b > FASTER_FLAME * a
    {
        found.push(Concern {
            kind: ConcernKind::FasterFlame,
            weight: Weight::Caution,
            at: "flame".to_owned(),
            measured: quantity(Kind::Velocity, b),
            limit: quantity(Kind::Velocity, FASTER_FLAME * a),
            basis: CHOICE,
            advice: "the flame sits nearer to the holes and may flash back through premixed passages: look at quenching distance and liner heat".to_owned(),
        });
    }
    if plan.from_gas && old.relative_density < 1.0 && new.relative_density > 1.0 {
        found.push(Concern {
            kind: ConcernKind::HeavierThanAir,
            weight: Weight::Warning,
            at: "room".to_owned(),
            measured: Measure::Text(format!("{:.2} of the density of air", new.relative_density)),
            limit: Measure::Text("lighter than air, as the old gas".to_owned()),
            basis: "molar masses",
            advice: "leaks now flow down: detectors low, no pits, drains or cellar openings near, ventilate at the floor".to_owned(),
        });
    }
    found.sort_by_key(|c| (c.weight, c.kind));
    found
}

fn wobbe(plan: &ToGas, found: &mut Vec<Concern>) {
    let Some(ratio) = plan.wobbe.ratio() else {
        return;
    };
    if (ratio - 1.0).abs() > SAME_WOBBE {
        found.push(Concern {
            kind: ConcernKind::OtherWobbe,
            weight: Weight::Caution,
            at: "holes".to_owned(),
            measured: Measure::Text(format!("{:.1} % of the old Wobbe index", 100.0 * ratio)),
            limit: Measure::Text("95 to 105 %".to_owned()),
            basis: PRACTICE,
            advice: format!(
                "not interchangeable as it stands: about {:.2} times the drop over the old holes, or holes {:.2} times as wide, far from choking; the tables have the sums for these holes",
                pressure_factor(ratio).value,
                diameter_factor(ratio).value
            ),
        });
    }
}

fn gas_supply(plan: &ToGas, input: &ConvertInput<'_>, found: &mut Vec<Concern>) {
    let (coldest, _) = input.extremes();
    if let Some(t) = plan.supply.coldest_feeding
        && t.value > coldest.value
    {
        found.push(Concern {
            kind: ConcernKind::SupplyTooWeak,
            weight: Weight::Warning,
            at: "tank, coldest day".to_owned(),
            measured: quantity(Kind::Temperature, coldest.value),
            limit: quantity(Kind::Temperature, t.value),
            basis: match plan.supply.coldest_limited_by {
                Some(_) => "vapour pressure against what train and holes need",
                None => "vapour pressure against the pressure before the holes",
            },
            advice: "the tank chills further while it is drawn from: warm water bath, liquid draw with a vaporiser, a lighter blend, or larger holes at a lower pressure".to_owned(),
        });
    }
    let tank = input.rig.supply.tank();
    if let (Some(hot), Some(rating)) = (plan.supply.highest.at_least(), tank.and_then(|t| t.rating))
        && hot.pascals() > rating.pascals()
    {
        found.push(Concern {
            kind: ConcernKind::TankRating,
            weight: Weight::Warning,
            at: "tank, hottest day".to_owned(),
            measured: quantity(Kind::AbsolutePressure, hot.pascals()),
            limit: quantity(Kind::AbsolutePressure, rating.pascals()),
            basis: "rig file, [tank] rating",
            advice: "the cylinder must be one made and marked for the new gas".to_owned(),
        });
    }
    if let Some(why) = plan.supply.highest.open(input.units) {
        found.push(Concern {
            kind: ConcernKind::HottestNotKnown,
            weight: Weight::Warning,
            at: "tank, hottest day".to_owned(),
            measured: Measure::Text(why),
            limit: Measure::Text("a pressure to hold cylinder and parts against".to_owned()),
            basis: "property model of the new fuel",
            advice: "ask the maker of the cylinder what it can have on the hottest day, and have every part up to the regulator rated for that".to_owned(),
        });
    }
    for duty in &plan.holes {
        let holes = duty.new_holes.as_ref().unwrap_or(&duty.old_holes);
        let Ok(holes) = holes else { continue };
        if let Some(k) = holes.superheat.map(|t| t.value)
            && k < LEAST_SUPERHEAT_K - 1e-6
        {
            found.push(Concern {
                kind: ConcernKind::Condenses,
                weight: Weight::Warning,
                at: duty.duty.clone(),
                measured: quantity(Kind::TemperatureDifference, k),
                limit: quantity(Kind::TemperatureDifference, LEAST_SUPERHEAT_K),
                basis: PRACTICE,
                advice: "lower the pressure before the holes, or warm gas, line and ring"
                    .to_owned(),
            });
        }
    }
}

/// Parts that the new supply puts above their rating: running and at rest, and with a regulator failed open.
fn ratings(plan: &ToGas, input: &ConvertInput<'_>, found: &mut Vec<Concern>) {
    let guarded = input.rig.controls.high_fuel_cutoff == Some(true);
    for (place, kind, at, advice) in [
        (
            Place::BeforeRegulator,
            ConcernKind::PartRating,
            "train, before the regulator",
            "parts and a first regulator made for the new supply",
        ),
        (
            Place::BehindRegulator,
            ConcernKind::PartRating,
            "train, behind the regulator",
            "parts made for the pressure that they see, or a lower pressure and larger holes",
        ),
        (
            Place::IfFailedOpen,
            ConcernKind::FailedOpen,
            "train, behind the regulator",
            "a relief behind the regulator, a high-pressure cut-off, or parts rated for the supply",
        ),
    ] {
        if place == Place::IfFailedOpen && guarded {
            continue;
        }
        let over: Vec<(&str, &Overload)> = plan
            .fates
            .iter()
            .flat_map(|f| f.overloads.iter().map(|o| (f.name.as_str(), o)))
            .filter(|(_, o)| o.place == place)
            .collect();
        if over.is_empty() {
            continue;
        }
        let mut seen: Vec<&str> = over.iter().map(|(_, o)| o.sees.as_str()).collect();
        seen.dedup();
        let list: Vec<String> = over
            .iter()
            .map(|(name, o)| format!("{} for {name}", gauge(input, o.rating)))
            .collect();
        found.push(Concern {
            kind,
            weight: Weight::Warning,
            at: at.to_owned(),
            measured: Measure::Text(seen.join("; ")),
            limit: Measure::Text(format!("at most {}", list.join(", "))),
            basis: "rig file, max_pressure and max_inlet of the parts",
            advice: advice.to_owned(),
        });
    }
}
