//! The work list of a switch to a gas.

use super::{BUY, FIT, HOLES, Work};
use crate::convert::fate::Fate;
use crate::convert::gas::SAME_WOBBE;
use crate::convert::{ConvertInput, HighestSupply, ToGas};
use crate::quantity::Kind;
use crate::quantity::show::number;
use crate::report::Report;
use crate::train::PartKind;

const PRACTICE: &str = "common practice, no source";

/// Adds the work list.
pub fn gas(report: &mut Report, input: &ConvertInput<'_>, plan: &ToGas) {
    let mut work = Work::new(input);
    holes(&mut work, plan);
    buy(&mut work, plan);
    work.old(&plan.fates);
    fit(&mut work, plan);
    work.write(report);
}

fn holes(work: &mut Work<'_>, plan: &ToGas) {
    work.part(HOLES);
    let off = plan.wobbe.ratio().map(|r| r - 1.0);
    match &plan.redrill {
        Ok(r) => {
            let drill = r
                .drill
                .map_or_else(String::new, |d| format!(", drill {}", d.name));
            let exact = work.show(Kind::Length, r.exact.value);
            let pressure = work.gauge(r.pressure);
            let wobbe = off.map_or(String::new(), |off| {
                format!(
                    ": the Wobbe index changes by {} %",
                    crate::quantity::show::signed(100.0 * off)
                )
            });
            let near = off.is_some_and(|off| off.abs() <= SAME_WOBBE);
            let act = if near {
                "Keep the old holes if the flame is good, else drill"
            } else {
                "Drill"
            };
            work.line(
                format!("{act} {} holes of {exact}{drill}{wobbe}", r.number),
                "Drills for the new holes",
            );
            work.line(
                format!("Set {pressure} before them at {}", r.duty),
                &r.pressure_from,
            );
        }
        Err(why) => work.line(format!("No holes are sized yet: {why}"), "holes"),
    }
    kept(work, plan);
    for side in &plan.side_holes {
        let [now, then] = [side.now, side.then].map(|d| work.show(Kind::Length, d.value));
        work.line(
            format!("Drill the hole of {} to {then}; it is {now}", side.outlet),
            "same heat at the same pressure, far from choking",
        );
    }
    let regulators: Vec<String> = work
        .input
        .rig
        .train
        .parts()
        .into_iter()
        .filter_map(|p| match &p.kind {
            PartKind::Regulator(r) => Some(format!(
                "{} (set to {} now)",
                p.name,
                work.gauge(r.set_pressure)
            )),
            _ => None,
        })
        .collect();
    if !regulators.is_empty() {
        work.line(
            format!(
                "Set each regulator anew, by gauge with the holes burning: {}",
                regulators.join(", ")
            ),
            "holes at each duty",
        );
    }
    through_train(work, plan);
}

/// Pressure that the old holes need, where they do at every duty.
fn kept(work: &mut Work<'_>, plan: &ToGas) {
    let passes = |d: &crate::convert::gas::GasDuty| {
        let holes = d.old_holes.as_ref().ok()?;
        Some(format!("{} {}", d.duty, work.gauge(holes.pressure)))
    };
    let needs: Option<Vec<String>> = plan.holes.iter().map(passes).collect();
    match needs {
        Some(needs) if !needs.is_empty() && plan.from_gas => work.line(
            format!(
                "Or keep the old holes, with before them: {}",
                needs.join(", ")
            ),
            "Old holes kept: pressure before them",
        ),
        _ => {}
    }
}

/// Duties that the old supply and train do not feed.
fn through_train(work: &mut Work<'_>, plan: &ToGas) {
    let not_fed: Vec<&str> = plan
        .holes
        .iter()
        .filter(|d| match &d.train {
            Some(Ok(t)) => t.why_not.is_some(),
            Some(Err(_)) => true,
            None => false,
        })
        .map(|d| d.duty.as_str())
        .collect();
    if !not_fed.is_empty() {
        work.line(
            format!(
                "Change what feeds it: supply and train as they are do not feed {}",
                not_fed.join(", ")
            ),
            "Holes at each duty",
        );
    }
    if let Some(t) = plan.supply.coldest_feeding
        && let (coldest, _) = work.input.extremes()
        && t.value > coldest.value
    {
        let [t, coldest] = [t, coldest].map(|t| work.show(Kind::Temperature, t.value));
        let part = plan.supply.coldest_limited_by.as_ref();
        let part = part.map_or(String::new(), |p| format!(" ({p} gives out)"));
        work.line(
            format!("Do not count on its vapour below {t}{part}; the coldest day has {coldest}: larger holes at a lower pressure, a larger cylinder, or another gas"),
            "Supply",
        );
    }
}

fn buy(work: &mut Work<'_>, plan: &ToGas) {
    work.part(BUY);
    let supply = &plan.supply;
    let [fuel, time] = [
        (Kind::Mass, supply.fuel.value),
        (Kind::Time, supply.endurance.value),
    ]
    .map(|(kind, si)| work.show(kind, si));
    let volume = supply.volume.map_or(String::new(), |v| {
        format!(" of {} or more", work.show(Kind::Volume, v.value))
    });
    let stored = if supply.liquefied {
        "filled to 80 % at most"
    } else {
        "of compressed gas at 200 bar(a)"
    };
    let highest = match &supply.highest {
        HighestSupply::Compressed(p) => Some(*p),
        other => other.known(),
    };
    let highest = highest.map_or(String::new(), |p| {
        format!("; {} on the hottest day", work.gauge(p))
    });
    work.line(
        format!("Cylinders{volume} {stored}, for {fuel} ({time}){highest}"),
        "common practice, no source",
    );
    if let Ok(r) = &plan.redrill {
        let drill = r.drill.map_or_else(
            || format!("a drill of {} mm", number(r.exact.value * 1e3)),
            |d| format!("drill {}", d.name),
        );
        work.line(
            format!("An injector without holes, and {drill}"),
            "Drills for the new holes",
        );
    }
    let goes: Vec<&str> = plan
        .fates
        .iter()
        .filter(|f| f.fate == Fate::Goes && f.kind != "dip-tube")
        .map(|f| f.name.as_str())
        .collect();
    if !goes.is_empty() {
        work.line(
            format!(
                "For each that goes, one made for the new gas: {}",
                goes.join(", ")
            ),
            "Old train, part by part",
        );
    }
}

fn fit(work: &mut Work<'_>, plan: &ToGas) {
    work.part(FIT);
    let old = work.input.from.composition().label().to_owned();
    let first = if plan.from_gas {
        format!("Burn the line empty of {old}, vent it outdoors, cap the cylinder")
    } else {
        format!("Drain {old} from tank and line into a closed can, blow the line dry with nitrogen")
    };
    work.line(first, PRACTICE);
    work.line(
        "Fit the new parts; hang a plate at the valve with the new gas and its pressure",
        PRACTICE,
    );
    work.line(
        "Test with nitrogen as `leak-test` of the new rig file says, then soap every joint at working pressure",
        PRACTICE,
    );
    work.line(
        "Write the new rig file; `audit` and `checklist` of it before any flame",
        PRACTICE,
    );
    work.line(
        "Blow through, light at the smallest duty, then up duty by duty; watch for a yellow or lifting flame",
        PRACTICE,
    );
}
