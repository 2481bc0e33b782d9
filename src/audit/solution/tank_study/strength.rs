//! What the wall of a tank has to hold: class, relief, stress.

use crate::audit::solution::Solution;
use crate::audit::solution::tank::TankSolution;
use crate::mass::density::density;
use crate::quantity::{
    AbsolutePressure, Area, GaugePressure, Length, MassDensity, PressureDifference, VolumeRate,
    kelvin, kilograms_per_cubic_metre, metres, pascals_gauge, ratio, square_metres,
};
use crate::tank::filling::pressure_when_warmed;
use crate::tank::relief::{hoop_stress, least_design_pressure, relief_air_flow};
use crate::train::Material;
use crate::train::rig::{TankSpec, WallMaterial};
use std::f64::consts::PI;

/// Warming past liquid-full at which the pressure is shown, K.
pub const PAST_FULL_K: f64 = 10.0;
/// 100 °F in K, at which containers are classed.
const HUNDRED_FAHRENHEIT_K: f64 = 310.927_777_777_777_8;

/// What the wall of a cylinder has to hold.
#[derive(Debug, Clone)]
pub struct Strength {
    /// Vapour pressure at 100 °F, and the least design pressure of a container for it.
    pub design: Result<(GaugePressure, GaugePressure), String>,
    /// Air that a relief valve of a container of this surface must pass; `None` where its size is not given.
    pub relief_air: Option<VolumeRate>,
    /// Stress of the wall; `None` where its thickness or diameter is not known.
    pub wall: Option<WallStress>,
    /// Pressure when warmed [`PAST_FULL_K`] past liquid-full; `None` if it never fills up or that is beyond the
    /// equation.
    pub past_full: Option<AbsolutePressure>,
}

/// Hoop stress of a wall, seamless.
#[derive(Debug, Clone, Copy)]
pub struct WallStress {
    /// Thickness.
    pub thickness: Length,
    /// Whether that is a mean from mass, surface and density.
    pub from_mass: bool,
    /// On the hottest day.
    pub hottest: Option<PressureDifference>,
    /// At the rated pressure.
    pub rated: Option<PressureDifference>,
}

/// Works it out.
pub(super) fn strength(
    solution: &Solution<'_>,
    spec: &TankSpec,
    solved: &TankSolution,
) -> Strength {
    let fluid = solution.fluid.as_ref();
    let design = fluid
        .bubble_t(HUNDRED_FAHRENHEIT_K)
        .map_err(|e| solution.why(&e))
        .and_then(|e| {
            let standard = AbsolutePressure::STANDARD_ATMOSPHERE.pascals();
            let gauge = pascals_gauge(e.pressure_pa - standard);
            let least = least_design_pressure(gauge).map_err(|e| solution.why(&e))?;
            Ok((gauge, least))
        });
    let area_m2 = outside_area(spec).map(|a| a.value);
    let past_full = solved.filling.liquid_full.and_then(|full| {
        let mean = kilograms_per_cubic_metre(solved.filling.mass.value / spec.volume.value);
        pressure_when_warmed(fluid, mean, kelvin(full.value + PAST_FULL_K)).ok()
    });
    Strength {
        design,
        relief_air: area_m2.and_then(|a| relief_air_flow(square_metres(a)).ok()),
        wall: wall_stress(solution, spec, solved),
        past_full,
    }
}

/// Surface of a tank, where its size is given.
pub fn outside_area(spec: &TankSpec) -> Option<Area> {
    let (d_m, l_m) = (spec.diameter?.value, spec.length?.value);
    Some(square_metres(PI * d_m * (l_m + 0.5 * d_m)))
}

/// Density of the metal of a wall.
pub fn wall_density(spec: &TankSpec) -> Option<MassDensity> {
    match spec.wall_material? {
        WallMaterial::Steel => density(&Material::CarbonSteel),
        WallMaterial::Aluminium => density(&Material::Aluminium),
        WallMaterial::Composite => None,
    }
}

/// Thickness of the wall of a tank: given, or a mean from mass, surface and density.
pub fn wall_thickness(spec: &TankSpec) -> Option<Length> {
    let from_mass = || {
        let volume_m3 = spec.wall_mass?.value / wall_density(spec)?.value;
        Some(metres(volume_m3 / outside_area(spec)?.value))
    };
    spec.wall_thickness.or_else(from_mass)
}

fn wall_stress(
    solution: &Solution<'_>,
    spec: &TankSpec,
    solved: &TankSolution,
) -> Option<WallStress> {
    let diameter = spec.diameter?;
    spec.wall_material?;
    let thickness = wall_thickness(spec)?;
    let outside = solution.rig.site.air_pressure;
    let stress = |inside: AbsolutePressure| {
        hoop_stress(inside, outside, diameter, thickness, ratio(1.0)).ok()
    };
    Some(WallStress {
        thickness,
        from_mass: spec.wall_thickness.is_none(),
        hottest: solved
            .hottest
            .as_ref()
            .ok()
            .and_then(|hot| stress(hot.pressure)),
        rated: spec.rating.and_then(stress),
    })
}
