//! Properties that hold for every input: round trips, order, no panic, never NaN.

<<<<<<< HEAD
#[path = "properties/composition.rs"]
mod composition;
=======
#[path = "properties/hole.rs"]
mod hole;
>>>>>>> e2a6c56 (Injector checks: worked jet, round trips, refusals, properties)
#[path = "properties/quantity.rs"]
mod quantity;
