//! Air in two portions: a richer primary zone, then the rest mixed in.

use super::burner::Burner;
use super::error::FlameError;
use super::products::Flame;
use crate::quantity::Ratio;

/// Primary zone and exit of a burner with staged air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Staged {
    /// Share of the air that enters the primary zone.
    pub primary_share: Ratio,
    /// All the fuel with the primary air.
    pub primary: Flame,
    /// After the rest of the air has mixed in and reacted.
    pub exit: Flame,
}

impl Burner {
    /// Primary zone and exit when a share of the air enters the primary zone with all of the fuel.
    ///
    /// `φ_primary = φ/share`; the exit is the flame at the overall `φ`, because adding the rest of the air
    /// changes neither atoms nor enthalpy of the whole. Heat lost is taken from each zone by the heat
    /// released up to it; heat not set free is missing at the exit only ([`Burner::primary`]).
    ///
    /// **Valid:** both zones within [`Burner::flame`]; time enough to burn out in each.
    /// **Source:** balance of atoms and enthalpy.
    ///
    /// # Errors
    /// [`FlameError::AirShareOutOfRange`], and as [`Burner::flame`].
    ///
    /// ```
    /// use fuelwright::combustion::flame::{Burner, AirFeed, FuelFeed};
    /// use fuelwright::fuel::{Composition, Library};
    /// use fuelwright::quantity::{kelvin, pascals_absolute, ratio};
    /// let fuel = FuelFeed::usual(&Composition::parse("propane", &Library::embedded())?)?;
    /// let burner = Burner::new(fuel, AirFeed::dry(kelvin(288.0))?, pascals_absolute(1.5e5))?;
    /// let staged = burner.staged(ratio(0.3), ratio(0.4))?;
    /// assert!((staged.primary.equivalence_ratio.value - 0.75).abs() < 1e-12);
    /// assert!(staged.primary.temperature > staged.exit.temperature);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn staged(
        &self,
        equivalence_ratio: Ratio,
        primary_share: Ratio,
    ) -> Result<Staged, FlameError> {
        let primary = self.primary(equivalence_ratio, primary_share)?;
        let exit = self.flame_from(equivalence_ratio.value, &primary.state().as_start())?;
        Ok(Staged {
            primary_share,
            primary,
            exit,
        })
    }
}
