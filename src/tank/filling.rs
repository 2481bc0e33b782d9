//! How full a tank may be, when it becomes liquid-full, and the pressure after that.

use super::TankError;
use crate::eos::{Backend, EosError, Phase};
use crate::numerics::root::{self, RootError};
use crate::quantity::range::{in_range, in_range_of};
use crate::quantity::sentence::{in_kelvin, sentence};
use crate::quantity::{
    AbsolutePressure, Mass, MassDensity, Ratio, ThermodynamicTemperature, Volume, cubic_metres,
    kelvin, kilograms, pascals_absolute, ratio,
};
use std::cell::Cell;

/// Density of water at 60 °F (15.56 °C), kg/m³, to which specific gravity and water weight refer.
pub const WATER_60F_KG_M3: f64 = 999.016;
/// 60 °F in K.
pub const SIXTY_FAHRENHEIT_K: f64 = 288.705_555_555_555_6;

/// Where a container stands, as the filling table has it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Installation {
    /// Above ground, up to 1200 US gallons (4.54 m³) of water.
    AboveGroundSmall,
    /// Above ground, larger.
    AboveGroundLarge,
    /// Below ground, any size.
    Underground,
}

/// Lowest and highest specific gravity in thousandths, and filling density in percent of the water
/// weight for above ground small, above ground large, underground.
///
/// **Source:** `wac296307`, table U-4.
const FILLING_DENSITY: [(u32, u32, [f64; 3]); 13] = [
    (496, 503, [41.0, 44.0, 45.0]),
    (504, 510, [42.0, 45.0, 46.0]),
    (511, 519, [43.0, 46.0, 47.0]),
    (520, 527, [44.0, 47.0, 48.0]),
    (528, 536, [45.0, 48.0, 49.0]),
    (537, 544, [46.0, 49.0, 50.0]),
    (545, 552, [47.0, 50.0, 51.0]),
    (553, 560, [48.0, 51.0, 52.0]),
    (561, 568, [49.0, 52.0, 53.0]),
    (569, 576, [50.0, 53.0, 54.0]),
    (577, 584, [51.0, 54.0, 55.0]),
    (585, 592, [52.0, 55.0, 56.0]),
    (593, 600, [53.0, 56.0, 57.0]),
];

/// Most mass of liquid as a share of the weight of water that fills the container, by the specific
/// gravity of the liquid at 60 °F. Between two rows the lower one counts.
///
/// **Valid:** specific gravity 0.496 to 0.600. Transport cylinders follow their own rules.
/// **Errors:** [`TankError::OutOfRange`] outside the table.
/// **Source:** `wac296307`, table U-4.
///
/// # Errors
/// As above.
///
/// ```
/// use fuelwright::quantity::ratio;
/// use fuelwright::tank::filling::{filling_density, Installation};
/// let density = filling_density(ratio(0.510), Installation::AboveGroundSmall)?;
/// assert!((density.value - 0.42).abs() < 1e-12);
/// assert!(filling_density(ratio(0.62), Installation::AboveGroundSmall).is_err());
/// # Ok::<(), fuelwright::tank::TankError>(())
/// ```
pub fn filling_density(
    specific_gravity: Ratio,
    installation: Installation,
) -> Result<Ratio, TankError> {
    let sg = specific_gravity.value;
    // the top row ends at 0.600 and holds up to where the next would begin
    in_range("specific gravity at 60 degF", sg, 0.496..=0.600)?;
    // a hair of slack so that 0.511 as f64 is 511 thousandths
    let thousandths = sg * 1000.0 + 1e-6;
    let row = FILLING_DENSITY
        .iter()
        .rfind(|(low, ..)| f64::from(*low) <= thousandths)
        .unwrap_or(&FILLING_DENSITY[0]);
    let column = match installation {
        Installation::AboveGroundSmall => 0,
        Installation::AboveGroundLarge => 1,
        Installation::Underground => 2,
    };
    Ok(ratio(row.2[column] / 100.0))
}

/// Specific gravity of the saturated liquid at 60 °F over water at 60 °F.
///
/// # Errors
/// What the backend says.
pub fn specific_gravity(backend: &dyn Backend) -> Result<Ratio, TankError> {
    let liquid = backend.bubble_t(SIXTY_FAHRENHEIT_K)?.liquid;
    Ok(ratio(liquid.density_kg_m3 / WATER_60F_KG_M3))
}

/// Most mass by weight: `m = filling density × weight of water that fills it`.
pub fn limit_by_weight(water_capacity: Mass, filling_density: Ratio) -> Mass {
    water_capacity * filling_density
}

