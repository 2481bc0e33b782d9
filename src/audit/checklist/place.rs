//! Where to stand on the test day, and what to have at hand.

use super::parts::{burns_liquid, is_hand_valve, names};
use super::{Checklist, PRACTICE, When};
use crate::audit::{Audit, Solution};
use crate::leak::rig::{Effect, LeakPlan};
use crate::quantity::show::show_digits;
use crate::quantity::{Kind, Length};
use crate::train::Draw;
use crate::train::rig::Extinguisher;

/// Where the figures of a release come from: the command that shows them all.
const LEAK: &str = "leak";

/// Where people stand. Whether a place of the rig file will do is what the audit has found of it.
pub(super) fn stand(list: &mut Checklist, s: &Solution<'_>, audit: &Audit) {
    let when = When::Stand;
    let site = &s.rig.site;
    let places = [
        (
            "Stand the operator",
            site.operator_distance,
            "site.operator_distance",
        ),
        (
            "Keep everybody else",
            site.people_distance,
            "site.people_distance",
        ),
    ];
    let nearest = farthest(s);
    for (who, distance, key) in places {
        let found = audit
            .findings
            .iter()
            .find(|f| f.id.starts_with("LEK") && f.places.iter().any(|p| p == key));
        let least = nearest.as_ref();
        match (distance, found, least) {
            (Some(d), Some(_), Some((what, least))) if d.value < least.value => {
                let given = s.show(Kind::Length, d.value);
                let far = show_digits(Kind::Length, least.value, s.units, 2);
                list.add(
                    when,
                    format!(
                        "{who} {far} from fuel lines and fire, or farther. The {given} of the rig file is within reach of {what}: move the place"
                    ),
                    key,
                );
            }
            (Some(d), Some(f), _) => {
                let given = s.show(Kind::Length, d.value);
                list.add(
                    when,
                    format!(
                        "{who} farther off than the {given} of the rig file: {}",
                        f.advice
                    ),
                    key,
                );
            }
            (Some(d), None, _) => {
                let far = s.show(Kind::Length, d.value);
                list.add(when, format!("{who} {far} from the fire, or farther"), key);
            }
            (None, ..) => list.add(
                when,
                format!("{who} at a distance that you decide and mark"),
                key,
            ),
        }
    }
    if let Some(d) = site.shutoff_distance {
        let far = s.show(Kind::Length, d.value);
        let key = |p: &String| p == "site.shutoff_distance";
        let found = audit.findings.iter().any(|f| f.places.iter().any(key));
        let text = if found {
            format!("Put a shut-off where the operator stands, on the way out: it is {far} off")
        } else {
            format!("Keep a shut-off {far} from the operator, on the way out, not past the fire")
        };
        list.add(when, text, "site.shutoff_distance");
    }
    list.add(
        when,
        "Let nobody stand behind the duct, over joints, or between rig and door",
        PRACTICE,
    );
    reach(list, s);
}

/// How far the release that lets out most throws gas, and heat once it is lit.
fn reach(list: &mut Checklist, s: &Solution<'_>) {
    let when = When::Stand;
    let plan = match s.leaks() {
        Ok(plan) => plan,
        Err(why) => {
            let text =
                format!("Decide how far a leak reaches, and mark it: it is not known ({why})");
            list.add(when, text, LEAK);
            return;
        }
    };
    let Some((what, effect)) = worst(plan) else {
        let text = "Decide how far a leak reaches, and mark it: it could not be worked out";
        list.add(when, text, LEAK);
        return;
    };
    let far = |d: Length| show_digits(Kind::Length, d.value, s.units, 2);
    let mut told = Vec::new();
    if let Some(jet) = &effect.consequences.jet {
        told.push(format!(
            "gas can burn out to {} (at most {})",
            far(jet.half_limit.value),
            far(jet.half_limit.high)
        ));
    } else if effect.consequences.pool {
        told.push("fuel makes a pool: nobody in or over it".to_owned());
    }
    if let Some([stay, brief]) = effect
        .consequences
        .fire
        .as_ref()
        .and_then(|fire| fire.distances.first_chunk::<2>())
    {
        told.push(format!(
            "lit, stay {} off ({}), act briefly at {} ({}) in working clothes",
            far(stay.from_hole),
            far(stay.high),
            far(brief.from_hole),
            far(brief.high)
        ));
    }
    if !told.is_empty() {
        let text = format!("Mark the reach of {what}: {}", told.join("; "));
        list.add(when, text, LEAK);
    }
}

/// How far nobody is to be of the release that lets out most: where its gas can burn, or where nobody stays once it
/// is lit.
fn farthest(s: &Solution<'_>) -> Option<(String, Length)> {
    let (what, effect) = worst(s.leaks().as_ref().ok()?)?;
    let jet = effect.consequences.jet.as_ref();
    let fire = effect.consequences.fire.as_ref();
    let gas = jet.map(|jet| jet.half_limit.value);
    let heat = fire.and_then(|fire| fire.distances.first().map(|stay| stay.from_hole));
    let far = gas
        .into_iter()
        .chain(heat)
        .max_by(|a, b| a.value.total_cmp(&b.value))?;
    Some((what, far))
}

/// The break that lets out most, or the largest leak of a joint where no line can break, in words.
fn worst(plan: &LeakPlan) -> Option<(String, &Effect)> {
    if let Some((broken, effect)) = plan.worst_break() {
        let until = match &broken.excess_flow {
            Some(e) if e.closes => format!(" until {} closes", e.part),
            _ => String::new(),
        };
        return Some((
            format!("a full-bore break of {}{until}", broken.part),
            effect,
        ));
    }
    let (joint, effect) = plan.worst_joint(crate::leak::rig::JOINT_LEAKS.len() - 1)?;
    Some((format!("a loose joint at {}", joint.level.from), effect))
}

/// What has to be at hand.
pub(super) fn at_hand(list: &mut Checklist, s: &Solution<'_>) {
    let when = When::AtHand;
    let site = &s.rig.site;
    let kind = match site.extinguisher {
        None | Some(Extinguisher::None) => None,
        Some(Extinguisher::DryPowder) => Some("dry powder"),
        Some(Extinguisher::CarbonDioxide) => Some("carbon dioxide"),
        Some(Extinguisher::Foam) => Some("foam"),
        Some(Extinguisher::Water) => Some("water: for what burns round the rig, not for the gas"),
    };
    let charge = site.extinguisher_charge.map_or(String::new(), |m| {
        format!(", {}", s.show(Kind::Mass, m.value))
    });
    let text = match kind {
        Some(kind) => {
            format!("Have a fire extinguisher at hand ({kind}{charge}), its gauge in the green")
        }
        None => "Bring a fire extinguisher, dry powder for gas and liquid".to_owned(),
    };
    list.add(when, text, "site.extinguisher");
    let hand = names(s, is_hand_valve);
    let way = if hand.is_empty() {
        String::new()
    } else {
        format!("; keep a hand's way free to {hand}")
    };
    let shows = if burns_liquid(s) { "paper" } else { "soap" };
    list.add(
        when,
        format!(
            "Wear eye and ear protection, gloves, clothes that do not melt; have water for burns, a telephone outside, {shows}, spanners, a stop-watch{way}"
        ),
        PRACTICE,
    );
    if s.rig.supply.tank().is_some_and(|t| t.draw == Draw::Liquid) {
        list.add(
            when,
            "Put a drip tray under every joint that holds liquid, absorbent beside it",
            "tank.draw",
        );
    }
}
