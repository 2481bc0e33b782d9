//! Fuel jets that cross an air stream: momentum ratio and how far they reach in.

use crate::quantity::range::{NotPositive, positive};
use crate::quantity::told::errors;
use crate::quantity::{
    AbsolutePressure, Length, MassDensity, MassRate, Ratio, Velocity, kilograms_per_cubic_metre,
    metres, metres_per_second, ratio,
};
use std::f64::consts::PI;

/// Half-width of the band where only one correlation holds, as a fraction: our choice, wide enough to
/// hold the spread of the two where both hold.
const BAND_OF_ONE: f64 = 0.25;

/// A jet as it stands in the chamber, expanded to its pressure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Jet {
    /// Velocity.
    pub velocity: Velocity,
    /// Density at chamber pressure.
    pub density: MassDensity,
    /// Diameter.
    pub diameter: Length,
}

/// State of the gas in the smallest section of a hole.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Throat {
    /// Flow of one hole.
    pub flow: MassRate,
    /// Velocity there.
    pub velocity: Velocity,
    /// Density there.
    pub density: MassDensity,
    /// Pressure there; above the chamber's where the hole is choked.
    pub pressure: AbsolutePressure,
}

/// The air that a jet crosses.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CrossFlow {
    /// Velocity.
    pub velocity: Velocity,
    /// Density.
    pub density: MassDensity,
}

/// How far a jet reaches into the air stream.
#[derive(Debug, Clone, PartialEq)]
pub struct Penetration {
    /// Distance of the jet's centre line from the wall it came from.
    pub depth: Length,
    /// Low end of the band.
    pub low: Length,
    /// High end of the band.
    pub high: Length,
    /// Source keys of the correlations used.
    pub sources: Vec<&'static str>,
}

errors! {
    /// What can be wrong with a jet.
    pub enum JetError {
        NotPositive(NotPositive);
        RatioOutOfRange { ratio: f64, lower: f64, upper: f64 } =>
            "a momentum ratio of {} is outside the penetration correlations, {} to {} [margason1968, pratte-baines1967]",
            crate::quantity::show::number(ratio), lower, upper;
    }
}

/// A power law `y / (r d) = a (x / (r d))^m`, `r = √J`, between two values of `r`.
struct PowerLaw {
    a: f64,
    m: f64,
    r: (f64, f64),
    source: &'static str,
}

const LAWS: [PowerLaw; 2] = [
    PowerLaw {
        a: 1.6,
        m: 1.0 / 3.0,
        r: (1.2, 10.0),
        source: "margason1968",
    },
    PowerLaw {
        a: 2.05,
        m: 0.28,
        r: (5.0, 35.0),
        source: "pratte-baines1967",
    },
];

impl Jet {
    /// The jet that carries the mass and momentum of a throat at the chamber's pressure.
    ///
    /// `V = V_t + (p_t − p_c) / (ρ_t V_t)`, `ρ = ρ_0 p_c / p_0`, `d = √(4 ṁ / (π ρ V))`: where the
    /// throat is not choked `p_t = p_c` and nothing changes but the diameter, which is that of the
    /// contracted jet.
    ///
    /// * `supply_density`, `supply` — density and pressure at rest before the hole
    ///
    /// **Valid:** gas; the jet has come back to the temperature it had at rest.
    /// **Source:** `birch1987` (mass and momentum kept).
    ///
    /// # Errors
    /// [`JetError::NotPositive`].
    pub fn expanded(
        throat: &Throat,
        supply: AbsolutePressure,
        supply_density: MassDensity,
        chamber: AbsolutePressure,
    ) -> Result<Self, JetError> {
        let flow_kg_s = positive("flow", throat.flow.value)?;
        let v_m_s = positive("throat velocity", throat.velocity.value)?;
        let rho_t = positive("throat density", throat.density.value)?;
        let p0_pa = positive("supply pressure", supply.pascals())?;
        let rho0 = positive("supply density", supply_density.value)?;
        let pc_pa = positive("chamber pressure", chamber.pascals())?;
        let excess_pa = (throat.pressure.pascals() - pc_pa).max(0.0);
        let v_full_m_s = v_m_s + excess_pa / (rho_t * v_m_s);
        let rho = rho0 * pc_pa / p0_pa;
        Ok(Self {
            velocity: metres_per_second(v_full_m_s),
            density: kilograms_per_cubic_metre(rho),
            diameter: metres((4.0 * flow_kg_s / (PI * rho * v_full_m_s)).sqrt()),
        })
    }

