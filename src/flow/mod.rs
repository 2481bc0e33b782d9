//! Flow through holes, valves and lines.
pub mod air;
pub mod atomize;
pub mod blower;
pub mod discharge;
pub mod evaporation;
pub mod film;
pub mod fittings;
pub mod friction;
pub mod line;
pub mod orifice;
pub mod pump;
pub mod regulator;
pub mod relief;
pub(crate) mod stagnation;
pub(crate) mod stream;
pub mod suction;
pub mod valve;
