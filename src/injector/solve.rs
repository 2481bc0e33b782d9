//! The one of diameter, number, pressure and flow that is left free.

use super::error::InjectorError;
use super::hole::HoleMake;
use super::input::InjectorInput;
use super::supply::{IdealHole, Supply};
use crate::eos::Phase;
use crate::flow::discharge::{DischargeCoefficient, DischargeError};
use crate::flow::orifice::Stagnation;
use crate::fuel::FedAs;
use crate::numerics::root::{RootError, brent_from};
use crate::quantity::range::positive;
use crate::quantity::{AbsolutePressure, Length, metres, pascals_absolute};
use std::f64::consts::FRAC_PI_4;

/// Relative tolerance of a diameter.
const DIAMETER_TOLERANCE: f64 = 1e-12;
/// Relative tolerance of a supply pressure.
const PRESSURE_TOLERANCE: f64 = 1e-13;
/// Finest hole that is looked at, m: no drill is near it, and below it a gas is no continuum. Our choice.
const LEAST_HOLE_M: f64 = 1e-6;
/// Most rounds of the diameter with its own coefficient; ten are usual.
const MAX_ROUNDS: usize = 200;
/// Discharge coefficient of a first guess, and the factor on the drop by which the search first widens.
const USUAL_COEFFICIENT: f64 = 0.8;
const WIDENING: f64 = 1.3;
/// Highest supply pressure looked at, Pa; our choice.
const HIGHEST_PA: f64 = 5e7;
/// Lowest chamber pressure looked at, Pa; our choice.
const LOWEST_CHAMBER_PA: f64 = 100.0;
/// Saturated supplies are looked at up to this share of the critical pressure.
const NEAR_CRITICAL: f64 = 0.95;

/// What was left free.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Unknown {
    /// Hole diameter.
    Diameter,
    /// Number of holes.
    Holes,
    /// Supply pressure.
    Pressure,
    /// Fuel flow.
    Flow,
}

impl Unknown {
    /// Words for it.
    pub fn name(self) -> &'static str {
        match self {
            Self::Diameter => "hole diameter",
            Self::Holes => "number of holes",
            Self::Pressure => "supply pressure",
            Self::Flow => "fuel flow",
        }
    }
}

/// All four, with the hole they belong to.
pub(super) struct Solved<'a> {
    pub(super) unknown: Unknown,
    pub(super) ideal: IdealHole<'a>,
    pub(super) coefficient: DischargeCoefficient,
    pub(super) d_m: f64,
    pub(super) holes: u32,
    /// Number of holes that would pass exactly the flow wanted.
    pub(super) exact_holes: f64,
    /// Flow of `holes` holes of `d_m`, kg/s.
    pub(super) flow_kg_s: f64,
    /// Flow wanted; the flow itself where that was free, kg/s.
    pub(super) wanted_kg_s: f64,
}

pub(super) fn solve<'a>(input: &InjectorInput<'a>) -> Result<Solved<'a>, InjectorError> {
    let unknown = unknown(input)?;
    let chamber_pa = positive("chamber pressure", input.chamber.pascals())?;
    if chamber_pa < LOWEST_CHAMBER_PA {
        return Err(InjectorError::ChamberNearVacuum {
            chamber_pa,
            lowest_pa: LOWEST_CHAMBER_PA,
        });
    }
    let holes = input
        .holes
        .map(|n| positive("number of holes", f64::from(n)))
        .transpose()?;
    let d_m = input.diameter.map(looked_at).transpose()?;
    let wanted = input
        .flow
        .map(|m| positive("fuel flow", m.value))
        .transpose()?;
    let ideal = match input.supply_pressure {
        Some(p) => {
            positive("supply pressure", p.pascals())?;
            if p.pascals() <= chamber_pa {
                return Err(InjectorError::ChamberAboveSupply {
                    chamber_pa,
                    supply_pa: p.pascals(),
                });
            }
            ideal_at(input, p, input.phase)?
        }
        None => supply_pressure(
            input,
            holes.expect("only the pressure is free"),
            d_m.expect("only the pressure is free"),
            wanted.expect("only the pressure is free"),
        )?,
    };
    let d_m = match d_m {
        Some(d_m) => d_m,
        None => diameter(
            &input.make,
            &ideal,
            wanted.expect("only the diameter is free") / holes.expect("only the diameter is free"),
        )?,
    };
    let coefficient = ideal.coefficient(&input.make, metres(d_m))?;
    let of_one = FRAC_PI_4 * d_m * d_m * coefficient.value * ideal.flux;
    let exact_holes =
        holes.unwrap_or_else(|| wanted.expect("only the number of holes is free") / of_one);
    let holes = whole(exact_holes)?;
    let flow_kg_s = f64::from(holes) * of_one;
    Ok(Solved {
        unknown,
        ideal,
        coefficient,
        d_m,
        holes,
        exact_holes,
        flow_kg_s,
        wanted_kg_s: wanted.unwrap_or(flow_kg_s),
    })
}

