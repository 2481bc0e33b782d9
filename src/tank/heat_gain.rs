//! Heat from the surroundings into a tank.

use super::TankError;
use super::convection;
use super::outside::{self, AIR_RANGE_K, ICE_POINT_K, Medium, WATER_RANGE_K};
use super::shell::{Attitude, Shell};
use crate::numerics::root;
use crate::quantity::range::{in_range, in_range_of};
use crate::quantity::{
    AbsolutePressure, HeatTransfer, Length, Power, Ratio, ThermalConductance, ThermalConductivity,
    ThermodynamicTemperature, Velocity, kelvin, ratio, watts, watts_per_square_metre_kelvin,
};

/// Stefan-Boltzmann constant, W/(m² K⁴), exact since 2019 [codata2018].
const STEFAN_BOLTZMANN_W_M2_K4: f64 = 5.670_374_419e-8;
/// Between liquid and wetted wall, W/(m² K). Our estimate: the vertical-plate correlation for liquid
/// propane at 0 °C and 2 K gives 160. It takes about 5 % off the heat from still air.
const INSIDE_LIQUID_W_M2_K: f64 = 150.0;
/// Between vapour and dry wall, W/(m² K). Our estimate: the same correlation for propane vapour at
/// 0 °C and 10 K gives 13, for a tank at 1 bar about 4.
const INSIDE_VAPOUR_W_M2_K: f64 = 10.0;
/// Strongest wind asked for.
const STRONGEST_WIND_M_S: f64 = 60.0;

/// Air round a tank.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Air {
    /// Temperature of the air, and of the walls, ground and sky that radiate to the tank.
    pub temperature: ThermodynamicTemperature,
    /// Pressure of the air.
    pub pressure: AbsolutePressure,
    /// Wind across the axis; zero in still air.
    pub wind: Velocity,
    /// Relative humidity, 0 to 1, for the dew point.
    pub relative_humidity: Option<Ratio>,
}

/// Frost on the wall, as an extra resistance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FrostLayer {
    /// Thickness.
    pub thickness: Length,
    /// Conductivity; loose frost has 0.05 to 0.2 W/(m K), dense 0.5, ice 2.2 (common practice).
    pub conductivity: ThermalConductivity,
}

/// Where a tank's heat comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum HeatGain {
    /// None at all.
    Insulated,
    /// `Q = UA (T_ambient - T)`, whatever the level.
    Conductance {
        /// Heat flow per kelvin.
        conductance: ThermalConductance,
        /// Temperature of the surroundings.
        ambient: ThermodynamicTemperature,
    },
    /// Free convection or wind, and radiation, on the wetted and the dry wall.
    Air {
        /// Shape of the tank.
        shell: Shell,
        /// The air.
        air: Air,
        /// Frost, if it is to be counted.
        frost: Option<FrostLayer>,
    },
    /// A bath of still water up to the liquid level at least, kept at its temperature. The dry wall is
    /// left out, and so is the freezing heat of any ice that forms.
    WaterBath {
        /// Shape of the tank.
        shell: Shell,
        /// Temperature of the water.
        temperature: ThermodynamicTemperature,
    },
}

/// What forms on the wetted wall outside.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Surface {
    /// Nothing, or the humidity is not known and the wall is above the ice point.
    Dry,
    /// Below the dew point: water runs off.
    Dew,
    /// Below the ice point (and the dew point, where that is known): frost grows, or ice in a bath.
    Frost,
}

/// Heat into a tank at one moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeatFlow {
    /// Heat that counts: through the wetted wall while there is liquid, through the dry wall when there is
    /// gas alone. Negative if the contents are the warmer.
    pub heat: Power,
    /// Through the wetted wall.
    pub wetted: Power,
    /// Through the dry wall. While there is liquid it warms the vapour, which leaves with it.
    pub dry: Power,
    /// Outside surface of the wetted wall.
    pub wall: ThermodynamicTemperature,
    /// Convection coefficient outside the wetted wall; `None` for a plain conductance.
    pub coefficient: Option<HeatTransfer>,
    /// What forms there.
    pub surface: Surface,
    /// Relative half-width of the band on the heat; zero where it was given as it is.
    pub band: Ratio,
}

