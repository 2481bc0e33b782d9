//! A material that the fuel attacks or swells.

use super::{solved, train_parts};
use crate::audit::rule::rule;
use crate::audit::{Limit, Signal, Solution, Verdict};
use crate::train::Material;

rule! {
    /// ## Finding
    /// {It} has {measured}, which the fuel attacks.
    /// ## What it checks
    /// Everything the fuel touches in each part, against a short table of what hydrocarbons, alcohols
    /// and dimethyl ether do to metals, plastics and rubbers.
    /// ## Why it matters
    /// Rubber that swells blocks a valve or falls apart; a metal that corrodes leaks from inside.
    /// Neither shows until it fails.
    /// ## What to do
    /// Ask the part's maker for the exact compound, or change the part.
    "MAT001", "material-against-fuel", Materials, [Warning, Caution],
    Choice("handbook knowledge from memory; the maker of the part decides")
}

fn check(s: &Solution<'_>, v: &mut Verdict) {
    let Some(parts) = train_parts(s, v) else {
        return;
    };
    let mut unknown = Vec::new();
    for part in parts {
        if part.wetted.is_empty() {
            unknown.push(part.name.as_str());
        }
        for material in &part.wetted {
            if matches!(material, Material::Other(_)) {
                v.not_checked(format!(
                    "{} in {} is not in the table of materials",
                    material.name(),
                    part.name
                ));
            }
            for component in s.rig.fuel.composition.parts() {
                let Some((suits, why)) = against(material, &component.fuel.name) else {
                    continue;
                };
                v.signal(if suits == Suits::Not {
                    Signal::Warning
                } else {
                    Signal::Caution
                })
                .says(format!("{{It}} has {{measured}}: {why}."))
                .find(
                    solved::part_path(&part.name),
                    format!("{} in {}", material.name(), component.fuel.name),
                    Limit::Should("a material that stands the fuel"),
                );
                break;
            }
        }
    }
    if !unknown.is_empty() {
        v.not_checked(format!(
            "the rig file does not give the materials of {}",
            unknown.join(", ")
        ));
    }
}

/// How badly a material suits a fuel.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Suits {
    /// For a time, or in some grades.
    Hardly,
    /// Not at all.
    Not,
}

/// What a fuel does to a material; `None` where nothing is known against it.
fn against(material: &Material, fuel: &str) -> Option<(Suits, &'static str)> {
    use Material as M;
    use Suits::{Hardly, Not};
    let alcohol = matches!(fuel, "methanol" | "ethanol" | "isopropanol");
    let inert = matches!(fuel, "nitrogen" | "hydrogen");
    let ether = fuel == "dimethyl-ether";
    let hydrocarbon = !(alcohol || inert || ether);
    match material {
        M::Nr if !inert => Some((Not, "natural rubber swells and falls apart")),
        M::Epdm if hydrocarbon => Some((Not, "ethylene-propylene rubber swells in hydrocarbons")),
        M::Vmq if hydrocarbon => Some((
            Not,
            "silicone rubber swells in hydrocarbons and lets gas through",
        )),
        M::Cr if hydrocarbon => Some((Hardly, "chloroprene rubber swells with time")),
        M::Nbr | M::Hnbr if ether => Some((Not, "nitrile rubber swells in dimethyl ether")),
        M::Fkm if ether => Some((Not, "fluoroelastomer swells in dimethyl ether")),
        M::Nbr if alcohol => Some((Hardly, "nitrile rubber swells in alcohols")),
        M::Fkm if fuel == "methanol" => {
            Some((Not, "common grades of fluoroelastomer swell in methanol"))
        }
        M::Magnesium | M::Zinc | M::Lead if alcohol => {
            Some((Not, "alcohol, with the water it takes up, corrodes it"))
        }
        M::GalvanisedSteel if alcohol => Some((Not, "alcohol takes the zinc off")),
        M::Aluminium if alcohol => Some((
            Hardly,
            "bare aluminium corrodes in alcohol that holds water",
        )),
        M::Copper if matches!(fuel, "kerosene" | "diesel") => {
            Some((Hardly, "copper makes stored fuel gum"))
        }
        M::Zinc | M::GalvanisedSteel if matches!(fuel, "kerosene" | "diesel" | "gasoline") => {
            Some((Hardly, "zinc goes into stored fuel"))
        }
        M::CastIron if fuel == "hydrogen" => Some((Not, "hydrogen passes and embrittles it")),
        M::Pvc if !inert => Some((Not, "fuel takes the softener out of it, and it cracks")),
        M::Pe if hydrocarbon => Some((
            Hardly,
            "hydrocarbons swell polyethylene and pass through it",
        )),
        _ => None,
    }
}
