//! The coefficient of one real hole: which models apply, how they join, and how far to trust them.

use super::cavitation::{SHARP_CONTRACTION, cavitating_coefficient, critical_cavitation_number};
use super::choked_hole::choked_thick_hole;
use super::long::long_hole;
use super::radius::{attachment, length_factor, radius_and_length, radius_factor};
use super::thin::{
    THIN_FIT_FROM_RE, compressible_thin_hole, critical_ratio, thin_hole_at_low_speed,
};
use super::{DischargeCoefficient, DischargeError, Model};
use crate::quantity::show::{number, percent};

const MODEL: Model = Model {
    name: "drilled hole",
    source_key: "lichtarowicz1965",
};

/// Reynolds numbers between which the low and the high form of a long hole are blended.
const RE_BLEND: (f64, f64) = (5.0e3, 2.0e4);
/// Inlet radius over diameter that a drilled edge may have without being seen.
const UNSEEN_RADIUS: f64 = 0.05;
/// Length over diameter up to which an attached jet may run free of the wall, and where that doubt has ended.
const MAY_RUN_FREE: (f64, f64) = (1.4, 1.5);
/// Relative bands until flow-tested; our choice within the 10 to 20 % of practice for drilled holes.
const BAND_SHARP: f64 = 0.05;
/// Of a sharp hole with its jet on the wall: measured values (`rohde1969`) and two fits differ by 8.6 %.
const BAND_SHARP_ATTACHED: f64 = 0.09;
const BAND_DRILLED: f64 = 0.10;
const BAND_ROUNDED: f64 = 0.05;

/// How the inlet edge of a hole was made.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Edge {
    /// Square, reamed, free of burr.
    Sharp,
    /// As a twist drill leaves it: nominally square, a little rounded or burred.
    Drilled,
    /// Rounded on purpose.
    Rounded {
        /// Inlet radius over hole diameter.
        radius_over_diameter: f64,
    },
    /// The coefficient is known from a flow test of this hole.
    Measured {
        /// The coefficient, referred to the ideal flux of the same expansion model.
        coefficient: f64,
        /// Relative half-width of its band, as a fraction.
        relative_band: f64,
    },
}

/// Inlet edge and length of a hole.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HoleShape {
    /// The inlet edge.
    pub edge: Edge,
    /// Length of the hole over its diameter; for a tube wall, wall thickness over diameter.
    pub length_over_diameter: f64,
}

/// What flows through the hole.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum HoleFlow {
    /// Gas or vapour.
    Gas {
        /// Pressure downstream over pressure upstream.
        pressure_ratio: f64,
        /// Isentropic exponent `ρ w²/p` upstream.
        gamma: f64,
    },
    /// Liquid.
    Liquid {
        /// `(p1 − pv)/(p1 − p2)`; `None` if the liquid is known not to boil anywhere. Below 1 it
        /// flashes.
        cavitation_number: Option<f64>,
    },
}

