//! What a fuel is, for people and machines: composition, combustion, flammability, saturation.

use super::{Column, Fact, Report, Table, Value, json};
use crate::combustion::{CombustionError, Flammability, GasQuality, Stoichiometry};
use crate::eos::{Backend, EosError, Equilibrium};
use crate::fuel::{Composition, FedAs, Library, Sourced};
use crate::quantity::show::{Show, Units, short};
use crate::quantity::{Kind, ThermodynamicTemperature};
use serde_json::{Map, Value as Json};

/// Molar mass of dry air, kg/mol (`iso6976`).
const M_AIR_KG_MOL: f64 = 0.028_965_46;

/// Name, composition and molar mass.
pub fn identity(report: &mut Report, library: &Library, fuel: &Composition) {
    let m_kg_mol = fuel.molar_mass_kg_mol();
    report.key("fuel", fuel.label());
    report.number("molar_mass_kg_mol", m_kg_mol);
    let mole_fractions: Map<String, Json> = fuel
        .parts()
        .iter()
        .map(|p| (p.fuel.name.clone(), json::number(p.mole_fraction)))
        .collect();
    report.key("mole_fractions", mole_fractions);
    let mut facts = vec![Fact::text("Name used", fuel.label())];
    if let [only] = fuel.parts() {
        facts.push(Fact::text("CAS number", only.fuel.cas.as_str()));
    }
    facts.push(Fact::of("Molar mass", Kind::MolarMass, m_kg_mol));
    facts.push(
        Fact::plain("Vapour density over that of air", m_kg_mol / M_AIR_KG_MOL).note("ideal gases"),
    );
    report.number("relative_vapour_density", m_kg_mol / M_AIR_KG_MOL);
    report.facts("Identity", facts);
    if fuel.parts().len() > 1 {
        let mut table = Table::new(vec![
            Column::new("component"),
            Column::of("by mole", Kind::Ratio),
            Column::of("by mass", Kind::Ratio),
        ]);
        for p in fuel.parts() {
            let share = |si| Value::of(Kind::Ratio, si);
            table.row(vec![
                p.fuel.name.as_str().into(),
                share(p.mole_fraction),
                share(p.mole_fraction * p.fuel.molar_mass_kg_mol / m_kg_mol),
            ]);
        }
        report.table("Identity", table);
    }
    if let Some(blend) = library.blend(fuel.label()) {
        report.assume(format!("the composition of {}: {}", blend.name, blend.note));
        report.cite(library, &blend.source);
    }
    for p in fuel.parts() {
        report.cite(library, &p.fuel.source);
    }
}

/// Air needed and heat given; for what does not burn, nulls and the reason.
pub fn combustion(report: &mut Report, library: &Library, fuel: &Composition) {
    let stoichiometry = match Stoichiometry::of(fuel) {
        Ok(s) => s,
        Err(e) => {
            for key in [
                "stoichiometric_air_fuel_ratio",
                "lower_heating_value_j_kg",
                "higher_heating_value_j_kg",
            ] {
                report.number(key, None);
            }
            report.paragraph("Combustion", e.to_string());
            return;
        }
    };
    let s = &stoichiometry;
    report.number("stoichiometric_air_fuel_ratio", s.air_fuel_ratio.value);
    report.number("lower_heating_value_j_kg", s.lower_heating_value.value);
    report.number("higher_heating_value_j_kg", s.higher_heating_value.value);
    let phase = match s.phase {
        Some(FedAs::Gas) => "fuel as gas",
        Some(FedAs::Liquid) => "fuel as liquid",
        None => "each component in the phase it is metered in",
    };
    let heat = |name: &str, si: f64| {
        Fact::of(name, Kind::SpecificEnergy, si)
            .within(s.heating_value_uncertainty.value)
            .note(phase)
    };
    report.facts(
        "Combustion",
        vec![
            Fact::plain("Air needed, by mass", s.air_fuel_ratio.value).note("dry air"),
            Fact::plain(
                "Air needed, by volume of gas",
                s.air_fuel_ratio_by_volume.value,
            ),
            Fact::of(
                "Fuel in the stoichiometric mixture",
                Kind::Ratio,
                s.fuel_in_mixture.value,
            )
            .note("by mole"),
            heat("Lower heating value", s.lower_heating_value.value),
            heat("Higher heating value", s.higher_heating_value.value),
        ],
    );
    let t = s.reference_temperature.show(Units::Si);
    report.assume(format!(
        "heating values are at {t}, the water formed being vapour (lower) or liquid (higher)"
    ));
    for key in &s.sources {
        report.cite(library, key);
    }
    report.cite(library, "dry-air");
}

