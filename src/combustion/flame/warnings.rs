//! What a flame should make one wary of: flammability limits, soot, carbon monoxide, condensation.

use super::burner::Burner;
use super::error::FlameError;
use super::products::Flame;
use crate::combustion::Flammability;
use crate::combustion::own_air::Alone;
use crate::quantity::Ratio;
use crate::quantity::show::{number, percent};
use crate::quantity::told::errors;

/// Carbon by oxygen (atoms) above which hydrocarbon flames commonly begin to soot; from memory, premixed
/// laboratory flames lie between 0.45 and 0.65.
pub const SOOTING_CARBON_TO_OXYGEN: f64 = 0.5;
/// Carbon monoxide in dry exhaust that is worth a warning, parts per million: the level often named as
/// dangerous within minutes; common practice, no source.
pub const CARBON_MONOXIDE_ALARM_PPM: f64 = 1000.0;

errors! {
    /// One warning.
    #[derive(Copy)]
    pub enum FlameWarning {
        LeanerThanLowerLimit { phi: f64, limit: f64 } =>
            "an equivalence ratio of {} is leaner than the lower flammability limit of cold fuel and air ({}): no flame holds there unless a richer zone or hot air feeds it", number(phi), number(limit);
        RicherThanUpperLimit { phi: f64, limit: f64 } =>
            "an equivalence ratio of {} is richer than the upper flammability limit of cold fuel and air ({}): no flame holds there unless it is fed more air or hot air", number(phi), number(limit);
        SootAtEquilibrium { activity: f64 } =>
            "solid carbon would form at equilibrium (activity {}, above 1): the composition without soot is not the stable one", number(activity);
        SootLikely { carbon_to_oxygen: f64 } =>
            "with {} carbon atoms per oxygen atom real flames commonly soot, though equilibrium does not", number(carbon_to_oxygen);
        CarbonMonoxide { ppm_dry: f64 } =>
            "{} ppm of carbon monoxide in the dry products: deadly within minutes where people breathe it", number(ppm_dry);
        BurnsAlone { share: f64, limit: f64 } =>
            "{} of the fuel is fuel and the rest its own air; {} is clear of burning alone", percent(share), percent(limit);
    }
}

impl FlameWarning {
    /// Whether it is about flammability limits.
    pub fn is_flammability(&self) -> bool {
        matches!(
            self,
            Self::LeanerThanLowerLimit { .. } | Self::RicherThanUpperLimit { .. }
        )
    }
}

/// Equivalence ratios at the flammability limits of cold fuel and air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FlammableRange {
    /// At the lower limit.
    pub lower: f64,
    /// At the upper limit, where known.
    pub upper: Option<f64>,
}

impl Burner {
    /// Equivalence ratios of the flammability limits: `φ = y/(1 − y) · ν`, `y` the mole fraction of fuel at
    /// the limit and `ν` the stoichiometric moles of air.
    ///
    /// **Valid:** fuel and air near 20 °C, 1 atm; hotter, the range widens. Upper limits of blends are rough.
    /// **Source:** that of the limits.
    ///
    /// # Errors
    /// [`FlameError::Combustion`] if the library has no limits of the fuel.
    pub fn flammable_range(&self) -> Result<FlammableRange, FlameError> {
        let limits = Flammability::of(self.fuel.composition())?;
        let phi = |y: Ratio| y.value / (1.0 - y.value) * self.stoichiometric_air_mol;
        Ok(FlammableRange {
            lower: phi(limits.lower),
            upper: limits.upper.map(phi),
        })
    }

    /// What is to be said about a flame of this burner.
    pub fn warnings(&self, flame: &Flame) -> Vec<FlameWarning> {
        let mut found = Vec::new();
        let own_air = Flammability::of(self.fuel.composition())
            .ok()
            .and_then(|f| f.own_air);
        if let Some(own) = own_air.filter(|own| own.alone != Alone::No) {
            found.push(FlameWarning::BurnsAlone {
                share: own.rest,
                limit: own.least_rest(),
            });
        }
        let phi = flame.equivalence_ratio.value;
        if let Ok(range) = self.flammable_range() {
            if phi < range.lower {
                let limit = range.lower;
                found.push(FlameWarning::LeanerThanLowerLimit { phi, limit });
            }
            if let Some(limit) = range.upper.filter(|upper| phi > *upper) {
                found.push(FlameWarning::RicherThanUpperLimit { phi, limit });
            }
        }
        let activity = flame.carbon_activity();
        let [carbon, _, oxygen, ..] = flame.state().atoms_mol();
        let carbon_to_oxygen = carbon / oxygen;
        if activity > 1.0 {
            found.push(FlameWarning::SootAtEquilibrium { activity });
        } else if carbon_to_oxygen > SOOTING_CARBON_TO_OXYGEN {
            found.push(FlameWarning::SootLikely { carbon_to_oxygen });
        }
        let (_, ppm_dry) = flame.carbon_monoxide_ppm();
        if ppm_dry > CARBON_MONOXIDE_ALARM_PPM {
            found.push(FlameWarning::CarbonMonoxide { ppm_dry });
        }
        found
    }
}