/// The nearest whole number of holes, at least one.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // bounded just above
fn whole(exact: f64) -> Result<u32, InjectorError> {
    let n = exact.round().max(1.0);
    if n > 1e6 {
        return Err(InjectorError::NotConverged {
            what: "number of holes",
            last: exact,
        });
    }
    Ok(n as u32)
}

fn unknown(input: &InjectorInput<'_>) -> Result<Unknown, InjectorError> {
    let missing: Vec<Unknown> = [
        (input.supply_pressure.is_none(), Unknown::Pressure),
        (input.holes.is_none(), Unknown::Holes),
        (input.diameter.is_none(), Unknown::Diameter),
        (input.flow.is_none(), Unknown::Flow),
    ]
    .into_iter()
    .filter_map(|(free, which)| free.then_some(which))
    .collect();
    match missing.as_slice() {
        [one] => Ok(*one),
        [] => Err(InjectorError::NothingToFind),
        many => Err(InjectorError::TooLittleGiven {
            count: many.len(),
            missing: many.iter().map(|u| u.name()).collect::<Vec<_>>().join(", "),
        }),
    }
}

fn ideal_state<'a>(
    input: &InjectorInput<'a>,
    pressure: AbsolutePressure,
    phase: Option<FedAs>,
) -> Result<Stagnation<'a>, InjectorError> {
    input.supply.at(input.fluid, pressure, phase)
}

fn ideal_at<'a>(
    input: &InjectorInput<'a>,
    pressure: AbsolutePressure,
    phase: Option<FedAs>,
) -> Result<IdealHole<'a>, InjectorError> {
    let up = ideal_state(input, pressure, phase)?;
    IdealHole::new(up, input.chamber, input.expansion)
}

/// A diameter that is above zero and not too fine.
fn looked_at(diameter: Length) -> Result<f64, InjectorError> {
    let diameter_m = positive("hole diameter", diameter.value)?;
    if diameter_m < LEAST_HOLE_M {
        return Err(InjectorError::HoleTooFine {
            diameter_m,
            least_m: LEAST_HOLE_M,
        });
    }
    Ok(diameter_m)
}

/// Diameter that passes `m` kg/s: `d = √(4 m / (π C_d(d) G))`, repeated until `C_d` belongs to it.
///
/// `C_d` moves by far less than `d²` does, so each round at least halves the error.
fn diameter(make: &HoleMake, ideal: &IdealHole<'_>, m: f64) -> Result<f64, InjectorError> {
    let with = |c_d: f64| (m / (FRAC_PI_4 * c_d * ideal.flux)).sqrt();
    let mut d_m = with(0.8);
    for _ in 0..MAX_ROUNDS {
        let next = with(ideal.coefficient(make, metres(d_m))?.value);
        if (next - d_m).abs() <= DIAMETER_TOLERANCE * next {
            return Ok(next);
        }
        d_m = next;
    }
    Err(InjectorError::NotConverged {
        what: "hole diameter",
        last: d_m,
    })
}

