//! What comes out of a hole: gas, flashing liquid or both, with the band of an unknown edge.

use super::LeakError;
use crate::flow::discharge::DischargeCoefficient;
use crate::flow::orifice::{Expansion, Stagnation, Throat};
use crate::injector::hole::{HoleMake, InletEdge};
use crate::injector::supply::IdealHole;
use crate::quantity::range::{in_range, in_range_of};
use crate::quantity::{
    AbsolutePressure, Area, Length, MassFlux, MassRate, Ratio, ThermodynamicTemperature, Velocity,
    kelvin, kilograms_per_second, kilograms_per_square_metre_second, metres, metres_per_second,
    square_metres,
};
use std::f64::consts::PI;

/// Length of a hole in diameters where none is given: a hole as deep as it is wide. Our choice.
const LENGTH_OVER_DIAMETER: f64 = 1.0;
/// Highest coefficient of a hole whose edge nobody has seen: a rounded one [iec60079-10-1].
const ROUNDED: f64 = 0.99;
/// Highest coefficient of a hole with a sharp edge [iec60079-10-1]: where nobody has seen the hole, neither
/// contraction nor a cavity lessens the bound of a liquid release below it.
const SHARP_AT_MOST: f64 = 0.75;
/// Coefficients where no model reaches: gas and liquid. Those of a thick hole and a sharp one.
const FALLBACK: (f64, f64) = (0.84, 0.61);
/// Lowest coefficient in that case. Our choice.
const FALLBACK_LOW: f64 = 0.5;
/// Share of vapour from which a wet gas is told as gas.
const DRY: f64 = 1.0 - 1e-6;
/// Length up to which a hole counts as short, m: along a longer one a liquid boils on its way and the flow falls
/// towards equilibrium [fauske-epstein1988].
pub const SHORT_HOLE_M: f64 = 0.1;
/// How a liquid is taken to expand where a hazard is planned: by what bounds its release. The blend of the two ends
/// is fitted to a few nozzles, and a fitted value does not lessen a hazard.
pub const BOUNDING: Expansion = Expansion::Bernoulli;
/// Relative difference of both ends from which it matters how a liquid expands; a liquid that does not boil differs by
/// its compressibility, some tenths of a per cent.
const MATTERS: f64 = 0.01;
/// Diameters that are looked at, m.
const DIAMETERS_M: std::ops::RangeInclusive<f64> = 1e-6..=1.0;

/// A hole that nobody made on purpose.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hole {
    /// Diameter of the round hole of its area.
    pub diameter: Length,
    /// Discharge coefficient, where it is known; `None`: by model, with a wide band.
    pub coefficient: Option<Ratio>,
}

impl Hole {
    /// A hole of a diameter, its edge not known.
    pub fn of(diameter: Length) -> Self {
        Self {
            diameter,
            coefficient: None,
        }
    }

    /// A hole of an area, its edge not known.
    pub fn of_area(area: Area) -> Self {
        Self::of(metres((4.0 * area.value / PI).sqrt()))
    }

    /// Area.
    pub fn area(&self) -> Area {
        square_metres(PI / 4.0 * self.diameter.value.powi(2))
    }
}

/// How what is not all gas expands in a hole, and what passes at both ends of what it may do.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Expanding {
    /// The one taken.
    pub taken: Expansion,
    /// Flow in equilibrium, at the coefficient taken: the least.
    pub equilibrium: MassRate,
    /// Flow without (further) vapour, at the coefficient taken: the most.
    pub bernoulli: MassRate,
}

impl Expanding {
    /// Whether enough may boil in the hole that it matters how it expands.
    pub fn boils(&self) -> bool {
        self.equilibrium.value < self.bernoulli.value * (1.0 - MATTERS)
    }
}

/// What comes out, at the first moment.
#[derive(Debug, Clone)]
pub struct Release {
    /// Mass flow.
    pub flow: MassRate,
    /// Least it may be: sharp edge, and for a liquid all in equilibrium in the hole.
    pub low: MassRate,
    /// Most it may be: rounded edge, and for a liquid no vapour in the hole.
    pub high: MassRate,
    /// Ideal flux, before the coefficient.
    pub flux: MassFlux,
    /// Coefficient with its band.
    pub coefficient: DischargeCoefficient,
    /// Area of the hole.
    pub area: Area,
    /// The flow does not depend on the pressure outside.
    pub choked: bool,
    /// State in the throat.
    pub throat: Throat,
    /// Whether it is liquid before the hole.
    pub liquid: bool,
    /// Whether it is gas before the hole, at its dew point at most.
    pub gas: bool,
    /// Share of the mass that is vapour when it has come down to the pressure outside; 1 for gas.
    pub vapour_outside: Ratio,
    /// Temperature then.
    pub temperature_outside: ThermodynamicTemperature,
    /// Pressure outside.
    pub outside: AbsolutePressure,
    /// How it expands in the hole; `None` for gas.
    pub expanding: Option<Expanding>,
    /// Velocity of the jet of what is not gas, m/s.
    jet_m_s: Option<f64>,
}

