//! Flow of one hole against the pressure before it, sampled once and read many times.
//!
//! Solving a ring asks for the flow of a hole thousands of times; each answer of the real-gas orifice
//! costs a flash. The flow is smooth in `s = √((p − p_back)/(p_top − p_back))` and starts as a straight
//! line there, so short Chebyshev series of `flow / s` reproduce it: one below choking,
//! one above.

/// Samples, and so orifice solutions, of one piece.
const NODES: usize = 10;

/// Flow of one hole as a function of the pressure before it.
#[derive(Debug, Clone, PartialEq)]
pub struct HoleLaw {
    back_pa: f64,
    top_pa: f64,
    pieces: Vec<Piece>,
}

/// A series between two values of `s`.
#[derive(Debug, Clone, PartialEq)]
struct Piece {
    lower: f64,
    upper: f64,
    coefficients: [f64; NODES],
}

impl HoleLaw {
    /// Samples `flow_kg_s(p_pa)` between the pressure behind the hole and the highest before it.
    ///
    /// * `chokes_at_pa` — pressure before the hole at which it begins to choke, where that is known: the
    ///   curvature jumps there, and two series that meet at the jump are ten times as true as one across
    ///
    /// # Errors
    /// Whatever the function gives.
    ///
    /// # Panics
    /// If `top_pa` is not above `back_pa`: the caller has checked that there is a drop.
    pub fn sample<E>(
        back_pa: f64,
        chokes_at_pa: Option<f64>,
        top_pa: f64,
        mut flow_kg_s: impl FnMut(f64) -> Result<f64, E>,
    ) -> Result<Self, E> {
        assert!(top_pa > back_pa, "a hole law needs a drop");
        let span_pa = top_pa - back_pa;
        let joint = chokes_at_pa
            .filter(|p| *p > back_pa && *p < top_pa)
            .map(|p| ((p - back_pa) / span_pa).sqrt());
        let edges: Vec<f64> = [Some(0.0), joint, Some(1.0)]
            .into_iter()
            .flatten()
            .collect();
        let mut per_s = |s: f64| Ok(flow_kg_s(back_pa + span_pa * s * s)? / s);
        let pieces = edges
            .windows(2)
            .map(|e| Piece::sample(e[0], e[1], &mut per_s))
            .collect::<Result<_, E>>()?;
        Ok(Self {
            back_pa,
            top_pa,
            pieces,
        })
    }

    /// Pressure behind the hole, Pa.
    pub fn back_pa(&self) -> f64 {
        self.back_pa
    }

    /// Highest pressure that was sampled, Pa.
    pub fn top_pa(&self) -> f64 {
        self.top_pa
    }

    /// Flow at a pressure before the hole, kg/s; none where that is not above the pressure behind it.
    /// Above the sampled range it grows in proportion to the pressure, so that a solver can pass
    /// through; a result that ends there must be refused by the caller.
    pub fn flow_kg_s(&self, p_pa: f64) -> f64 {
        self.flow_at_drop(p_pa - self.back_pa)
    }

    /// As [`HoleLaw::flow_kg_s`], by the drop over the hole: keeps its digits where the drop is small.
    pub(super) fn flow_at_drop(&self, drop_pa: f64) -> f64 {
        let span_pa = self.top_pa - self.back_pa;
        if drop_pa <= 0.0 {
            return 0.0;
        }
        if drop_pa > span_pa {
            return self.series(1.0) * (self.back_pa + drop_pa) / self.top_pa;
        }
        let s = (drop_pa / span_pa).sqrt();
        s * self.series(s)
    }

    fn series(&self, s: f64) -> f64 {
        let piece = self.pieces.iter().find(|p| s <= p.upper);
        piece.or(self.pieces.last()).map_or(0.0, |p| p.value(s))
    }
}

impl Piece {
    fn sample<E>(
        lower: f64,
        upper: f64,
        f: &mut impl FnMut(f64) -> Result<f64, E>,
    ) -> Result<Self, E> {
        let n = NODES as f64;
        let angle = |j: usize| std::f64::consts::PI * (j as f64 + 0.5) / n;
        let mut samples = [0.0; NODES];
        for (j, sample) in samples.iter_mut().enumerate() {
            *sample = f(lower + 0.5 * (upper - lower) * (angle(j).cos() + 1.0))?;
        }
        let mut coefficients = [0.0; NODES];
        for (k, c) in coefficients.iter_mut().enumerate() {
            let sum: f64 = samples
                .iter()
                .enumerate()
                .map(|(j, y)| y * (k as f64 * angle(j)).cos())
                .sum();
            *c = sum * if k == 0 { 1.0 } else { 2.0 } / n;
        }
        Ok(Self {
            lower,
            upper,
            coefficients,
        })
    }

    /// Clenshaw's sum of the series.
    fn value(&self, s: f64) -> f64 {
        let x = 2.0 * (s - self.lower) / (self.upper - self.lower) - 1.0;
        let (mut b1, mut b2) = (0.0, 0.0);
        for c in self.coefficients[1..].iter().rev() {
            (b1, b2) = (2.0 * x * b1 - b2 + c, b1);
        }
        x * b1 - b2 + self.coefficients[0]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::convert::Infallible;

    #[test]
    fn an_incompressible_hole_is_reproduced_exactly() {
        let law = HoleLaw::sample(1e5, None, 3e5, |p: f64| {
            Ok::<_, Infallible>(1e-6 * (p - 1e5).sqrt())
        })
        .expect("cannot fail");
        for p in [1.0001e5, 1.1e5, 2e5, 2.9e5] {
            let want: f64 = 1e-6 * (p - 1e5_f64).sqrt();
            // 10 Pa in 1e5 Pa leave 11 digits
            assert!((law.flow_kg_s(p) / want - 1.0).abs() < 1e-10);
        }
        assert!(law.flow_kg_s(0.9e5).abs() < f64::MIN_POSITIVE);
    }

    #[test]
    fn a_hole_that_chokes_on_the_way_is_reproduced() {
        // Perfect gas, gamma 1.13, the formula of SOURCES WE-6; choked above 1.73 bar.
        let gamma: f64 = 1.13;
        let flow = |p: f64| {
            let critical = (2.0 / (gamma + 1.0)).powf(gamma / (gamma - 1.0));
            let r = (1e5 / p).max(critical);
            p * (2.0 * gamma / (gamma - 1.0)
                * (r.powf(2.0 / gamma) - r.powf((gamma + 1.0) / gamma)))
            .sqrt()
        };
        let critical: f64 = (2.0 / (gamma + 1.0_f64)).powf(gamma / (gamma - 1.0));
        let chokes_at = Some(1e5 / critical);
        let law = HoleLaw::sample(1e5, chokes_at, 4e5, |p| Ok::<_, Infallible>(flow(p)))
            .expect("cannot fail");
        let worst = (1..=300)
            .map(|i| 1e5 + 1e3 * f64::from(i))
            .map(|p| (law.flow_kg_s(p) / flow(p) - 1.0).abs())
            .fold(0.0, f64::max);
        assert!(worst < 1e-5, "{worst}");
    }
}
