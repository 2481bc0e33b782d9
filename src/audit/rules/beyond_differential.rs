//! A valve that has to open or close against more than it can.

use super::{solved, train_parts};
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Source, Verdict};
use crate::quantity::Kind;
use crate::train::Part;
use crate::train::protection::{KeptBy, failed_open};

rule! {
    /// ## Finding
    /// {When}, {measured} stands against {it}, made for {limit}: it may not open or close.
    /// ## What it checks
    /// Highest pressure difference that a valve opens or closes against (`max_differential`) against the gauge
    /// pressure before it with the flow stopped: with the supply as it starts, on the hottest day, and with the
    /// regulator before it failed wide open, which is when the valve has to close.
    /// ## Why it matters
    /// A coil too weak for the pressure does not lift the seat. A spring too weak for it does not put the seat down.
    /// ## What to do
    /// Fit a valve that works against it, or a relief valve that keeps the pressure below.
    "TRN017", "beyond-differential", Train, [Warning], given("max_differential"),
    levers ["regulator.set_pressure" Down, "pump.outlet_pressure" Down]
}

fn check(s: &Solution<'_>, v: &mut Verdict) -> Option<()> {
    let parts = train_parts(s, v)?;
    if parts
        .iter()
        .all(|p| p.protection.max_differential.is_none())
    {
        return None;
    }
    let supply = solved::highest_supply(s, v)?;
    let failed = failed_open(&s.rig.train, supply, Part::holds, KeptBy::RELIEFS);
    let air = s.rig.site.air_pressure.pascals();
    for rest in solved::most_at_rest(s, v) {
        let part = rest.part;
        let Some(most) = part.protection.max_differential else {
            continue;
        };
        let at_rest = rest.pressure.pascals() - air;
        let mut exposed = failed
            .iter()
            .flat_map(|f| f.parts.iter().map(move |e| (f.regulator, e)));
        let stuck = exposed.find(|(_, e)| e.part.name == part.name);
        let (against, when) = match stuck {
            _ if at_rest > most.pascals() => (at_rest, "With the flow stopped".to_owned()),
            Some((regulator, e)) => (
                e.pressure.pascals() - air,
                format!("If the {} fails open", regulator.name),
            ),
            None => continue,
        };
        if against > most.pascals() * super::ROUNDING {
            let says = v.rule.says().replace("{When}", &when);
            v.says(says)
                .source(Source::of_part(&part.name, "max_differential"))
                .find(
                    solved::part_path(&part.name),
                    (Kind::PressureDifference, against),
                    Limit::at_most(Kind::PressureDifference, most.pascals()),
                );
        }
    }
    Some(())
}
