//! Every release of a rig for people and machines.

pub(super) mod keys;

use self::keys::{InRoom, KeptOffRow};
use super::Report;
use super::leak::short_hole;
use super::record::{Row, table, table_of};
use crate::audit::Solution;
use crate::fuel::Library;
use crate::leak::LeakError;
use crate::leak::rig::{JOINT_LEAKS, LeakPlan, TankEmptying, emptying};
use crate::leak::unlit::{PURGE_MARGIN, PURGE_VOLUMES};
use crate::quantity::seconds;
use crate::quantity::sentence::{Told, sentence};

/// Longest emptying that is looked at: a day.
const LONGEST_S: f64 = 86_400.0;

/// Adds all of it to a report.
pub fn plan(report: &mut Report, library: &Library, rig: &Solution<'_>, plan: &LeakPlan) {
    let air = rig.rig.site.air_pressure;
    let tank = emptying(rig.rig, &rig.fluid, plan, seconds(LONGEST_S));
    let torn = tank.as_ref().ok().and_then(Option::as_ref);
    let row = keys::Plan::row(plan, air, torn);
    let fuel = ["gas_density_kg_m3", "over_air", "limit"];
    report.facts("Fuel in the air of the site", row.facts_of(&fuel));
    let joints = row.rows("joints").iter().zip(&plan.joints);
    let joints = joints.filter(|(_, joint)| joint.effect.is_ok());
    let joints: Vec<Row> = joints.map(|(row, _)| row.clone()).collect();
    report.table("Leaking joints", table(&joints));
    report.table("Full-bore breaks", table(row.rows("breaks")));
    report.table("In the room, well mixed", table(&in_room(plan)));
    if let Some((worst, effect)) = plan.worst_break() {
        let lit = keys::lit(effect);
        let columns = ["level_w_m2", "meaning", "from_break", "most"];
        let title = format!("{} broken full-bore and lit", worst.part);
        report.table(&title, table_of(&lit, &columns));
    }
    let stuck = row.rows("stuck_regulators");
    report.table("Regulators stuck open", table(stuck));
    let below = plan.stuck.iter().flat_map(|s| {
        let parts = s.rated_below.iter();
        parts.map(move |p| KeptOffRow::row(&s.part, p, air))
    });
    report.table(
        "Parts rated below what a stuck regulator lets through",
        table(&below.collect::<Vec<_>>()),
    );
    let reliefs: Vec<Row> = stuck
        .iter()
        .flat_map(|s| s.rows("reliefs"))
        .cloned()
        .collect();
    let columns = [
        "stuck",
        "part",
        "relieving_pressure_pa",
        "passes_kg_s",
        "arrives_kg_s",
    ];
    report.table(
        "Relief valves behind a stuck regulator",
        table_of(&reliefs, &columns),
    );
    report.table("Fed and not lit", table(row.rows("unlit")));
    if let Some(torn) = row.row("tank_emptying") {
        let columns = [
            "part",
            "first",
            "half_flow_s",
            "gone",
            "one",
            "ten",
            "coldest",
        ];
        report.facts("Tank emptying through a break", torn.facts_of(&columns));
    }
    if boils(plan) {
        report.remark(format!(
            "Liquid comes out by what bounds its release: no vapour forms in the hole. {}",
            short_hole(rig.units)
        ));
        report.cite(library, "fauske-epstein1988");
    }
    remarks(report, rig, plan, &tank);
    report.keys(&row);
    for key in [
        "birch1984",
        "chen-rodi1980",
        "papanikolaou2012",
        "iec60079-10-1",
        "api521",
        "nureg1805",
        "delichatsios1993",
        "nfpa86",
    ] {
        report.cite(library, key);
    }
}

/// Whether liquid comes out somewhere that may boil in the hole.
fn boils(plan: &LeakPlan) -> bool {
    let joints = plan.joints.iter().map(|j| &j.effect);
    let mut all = joints
        .chain(plan.breaks.iter().map(|b| &b.effect))
        .flatten();
    all.any(|e| e.release.expanding.is_some_and(|e| e.boils()))
}

