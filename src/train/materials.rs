//! Materials that touch the fuel: metals, plastics, rubbers.

use crate::train::worded::Worded;

/// A material in contact with the fuel. Names follow ISO 1629 for rubbers and ISO 1043 for plastics.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Material {
    /// Copper-zinc alloy.
    Brass,
    /// Copper-tin alloy.
    Bronze,
    /// Copper.
    Copper,
    /// Carbon steel.
    CarbonSteel,
    /// Zinc-coated steel.
    GalvanisedSteel,
    /// Stainless steel of type 304 or 316.
    StainlessSteel,
    /// Cast or ductile iron.
    CastIron,
    /// Aluminium alloy.
    Aluminium,
    /// Zinc alloy, die-cast.
    Zinc,
    /// Magnesium alloy.
    Magnesium,
    /// Lead, terne plate or lead solder.
    Lead,
    /// Soft (tin) solder.
    SoftSolder,
    /// Silver brazing alloy.
    SilverBraze,
    /// Polytetrafluoroethylene.
    Ptfe,
    /// Polyamide 12 (or 11).
    Pa12,
    /// Polyethylene.
    Pe,
    /// Polyvinyl chloride.
    Pvc,
    /// Polyoxymethylene (acetal).
    Pom,
    /// Polyether ether ketone.
    Peek,
    /// Nitrile rubber.
    Nbr,
    /// Hydrogenated nitrile rubber.
    Hnbr,
    /// Fluoroelastomer.
    Fkm,
    /// Ethylene-propylene rubber.
    Epdm,
    /// Silicone rubber.
    Vmq,
    /// Chloroprene rubber.
    Cr,
    /// Natural rubber.
    Nr,
    /// Graphite packing or gasket.
    Graphite,
    /// Compressed fibre gasket.
    Fibre,
    /// Anaerobic or paste thread sealant.
    ThreadSealant,
    /// Something else, as named by the user.
    Other(String),
}

/// Every material with a name of its own, in the order of the type.
const NAMED: [(Material, &str); 29] = [
    (Material::Brass, "brass"),
    (Material::Bronze, "bronze"),
    (Material::Copper, "copper"),
    (Material::CarbonSteel, "carbon-steel"),
    (Material::GalvanisedSteel, "galvanised-steel"),
    (Material::StainlessSteel, "stainless-steel"),
    (Material::CastIron, "cast-iron"),
    (Material::Aluminium, "aluminium"),
    (Material::Zinc, "zinc"),
    (Material::Magnesium, "magnesium"),
    (Material::Lead, "lead"),
    (Material::SoftSolder, "soft-solder"),
    (Material::SilverBraze, "silver-braze"),
    (Material::Ptfe, "ptfe"),
    (Material::Pa12, "pa12"),
    (Material::Pe, "pe"),
    (Material::Pvc, "pvc"),
    (Material::Pom, "pom"),
    (Material::Peek, "peek"),
    (Material::Nbr, "nbr"),
    (Material::Hnbr, "hnbr"),
    (Material::Fkm, "fkm"),
    (Material::Epdm, "epdm"),
    (Material::Vmq, "vmq"),
    (Material::Cr, "cr"),
    (Material::Nr, "nr"),
    (Material::Graphite, "graphite"),
    (Material::Fibre, "fibre"),
    (Material::ThreadSealant, "thread-sealant"),
];

impl Worded for Material {
    const WORDS: &'static [(Self, &'static str)] = &NAMED;
}

impl Material {
    /// The word used in files and tables.
    pub fn name(&self) -> &str {
        if let Self::Other(name) = self {
            return name;
        }
        NAMED
            .iter()
            .find(|(m, _)| m == self)
            .map_or("", |(_, name)| name)
    }
    /// From the word used in files; `None` if it is not one of [`Material::names`].
    pub fn from_name(name: &str) -> Option<Self> {
        NAMED
            .iter()
            .find(|(_, n)| *n == name)
            .map(|(m, _)| m.clone())
    }
    /// All words.
    pub fn names() -> impl Iterator<Item = &'static str> {
        NAMED.iter().map(|(_, n)| *n)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_named_material_comes_back_from_its_name() {
        for name in Material::names() {
            let m = Material::from_name(name).expect("listed");
            assert_eq!(m.name(), name);
        }
        assert_eq!(Material::Other("cork".into()).name(), "cork");
    }
}