/// Discharge coefficient of a hole with its band, from the models that hold for it.
///
/// * thin part: low-speed contraction, raised for a gas by Jobson's balance (Bragg's table for a
///   rounded edge);
/// * attached part, full from `L/d = 1`: the form with radius and length above Re 2·10⁴, that of long holes below
///   Re 5·10³, blended over log Re between; for a gas blended over the pressure ratio from there
///   to 0.839 at the critical ratio; for a liquid lowered by cavitation. Up to `L/d = 1.5` liquid, and gas above the
///   critical ratio, may leave the wall again: the band reaches down to the thin hole (`lichtarowicz1965` advises
///   against shorter holes: the coefficient varies fast there, with hysteresis);
/// * both are mixed by [`attachment`] of `L/d`, and an inlet radius shrinks the loss of each.
///
/// * `re` — Reynolds number `G d/μ` of the ideal flux, with the viscosity upstream
///
/// **Valid:** `L/d ≤ 10`, `Re ≥ 100` (10 for `L/d ≥ 2`), one round hole in a large space. The
/// isentropic exponent is held within 1.01 to 1.66.
/// **Source:** the models named in the result; blends and bands are our choice.
///
/// # Errors
/// [`DischargeError::OutOfRange`].
///
/// ```
/// use fuelwright::flow::discharge::{Edge, HoleFlow, HoleShape, for_hole};
/// let drilled = HoleShape { edge: Edge::Drilled, length_over_diameter: 1.5 };
/// let choked = HoleFlow::Gas { pressure_ratio: 0.3, gamma: 1.13 };
/// let c = for_hole(&drilled, 8.0e4, &choked)?;
/// assert!((c.value - 0.839).abs() < 0.005);
/// assert!(c.low < 0.77 && c.high > 0.87);
/// # Ok::<(), fuelwright::flow::discharge::DischargeError>(())
/// ```
pub fn for_hole(
    shape: &HoleShape,
    re: f64,
    flow: &HoleFlow,
) -> Result<DischargeCoefficient, DischargeError> {
    let (radius, band) = match shape.edge {
        Edge::Measured {
            coefficient,
            relative_band,
        } => return measured(coefficient, relative_band),
        Edge::Sharp => (0.0, BAND_SHARP),
        Edge::Drilled => (0.0, BAND_DRILLED),
        Edge::Rounded {
            radius_over_diameter,
        } => (radius_over_diameter, BAND_ROUNDED),
    };
    let length = MODEL.inside(
        "length over diameter",
        shape.length_over_diameter,
        0.0,
        10.0,
    )?;
    let nominal = Parts::of(radius, length, re, flow)?;
    let value = nominal.value();

    let sharp = f64::from(u8::from(shape.edge == Edge::Sharp));
    let band = band + sharp * nominal.attached_share * (BAND_SHARP_ATTACHED - BAND_SHARP);
    // a half-attached jet may flip to either side
    let doubt = 4.0 * nominal.attached_share * (1.0 - nominal.attached_share);
    let falls = nominal.may_run_free.max(doubt);
    let mut low = (value - falls * (value - nominal.thin).max(0.0)) * (1.0 - band);
    let mut high = (value + doubt * (nominal.attached - value).max(0.0)) * (1.0 + band);
    if shape.edge == Edge::Drilled {
        high = high.max(Parts::of(UNSEEN_RADIUS, length, re, flow)?.value());
    }
    let mut notes = nominal.notes;
    // thin holes below the fit: measured values reach about 0.73
    let below_fit = ((THIN_FIT_FROM_RE / re).ln() / 6_f64.ln()).clamp(0.0, 1.0);
    if nominal.attached_share < 1.0 && below_fit > 0.0 {
        high *= 1.0 + 0.12 * below_fit * (1.0 - nominal.attached_share);
        let re = number(re);
        notes.push(format!("Reynolds number {re} is below 10000, where the fit for thin holes begins: the band is widened"));
    }
    if let Some(flip) = nominal.flip {
        low = low.min(flip * 0.95);
    }
    if shape.edge == Edge::Drilled {
        notes.push(
            "burr, breakout and a slightly rounded edge move a drilled hole by more than the models differ: measure its flow"
                .to_owned(),
        );
    }
    Ok(DischargeCoefficient {
        value,
        low,
        high: high.min(1.0).max(value),
        models: nominal.models,
        notes,
    })
}

fn measured(coefficient: f64, relative_band: f64) -> Result<DischargeCoefficient, DischargeError> {
    let given = Model {
        name: "flow-tested hole",
        source_key: "input",
    };
    let value = given.inside("discharge coefficient", coefficient, 1e-3, 1.2)?;
    let band = given.inside("relative band", relative_band, 0.0, 0.9)?;
    Ok(DischargeCoefficient {
        value,
        low: value * (1.0 - band),
        high: value * (1.0 + band),
        models: vec!["given by the user"],
        notes: Vec::new(),
    })
}

