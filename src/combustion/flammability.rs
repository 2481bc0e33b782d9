//! Flammability limits and ignition data of a fuel or blend, by standard and for hazards.

use super::error::CombustionError;
use super::own_air::{self, OwnAir};
use crate::eos::correlated::partial_pressures_pa;
use crate::fuel::{Composition, FedAs, Formula, Fuel, Limits, SourceKey, Sourced};
use crate::numerics::root::brent;
use crate::quantity::{Ratio, ThermodynamicTemperature, kelvin, ratio};

/// Limits of a fuel or blend by one standard; a limit is there only where the standard has one for
/// every component that burns.
#[derive(Debug, Clone, PartialEq)]
pub struct StandardLimits {
    /// The standard.
    pub source: SourceKey,
    /// Lower flammability limit, mole fraction in air.
    pub lower: Option<Ratio>,
    /// Upper flammability limit, mole fraction in air.
    pub upper: Option<Ratio>,
    /// Lowest auto-ignition temperature of the components.
    pub autoignition: Option<ThermodynamicTemperature>,
    /// Lowest flash point of the components.
    pub flash_point: Option<ThermodynamicTemperature>,
}

/// What hazards are computed with: the most cautious of what the standards say.
#[derive(Debug, Clone, PartialEq)]
pub struct Flammability {
    /// Lower limit: of each component the lowest of the standards, mixed by Le Chatelier.
    pub lower: Ratio,
    /// Upper limit: of each component the highest, mixed by Le Chatelier (poor for upper limits); `None` where the fuel
    /// brings so much inert gas or air that there is none.
    pub upper: Option<Ratio>,
    /// Lowest auto-ignition temperature of components and standards.
    pub autoignition: Option<ThermodynamicTemperature>,
    /// Lowest flash point of components and standards, and of the blend by rule; `None` where all are gases.
    pub flash_point: Option<ThermodynamicTemperature>,
    /// Lowest minimum ignition energy of the components, J.
    pub minimum_ignition_energy: Option<Sourced>,
    /// Smallest quenching distance of the components, m.
    pub quenching_distance: Option<Sourced>,
    /// Highest burning velocity of the components, m/s; inert gas in the fuel slows it.
    pub burning_velocity: Option<Sourced>,
    /// Air or oxygen in the fuel itself, and whether it burns with that alone.
    pub own_air: Option<OwnAir>,
    /// What each standard says.
    pub by_standard: Vec<StandardLimits>,
}

