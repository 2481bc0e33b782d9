//! What a fuel holds besides fuel: inert gas that may keep it from burning, air or oxygen with which it may burn alone.

use super::air::Air;
use super::error::CombustionError;
use crate::fuel::{Composition, Fuel};
use crate::quantity::Ratio;
use crate::quantity::show::{number, percent};

/// Oxygen below which nothing here burns, mole fraction: limiting oxygen of hydrogen, the lowest of all fuels (5 %);
/// from memory of NFPA 69.
const LEAST_OXYGEN: f64 = 0.05;
/// Oxygen beyond that of air which makes limits in air say nothing, mole fraction; our choice.
const MOST_EXCESS: f64 = 0.005;
/// How many times the upper limit a fuel with air in it is kept away from it; our choice: limits of blends are rough and
/// rise with pressure, and a mixer drifts.
pub const CLEAR_OF_UPPER_LIMIT: f64 = 2.0;

/// Whether a fuel burns with the oxygen that it holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Alone {
    /// Too little oxygen or far too rich.
    No,
    /// Less than [`CLEAR_OF_UPPER_LIMIT`] times above the upper limit.
    Near,
    /// Within the limits, or with more oxygen than air has.
    Burns,
}

/// Air or oxygen in a fuel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OwnAir {
    /// Share of the fuel that is air, mole fraction.
    pub air: f64,
    /// Share of the rest in it, mole fraction: fuel in that air.
    pub rest: f64,
    /// Lower limit of the rest in air.
    pub rest_lower: f64,
    /// Upper limit of the rest in air.
    pub rest_upper: Option<f64>,
    /// More oxygen than the nitrogen makes air of.
    pub enriched: bool,
    /// Whether it burns so.
    pub alone: Alone,
}

impl OwnAir {
    /// Share of the rest that is clear of burning alone.
    pub fn least_rest(&self) -> f64 {
        let clear = self.rest_upper.map(|u| CLEAR_OF_UPPER_LIMIT * u);
        clear.filter(|_| !self.enriched).unwrap_or(1.0)
    }

    /// What it comes to in words.
    pub fn told(&self) -> String {
        let (air, rest) = (percent(self.air), percent(self.rest));
        let limits = match self.rest_upper {
            Some(upper) => format!("{} to {}", percent(self.rest_lower), percent(upper)),
            None => format!("{} up", percent(self.rest_lower)),
        };
        match self.alone {
            _ if self.enriched => {
                "it holds more oxygen than air does, where limits in air say nothing: taken as a mixture that burns alone"
                    .to_owned()
            }
            Alone::No => format!(
                "{air} of it is air; the rest, {rest}, is too rich to burn in that air (limits {limits}), and burns where it \
                 meets more"
            ),
            Alone::Near => format!(
                "{air} of it is air; the rest, {rest}, is less than {} times the upper limit in air (limits {limits})",
                number(CLEAR_OF_UPPER_LIMIT)
            ),
            Alone::Burns => format!(
                "{air} of it is air; the rest, {rest}, is within its limits in air ({limits}), so it burns alone"
            ),
        }
    }
}

/// Whether a mixture of fuel and inert gas burns in air: `Σ A'_i/T_ci` with `A'_i = A_i / (Σ A_i + Σ B_k K_k)`; it burns
/// where the sum is above one.
///
/// * `flammable` - mole fraction and highest content in nitrogen `T_c` of each
/// * `inert` - mole fraction and nitrogen equivalent `K` of each
///
/// **Valid:** gases at room temperature and 1 atm, without oxygen. **Source:** `iso10156`
///
/// ```
/// use fuelwright::combustion::own_air::fire_potential;
/// // example of the GHS, chapter 2.2 (from memory): 2 % hydrogen, 6 % methane, 27 % argon, 65 % helium
/// let sum = fire_potential(&[(0.02, 0.055), (0.06, 0.087)], &[(0.27, 0.55), (0.65, 0.9)]);
/// assert!((sum - 1.29).abs() < 0.01);
/// ```
pub fn fire_potential(flammable: &[(f64, f64)], inert: &[(f64, f64)]) -> f64 {
    let fuel: f64 = flammable.iter().map(|(a, _)| a).sum();
    let nitrogen: f64 = inert.iter().map(|(b, k)| b * k).sum();
    let parts = flammable.iter().map(|(a, t_c)| a / t_c);
    parts.sum::<f64>() / (fuel + nitrogen)
}