/// Wobbe index and the like, where ISO 6976 gives them.
pub fn gas_quality(report: &mut Report, library: &Library, fuel: &Composition) {
    const HEADING: &str = "As a gas by ISO 6976 (15 degC, 1 atm)";
    match GasQuality::of(fuel) {
        Ok(g) => {
            report.number("wobbe_gross_j_m3", g.wobbe_gross_j_m3);
            report.number("wobbe_net_j_m3", g.wobbe_net_j_m3);
            report.number("relative_density_15c", g.relative_density);
            let volume = |name: &str, si| Fact::of(name, Kind::VolumetricEnergy, si);
            report.facts(
                HEADING,
                vec![
                    volume("Wobbe index, gross", g.wobbe_gross_j_m3),
                    volume("Wobbe index, net", g.wobbe_net_j_m3),
                    volume("Heating value by volume, gross", g.gross_j_m3),
                    volume("Heating value by volume, net", g.net_j_m3),
                    Fact::of("Density", Kind::Density, g.density_kg_m3),
                    Fact::plain("Density over that of air", g.relative_density),
                ],
            );
            report.cite(library, "iso6976");
        }
        Err(e) => {
            report.number("wobbe_gross_j_m3", None);
            report.number("wobbe_net_j_m3", None);
            if !matches!(e, CombustionError::DoesNotBurn { .. }) {
                report.paragraph(HEADING, e.to_string());
            }
        }
    }
}

/// Limits by standard, and what hazards are computed with.
pub fn flammability(report: &mut Report, library: &Library, fuel: &Composition) {
    let flammability = match Flammability::of(fuel) {
        Ok(f) => f,
        Err(e) => {
            report.number("flammability_lower", None);
            report.number("flammability_upper", None);
            if !matches!(e, CombustionError::DoesNotBurn { .. }) {
                report.paragraph("Flammability in air", e.to_string());
            }
            return;
        }
    };
    let f = &flammability;
    report.number("flammability_lower", f.lower.value);
    report.number("flammability_upper", f.upper.map(|u| u.value));
    report.number("autoignition_k", f.autoignition.map(|t| t.value));
    report.number("flash_point_k", f.flash_point.map(|t| t.value));
    let stated = f.by_standard.iter().filter_map(|l| Some(l.lower?.value));
    let widest = stated.fold(f.lower.value, f64::max);
    report.facts("Flammability in air", flammability_facts(f, widest));
    limits_table(report, f);
    if fuel.parts().len() > 1 {
        report.assume("limits of the blend by Le Chatelier's rule, which is poor for upper limits");
        report.cite(library, "le-chatelier");
    }
    let spread = widest / f.lower.value - 1.0;
    if spread > 1e-9 {
        let percent = short((100.0 * spread).round());
        report.assume(format!(
            "the standards differ by {percent} % in the lower limit, by test method; hazards use the lower one"
        ));
    }
    let cited = f.by_standard.iter().map(|l| &l.source);
    let values = [
        &f.minimum_ignition_energy,
        &f.quenching_distance,
        &f.burning_velocity,
    ];
    for key in cited.chain(values.into_iter().flatten().map(|v| &v.source)) {
        report.cite(library, key);
    }
}

