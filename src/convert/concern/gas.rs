//! Concerns of a switch to a gas.

use super::{Concern, ConcernKind, quantity, shared, text};
use crate::convert::gas::{LEAST_SUPERHEAT_K, SAME_WOBBE, ToGas, diameter_factor, pressure_factor};
use crate::convert::input::ConvertInput;
use crate::convert::reach::{Overload, Place, gauge};
use crate::quantity::Kind;
use crate::quantity::show::significant;

/// New over old burning velocity that is worth a caution; our choice.
const FASTER_FLAME: f64 = 1.2;

/// Concerns of a switch to a gas.
pub fn of_gas(plan: &ToGas, input: &ConvertInput<'_>) -> Vec<Concern> {
    let mut found = shared(&plan.duties, &plan.limits, &plan.materials, &plan.fates);
    wobbe(plan, &mut found);
    gas_supply(plan, input, &mut found);
    ratings(plan, input, &mut found);
    let (old, new) = &plan.burns;
    if let (Some(a), Some(b), true) = (old.velocity_m_s, new.velocity_m_s, plan.from_gas)
        && b > FASTER_FLAME * a
    {
        found.push(Concern::of(
            ConcernKind::FasterFlame,
            "flame",
            quantity(Kind::Velocity, b),
            quantity(Kind::Velocity, FASTER_FLAME * a),
        ));
    }
    if plan.from_gas && old.relative_density < 1.0 && new.relative_density > 1.0 {
        found.push(Concern::of(
            ConcernKind::HeavierThanAir,
            "room",
            text(format!(
                "{} times the density of air",
                significant(new.relative_density, 3)
            )),
            text("lighter than air, as the old gas is"),
        ));
    }
    found
}

fn wobbe(plan: &ToGas, found: &mut Vec<Concern>) {
    let Some(ratio) = plan.wobbe.ratio() else {
        return;
    };
    if (ratio - 1.0).abs() > SAME_WOBBE {
        found.push(Concern::of(ConcernKind::OtherWobbe, "holes", quantity(Kind::Ratio, ratio), text("95 to 105 %")).advice(format!(
                "Set {} times the drop over the old holes, or make them {} times as wide. That holds far from choking; the tables have the sums for these holes.",
                significant(pressure_factor(ratio).value, 3),
                significant(diameter_factor(ratio).value, 3)
            )));
    }
}

fn gas_supply(plan: &ToGas, input: &ConvertInput<'_>, found: &mut Vec<Concern>) {
    let (coldest, _) = input.extremes();
    if let Some(t) = plan.supply.coldest_feeding
        && t.value > coldest.value
    {
        let weak = Concern::of(
            ConcernKind::SupplyTooWeak,
            "tank, coldest day",
            quantity(Kind::Temperature, coldest.value),
            quantity(Kind::Temperature, t.value),
        );
        found.push(match plan.supply.coldest_limited_by {
            Some(_) => weak,
            None => weak.basis("vapour pressure against the pressure before the holes"),
        });
    }
    let tank = input.rig.supply.tank();
    if let (Some(hot), Some(rating)) = (plan.supply.highest.at_least(), tank.and_then(|t| t.rating))
        && hot.pascals() > rating.pascals()
    {
        found.push(Concern::of(
            ConcernKind::TankRating,
            "tank, hottest day",
            text(gauge(input, hot)),
            text(gauge(input, rating)),
        ));
    }
    if let Some(why) = plan.supply.highest.open(input.units) {
        found.push(Concern::of(
            ConcernKind::HottestNotKnown,
            "tank, hottest day",
            text(why),
            text("a pressure to hold cylinder and parts against"),
        ));
    }
    for duty in &plan.holes {
        let holes = duty.new_holes.as_ref().unwrap_or(&duty.old_holes);
        let Ok(holes) = holes else { continue };
        if let Some(k) = holes.superheat.map(|t| t.value)
            && k < LEAST_SUPERHEAT_K - 1e-6
        {
            found.push(Concern::of(
                ConcernKind::Condenses,
                duty.duty.clone(),
                quantity(Kind::TemperatureDifference, k),
                quantity(Kind::TemperatureDifference, LEAST_SUPERHEAT_K),
            ).says(format!("At duty {} the new gas reaches the holes {{measured}} above its dew point, under {{limit}}: drops carry many times the fuel.", duty.duty)));
        }
    }
}

/// Parts that the new supply puts above their rating: running and at rest, and with a regulator failed open.
fn ratings(plan: &ToGas, input: &ConvertInput<'_>, found: &mut Vec<Concern>) {
    let guarded = input.rig.controls.high_fuel_cutoff == Some(true);
    let (before, behind) = ("train, before the regulator", "train, behind the regulator");
    for (place, kind, at) in [
        (Place::BeforeRegulator, ConcernKind::PartRating, before),
        (Place::BehindRegulator, ConcernKind::PartRating, behind),
        (Place::IfFailedOpen, ConcernKind::FailedOpen, behind),
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
        let limit = text(format!("at most {}", list.join(", ")));
        let weakest = over
            .iter()
            .min_by(|a, b| a.1.rating.pascals().total_cmp(&b.1.rating.pascals()));
        let mut above = Concern::of(kind, at, text(seen.join("; ")), limit);
        if let Some((name, o)) = weakest {
            let more = match over.len() - 1 {
                0 => String::new(),
                1 => " The rating of one more part is too low.".to_owned(),
                n => format!(" The ratings of {n} more parts are too low."),
            };
            above = above.says(format!(
                "On the new supply the {name} sees {}, above its rating of {}: it leaks or bursts.{more}",
                o.sees,
                gauge(input, o.rating)
            ));
        }
        found.push(match place {
            Place::BeforeRegulator => {
                above.advice("Fit parts and a first regulator made for the new supply.")
            }
            Place::BehindRegulator | Place::IfFailedOpen => above,
        });
    }
}