/// The two ideal kinds of hole that a real one lies between.
struct Parts {
    /// Jet free of the wall.
    thin: f64,
    /// Jet back on the wall.
    attached: f64,
    /// How much of the second, 0 to 1.
    attached_share: f64,
    /// How far an attached jet may fall back to the first, 0 to 1.
    may_run_free: f64,
    /// No boundary layer is thinner than this allows.
    ceiling: f64,
    /// Coefficient if the liquid leaves the wall (hydraulic flip), where that may happen.
    flip: Option<f64>,
    models: Vec<&'static str>,
    notes: Vec<String>,
}

impl Parts {
    fn value(&self) -> f64 {
        let mixed = self.thin + self.attached_share * (self.attached - self.thin);
        mixed.min(self.ceiling)
    }

    fn of(radius: f64, length: f64, re: f64, flow: &HoleFlow) -> Result<Self, DischargeError> {
        let length = (length - radius).max(0.0);
        let re = MODEL.inside(
            "Reynolds number",
            re,
            if length >= 2.0 { 10.0 } else { 100.0 },
            f64::MAX,
        )?;
        let share = attachment(length)?;
        let kept = radius_factor(radius)?;
        let rounded = |sharp: f64| 1.0 - kept * (1.0 - sharp);
        // above Re 100 also for the long holes whose thin part has no weight
        let thin_low = rounded(thin_hole_at_low_speed(re.max(100.0))?);
        let long = length.max(1.0);
        let attached_low = attached_at_low_speed(long, re)?;

        let mut models = Vec::new();
        let mut notes = Vec::new();
        let mut flip = None;
        let mut may_run_free = if share < 0.5 { 0.0 } else { short(length) };
        let (thin, attached) = match *flow {
            HoleFlow::Gas {
                pressure_ratio,
                gamma,
            } => {
                let r = MODEL.inside("pressure ratio", pressure_ratio, 0.0, 1.0)?;
                let held = gamma.clamp(1.01, 1.66);
                if (held - gamma).abs() > 0.0 {
                    notes.push(format!(
                        "isentropic exponent {} is outside 1.01 to 1.66: the coefficient was taken at {held}",
                        number(gamma)
                    ));
                }
                if share < 1.0 {
                    models.push("thin sharp hole with compressibility [jobson1955]");
                    if kept < 1.0 {
                        models.push("compressible contraction table [bragg1960]");
                    }
                    if r < critical_ratio(held) && share < 0.7 {
                        notes.push(
                            "a thin hole does not choke at the critical ratio: its flow still rises as the back pressure falls"
                                .to_owned(),
                        );
                    }
                }
                if share > 0.0 {
                    models.push("choked thick hole [wardsmith1979]");
                }
                // a choked jet stays on the wall
                let critical = critical_ratio(held);
                may_run_free *= ((r - critical) / (1.0 - critical)).clamp(0.0, 1.0);
                (
                    compressible_thin_hole(thin_low, r, held)?,
                    rounded(attached_gas(attached_low, long, re, r, held)?),
                )
            }
            HoleFlow::Liquid { cavitation_number } => {
                let full = rounded(attached_low);
                let contraction = rounded(SHARP_CONTRACTION);
                let attached = match cavitation_number {
                    Some(k) if full > contraction && share > 0.0 => {
                        let critical = critical_cavitation_number(full, contraction)?;
                        if k < critical {
                            models.push("cavitating hole [nurick1976]");
                            flip = Some(contraction);
                            notes.push(cavitation_note(k, critical));
                        }
                        cavitating_coefficient(full, contraction, k.max(1.0))?
                    }
                    _ => full,
                };
                (thin_low, attached)
            }
        };
        models.push("contraction, radius and length [mcgreehan1988]");
        if share > 0.0 && re < RE_BLEND.1 {
            models.push("long hole [lichtarowicz1965]");
        }
        if length > 7.0 && matches!(flow, HoleFlow::Gas { .. }) {
            notes.push(
                "longer than 7 diameters: the choked value is lowered by wall friction".to_owned(),
            );
        }
        let less = may_run_free * (1.0 - thin / attached);
        if less > 0.02 {
            notes.push(format!(
                "the jet of a hole only {} diameters long may leave the wall and pass {} less than the hole beside it; from {} diameters on it does not",
                number(length),
                percent(less),
                MAY_RUN_FREE.1
            ));
        }
        // a laminar boundary layer costs at least this much, whatever the inlet [iso9300]; far
        // above any square-edged hole, so it only ever limits rounded ones
        let ceiling = 0.9959 - 2.720 / re.sqrt();
        Ok(Self {
            thin,
            attached,
            attached_share: share,
            may_run_free,
            ceiling: if kept < 1.0 { ceiling } else { f64::MAX },
            flip,
            models,
            notes,
        })
    }
}

