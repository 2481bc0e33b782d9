//! What the correlations of a liquid give within their range: density, heat, vapour pressure, viscosity, and states.

use super::{Asked, Findings, at, flash_point, temperatures, times};
use crate::eos::correlated::Correlated;
use crate::eos::{Backend, Phase};
use crate::fuel::{Composition, Correlation, Fuel, Library, Mistake};
use crate::quantity::GAS_CONSTANT_J_MOL_K;
use crate::quantity::show::short;
use std::ops::RangeInclusive;
use std::sync::Arc;

/// Entropy of vaporization over R at the temperature of the latent heat: 10 to 13 by Trouton's rule at one
/// atmosphere, more where it is colder.
const TROUTON: RangeInclusive<f64> = 6.0..=30.0;
/// Latent heat over what the slope of the vapour pressure gives: refinery fuels, which boil over a range, are 1.7 off.
const LATENT: RangeInclusive<f64> = 0.55..=1.8;
/// Speed of sound over `√(K/ρ)` with the isothermal modulus.
const SOUND: RangeInclusive<f64> = 0.85..=1.35;

/// Heat capacity of the liquid over that of its vapour as a thin gas.
const HEAT: RangeInclusive<f64> = 1.03..=2.1;

const NUMBERS: &str = "look for a wrong digit or sign among its numbers";

/// What is wrong with a fuel's correlations.
pub(super) fn mistakes(library: &Library, fuel: &Fuel) -> Vec<Mistake> {
    let mut f = Findings::default();
    let Some(k) = &fuel.correlation else {
        return f.0;
    };
    liquid(&mut f, k);
    vapour_pressure(&mut f, k, fuel);
    if f.0.is_empty() {
        states(&mut f, library, fuel);
    }
    f.0
}

/// Each correlation by itself, through its range.
fn liquid(f: &mut Findings, k: &Correlation) {
    let [low, high] = k.t_range_k;
    let mut falling =
        |key, unit, what: &str, range: RangeInclusive<f64>, of: &dyn Fn(f64) -> f64| {
            let asked = Asked {
                key,
                unit,
                look_at: NUMBERS,
            };
            let mut last = f64::INFINITY;
            for t_k in temperatures(low, high, 16) {
                let value = of(t_k);
                let what = format!("{what} {}", at(t_k));
                let want = format!(
                    "from {} to {}, and less the warmer it is",
                    short(*range.start()),
                    short(*range.end())
                );
                if !f.need(
                    range.contains(&value) && value < last,
                    asked,
                    what,
                    value,
                    want,
                ) {
                    return;
                }
                last = value;
            }
        };
    let key = "correlation.density";
    falling(key, "kg/m³", "a density", 300.0..=2000.0, &|t| {
        k.density.at(t)
    });
    let nu = |t| 1e6 * k.viscosity.kinematic_viscosity_m2_s(t);
    let key = "correlation.viscosity";
    falling(key, "mm²/s", "a viscosity", 0.1..=5000.0, &nu);
    let (sound, modulus) = (k.speed_of_sound_m_s.value, k.bulk_modulus_pa.value);
    let middle = 0.5 * (low + high);
    let by_modulus = (modulus / k.density.at(middle)).sqrt();
    let asked = Asked {
        key: "correlation.speed_of_sound_m_s",
        unit: "m/s",
        look_at: "look at the speed of sound, the bulk modulus and the density",
    };
    let want = format!(
        "{}, which bulk modulus and density give",
        times(&SOUND, by_modulus)
    );
    let holds = SOUND.contains(&(sound / by_modulus)) || by_modulus.is_nan();
    f.need(holds, asked, "a speed of sound", sound, want);
}

