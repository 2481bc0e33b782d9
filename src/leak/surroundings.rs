//! What is round a leak, and what the fuel is there: density, limits, heat.

use super::LeakError;
use crate::combustion::own_air::OwnAir;
use crate::combustion::{CombustionError, Flammability, Stoichiometry};
use crate::eos::{Backend, Phase};
use crate::flow::air::{DRY_AIR_KG_MOL, MoistAir};
use crate::quantity::range::in_range_of;
use crate::quantity::{
    AbsolutePressure, AvailableEnergy, GAS_CONSTANT_J_MOL_K, MassDensity, Ratio,
    ThermodynamicTemperature, Velocity, kilograms_per_cubic_metre, metres_per_second, ratio,
};

/// Isentropic exponent of a fuel that is no gas at the conditions round it: that of a heavy vapour.
/// Our choice; sound goes with its root.
const VAPOUR_EXPONENT: f64 = 1.1;
/// Share of the heat that is radiated where no fuel file gives one. Our choice: the largest of them.
const RADIANT_FRACTION: f64 = 0.35;
/// Relative half-width of its band in that case.
const RADIANT_BAND: f64 = 0.3;

/// Temperatures and pressures of the air that are looked at, K and Pa.
const AIR_K: std::ops::RangeInclusive<f64> = 170.0..=370.0;
const AIR_PA: std::ops::RangeInclusive<f64> = 1e3..=1e7;

/// The air that a leak blows into.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Surroundings {
    /// Pressure.
    pub pressure: AbsolutePressure,
    /// Temperature.
    pub temperature: ThermodynamicTemperature,
}

impl Surroundings {
    /// Density of the air, taken as dry.
    ///
    /// **Valid:** 170 to 370 K, 0.01 to 100 bar: wider than any place where people work.
    ///
    /// # Errors
    /// [`LeakError::OutOfRange`], [`LeakError::Air`].
    pub fn density(&self) -> Result<MassDensity, LeakError> {
        in_range_of("temperature of the air", self.temperature.value, AIR_K, "K")?;
        in_range_of("pressure of the air", self.pressure.pascals(), AIR_PA, "Pa")?;
        Ok(MoistAir::new(self.pressure, self.temperature, ratio(0.0))?.density())
    }
}

/// Limits of a fuel in air, as a leak needs them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeakLimits {
    /// Lower flammability limit, mole fraction: the lowest of the standards.
    pub lower: Ratio,
    /// The highest that a standard gives for it: they differ by their test methods.
    pub lower_highest: Ratio,
    /// Upper flammability limit; `None` where no standard has one.
    pub upper: Option<Ratio>,
}

/// Heat of a fuel that burns.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeakHeat {
    /// Lower heating value.
    pub lower_heating_value: AvailableEnergy,
    /// Mass of air that burns a mass of fuel.
    pub air_fuel_ratio: Ratio,
    /// Share of the heat of a jet flame that is radiated.
    pub radiant_fraction: Ratio,
    /// Relative half-width of its band.
    pub radiant_band: f64,
}

/// A fuel as it is in the air round a leak.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeakFuel {
    /// Molar mass, kg/mol.
    pub molar_mass_kg_mol: f64,
    /// Density of its vapour at the pressure and temperature of the air.
    pub gas_density: MassDensity,
    /// Speed of sound in it there.
    pub sound: Velocity,
    /// Density over that of the air.
    pub relative_density: f64,
    /// Whether it is a gas at the pressure and temperature of the air; if not, a liquid release makes a
    /// pool.
    pub gas_outside: bool,
    /// Largest share of the air that its vapour can take at that temperature; 1 for a gas.
    pub saturated_share: Ratio,
    /// Limits; `None` for an inert gas, or where no standard has any.
    pub limits: Option<LeakLimits>,
    /// Whether its inert gas keeps it from burning in air.
    pub not_flammable: bool,
    /// Air or oxygen in the fuel itself.
    pub own_air: Option<OwnAir>,
    /// Heat; `None` for an inert gas.
    pub heat: Option<LeakHeat>,
}

impl LeakFuel {
    /// Of a fuel or blend of the composition that is released.
    ///
    /// Density and speed of sound are those of the real gas, or of the perfect one where the fuel is no
    /// gas at the conditions outside: it is one as soon as it is thinned with air.
    ///
    /// **Source:** limits as `combustion::flammability`; the share radiated `radiant-fraction-memory`.
    ///
    /// # Errors
    /// [`LeakError::Air`].
    pub fn of(fluid: &dyn Backend, around: &Surroundings) -> Result<Self, LeakError> {
        let (p_pa, t_k) = (around.pressure.pascals(), around.temperature.value);
        let m = fluid.molar_mass_kg_mol();
        let gas = fluid
            .state_pt(p_pa, t_k)
            .ok()
            .filter(|s| matches!(s.phase, Phase::Gas | Phase::Supercritical));
        let perfect = p_pa * m / (GAS_CONSTANT_J_MOL_K * t_k);
        let density = gas.map_or(perfect, |s| s.density_kg_m3);
        let sound = gas.and_then(|s| s.response).map_or_else(
            || (VAPOUR_EXPONENT * GAS_CONSTANT_J_MOL_K * t_k / m).sqrt(),
            |r| r.speed_of_sound_m_s,
        );
        let saturated = if gas.is_some() {
            1.0
        } else {
            fluid
                .bubble_t(t_k)
                .map_or(1.0, |e| (e.pressure_pa / p_pa).min(1.0))
        };
        let composition = fluid.composition();
        let flammability = Flammability::of(composition);
        let not_flammable = matches!(&flammability, Err(CombustionError::NotFlammable { .. }));
        let flammability = flammability.ok();
        let own_air = flammability.as_ref().and_then(|f| f.own_air);
        let stoichiometry = Stoichiometry::of(composition).ok();
        let limits = flammability.map(|f| LeakLimits {
            lower: f.lower,
            lower_highest: f
                .by_standard
                .iter()
                .filter_map(|s| s.lower)
                .fold(f.lower, |a, b| if b > a { b } else { a }),
            upper: f.upper,
        });
        // of the components that burn, the one that radiates most: the cautious side for a blend
        let radiant = composition
            .parts()
            .iter()
            .filter_map(|p| p.fuel.safety.as_ref()?.radiant_fraction.as_ref())
            .max_by(|a, b| a.value.total_cmp(&b.value))
            .map_or((RADIANT_FRACTION, RADIANT_BAND), |r| {
                (r.value, r.uncertainty)
            });
        let heat = stoichiometry.map(|s| LeakHeat {
            lower_heating_value: s.lower_heating_value,
            air_fuel_ratio: s.air_fuel_ratio,
            radiant_fraction: ratio(radiant.0),
            radiant_band: radiant.1,
        });
        Ok(Self {
            molar_mass_kg_mol: m,
            gas_density: kilograms_per_cubic_metre(density),
            sound: metres_per_second(sound),
            relative_density: density / around.density()?.value,
            gas_outside: gas.is_some(),
            saturated_share: ratio(saturated),
            limits,
            not_flammable,
            own_air,
            heat,
        })
    }

    /// Whether its vapour can ignite at the temperature of the air at all: it reaches its lower limit.
    pub fn vapour_can_ignite(&self) -> bool {
        self.limits
            .is_some_and(|l| self.saturated_share.value >= l.lower.value)
    }

    /// Whether it sinks: its molar mass is above that of air.
    pub fn is_heavy(&self) -> bool {
        self.molar_mass_kg_mol > DRY_AIR_KG_MOL
    }
}