/// The supply at which the holes pass the flow wanted.
fn supply_pressure<'a>(
    input: &InjectorInput<'a>,
    holes: f64,
    d_m: f64,
    wanted_kg_s: f64,
) -> Result<IdealHole<'a>, InjectorError> {
    if let Some(range) = usual_range(input)
        && let Some(found) = within(input, (holes, d_m), wanted_kg_s, &range)?
    {
        return Ok(found);
    }
    let range = pressure_range(input)?;
    if range.low_pa > range.high_pa {
        return Err(InjectorError::ChamberAboveAll {
            chamber_pa: input.chamber.pascals(),
            highest_pa: range.high_pa,
        });
    }
    within(input, (holes, d_m), wanted_kg_s, &range)?.map_or_else(
        || {
            let flow = |p_pa| flow(input, (holes, d_m), &range, p_pa);
            Err(InjectorError::FlowOutOfReach {
                wanted_kg_s,
                lowest_pa: range.low_pa,
                highest_pa: range.high_pa,
                limit: range.limit,
                least_kg_s: flow(range.low_pa)?,
                most_kg_s: flow(range.high_pa)?,
            })
        },
        Ok,
    )
}

/// Flow of the holes at a supply pressure, kg/s.
fn flow(
    input: &InjectorInput<'_>,
    (holes, d_m): (f64, f64),
    range: &PressureRange,
    p_pa: f64,
) -> Result<f64, InjectorError> {
    let ideal = ideal_at(input, pascals_absolute(p_pa), range.phase)?;
    let c_d = match ideal.coefficient(&input.make, metres(d_m)) {
        Ok(c) => c.value,
        // far from the answer the Reynolds number may leave its range; the answer itself is checked
        Err(InjectorError::Discharge(DischargeError::OutOfRange {
            quantity: "Reynolds number",
            ..
        })) => 0.5,
        Err(error) => return Err(error),
    };
    Ok(holes * FRAC_PI_4 * d_m * d_m * c_d * ideal.flux)
}

/// The supply at which the holes pass the flow wanted, if it is in a range.
fn within<'a>(
    input: &InjectorInput<'a>,
    (holes, d_m): (f64, f64),
    wanted_kg_s: f64,
    range: &PressureRange,
) -> Result<Option<IdealHole<'a>>, InjectorError> {
    let off = |ln_p: f64| -> Result<f64, InjectorError> {
        Ok(flow(input, (holes, d_m), range, ln_p.exp())? / wanted_kg_s - 1.0)
    };
    let first_pa = first_guess(input, range, wanted_kg_s / (holes * FRAC_PI_4 * d_m * d_m));
    let Some((a, b)) = bracket(&off, range, input.chamber.pascals(), first_pa)? else {
        return Ok(None);
    };
    let inner = |ln_p: f64| off(ln_p).map_err(RootError::Function);
    let ln_p = brent_from(inner, a, b, PRESSURE_TOLERANCE).map_err(|e| {
        e.or_from(|_| InjectorError::NotConverged {
            what: "supply pressure",
            last: range.high_pa,
        })
    })?;
    ideal_at(input, pascals_absolute(ln_p.exp()), range.phase).map(Some)
}

/// Supply pressure that would drive a flux through a sharp hole if density stayed as it is just above the
/// chamber's pressure, Pa.
fn first_guess(input: &InjectorInput<'_>, range: &PressureRange, flux: f64) -> f64 {
    let near_pa = (1.02 * input.chamber.pascals()).clamp(range.low_pa, range.high_pa);
    let up = ideal_state(input, pascals_absolute(near_pa), range.phase);
    let drop_pa = up.map_or(near_pa, |up| {
        (flux / USUAL_COEFFICIENT).powi(2) / (2.0 * up.state().density_kg_m3)
    });
    (input.chamber.pascals() + drop_pa).clamp(range.low_pa, range.high_pa)
}

