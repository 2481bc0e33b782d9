//! What a fuel is, for people and machines: composition, combustion, flammability, saturation.

use super::Report;
use super::record::{Row, record, table, within};
use crate::combustion::flammability::StandardLimits;
use crate::combustion::{CombustionError, Flammability, GasQuality, Stoichiometry};
use crate::eos::{Backend, EosError, Equilibrium};
use crate::fuel::{Composition, FedAs, Library, Part, Sourced};
use crate::quantity::show::{Show, Units, short};
use crate::quantity::{AvailableEnergy, ThermodynamicTemperature};

/// Molar mass of dry air, kg/mol (`iso6976`).
const M_AIR_KG_MOL: f64 = 0.028_965_46;

record! {
    /// Name, composition and molar mass.
    Identity(fuel: &Composition)
    with {
        m_kg_mol = fuel.molar_mass_kg_mol();
        cas = match fuel.parts() {
            [only] => Some(only.fuel.cas.as_str()),
            _ => None,
        };
        shares = fuel.parts().iter().map(|p| (p.fuel.name.clone(), p.mole_fraction));
    }
    {
        fuel: Text = fuel.label(), "Name used";
        (cas): Text = cas, "CAS number";
        molar_mass_kg_mol: MolarMass = m_kg_mol, "Molar mass";
        /// Mole fractions by component.
        mole_fractions: Shares = shares.collect::<Vec<_>>();
        relative_vapour_density: Number = m_kg_mol / M_AIR_KG_MOL, "Vapour density over that of air", note "ideal gases";
    }

    /// A component of a blend.
    ComponentOf(p: &Part, m_kg_mol: f64) {
        (component): Text = &p.fuel.name, "component";
        (mole): Ratio = p.mole_fraction, "by mole";
        (mass): Ratio = p.mole_fraction * p.fuel.molar_mass_kg_mol / m_kg_mol, "by mass";
    }

    /// Air needed and heat given; nothing for what does not burn.
    Burning(s: Option<&Stoichiometry>)
    with {
        lower = s.map(|s| s.lower_heating_value);
        higher = s.map(|s| s.higher_heating_value);
        phase = s.map(|s| match s.phase {
            Some(FedAs::Gas) => "fuel as gas",
            Some(FedAs::Liquid) => "fuel as liquid",
            None => "each component in the phase it is metered in",
        });
        band = |q: Option<AvailableEnergy>| {
            let uncertainty = s.map_or(0.0, |s| s.heating_value_uncertainty.value);
            within(q.map_or(f64::NAN, |q| q.value), uncertainty)
        };
    }
    {
        stoichiometric_air_fuel_ratio: Number = s.map(|s| s.air_fuel_ratio), "Air needed, by mass", note "dry air";
        (by_volume): Number = s.map(|s| s.air_fuel_ratio_by_volume), "Air needed, by volume of gas";
        (in_mixture): Ratio = s.map(|s| s.fuel_in_mixture), "Fuel in the stoichiometric mixture", note "by mole";
        lower_heating_value_j_kg: SpecificEnergy = lower, "Lower heating value", note phase, band band(lower);
        higher_heating_value_j_kg: SpecificEnergy = higher, "Higher heating value", note phase, band band(higher);
    }

    /// As a gas by ISO 6976; nothing where the standard does not give it.
    AsGas(g: Option<&GasQuality>) {
        wobbe_gross_j_m3: VolumetricEnergy = g.map(|g| g.wobbe_gross_j_m3), "Wobbe index, gross";
        wobbe_net_j_m3: VolumetricEnergy = g.map(|g| g.wobbe_net_j_m3), "Wobbe index, net";
        (gross): VolumetricEnergy = g.map(|g| g.gross_j_m3), "Heating value by volume, gross";
        (net): VolumetricEnergy = g.map(|g| g.net_j_m3), "Heating value by volume, net";
        (density): Density = g.map(|g| g.density_kg_m3), "Density";
        [relative_density_15c]: Number = g.map(|g| g.relative_density), "Density over that of air";
    }

