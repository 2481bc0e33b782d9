//! A free jet: from the hole to a real expanded jet, and how far it is above a share of the lower limit.
//!
//! A choked jet is too strong for the decay laws near the hole. They start from a notional nozzle: an
//! opening at the pressure and temperature of the air that passes the same mass, at the speed of sound
//! (`birch1984`) or with the same momentum (`birch1987`).

use super::{LeakError, LeakFuel, Release, Surroundings};
use crate::quantity::{
    Length, MassDensity, MassRate, Ratio, Velocity, metres, metres_per_second, ratio,
};
use std::f64::consts::PI;

/// Decay constant of the volume fraction on the axis (`papanikolaou2012`), and the larger one in use.
pub const DECAY: (f64, f64) = (5.0, 5.4);
/// Reduced distance up to which momentum rules [papanikolaou2012].
const MOMENTUM_UNTIL: f64 = 0.53;
const GRAVITY_M_S2: f64 = 9.806_65;

/// How the notional nozzle was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Notional {
    /// Sonic at the temperature of the air (mass conserved).
    Birch1984,
    /// Mass and momentum conserved.
    Birch1987,
    /// Not choked: the Mach number of the hole at the temperature of the air (mass conserved).
    Subsonic,
}

impl Notional {
    /// In words, with the source.
    pub fn name(self) -> &'static str {
        match self {
            Self::Birch1984 => "sonic at the temperature of the air [birch1984]",
            Self::Birch1987 => "mass and momentum conserved [birch1987]",
            Self::Subsonic => "not choked: as fast as in the hole",
        }
    }
}

/// A jet expanded to the pressure of the air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ExpandedJet {
    /// How it was found.
    pub notional: Notional,
    /// Diameter.
    pub diameter: Length,
    /// Velocity.
    pub velocity: Velocity,
    /// Density: fuel vapour at the pressure and temperature of the air.
    pub density: MassDensity,
    /// Density of the air.
    pub air_density: MassDensity,
}

/// Diameter of the opening that passes a flow at a density and velocity: `√(4 ṁ/(π ρ u))`.
///
/// ```
/// use fuelwright::leak::jet::notional_diameter;
/// use fuelwright::quantity::{kilograms_per_cubic_metre, kilograms_per_second, metres_per_second};
/// // hydrogen, table 2 of Papanikolaou et al. (2012)
/// let d = notional_diameter(
///     kilograms_per_second(2.4e-3),
///     kilograms_per_cubic_metre(0.0854),
///     metres_per_second(1292.0),
/// );
/// assert!((d.value - 5.262e-3).abs() < 2e-6);
/// ```
pub fn notional_diameter(flow: MassRate, density: MassDensity, velocity: Velocity) -> Length {
    metres((4.0 * flow.value / (PI * density.value * velocity.value)).sqrt())
}

impl ExpandedJet {
    /// The expanded jet of a release.
    ///
    /// A liquid is taken as all evaporated, with its momentum: for screening only.
    ///
    /// **Source:** `birch1984`, `birch1987`, as carried by `papanikolaou2012`; below choking our choice,
    /// which meets the first where choking begins.
    ///
    /// # Errors
    /// [`LeakError::Air`].
    pub fn of(
        release: &Release,
        fuel: &LeakFuel,
        around: &Surroundings,
        notional: Notional,
    ) -> Result<Self, LeakError> {
        let sonic = fuel.sound.value;
        let (notional, u) = match notional {
            Notional::Birch1984 if release.gas && release.choked => (notional, sonic),
            _ if release.gas && !release.choked => {
                // a throat that condenses has no speed of sound of its own
                let u = release.throat.velocity.value;
                let u = release.throat.mach.map_or(u, |mach| mach * sonic);
                (Notional::Subsonic, u)
            }
            _ => (Notional::Birch1987, release.expanded_velocity().value),
        };
        let velocity = metres_per_second(u.max(1e-3));
        Ok(Self {
            notional,
            diameter: notional_diameter(release.flow, fuel.gas_density, velocity),
            velocity,
            density: fuel.gas_density,
            air_density: around.density()?,
        })
    }

    /// The same jet with another mass flow.
    #[must_use]
    fn with_flow(mut self, from: MassRate, to: MassRate) -> Self {
        self.diameter *= (to.value / from.value).sqrt();
        self
    }