/// Heat through one part of the wall.
#[derive(Debug, Clone, Copy)]
struct Patch {
    heat_w: f64,
    wall_k: f64,
    coefficient_w_m2_k: f64,
}

impl HeatGain {
    /// Temperature of the surroundings, if there are any.
    pub fn ambient(&self) -> Option<ThermodynamicTemperature> {
        match self {
            Self::Insulated => None,
            Self::Conductance { ambient, .. } => Some(*ambient),
            Self::Air { air, .. } => Some(air.temperature),
            Self::WaterBath { temperature, .. } => Some(*temperature),
        }
    }

    /// The same surroundings at another temperature.
    #[must_use]
    pub fn with_ambient(mut self, to: ThermodynamicTemperature) -> Self {
        match &mut self {
            Self::Insulated => {}
            Self::Conductance { ambient, .. } => *ambient = to,
            Self::Air { air, .. } => air.temperature = to,
            Self::WaterBath { temperature, .. } => *temperature = to,
        }
        self
    }

    /// Refuses what no correlation covers.
    ///
    /// # Errors
    /// [`TankError::OutOfRange`] with the limits.
    pub fn check(&self) -> Result<(), TankError> {
        match self {
            Self::Insulated => {}
            Self::Conductance {
                conductance,
                ambient,
            } => {
                in_range_of("conductance", conductance.value, 0.0..=1e6, "W/K")?;
                in_range_of("ambient temperature", ambient.value, 1.0..=1000.0, "K")?;
            }
            Self::Air { air, frost, .. } => {
                in_range_of("air temperature", air.temperature.value, AIR_RANGE_K, "K")?;
                in_range_of("air pressure", air.pressure.pascals(), 3e4..=1.2e5, "Pa")?;
                in_range_of("wind", air.wind.value, 0.0..=STRONGEST_WIND_M_S, "m/s")?;
                if let Some(humidity) = air.relative_humidity {
                    in_range("relative humidity", humidity.value, 0.0..=1.0)?;
                }
                if let Some(f) = frost {
                    in_range_of("frost thickness", f.thickness.value, 0.0..=0.2, "m")?;
                    let k = f.conductivity.value;
                    in_range_of("frost conductivity", k, 0.01..=2.5, "W/(m K)")?;
                }
            }
            Self::WaterBath { temperature, .. } => {
                in_range_of("bath temperature", temperature.value, WATER_RANGE_K, "K")?;
            }
        }
        Ok(())
    }

    /// Heat into contents at `temperature` whose liquid fills `liquid` of the volume (0 to 1).
    ///
    /// `Q = Σ A (T_wall - T) / R_inside` over wetted and dry wall, where each wall temperature balances
    /// convection `h(T_wall) (T_a - T_wall)` and radiation `ε σ (T_a⁴ - T_wall⁴)` against what goes in.
    /// The metal has no resistance of note. Domed ends are taken as flat, with the coefficient of the
    /// shell. Dew and frost that form give off heat that is left out, so the true gain in damp air is higher.
    /// With liquid present only the wetted wall counts: the service-manual rules for tanks and cylinders go
    /// by it too (the ratio of this model to them is then the same at every level, 10 to 60 %). A share of
    /// zero means gas alone.
    ///
    /// **Valid:** air at the wall (mean of wall and ambient) from 200 K to 350 K.
    /// **Errors:** [`TankError::OutOfRange`].
    /// **Source:** `churchill1975a`, `churchill1975b`, `popiel2007`, `churchill1977`; inside
    /// coefficients are our estimates.
    ///
    /// # Errors
    /// As above.
    ///
    /// ```
    /// use fuelwright::quantity::{kelvin, ratio, watts_per_kelvin};
    /// use fuelwright::tank::heat_gain::HeatGain;
    /// let air = HeatGain::Conductance { conductance: watts_per_kelvin(5.0), ambient: kelvin(288.15) };
    /// let flow = air.heat(kelvin(278.15), ratio(0.8))?;
    /// assert!((flow.heat.value - 50.0).abs() < 1e-9);
    /// # Ok::<(), fuelwright::tank::TankError>(())
    /// ```
    pub fn heat(
        &self,
        temperature: ThermodynamicTemperature,
        liquid: Ratio,
    ) -> Result<HeatFlow, TankError> {
        self.check()?;
        in_range("liquid share of the volume", liquid.value, 0.0..=1.0)?;
        let t_k = temperature.value;
        let (wet, dry) = self.patches(t_k, liquid.value)?;
        let coefficient = match self {
            Self::Air { .. } | Self::WaterBath { .. } => {
                Some(watts_per_square_metre_kelvin(wet.coefficient_w_m2_k))
            }
            Self::Insulated | Self::Conductance { .. } => None,
        };
        Ok(HeatFlow {
            heat: watts(counted(&wet, &dry, liquid.value > 0.0)),
            wetted: watts(wet.heat_w),
            dry: watts(dry.heat_w),
            wall: kelvin(wet.wall_k),
            coefficient,
            surface: self.surface(wet.wall_k),
            band: ratio(coefficient.map_or(0.0, |_| convection::COEFFICIENT_BAND)),
        })
    }