/// Two supply pressures, as logarithms, between which a rising function changes sign, with its values:
/// stepped to from a guess, the step in drop over the holes growing each time. `None`: not in the range.
#[allow(clippy::type_complexity)] // two points
fn bracket(
    off: &impl Fn(f64) -> Result<f64, InjectorError>,
    range: &PressureRange,
    chamber_pa: f64,
    first_pa: f64,
) -> Result<Option<((f64, f64), (f64, f64))>, InjectorError> {
    let at = |p_pa: f64| Ok::<_, InjectorError>((p_pa.ln(), off(p_pa.ln())?));
    let (mut p_pa, mut here) = (first_pa, at(first_pa)?);
    let up = here.1 < 0.0;
    let mut factor = WIDENING;
    loop {
        let end_pa = if up { range.high_pa } else { range.low_pa };
        if (p_pa - end_pa).abs() <= 0.0 {
            // nothing beyond; exactly there counts
            return Ok((here.1.abs() <= 0.0).then_some((here, here)));
        }
        let drop_pa = (p_pa - chamber_pa).max(1e-6 * chamber_pa);
        p_pa = if up {
            (chamber_pa + drop_pa * factor).min(end_pa)
        } else {
            (chamber_pa + drop_pa / factor).max(end_pa)
        };
        let next = at(p_pa)?;
        if (next.1 < 0.0) != up {
            return Ok(Some(if up { (here, next) } else { (next, here) }));
        }
        here = next;
        factor *= factor;
    }
}

/// Supply pressures among which the answer is sought, all in one phase.
struct PressureRange {
    low_pa: f64,
    high_pa: f64,
    phase: Option<FedAs>,
    limit: &'static str,
}

/// The pressures of most rings of holes, where the fuel is plainly gas there: no dew line is asked for.
fn usual_range(input: &InjectorInput<'_>) -> Option<PressureRange> {
    const USUAL_PA: f64 = 5e5;
    let Supply::Temperature(t) = input.supply else {
        return None;
    };
    let low_pa = input.chamber.pascals() * (1.0 + 1e-6);
    let dry = low_pa < USUAL_PA && input.fluid.is_certainly(Phase::Gas, USUAL_PA, t.value);
    (dry && input.phase != Some(FedAs::Liquid)).then_some(PressureRange {
        low_pa,
        high_pa: USUAL_PA,
        phase: input.phase,
        limit: "the end of what is usual",
    })
}

fn pressure_range(input: &InjectorInput<'_>) -> Result<PressureRange, InjectorError> {
    let fluid = input.fluid;
    let least_pa = input.chamber.pascals() * (1.0 + 1e-6);
    let top_pa = fluid.validity().max_pressure_pa.min(HIGHEST_PA);
    let t_k = match input.supply {
        Supply::Quality(_) => {
            return Ok(PressureRange {
                low_pa: least_pa,
                high_pa: NEAR_CRITICAL * fluid.critical().1,
                phase: input.phase,
                limit: "just below the critical pressure",
            });
        }
        Supply::Temperature(t) => t.value,
    };
    if fluid.is_certainly(Phase::Gas, top_pa, t_k) || t_k >= fluid.critical().0 {
        return Ok(PressureRange {
            low_pa: least_pa,
            high_pa: top_pa,
            phase: input.phase,
            limit: "the end of what is looked at",
        });
    }
    let dew_pa = fluid.dew_t(t_k)?.pressure_pa * (1.0 - 1e-9);
    // vapour unless it is asked otherwise, or there is none above chamber pressure
    let vapour = match input.phase {
        Some(FedAs::Gas) => true,
        Some(FedAs::Liquid) => false,
        None => dew_pa > least_pa,
    };
    Ok(if vapour {
        PressureRange {
            low_pa: least_pa.min(dew_pa),
            high_pa: dew_pa,
            phase: Some(FedAs::Gas),
            limit: "where the vapour condenses at this temperature",
        }
    } else {
        let bubble_pa = fluid.bubble_t(t_k)?.pressure_pa * (1.0 + 1e-9);
        PressureRange {
            low_pa: bubble_pa.max(least_pa),
            high_pa: top_pa,
            phase: Some(FedAs::Liquid),
            limit: "from where the liquid boils at this temperature",
        }
    })
}
