//! What bands move besides the flows of the duties: the pressure at rest and the draw that the tank keeps up.

use crate::audit::Solution;
use crate::quantity::Kind;
use crate::quantity::show;
use crate::train::PartKind;

/// Bands that stand in where the rig gives none: common practice, no source.
const USUAL_LOCK_UP: f64 = 0.30;
const USUAL_CONDUCTANCE: f64 = 0.30;

/// A result of the rig as given, with its ends.
#[derive(Debug, Clone, PartialEq)]
pub struct Beside {
    /// What it is.
    pub name: String,
    /// Its kind; a pressure is by gauge.
    pub kind: Kind,
    /// With every input at the value given.
    pub value: f64,
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// What moves it.
    pub basis: String,
}

/// Pressure at rest behind each regulator, and the draw that a full tank keeps up at the duty that draws most.
///
/// At rest the set pressure and the rise of lock-up are each at one end of its band; the draw goes with the heat that
/// comes in, `w = Q / q`, and so with the conductance.
///
/// **Valid:** as the regulator's and the tank's own models.
pub fn beside(solution: &Solution<'_>) -> Vec<Beside> {
    let rig = solution.rig;
    let bands = &rig.tolerances;
    let ambient_pa = rig.site.air_pressure.pascals();
    let set = bands.set_pressure.or(bands.supply_pressure);
    let set = set.map_or(0.0, |r| r.value);
    let lock_up = bands.lock_up.map_or(USUAL_LOCK_UP, |r| r.value);
    let parts = rig.train.parts();
    let regulators = parts.iter().filter_map(|p| match &p.kind {
        PartKind::Regulator(r) => Some((&p.name, r)),
        _ => None,
    });
    let at_rest = regulators.map(|(name, r)| {
        let (gauge_pa, rise_pa) = (r.set_pressure.pascals() - ambient_pa, r.lock_up.pascals());
        Beside {
            name: format!("pressure at rest behind {name}"),
            kind: Kind::GaugePressure,
            value: gauge_pa + rise_pa,
            low: gauge_pa * (1.0 - set) + rise_pa * (1.0 - lock_up),
            high: gauge_pa * (1.0 + set) + rise_pa * (1.0 + lock_up),
            basis: format!(
                "set pressure {}, lock-up {}",
                percent(set),
                percent(lock_up)
            ),
        }
    });
    let mut all: Vec<Beside> = at_rest.collect();
    if let Ok(tank) = solution.tank()
        && let Some(most) = tank
            .duties
            .iter()
            .max_by(|a, b| a.draw.value.total_cmp(&b.draw.value))
        && let Ok(kept) = &most.sustainable
    {
        let half = bands.conductance.map_or(USUAL_CONDUCTANCE, |r| r.value);
        let value = kept.draw.value;
        all.push(Beside {
            name: format!("draw that a full cylinder keeps up at {}", most.name),
            kind: Kind::MassRate,
            value,
            low: value * (1.0 - half),
            high: value * (1.0 + half),
            basis: format!("heat conductance of the cylinder {}", percent(half)),
        });
    }
    all
}

fn percent(half: f64) -> String {
    format!("\u{b1}{}", show::percent(half))
}