/// How far an attached jet may run free of the wall: 1 for a short hole, 0 from [`MAY_RUN_FREE`] up.
fn short(length: f64) -> f64 {
    1.0 - ((length - MAY_RUN_FREE.0) / (MAY_RUN_FREE.1 - MAY_RUN_FREE.0)).clamp(0.0, 1.0)
}

fn cavitation_note(k: f64, critical: f64) -> String {
    let (number, critical) = (number(k), number(critical));
    if k < 1.0 {
        format!(
            "the back pressure is below the vapour pressure (cavitation number {number}): the liquid flashes in the hole and the coefficient is little known"
        )
    } else {
        format!(
            "cavitating (number {number} under {critical}): the flow no longer answers to the back pressure, and may drop without warning when the jet leaves the wall (hydraulic flip)"
        )
    }
}

/// Square-edged hole of `L/d ≥ 1` at low speed.
fn attached_at_low_speed(length: f64, re: f64) -> Result<f64, DischargeError> {
    let slow = |re: f64| -> Result<f64, DischargeError> {
        let at_two = long_hole(re, length.max(2.0))?;
        Ok(if length < 2.0 {
            1.0 - (1.0 - at_two) * length_factor(length)? / length_factor(2.0)?
        } else {
            at_two
        })
    };
    let x = (re / RE_BLEND.0).ln() / (RE_BLEND.1 / RE_BLEND.0).ln();
    if x <= 0.0 {
        slow(re)
    } else if x >= 1.0 {
        radius_and_length(re, 0.0, length)
    } else {
        let fast = radius_and_length(re, 0.0, length)?;
        Ok(slow(re)? + smooth_step(x) * (fast - slow(re)?))
    }
}

/// The same for a gas at pressure ratio `r`.
fn attached_gas(
    low_speed: f64,
    length: f64,
    re: f64,
    r: f64,
    gamma: f64,
) -> Result<f64, DischargeError> {
    let mut choked = choked_thick_hole(length.min(7.0))?;
    if length > 7.0 {
        choked = 1.0 - (1.0 - choked) * length_factor(length)? / length_factor(7.0)?;
    }
    if re < RE_BLEND.1 {
        choked *= (low_speed / attached_at_low_speed(length, RE_BLEND.1)?).min(1.0);
    }
    let x = (1.0 - r) / (1.0 - critical_ratio(gamma));
    Ok(low_speed + smooth_step(x.min(1.0)) * (choked - low_speed))
}

