//! Hole-by-hole flow around a ring tube fed at one or more points, or along a bar.
//!
//! Between two holes the gas loses pressure by friction; at each hole the part that flows on slows down
//! and wins some back. Both are solved with the flow of every hole at the pressure found there.

mod march;
mod remedy;
mod segment;

use super::hole_law::HoleLaw;
use super::perforated::MOMENTUM_RECOVERY;
use march::Header;
use segment::{SegmentEnd, solve_arc, solve_dead_end};

use crate::quantity::sentence::{length, pressure, velocity};
use crate::quantity::told::errors;
use crate::quantity::{
    AbsolutePressure, Angle, DynamicViscosity, Length, MassDensity, MassRate, Ratio, Velocity,
    kilograms_per_second, metres, metres_per_second, pascals_absolute, ratio,
};
use std::f64::consts::{PI, TAU};

/// Velocity heads lost where the feed enters the tube through a sharp edge (`crane-tp410`).
const ENTRY_LOSS: f64 = 0.5;

/// Most holes in one manifold.
pub const MAX_HOLES: usize = 10_000;

/// A ring tube or a bar with holes along it.
#[derive(Debug, Clone, PartialEq)]
pub struct Manifold {
    /// Ring (ends meet) or bar (ends closed).
    pub shape: Shape,
    /// Bore of the tube.
    pub bore: Length,
    /// Height of its roughness.
    pub roughness: Length,
    /// Where it is fed, along its centre line.
    pub feeds: Vec<Length>,
    /// Where the holes are, along its centre line.
    pub holes: Vec<Length>,
}

/// Whether the tube closes on itself.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Shape {
    /// A ring; the length is that of its centre line.
    Ring {
        /// Length of the centre line.
        length: Length,
    },
    /// A straight tube with closed ends.
    Bar {
        /// Length between the ends.
        length: Length,
    },
}

/// The gas in the tube, at the feed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Feed {
    /// Stagnation pressure before the tube, the same at all feeds.
    pub pressure: AbsolutePressure,
    /// Density there; elsewhere in proportion to pressure.
    pub density: MassDensity,
    /// Viscosity.
    pub viscosity: DynamicViscosity,
}

/// What one hole passes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HoleFlow {
    /// Where it is, along the centre line.
    pub at: Length,
    /// Static pressure before it.
    pub pressure: AbsolutePressure,
    /// Its flow.
    pub flow: MassRate,
    /// Its flow over the mean of all holes.
    pub relative: Ratio,
}

/// How a manifold shares out its flow.
#[derive(Debug, Clone, PartialEq)]
pub struct Distribution {
    /// The holes, in order of place.
    pub holes: Vec<HoleFlow>,
    /// What enters at each feed, in the order of the manifold's feeds.
    pub feed_flows: Vec<MassRate>,
    /// Sum of all holes.
    pub total: MassRate,
    /// `1 − least / greatest` hole flow.
    pub spread: Ratio,
    /// Highest velocity in the tube.
    pub fastest: Velocity,
}

