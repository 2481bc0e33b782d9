//! Lines of a blend's properties through values at some temperatures, with what they miss.

use super::vapour_pressure::antoine;
use super::walther::{kinematic_viscosity, line_through};
use crate::fuel::{VapourPressure, WaltherLine};

/// Temperatures at which the parts are asked.
pub(super) const NODES: usize = 6;

/// Largest relative difference of a line from the values.
fn worst(t_k: &[f64], values: &[f64], line: impl Fn(f64) -> f64) -> f64 {
    let off = t_k
        .iter()
        .zip(values)
        .map(|(&t, v)| (line(t) / v - 1.0).abs());
    off.fold(0.0, f64::max)
}

/// `a`, `b`, `c` of `log10 p = a − b/(T + c)` through three points.
fn antoine_through([(t1, p1), (t2, p2), (t3, p3)]: [(f64, f64); 3]) -> [f64; 3] {
    let [y1, y2, y3] = [p1, p2, p3].map(f64::log10);
    let k = (y3 - y2) / (y2 - y1) * (t2 - t1) / (t3 - t2);
    let c = (t1 - k * t3) / (k - 1.0);
    let b = (y2 - y1) / (1.0 / (t1 + c) - 1.0 / (t2 + c));
    [y1 + b / (t1 + c), b, c]
}

/// Antoine's line through three pressures; what it misses adds to the band.
pub(super) fn pressure_line(t_k: &[f64; NODES], p_pa: &[f64; NODES], band: f64) -> VapourPressure {
    let [a, b, c] = antoine_through([0, NODES / 2, NODES - 1].map(|k| (t_k[k], p_pa[k])));
    let miss = worst(t_k, p_pa, |t| antoine(a, b, c, t));
    VapourPressure::Antoine {
        a,
        b,
        c,
        uncertainty: band + miss,
        source: "hansen1991".to_owned(),
    }
}

/// Walther's line through two viscosities; what it misses adds to the band.
pub(super) fn viscosity_line(
    t_k: &[f64; NODES],
    nu_mm2_s: &[f64; NODES],
    band: f64,
) -> WaltherLine {
    let at = |k: usize| (t_k[k], nu_mm2_s[k]);
    let (a, b) = line_through(at(1), at(NODES - 2));
    let bend = worst(t_k, nu_mm2_s, |t| kinematic_viscosity(a, b, t) * 1e6);
    WaltherLine {
        source: "astm-d7152".to_owned(),
        a,
        b,
        uncertainty: band + bend,
    }
}
