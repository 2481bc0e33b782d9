//! What a flame is, for people and machines: result, products, zones, findings.

use super::{Column, Fact, Finding, Report, Table, Value, json};
use crate::audit::registry;
use crate::combustion::equilibrium::Products;
use crate::combustion::flame::{Burner, Duty, Flame, FlameWarning, Staged};
use crate::fuel::Library;
use crate::quantity::Kind;
use crate::quantity::show::{ppm, significant};
use serde_json::{Map, Value as Json};

/// Products below this mole fraction are left out of the table (not of the JSON).
const LEAST_SHOWN: f64 = 1e-6;
/// Relative uncertainty of the adiabatic temperature from the species data: two published sets differ by
/// 0.06 % at most (tests/reference/README.md).
const TEMPERATURE_UNCERTAINTY: f64 = 1e-3;

/// Fuel and air as they enter.
pub fn feeds(report: &mut Report, burner: &Burner) {
    let (fuel, air) = (burner.fuel(), burner.air());
    report.key("fuel", fuel.composition().label());
    report.key("fuel_phase", fuel.phase().name());
    report.number("fuel_temperature_k", fuel.temperature().value);
    report.number("fuel_enthalpy_j_kg", fuel.enthalpy().value);
    report.number("lower_heating_value_j_kg", fuel.lower_heating_value().value);
    report.number("air_temperature_k", air.temperature().value);
    report.number("air_water_mole_fraction", air.air().water);
    report.number("pressure_pa", burner.pressure().pascals());
    let afr = burner.stoichiometric_air_fuel_ratio().value;
    report.number("stoichiometric_air_fuel_ratio", afr);
    report.facts(
        "Feed",
        vec![
            Fact::text("Fuel", fuel.composition().label())
                .note(format!("fed as {}", fuel.phase().name())),
            Fact::of(
                "Fuel temperature",
                Kind::Temperature,
                fuel.temperature().value,
            ),
            Fact::of(
                "Lower heating value",
                Kind::SpecificEnergy,
                fuel.lower_heating_value().value,
            )
            .note("in the phase fed, at 25 degC"),
            Fact::of(
                "Air temperature",
                Kind::Temperature,
                air.temperature().value,
            ),
            Fact::of("Water in the air, by mole", Kind::Ratio, air.air().water),
            Fact::of(
                "Pressure",
                Kind::AbsolutePressure,
                burner.pressure().pascals(),
            ),
            Fact::plain("Air-fuel ratio for complete burning, by mass", afr),
        ],
    );
}

/// The flame at exit.
pub fn flame(report: &mut Report, flame: &Flame) {
    numbers(report, flame);
    let temperature = Fact::of(
        "Flame temperature",
        Kind::Temperature,
        flame.temperature.value,
    );
    let dew_point = match flame.exhaust_dew_point() {
        Some(t) => Fact::of("Dew point of the exhaust", Kind::Temperature, t.value),
        None => Fact::new("Dew point of the exhaust", Value::Absent).note("frost forms instead"),
    };
    let (wet, dry) = flame.carbon_monoxide_ppm();
    report.facts(
        "Result",
        vec![
            // once soot would form, equilibrium without it is rough: a band would promise too much
            if flame.carbon_activity() > 1.0 {
                temperature.note("rough: soot forms, and the sums leave it out")
            } else {
                temperature.within(TEMPERATURE_UNCERTAINTY)
            },
            Fact::of(
                "Rise above the air",
                Kind::TemperatureDifference,
                flame.temperature_rise().value,
            ),
            Fact::plain("Equivalence ratio", flame.equivalence_ratio.value),
            Fact::plain("Air-fuel ratio, by mass", flame.air_fuel_ratio.value),
            Fact::of("Density", Kind::Density, flame.density().value),
            Fact::of("Molar mass", Kind::MolarMass, flame.molar_mass.value),
            Fact::of(
                "Heat capacity cp",
                Kind::SpecificHeat,
                flame.heat_capacity().value,
            )
            .note("composition frozen"),
            Fact::of(
                "Mean cp from the air up",
                Kind::SpecificHeat,
                flame.mean_heat_capacity().value,
            )
            .note("composition frozen"),
            Fact::plain("Ratio cp/cv", flame.gamma().value).note("composition frozen"),
            dew_point,
            Fact::new("Carbon monoxide, dry", Value::Text(ppm(dry)))
                .note(format!("{} wet, at equilibrium", ppm(wet))),
        ],
    );
    products(report, flame);
}

fn numbers(report: &mut Report, flame: &Flame) {
    report.number("flame_temperature_k", flame.temperature.value);
    report.number("temperature_rise_k", flame.temperature_rise().value);
    report.number("equivalence_ratio", flame.equivalence_ratio.value);
    report.number("air_fuel_ratio", flame.air_fuel_ratio.value);
    report.key("products", mole_fractions(flame));
    report.number("density_kg_m3", flame.density().value);
    report.number("molar_mass_kg_mol", flame.molar_mass.value);
    report.number("cp_j_kg_k", flame.heat_capacity().value);
    report.number(
        "cp_equilibrium_j_kg_k",
        flame.equilibrium_heat_capacity().value,
    );
    report.number("cp_mean_j_kg_k", flame.mean_heat_capacity().value);
    report.number("gamma", flame.gamma().value);
    report.number("heat_lost_j_kg", flame.heat_lost.value);
    report.number(
        "exhaust_dew_point_k",
        flame.exhaust_dew_point().map(|t| t.value),
    );
    let (wet, dry) = flame.carbon_monoxide_ppm();
    report.number("carbon_monoxide_ppm_wet", wet);
    report.number("carbon_monoxide_ppm_dry", dry);
    report.number("carbon_activity", flame.carbon_activity());
}

