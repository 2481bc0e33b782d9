//! A spray for people and machines: nozzle, drop size, life of the drops.

use super::Report;
use super::record::{record, table};
use crate::convert::evaporation::CONSTANT_BAND;
use crate::convert::liquid::LiquidAt;
use crate::convert::nozzle::NozzleKind;
use crate::flow::atomize::{DropSize, DropSizes};
use crate::injector::drills::drills_around;
use crate::quantity::{AbsolutePressure, Length, MassRate, Ratio, ThermodynamicTemperature, Time};

/// Life of drops in hot gas.
#[derive(Debug, Clone, PartialEq)]
pub struct Life {
    /// The gas.
    pub gas: ThermodynamicTemperature,
    /// Where the fuel begins to boil.
    pub boiling: ThermodynamicTemperature,
    /// Fuel that stands in for boiling.
    pub surrogate: Option<String>,
    /// Transfer number.
    pub transfer_number: Ratio,
    /// Constant of the d-squared law, m²/s.
    pub k_m2_s: f64,
    /// Of a drop of the mean size.
    pub mean: Time,
    /// Of the smallest mean of the correlations.
    pub shortest: Time,
    /// Of their largest.
    pub longest: Time,
    /// Of a drop that a tenth of the fuel exceeds.
    pub large: Time,
    /// Time in the gas.
    pub residence: Option<Time>,
    /// Share of the fuel still liquid then.
    pub left: Option<Ratio>,
}

/// A nozzle with its spray.
#[derive(Debug, Clone, Copy)]
pub struct Told<'a> {
    /// Kind.
    pub kind: NozzleKind,
    /// Whether fast air breaks it up.
    pub airblast: bool,
    /// The liquid.
    pub liquid: &'a LiquidAt,
    /// Exit hole.
    pub exit: Length,
    /// Flow of all.
    pub flow: MassRate,
    /// How many.
    pub number: u32,
    /// Pressure before.
    pub upstream: AbsolutePressure,
    /// Pressure behind.
    pub chamber: AbsolutePressure,
    /// Discharge coefficient: value, least, most.
    pub coefficient: (f64, f64, f64),
    /// Drops.
    pub drops: &'a DropSizes,
    /// Size that a tenth of the fuel exceeds.
    pub large: Length,
    /// Life of the drops, if a gas is given.
    pub life: Option<&'a Life>,
    /// Flag that was left out.
    pub found: &'static str,
    /// Air.
    pub air: AbsolutePressure,
}

record! {
    /// A drop size by one correlation.
    ByCorrelation(d: &DropSize) {
        correlation: Text = d.correlation, "correlation";
        mean_drop_m: Length = d.mean, "mean";
        mean_drop_low_m: Length = d.low, "low";
        mean_drop_high_m: Length = d.high, "high";
        source: Text = d.source_key, "source" [optional];
    }

    /// Life of the drops.
    LifeOf(l: &Life)
    with { k = l.k_m2_s * 1e6; }
    {
        gas_temperature_k: Temperature = l.gas, "Hot gas";
        boiling_temperature_k: Temperature = l.boiling, "Boils from",
            note l.surrogate.as_ref().map(|s| format!("as {s}"));
        transfer_number: Number = l.transfer_number.value, "Transfer number";
        /// Constant of the d-squared law.
        evaporation_constant_m2_s: Number = l.k_m2_s, "Evaporation constant, mm2/s" => Number = k, source "turns";
        mean_life_s: Time = l.mean, "Life of a mean drop",
            band (l.shortest.value / (1.0 + CONSTANT_BAND), l.longest.value / (1.0 - CONSTANT_BAND));
        large_life_s: Time = l.large, "Life of a large drop", note "which a tenth of the fuel exceeds";
        residence_s: Time = l.residence, "Time in the gas";
        liquid_left: Ratio = l.left, "Fuel still liquid then";
    }