/// The gases of a blend that do not burn, by what they do.
struct Held {
    air: f64,
    excess_oxygen: f64,
    oxygen: f64,
    /// Inert gas that is not of the air: mole fraction and nitrogen equivalent.
    inert: Vec<(f64, f64)>,
}

impl Held {
    fn of(fuel: &Composition) -> Self {
        let of_air = Air::dry().oxygen;
        let gives_oxygen = |f: &Fuel| f.formula.oxygen() < 0.0;
        let is_air_gas = |f: &Fuel| f.formula.n > 0.0 || f.formula.ar > 0.0;
        let share = |of: &dyn Fn(&Fuel) -> bool| -> f64 {
            let parts = fuel.parts().iter().filter(|p| of(&p.fuel));
            parts.map(|p| p.mole_fraction).sum()
        };
        let oxygen = share(&gives_oxygen);
        let bystanders = share(&is_air_gas);
        let air = (oxygen / of_air).min(bystanders / (1.0 - of_air));
        let of_the_air = air * (1.0 - of_air);
        let inert = fuel
            .parts()
            .iter()
            .filter(|p| p.fuel.combustion.is_none() && !gives_oxygen(&p.fuel));
        let equivalent = |f: &Fuel| f.nitrogen_equivalent.as_ref().map_or(1.0, |k| k.value);
        let beyond_air = |f: &Fuel, share: f64| {
            if is_air_gas(f) {
                share * (1.0 - of_the_air / bystanders)
            } else {
                share
            }
        };
        Self {
            air,
            excess_oxygen: oxygen - of_air * air,
            oxygen,
            inert: inert
                .map(|p| (beyond_air(&p.fuel, p.mole_fraction), equivalent(&p.fuel)))
                .collect(),
        }
    }
}

/// Looks at a fuel whose limits, inert gas and air counted in, are known; the air in it, if any.
///
/// # Errors
/// [`CombustionError::NotFlammable`] with the reason.
pub(super) fn check(
    fuel: &Composition,
    lower: Ratio,
    upper: Option<f64>,
) -> Result<Option<OwnAir>, CombustionError> {
    let not_flammable = |why: String| CombustionError::NotFlammable {
        fuel: fuel.label().to_owned(),
        why: why.into(),
    };
    let held = Held::of(fuel);
    if lower.value >= 1.0 {
        return Err(not_flammable(
            "with what it holds besides fuel it is thinner than the lower limit".to_owned(),
        ));
    }
    let highest = |f: &Fuel| Some(f.safety.as_ref()?.highest_in_nitrogen.as_ref()?.value);
    let burning = fuel.parts().iter().filter(|p| p.fuel.combustion.is_some());
    let known: Option<Vec<(f64, f64)>> = burning
        .map(|p| Some((p.mole_fraction, highest(&p.fuel)?)))
        .collect();
    if let Some(flammable) = known.filter(|_| held.excess_oxygen < MOST_EXCESS) {
        let sum = fire_potential(&flammable, &held.inert);
        if sum <= 1.0 {
            return Err(not_flammable(format!(
                "its inert gas keeps it from burning; ISO 10156 makes {} of it, and what burns is above 1 [iso10156]",
                number(sum)
            )));
        }
    }
    if held.oxygen <= 0.0 {
        return Ok(None);
    }
    let rest = 1.0 - held.air;
    let (rest_lower, rest_upper) = (lower.value * rest, upper.map(|u| u * rest));
    let enriched = held.excess_oxygen > MOST_EXCESS;
    let alone = match rest_upper {
        _ if held.oxygen < LEAST_OXYGEN => Alone::No,
        _ if enriched => Alone::Burns,
        Some(u) if rest <= u => Alone::Burns,
        Some(u) if rest > CLEAR_OF_UPPER_LIMIT * u => Alone::No,
        _ => Alone::Near,
    };
    Ok(Some(OwnAir {
        air: held.air,
        rest,
        rest_lower,
        rest_upper,
        enriched: enriched && alone == Alone::Burns,
        alone,
    }))
}
