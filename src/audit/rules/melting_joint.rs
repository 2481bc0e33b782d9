//! A joint or tube that a small fire opens.

use super::{solved, train_parts};
use crate::audit::rule::rule;
use crate::audit::{Limit, Solution, Verdict};
use crate::train::Material;

rule! {
    /// ## Finding
    /// {It} holds the fuel with {measured}: a small fire opens it and gets the whole tank.
    /// ## What it checks
    /// Whether any part holds the fuel with soft solder, lead, zinc die-casting or plastic.
    /// ## Why it matters
    /// Soft solder lets go below 190 degC, most plastics below 130 degC: a small fire at the rig then gets the whole
    /// tank.
    /// ## What to do
    /// Use brazed, compression or flared joints and metal tube near the fire. Use plastics only as seats and seals.
    "MAT003", "melts-in-a-fire", Materials, [Warning],
    Choice("common practice of the trade; soft solder melts below 190 degC")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(parts) = train_parts(s, v) else {
        return;
    };
    for part in parts {
        let line = part.kind.line().is_some();
        for material in &part.wetted {
            let melts = match material {
                Material::SoftSolder | Material::Lead => true,
                Material::Pe | Material::Pvc | Material::Pa12 => {
                    line && !part.wetted.iter().any(is_metal)
                }
                _ => false,
            };
            if melts {
                v.find(
                    solved::part_path(&part.name),
                    material.name(),
                    Limit::Should("metal, brazed or with mechanical joints"),
                );
            }
        }
    }
}

fn is_metal(material: &Material) -> bool {
    matches!(
        material,
        Material::Brass
            | Material::Bronze
            | Material::Copper
            | Material::CarbonSteel
            | Material::GalvanisedSteel
            | Material::StainlessSteel
            | Material::CastIron
            | Material::Aluminium
    )
}
