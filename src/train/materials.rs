//! Materials that touch the fuel: metals, plastics, rubbers.

use crate::train::worded::Worded;

/// Declares the materials that have a name of their own.
macro_rules! materials {
    ($($(#[doc = $doc:literal])+ $variant:ident = $word:literal,)+) => {
        /// A material in contact with the fuel. Names follow ISO 1629 for rubbers and ISO 1043 for plastics.
        #[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub enum Material {
            $($(#[doc = $doc])+
            $variant,)+
            /// Something else, as named by the user.
            Other(String),
        }

        impl Worded for Material {
            const WORDS: &'static [(Self, &'static str)] = &[$((Self::$variant, $word)),+];
            const MEANINGS: &'static [(Self, &'static str)] =
                &[$((Self::$variant, concat!($($doc),+).trim_ascii())),+];
        }
    };
}

materials! {
    /// Copper-zinc alloy.
    Brass = "brass",
    /// Copper-tin alloy.
    Bronze = "bronze",
    /// Copper.
    Copper = "copper",
    /// Carbon steel.
    CarbonSteel = "carbon-steel",
    /// Zinc-coated steel.
    GalvanisedSteel = "galvanised-steel",
    /// Stainless steel of type 304 or 316.
    StainlessSteel = "stainless-steel",
    /// Cast or ductile iron.
    CastIron = "cast-iron",
    /// Aluminium alloy.
    Aluminium = "aluminium",
    /// Zinc alloy, die-cast.
    Zinc = "zinc",
    /// Magnesium alloy.
    Magnesium = "magnesium",
    /// Lead, terne plate or lead solder.
    Lead = "lead",
    /// Soft (tin) solder.
    SoftSolder = "soft-solder",
    /// Silver brazing alloy.
    SilverBraze = "silver-braze",
    /// Polytetrafluoroethylene.
    Ptfe = "ptfe",
    /// Polyamide 12 (or 11).
    Pa12 = "pa12",
    /// Polyethylene.
    Pe = "pe",
    /// Polyvinyl chloride.
    Pvc = "pvc",
    /// Polyoxymethylene (acetal).
    Pom = "pom",
    /// Polyether ether ketone.
    Peek = "peek",
    /// Nitrile rubber.
    Nbr = "nbr",
    /// Hydrogenated nitrile rubber.
    Hnbr = "hnbr",
    /// Fluoroelastomer.
    Fkm = "fkm",
    /// Ethylene-propylene rubber.
    Epdm = "epdm",
    /// Silicone rubber.
    Vmq = "vmq",
    /// Chloroprene rubber.
    Cr = "cr",
    /// Natural rubber.
    Nr = "nr",
    /// Graphite packing or gasket.
    Graphite = "graphite",
    /// Compressed fibre gasket.
    Fibre = "fibre",
    /// Anaerobic or paste thread sealant.
    ThreadSealant = "thread-sealant",
}

impl Material {
    /// The word used in files and tables.
    pub fn name(&self) -> &str {
        if let Self::Other(name) = self {
            return name;
        }
        Self::WORDS
            .iter()
            .find(|(m, _)| m == self)
            .map_or("", |(_, name)| name)
    }
    /// From the word used in files; `None` if it is not one of [`Material::names`].
    pub fn from_name(name: &str) -> Option<Self> {
        Self::WORDS
            .iter()
            .find(|(_, n)| *n == name)
            .map(|(m, _)| m.clone())
    }
    /// All words.
    pub fn names() -> impl Iterator<Item = &'static str> {
        Self::WORDS.iter().map(|(_, n)| *n)
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