fn mole_fractions(flame: &Flame) -> Map<String, Json> {
    flame
        .products()
        .into_iter()
        .map(|(name, x)| (name.to_owned(), json::number(x)))
        .collect()
}

fn products(report: &mut Report, flame: &Flame) {
    let mut table = Table::new(vec![
        Column::new("product"),
        Column::of("by mole", Kind::Ratio),
    ]);
    for (name, si) in flame.products() {
        if si >= LEAST_SHOWN {
            let kind = Kind::Ratio;
            let name = if name == "AR" { "Ar" } else { name };
            table.row(vec![name.into(), Value::Quantity { kind, si }]);
        }
    }
    report.table("Products", table);
}

/// Flows and heat of a duty.
pub fn duty(report: &mut Report, duty: &Duty) {
    let [air, fuel] = [duty.air_flow.value, duty.fuel_flow.value];
    let [input, released] = [duty.heat_input.value, duty.heat_released.value];
    report.number("air_flow_kg_s", air);
    report.number("fuel_flow_kg_s", fuel);
    report.number("fuel_heat_w", input);
    report.number("heat_released_w", released);
    report.facts(
        "Duty",
        vec![
            Fact::of("Air flow", Kind::MassRate, air),
            Fact::of("Fuel flow", Kind::MassRate, fuel),
            Fact::of("Heat of the fuel", Kind::Power, input).note("lower heating value"),
            Fact::of("Heat released", Kind::Power, released).note("as far as the oxygen reaches"),
        ],
    );
}

/// Primary zone and exit.
pub fn staged(report: &mut Report, staged: &Staged) {
    let mut zone = Map::new();
    let primary = &staged.primary;
    let mut number = |key: &str, x: f64| zone.insert(key.to_owned(), json::number(x));
    number("air_share", staged.primary_share.value);
    number("equivalence_ratio", primary.equivalence_ratio.value);
    number("flame_temperature_k", primary.temperature.value);
    number("air_fuel_ratio", primary.air_fuel_ratio.value);
    number("carbon_activity", primary.carbon_activity());
    zone.insert("products".to_owned(), mole_fractions(primary).into());
    report.key("primary", zone);
    let mut table = Table::new(vec![
        Column::new("zone"),
        Column::of("share of air", Kind::Ratio),
        Column::new("equivalence ratio"),
        Column::of("temperature", Kind::Temperature),
        Column::of("CO", Kind::Ratio),
    ]);
    for (name, share, flame) in [
        ("primary", staged.primary_share.value, primary),
        ("exit", 1.0, &staged.exit),
    ] {
        table.row(vec![
            name.into(),
            Value::of(Kind::Ratio, share),
            flame.equivalence_ratio.value.into(),
            Value::of(Kind::Temperature, flame.temperature.value),
            Value::of(Kind::Ratio, flame.mole_fraction("CO").value),
        ]);
    }
    report.table("Zones", table);
}

/// What is to be said about the flames, as findings.
pub fn findings(report: &mut Report, zones: &[(&str, &[FlameWarning])]) {
    let all = zones
        .iter()
        .flat_map(|(at, warnings)| warnings.iter().filter_map(|w| finding(at, w)));
    report.findings = Some(all.collect());
}

fn finding(at: &str, warning: &FlameWarning) -> Option<Finding> {
    let (rule, measured, limit) = match *warning {
        FlameWarning::LeanerThanLowerLimit { phi, limit } => (
            "FLM009",
            format!("equivalence ratio {}", significant(phi, 3)),
            format!(
                "at least {} (lower flammability limit)",
                significant(limit, 3)
            ),
        ),
        FlameWarning::RicherThanUpperLimit { phi, limit } => (
            "FLM010",
            format!("equivalence ratio {}", significant(phi, 3)),
            format!(
                "at most {} (upper flammability limit)",
                significant(limit, 3)
            ),
        ),
        FlameWarning::SootAtEquilibrium { activity } => (
            "FLM011",
            format!("carbon activity {}", significant(activity, 3)),
            "1".to_owned(),
        ),
        FlameWarning::SootLikely { carbon_to_oxygen } => (
            "FLM012",
            format!("carbon to oxygen {}", significant(carbon_to_oxygen, 3)),
            "0.5".to_owned(),
        ),
        FlameWarning::CarbonMonoxide { ppm_dry } => (
            "FLM013",
            format!("{} dry, at equilibrium", ppm(ppm_dry)),
            "1000 ppm".to_owned(),
        ),
    };
    Some(Finding::of(registry::find(rule)?, at, measured, limit))
}

/// What the flame rests on.
pub fn model(report: &mut Report, library: &Library, burner: &Burner) {
    report.facts(
        "Model",
        vec![
            Fact::text(
                "Flame",
                format!(
                    "chemical equilibrium of {} gases at constant pressure and enthalpy",
                    Products::embedded().len()
                ),
            )
            .from_source("nasa-rp1311"),
        ],
    );
    report.assume("fuel and air mix completely and reach equilibrium: real flames are cooler and leave more carbon monoxide");
    report.assume("gases are ideal and no soot forms");
    report.cite(library, "nasa-rp1311");
    report.cite(library, "dry-air");
    for key in Products::embedded().sources() {
        report.cite(library, key);
    }
    for part in burner.fuel().composition().parts() {
        if let Some(nasa) = &part.fuel.nasa {
            report.cite(library, &nasa.source);
        }
        if let Some(combustion) = &part.fuel.combustion {
            report.cite(library, &combustion.source);
            if let Some(formation) = &combustion.formation_source {
                report.cite(library, formation);
            }
        }
    }
}
