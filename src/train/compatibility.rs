//! Which materials a fuel leaves alone: metals, plastics, rubbers against what flows.
//!
//! The table is from memory of common lists (`materials-memory`): a compound of the same name may behave
//! otherwise, so every answer is to be confirmed with the part's maker.

use super::Material;
use crate::fuel::{Composition, FedAs, Fuel};

/// Source of the table.
pub const SOURCE: &str = "materials-memory";

/// Families of fuels that act alike on materials.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Chemistry {
    /// Methane and other gases that stay gas: natural gas, ethane, carbon monoxide.
    NaturalGas,
    /// Propane, butanes, propylene.
    PetroleumGas,
    /// Liquid hydrocarbons: gasoline, kerosene, diesel, alkanes.
    PetroleumLiquid,
    /// Ethanol and higher alcohols.
    Alcohol,
    /// Methanol.
    Methanol,
    /// Dimethyl ether.
    Ether,
    /// Hydrogen.
    Hydrogen,
    /// What does not burn: nitrogen, carbon dioxide, water and the like.
    Inert,
}

impl Chemistry {
    /// Family of a fuel, from its formula.
    pub fn of(fuel: &Fuel) -> Self {
        let f = fuel.formula;
        if f.oxygen() <= 0.0 {
            return Self::Inert;
        }
        if f.c <= 0.0 {
            return Self::Hydrogen;
        }
        match (f.o > 0.0, fuel.fed_as) {
            (true, FedAs::Gas) if f.h <= 0.0 => Self::NaturalGas,
            (true, FedAs::Gas) => Self::Ether,
            (true, FedAs::Liquid) if f.c < 1.5 => Self::Methanol,
            (true, FedAs::Liquid) => Self::Alcohol,
            (false, _) if f.c < 2.5 => Self::NaturalGas,
            (false, FedAs::Gas) if f.c < 4.5 => Self::PetroleumGas,
            (false, _) => Self::PetroleumLiquid,
        }
    }

    /// Families in a blend, without repetition.
    pub fn all(composition: &Composition) -> Vec<Self> {
        let mut found: Vec<Self> = composition
            .parts()
            .iter()
            .map(|p| Self::of(&p.fuel))
            .collect();
        found.sort_unstable();
        found.dedup();
        found
    }
}

/// How a material stands a fuel.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Compatibility {
    /// Commonly used.
    Usual,
    /// Not in the table.
    NotKnown,
    /// Used with reservations.
    Limited,
    /// Commonly advised against.
    Avoid,
}

impl Compatibility {
    /// Word for tables.
    pub fn name(self) -> &'static str {
        match self {
            Self::Usual => "usual",
            Self::NotKnown => "not known",
            Self::Limited => "with reservations",
            Self::Avoid => "avoid",
        }
    }
}

/// How a material stands a family of fuels, and why where it does not do so freely.
///
/// **Valid:** near room temperature; common compounds. **Source:** `materials-memory`.
///
/// ```
/// use fuelwright::train::Material;
/// use fuelwright::train::compatibility::{Chemistry, Compatibility, compatibility};
/// let (verdict, why) = compatibility(&Material::Fkm, Chemistry::Methanol);
/// assert_eq!(verdict, Compatibility::Avoid);
/// assert!(why.contains("methanol"));
/// ```
pub fn compatibility(material: &Material, chemistry: Chemistry) -> (Compatibility, &'static str) {
    use Chemistry as C;
    use Compatibility::{Avoid, Limited, NotKnown, Usual};
    use Material as M;
    const FREE: (Compatibility, &str) = (Usual, "");
    if chemistry == C::Inert {
        return FREE;
    }
    match (material, chemistry) {
        (M::Other(_) | M::ThreadSealant, _) => (NotKnown, "ask its maker for this fuel"),
        (M::SoftSolder, _) => (Avoid, "soft solder melts in a fire"),
        (M::CarbonSteel | M::CastIron, C::Alcohol | C::Methanol) => {
            (Limited, "wet alcohol rusts it")
        }
        (M::CarbonSteel | M::CastIron, C::Hydrogen) => (
            Limited,
            "hydrogen embrittles hard steel and seeps through castings",
        ),
        (M::Brass | M::Bronze | M::Copper, C::PetroleumLiquid) => (
            Limited,
            "copper makes stored fuel gum: keep it out of the tank and of standing fuel",
        ),
        (M::Brass | M::Bronze | M::Copper, C::Alcohol | C::Methanol) => {
            (Limited, "wet alcohol attacks it slowly")
        }
        (M::GalvanisedSteel | M::Zinc, C::PetroleumLiquid) => {
            (Avoid, "zinc makes soaps and gum that block filters")
        }
        (M::GalvanisedSteel | M::Zinc | M::Magnesium, C::Alcohol | C::Methanol) => {
            (Avoid, "alcohol corrodes it")
        }
        (M::Aluminium, C::Methanol) => (Avoid, "methanol corrodes bare aluminium"),
        (M::Aluminium, C::Alcohol) => (Limited, "dry hot or wet alcohol corrodes bare aluminium"),
        (M::Magnesium, _) => (Limited, "corrodes where water gathers"),
        (M::Lead, C::PetroleumLiquid | C::Alcohol | C::Methanol) => {
            (Avoid, "lead dissolves and fouls the fuel")
        }
        (M::Lead, _) => (Limited, "creeps and melts in a fire"),
        (M::Pe, C::PetroleumLiquid | C::PetroleumGas) => {
            (Limited, "swells, and the fuel seeps through")
        }
        (M::Pvc, C::NaturalGas | C::Hydrogen) => (Limited, "brittle in the cold, burns"),
        (M::Pvc, _) => (Avoid, "its softener is washed out"),
        (M::Nbr | M::Hnbr | M::Fkm, C::Ether) => (Avoid, "dimethyl ether swells it"),
        (M::Nbr | M::Hnbr | M::Pa12 | M::Pom, C::Alcohol | C::Methanol) => {
            (Limited, "swells in alcohol")
        }
        (M::Fkm, C::Methanol) => (Avoid, "usual grades swell in methanol"),
        (M::Fkm, C::PetroleumGas) => (Limited, "stiff below -20 degC, where flashing gas takes it"),
        (M::Epdm, C::NaturalGas | C::PetroleumGas | C::PetroleumLiquid) => {
            (Avoid, "swells in hydrocarbons")
        }
        (M::Vmq | M::Nr, C::NaturalGas | C::PetroleumGas | C::PetroleumLiquid | C::Ether) => {
            (Avoid, "swells, and the fuel seeps through")
        }
        (M::Vmq | M::Nr | M::Cr, C::Alcohol | C::Methanol) => (Limited, "some compounds harden"),
        (M::Cr, C::PetroleumLiquid | C::Ether) => (Avoid, "swells"),
        (M::Cr, C::PetroleumGas) => (Limited, "swells a little"),
        (M::Epdm, C::Ether) => (Limited, "some compounds swell"),
        (M::Fibre, C::Alcohol | C::Methanol) => (Limited, "its binder may soften"),
        _ => FREE,
    }
}