    /// A nozzle and its spray.
    SprayOf(s: &Told<'_>)
    with {
        found = |name: &str| if name == s.found { Some("found") } else { None };
        kind = if s.airblast { "plain hole in fast air" } else { s.kind.name() };
        drop_pa = s.upstream.pascals() - s.chamber.pascals();
        near = drills_around(s.exit, 1).into_iter().min_by(|a, b| {
            let off = |d: Length| (d.value / s.exit.value - 1.0).abs();
            off(a.diameter).total_cmp(&off(b.diameter))
        }).filter(|_| s.found == "diameter");
        each = s.flow / f64::from(s.number);
    }
    {
        /// What was asked for: `upstream`, `diameter` or `flow`.
        found: Text = s.found;
        mean_drop_m: Length = s.drops.mean, "Mean drop (Sauter)", band (s.drops.low, s.drops.high);
        /// Smallest that the correlations give.
        mean_drop_low_m: Length = s.drops.low;
        /// Largest that they give.
        mean_drop_high_m: Length = s.drops.high;
        large_drop_m: Length = s.large, "Large drop", note "a tenth of the fuel is in larger ones";
        nozzle: Text = kind, "Nozzle";
        nozzles: Count = s.number, "Number";
        exit_diameter_m: Length = s.exit, "Exit hole", note found("diameter");
        (drill): Text = near.map(|d| &d.name), "Nearest drill";
        mass_flow_kg_s: MassRate = s.flow, "Fuel flow", note found("flow");
        mass_flow_each_kg_s: MassRate = each, "Flow of each" => MassRate = (s.number > 1).then_some(each);
        upstream_pressure_pa: AbsolutePressure = s.upstream, "Pressure before it"
            => GaugePressure = s.upstream.gauge(s.air), note found("upstream");
        pressure_drop_pa: PressureDifference = drop_pa, "Pressure drop";
        chamber_pressure_pa: AbsolutePressure = s.chamber, "Sprays into" => GaugePressure = s.chamber.gauge(s.air);
        discharge_coefficient: Number = s.coefficient.0, "Discharge coefficient", band (s.coefficient.1, s.coefficient.2);
        temperature_k: Temperature = s.liquid.temperature, "Temperature of the liquid";
        density_kg_m3: Density = s.liquid.density, "Density";
        viscosity_pa_s: DynamicViscosity = s.liquid.viscosity, "Viscosity";
        surface_tension_n_m: SurfaceTension = s.liquid.surface_tension, "Surface tension";
        ..life: Row(LifeOf) = s.life.map(LifeOf::row);
        /// Each correlation.
        correlations: Rows(ByCorrelation) = s.drops.each.iter().map(ByCorrelation::row).collect::<Vec<_>>();
    }
}

/// Adds a nozzle and its spray.
pub fn spray(report: &mut Report, told: &Told<'_>) {
    let row = SprayOf::row(told);
    report.keys(&row);
    let result = [
        "mean_drop_m",
        "large_drop_m",
        "nozzle",
        "nozzles",
        "exit_diameter_m",
        "drill",
        "mass_flow_kg_s",
        "mass_flow_each_kg_s",
        "upstream_pressure_pa",
        "pressure_drop_pa",
    ];
    report.facts("Result", row.facts_of(&result));
    let life = [
        "gas_temperature_k",
        "mean_life_s",
        "large_life_s",
        "residence_s",
        "liquid_left",
        "boiling_temperature_k",
        "transfer_number",
        "evaporation_constant_m2_s",
    ];
    report.facts("Life of the drops", row.facts_of(&life));
    report.table("Drop size by correlation", table(row.rows("correlations")));
    let rests_on = [
        "chamber_pressure_pa",
        "discharge_coefficient",
        "temperature_k",
        "density_kg_m3",
        "viscosity_pa_s",
        "surface_tension_n_m",
    ];
    report.facts("Nozzle and liquid", row.facts_of(&rests_on));
}