impl Flammability {
    /// Of a fuel or blend, from the limits in its fuel files.
    ///
    /// Inert components dilute: they count in the mole fractions with no limit of their own. Whether they keep the
    /// blend from burning in air at all is told by ISO 10156 ([`own_air::fire_potential`]).
    ///
    /// **Valid:** air at about 20 °C, 1 atm; hotter, limits widen.
    /// **Source:** `le-chatelier`, `iec60079-20-1`, `nfpa497`, `iso10156`
    ///
    /// # Errors
    /// [`CombustionError::DoesNotBurn`], [`CombustionError::NotFlammable`], [`CombustionError::NoLimits`].
    ///
    /// ```
    /// use fuelwright::combustion::flammability::Flammability;
    /// use fuelwright::fuel::{Composition, Library};
    /// let lpg = Composition::parse("propane:60,n-butane:40", &Library::embedded())?;
    /// assert!((Flammability::of(&lpg)?.lower.value - 0.01566).abs() < 1e-5);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn of(fuel: &Composition) -> Result<Self, CombustionError> {
        let burning = burning(fuel);
        if burning.is_empty() {
            return Err(CombustionError::DoesNotBurn {
                fuel: fuel.label().to_owned(),
            });
        }
        let lowest = |f: &Fuel| limits(f).filter_map(|l| l.lower).min_by(f64::total_cmp);
        let highest = |f: &Fuel| limits(f).filter_map(|l| l.upper).max_by(f64::total_cmp);
        if let Some((_, without)) = burning.iter().find(|(_, f)| lowest(f).is_none()) {
            return Err(CombustionError::NoLimits {
                fuel: without.name.clone(),
            });
        }
        let no_lower = || CombustionError::NoLimits {
            fuel: fuel.label().to_owned(),
        };
        let value = |pick: fn(&Fuel) -> Option<&Sourced>| {
            burning.iter().filter_map(move |(_, f)| pick(f)).cloned()
        };
        let by = |a: &Sourced, b: &Sourced| a.value.total_cmp(&b.value);
        let lower = mixed(&burning, lowest).ok_or_else(no_lower)?;
        let upper = mixed(&burning, highest);
        let own_air = own_air::check(fuel, lower, upper.map(|u| u.value))?;
        Ok(Self {
            lower,
            upper: upper.filter(|u| u.value < 1.0),
            own_air,
            autoignition: coldest(&burning, |l| l.autoignition_k),
            // a gas, or a liquid that gives one off, has vapour enough to burn at any temperature
            flash_point: if holds_gas(&burning) {
                None
            } else {
                let coldest = coldest(&burning, |l| l.flash_point_k);
                let by_rule = blended_flash_points(fuel).map(|[lowest, _]| lowest);
                let both = [coldest, by_rule].into_iter().flatten();
                both.min_by(|a, b| a.value.total_cmp(&b.value))
            },
            minimum_ignition_energy: value(|f| {
                f.safety.as_ref()?.minimum_ignition_energy_j.as_ref()
            })
            .min_by(by),
            quenching_distance: value(|f| f.safety.as_ref()?.quenching_distance_m.as_ref())
                .min_by(by),
            burning_velocity: value(|f| f.safety.as_ref()?.burning_velocity_m_s.as_ref())
                .max_by(by),
            by_standard: by_standard(&burning),
        })
    }
}

/// Le Chatelier's rule: `1/L = Σ y_i / L_i` with `y_i` the share of component i in the fuel and
/// `L_i` its limit. `None` for an empty list or a limit that is not above zero.
///
/// **Source:** `le-chatelier`
///
/// ```
/// use fuelwright::combustion::flammability::le_chatelier;
/// // ISO 10156:2017, 80 % methane and 20 % ethane
/// let lower = le_chatelier(&[(0.8, 0.044), (0.2, 0.024)]);
/// assert!((lower.expect("two limits") - 0.037714).abs() < 1e-6);
/// ```
pub fn le_chatelier(shares_and_limits: &[(f64, f64)]) -> Option<f64> {
    let sum: f64 = shares_and_limits.iter().map(|(y, l)| y / l).sum();
    let sound = shares_and_limits.iter().all(|&(y, l)| y >= 0.0 && l > 0.0);
    (sound && sum > 0.0).then(|| 1.0 / sum)
}

/// Estimated limits where no standard has any: `C_st = 1/(1 + 4.76 c + 1.19 h - 2.38 o)`, lower
/// `0.55 C_st`, upper `3.5 C_st`; mole fractions.
///
/// **Valid:** hydrocarbons and their oxygenates in air, as an order of magnitude.
/// **Source:** `crowl-louvar`
pub fn estimated_limits(formula: Formula) -> (Ratio, Ratio) {
    let c_st = 1.0 / (1.0 + 4.76 * formula.c + 1.19 * formula.h - 2.38 * formula.o);
    (ratio(0.55 * c_st), ratio((3.5 * c_st).min(1.0)))
}