/// The cautious figures of all standards; `widest` is the highest of their lower limits.
fn flammability_facts(f: &Flammability, widest: f64) -> Vec<Fact> {
    let lower = f.lower.value;
    let mut facts = vec![
        Fact::of("Lower limit used for hazards", Kind::Ratio, lower)
            .between(lower, widest)
            .note("lowest of the standards"),
    ];
    let mut add = |name: &str, kind, si: Option<f64>, note: &str| {
        facts.extend(si.map(|si| Fact::of(name, kind, si).note(note)));
    };
    let lowest = "lowest of the standards";
    let kelvin = |t: Option<ThermodynamicTemperature>| t.map(|t| t.value);
    add(
        "Upper limit",
        Kind::Ratio,
        f.upper.map(|u| u.value),
        "highest of the standards",
    );
    add(
        "Auto-ignition temperature",
        Kind::Temperature,
        kelvin(f.autoignition),
        lowest,
    );
    add(
        "Flash point",
        Kind::Temperature,
        kelvin(f.flash_point),
        lowest,
    );
    let mut banded = |name: &str, kind, value: &Option<Sourced>| {
        facts.extend(value.as_ref().map(|v| {
            Fact::of(name, kind, v.value)
                .within(v.uncertainty)
                .from_source(&v.source)
        }));
    };
    banded(
        "Minimum ignition energy",
        Kind::Energy,
        &f.minimum_ignition_energy,
    );
    banded("Quenching distance", Kind::Length, &f.quenching_distance);
    banded(
        "Burning velocity, largest",
        Kind::Velocity,
        &f.burning_velocity,
    );
    facts
}

fn limits_table(report: &mut Report, f: &Flammability) {
    let mut table = Table::new(vec![
        Column::new("by standard"),
        Column::of("lower limit", Kind::Ratio).digits(3),
        Column::of("upper limit", Kind::Ratio).digits(3),
        Column::of("auto-ignition", Kind::Temperature).digits(3),
        Column::of("flash point", Kind::Temperature)
            .digits(3)
            .optional(),
    ]);
    for l in &f.by_standard {
        table.row(vec![
            l.source.as_str().into(),
            Value::of(Kind::Ratio, l.lower.map(|x| x.value)),
            Value::of(Kind::Ratio, l.upper.map(|x| x.value)),
            Value::of(Kind::Temperature, l.autoignition.map(|x| x.value)),
            Value::of(Kind::Temperature, l.flash_point.map(|x| x.value)),
        ]);
    }
    report.table("Flammability in air", table);
    let number = |x: Option<f64>| x.map_or(Json::Null, json::number);
    let standards = f.by_standard.iter().map(|l| {
        serde_json::json!({
            "source": l.source,
            "lower": number(l.lower.map(|x| x.value)),
            "upper": number(l.upper.map(|x| x.value)),
            "autoignition_k": number(l.autoignition.map(|x| x.value)),
            "flash_point_k": number(l.flash_point.map(|x| x.value)),
        })
    });
    report.key("flammability_by_standard", standards.collect::<Vec<Json>>());
}