errors! {
    /// Why a manifold could not be solved.
    pub enum RingError {
        BadLength { name: &'static str, value_m: f64 } =>
            "{} of {} cannot be", name, length(value_m);
        BadCount { what: &'static str, count: usize, most: usize } =>
            "{} {} in a manifold; there must be 1 to {}", count, what, most;
        OutsideTube { what: &'static str, at_m: f64, length_m: f64 } =>
            "a {} at {} lies outside a tube of {}",
            what, length(at_m).close(), length(length_m).close();
        NoDrop { feed_pa: f64, back_pa: f64 } =>
            "the manifold is fed at {}, not above the {} behind its holes",
            pressure(feed_pa).close(), pressure(back_pa).close();
        AboveSampled { p_pa: f64, top_pa: f64 } =>
            "a hole sees {}, above the {} that its flow is known to",
            pressure(p_pa).close(), pressure(top_pa).close();
        BoreTooSmall { bore_m: f64, velocity_m_s: f64 } =>
            "the tube bore of {} is too small: its gas reaches {} and loses all its pressure on the way to the holes",
            length(bore_m), velocity(velocity_m_s);
        NoRemedy { what: &'static str, factor: f64, wanted: f64 } =>
            "no {} up to {} times as large brings the spread below {}", what, factor, wanted;
    }
}

impl Shape {
    fn length_m(self) -> f64 {
        match self {
            Self::Ring { length } | Self::Bar { length } => length.value,
        }
    }
}

impl Manifold {
    /// A ring of a centre-line diameter; feeds and holes by angle.
    pub fn ring(
        diameter: Length,
        bore: Length,
        roughness: Length,
        feeds: &[Angle],
        holes: &[Angle],
    ) -> Self {
        let place = |a: &Angle| metres(a.value.rem_euclid(TAU) * 0.5 * diameter.value);
        Self {
            shape: Shape::Ring {
                length: metres(PI * diameter.value),
            },
            bore,
            roughness,
            feeds: feeds.iter().map(place).collect(),
            holes: holes.iter().map(place).collect(),
        }
    }

    /// A bar of a length; feeds and holes by distance from one end.
    pub fn bar(
        length: Length,
        bore: Length,
        roughness: Length,
        feeds: &[Length],
        holes: &[Length],
    ) -> Self {
        Self {
            shape: Shape::Bar { length },
            bore,
            roughness,
            feeds: feeds.to_vec(),
            holes: holes.to_vec(),
        }
    }

    /// Angles of `n` holes spread evenly over a ring, the first half a pitch after angle zero.
    pub fn even_angles(n: usize) -> Vec<Angle> {
        (0..n)
            .map(|i| crate::quantity::radians(TAU * (i as f64 + 0.5) / n as f64))
            .collect()
    }

    /// Places of `n` holes spread evenly over a bar, the first and last half a pitch from its ends.
    pub fn even_places(n: usize, length: Length) -> Vec<Length> {
        (0..n)
            .map(|i| metres(length.value * (i as f64 + 0.5) / n as f64))
            .collect()
    }

    fn check(&self) -> Result<(), RingError> {
        let length_m = self.shape.length_m();
        for (name, value_m) in [
            ("a tube length", length_m),
            ("a tube bore", self.bore.value),
        ] {
            if !(value_m > 0.0 && value_m.is_finite()) {
                return Err(RingError::BadLength { name, value_m });
            }
        }
        let value_m = self.roughness.value;
        if !(value_m >= 0.0 && value_m < 0.05 * self.bore.value) {
            return Err(RingError::BadLength {
                name: "a roughness",
                value_m,
            });
        }
        for (what, places) in [("holes", &self.holes), ("feeds", &self.feeds)] {
            if places.is_empty() || places.len() > MAX_HOLES {
                return Err(RingError::BadCount {
                    what,
                    count: places.len(),
                    most: MAX_HOLES,
                });
            }
        }
        for (what, places) in [("hole", &self.holes), ("feed", &self.feeds)] {
            for at in places {
                if !(at.value >= 0.0 && at.value <= length_m) {
                    return Err(RingError::OutsideTube {
                        what,
                        at_m: at.value,
                        length_m,
                    });
                }
            }
        }
        Ok(())
    }

    /// Flow of every hole.
    ///
    /// Into the tube `p = p₀ − (1 + ζ) ρV²/2`, `ζ` 0.5; along it `dp = −f ρV|V|/(2 D) dx − d(ρV²)`; across a hole the static pressure rises by
    /// `K (ρ₁V₁² − ρ₂V₂²)` with `K` 0.5, half of it before the hole and half after.
    ///
    /// * `law` — flow of one hole against the pressure before it
    ///
    /// **Valid:** equal holes, one temperature, density in proportion to pressure, subsonic tube. `K` is
    /// 0.4 to 0.9 in measurements; 0.5 is the handbook's value and understates a ring with few holes.
    /// **Source:** `perry-distributor` (recovery), `colebrook1939` (friction), `crane-tp410` (entry).
    ///
    /// # Errors
    /// [`RingError`].
    pub fn distribution(&self, feed: &Feed, law: &HoleLaw) -> Result<Distribution, RingError> {
        self.distribution_with(feed, law, 1.0, true)
    }

    /// As [`Manifold::distribution`] with every hole's area multiplied and friction left out on demand.
    fn distribution_with(
        &self,
        feed: &Feed,
        law: &HoleLaw,
        area_factor: f64,
        friction: bool,
    ) -> Result<Distribution, RingError> {
        self.check()?;
        let p_feed_pa = feed.pressure.pascals();
        if !(p_feed_pa > law.back_pa() && p_feed_pa.is_finite()) {
            return Err(RingError::NoDrop {
                feed_pa: p_feed_pa,
                back_pa: law.back_pa(),
            });
        }
        let header = Header {
            bore_m: self.bore.value,
            roughness_m: self.roughness.value,
            back_pa: law.back_pa(),
            feed_drop_pa: p_feed_pa - law.back_pa(),
            rho_feed_kg_m3: feed.density.value,
            mu_pa_s: feed.viscosity.value,
            recovery: MOMENTUM_RECOVERY,
            entry_loss: ENTRY_LOSS,
            area_factor,
            friction,
        };
        let mut holes: Vec<HoleFlow> = Vec::with_capacity(self.holes.len());
        let mut feed_kg_s = vec![0.0; self.feeds.len()];
        let mut fastest_m_s: f64 = 0.0;
        for segment in self.segments() {
            let solved = match segment.end {
                SegmentEnd::Closed => solve_dead_end(&header, law, &segment)?,
                SegmentEnd::Feed(_) => solve_arc(&header, law, &segment)?,
            };
            fastest_m_s = fastest_m_s.max(solved.fastest_m_s);
            feed_kg_s[segment.from_feed] += solved.flow_in_kg_s;
            if let SegmentEnd::Feed(j) = segment.end {
                feed_kg_s[j] -= solved.flow_out_kg_s;
            }
            let length_m = self.shape.length_m();
            holes.extend(segment.places_m.iter().zip(&solved.holes).map(
                |(x, (drop_pa, q_kg_s))| {
                    let along_m = segment.start_m + segment.direction * x;
                    HoleFlow {
                        at: metres(match self.shape {
                            Shape::Ring { .. } => along_m.rem_euclid(length_m),
                            Shape::Bar { .. } => along_m,
                        }),
                        pressure: pascals_absolute(law.back_pa() + drop_pa),
                        flow: kilograms_per_second(*q_kg_s),
                        relative: ratio(0.0),
                    }
                },
            ));
        }
        summarised(holes, &feed_kg_s, fastest_m_s, law)
    }
}

fn summarised(
    mut holes: Vec<HoleFlow>,
    feed_kg_s: &[f64],
    fastest_m_s: f64,
    law: &HoleLaw,
) -> Result<Distribution, RingError> {
    holes.sort_by(|a, b| a.at.value.total_cmp(&b.at.value));
    let total_kg_s: f64 = holes.iter().map(|h| h.flow.value).sum();
    let mean_kg_s = total_kg_s / holes.len() as f64;
    let (mut least, mut most) = (f64::INFINITY, 0.0_f64);
    for h in &mut holes {
        if h.pressure.pascals() > law.top_pa() {
            return Err(RingError::AboveSampled {
                p_pa: h.pressure.pascals(),
                top_pa: law.top_pa(),
            });
        }
        h.relative = ratio(h.flow.value / mean_kg_s);
        least = least.min(h.flow.value);
        most = most.max(h.flow.value);
    }
    Ok(Distribution {
        holes,
        feed_flows: feed_kg_s.iter().map(|q| kilograms_per_second(*q)).collect(),
        total: kilograms_per_second(total_kg_s),
        spread: ratio(1.0 - least / most),
        fastest: metres_per_second(fastest_m_s),
    })
}

#[cfg(test)]
mod tests;
