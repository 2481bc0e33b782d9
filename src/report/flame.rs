//! What a flame is, for people and machines: result, products, zones, findings.

use super::record::{Row, record, table, within};
use super::{Fact, Finding, Report};
use crate::audit::registry;
use crate::combustion::equilibrium::Products;
use crate::combustion::flame::{Burner, Duty, Flame, FlameWarning, Staged};
use crate::fuel::Library;
use crate::quantity::show::{number, percent, ppm};

/// Products below this mole fraction are left out of the table (not of the JSON).
const LEAST_SHOWN: f64 = 1e-6;
/// Relative uncertainty of the adiabatic temperature from the species data: two published sets differ by
/// 0.06 % at most (tests/reference/README.md).
const TEMPERATURE_UNCERTAINTY: f64 = 1e-3;

record! {
    /// Fuel and air as they enter.
    Feed(burner: &Burner)
    with {
        fuel = burner.fuel();
        air = burner.air();
    }
    {
        fuel: Text = fuel.composition().label(), "Fuel", note format!("fed as {}", fuel.phase().name());
        /// Phase that the fuel is fed in.
        fuel_phase: Text = fuel.phase().name();
        fuel_temperature_k: Temperature = fuel.temperature(), "Fuel temperature";
        /// Enthalpy of the fuel, formation included.
        fuel_enthalpy_j_kg: SpecificEnergy = fuel.enthalpy();
        lower_heating_value_j_kg: SpecificEnergy = fuel.lower_heating_value(), "Lower heating value",
            note "in the phase fed, at 25 degC";
        air_temperature_k: Temperature = air.temperature(), "Air temperature";
        air_water_mole_fraction: Ratio = air.air().water, "Water in the air, by mole";
        pressure_pa: AbsolutePressure = burner.pressure(), "Pressure";
        stoichiometric_air_fuel_ratio: Number = burner.stoichiometric_air_fuel_ratio(),
            "Air-fuel ratio for complete burning, by mass";
    }

    /// The flame at exit.
    Exit(flame: &Flame)
    with {
        // once soot would form, equilibrium without it is rough: a band would promise too much
        soot = flame.carbon_activity() > 1.0;
        t_k = flame.temperature.value;
        (wet, dry) = flame.carbon_monoxide_ppm();
        dew_point = flame.exhaust_dew_point();
    }
    {
        flame_temperature_k: Temperature = t_k, "Flame temperature",
            note soot.then_some("rough: soot forms, and the sums leave it out"),
            band within(t_k, if soot { 0.0 } else { TEMPERATURE_UNCERTAINTY });
        temperature_rise_k: TemperatureDifference = flame.temperature_rise(), "Rise above the air";
        equivalence_ratio: Number = flame.equivalence_ratio, "Equivalence ratio";
        air_fuel_ratio: Number = flame.air_fuel_ratio, "Air-fuel ratio, by mass";
        /// Mole fractions of the products.
        products: Shares = mole_fractions(flame);
        density_kg_m3: Density = flame.density(), "Density";
        molar_mass_kg_mol: MolarMass = flame.molar_mass, "Molar mass";
        cp_j_kg_k: SpecificHeat = flame.heat_capacity(), "Heat capacity cp", note FROZEN;
        /// Heat capacity with the composition at equilibrium.
        cp_equilibrium_j_kg_k: SpecificHeat = flame.equilibrium_heat_capacity();
        cp_mean_j_kg_k: SpecificHeat = flame.mean_heat_capacity(), "Mean cp from the air up", note FROZEN;
        gamma: Number = flame.gamma(), "Ratio cp/cv", note FROZEN;
        /// Heat lost to the walls, a kilogram of products.
        heat_lost_j_kg: SpecificEnergy = flame.heat_lost;
        exhaust_dew_point_k: Temperature = dew_point, "Dew point of the exhaust" [dash],
            note dew_point.is_none().then_some("frost forms instead");
        /// Carbon monoxide by mole of all products, in ppm.
        carbon_monoxide_ppm_wet: Number = wet;
        /// The same without the water.
        carbon_monoxide_ppm_dry: Number = dry, "Carbon monoxide, dry" => Text = ppm(dry),
            note format!("{} wet, at equilibrium", ppm(wet));
        /// Above 1 soot forms at equilibrium.
        carbon_activity: Number = flame.carbon_activity();
    }

