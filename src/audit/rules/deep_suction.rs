//! A pump that has to draw its fuel too hard.

use super::{solved, train_parts};
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::flow::pump::DEEPEST_SUCTION_PA;
use crate::quantity::Kind;
use crate::train::{CheckKind, TrainPlan};

rule! {
    /// ## Finding
    /// {It} draws {measured} below the pressure of the air, over {limit}: air comes out of the fuel, and the flame
    /// gutters.
    /// ## What it checks
    /// How far the pressure at each pump's inlet is below that of the air, by lift and losses, against 0.4 bar. Where
    /// it is too little for the pump itself, LIQ003 says so.
    /// ## Why it matters
    /// Air that is dissolved in the fuel comes out under suction and breaks the column, however low the vapour pressure of
    /// the fuel is; a joint that weeps lets in air and shows no drop. The flame gutters and goes out.
    /// ## What to do
    /// Put the pump lower or the tank higher, or widen the suction line. Or fit a larger strainer.
    "LIQ007", "deep-suction", Liquid, [Caution], Choice("common practice of oil burners, no source"),
    levers ["train.rise" Down]
}

fn check(s: &Solution<'_>, v: &mut Verdict) -> Option<()> {
    let parts = train_parts(s, v)?;
    if !parts.iter().any(|p| p.is_pump()) {
        return None;
    }
    let plan = solved::train(s, v)?;
    let starved = solved::remarked(plan, &[CheckKind::VapourLock]);
    for part in parts {
        let told = starved.iter().any(|f| f.check.at == part.name);
        if told || !part.is_pump() {
            continue;
        }
        let Some((below_pa, duty)) = deepest(s, plan, &part.name) else {
            continue;
        };
        if below_pa > DEEPEST_SUCTION_PA {
            let says = format!(
                "At duty {duty} {{it}} draws {{measured}} below the pressure of the air, over {{limit}}: air comes out of the fuel, and the flame gutters."
            );
            v.says(says).find(
                solved::part_path(&part.name),
                (Kind::PressureDifference, below_pa),
                Limit::at_most(Kind::PressureDifference, DEEPEST_SUCTION_PA),
            );
        }
    }
    Some(())
}

/// Furthest below the air that a pump draws, Pa, and in which duty.
fn deepest<'p>(s: &Solution<'_>, plan: &'p TrainPlan, pump: &str) -> Option<(f64, &'p str)> {
    let air_pa = s.rig.site.air_pressure.pascals();
    let at = |d: &'p crate::train::TrainDuty| {
        let flow = d.solution.as_ref().ok()?.part(pump)?;
        Some((air_pa - flow.inlet.pressure.pascals(), d.name.as_str()))
    };
    let all = plan.duties.iter().filter_map(at);
    all.max_by(|a, b| a.0.total_cmp(&b.0))
}