/// `3x² − 2x³` on 0..=1.
fn smooth_step(x: f64) -> f64 {
    x * x * (3.0 - 2.0 * x)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn gas(r: f64) -> HoleFlow {
        HoleFlow::Gas {
            pressure_ratio: r,
            gamma: 1.13,
        }
    }

    fn shape(length: f64) -> HoleShape {
        HoleShape {
            edge: Edge::Drilled,
            length_over_diameter: length,
        }
    }

    /// Walks `n` equal steps of `x` and returns the greatest change of the coefficient in one step.
    fn largest_step(n: u32, coefficient: impl Fn(f64) -> f64) -> f64 {
        let values: Vec<f64> = (0..=n)
            .map(|i| coefficient(f64::from(i) / f64::from(n)))
            .collect();
        values
            .windows(2)
            .map(|w| (w[1] - w[0]).abs())
            .fold(0.0, f64::max)
    }

    #[test]
    fn no_jump_along_pressure_ratio_length_or_reynolds_number() {
        // 2000 steps over each range; a jump of the size the models differ by (0.02) would show
        for l in [0.0, 0.2, 0.6, 1.0, 1.7, 4.0, 9.0] {
            for re in [300.0, 6.0e3, 1.5e4, 1e5] {
                let c = |r: f64| for_hole(&shape(l), re, &gas(r)).expect("in range").value;
                assert!(largest_step(2000, c) < 2e-3, "L/d {l}, Re {re}");
            }
        }
        for r in [0.0, 0.4, 0.6, 0.95, 1.0] {
            let along_re = |l: f64| {
                move |x: f64| {
                    for_hole(&shape(l), 200.0 * 5e3_f64.powf(x), &gas(r))
                        .expect("in range")
                        .value
                }
            };
            for l in [0.0, 0.5, 1.0, 1.99, 3.0, 8.0] {
                assert!(largest_step(2000, along_re(l)) < 2e-3, "L/d {l}, r {r}");
            }
            let along_l = |x: f64| {
                for_hole(&shape(10.0 * x), 4e4, &gas(r))
                    .expect("in range")
                    .value
            };
            assert!(largest_step(2000, along_l) < 4e-3, "along L/d, r {r}");
        }
        let along_k = |k: f64| {
            let flow = HoleFlow::Liquid {
                cavitation_number: Some(0.2 + 3.0 * k),
            };
            for_hole(&shape(3.0), 4e4, &flow).expect("in range").value
        };
        assert!(largest_step(2000, along_k) < 2e-3);
        let along_radius = |x: f64| {
            let shape = HoleShape {
                edge: Edge::Rounded {
                    radius_over_diameter: x,
                },
                length_over_diameter: 1.0,
            };
            for_hole(&shape, 1e5, &gas(0.4)).expect("in range").value
        };
        assert!(largest_step(2000, along_radius) < 4e-3);
    }

    #[test]
    fn the_band_holds_the_value_and_stays_below_one() {
        let edges = [
            Edge::Sharp,
            Edge::Drilled,
            Edge::Rounded {
                radius_over_diameter: 0.3,
            },
        ];
        for edge in edges {
            for l in [0.0, 0.4, 1.0, 3.0, 10.0] {
                for re in [150.0, 3e3, 5e4, 1e7] {
                    for flow in [gas(0.0), gas(0.7), gas(1.0)] {
                        let shape = HoleShape {
                            edge,
                            length_over_diameter: l,
                        };
                        let c = for_hole(&shape, re, &flow).expect("in range");
                        assert!(c.low < c.value && c.value <= c.high && c.high <= 1.0);
                        assert!(c.low > 0.2, "{c:?}");
                    }
                }
            }
        }
    }

    #[test]
    fn at_low_speed_the_hole_is_that_of_mcgreehan_and_schotsch() {
        for l in [0.0, 0.3, 1.0, 2.0, 5.0] {
            let got = for_hole(&shape(l), 1e5, &gas(1.0)).expect("in range").value;
            let published = radius_and_length(1e5, 0.0, l).expect("in range");
            assert!((got - published).abs() < 1e-12, "L/d {l}");
        }
    }

    #[test]
    fn a_longer_than_ten_diameters_hole_is_refused() {
        assert!(for_hole(&shape(11.0), 1e5, &gas(0.5)).is_err());
        assert!(for_hole(&shape(1.0), f64::NAN, &gas(0.5)).is_err());
        assert!(for_hole(&shape(1.0), 1e5, &gas(f64::NAN)).is_err());
    }
}