    /// What a standard says.
    ByStandard(l: &StandardLimits) {
        source: Text = &l.source, "by standard";
        lower: Ratio = l.lower, "lower limit";
        upper: Ratio = l.upper, "upper limit";
        autoignition_k: Temperature = l.autoignition, "auto-ignition";
        flash_point_k: Temperature = l.flash_point, "flash point" [optional];
    }

    /// What else ignites it.
    Ignition(f: &Flammability)
    with {
        energy = f.minimum_ignition_energy.as_ref();
        quenching = f.quenching_distance.as_ref();
        speed = f.burning_velocity.as_ref();
        band = |v: Option<&Sourced>| v.map_or((None, None), |v| within(v.value, v.uncertainty));
    }
    {
        autoignition_k: Temperature = f.autoignition, "Auto-ignition temperature", note LOWEST;
        flash_point_k: Temperature = f.flash_point, "Flash point", note LOWEST;
        (energy): Energy = energy.map(|v| v.value), "Minimum ignition energy",
            band band(energy), source energy.map(|v| &v.source);
        (quenching): Length = quenching.map(|v| v.value), "Quenching distance",
            band band(quenching), source quenching.map(|v| &v.source);
        (speed): Velocity = speed.map(|v| v.value), "Burning velocity, largest",
            band band(speed), source speed.map(|v| &v.source);
        flammability_by_standard: Rows(ByStandard) = f.by_standard.iter().map(ByStandard::row).collect::<Vec<_>>();
    }

    /// Limits in air, by mole: those that hazards are computed with. Nothing for what has none.
    Limits(f: Option<&Flammability>)
    with {
        lower = f.map(|f| f.lower.value);
        upper = f.and_then(|f| f.upper);
    }
    {
        flammability_lower: Ratio = lower, "Lower limit used for hazards", note LOWEST, band (lower, f.map(widest));
        flammability_upper: Ratio = upper, "Upper limit", note "highest of the standards";
        ..ignition: Row(Ignition) = f.map(Ignition::row);
    }

    /// Boiling at a temperature: liquid at its bubble point, vapour at its dew point.
    Boiling(fluid: &dyn Backend, t: ThermodynamicTemperature, bubble: &Equilibrium, dew: &Equilibrium)
    with {
        parts = fluid.composition().parts();
        pure = parts.len() == 1;
        blend = |note: &'static str| (!pure).then_some(note);
        equation = parts[0].fuel.equation.as_ref().filter(|_| pure);
        within = equation.map(|e| format!("within {} %", short(100.0 * e.uncertainty_vapour_pressure)));
        first = bubble.vapour.density_kg_m3;
        vapour = parts.iter().zip(bubble.vapour.mole_fractions.iter());
    }
    {
        /// Temperature.
        temperature_k: Temperature = t;
        bubble_pressure_pa: AbsolutePressure = bubble.pressure_pa, "Bubble pressure"
            => AbsolutePressure = (!pure).then_some(bubble.pressure_pa), note "a full tank begins here";
        dew_pressure_pa: AbsolutePressure = dew.pressure_pa, "Dew pressure"
            => AbsolutePressure = (!pure).then_some(dew.pressure_pa), note "vapour condenses above it";
        (vapour_pressure): AbsolutePressure = pure.then_some(bubble.pressure_pa), "Vapour pressure",
            note within, source equation.map(|e| &e.source);
        liquid_density_kg_m3: Density = bubble.liquid.density_kg_m3, "Density of the liquid";
        vapour_density_kg_m3: Density = dew.vapour.density_kg_m3, "Density of the vapour",
            note blend("of the blend's own composition, at the dew pressure");
        first_vapour_density_kg_m3: Density = first, "Density of the first vapour"
            => Density = (!pure).then_some(first), note "at the bubble pressure, as a full tank gives it";
        latent_heat_j_kg: SpecificEnergy = dew.vapour.enthalpy_j_kg - bubble.liquid.enthalpy_j_kg,
            "Heat of vaporization", note blend("all of the liquid made vapour of its own composition");
        /// First vapour, by mole.
        vapour_composition: Shares = vapour.map(|(p, &y)| (p.fuel.name.clone(), y)).collect::<Vec<_>>();
    }

