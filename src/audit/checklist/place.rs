//! Where to stand on the test day, and what to have at hand.

use super::lines::{PRACTICE, is_hand_valve, names};
use super::{Checklist, When};
use crate::audit::Solution;
use crate::quantity::Kind;
use crate::train::Draw;
use crate::train::rig::Extinguisher;

/// Where people stand.
pub(super) fn stand(list: &mut Checklist, s: &Solution<'_>) {
    let when = When::Stand;
    let site = &s.rig.site;
    let places = [
        (
            "The operator",
            site.operator_distance,
            "site.operator_distance",
        ),
        (
            "Everybody else",
            site.people_distance,
            "site.people_distance",
        ),
    ];
    for (who, distance, key) in places {
        match distance {
            Some(d) => {
                let far = s.show(Kind::Length, d.value);
                list.add(
                    when,
                    format!("{who} at {far} from the fire, or farther"),
                    key,
                );
            }
            None => list.add(
                when,
                format!("{who}: decide on a distance and mark it"),
                key,
            ),
        }
    }
    if let Some(d) = site.shutoff_distance {
        let far = s.show(Kind::Length, d.value);
        list.add(
            when,
            format!("The shut-off {far} from the operator, on the way out, never past the fire"),
            "site.shutoff_distance",
        );
    }
    list.add(
        when,
        "Nobody behind the duct, over the joints, or between the rig and the door",
        PRACTICE,
    );
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
        Some(kind) => format!("Fire extinguisher ({kind}{charge}), its gauge in the green"),
        None => "Fire extinguisher: bring one, dry powder for gas and liquid".to_owned(),
    };
    list.add(when, text, "site.extinguisher");
    list.add(
        when,
        "Water for burns, eye and ear protection, gloves, clothes that do not melt, a telephone outside",
        PRACTICE,
    );
    list.add(
        when,
        "Soap solution, the spanners of the rig, a stop-watch, this list",
        PRACTICE,
    );
    let hand = names(s, is_hand_valve);
    if !hand.is_empty() {
        list.add(when, format!("A free hand's way to {hand}"), "[[train]]");
    }
    if s.rig.supply.tank().is_some_and(|t| t.draw == Draw::Liquid) {
        list.add(
            when,
            "Drip tray under every joint that holds liquid, absorbent beside it",
            "tank.draw",
        );
    }
}
