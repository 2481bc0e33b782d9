//! Which blends may have a liquid that the mixture model makes two of.

use super::helmholtz::Fluid;
use super::mixture::Model;
use std::sync::Arc;

/// Components whose liquids with hydrocarbons the mixture models may split in two.
const ALCOHOLS: [&str; 2] = ["methanol", "ethanol"];

/// Temperature at which a liquid with an alcohol is looked at, and up to which none is computed where the model parts it
/// there, K: fuels are stored and metered in between (our choice).
pub(super) const LOOKED_AT_K: f64 = 273.15;
pub(super) const PARTED_UP_TO_K: f64 = 400.0;

/// Critical temperature up to which a component makes no liquid of its own beside water, K: of ethane and carbon dioxide
/// that is a pressure of tens of bar away.
const LIGHT_GAS_K: f64 = 310.0;

/// Ratio of critical temperatures above which liquids of a pair may split in the cold, the temperature below which it
/// is cold, K, and the critical temperature above which a component is so heavy that they do so at any, K. All pairs
/// were searched for liquids whose fugacity falls with their share; what was found is within these.
const FAR_APART: f64 = 1.3;
const COLD_K: f64 = 200.0;
const HEAVY_K: f64 = 600.0;

impl Model {
    /// Whether a liquid may split in two at a temperature: with an alcohol or water and something else in it, with
    /// components far apart in the cold, or with a heavy one and one far lighter.
    pub fn may_split(&self, t_k: f64) -> bool {
        let water = self.fluids().iter().any(|f| f.name == "water");
        if self.has_alcohol_with_other() || water && !self.is_wet_alcohol() {
            return true;
        }
        let criticals = self.fluids().iter().map(|f| f.equation.t_critical_k);
        let lightest = criticals.clone().fold(f64::INFINITY, f64::min);
        let heaviest = criticals.fold(0.0, f64::max);
        heaviest > FAR_APART * lightest && (t_k < COLD_K || heaviest > HEAVY_K)
    }
    /// Whether there is nothing in it but water and alcohols, which mix.
    fn is_wet_alcohol(&self) -> bool {
        let mixes = |f: &Arc<Fluid>| f.name == "water" || ALCOHOLS.contains(&f.name.as_str());
        self.fluids().iter().all(mixes)
    }
    /// Whether there is water in it and a liquefied gas or oil: two liquids in fact, beside the vapour or not.
    pub fn has_water_with_oil(&self) -> bool {
        let water = |f: &Arc<Fluid>| f.name == "water";
        let oil = |f: &Arc<Fluid>| {
            !water(f)
                && !ALCOHOLS.contains(&f.name.as_str())
                && f.equation.t_critical_k > LIGHT_GAS_K
        };
        self.fluids().iter().any(water) && self.fluids().iter().any(oil)
    }
    /// Whether there is an alcohol in it and something that neither is one nor water.
    pub fn has_alcohol_with_other(&self) -> bool {
        let alcohol = |f: &Arc<Fluid>| ALCOHOLS.contains(&f.name.as_str());
        let other = |f: &Arc<Fluid>| !alcohol(f) && f.name != "water";
        self.fluids().iter().any(alcohol) && self.fluids().iter().any(other)
    }
}
