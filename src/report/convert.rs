//! A switch to another fuel, for people and machines: what both kinds of switch have in common.

mod gas;
mod liquid;
mod spray;
mod stands;
mod work;

pub(super) use gas::ToGasOf;
pub use gas::gas;
pub(super) use liquid::ToLiquidOf;
pub use liquid::liquid;
pub(super) use work::WorkOf;

use super::flames::{self, Worst};
use super::record::{Row, each_once, record, table, table_of};
use super::{Finding, Report};
use crate::audit::registry::of_switch;
use crate::convert::concern::{Concern, Measure};
use crate::convert::demand::{DutyNext, ExitAgainstLimits};
use crate::convert::fate::{Fate, MaterialAnswer, PartFate};
use crate::convert::{ConvertInput, Keep};
use crate::quantity::show::{Units, show};
use std::cmp::Reverse;

record! {
    /// A duty as it runs now and on the new fuel.
    DutyOf(d: &DutyNext)
    with {
        (now, next) = (&d.now, d.demand());
        (heat, mixture) = (d.same_heat.as_ref().ok(), d.same_mixture.as_ref().ok());
        exit = d.exit.as_ref().ok();
        primary = d.primary.as_ref().and_then(|p| p.as_ref().ok());
    }
    {
        name: Text = &now.name, "duty";
        /// Air flow.
        air_flow_kg_s: MassRate = now.air;
        /// Pressure of the chamber.
        chamber_pressure_pa: AbsolutePressure = now.chamber;
        /// Heat set free on the new fuel.
        heat_release_w: Power = next.map(|n| n.heat_release);
        /// Fuel flow now.
        fuel_flow_now_kg_s: MassRate = now.fuel, "fuel now";
        equivalence_ratio_now: Number = now.equivalence_ratio, "equivalence ratio now" 3;
        /// Heat set free now.
        heat_release_now_w: Power = now.heat_release, "heat release" 3;
        /// Flow of the new fuel, by what is kept.
        fuel_flow_kg_s: MassRate = next.map(|n| n.fuel);
        /// Equivalence ratio on the new fuel.
        equivalence_ratio: Number = next.map(|n| n.equivalence_ratio), "then" 3;
        /// Flow of the new fuel that sets the same heat free.
        fuel_flow_same_heat_kg_s: MassRate = heat.map(|h| h.fuel), "same heat";
        /// Flow of the new fuel at the same equivalence ratio.
        fuel_flow_same_ratio_kg_s: MassRate = mixture.map(|m| m.fuel), "same mixture";
        (heat_then): Power = mixture.map(|m| m.heat_release), "heat then" 3;
        /// Temperature of the gas at the exit now.
        exit_temperature_now_k: Temperature = now.exit_temperature, "exit now" 4;
        /// Temperature of the gas at the exit on the new fuel.
        exit_temperature_k: Temperature = exit.map(|f| f.temperature), "exit then" 4;
        /// Temperature of the primary zone on the new fuel.
        primary_temperature_k: Temperature = primary.map(|f| f.temperature), "primary zone" 4;
        /// Why it cannot be run.
        error: Text = d.refusal();
    }

    /// A switch to another fuel.
    SwitchOf(input: &ConvertInput<'_>, duties: Vec<Row>) {
        duties: Rows(DutyOf) = duties;
        /// What stays the same at every duty: `heat release` or `equivalence ratio`.
        kept: Text = input.wishes.keep.name();
        /// The fuel now.
        from: Text = input.from.composition().label();
        /// The new fuel.
        to: Text = input.to.composition().label();
    }

    /// A part of the old train.
    OldPart(p: &PartFate)
    with {
        because = match p.reasons.as_slice() {
            [] => "nothing in the rig file speaks against it".to_owned(),
            reasons => reasons.join("; "),
        };
    }
    {
        name: Text = &p.name, "part";
        /// Kind of part, as in the rig file.
        kind: Text = p.kind, "kind" [optional];
        /// What becomes of it: `goes`, `check` (stays if what the reasons name is so) or `stays`.
        fate: Text = p.fate.name(), "fate";
        /// Why.
        reasons: Texts = &p.reasons, "because" => Text = because;
        /// Mass of all of its kind.
        mass_kg: Mass = p.mass;
        /// How many of it.
        count: Count = p.count;
    }

    /// A material in contact with the new fuel.
    Material(m: &MaterialAnswer, all: &[MaterialAnswer])
    with { within = all.iter().filter(|o| o.material == m.material).map(|o| o.part.as_str()).collect::<Vec<_>>(); }
    {
        /// Part that it is in.
        part: Text = &m.part;
        material: Text = &m.material, "material";
        /// Whether it stands the new fuel.
        answer: Text = m.verdict.name(), "answer";
        why: Text = m.why, "why";
        (within): Text = within.join(", "), "in";
    }