/// Boiling at a temperature: pressures, densities, heat of vaporization.
///
/// Liquid and vapour are both of the fuel's own composition: the liquid at its bubble point, the
/// vapour at its dew point.
///
/// # Errors
/// A temperature outside the range of the equation. Where there is no
/// boiling (above the critical point, no model) or the point is not found the report says so and the key is `null`.
pub fn saturation(
    report: &mut Report,
    fluid: &dyn Backend,
    t: ThermodynamicTemperature,
    units: Units,
) -> Result<(), EosError> {
    let heading = format!("Saturation at {}", t.show(units));
    let none = |e: &EosError| {
        matches!(
            e,
            EosError::AboveCritical { .. }
                | EosError::NotAvailable { .. }
                | EosError::NotConverged { .. }
                | EosError::LiquidSplits { .. }
        )
    };
    let (bubble, dew) = match (fluid.bubble_t(t.value), fluid.dew_t(t.value)) {
        (Ok(bubble), Ok(dew)) => (bubble, dew),
        (Err(e), _) | (_, Err(e)) if none(&e) => {
            no_saturation(report, &heading, &e.to_string());
            return Ok(());
        }
        (Err(e), _) | (_, Err(e)) => return Err(e),
    };
    let latent_j_kg = dew.vapour.enthalpy_j_kg - bubble.liquid.enthalpy_j_kg;
    let composition: Map<String, Json> = fluid
        .composition()
        .parts()
        .iter()
        .zip(bubble.vapour.mole_fractions.iter())
        .map(|(p, &y)| (p.fuel.name.clone(), json::number(y)))
        .collect();
    report.key(
        "saturation",
        serde_json::json!({
            "temperature_k": t.value,
            "bubble_pressure_pa": bubble.pressure_pa,
            "dew_pressure_pa": dew.pressure_pa,
            "liquid_density_kg_m3": bubble.liquid.density_kg_m3,
            "vapour_density_kg_m3": dew.vapour.density_kg_m3,
            "first_vapour_density_kg_m3": bubble.vapour.density_kg_m3,
            "latent_heat_j_kg": latent_j_kg,
            "vapour_composition": composition,
        }),
    );
    report.facts(&heading, saturation_facts(fluid, &bubble, &dew));
    if fluid.composition().parts().len() > 1 {
        let mut table = Table::new(vec![
            Column::new("component"),
            Column::of("in the liquid", Kind::Ratio),
            Column::of("in the first vapour", Kind::Ratio),
        ]);
        let share = |si| Value::of(Kind::Ratio, si);
        for (p, &y) in fluid
            .composition()
            .parts()
            .iter()
            .zip(bubble.vapour.mole_fractions.iter())
        {
            table.row(vec![
                p.fuel.name.as_str().into(),
                share(p.mole_fraction),
                share(y),
            ]);
        }
        report.table(&heading, table);
    }
    Ok(())
}

/// Pressures, densities and heat of boiling; of a blend those of both vapours.
fn saturation_facts(fluid: &dyn Backend, bubble: &Equilibrium, dew: &Equilibrium) -> Vec<Fact> {
    let latent_j_kg = dew.vapour.enthalpy_j_kg - bubble.liquid.enthalpy_j_kg;
    let pure = fluid.composition().parts().len() == 1;
    let pressure = |name: &str, si| Fact::of(name, Kind::AbsolutePressure, si);
    let mut facts = if pure {
        let fact = pressure("Vapour pressure", bubble.pressure_pa);
        let equation = fluid.composition().parts()[0].fuel.equation.as_ref();
        vec![match equation {
            Some(e) => fact
                .note(format!(
                    "within {} %",
                    short(100.0 * e.uncertainty_vapour_pressure)
                ))
                .from_source(&e.source),
            None => fact,
        }]
    } else {
        vec![
            pressure("Bubble pressure", bubble.pressure_pa).note("a full tank begins here"),
            pressure("Dew pressure", dew.pressure_pa).note("vapour condenses above it"),
        ]
    };
    let density = Fact::of(
        "Density of the vapour",
        Kind::Density,
        dew.vapour.density_kg_m3,
    );
    let density = if pure {
        density
    } else {
        density.note("of the blend's own composition, at the dew pressure")
    };
    facts.extend([
        Fact::of(
            "Density of the liquid",
            Kind::Density,
            bubble.liquid.density_kg_m3,
        ),
        density,
    ]);
    if !pure {
        let first = bubble.vapour.density_kg_m3;
        let fact = Fact::of("Density of the first vapour", Kind::Density, first);
        facts.push(fact.note("at the bubble pressure, as a full tank gives it"));
    }
    let latent = Fact::of("Heat of vaporization", Kind::SpecificEnergy, latent_j_kg);
    facts.push(if pure {
        latent
    } else {
        latent.note("all of the liquid made vapour of its own composition")
    });
    facts
}

/// Says that there is no saturation, and why.
pub fn no_saturation(report: &mut Report, heading: &str, why: &str) {
    report.key("saturation", Json::Null);
    report.paragraph(heading, why);
}