/// Flash points of a blend of liquids, by the lowest and by the highest flash point that standards give of each part:
/// where `Σ x_i γ_i p_i(T)/p_i(T_i) = 1` over the parts that burn. An alcohol drives a hydrocarbon out, so that a
/// blend may flash colder than either. `None` for one fuel, or where a part has no groups or flash point.
///
/// **Valid:** within about 5 K (our choice) of what the standards' own spread gives.
/// **Source:** `liaw2002`, `hansen1991`
pub fn blended_flash_points(fuel: &Composition) -> Option<[ThermodynamicTemperature; 2]> {
    let lowest = flash_point_k(fuel, f64::min)?;
    let highest = flash_point_k(fuel, f64::max)?;
    (fuel.parts().len() > 1).then(|| [lowest, highest].map(kelvin))
}

fn flash_point_k(fuel: &Composition, pick: fn(f64, f64) -> f64) -> Option<f64> {
    let mut own: Vec<Option<f64>> = Vec::new();
    let (mut low_k, mut high_k) = (f64::MAX, 0.0_f64);
    for part in fuel.parts() {
        if part.fuel.combustion.is_none() {
            own.push(None);
            continue;
        }
        let t_k = limits(&part.fuel)
            .filter_map(|l| l.flash_point_k)
            .reduce(pick)?;
        low_k = low_k.min(t_k);
        high_k = high_k.max(t_k);
        let alone = partial_pressures_pa(&Composition::pure(&part.fuel), t_k)?;
        own.push(Some(alone[0]));
    }
    let off = |t_k: f64| -> Result<f64, &'static str> {
        let partial = partial_pressures_pa(fuel, t_k).ok_or("a part has no groups")?;
        let parts = partial.iter().zip(&own);
        let sum: f64 = parts.filter_map(|(p, own)| Some(p / (*own)?)).sum();
        Ok(sum.ln())
    };
    brent(off, low_k - 40.0, high_k + 80.0, 0.01).ok()
}

type Burning<'a> = Vec<(f64, &'a Fuel)>;

fn burning(fuel: &Composition) -> Burning<'_> {
    let parts = fuel.parts().iter();
    parts
        .filter(|p| p.fuel.combustion.is_some())
        .map(|p| (p.mole_fraction, &*p.fuel))
        .collect()
}

fn limits(fuel: &Fuel) -> impl Iterator<Item = &Limits> {
    fuel.safety.iter().flat_map(|s| &s.limits)
}

fn mixed(burning: &Burning, limit: impl Fn(&Fuel) -> Option<f64>) -> Option<Ratio> {
    let pairs = burning.iter().map(|&(y, f)| Some((y, limit(f)?)));
    le_chatelier(&pairs.collect::<Option<Vec<_>>>()?).map(ratio)
}

/// Whether a component is a gas.
fn holds_gas(burning: &Burning) -> bool {
    burning.iter().any(|(_, f)| f.fed_as == FedAs::Gas)
}

fn coldest(
    burning: &Burning,
    pick: impl Fn(&Limits) -> Option<f64>,
) -> Option<ThermodynamicTemperature> {
    let all = burning.iter().flat_map(|&(_, f)| limits(f));
    all.filter_map(pick).min_by(f64::total_cmp).map(kelvin)
}

fn by_standard(burning: &Burning) -> Vec<StandardLimits> {
    let mut keys: Vec<&SourceKey> = Vec::new();
    for l in burning.iter().flat_map(|&(_, f)| limits(f)) {
        if !keys.contains(&&l.source) {
            keys.push(&l.source);
        }
    }
    let of = |key: &SourceKey| {
        let entry = |f: &Fuel| limits(f).find(|l| l.source == *key).cloned();
        StandardLimits {
            source: key.clone(),
            lower: mixed(burning, |f| entry(f)?.lower).filter(|l| l.value < 1.0),
            upper: mixed(burning, |f| entry(f)?.upper).filter(|u| u.value < 1.0),
            autoignition: coldest(burning, |l| l.autoignition_k.filter(|_| l.source == *key)),
            flash_point: if burning.len() > 1 && holds_gas(burning) {
                None
            } else {
                coldest(burning, |l| l.flash_point_k.filter(|_| l.source == *key))
            },
        }
    };
    keys.into_iter().map(of).collect()
}
