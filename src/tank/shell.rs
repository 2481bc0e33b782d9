//! Shape of a tank: how much of its wall is wetted at a filling.

use super::TankError;
use crate::numerics::root;
use crate::quantity::range::{in_range, in_range_of};
use crate::quantity::{Area, Length, Ratio, Volume, square_metres};
use std::f64::consts::{PI, TAU};

/// How the axis of a cylindrical tank stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Attitude {
    /// Axis vertical.
    Upright,
    /// Axis horizontal.
    Lying,
}

/// A cylinder with flat ends, seen from outside.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shell {
    diameter_m: f64,
    length_m: f64,
    attitude: Attitude,
    emissivity: f64,
}

/// Volume of a cylinder with flat ends: `π/4 D² L`.
pub fn outside_volume(diameter: Length, length: Length) -> Volume {
    0.25 * PI * diameter * diameter * length
}

/// Emissivity of painted steel, a usual textbook figure; bright bare metal has 0.1 to 0.3.
pub const PAINTED_EMISSIVITY: f64 = 0.9;

impl Shell {
    /// * `diameter` — outside
    /// * `length` — overall; domed ends are taken as flat ones
    /// * `emissivity` — of the surface, 0 to 1; [`PAINTED_EMISSIVITY`] for paint of any colour
    ///
    /// # Errors
    /// [`TankError::OutOfRange`] for sizes that are not above zero or an emissivity outside 0 to 1.
    pub fn new(
        diameter: Length,
        length: Length,
        attitude: Attitude,
        emissivity: Ratio,
    ) -> Result<Self, TankError> {
        let (diameter_m, length_m) = (diameter.value, length.value);
        in_range_of("tank diameter", diameter_m, 1e-3..=10.0, "m")?;
        in_range_of("tank length", length_m, 1e-3..=100.0, "m")?;
        in_range("emissivity", emissivity.value, 0.0..=1.0)?;
        Ok(Self {
            diameter_m,
            length_m,
            attitude,
            emissivity: emissivity.value,
        })
    }
    /// Volume that a tank of this size takes up: it holds less.
    pub fn outside_volume(&self) -> Volume {
        outside_volume(
            crate::quantity::metres(self.diameter_m),
            crate::quantity::metres(self.length_m),
        )
    }
    /// How it stands.
    pub fn attitude(&self) -> Attitude {
        self.attitude
    }
    /// Shell and both ends.
    pub fn area(&self) -> Area {
        square_metres(self.area_m2())
    }
    /// Part of the wall that liquid touches when it fills `liquid` of the volume (0 to 1).
    ///
    /// Upright: bottom and shell up to the level. Lying: the arc and the end segments below the level.
    ///
    /// # Errors
    /// [`TankError::OutOfRange`] for a share outside 0 to 1.
    pub fn wetted_area(&self, liquid: Ratio) -> Result<Area, TankError> {
        in_range("liquid share of the volume", liquid.value, 0.0..=1.0)?;
        Ok(square_metres(self.wetted_area_m2(liquid.value)))
    }

    /// The same shape with every length multiplied.
    pub(crate) fn scaled(&self, factor: f64) -> Result<Self, TankError> {
        let length = |m: f64| crate::quantity::metres(m * factor);
        let emissivity = crate::quantity::ratio(self.emissivity);
        let (d, l) = (length(self.diameter_m), length(self.length_m));
        Self::new(d, l, self.attitude, emissivity)
    }
    pub(crate) fn diameter_m(&self) -> f64 {
        self.diameter_m
    }
    pub(crate) fn length_m(&self) -> f64 {
        self.length_m
    }
    pub(crate) fn emissivity(&self) -> f64 {
        self.emissivity
    }
    pub(crate) fn area_m2(&self) -> f64 {
        PI * self.diameter_m * (self.length_m + 0.5 * self.diameter_m)
    }
    /// `share` is held to 0..=1: a solver's trial state may be a hair outside.
    pub(crate) fn wetted_area_m2(&self, share: f64) -> f64 {
        let (d, l) = (self.diameter_m, self.length_m);
        let end = 0.25 * PI * d * d;
        let share = share.clamp(0.0, 1.0);
        match self.attitude {
            // the bottom is wet as soon as there is liquid; eased in over the first 1/1000 so that
            // the heat has no jump where the last liquid goes
            Attitude::Upright => {
                let bottom = (share / 1e-3).min(1.0);
                let top = ((share - 0.999) / 1e-3).max(0.0);
                PI * d * l * share + end * (bottom + top)
            }
            Attitude::Lying => 0.5 * d * l * central_angle(share) + 2.0 * end * share,
        }
    }
}

/// Central angle of the circular segment that holds `share` of the circle: `θ - sin θ = 2π share`.
fn central_angle(share: f64) -> f64 {
    let target = TAU * share;
    let f = |theta: f64| {
        Ok::<_, std::convert::Infallible>((theta - theta.sin() - target, 1.0 - theta.cos()))
    };
    // θ³/6 is the first term of θ - sin θ: exact for a nearly empty tank
    let small = |s: f64| (6.0 * TAU * s).cbrt().min(PI);
    let start = if share <= 0.5 {
        small(share)
    } else {
        TAU - small(1.0 - share)
    };
    // a failure can only be rounding at the very ends, where the start value is right
    root::newton(f, 0.0, TAU, start, 1e-12).unwrap_or(start)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{metres, ratio};

    fn shell(attitude: Attitude) -> Shell {
        Shell::new(metres(0.3), metres(1.2), attitude, ratio(0.9)).expect("a usual cylinder")
    }

    // Geometry: π D L + 2 π D²/4
    #[test]
    fn a_full_tank_is_wet_all_over_and_an_empty_one_nowhere() {
        for attitude in [Attitude::Upright, Attitude::Lying] {
            let s = shell(attitude);
            let area = PI * 0.3 * 1.2 + 2.0 * PI * 0.0225;
            assert!((s.area().value - area).abs() < 1e-12);
            assert!((s.wetted_area_m2(1.0) - area).abs() < 1e-9);
            assert!(s.wetted_area_m2(0.0).abs() < 1e-9);
        }
    }

    #[test]
    fn a_lying_tank_half_full_is_wet_on_half_its_wall() {
        let s = shell(Attitude::Lying);
        assert!((s.wetted_area_m2(0.5) / s.area_m2() - 0.5).abs() < 1e-12);
        // shares below and above one half mirror each other
        let sum = s.wetted_area_m2(0.2) + s.wetted_area_m2(0.8);
        assert!((sum / s.area_m2() - 1.0).abs() < 1e-12);
    }

    #[test]
    fn wetted_area_grows_with_the_level() {
        for attitude in [Attitude::Upright, Attitude::Lying] {
            let s = shell(attitude);
            let mut last = 0.0;
            for i in 1..=1000 {
                let a = s.wetted_area_m2(f64::from(i) / 1000.0);
                assert!(a > last, "{attitude:?} {i}");
                last = a;
            }
        }
    }

    #[test]
    fn sizes_of_nothing_are_refused() {
        assert!(Shell::new(metres(0.0), metres(1.0), Attitude::Lying, ratio(0.9)).is_err());
        assert!(Shell::new(metres(0.3), metres(f64::NAN), Attitude::Lying, ratio(0.9)).is_err());
        assert!(Shell::new(metres(0.3), metres(1.0), Attitude::Lying, ratio(1.1)).is_err());
        assert!(shell(Attitude::Lying).wetted_area(ratio(1.5)).is_err());
    }
}