impl Release {
    /// The same release where another flow comes out, with its band.
    #[must_use]
    pub(super) fn passing(self, flow: MassRate) -> Self {
        let by = flow / self.flow;
        Self {
            flow,
            low: self.low * by,
            high: self.high * by,
            expanding: self.expanding.map(|e| Expanding {
                equilibrium: e.equilibrium * by,
                bernoulli: e.bernoulli * by,
                ..e
            }),
            ..self
        }
    }

    /// Whether its flow is one to plan a hazard with: of gas, of liquid that does not boil, or by [`BOUNDING`].
    pub fn is_bounding(&self) -> bool {
        self.expanding
            .is_none_or(|e| !e.boils() || e.taken == BOUNDING)
    }

    /// Velocity once expanded to the pressure outside, momentum conserved: `u + (p − p_out)/G`, with
    /// throat values; of liquid in the parts that it is made of.
    ///
    /// **Source:** `birch1987`.
    pub fn expanded_velocity(&self) -> Velocity {
        if let Some(jet_m_s) = self.jet_m_s {
            return metres_per_second(jet_m_s);
        }
        let excess = self.throat.pressure.pascals() - self.outside.pascals();
        let push = if self.flux.value > 0.0 {
            excess.max(0.0) / self.flux.value
        } else {
            0.0
        };
        metres_per_second(self.throat.velocity.value + push)
    }
}

/// What comes out of a hole.
///
/// `ṁ = C A G`, with the real fluid's greatest flux `G` along the isentrope for gas, choked or not. Liquid, and
/// liquid with vapour, by the expansion asked for: [`BOUNDING`] is the liquid that does not boil in the hole,
/// `G = √(2 ρ (p − p_out))`. Without a coefficient the hole is taken as a square-edged one as deep as wide, with no
/// less than 0.75 for a liquid by what bounds it; the band runs from a sharp thin edge in equilibrium to a rounded
/// one without vapour.
///
/// * `outside` — pressure the hole opens to
///
/// **Valid:** one round hole fed from a large space; cracks and threads pass less than a round hole of
/// their area, and liquid through a hole longer than [`SHORT_HOLE_M`] less than what bounds it.
/// **Errors:** [`LeakError`]. **Source:** as `flow::orifice` and `flow::discharge`; span of the edges
/// `iec60079-10-1`.
///
/// # Errors
/// As above.
///
/// ```
/// use fuelwright::eos::backend;
/// use fuelwright::flow::orifice::Stagnation;
/// use fuelwright::fuel::{Composition, Library};
/// use fuelwright::leak::release::{BOUNDING, Hole, release};
/// use fuelwright::quantity::{kelvin, metres, pascals_absolute};
/// let library = Library::embedded();
/// let propane = backend(&library, &Composition::parse("propane", &library)?)?;
/// let up = Stagnation::at(propane.as_ref(), pascals_absolute(3e5), kelvin(293.15))?;
/// let air = pascals_absolute(101_325.0);
/// let leak = release(&up, air, &Hole::of(metres(1e-3)), BOUNDING)?;
/// assert!(leak.choked && (leak.flow.value - 5.4e-4).abs() < 0.1e-4);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn release(
    up: &Stagnation<'_>,
    outside: AbsolutePressure,
    hole: &Hole,
    expansion: Expansion,
) -> Result<Release, LeakError> {
    in_range_of("hole diameter", hole.diameter.value, DIAMETERS_M, "m")?;
    Opening::new(up, outside, expansion)?.release(hole)
}

/// What waits behind a hole of any size: the ideal flux, and what the fuel is once it is out.
#[derive(Debug)]
pub(super) struct Opening<'a> {
    ideal: IdealHole<'a>,
    /// How it expands and the fluxes of both ends, kg/(m² s); `None` for gas.
    ends: Option<(Expansion, [f64; 2])>,
    outside: AbsolutePressure,
    /// Vapour share and temperature outside.
    settled: (f64, f64),
}

