//! What the parameters of a binary pair give: the equimolar blend as gas and at its bubble point.

use super::{Asked, Findings, at};
use crate::eos::Backend;
use crate::eos::embedded::Embedded;
use crate::eos::mixture::Model;
use crate::fuel::{Composition, Library, Mistake, OwnPair, Part, Problem};
use crate::quantity::show::short;

/// Most that the equimolar bubble pressure may be off Raoult's law, as a factor: alcohols with hydrocarbons, which
/// boil together, are 2.6 off.
const RAOULT: f64 = 4.0;

/// What is wrong with a pair; nothing for one of which a fuel has no equation, which is told when it is blended.
pub(super) fn mistakes(library: &Library, pair: &OwnPair) -> Vec<Mistake> {
    let mut f = Findings::default();
    let asked = Asked {
        key: "",
        unit: "Pa",
        look_at: "look at its parameters, the departure function and the weight of that",
    };
    let parts: Vec<Part> = pair
        .fuels
        .iter()
        .filter_map(|name| {
            let fuel = library.fuel(name).ok()?;
            let mole_fraction = 0.5;
            Some(Part {
                fuel,
                mole_fraction,
            })
        })
        .collect();
    let equations: Vec<_> = parts
        .iter()
        .filter_map(|p| p.fuel.equation.as_ref())
        .collect();
    let [a, b] = equations[..] else {
        let problem = Problem::GivesNone {
            what: "mixture".to_owned(),
            look_at: "both fuels must have an equation of state".to_owned(),
        };
        return vec![Mistake::new(pair.key.clone(), problem)];
    };
    let label = format!("{}:50,{}:50", pair.fuels[0], pair.fuels[1]);
    let composition = Composition::from_parts(parts.clone(), &label);
    let Ok(blend) = Embedded::new(library, &composition) else {
        return f.0;
    };
    // a gas near one atmosphere is nearly ideal
    let t_k = 1.1 * a.t_critical_k.max(b.t_critical_k);
    let p_pa = 1e5;
    if t_k < a.t_max_k.min(b.t_max_k) {
        let z = blend
            .state_pt(p_pa, t_k)
            .map_or(f64::NAN, |s| s.compressibility(blend.molar_mass_kg_mol()));
        let what = format!(
            "a compressibility factor of the equimolar blend at 1 bar {}",
            at(t_k)
        );
        let asked = Asked { unit: "", ..asked };
        f.need(
            (0.8..=1.05).contains(&z),
            asked,
            what,
            z,
            "from 0.8 to 1.05",
        );
    }
    // bubble point of the equimolar blend
    let t_k = 0.65 * a.t_critical_k.max(b.t_critical_k);
    let inside = |e: &crate::fuel::Equation| e.t_triple_k < t_k && t_k < 0.98 * e.t_critical_k;
    if f.0.is_empty() && inside(a) && inside(b) {
        let alone = |part: &Part| {
            let pure = Composition::pure(&part.fuel);
            let fluid = Embedded::new(library, &pure).ok()?;
            Some(fluid.bubble_t(t_k).ok()?.pressure_pa)
        };
        if let (Some(p_a), Some(p_b)) = (alone(&parts[0]), alone(&parts[1])) {
            let raoult = 0.5 * (p_a + p_b);
            // an alcohol with a hydrocarbon is refused in places, and says so
            let split = Model::new(library, &composition).is_ok_and(|m| m.may_split(t_k));
            let unknown = if split { raoult } else { f64::NAN };
            let p = blend.bubble_t(t_k).map_or(unknown, |e| e.pressure_pa);
            let what = format!("a bubble pressure of the equimolar blend {}", at(t_k));
            let want = format!(
                "Raoult's law, {} Pa, within a factor of {RAOULT}",
                short(raoult)
            );
            f.need(
                (raoult / RAOULT..=raoult * RAOULT).contains(&p),
                asked,
                what,
                p,
                want,
            );
        }
    }
    for mistake in &mut f.0 {
        mistake.key.clone_from(&pair.key);
    }
    f.0
}
