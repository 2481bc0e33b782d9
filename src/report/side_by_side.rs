//! A gas system beside the system for a liquid, over endurance.

use super::Report;
use super::record::{Row, record, table};
use crate::mass::{BreakEven, SideBySide, SystemsAt};
use crate::quantity::Mass;
use crate::quantity::show::number;

record! {
    /// Both at a time of running.
    At(r: &SystemsAt) {
        time_s: Time = r.time, "runs for";
        cylinders: Number = r.cylinders, "cylinders" => Text = number(r.cylinders);
        gas_kg: Mass = r.gas, "gas";
        /// Gas system with a cylinder as heavy for its fuel as the present one, of any size.
        gas_to_measure_kg: Mass = r.gas_to_measure, "to measure";
        liquid_kg: Mass = r.liquid, "liquid";
        /// The lightest liquid system.
        liquid_low_kg: Mass = r.liquid_low, "at least";
        /// The heaviest liquid system.
        liquid_high_kg: Mass = r.liquid_high, "at most";
    }

    /// A part of a system.
    Weighs(system: &str, what: &str, mass: Mass) {
        (system): Text = system, "system";
        name: Text = what, "what";
        mass_kg: Mass = mass, "mass";
    }

    /// When which system is lighter.
    Even(e: &BreakEven) {
        /// The system that is lighter at the start: `gas` or `liquid`.
        lighter_at_start: Text = lighter(e.second_lighter_at_start);
        /// When that changes, s.
        changes_s: Numbers = e.changes.iter().map(|t| t.value).collect::<Vec<_>>();
        /// How far was looked.
        looked_up_to_s: Time = e.longest;
    }

    /// A gas and a liquid system over endurance.
    Systems(to: &str, both: &SideBySide)
    with {
        of = |system, masses: Vec<(&'static str, Mass)>| {
            let rows = masses.into_iter().map(|(what, mass)| Weighs::row(system, what, mass));
            rows.collect::<Vec<_>>()
        };
    }
    {
        /// The liquid.
        to: Text = to;
        /// Endurance planned for.
        endurance_s: Time = both.liquid.endurance;
        /// What the gas system weighs.
        gas: Rows(Weighs) = of("gas", both.gas_masses());
        /// What the liquid system weighs.
        liquid: Rows(Weighs) = of("liquid", both.liquid_masses());
        over_endurance: Rows(At) = both.rows.iter().map(At::row).collect::<Vec<_>>();
        break_even: Row(Even) = Even::row(&both.even), "With the present cylinders"
            => Text = changes(&both.even), note looked(&both.even);
        /// The same with a cylinder as heavy for its fuel as the present one, of any size.
        break_even_to_measure: Row(Even) = Even::row(&both.even_to_measure), "With a cylinder to measure"
            => Text = changes(&both.even_to_measure), note looked(&both.even_to_measure);
        break_even_liquid_low: Row(Even) = Even::row(&both.even_low), "To measure, lightest liquid system"
            => Text = changes(&both.even_low), note looked(&both.even_low);
        break_even_liquid_high: Row(Even) = Even::row(&both.even_high), "To measure, heaviest liquid system"
            => Text = changes(&both.even_high), note looked(&both.even_high);
        /// Parts without mass, left out.
        missing: Texts = &both.missing;
    }

    /// A gas and a liquid system, where there is a switch.
    BesideGas(systems: Row) {
        [systems]: Row(Systems) = systems;
    }
}

/// Adds the gas system and the liquid system side by side.
pub fn both(report: &mut Report, to: &str, both: &SideBySide) {
    let systems = Systems::row(to, both);
    let heading = format!("{} and {to} side by side", both.gas.name);
    report.facts(&heading, systems.facts());
    report.table(&heading, table(systems.rows("over_endurance")));
    let parts = [systems.rows("gas"), systems.rows("liquid")].concat();
    report.table("Both for the endurance planned for", table(&parts));
    report.assume(format!(
        "Side by side both burn at the mean over {}; cylinders of the present size are taken as emptied, as many as it takes, and feeding whatever is drawn; a cylinder to measure weighs as much for its fuel as the present one; `convert` has the plan of the liquid system.",
        both.mean_from
    ));
    if !both.missing.is_empty() {
        report.remark(format!(
            "Side by side, without mass and left out: {}.",
            both.missing.join(", ")
        ));
    }
    report.keys(&BesideGas::row(systems));
}

fn lighter(liquid: bool) -> &'static str {
    if liquid { "liquid" } else { "gas" }
}

fn hours(s: f64) -> String {
    format!("{} h", number(s / 3600.0))
}

/// When the lighter system changes, in words.
fn changes(even: &BreakEven) -> String {
    let mut liquid = even.second_lighter_at_start;
    let mut text = format!("{} is lighter", lighter(liquid));
    for t in &even.changes {
        liquid = !liquid;
        text = format!("{text}, from {} {}", hours(t.value), lighter(liquid));
    }
    text
}

fn looked(even: &BreakEven) -> String {
    format!("looked at up to {}", hours(even.longest.value))
}