/// The worst answer of a material over all families of a blend.
pub fn against(material: &Material, chemistries: &[Chemistry]) -> (Compatibility, &'static str) {
    chemistries
        .iter()
        .map(|c| compatibility(material, *c))
        .max_by_key(|(verdict, _)| *verdict)
        .unwrap_or((Compatibility::NotKnown, "no fuel"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fuel::Library;

    fn chemistry(fuel: &str) -> Vec<Chemistry> {
        let library = Library::embedded();
        Chemistry::all(&Composition::parse(fuel, &library).expect("a fuel"))
    }

    #[test]
    fn fuels_fall_into_their_families() {
        for (fuel, want) in [
            ("methane", Chemistry::NaturalGas),
            ("propane", Chemistry::PetroleumGas),
            ("n-pentane", Chemistry::PetroleumLiquid),
            ("kerosene", Chemistry::PetroleumLiquid),
            ("ethanol", Chemistry::Alcohol),
            ("isopropanol", Chemistry::Alcohol),
            ("methanol", Chemistry::Methanol),
            ("dimethyl-ether", Chemistry::Ether),
            ("hydrogen", Chemistry::Hydrogen),
            ("nitrogen", Chemistry::Inert),
        ] {
            assert_eq!(chemistry(fuel), [want], "{fuel}");
        }
        let blend = chemistry("propane:70,n-butane:30");
        assert_eq!(blend, [Chemistry::PetroleumGas]);
    }

    // From memory of common lists, no source at hand: the rows of the project's source list.
    #[test]
    fn rubbers_stand_what_common_lists_say() {
        use Compatibility::{Avoid, Limited, Usual};
        let rows = [
            (Material::Nbr, [Usual, Usual, Limited, Limited]),
            (Material::Hnbr, [Usual, Usual, Limited, Limited]),
            (Material::Fkm, [Limited, Usual, Usual, Avoid]),
            (Material::Epdm, [Avoid, Avoid, Usual, Usual]),
            (Material::Vmq, [Avoid, Avoid, Limited, Limited]),
            (Material::Ptfe, [Usual, Usual, Usual, Usual]),
        ];
        let families = [
            Chemistry::PetroleumGas,
            Chemistry::PetroleumLiquid,
            Chemistry::Alcohol,
            Chemistry::Methanol,
        ];
        for (material, want) in rows {
            assert_eq!(families.map(|c| compatibility(&material, c).0), want);
        }
    }

    #[test]
    fn a_reservation_has_a_reason() {
        for name in Material::names() {
            let material = Material::from_name(name).expect("listed");
            for c in [
                Chemistry::NaturalGas,
                Chemistry::PetroleumGas,
                Chemistry::PetroleumLiquid,
                Chemistry::Alcohol,
                Chemistry::Methanol,
                Chemistry::Ether,
                Chemistry::Hydrogen,
            ] {
                let (verdict, why) = compatibility(&material, c);
                assert_eq!(verdict == Compatibility::Usual, why.is_empty(), "{name}");
            }
        }
    }
}
