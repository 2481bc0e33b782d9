//! Control valves by IEC 60534-2-1: flow coefficient from flow, and flow from it.

/// Style factors of a valve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Style {
    /// Liquid pressure recovery factor.
    pub fl: f64,
    /// Pressure differential ratio at choked flow.
    pub xt: f64,
    /// Style modifier (hydraulic over actual diameter of the flow passage).
    pub fd: f64,
}