    /// A product.
    Product(name: &str, share: f64) {
        (product): Text = if name == "AR" { "Ar" } else { name }, "product";
        (share): Ratio = share, "by mole";
    }

    /// Flows and heat of a duty.
    DutyOf(duty: &Duty) {
        air_flow_kg_s: MassRate = duty.air_flow, "Air flow";
        fuel_flow_kg_s: MassRate = duty.fuel_flow, "Fuel flow";
        fuel_heat_w: Power = duty.heat_input, "Heat of the fuel", note "lower heating value";
        heat_released_w: Power = duty.heat_released, "Heat released", note "as far as the oxygen reaches";
    }

    /// A zone of a flame.
    Zone(name: &str, share: f64, flame: &Flame) {
        (zone): Text = name, "zone";
        air_share: Ratio = share, "share of air";
        equivalence_ratio: Number = flame.equivalence_ratio, "equivalence ratio";
        flame_temperature_k: Temperature = flame.temperature, "temperature";
        /// Air over fuel, by mass.
        air_fuel_ratio: Number = flame.air_fuel_ratio;
        /// Above 1 soot forms at equilibrium.
        carbon_activity: Number = flame.carbon_activity();
        (carbon_monoxide): Ratio = flame.mole_fraction("CO"), "CO";
        /// Mole fractions of the products.
        products: Shares = mole_fractions(flame);
    }

    /// The primary zone of a burner.
    PrimaryZone(zone: Row) {
        primary: Row(Zone) = zone;
    }
}

/// What holds for figures of a flame.
const FROZEN: &str = "composition frozen";

/// Fuel and air as they enter.
pub fn feeds(report: &mut Report, burner: &Burner) {
    let row = Feed::row(burner);
    report.keys(&row);
    report.facts("Feed", row.facts());
}

/// The flame at exit.
pub fn flame(report: &mut Report, flame: &Flame) {
    let row = Exit::row(flame);
    report.keys(&row);
    report.facts("Result", row.facts());
    let shown = flame.products().into_iter().filter(|p| p.1 >= LEAST_SHOWN);
    let shown: Vec<Row> = shown.map(|(name, x)| Product::row(name, x)).collect();
    report.table("Products", table(&shown));
}

fn mole_fractions(flame: &Flame) -> Vec<(String, f64)> {
    let all = flame.products().into_iter();
    all.map(|(name, x)| (name.to_owned(), x)).collect()
}

/// Flows and heat of a duty.
pub fn duty(report: &mut Report, duty: &Duty) {
    let row = DutyOf::row(duty);
    report.keys(&row);
    report.facts("Duty", row.facts());
}

/// Primary zone and exit.
pub fn staged(report: &mut Report, staged: &Staged) {
    let primary = Zone::row("primary", staged.primary_share.value, &staged.primary);
    let exit = Zone::row("exit", 1.0, &staged.exit);
    report.table("Zones", table(&[primary.clone(), exit]));
    report.keys(&PrimaryZone::row(primary));
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
        FlameWarning::LeanerThanLowerLimit { phi, limit } => {
            ("FLM009", number(phi), format!("at least {}", number(limit)))
        }
        FlameWarning::RicherThanUpperLimit { phi, limit } => {
            ("FLM010", number(phi), format!("at most {}", number(limit)))
        }
        FlameWarning::SootAtEquilibrium { activity } => {
            ("FLM011", number(activity), "at most 1".to_owned())
        }
        FlameWarning::SootLikely { carbon_to_oxygen } => {
            ("FLM012", number(carbon_to_oxygen), "at most 0.5".to_owned())
        }
        FlameWarning::CarbonMonoxide { ppm_dry } => {
            ("FLM013", ppm(ppm_dry), "at most 1000 ppm".to_owned())
        }
        FlameWarning::BurnsAlone { share, limit } => (
            "FLM014",
            percent(share),
            format!("at least {}", percent(limit)),
        ),
    };
    Some(Finding::of(registry::find(rule)?, at, measured, limit))
}

/// What the flame rests on.
pub fn model(report: &mut Report, library: &Library, burner: &Burner) {
    report.facts(
        super::MODEL,
        vec![
            Fact::text(
                "Flame",
                format!(
                    "chemical equilibrium of {} gases at constant pressure and enthalpy",
                    Products::embedded().len()
                ),
            )
            .sourced("nasa-rp1311"),
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
