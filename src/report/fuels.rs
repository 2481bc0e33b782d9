//! The names that fuels can be called by, and what stands behind them.

use super::Report;
use super::record::{record, table, table_of};
use crate::fuel::{Blend, FedAs, Fuel, Kind, Library};
use std::sync::Arc;

record! {
    /// A fuel of the library.
    FuelOf(fuel: &Fuel)
    with {
        fed_as = match fuel.fed_as {
            FedAs::Gas => "gas",
            FedAs::Liquid => "liquid",
        };
        properties = match fuel.kind {
            Kind::Equation => "equation of state",
            Kind::Correlation => "correlations",
        };
    }
    {
        name: Text = &fuel.name, "name";
        synonyms: Texts = &fuel.synonyms, "also called" [optional] => Text = fuel.synonyms.join(", ");
        molar_mass_kg_mol: MolarMass = fuel.molar_mass_kg_mol, "molar mass" [optional];
        fed_as: Text = fed_as, "fed as";
        properties: Text = properties, "properties" [optional];
    }

    /// A blend that has a name.
    BlendOf(blend: &Blend)
    with {
        parts = blend.parts.iter().map(|s| format!("{}:{}", s.fuel, s.percent));
        parts = parts.collect::<Vec<_>>();
        suffix = blend.basis.suffix();
    }
    {
        name: Text = &blend.name, "name";
        /// What it is also called.
        synonyms: Texts = &blend.synonyms;
        composition: Text = parts.join(",") + suffix, "mole percent, or as said" => Text = parts.join(", ") + suffix;
        (also_called): Text = blend.synonyms.join(", "), "also called" [optional];
        /// Where its composition is from.
        note: Text = &blend.note;
    }

    /// The fuels of the library.
    Fuels(fuels: &[Arc<Fuel>], library: &Library) {
        fuels: Rows(FuelOf) = fuels.iter().map(|f| FuelOf::row(f)).collect::<Vec<_>>();
        blends: Rows(BlendOf) = library.blends().map(BlendOf::row).collect::<Vec<_>>();
    }
}

/// Adds fuels and blends.
pub fn fuels(report: &mut Report, fuels: &[Arc<Fuel>], library: &Library) {
    let row = Fuels::row(fuels, library);
    let columns = [
        "name",
        "molar_mass_kg_mol",
        "fed_as",
        "properties",
        "synonyms",
    ];
    report.table("Fuels", table_of(row.rows("fuels"), &columns));
    report.table("Named blends", table(row.rows("blends")));
    report.keys(&row);
}
