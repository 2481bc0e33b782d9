//! Flow through holes, valves and lines.
pub mod air;
pub mod blower;
pub mod discharge;
pub mod fittings;
pub mod friction;
pub mod line;
pub mod orifice;
pub mod regulator;
pub mod relief;
pub(crate) mod stream;
pub mod valve;