/// Most volume of liquid at its present temperature when the limit is by weight:
/// `V = D V_water / (s F)`, `D` filling density, `s` specific gravity at 60 °F, `F` density now over
/// density at 60 °F.
///
/// **Errors:** [`TankError::OutOfRange`] for a factor that is no density ratio of a liquid.
/// **Source:** `cfr1910110`, (b)(19)(v).
///
/// # Errors
/// As above.
pub fn limit_volume_now(
    water_volume: Volume,
    filling_density: Ratio,
    specific_gravity: Ratio,
    density_factor: Ratio,
) -> Result<Volume, TankError> {
    in_range(
        "specific gravity at 60 degF",
        specific_gravity.value,
        0.3..=1.0,
    )?;
    in_range("density factor", density_factor.value, 0.5..=1.5)?;
    Ok(water_volume * filling_density / (specific_gravity * density_factor))
}

/// Most mass by volume: liquid up to a share of the volume at a reference temperature, and the vapour
/// above it.
///
/// **Errors:** [`TankError::OutOfRange`], or what the backend says.
/// **Source:** the share is a rule of the adopted code (80 % at 15 °C is common practice).
///
/// # Errors
/// As above.
pub fn limit_by_volume(
    backend: &dyn Backend,
    volume: Volume,
    share: Ratio,
    reference: ThermodynamicTemperature,
) -> Result<Mass, TankError> {
    in_range("filling limit by volume", share.value, 0.0..=1.0)?;
    let e = backend.bubble_t(reference.value)?;
    let (v_m3, s) = (volume.value, share.value);
    let mass_kg = v_m3 * (s * e.liquid.density_kg_m3 + (1.0 - s) * e.vapour.density_kg_m3);
    Ok(kilograms(mass_kg))
}

/// Share of the volume that the liquid of a charge fills at a temperature; `None` if it is all gas.
///
/// # Errors
/// [`TankError::LiquidFull`], or what the backend says.
pub fn liquid_share(
    backend: &dyn Backend,
    mass: Mass,
    volume: Volume,
    temperature: ThermodynamicTemperature,
) -> Result<Option<Ratio>, TankError> {
    let state = backend.state_rho_t(mass.value / volume.value, temperature.value)?;
    let Some(e) = state.equilibrium else {
        if state.phase == Phase::Liquid {
            return Err(TankError::LiquidFull {
                mass_kg: mass.value,
                most_kg: volume.value * backend.bubble_t(temperature.value)?.liquid.density_kg_m3,
                t_k: temperature.value,
            });
        }
        return Ok(None);
    };
    let liquid_kg = mass.value * (1.0 - state.vapour_mass_fraction);
    Ok(Some(ratio(
        liquid_kg / e.liquid.density_kg_m3 / volume.value,
    )))
}

/// Share of the critical temperature at which the search for a liquid-full tank begins.
const USUAL_SHARE: f64 = 0.75;

/// Temperature at which a charge, warmed up, fills the tank with liquid: `ρ_L(T) = m/V`.
///
/// **Valid:** mean density above the critical one (a leaner charge turns to vapour instead).
/// **Errors:** [`TankError::Nothing`] if it never becomes liquid-full, or what the backend says.
///
/// # Errors
/// As above.
pub fn liquid_full_temperature(
    backend: &dyn Backend,
    mean_density: MassDensity,
) -> Result<ThermodynamicTemperature, TankError> {
    let rho = mean_density.value;
    let low_k = *backend.validity().temperature_k.start() + 0.01;
    let never = TankError::Nothing {
        what: "the charge never fills the tank with liquid: its mean density is too low",
    };
    let last = Cell::new(None);
    let off = |t_k: f64| {
        let e = match last.get() {
            Some(near) => backend.bubble_t_near(t_k, &near),
            None => backend.bubble_t(t_k),
        }?;
        last.set(Some(e));
        Ok::<_, EosError>(e.liquid.density_kg_m3 / rho - 1.0)
    };
    let (t_critical_k, p_critical_pa) = backend.critical();
    // a blend's bubble line ends at its critical density, and on the way there it is hard to find
    if backend.composition().parts().len() > 1
        && let Ok(critical) = backend.state_pt(p_critical_pa, t_critical_k)
        && rho <= critical.density_kg_m3
    {
        return Err(never);
    }
    // most charges fill the tank far above their freezing point
    let first_k = USUAL_SHARE * t_critical_k;
    let starts = first_k > low_k && off(first_k).is_ok_and(|f| f > 0.0);
    if !starts && off(low_k).map_err(TankError::from)? <= 0.0 {
        let high = rho * (1.0 + off(low_k)?);
        in_range_of("mean density", rho, 0.0..=high, "kg/m³")?;
    }
    // walk up from below: near its critical point a blend has no bubble point to bracket with
    let mut warm = if starts { first_k } else { low_k };
    let mut step_k = 0.05 * (t_critical_k - low_k);
    while step_k > 1e-3 {
        match off(warm + step_k) {
            Ok(f) if f > 0.0 => warm += step_k,
            Ok(_) => {
                let ends = (warm, warm + step_k);
                return root::brent(off, ends.0, ends.1, 1e-9).map(kelvin).map_err(
                    |e: RootError<EosError>| e.or_from(|_| unreachable_bracket(ends.0)).into(),
                );
            }
            Err(EosError::AboveCritical { .. } | EosError::NotConverged { .. }) => step_k *= 0.5,
            Err(other) => return Err(other.into()),
        }
    }
    Err(never)
}

