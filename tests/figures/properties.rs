//! Properties that hold for every input: round trips, order, no panic, never NaN.

mod blends;
mod command_line;
mod composition;
mod flame;
mod hole;
mod leak;
mod near;
mod quantity;
mod tank;
mod transport;