fn in_room(plan: &LeakPlan) -> Vec<Row> {
    let joints = (0..JOINT_LEAKS.len()).filter_map(|size| {
        let (joint, effect) = plan.worst_joint(size)?;
        let name = format!("{} at {}", joint.size_name(), joint.level.from);
        Some((name, effect.consequences.room))
    });
    let breaks = plan.breaks.iter().filter_map(|b| {
        let room = b.effect.as_ref().ok()?.consequences.room;
        Some((format!("full-bore break of {}", b.part), room))
    });
    let unlit = plan
        .unlit
        .iter()
        .map(|u| (format!("{} unlit", u.duty), u.room));
    let all = joints.chain(breaks).chain(unlit);
    all.filter_map(|(name, room)| Some(InRoom::row(name, &room?)))
        .collect()
}

fn remarks(
    report: &mut Report,
    rig: &Solution<'_>,
    plan: &LeakPlan,
    tank: &Result<Option<TankEmptying>, LeakError>,
) {
    for b in &plan.breaks {
        if let Err(why) = &b.effect {
            report.remark(sentence!("Full-bore break of {}: {}.", &b.part, why.told()));
        }
    }
    for j in &plan.joints {
        if let Err(why) = &j.effect {
            report.remark(sentence!("Joint at {}: {}.", &j.level.from, why.told()));
        }
    }
    for s in &plan.stuck {
        if let Some((first, p)) = &s.with_the_one_before {
            report.remark(format!(
                "Two failures at once, {first} and {} stuck open: {} comes behind the second with the flow stopped, unless a relief valve holds it down. The table has single failures.",
                s.part,
                rig.gauge(*p)
            ));
        }
        if let Err(why) = &s.fed {
            report.remark(sentence!("{} stuck open: {}.", &s.part, why.told()));
        }
    }
    match tank {
        Err(why) => report.remark(sentence!(
            "The tank emptying through a break: {}.",
            why.told()
        )),
        Ok(Some(tank)) => {
            if let Some(why) = &tank.decay.ended_by {
                report.remark(format!(
                    "The emptying of the tank is followed until the model ends: {why}."
                ));
            }
            for a in &tank.assumptions {
                report.assume(a.as_str());
            }
        }
        Ok(None) => {}
    }
    if plan
        .breaks
        .iter()
        .any(|b| b.excess_flow.as_ref().is_some_and(|e| e.closes))
    {
        report.remark("Where an excess-flow valve closes, the flow given lasts until it does; what is left in the line, and the valve's own bleed, come after.");
    }
    if plan
        .joints
        .iter()
        .any(|j| j.effect.as_ref().is_ok_and(|e| e.consequences.pool))
    {
        report.remark("The liquid does not boil in the air of the site and makes a pool: no distance of a jet is given.");
    }
    report.remark("Holes of a joint: 0.25 mm2 for a seal that is washed out, 1 mm2 for a joint that has come loose ([iec60079-10-1], from memory: not confirmed).");
    for a in &plan.assumptions {
        report.assume(a.as_str());
    }
    report.assume("jets are free, without wind or obstacle; rooms, can and duct are well mixed; hazard-extent curves of the area-classification standard are not carried");
    if !plan.stuck.is_empty() {
        report.assume("a regulator sticks wide open alone, the others hold; the pressure is the highest of the supply, today or on the hottest day; a switch for high pressure stands behind the last regulator, answers at once, and closes the first shut-off valve; the discharge coefficient of a relief valve is 0.8");
    }
    if !plan.unlit.is_empty() {
        report.assume(format!(
            "a start that is given up leaves what flows in without air; the purge after it takes {PURGE_VOLUMES:.0} volumes [en746-2] or {PURGE_MARGIN} times those of a well-mixed duct down to a quarter of the lower limit, whichever is more"
        ));
    }
}