impl<'a> Opening<'a> {
    /// What waits at a state, as [`release`].
    pub(super) fn new(
        up: &Stagnation<'a>,
        outside: AbsolutePressure,
        expansion: Expansion,
    ) -> Result<Self, LeakError> {
        let state = *up.state();
        if state.pressure_pa <= outside.pascals() {
            return Err(LeakError::NoPressure {
                inside_pa: state.pressure_pa,
                outside_pa: outside.pascals(),
            });
        }
        // vapour at its dew point may come with a rounding error of liquid in it
        let gas = up.is_gas() || (!up.is_liquid() && state.vapour_mass_fraction > DRY);
        let flux = |e| IdealHole::new(up.clone(), outside, e).map(|hole| hole.flux);
        let ends = if gas {
            None
        } else {
            let ends = [flux(Expansion::Equilibrium)?, flux(Expansion::Bernoulli)?];
            Some((expansion, ends))
        };
        Ok(Self {
            ideal: IdealHole::new(up.clone(), outside, expansion)?,
            ends,
            outside,
            settled: settled(up, outside.pascals()),
        })
    }

    /// What comes out of one hole.
    pub(super) fn release(&self, hole: &Hole) -> Result<Release, LeakError> {
        let d_m = in_range_of("hole diameter", hole.diameter.value, DIAMETERS_M, "m")?;
        let (ideal, outside, up) = (&self.ideal, self.outside, &self.ideal.up);
        let coefficient = match hole.coefficient {
            Some(given) => {
                let value = in_range("discharge coefficient", given.value, 0.01..=1.0)?;
                DischargeCoefficient {
                    value,
                    low: value,
                    high: value,
                    models: vec!["given by the user"],
                    notes: Vec::new(),
                }
            }
            None => by_model(ideal, d_m, self.ends.is_some_and(|(e, _)| e == BOUNDING)),
        };
        let area = PI / 4.0 * d_m * d_m;
        let (vapour, t_k) = self.settled;
        let passes = |c: f64, flux: f64| kilograms_per_second(c * area * flux);
        let [least, most] = self
            .ends
            .map_or([ideal.flux; 2], |(_, [a, b])| [a.min(b), a.max(b)]);
        Ok(Release {
            flow: passes(coefficient.value, ideal.flux),
            low: passes(coefficient.low, least),
            high: passes(coefficient.high, most),
            expanding: self
                .ends
                .map(|(taken, [equilibrium, bernoulli])| Expanding {
                    taken,
                    equilibrium: passes(coefficient.value, equilibrium),
                    bernoulli: passes(coefficient.value, bernoulli),
                }),
            jet_m_s: ideal.jet_m_s,
            flux: kilograms_per_square_metre_second(ideal.flux),
            coefficient,
            area: square_metres(area),
            choked: ideal.choked,
            throat: ideal.throat,
            liquid: up.is_liquid(),
            gas: self.ends.is_none(),
            vapour_outside: crate::quantity::ratio(vapour),
            temperature_outside: kelvin(t_k),
            outside,
        })
    }
}

/// Coefficient of a hole that nobody has seen; `bounding`: of a liquid by what bounds its release.
fn by_model(ideal: &IdealHole<'_>, d_m: f64, bounding: bool) -> DischargeCoefficient {
    let mut found = best_model(ideal, d_m);
    if bounding && found.value < SHARP_AT_MOST {
        found.value = SHARP_AT_MOST;
        found.models = vec!["the highest of sharp-edged holes [iec60079-10-1]"];
    }
    found
}

fn best_model(ideal: &IdealHole<'_>, d_m: f64) -> DischargeCoefficient {
    let make = |edge, length_m: f64| HoleMake {
        edge,
        length: Some(metres(length_m)),
        tolerance: None,
        tested: None,
    };
    let deep = ideal.coefficient(
        &make(InletEdge::Drilled, LENGTH_OVER_DIAMETER * d_m),
        metres(d_m),
    );
    let thin = ideal.coefficient(&make(InletEdge::Sharp, 0.0), metres(d_m));
    match (deep, thin) {
        (Ok(deep), Ok(thin)) => DischargeCoefficient {
            low: deep.low.min(thin.low),
            high: deep.high.max(ROUNDED),
            // what is said of drilled holes and their burrs is not of this hole
            notes: Vec::new(),
            ..deep
        },
        _ => DischargeCoefficient {
            value: if ideal.up.is_liquid() {
                FALLBACK.1
            } else {
                FALLBACK.0
            },
            low: FALLBACK_LOW,
            high: ROUNDED,
            models: vec!["a fixed coefficient, our choice"],
            notes: vec![
                "the hole is too small, or its fluid's viscosity not known, for a model of its coefficient: a fixed one is taken, which overstates a flow that creeps"
                    .to_owned(),
            ],
        },
    }
}

/// Vapour share and temperature once at rest at the pressure outside: constant enthalpy.
fn settled(up: &Stagnation<'_>, p_pa: f64) -> (f64, f64) {
    let state = up.state();
    match up.fluid().state_ph(p_pa, state.enthalpy_j_kg) {
        Ok(s) => (s.vapour_mass_fraction, s.temperature_k),
        // colder than the equation reaches: as it was
        Err(_) => (state.vapour_mass_fraction, state.temperature_k),
    }
}
