//! What a relief device passes of a real fluid, as air, and the orifice areas that are made.

use super::{ReliefFactors, ReliefGas, gas_flux};
use crate::eos::EosError;
use crate::flow::air::DRY_AIR_KG_MOL;
use crate::flow::orifice::{OrificeError, Stagnation, bernoulli_flux, isentropic_flux};
use crate::quantity::range::OutOfRange;
use crate::quantity::told::errors;
use crate::quantity::{
    AbsolutePressure, Area, GAS_CONSTANT_J_MOL_K, MassFlux, STANDARD_ATMOSPHERE_PA, VolumeRate,
    cubic_metres_per_second, kelvin, kilograms_per_mole, kilograms_per_square_metre_second,
};

/// Compressibility factors for which the gas formula is made.
const FORMULA_Z: std::ops::RangeInclusive<f64> = 0.8..=1.1;
/// Pressure at which a fuel is an ideal gas, Pa.
const IDEAL_PA: f64 = 100.0;
/// Air of the rating: 60 °F, heat-capacity ratio.
const AIR_K: f64 = 288.706;
const AIR_GAMMA: f64 = 1.4;

errors! {
    /// Why a relief device could not be worked out.
    pub enum ReliefError {
        Orifice(OrificeError);
        OutOfRange(OutOfRange);
        Eos(EosError);
    }
}

/// By what law a relief device passes a fluid.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ReliefLaw {
    /// Gas or vapour.
    Gas,
    /// Liquid that boils on its way, or liquid and vapour.
    Flashing,
    /// Liquid that stays liquid.
    Liquid,
}

impl ReliefLaw {
    /// Discharge coefficient for a first sizing: 0.975 for gas, 0.85 for what flashes, 0.65 for liquid.
    ///
    /// **Source:** `api520`; that of flashing flow from memory.
    pub fn first_coefficient(self) -> f64 {
        match self {
            Self::Gas => 0.975,
            Self::Flashing => 0.85,
            Self::Liquid => 0.65,
        }
    }

    /// Word for tables.
    pub fn name(self) -> &'static str {
        match self {
            Self::Gas => "gas",
            Self::Flashing => "flashing liquid",
            Self::Liquid => "liquid",
        }
    }
}

/// What an ideal nozzle passes of a fluid, before the factors of the device.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReliefFlux {
    /// The law.
    pub law: ReliefLaw,
    /// Flux to size with: the least of those below.
    pub flux: MassFlux,
    /// Whether a lower back pressure would pass no more.
    pub choked: bool,
    /// By the formula of the standard for gas, with the figures it takes; `None` where it does not hold.
    pub by_formula: Option<(MassFlux, ReliefGas)>,
    /// Down the isentrope of the real fluid, in equilibrium; `None` for a liquid that stays liquid.
    pub by_isentrope: Option<MassFlux>,
}

/// Flux through an ideal nozzle from relieving conditions to a back pressure.
///
/// * gas: the formula of the standard where `Z` is 0.8 to 1.1, and the greatest `ρ √(2 (h₀ − h))` down the isentrope of
///   the real gas; the lesser of the two
/// * liquid whose vapour pressure is above the back pressure, or wet: down the isentrope, in equilibrium, which is the
///   least that such a nozzle passes
/// * other liquid: `√(2 ρ Δp)`, for viscosities below 0.1 Pa s
///
/// **Valid:** steady flow; the range of the property models. **Source:** `api520` (formula; integration along the
/// isentrope in its annex, from memory).
///
/// # Errors
/// [`ReliefError`].
pub fn relief_flux(up: &Stagnation<'_>, back: AbsolutePressure) -> Result<ReliefFlux, ReliefError> {
    let boils = |t_k: f64| match up.fluid().bubble_t(t_k) {
        Ok(bubble) => Ok(bubble.pressure_pa > back.pascals()),
        Err(EosError::AboveCritical { .. }) => Ok(true),
        Err(e) => Err(e),
    };
    let state = up.state();
    if up.is_liquid() && !boils(state.temperature_k)? {
        return Ok(ReliefFlux {
            law: ReliefLaw::Liquid,
            flux: bernoulli_flux(up, back)?,
            choked: false,
            by_formula: None,
            by_isentrope: None,
        });
    }
    let real = isentropic_flux(up, back)?;
    let law = if up.is_gas() {
        ReliefLaw::Gas
    } else {
        ReliefLaw::Flashing
    };
    let z = state.compressibility(up.fluid().molar_mass_kg_mol());
    let by_formula = if law == ReliefLaw::Gas && FORMULA_Z.contains(&z) {
        let ideal = up.fluid().state_pt(IDEAL_PA, state.temperature_k)?;
        let heat = ideal.response()?;
        let gas = ReliefGas {
            pressure: crate::quantity::pascals_absolute(state.pressure_pa),
            temperature: kelvin(state.temperature_k),
            compressibility: z,
            molar_mass: kilograms_per_mole(up.fluid().molar_mass_kg_mol()),
            gamma: heat.cp_j_kg_k / heat.cv_j_kg_k,
        };
        let flux = kilograms_per_square_metre_second(gas_flux(&gas, back.pascals())?);
        Some((flux, gas))
    } else {
        None
    };
    let least = by_formula.map_or(real.flux, |(flux, _)| flux.min(real.flux));
    Ok(ReliefFlux {
        law,
        flux: least,
        choked: real.choked,
        by_formula,
        by_isentrope: Some(real.flux),
    })
}

