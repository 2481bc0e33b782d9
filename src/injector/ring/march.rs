//! One walk along a manifold tube from a feed: pressure and flow at each hole on the way.
//!
//! Pressures are written as drops: above the pressure behind the holes. The digits then last where the
//! drop is a small part of the pressure.

use super::HoleLaw;
use crate::flow::friction::darcy_factor;
use crate::numerics::root::brent;
use std::convert::Infallible;
use std::f64::consts::PI;

/// The tube and the gas in it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Header {
    pub(super) bore_m: f64,
    pub(super) roughness_m: f64,
    pub(super) back_pa: f64,
    /// Feed pressure above `back_pa`.
    pub(super) feed_drop_pa: f64,
    pub(super) rho_feed_kg_m3: f64,
    pub(super) mu_pa_s: f64,
    /// Momentum recovery `K`.
    pub(super) recovery: f64,
    /// Entry loss, velocity heads.
    pub(super) entry_loss: f64,
    /// Factor on the flow of each hole.
    pub(super) area_factor: f64,
    pub(super) friction: bool,
}

/// What a walk found.
#[derive(Debug, Clone)]
pub(super) struct March {
    /// Drop over each hole, Pa, and its flow, kg/s.
    pub(super) holes: Vec<(f64, f64)>,
    /// What is left at the end, negative where flow enters there.
    pub(super) flow_out_kg_s: f64,
    /// Drop at the end; `None` where the pressure ran out on the way.
    pub(super) end_drop_pa: Option<f64>,
    pub(super) fastest_m_s: f64,
}

impl Header {
    pub(super) fn area_m2(&self) -> f64 {
        0.25 * PI * self.bore_m * self.bore_m
    }

    fn rho_kg_m3(&self, drop_pa: f64) -> f64 {
        self.rho_feed_kg_m3 * (self.back_pa + drop_pa) / (self.back_pa + self.feed_drop_pa)
    }

    /// Static drop just inside the tube where a flux enters from a feed: the velocity head and the
    /// entry loss are gone. What leaves into a feed loses its velocity there.
    pub(super) fn inside_feed_pa(&self, g_in: f64) -> f64 {
        let g_in = g_in.max(0.0);
        self.feed_drop_pa - 0.5 * (1.0 + self.entry_loss) * g_in * g_in / self.rho_feed_kg_m3
    }

    /// Walks a stretch of tube from a static drop and a flow at its start.
    pub(super) fn march(
        &self,
        law: &HoleLaw,
        places_m: &[f64],
        span_m: f64,
        start_drop_pa: f64,
        flow_kg_s: f64,
    ) -> March {
        let area_m2 = self.area_m2();
        let mut walk = March {
            holes: Vec::with_capacity(places_m.len()),
            flow_out_kg_s: flow_kg_s,
            end_drop_pa: None,
            fastest_m_s: 0.0,
        };
        let mut drop_pa = start_drop_pa;
        let mut x_m = 0.0;
        for place_m in places_m.iter().copied().chain(std::iter::once(span_m)) {
            let g = walk.flow_out_kg_s / area_m2;
            let Some(after_pa) = self.after_length(drop_pa, g, place_m - x_m) else {
                return walk;
            };
            drop_pa = after_pa;
            walk.fastest_m_s = walk.fastest_m_s.max(g.abs() / self.rho_kg_m3(drop_pa));
            x_m = place_m;
            if walk.holes.len() < places_m.len() {
                let at_hole_pa = self.at_hole(drop_pa, g, law);
                let q_kg_s = self.area_factor * law.flow_at_drop(at_hole_pa);
                let g_after = g - q_kg_s / area_m2;
                drop_pa = at_hole_pa + self.half_recovery(at_hole_pa, g, g_after);
                walk.holes.push((at_hole_pa, q_kg_s));
                walk.flow_out_kg_s -= q_kg_s;
            }
        }
        walk.end_drop_pa = Some(drop_pa);
        walk
    }

    /// Drop after a length of tube: friction and the acceleration of the thinning gas. `None` where
    /// hardly any pressure is left.
    fn after_length(&self, drop_pa: f64, g: f64, length_m: f64) -> Option<f64> {
        let least_pa = 0.05 * self.back_pa - self.back_pa;
        if drop_pa <= least_pa {
            return None;
        }
        if length_m <= 0.0 {
            return Some(drop_pa);
        }
        let re = g.abs() * self.bore_m / self.mu_pa_s;
        let f = if self.friction && re > 0.0 {
            darcy_factor(re, self.roughness_m / self.bore_m)
        } else {
            0.0
        };
        let k = f * length_m / self.bore_m;
        let rho1 = self.rho_kg_m3(drop_pa);
        let mut after_pa = drop_pa;
        // two corrections of the mean density: the drop along one pitch is small
        for _ in 0..3 {
            let rho2 = self.rho_kg_m3(after_pa);
            let rho_mean = 0.5 * (rho1 + rho2);
            after_pa =
                drop_pa - k * g * g.abs() / (2.0 * rho_mean) - g * g * (1.0 / rho2 - 1.0 / rho1);
            if after_pa <= least_pa {
                return None;
            }
        }
        Some(after_pa)
    }

    /// Half of the pressure recovered across a hole.
    fn half_recovery(&self, drop_pa: f64, g1: f64, g2: f64) -> f64 {
        0.5 * self.recovery * (g1 - g2) * (g1 + g2) / self.rho_kg_m3(drop_pa)
    }

    /// Drop at a hole that lies half a recovery above the one just before it:
    /// `p = p_in + K/2 (G² − (G − q(p)/A)²)/ρ(p)`. A bracket always exists: without flow there is no
    /// recovery, and with any flow it is at most that of bringing the whole stream to rest.
    fn at_hole(&self, in_pa: f64, g: f64, law: &HoleLaw) -> f64 {
        let area_m2 = self.area_m2();
        let miss = |drop_pa: f64| {
            let g2 = g - self.area_factor * law.flow_at_drop(drop_pa) / area_m2;
            drop_pa - in_pa - self.half_recovery(drop_pa, g, g2)
        };
        if in_pa <= 0.0 && g <= 0.0 {
            return in_pa;
        }
        let low = in_pa.min(0.0);
        let most = 0.5 * self.recovery * g * g / self.rho_kg_m3(in_pa);
        let high = in_pa + most * (1.0 + 1e-9) + 1e-9 * self.feed_drop_pa;
        let root = brent(
            |p| Ok::<_, Infallible>(miss(p)),
            low,
            high,
            1e-15 * self.feed_drop_pa,
        );
        root.unwrap_or(in_pa)
    }
}