    /// Distance on the axis to a volume fraction: `x = K d √(ρ_air/ρ_jet)/C`.
    ///
    /// * `decay` — the constant `K`, about 5
    ///
    /// **Valid:** free turbulent jet without wind, not obstructed, as long as momentum rules
    /// ([`ExpandedJet::momentum_until`]); the mean over time: the jet is richer at times.
    /// **Source:** `chen-rodi1980`, as carried by `papanikolaou2012`.
    pub fn distance_to(&self, fraction: Ratio, decay: f64) -> Length {
        let root = (self.air_density.value / self.density.value).sqrt();
        // nowhere nearer than the hole itself
        metres((decay * self.diameter.value * root / fraction.value.clamp(1e-9, 1.0)).max(0.0))
    }

    /// Volume fraction on the axis at a distance; 1 in the core.
    ///
    /// **Source:** as [`ExpandedJet::distance_to`].
    pub fn fraction_at(&self, distance: Length, decay: f64) -> Ratio {
        let root = (self.air_density.value / self.density.value).sqrt();
        ratio((decay * self.diameter.value * root / distance.value.max(1e-12)).min(1.0))
    }

    /// Velocity on the axis at a distance: `u 6.2 √(ρ_jet/ρ_air) d/x`, not above that of the jet.
    ///
    /// **Source:** `chen-rodi1980`, as carried by `papanikolaou2012`.
    pub fn velocity_at(&self, distance: Length) -> Velocity {
        const DECAY_OF_VELOCITY: f64 = 6.2;
        let root = (self.density.value / self.air_density.value).sqrt();
        let share = DECAY_OF_VELOCITY * root * self.diameter.value / distance.value.max(1e-12);
        self.velocity * share.min(1.0)
    }

    /// Distance up to which momentum rules; beyond, a light gas rises and a heavy one sinks:
    /// `x = 0.53 d Fr^½ (ρ_jet/ρ_air)^¼`, `Fr = ρ_jet u²/(g d |ρ_air − ρ_jet|)`. `None` for a gas as
    /// heavy as air.
    ///
    /// **Source:** `chen-rodi1980`, as carried by `papanikolaou2012`.
    pub fn momentum_until(&self) -> Option<Length> {
        let (rho, air) = (self.density.value, self.air_density.value);
        let gap = (air - rho).abs();
        if gap <= 1e-6 * air {
            return None;
        }
        let (d, u) = (self.diameter.value, self.velocity.value);
        let froude = rho * u * u / (GRAVITY_M_S2 * d * gap);
        Some(metres(
            MOMENTUM_UNTIL * d * froude.sqrt() * (rho / air).powf(0.25),
        ))
    }
}

/// A distance with its band.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reach {
    /// Best estimate.
    pub value: Length,
    /// Least: lowest flow, momentum conserved, smaller decay constant, highest of the lower limits.
    pub low: Length,
    /// Most: highest flow, larger decay constant.
    pub high: Length,
}

/// How far a free jet reaches.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct JetReach {
    /// The expanded jet.
    pub jet: ExpandedJet,
    /// To the lower flammability limit.
    pub lower_limit: Reach,
    /// To half of it: the distance to plan with.
    pub half_limit: Reach,
    /// Distance up to which momentum rules.
    pub momentum_until: Option<Length>,
}

/// How far the free jet of a release is above its lower limit, and above half of it.
///
/// `None` for what does not burn, and for a liquid that makes a pool instead of a cloud.
///
/// **Valid:** as [`ExpandedJet::distance_to`]. Releases of liquid are taken as all evaporated: they reach
/// farther when they rain out or run along the floor. **Source:** as there.
///
/// # Errors
/// [`LeakError::Air`].
pub fn reach(
    release: &Release,
    fuel: &LeakFuel,
    around: &Surroundings,
) -> Result<Option<JetReach>, LeakError> {
    let Some(limits) = fuel.limits else {
        return Ok(None);
    };
    if release.liquid && !fuel.gas_outside {
        return Ok(None);
    }
    let jet = ExpandedJet::of(release, fuel, around, Notional::Birch1984)?;
    let slender = ExpandedJet::of(release, fuel, around, Notional::Birch1987)?;
    let least = slender.with_flow(release.flow, release.low);
    let most = jet.with_flow(release.flow, release.high);
    let to = |share: f64| {
        let (lower, highest) = (limits.lower * share, limits.lower_highest * share);
        let value = jet.distance_to(lower, DECAY.0);
        let low = least.distance_to(highest, DECAY.0);
        let high = most.distance_to(lower, DECAY.1);
        Reach {
            value,
            low: if low < value { low } else { value },
            high: if high > value { high } else { value },
        }
    };
    Ok(Some(JetReach {
        jet,
        lower_limit: to(1.0),
        half_limit: to(0.5),
        momentum_until: jet.momentum_until(),
    }))
}
