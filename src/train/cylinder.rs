//! A rig's tank as the tank model takes it: volume, wall, surroundings, charge.

use super::rig::supply::{Charge as Filled, TankPosition, TankSpec};
use super::rig::{Rig, Setting};
use crate::eos::Backend;
use crate::quantity::{
    HeatCapacity, joules_per_kelvin, joules_per_kilogram_kelvin, kilograms, metres_per_second,
    ratio, watts_per_metre_kelvin,
};
use crate::tank::TankError;
use crate::tank::heat_gain::{Air, FrostLayer, HeatGain};
use crate::tank::shell::{Attitude, PAINTED_EMISSIVITY, Shell};
use crate::tank::vessel::{Charge, Tank};
use std::sync::Arc;

/// Specific heat of a wall of unknown metal, J/(kg K): that of steel, the lowest of the usual. A textbook figure.
const STEEL_J_KG_K: f64 = 460.0;

/// Conductivity of frost where none is given, W/(m K): loose frost. Common practice, no source.
const LOOSE_FROST_W_M_K: f64 = 0.1;

/// One cylinder of a rig with its charge.
#[derive(Debug, Clone)]
pub struct Cylinder {
    /// The tank; insulated where it is not known how heat reaches it.
    pub tank: Tank,
    /// What it is filled with.
    pub charge: Charge,
    /// Whether it is known how heat reaches it, or why not.
    pub heat: Result<(), TankError>,
    /// What was taken for granted.
    pub assumptions: Vec<String>,
}

/// One cylinder of a rig, in the air of its site, its water bath or behind its conductance.
///
/// A wall whose mass is not given has that of the empty cylinder, else none: it then chills too fast.
///
/// **Valid:** as [`HeatGain`]. **Errors:** [`TankError::Eos`] if a filling by volume has no density at the
/// tank's temperature. Whether the charge fits is for the tank to say. **Source:** none of its own.
///
/// # Errors
/// As above.
pub fn cylinder(
    rig: &Rig,
    spec: &TankSpec,
    fuel: &Arc<dyn Backend>,
) -> Result<Cylinder, TankError> {
    let mut assumptions = Vec::new();
    let temperature = spec.temperature.unwrap_or(rig.site.ambient);
    let mass = match spec.charge {
        Filled::Mass(mass) => mass,
        Filled::LiquidShare(share) => {
            let e = fuel.bubble_t(temperature.value)?;
            let s = share.value;
            let rho = s * e.liquid.density_kg_m3 + (1.0 - s) * e.vapour.density_kg_m3;
            kilograms(spec.volume.value * rho)
        }
    };
    let gain = heat_gain(rig, spec, &mut assumptions);
    let (heat, heat_gain) = match gain {
        Ok(gain) => (Ok(()), gain),
        Err(why) => (Err(why), HeatGain::Insulated),
    };
    let tank = Tank {
        backend: Arc::clone(fuel),
        volume: spec.volume,
        wall: wall(spec, &mut assumptions),
        heat_gain,
    };
    Ok(Cylinder {
        tank,
        charge: Charge { mass, temperature },
        heat,
        assumptions,
    })
}

fn wall(spec: &TankSpec, assumptions: &mut Vec<String>) -> HeatCapacity {
    let given = spec.wall_mass.or(spec.empty_mass);
    if spec.wall_mass.is_none() {
        assumptions.push(match spec.empty_mass {
            Some(_) => "The tank's wall is taken as heavy as the empty tank: its own mass is not given.",
            None => "The tank's wall is taken to hold no heat, for want of its mass: the tank chills more slowly than this says.",
        }.to_owned());
    }
    let Some(mass) = given else {
        return joules_per_kelvin(0.0);
    };
    let specific = spec.wall_specific_heat.unwrap_or_else(|| {
        assumptions.push(
            "The tank's wall is taken as steel: neither its material nor its specific heat is given."
                .to_owned(),
        );
        joules_per_kilogram_kelvin(STEEL_J_KG_K)
    });
    mass * specific
}

fn heat_gain(
    rig: &Rig,
    spec: &TankSpec,
    assumptions: &mut Vec<String>,
) -> Result<HeatGain, TankError> {
    if let Some(conductance) = spec.conductance {
        return Ok(HeatGain::Conductance {
            conductance,
            ambient: rig.site.ambient,
        });
    }
    let (Some(diameter), Some(length)) = (spec.diameter, spec.length) else {
        return Err(TankError::Nothing {
            what: "neither the tank's diameter and length nor its conductance is given, so the heat that reaches it is not known",
        });
    };
    let attitude = match spec.position {
        TankPosition::Upright | TankPosition::Inverted => Attitude::Upright,
        TankPosition::Lying => Attitude::Lying,
    };
    let emissivity = spec.emissivity.unwrap_or_else(|| {
        assumptions.push(
            "The tank is taken as painted, of emissivity 0.9: `emissivity` is not given."
                .to_owned(),
        );
        ratio(PAINTED_EMISSIVITY)
    });
    let shell = Shell::new(diameter, length, attitude, emissivity)?;
    if let Some(temperature) = spec.water_bath {
        return Ok(HeatGain::WaterBath { shell, temperature });
    }
    let wind = rig.site.wind.unwrap_or_else(|| {
        if rig.site.setting == Setting::Outdoor {
            assumptions.push(
                "The air round the tank is taken as still: the site gives no wind.".to_owned(),
            );
        }
        metres_per_second(0.0)
    });
    Ok(HeatGain::Air {
        shell,
        air: Air {
            temperature: rig.site.ambient,
            pressure: rig.site.air_pressure,
            wind,
            relative_humidity: rig.site.relative_humidity,
        },
        frost: frost(spec, assumptions),
    })
}

/// Frost is counted where the file says so.
fn frost(spec: &TankSpec, assumptions: &mut Vec<String>) -> Option<FrostLayer> {
    let Some((thickness, given)) = spec.frost else {
        assumptions.push(
            "No frost is counted on the tank's wall (`frost_thickness`): where it grows, less heat comes in."
                .to_owned(),
        );
        return None;
    };
    let conductivity = given.unwrap_or_else(|| {
        assumptions.push(format!(
            "The frost on the tank's wall is taken as loose, {LOOSE_FROST_W_M_K} W/(m K)."
        ));
        watts_per_metre_kelvin(LOOSE_FROST_W_M_K)
    });
    Some(FrostLayer {
        thickness,
        conductivity,
    })
}