/// Air that a relief device passes at the same pressures, as the valves of the trade are rated: a volume at 60 °F
/// (15.6 °C) and 1 atm, from air of 60 °F.
///
/// **Valid:** perfect gas. **Source:** `api520` for the flow; the reference state is common practice, no source.
///
/// # Errors
/// [`ReliefError`].
///
/// ```
/// use fuelwright::flow::relief::{ReliefFactors, air_by_volume};
/// use fuelwright::quantity::{pascals_absolute, square_metres};
/// let factors = ReliefFactors { discharge: 0.975, back_pressure: 1.0, combination: 1.0 };
/// let air = air_by_volume(
///     square_metres(71e-6), pascals_absolute(10e5), pascals_absolute(101_325.0), &factors)?;
/// // choked: 0.0404 √K s/m of p A over √T, by hand
/// assert!((air.value / (0.975 * 71e-6 * 10e5 * 0.040_42 / 288.706_f64.sqrt() / 1.2227) - 1.0).abs() < 1e-3);
/// # Ok::<(), fuelwright::flow::relief::ReliefError>(())
/// ```
pub fn air_by_volume(
    area: Area,
    relieving: AbsolutePressure,
    back: AbsolutePressure,
    factors: &ReliefFactors,
) -> Result<VolumeRate, ReliefError> {
    let air = ReliefGas {
        pressure: relieving,
        temperature: kelvin(AIR_K),
        compressibility: 1.0,
        molar_mass: kilograms_per_mole(DRY_AIR_KG_MOL),
        gamma: AIR_GAMMA,
    };
    let flow_kg_s = area.value * factors.product()? * gas_flux(&air, back.pascals())?;
    let density = STANDARD_ATMOSPHERE_PA * DRY_AIR_KG_MOL / (GAS_CONSTANT_J_MOL_K * AIR_K);
    Ok(cubic_metres_per_second(flow_kg_s / density))
}

/// An orifice of a relief valve that is made: its letter and least area.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Letter {
    /// Letter.
    pub letter: &'static str,
    /// Area, square inches.
    pub square_inches: f64,
}

impl Letter {
    /// Its area.
    pub fn area(&self) -> Area {
        crate::quantity::square_metres(self.square_inches * 0.0254 * 0.0254)
    }
}

/// Orifice letters with their areas. **Source:** `api526`.
pub const LETTERS: [Letter; 14] = {
    const fn of(letter: &'static str, square_inches: f64) -> Letter {
        Letter {
            letter,
            square_inches,
        }
    }
    [
        of("D", 0.110),
        of("E", 0.196),
        of("F", 0.307),
        of("G", 0.503),
        of("H", 0.785),
        of("J", 1.287),
        of("K", 1.838),
        of("L", 2.853),
        of("M", 3.60),
        of("N", 4.34),
        of("P", 6.38),
        of("Q", 11.05),
        of("R", 16.00),
        of("T", 26.00),
    ]
};

/// The smallest orifice with at least this area; `None`: more than one valve has.
///
/// **Source:** `api526`.
pub fn next_letter(area: Area) -> Option<Letter> {
    let mut all = LETTERS.iter();
    all.find(|l| l.area() >= area).copied()
}