fn unreachable_bracket(t_k: f64) -> EosError {
    EosError::NotConverged {
        what: "liquid-full temperature",
        fuel: String::new(),
        at: sentence!("{}", in_kelvin(t_k)),
    }
}

/// Pressure in a rigid space that holds a mean density at a temperature: vapour pressure while there is
/// room for vapour, the liquid's own pressure after that.
///
/// **Valid:** rigid walls. Real walls give a little: the true rise is some per cent lower.
/// **Errors:** what the backend says, e.g. a pressure beyond the equation.
///
/// # Errors
/// As above.
pub fn pressure_when_warmed(
    backend: &dyn Backend,
    mean_density: MassDensity,
    temperature: ThermodynamicTemperature,
) -> Result<AbsolutePressure, TankError> {
    let state = backend.state_rho_t(mean_density.value, temperature.value)?;
    Ok(pascals_absolute(state.pressure_pa))
}

/// Water capacity as a volume, from the stamped water weight at 60 °F.
pub fn water_volume(water_capacity: Mass) -> Volume {
    cubic_metres(water_capacity.value / WATER_60F_KG_M3)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn density(sg: f64, installation: Installation) -> f64 {
        filling_density(ratio(sg), installation)
            .expect("inside the table")
            .value
    }

    // Published: WAC 296-307-41037, table U-4 (SOURCES WE-53)
    #[test]
    fn filling_table_is_read_by_specific_gravity() {
        use Installation::{AboveGroundLarge, AboveGroundSmall, Underground};
        let rows = [
            (0.530, Underground, 0.49),
            (0.584, AboveGroundSmall, 0.51),
            (0.510, AboveGroundSmall, 0.42),
            (0.511, AboveGroundSmall, 0.43),
            (0.496, AboveGroundLarge, 0.44),
            (0.600, Underground, 0.57),
            // between two rows: the lower
            (0.510_9, AboveGroundSmall, 0.42),
        ];
        for (sg, installation, want) in rows {
            assert!((density(sg, installation) - want).abs() < 1e-12, "{sg}");
        }
        for sg in [0.0, 0.4959, 0.601, f64::NAN] {
            assert!(filling_density(ratio(sg), Underground).is_err(), "{sg}");
        }
    }

    // Published: 29 CFR 1910.110(b)(19)(v), worked example (SOURCES WE-29), tolerance 0.2 %
    #[test]
    fn most_gallons_of_the_federal_example() {
        const GALLON_M3: f64 = 3.785_411_784e-3;
        let v = limit_volume_now(
            cubic_metres(100.0 * GALLON_M3),
            ratio(0.42),
            ratio(0.510),
            ratio(1.031),
        )
        .expect("inside the limits");
        assert!((v.value / GALLON_M3 / 79.8 - 1.0).abs() < 2e-3);
    }

    // SOURCES WE-30: 47.7 lb of water times 0.42 is 20.0 lb
    #[test]
    fn a_twenty_pound_cylinder_holds_twenty_pounds() {
        const POUND_KG: f64 = 0.453_592_37;
        let m = limit_by_weight(kilograms(47.7 * POUND_KG), ratio(0.42));
        assert!((m.value / POUND_KG - 20.0).abs() < 0.05);
        // 47.7 lb of water is 21.7 litres
        let v = water_volume(kilograms(47.7 * POUND_KG));
        assert!((v.value - 0.021_66).abs() < 1e-4);
    }
}