    /// The heat that counts alone, for the inner loop; inputs are not checked again.
    pub(crate) fn heat_w(
        &self,
        t_k: f64,
        liquid_share: f64,
        has_liquid: bool,
    ) -> Result<f64, TankError> {
        let (wet, dry) = self.patches(t_k, liquid_share)?;
        Ok(counted(&wet, &dry, has_liquid))
    }

    fn patches(&self, t_k: f64, liquid_share: f64) -> Result<(Patch, Patch), TankError> {
        let none = Patch {
            heat_w: 0.0,
            wall_k: t_k,
            coefficient_w_m2_k: 0.0,
        };
        match self {
            Self::Insulated => Ok((none, none)),
            Self::Conductance {
                conductance,
                ambient,
            } => {
                let heat_w = conductance.value * (ambient.value - t_k);
                Ok((Patch { heat_w, ..none }, none))
            }
            Self::Air { shell, air, frost } => {
                let frost_m2_k_w = frost.map_or(0.0, |f| f.thickness.value / f.conductivity.value);
                let wet_m2 = shell.wetted_area_m2(liquid_share);
                let wall = |area_m2: f64, inside: f64| {
                    through_wall(
                        t_k,
                        air.temperature.value,
                        area_m2,
                        frost_m2_k_w + 1.0 / inside,
                        |s| air_side(shell, air, s),
                    )
                };
                Ok((
                    wall(wet_m2, INSIDE_LIQUID_W_M2_K)?,
                    wall(shell.area_m2() - wet_m2, INSIDE_VAPOUR_W_M2_K)?,
                ))
            }
            Self::WaterBath { shell, temperature } => {
                let bath_k = temperature.value;
                let wet_m2 = shell.wetted_area_m2(liquid_share);
                let wet = through_wall(t_k, bath_k, wet_m2, 1.0 / INSIDE_LIQUID_W_M2_K, |s| {
                    Ok(water_side(shell, bath_k, s))
                })?;
                Ok((wet, none))
            }
        }
    }

    /// What forms on a wall of this temperature.
    fn surface(&self, wall_k: f64) -> Surface {
        let (wet, freezing) = match self {
            Self::Air { air, .. } => {
                let dew_k = air
                    .relative_humidity
                    .map(|h| outside::dew_point_k(air.temperature.value, h.value.max(1e-6)));
                (
                    dew_k.is_some_and(|d| wall_k < d),
                    wall_k < dew_k.unwrap_or(ICE_POINT_K).min(ICE_POINT_K),
                )
            }
            Self::Insulated | Self::Conductance { .. } | Self::WaterBath { .. } => {
                (false, wall_k < ICE_POINT_K)
            }
        };
        match (freezing, wet) {
            (true, _) => Surface::Frost,
            (false, true) => Surface::Dew,
            (false, false) => Surface::Dry,
        }
    }
}

/// Heat that reaches liquid, or gas alone. A conductance given as it is stands in the wetted patch.
fn counted(wet: &Patch, dry: &Patch, has_liquid: bool) -> f64 {
    if has_liquid {
        wet.heat_w
    } else {
        wet.heat_w + dry.heat_w
    }
}