    /// A component in both phases.
    InPhases(p: &Part, y: f64) {
        (component): Text = &p.fuel.name, "component";
        (liquid): Ratio = p.mole_fraction, "in the liquid";
        (vapour): Ratio = y, "in the first vapour";
    }

    /// Boiling; null where there is none.
    Saturation(boiling: Option<Row>) {
        saturation: Row(Boiling) = boiling;
    }
}

/// What the cautious figure of several standards is.
const LOWEST: &str = "lowest of the standards";

/// Highest of the lower limits.
fn widest(f: &Flammability) -> f64 {
    let stated = f.by_standard.iter().filter_map(|l| Some(l.lower?.value));
    stated.fold(f.lower.value, f64::max)
}

/// Name, composition and molar mass.
pub fn identity(report: &mut Report, library: &Library, fuel: &Composition) {
    let row = Identity::row(fuel);
    report.keys(&row);
    report.facts("Identity", row.facts());
    if fuel.parts().len() > 1 {
        let m_kg_mol = fuel.molar_mass_kg_mol();
        let rows = fuel.parts().iter().map(|p| ComponentOf::row(p, m_kg_mol));
        report.table("Identity", table(&rows.collect::<Vec<_>>()));
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
    let stoichiometry = Stoichiometry::of(fuel);
    let row = Burning::row(stoichiometry.as_ref().ok());
    report.keys(&row);
    report.facts("Combustion", row.facts());
    let s = match &stoichiometry {
        Ok(s) => s,
        Err(e) => {
            report.paragraph("Combustion", e.to_string());
            return;
        }
    };
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
    let quality = GasQuality::of(fuel);
    let row = AsGas::row(quality.as_ref().ok());
    report.keys(&row);
    report.facts(HEADING, row.facts());
    match quality {
        Ok(_) => report.cite(library, "iso6976"),
        Err(CombustionError::DoesNotBurn { .. }) => {}
        Err(e) => report.paragraph(HEADING, e.to_string()),
    }
}

/// Limits by standard, and what hazards are computed with.
pub fn flammability(report: &mut Report, library: &Library, fuel: &Composition) {
    let flammability = Flammability::of(fuel);
    let row = Limits::row(flammability.as_ref().ok());
    report.keys(&row);
    report.facts("Flammability in air", row.facts());
    let f = match &flammability {
        Ok(f) => f,
        Err(CombustionError::DoesNotBurn { .. }) => return,
        Err(e) => {
            report.paragraph("Flammability in air", e.to_string());
            return;
        }
    };
    report.table(
        "Flammability in air",
        table(row.rows("flammability_by_standard")),
    );
    if let Some(own) = &f.own_air {
        report.paragraph(
            "Flammability in air",
            format!("It brings its own air: {}.", own.told()),
        );
    }
    if fuel.parts().len() > 1 {
        report.assume("limits of the blend by Le Chatelier's rule, which is poor for upper limits");
        report.cite(library, "le-chatelier");
    }
    let spread = widest(f) / f.lower.value - 1.0;
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
    let row = Boiling::row(fluid, t, &bubble, &dew);
    report.facts(&heading, row.facts());
    let parts = fluid.composition().parts();
    if parts.len() > 1 {
        let both = parts.iter().zip(bubble.vapour.mole_fractions.iter());
        let rows = both.map(|(p, &y)| InPhases::row(p, y));
        report.table(&heading, table(&rows.collect::<Vec<_>>()));
    }
    report.keys(&Saturation::row(Some(row)));
    Ok(())
}

/// Says that there is no saturation, and why.
pub fn no_saturation(report: &mut Report, heading: &str, why: &str) {
    report.keys(&Saturation::row(None));
    report.paragraph(heading, why);
}