    /// The old train and its materials.
    Old(fates: &[PartFate], materials: &[MaterialAnswer]) {
        old_parts: Rows(OldPart) = fates.iter().map(OldPart::row).collect::<Vec<_>>();
        /// Materials of the rig file that are not in usual use with the new fuel.
        materials: Rows(Material) = materials.iter().map(|m| Material::row(m, materials)).collect::<Vec<_>>();
    }
}

/// Flows, mixture and flame of every duty.
fn duties(report: &mut Report, input: &ConvertInput<'_>, duties: &[DutyNext]) {
    for d in duties.iter().filter(|d| d.demand().is_some()) {
        if let Err(why) = &d.exit {
            report.remark(format!("{}: the flame is not known: {why}.", d.now.name));
        }
        if let Some(Err(why)) = &d.primary {
            report.remark(format!(
                "{}: the primary zone is not known: {why}.",
                d.now.name
            ));
        }
    }
    let rows: Vec<Row> = duties.iter().map(DutyOf::row).collect();
    let fuel = [
        "name",
        "heat_release_now_w",
        "fuel_flow_now_kg_s",
        "fuel_flow_same_heat_kg_s",
        "fuel_flow_same_ratio_kg_s",
        "heat_then",
    ];
    report.table("Fuel at each duty", table_of(&rows, &fuel));
    let flame = [
        "name",
        "equivalence_ratio_now",
        "equivalence_ratio",
        "primary_temperature_k",
        "exit_temperature_now_k",
        "exit_temperature_k",
    ];
    report.table("Flame at each duty", table_of(&rows, &flame));
    report.assume(match input.wishes.keep {
        Keep::HeatRelease => "the plan goes by the same heat release at every duty",
        Keep::EquivalenceRatio => "the plan goes by the same equivalence ratio at every duty",
    });
    report.keys(&SwitchOf::row(input, rows));
}

fn limits(report: &mut Report, limits: &[ExitAgainstLimits]) {
    let all = limits.iter().map(|l| Worst {
        place: &l.limit.place,
        material: &l.limit.material,
        sees: l.limit.sees,
        limit_k: l.limit.max_temperature.value,
        duty: &l.duty,
        exit_k: l.exit.value,
        zone: l.zone.as_ref().map(|(duty, t)| (duty.as_str(), t.value)),
        as_fed: false,
    });
    flames::limits(report, all);
}

/// How many parts of the old train go, and how many stay on conditions.
fn old_train(fates: &[PartFate]) -> String {
    let count = |fate| fates.iter().filter(|f| f.fate == fate).count();
    format!(
        "{} of {} parts go, {} stay on conditions",
        count(Fate::Goes),
        fates.len(),
        count(Fate::Check)
    )
}

/// Every part of the old train, those that go first, and its materials.
fn old(report: &mut Report, fates: &[PartFate], materials: &[MaterialAnswer]) {
    let mut by_fate: Vec<&PartFate> = fates.iter().collect();
    by_fate.sort_by_key(|p| Reverse(p.fate));
    let rows: Vec<Row> = by_fate.into_iter().map(OldPart::row).collect();
    report.table("Old train, part by part", table(&rows));
    report.remark(if materials.is_empty() {
        "All materials that the rig file names are in usual use with the new fuel [materials-memory]."
    } else {
        "Materials not listed are in usual use with the new fuel [materials-memory]."
    });
    // one row a material, with the parts it sits in
    let names = each_once(materials.iter().map(|m| &m.material));
    let first = |name: &String| materials.iter().find(|m| m.material == *name);
    let first = names.into_iter().filter_map(first);
    let rows: Vec<Row> = first.map(|m| Material::row(m, materials)).collect();
    report.table("Materials in contact", table(&rows));
    report.keys(&Old::row(fates, materials));
}

fn shown(measure: &Measure, units: Units) -> String {
    match measure {
        Measure::Quantity(kind, si) => show(*kind, *si, units),
        Measure::Text(text) => text.clone(),
    }
}

/// Concerns as findings, by signal word, then by id.
fn findings(report: &mut Report, concerns: &[Concern], units: Units) {
    let found = |c: &Concern| {
        let rule = of_switch(c.kind)?;
        let [measured, limit] = [&c.measured, &c.limit].map(|m| shown(m, units));
        let mut finding = Finding::of(rule, c.at.as_str(), measured, limit);
        finding.signal = rule.signals[usize::from(c.mild)];
        if let Some(basis) = c.basis {
            basis.clone_into(&mut finding.source);
        }
        if let Some(says) = &c.says {
            finding.say(says);
        }
        if let Some(advice) = &c.advice {
            finding.advice.clone_from(advice);
        }
        Some(finding)
    };
    let mut all: Vec<Finding> = concerns.iter().filter_map(found).collect();
    all.sort_by(|a, b| (a.signal, &a.id).cmp(&(b.signal, &b.id)));
    report.findings = Some(all);
}