/// Heat through a patch: the surface temperature where what arrives outside goes in.
/// `outside` gives flux and convection coefficient for a surface temperature.
fn through_wall(
    t_k: f64,
    ambient_k: f64,
    area_m2: f64,
    inside_m2_k_w: f64,
    outside: impl Fn(f64) -> Result<(f64, f64), TankError>,
) -> Result<Patch, TankError> {
    let excess = |s_k: f64| Ok(outside(s_k)?.0 - (s_k - t_k) / inside_m2_k_w);
    let wall_k = if (t_k - ambient_k).abs() < 1e-9 {
        ambient_k
    } else {
        root::brent(excess, t_k, ambient_k, 1e-9)
            .map_err(|e| e.or_from(|_| TankError::NoWallTemperature { t_k, ambient_k }))?
    };
    Ok(Patch {
        heat_w: area_m2 * (wall_k - t_k) / inside_m2_k_w,
        wall_k,
        coefficient_w_m2_k: outside(wall_k)?.1,
    })
}

/// Convection and radiation from air to a surface, W/m², and the convection coefficient.
fn air_side(shell: &Shell, air: &Air, surface_k: f64) -> Result<(f64, f64), TankError> {
    let ambient_k = air.temperature.value;
    let film_k = 0.5 * (surface_k + ambient_k);
    let (low, high) = AIR_RANGE_K.into_inner();
    in_range_of(
        "mean temperature of the air at the wall",
        film_k,
        low..=high,
        "K",
    )?;
    let medium = outside::air(air.pressure.pascals(), film_k);
    let buoyancy = (ambient_k - surface_k).abs() / film_k;
    let free = free_coefficient(shell, &medium, buoyancy);
    let d_m = shell.diameter_m();
    let h = if air.wind.value > 0.0 {
        let re = air.wind.value * d_m / medium.kinematic_viscosity_m2_s();
        let forced = convection::cross_flow(re, medium.prandtl());
        convection::mixed(free, forced * medium.conductivity_w_m_k / d_m)
    } else {
        free
    };
    let radiation =
        shell.emissivity() * STEFAN_BOLTZMANN_W_M2_K4 * (ambient_k.powi(4) - surface_k.powi(4));
    Ok((h * (ambient_k - surface_k) + radiation, h))
}

/// Convection from a water bath, W/m², and its coefficient. Below the ice point the surface that meets
/// the water is ice at 0 °C, whatever the wall behind it.
fn water_side(shell: &Shell, bath_k: f64, surface_k: f64) -> (f64, f64) {
    let surface_k = surface_k.clamp(ICE_POINT_K, *WATER_RANGE_K.end());
    let film_k = 0.5 * (surface_k + bath_k);
    let medium = outside::water(film_k);
    // water is densest at 4 °C: the greatest difference in the layer drives it
    let bath = outside::water_density_kg_m3(bath_k);
    let difference = (outside::water_density_kg_m3(surface_k) - bath)
        .abs()
        .max((medium.density_kg_m3 - bath).abs());
    let h = free_coefficient(shell, &medium, difference / medium.density_kg_m3);
    (h * (bath_k - surface_k), h)
}

/// Free-convection coefficient on the shell, W/(m² K).
fn free_coefficient(shell: &Shell, medium: &Medium, buoyancy: f64) -> f64 {
    let pr = medium.prandtl();
    let (nu, size_m) = match shell.attitude() {
        Attitude::Lying => {
            let (d_m, ra) = turbulent_size(medium, buoyancy, shell.diameter_m());
            (convection::horizontal_cylinder(ra, pr), d_m)
        }
        Attitude::Upright => {
            let (l_m, ra) = turbulent_size(medium, buoyancy, shell.length_m());
            let slender =
                convection::slender_cylinder_factor(ra / pr, pr, l_m / shell.diameter_m());
            (convection::vertical_plate(ra, pr) * slender, l_m)
        }
    };
    nu * medium.conductivity_w_m_k / size_m
}

/// Size and Rayleigh number to use. Beyond the range of the correlations the layer is turbulent and the
/// coefficient no longer depends on the size: the size that has the highest number in the range counts.
fn turbulent_size(medium: &Medium, buoyancy: f64, size_m: f64) -> (f64, f64) {
    let ra = medium.rayleigh(buoyancy, size_m);
    let over = ra / convection::HIGHEST_RAYLEIGH;
    if over > 1.0 {
        (size_m / over.cbrt(), convection::HIGHEST_RAYLEIGH)
    } else {
        (size_m, ra)
    }
}

#[cfg(test)]
mod tests;
