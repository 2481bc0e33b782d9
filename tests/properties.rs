//! Properties that hold for every input: round trips, order, no panic, never NaN.

#[path = "properties/blends.rs"]
mod blends;
#[path = "properties/command_line.rs"]
mod command_line;
#[path = "properties/composition.rs"]
mod composition;
#[path = "properties/flame.rs"]
mod flame;
#[path = "properties/hole.rs"]
mod hole;
#[path = "properties/leak.rs"]
mod leak;
#[path = "properties/near.rs"]
mod near;
#[path = "properties/quantity.rs"]
mod quantity;
#[path = "properties/tank.rs"]
mod tank;
#[path = "properties/transport.rs"]
mod transport;