/// Vapour pressure, and the latent heat that belongs to its slope.
fn vapour_pressure(f: &mut Findings, k: &Correlation, fuel: &Fuel) {
    let [low, high] = k.t_range_k;
    let key = "correlation.vapour_pressure";
    let asked = Asked {
        key,
        unit: "Pa",
        look_at: NUMBERS,
    };
    let mut last = 0.0;
    for t_k in temperatures(low, high, 16) {
        let p = k.vapour_pressure.at(t_k);
        let what = format!("a vapour pressure {}", at(t_k));
        let want = format!(
            "above 0, below p_critical_pa, {}, and more the warmer it is",
            short(k.p_critical_pa)
        );
        if !f.need(last < p && p < k.p_critical_pa, asked, what, p, want) {
            return;
        }
        last = p;
    }
    let l = &k.latent_heat;
    let t_k = l.t_k;
    let per_mole = l.value_j_kg * fuel.molar_mass_kg_mol;
    let asked = Asked {
        key: "correlation.latent_heat",
        unit: "",
        look_at: "look at the latent heat and its temperature",
    };
    let entropy = per_mole / (GAS_CONSTANT_J_MOL_K * t_k);
    let want = format!(
        "from {} to {}, as of other liquids",
        short(*TROUTON.start()),
        short(*TROUTON.end())
    );
    let what = format!("an entropy of vaporization {}, over R,", at(t_k));
    f.need(TROUTON.contains(&entropy), asked, what, entropy, want);
    let dt_k = 1e-3 * t_k;
    let slope =
        (k.vapour_pressure.at(t_k + dt_k) / k.vapour_pressure.at(t_k - dt_k)).ln() / (2.0 * dt_k);
    let by_slope = slope * GAS_CONSTANT_J_MOL_K * t_k * t_k / fuel.molar_mass_kg_mol;
    let asked = Asked {
        unit: "J/kg",
        look_at: "look at the latent heat and the vapour pressure",
        ..asked
    };
    let want = format!(
        "{}, which the slope of the vapour pressure gives",
        times(&LATENT, by_slope)
    );
    let holds = LATENT.contains(&(l.value_j_kg / by_slope));
    f.need(
        holds,
        asked,
        format!("a latent heat {}", at(t_k)),
        l.value_j_kg,
        want,
    );
    flash_point(f, key, fuel, &|t_k| Some(k.vapour_pressure.at(t_k)));
}

/// States of liquid and vapour through the range.
fn states(f: &mut Findings, library: &Library, fuel: &Fuel) {
    let asked = Asked {
        key: "correlation",
        unit: "",
        look_at: "its correlations do not fit together",
    };
    let composition = Composition::pure(&Arc::new(fuel.clone()));
    let backend = match Correlated::new(library, &composition) {
        Ok(backend) => backend,
        Err(e) => return f.none(asked, format!("properties ({e})")),
    };
    let [low, high] = fuel.correlation.as_ref().map_or([0.0; 2], |k| k.t_range_k);
    for t_k in temperatures(low, high, 8) {
        for p_pa in [1e3, 1e5, 1e6, 1e7] {
            let state = backend.state_pt(p_pa, t_k).ok().and_then(|s| s.response);
            let sound = state.is_some_and(|r| {
                r.cv_j_kg_k > 0.0 && r.cp_j_kg_k >= r.cv_j_kg_k && r.speed_of_sound_m_s > 0.0
            });
            if !sound {
                let what = format!(
                    "heat capacity or speed of sound {} and {} Pa",
                    at(t_k),
                    short(p_pa)
                );
                return f.none(asked, what);
            }
        }
        let (Ok(liquid), Ok(gas)) = (
            backend.state_pt_in(1e5, t_k, Phase::Liquid),
            backend.state_pt_in(1.0, t_k, Phase::Gas),
        ) else {
            continue;
        };
        let (Some(liquid), Some(gas)) = (liquid.response, gas.response) else {
            continue;
        };
        let asked = Asked {
            key: "correlation.heat_capacity",
            unit: "J/(kg K)",
            look_at: "look for a wrong number in the heat capacity, or in [nasa]",
        };
        let want = format!("{}, that of its vapour", times(&HEAT, gas.cp_j_kg_k));
        let what = format!("a heat capacity {}", at(t_k));
        let share = liquid.cp_j_kg_k / gas.cp_j_kg_k;
        if !f.need(HEAT.contains(&share), asked, what, liquid.cp_j_kg_k, want) {
            return;
        }
    }
}