    /// Momentum ratio to a cross-flow, `J = ρ_j V_j² / (ρ_a U²)`.
    ///
    /// # Errors
    /// [`JetError::NotPositive`] if the air stands still.
    pub fn momentum_ratio(&self, air: &CrossFlow) -> Result<Ratio, JetError> {
        let u_m_s = positive("air velocity", air.velocity.value)?;
        let rho_air = positive("air density", air.density.value)?;
        let v_m_s = positive("velocity", self.velocity.value)?;
        let rho = positive("density", self.density.value)?;
        Ok(ratio(rho * v_m_s * v_m_s / (rho_air * u_m_s * u_m_s)))
    }

    /// Distance of the jet's centre line from its wall, a distance downstream of the hole.
    ///
    /// `y / (r d) = a (x / (r d))^m`, `r = √J`; two sets of `a` and `m`, each in its range. Where both
    /// hold the mean is given and the band spans them.
    ///
    /// **Valid:** one round jet at a right angle into a wide stream, `J` 1.44 to 1225. Neighbours, a
    /// near wall or a swirling stream make it shorter.
    /// **Source:** `margason1968`, `pratte-baines1967`.
    ///
    /// # Errors
    /// [`JetError`].
    ///
    /// ```
    /// use fuelwright::injector::jet::{CrossFlow, Jet};
    /// use fuelwright::quantity::{kilograms_per_cubic_metre, metres, metres_per_second};
    ///
    /// let jet = Jet {
    ///     velocity: metres_per_second(80.0),
    ///     density: kilograms_per_cubic_metre(1.8),
    ///     diameter: metres(1e-3),
    /// };
    /// let air = CrossFlow {
    ///     velocity: metres_per_second(12.0),
    ///     density: kilograms_per_cubic_metre(1.2),
    /// };
    /// let reach = jet.penetration(&air, metres(0.02))?;
    /// // J = 66.7: 21.5 mm by one law, 17.6 mm by the other
    /// assert!((reach.depth.value - 0.01956).abs() < 0.0001);
    /// # Ok::<(), fuelwright::injector::jet::JetError>(())
    /// ```
    pub fn penetration(
        &self,
        air: &CrossFlow,
        downstream: Length,
    ) -> Result<Penetration, JetError> {
        let x_m = positive("distance downstream", downstream.value)?;
        let d_m = positive("diameter", self.diameter.value)?;
        let j = self.momentum_ratio(air)?.value;
        let r = j.sqrt();
        let rd_m = r * d_m;
        let holding = || LAWS.iter().filter(|l| (l.r.0..=l.r.1).contains(&r));
        let depths_m: Vec<f64> = holding()
            .map(|l| l.a * (x_m / rd_m).powf(l.m) * rd_m)
            .collect();
        let (low_m, mid_m, high_m) = match depths_m[..] {
            [y] => (y * (1.0 - BAND_OF_ONE), y, y * (1.0 + BAND_OF_ONE)),
            [a, b] => (a.min(b), 0.5 * (a + b), a.max(b)),
            _ => {
                return Err(JetError::RatioOutOfRange {
                    ratio: j,
                    lower: LAWS[0].r.0 * LAWS[0].r.0,
                    upper: LAWS[1].r.1 * LAWS[1].r.1,
                });
            }
        };
        Ok(Penetration {
            depth: metres(mid_m),
            low: metres(low_m),
            high: metres(high_m),
            sources: holding().map(|l| l.source).collect(),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{kilograms_per_second, pascals_absolute};

    fn jet(v: f64) -> Jet {
        Jet {
            velocity: metres_per_second(v),
            density: kilograms_per_cubic_metre(1.2),
            diameter: metres(2e-3),
        }
    }
    fn air() -> CrossFlow {
        CrossFlow {
            velocity: metres_per_second(10.0),
            density: kilograms_per_cubic_metre(1.2),
        }
    }

    #[test]
    fn momentum_ratio_is_the_square_of_the_velocity_ratio_at_equal_density() {
        let j = jet(50.0).momentum_ratio(&air()).expect("moving air");
        assert!((j.value - 25.0).abs() < 1e-12);
    }

    #[test]
    fn the_third_power_law_of_margason_holds_below_five() {
        // y = 1.6 x^(1/3) (r d)^(2/3), as carried by public flame code (NASA TN D-4919, 1968).
        let p = jet(30.0)
            .penetration(&air(), metres(0.05))
            .expect("in range");
        let want = 1.6 * 0.05_f64.cbrt() * (3.0_f64 * 2e-3).powf(2.0 / 3.0);
        assert!((p.depth.value / want - 1.0).abs() < 1e-12);
        assert_eq!(p.sources, ["margason1968"]);
    }

    #[test]
    fn the_two_correlations_agree_within_a_third_where_both_hold() {
        for v in [51.0, 70.0, 99.0] {
            for x in [0.005, 0.02, 0.1, 0.5] {
                let p = jet(v).penetration(&air(), metres(x)).expect("in range");
                assert_eq!(p.sources.len(), 2);
                assert!(p.high.value / p.low.value < 1.5, "{v} {x}");
                assert!(p.low <= p.depth && p.depth <= p.high);
            }
        }
    }

    #[test]
    fn a_ratio_outside_both_correlations_is_refused() {
        assert!(jet(5.0).penetration(&air(), metres(0.05)).is_err());
        assert!(jet(500.0).penetration(&air(), metres(0.05)).is_err());
        assert!(jet(f64::NAN).penetration(&air(), metres(0.05)).is_err());
        let still = CrossFlow {
            velocity: metres_per_second(0.0),
            ..air()
        };
        assert!(jet(50.0).momentum_ratio(&still).is_err());
    }

    #[test]
    fn an_expanded_jet_keeps_mass_and_momentum() {
        // Choked air, 3 bar to 1 bar, perfect gas: throat at 0.528 p0, 0.833 T0, sonic.
        let (p0, t0): (f64, f64) = (3e5, 288.15);
        let (pt, tt) = (0.528_28 * p0, t0 / 1.2);
        let (rho_t, v) = (pt / (287.05 * tt), (1.4 * 287.05 * tt).sqrt());
        let area = 1e-6;
        let flow = rho_t * v * area;
        let throat = Throat {
            flow: kilograms_per_second(flow),
            velocity: metres_per_second(v),
            density: kilograms_per_cubic_metre(rho_t),
            pressure: pascals_absolute(pt),
        };
        let rho0 = kilograms_per_cubic_metre(p0 / (287.05 * t0));
        let j = Jet::expanded(&throat, pascals_absolute(p0), rho0, pascals_absolute(1e5))
            .expect("a jet");
        let section = 0.25 * PI * j.diameter.value.powi(2);
        assert!((j.density.value * j.velocity.value * section / flow - 1.0).abs() < 1e-12);
        let thrust = flow * v + (pt - 1e5) * area;
        assert!((flow * j.velocity.value / thrust - 1.0).abs() < 1e-12);
    }

    #[test]
    fn momentum_keeping_expansion_matches_the_published_hydrogen_jet() {
        // SOURCES WE-34: Birch 1987 for hydrogen, 53.27 bar, 1 mm hole, 14.5 °C, 2.4e-3 kg/s: velocity
        // 1984 m/s, density 0.0854 kg/m³, diameter 4.247 mm (Papanikolaou et al. 2012, table 2); 0.3 %.
        let (gamma, t0, p0): (f64, f64, f64) = (1.405, 287.65, 53.27e5);
        let r_gas = 8.314_462_6 / 2.015_88e-3;
        let tt = t0 * 2.0 / (gamma + 1.0);
        let pt = p0 * (2.0 / (gamma + 1.0)).powf(gamma / (gamma - 1.0));
        let v = (gamma * r_gas * tt).sqrt();
        let throat = Throat {
            flow: kilograms_per_second(2.4e-3),
            velocity: metres_per_second(v),
            density: kilograms_per_cubic_metre(pt / (r_gas * tt)),
            pressure: pascals_absolute(pt),
        };
        let rho0 = kilograms_per_cubic_metre(p0 / (r_gas * t0));
        let j = Jet::expanded(
            &throat,
            pascals_absolute(p0),
            rho0,
            pascals_absolute(101_325.0),
        )
        .expect("a jet");
        assert!(
            (j.velocity.value / 1984.0 - 1.0).abs() < 3e-3,
            "{:?}",
            j.velocity
        );
        assert!(
            (j.density.value / 0.0854 - 1.0).abs() < 3e-3,
            "{:?}",
            j.density
        );
        assert!(
            (j.diameter.value / 4.247e-3 - 1.0).abs() < 3e-3,
            "{:?}",
            j.diameter
        );
    }
}
